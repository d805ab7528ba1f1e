"""One question, one answer: what two surfaces show of a make is the same figure on both.

Command, report, API and pages are read as people read them (`tests/shown`), over the makes of the invented household
and over households made by chance. Run as a module it prints the table of what was compared:
``python -m tests.test_agreement [HOW MANY]``.
"""

from __future__ import annotations

import contextlib
import io
import json
import sys
from collections import Counter, defaultdict
from collections.abc import Container, Iterator
from dataclasses import dataclass, field
from importlib.resources import files
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlencode

import pytest

from fitcheck.cli import main
from fitcheck.records.files import open_household
from fitcheck.records.makes import BAND_KIND
from fitcheck.records.questions import questions
from fitcheck.store import Store
from tests.commands_once import worked_out_once
from tests.generated import household
from tests.shown.data import of_fabric, of_report, of_sizes, of_verdict
from tests.shown.figures import AGAIN, Figure, Figures, Key
from tests.shown.pages import of_book, of_garment, of_listed, of_page, of_swatch, of_walk
from tests.shown.terminal import of_terminal
from tests.shown.the_rest import (
    of_machine,
    of_printed,
    of_printed_sheet,
    of_progress,
    of_rest,
    of_rest_page,
    of_seams,
    of_sheet,
    of_sheet_page,
    of_table,
    of_yarn,
)
from tests.webui import lent

DEMO: bytes = (files("demo_garments") / "household.json").read_bytes()
EVERY_KIND = ("grey_pullover", "grey_cardigan", "moss_drop_shoulder", "rust_pullover", "grey_miscounted")
"""Makes of the invented household that every run looks at, the last of which once differed.

Of them every kind of figure is shown on every two surfaces that show it of any make.
"""
SAMPLE = (43, 68, 69)
"""Households that every run looks at, each of which once differed; all hundred under the marker `long`."""
NECK_LIKE_ITS_BACK = 66
"""A household whose front's neck is another than planned, so that its shoulders are those of its back."""


@dataclass(slots=True)
class Home:
    """One household on every surface: as a file for the commands, in a database for the service."""

    raw: dict[str, Any]
    file: Path
    client: Any
    _read: dict[str, str] = field(default_factory=dict)

    def command(self, *words: str) -> str:
        """What a command prints; what it complains of, too."""
        out = io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
            main([words[0], str(self.file), *words[1:]])
        return out.getvalue()

    def page(self, path: str) -> str:
        """A page, empty where there is none; asked for once."""
        if path not in self._read:
            answer = self.client.get(path)
            self._read[path] = answer.get_data(as_text=True) if answer.status_code == 200 else ""
        return self._read[path]

    def data(self, path: str, body: dict[str, Any] | None = None) -> dict[str, Any]:
        """An answer of the API, empty where it is refused."""
        at = f"/api/v1/{path}"
        answer = self.client.get(at) if body is None else self.client.post(at, json=body)
        return json.loads(answer.data) if answer.status_code == 200 else {}


@contextlib.contextmanager
def opened(raw: bytes) -> Iterator[Home]:
    """A household on every surface, in cm."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "household.json"
        file.write_bytes(raw)
        with worked_out_once(), Store.open(Path(folder) / "data" / "fitcheck.db") as store:
            store.import_bundle(raw)
            client = lent.lend(store).test_client()
            client.post("/unit", data={"unit": "cm", "back": "/"})
            yield Home(json.loads(raw), file, client)
            lent.take_back()


def surfaces(home: Home, make: dict[str, Any], piece: str | None) -> Iterator[tuple[str, Figures]]:
    """Every surface that answers about a piece of a make, with its figures."""
    key = make["id"]
    of = ("--make", key, *(("--piece", piece) if piece else ()))
    query = f"?piece={piece}" if piece else ""
    printed = home.command("report", *of, "--all", "--unit", "cm")
    yield "command report", of_terminal(printed)
    as_data = home.command("report", *of, "--json")
    if as_data.startswith("{"):
        yield "command report --json", of_report(json.loads(as_data))
    for name, read in (("report", of_report), ("verdict", of_verdict)):
        if data := home.data(f"makes/{key}/{name}{query}"):
            yield f"API {name}", read(data)
    for name, read in (("fabric", of_fabric), ("sizes", of_sizes)):
        if data := home.data(f"makes/{key}/{name}{query}"):
            yield f"API {name}", read(data["answer"])
    yield "page make", of_page(home.page(f"/makes/{key}{query}"))
    for name, path in (("table", "/"), ("list of makes", "/makes")):
        yield f"page {name}", of_listed(home.page(path)).get((key, piece), Figures())
    if piece is not None:
        return
    yield "command fabric", of_terminal(home.command("fabric", *of, "--unit", "cm"))
    yield "command fabric --json", of_fabric(json.loads(home.command("fabric", *of, "--json")))
    yield "command sizes", of_terminal(home.command("sizes", *of, "--unit", "cm"))
    yield "command sizes --json", of_sizes(json.loads(home.command("sizes", *of, "--json")))
    if data := home.data(f"makes/{key}/what-if", {}):
        yield "API what-if", of_report(data)
    yield "page fabric", of_page(home.page(f"/makes/{key}/fabric"))
    yield "page sizes", of_page(home.page(f"/makes/{key}/sizes"))
    yield "page walk", of_walk(home.page(f"/makes/{key}/walk"))
    yield from _of_the_rest(home, key)
    asked = _asked(home.raw)
    for swatch in home.raw.get("swatches", ()):
        if swatch["id"] not in asked:
            yield "page swatch", of_swatch(swatch["id"], home.page(f"/swatches/{swatch['id']}"))
    yield "page swatch book", _swatches(of_page(home.page("/swatches")), asked)
    fits = make.get("fits", {})
    if "garment" in fits and _latest(home.raw, fits) and fits["garment"] not in asked:
        yield "page garment", of_garment(home.page(f"/wardrobe/{fits['garment']}"))


def _of_the_rest(home: Home, key: str) -> Iterator[tuple[str, Figures]]:
    """Every surface that answers about the rest of a sweater."""
    of = ("--make", key)
    printed = json.loads(home.command("rest", *of, "--json"))
    yield "command rest --json", of_rest(printed)
    yield "API rest", of_rest(home.data(f"makes/{key}/rest"))
    yield "API seams", of_seams(home.data(f"makes/{key}/seams")["answer"])
    yield "API yarn", of_yarn(home.data(f"makes/{key}/yarn")["answer"])
    for name in ("rest", "seams", "yarn"):
        yield f"command {name}", of_printed(home.command(name, *of, "--unit", "cm"))
    for name in ("rest", "rest/seams", "rest/yarn"):
        yield f"page {name}", of_rest_page(home.page(f"/makes/{key}/{name}"))
    bands = [BAND_KIND[band["edge"]] for band in printed["bands"] if "stitches" in band["picked"]]
    for kind in dict.fromkeys([*(piece["kind"] for piece in printed["pieces"]), *bands]):
        yield from _of_a_sheet(home, key, kind)


def _of_a_sheet(home: Home, key: str, kind: str) -> Iterator[tuple[str, Figures]]:
    """Every surface that shows the sheet of a piece."""
    of = (kind, "--make", key)
    yield "command sheet", of_printed_sheet(kind, home.command("sheet", *of))
    yield "command sheet --csv", of_table(kind, home.command("sheet", *of, "--csv"))
    sheet = home.data(f"makes/{key}/sheets/{kind}")["answer"]
    yield "API sheet", of_sheet(kind, sheet)
    yield "API sheet table", of_table(kind, home.page(f"/api/v1/makes/{key}/sheets/{kind}/table.csv"))
    yield "page sheet", of_sheet_page(kind, home.page(f"/makes/{key}/sheets/{kind}"))
    make = next(make for make in home.raw["makes"] if make["id"] == key)
    for begun in make.get("sheets", ()):
        if begun["piece"] == kind:
            progress = home.data(f"makes/{key}/sheets/{begun['id']}/progress")
            yield "API progress", of_progress(kind, progress, sheet)
            yield "page machine", of_machine(kind, home.page(f"/makes/{key}/sheets/{kind}/machine"))


def _swatches(shown: Figures, asked: set[str]) -> Figures:
    """Figures of swatches by themselves of which nothing is asked about."""
    return Figures({key: figure for key, figure in shown.items() if key[0] == "by itself" and key[1] not in asked})


def _latest(raw: dict[str, Any], fits: dict[str, Any]) -> bool:
    """Whether the make fits the latest measuring of its garment, the one that the garment's page shows."""
    occasions = next(one["occasions"] for one in raw["garments"] if one["id"] == fits["garment"])
    return max(occasions, key=lambda occasion: occasion.get("on") or "")["id"] == fits["occasion"]


def _asked(raw: dict[str, Any]) -> set[str]:
    """Garments and swatches of which a reading is asked about: their own pages say what they are without that one."""
    return {question.place.key for question in questions(open_household(raw)) if question.place.kind != "makes"}


@dataclass(slots=True)
class Compared:
    """What was compared: per quantity and pair of surfaces how often it was and how often it differs, and what."""

    pairs: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    differing: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    told: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def take(self, of: str, shown: list[tuple[str, Figures]]) -> None:
        """Hold every two surfaces of one make against each other, and each against itself."""
        every: dict[Key, list[tuple[str, Figure]]] = defaultdict(list)
        for name, one in shown:
            for key, figure in one.items():
                every[tuple(part for part in key if part != AGAIN)].append((name, figure))
        for key, seen in every.items():
            differs = False
            for (name, figure), (other_name, other) in combinations(seen, 2):
                row = (quantity(key), name, other_name)
                self.pairs[row] += 1
                if not figure.agrees(other):
                    self.differing[row] += 1
                    differs = True
            if differs:
                self.told[quantity(key)].append(f"{of}: {' / '.join(key)}: {grouped(seen)}")

    def table(self) -> str:
        """The table: quantity, pair of surfaces, compared, differing."""
        lines = [f"{'quantity':<24}{'surfaces':<52}{'compared':>9}{'differing':>10}"]
        for row in sorted(self.pairs):
            name, one, other = row
            lines.append(f"{name:<24}{f'{one} - {other}':<52}{self.pairs[row]:>9}{self.differing[row]:>10}")
        lines.append(f"{self.pairs.total()} pairs compared, {self.differing.total()} differ")
        return "\n".join(lines)


def grouped(seen: list[tuple[str, Figure]]) -> str:
    """Who shows which figure: surfaces that show the same stand together."""
    groups: list[list[tuple[str, Figure]]] = []
    for name, figure in seen:
        for group in groups:
            if all(figure.agrees(other) for _, other in group):
                group.append((name, figure))
                break
        else:
            groups.append([(name, figure)])
    return "; ".join(f"{group[0][1]} ({', '.join(name for name, _ in group)})" for group in groups)


PARTS = (
    *("gives", "fits", "before", "verdict", "ease", "length", "count", "counter", "stitches", "done", "lines"),
    *("need", "low", "high", "hand", "lasts", "a stitch", "loops", "grams", "rows"),
)
"""What the last part of a figure of the rest says of it: all else is a point, a piece, a seam or an act."""


def quantity(key: Key) -> str:
    """Of what kind a figure is: its name without the point, the dial or the size that it is of."""
    if key[0] in ("rest", "sheet", "progress", "seam", "band", "yarn"):
        return " ".join((key[0], *(key[-1:] if key[-1] in PARTS else ())))
    kept = {"point": (0, 2), "way": (0, 2), "size": (0, 3), "free": (0, 2), "dial": (0, 2), "by itself": (0, 3)}
    if key[0] in kept:
        return " ".join(key[place] for place in kept[key[0]] if place < len(key))
    return " ".join(key[:2]) if key[0] in ("next piece", "advice", "sizes") else key[0]


def compare(raw: bytes, name: str, into: Compared, *, makes: Container[str] | None = None) -> None:
    """Compare every make of a household, or those that are named, and every piece of it."""
    with opened(raw) as home:
        for make in home.raw["makes"]:
            if makes is not None and make["id"] not in makes:
                continue
            pieces = [piece["id"] for piece in make.get("pieces", ())]
            for piece in (None, *(pieces if len(pieces) > 1 else ())):
                of = " ".join(part for part in (name, make["id"], piece) if part)
                into.take(of, list(surfaces(home, make, piece)))


def told(compared: Compared) -> str:
    """What differs, a few of each kind."""
    return "\n".join(line for lines in compared.told.values() for line in lines[:5])


def as_file(seed: int) -> bytes:
    return json.dumps(household(seed), ensure_ascii=False).encode()


def check(into: Compared) -> None:
    print(into.table())
    assert into.pairs
    assert not into.differing, told(into)


SHOWN_EVERYWHERE = (
    *("point wanted", "point measured", "point difference", "point code", "advice said", "advice chance"),
    *("way chance", "way said", "ease", "piece", "explained", "next piece dial", "next piece blocked", "finishing"),
    *("by itself stitches", "dial stitches", "dial rows", "dial chance", "a dial number up", "advised dial"),
    *("next swatch", "rest", "rest gives", "sizes best", "size", "size finished", "size difference", "size rows"),
    *("rest fits", "rest before", "seam verdict", "seam ease", "seam count", "seam length", "sheet counter"),
    *("sheet stitches", "yarn need", "yarn low", "yarn high", "yarn hand", "yarn lasts", "yarn a stitch"),
    *("yarn loops", "yarn grams", "yarn", "band stitches", "band rows"),
)
"""Quantities that a command prints and a page shows; where a reader of either goes blind, this says so."""


def test_makes_of_every_kind_are_the_same_wherever_they_are_shown():
    compared = Compared()
    compare(DEMO, "demo", compared, makes=EVERY_KIND)
    both = {name for name, *pair in compared.pairs if {one.split()[0] for one in pair} >= {"command", "page"}}
    assert both >= set(SHOWN_EVERYWHERE), sorted(set(SHOWN_EVERYWHERE) - both)
    assert {"progress counter", "progress done", "progress lines"} <= {name for name, *_ in compared.pairs}
    check(compared)


@pytest.mark.full
def test_households_made_by_chance_are_the_same_wherever_they_are_shown():
    compared = Compared()
    for seed in (*SAMPLE, NECK_LIKE_ITS_BACK):
        compare(as_file(seed), f"{seed:03}", compared)
    check(compared)


def kept_plans(home: Home) -> Iterator[tuple[str, list[tuple[str, Figures]]]]:
    """Plans for every garment: what the page of the plan says, and what is said of it once it is kept as a make."""
    swatch, table = home.raw["swatches"][0], home.raw["size_tables"][0]["id"]
    for garment in home.raw["garments"]:
        asked = {"garment": garment["id"], "fabric": f"{swatch['yarn']}|{swatch['machine']}", "table": table}
        planned = of_page(home.page(f"/plan?{urlencode(asked)}"))
        kept = home.client.post("/plan/keep", data={**asked, "name": f"like {garment['id']}"})
        if kept.status_code != 303:
            continue
        key = kept.location.rsplit("/", 1)[1]
        yield (
            f"plan like {garment['id']}",
            [
                ("page plan", planned),
                ("API sizes", of_sizes(home.data(f"makes/{key}/sizes")["answer"])),
                ("API fabric", of_fabric(home.data(f"makes/{key}/fabric")["answer"])),
                ("page sizes", of_page(home.page(f"/makes/{key}/sizes"))),
                ("page fabric", of_page(home.page(f"/makes/{key}/fabric"))),
            ],
        )


@pytest.mark.full
def test_a_plan_says_the_same_once_it_is_kept():
    compared = Compared()
    with opened(DEMO) as home:
        for name, shown in kept_plans(home):
            compared.take(name, shown)
    check(compared)


def test_the_swatch_book_says_the_same_as_the_page_of_each_fabric():
    compared = Compared()
    for name, raw in (("demo", DEMO), *((f"{seed:03}", as_file(seed)) for seed in SAMPLE)):
        with opened(raw) as home:
            for address, shown in of_book(home.page("/swatches")).items():
                own = of_page(home.page(address))
                compared.take(f"{name} {address}", [("page swatch book", shown), ("page fabrics", own)])
    check(compared)


@pytest.mark.full
@pytest.mark.parametrize("step", [4, pytest.param(1, marks=pytest.mark.long)])
def test_the_invented_household_is_the_same_wherever_it_is_shown(step):
    others, of_every_kind = Compared(), Compared()
    compare(DEMO, "demo", of_every_kind, makes=EVERY_KIND)
    more = [make["id"] for make in json.loads(DEMO)["makes"] if make["id"] not in EVERY_KIND]
    compare(DEMO, "demo", others, makes=more[::step])
    check(of_every_kind)
    check(others)
    assert set(others.pairs) <= set(of_every_kind.pairs), "another make shows what none of EVERY_KIND does"


@pytest.mark.full
@pytest.mark.parametrize("step", [25, pytest.param(1, marks=pytest.mark.long)])
def test_a_hundred_households_are_the_same_wherever_they_are_shown(step):
    compared = Compared()
    for seed in range(0, 100, step):
        compare(as_file(seed), f"{seed:03}", compared)
    check(compared)


if __name__ == "__main__":
    everything = Compared()
    compare(DEMO, "demo", everything)
    with opened(DEMO) as demo:
        for plan, seen_on in kept_plans(demo):
            everything.take(plan, seen_on)
    for number in range(int(sys.argv[1]) if sys.argv[1:] else 10):
        compare(as_file(number), f"{number:03}", everything)
    print(everything.table())
    for name, lines in sorted(everything.told.items()):
        print(f"\n{name}: {len(lines)} differ")
        print("\n".join(f"  {line}" for line in lines))
