"""The front that hangs on the machine in the demo: its begun sheet and its taps, written into the household anew.

    python -m tests.demo_front

Run it after a change of what a sheet says; `tests/test_demo.py` fails until then. The knitter and her evening are
invented: she begins after supper, a row takes her a minute and a half, one tap was too early and is taken back, and at
row 131 the phone locks.
"""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.files import open_household
from fitcheck.reports.choose import chosen
from fitcheck.reports.shown_sheet import newly_begun, sheet_by_counts
from fitcheck.reports.steps import steps
from fitcheck.reports.the_rest import rest_told

HOUSEHOLD = Path(__file__).resolve().parent.parent / "demo_garments" / "household.json"
MAKE, PIECE = "rust_pullover", "front"
BEGUN = datetime(2026, 1, 17, 18, 30, tzinfo=UTC)
A_ROW = timedelta(seconds=87)
LOCKED_AT = 131
"""What the counter shows when the phone locks: what is done there is still to come."""
TAKEN_BACK = 5
"""The line whose first tap came a row too early."""
DEVICE = "Ines' phone"


def begun_sheet(raw: dict[str, Any]) -> dict[str, Any]:
    """The sheet of the front by the counts of a household, as it is begun."""
    told = steps(chosen(open_household(raw), MAKE))
    rest = rest_told(told)
    shown = sheet_by_counts(rest, told.given.make, PIECE)
    if isinstance(shown, CannotSay):
        raise SystemExit(f"No sheet of the {PIECE} of {MAKE}: {shown}")
    return newly_begun(shown, rest, told.given.make, BEGUN)


def taps_of(begun: dict[str, Any]) -> list[dict[str, Any]]:
    """The taps of the evening, in the order in which they came."""
    taps: list[dict[str, Any]] = []
    at = BEGUN
    shown = 0
    for place, line in enumerate(begun["sheet"]["lines"]):
        counter = line.get("counter", shown)
        if line["part"] != "rib" and counter >= LOCKED_AT:
            break
        at += A_ROW * max(counter - shown, 0) + timedelta(seconds=20)
        shown = 0 if line["act"] == "set_counter" else counter
        for done in (True, False, True) if place == TAKEN_BACK else (True,):
            taps.append(_tap(len(taps), place, shown, at, done=done))
            at += timedelta(seconds=4)
    return taps


def _tap(number: int, line: int, counter: int, at: datetime, *, done: bool) -> dict[str, Any]:
    stamp = at.isoformat(timespec="seconds")
    return {
        "id": f"{MAKE.replace('_', '-')}-{number:04}",
        "line": line,
        "done": done,
        "counter": counter,
        "at": stamp,
        "device": DEVICE,
    }


def with_front(text: str) -> str:
    """The text of the household with the sheet and the taps as they are now."""
    bare = re.sub(r'      "sheets": \[\n.*?\n      \],\n', "", text, count=1, flags=re.DOTALL)
    bare = re.sub(r',\n  "taps": \[\n.*?\n  \]', "", bare, count=1, flags=re.DOTALL)
    begun = begun_sheet(json.loads(bare))
    where = bare.index(f'"id": "{MAKE}"')
    notes = bare.index('      "notes":', where)
    bare = f"{bare[:notes]}{_sheets(begun)}{bare[notes:]}"
    taps = ",\n".join(f"        {_json(tap)}" for tap in taps_of(begun))
    sheet = f'{{\n      "make": "{MAKE}", "sheet": "{begun["id"]}",\n      "taps": [\n{taps}\n      ]\n    }}'
    return f'{bare.rstrip().removesuffix("}").rstrip()},\n  "taps": [\n    {sheet}\n  ]\n}}\n'


def _sheets(begun: dict[str, Any]) -> str:
    sheet = begun["sheet"]
    lines = ",\n".join(f"              {_json(line)}" for line in sheet["lines"])
    around = ",\n".join(
        f'            "{name}": {_json(value)}' for name, value in sheet.items() if name not in ("lines", "sheet")
    )
    head = ",\n".join(f'          "{name}": {_json(value)}' for name, value in begun.items() if name != "sheet")
    return (
        f'      "sheets": [\n        {{\n{head},\n          "sheet": {{\n            "sheet": {sheet["sheet"]},\n'
        f'{around},\n            "lines": [\n{lines}\n            ]\n          }}\n        }}\n      ],\n'
    )


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def main() -> None:
    """Write the household with its front on the machine."""
    written = with_front(HOUSEHOLD.read_text(encoding="utf-8"))
    open_household(written.encode())
    HOUSEHOLD.write_text(written, encoding="utf-8")


if __name__ == "__main__":
    main()
