"""Made-up forms: every form of every page with hostile texts, odd numbers, and fields that are missing or doubled.

Run it alone for a long look: ``.venv/bin/python -m tests.webui.made_up_forms 10000``, the number being forms that are
sent, and its own seed as a second number. Nothing may answer with a fault of the program or take 2 s of processor, and
nothing that was typed may become markup: on no page, in no drawing, and no formula in a table.
"""

from __future__ import annotations

import csv
import io
import logging
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

from flask import Flask
from werkzeug.test import Client
from werkzeug.wrappers import Response

from fitcheck.records.faults import FitcheckError
from fitcheck.records.households import Household
from fitcheck.store import Store
from fitcheck.store.bundle import open_bundle
from tests.browser.pages_list import Page, pages
from tests.webui.demo_app import demo_app
from tests.webui.forms_found import Form, forms_of, forms_reached, post_route, states
from tests.webui.rare_states import rare_states
from webui import request_log
from webui.app import create_app
from webui.config import Config

SECONDS = 2.0
"""No answer takes longer [s of processor]."""
A_HOUSEHOLD = 250
"""Forms that are sent to one household before the next one begins as the invented one."""
TAKES_AWAY = ("/delete", "/remove")
"""How the addresses end that take a record or all of them away: sent one time in twenty, or nothing would be left."""
MARK = "xq"
"""What no page of ours has as an element or an attribute; where it is one, a text has become markup."""
HOSTILE = (
    f"<{MARK}>", f'"><{MARK} onclick="1">', f"'><{MARK}>", f'" {MARK}="1', f"' {MARK}='1", f"</script><{MARK}>",
    f"</textarea></select></title></style><{MARK}>", f"<![CDATA[<{MARK}>]]>", f"--><{MARK}>", f"{{{{ '<{MARK}>' }}}}",
    f"javascript:{MARK}", f"&lt;{MARK}&gt;", f"=HYPERLINK(\"{MARK}\")", f"+{MARK}", f"@{MARK}", f"\t=1+{MARK}",
    f"%3C{MARK}%3E", f"\u202e<{MARK}>", f"&#60;{MARK}>",
)  # fmt: skip
"""Texts that would be markup, script or a formula where they were not written as a text."""
ODD = (
    "", " ", "0", "-1", "−8", "1e5", "9" * 400, "5.2.3", "1/0", "1 9/8", "nan", "inf", "٣", "½", "51,2", "20 1/8 in",
    "2025-02-30", "9999-12-31", "0001-01-01", "\x00", "\ud7ff", "\r\n", "[key]", "../../x", "a|b|c", "yes", "-", "|",
    "9" * 5_000, "x" * 50_000, "5 " * 5_000,
    "{}", "[]", "[" * 100_000, "null", "level", "//[", "https://elsewhere.example/", "makes grey_pullover",
)  # fmt: skip
"""Texts and numbers that stand at the edge of what a field takes, or beyond."""


@dataclass
class Found:
    """What a run found: answers by status, the slowest and what it answered, and what was wrong."""

    sent: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    wrong: list[str] = field(default_factory=list)
    routes: set[str] = field(default_factory=set)


class Markup(HTMLParser):
    """Texts that became markup on a page or in a drawing."""

    def __init__(self) -> None:
        super().__init__()
        self.ran: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        leads = [text for name, text in attrs if name in ("href", "src", "action", "formaction", "xlink:href")]
        if tag == MARK or any(name == MARK for name, _ in attrs):
            self.ran.append(f"<{tag} {attrs}>")
        if any((text or "").strip().lower().startswith("javascript:") for text in leads):
            self.ran.append(f"{tag} leads to a script: {leads}")


def ran(answer: Response) -> list[str]:
    """Texts of an answer that became markup, or a formula of a table."""
    if answer.mimetype in ("text/html", "image/svg+xml"):
        read = Markup()
        read.feed(answer.data.decode())
        return read.ran
    if answer.mimetype == "text/csv":
        cells = [cell for row in csv.reader(io.StringIO(answer.data.decode())) for cell in row]
        return [cell for cell in cells if cell[:1] in ("=", "+", "@", "\t") and MARK in cell]
    return []


def made_up(form: Form, chance: random.Random) -> tuple[str, dict[str, list[str]]]:
    """One way to send a form, with some of its fields as nobody should send them."""
    to, button = chance.choice(list(form.ways()))
    fields = form.untouched() | button
    for control in form.controls:
        deed = chance.random()
        if not control.name or deed < 0.3:
            continue
        if deed < 0.38:
            fields.pop(control.name, None)
        elif deed < 0.46:
            fields[control.name] = fields.get(control.name, []) * 2 + [chance.choice(ODD)]
        elif deed < 0.55 and control.choices:
            fields[control.name] = [chance.choice(control.choices)]
        elif deed < 0.8 or control.kind in ("text", "textarea"):
            fields[control.name] = [chance.choice(chance.choice((HOSTILE, ODD)))]
    if chance.random() < 0.1:
        fields[chance.choice((*HOSTILE, "__proto__", "do", "leave", "returns"))] = [chance.choice(ODD)]
    return to, fields


class Unexpected(logging.Handler):
    """Where the program went wrong, also where the page that says so was answered all the same."""

    def __init__(self, found: Found) -> None:
        super().__init__(logging.ERROR)
        self.found = found

    def emit(self, record: logging.LogRecord) -> None:
        self.found.wrong.append(record.getMessage())


@contextmanager
def unexpected(found: Found) -> Iterator[None]:
    """Count what went wrong meanwhile among what was found."""
    handler = Unexpected(found)
    request_log.log.addHandler(handler)
    try:
        yield
    finally:
        request_log.log.removeHandler(handler)


def answered(client: Client, found: Found, ask: str, to: str, fields: dict[str, list[str]] | None = None) -> str | None:
    """Ask once and look at the answer; where it leads."""
    begun = time.thread_time()
    answer = client.open(to, method=ask, data=fields)
    took = time.thread_time() - begun
    said = f"{ask} {to} {fields!r:.400}"
    found.statuses[answer.status_code] += 1
    found.slowest = max(found.slowest, (took, said))
    if answer.status_code >= 500:
        found.wrong.append(f"{answer.status_code}: {said}")
    if took > SECONDS:
        found.wrong.append(f"{took:.1f} s: {said}")
    found.wrong += [f"ran {text:.200}: {said}" for text in ran(answer)]
    return answer.location if answer.status_code == 303 else None


def send(app: Flask, forms: Sequence[Form], count: int, chance: random.Random, found: Found) -> None:
    """Send so many made-up forms, and look at the page that each leads to."""
    client = app.test_client()
    of_routes: dict[str, list[Form]] = {}
    for form in forms:
        of_routes.setdefault(post_route(app, form.action), []).append(form)
    last = found.sent + count
    while found.sent < last:
        form = chance.choice(chance.choice([*of_routes.values()]))
        if form.action.endswith(TAKES_AWAY) and chance.random() < 0.95:
            continue
        to, fields = made_up(form, chance)
        found.sent += 1
        found.routes.add(post_route(app, to))
        then = answered(client, found, "POST", to, fields)
        if then is not None:
            if urlsplit(then).netloc not in ("", "localhost"):
                found.wrong.append(f"led elsewhere, to {then}: {to} {fields!r:.400}")
            else:
                answered(client, found, "GET", then)
        client.set_cookie("unit", "cm")  # the next form is another's


def look(app: Flask, store: Store, found: Found, of: Callable[[Household], list[Page]] = pages) -> None:
    """Look at pages, all unless told which, and every drawing and table of a household as it has become."""
    client, home = app.test_client(), store.household()
    for page in of(home):
        answered(client, found, "GET", page.path)
    for make in home.makes:
        answered(client, found, "GET", f"/makes/{make.id}/drawing.svg")
    for path in ("/settings/readings.csv", "/settings/household.json"):
        answered(client, found, "GET", path)
    try:
        open_bundle(store.export_bundle())
    except FitcheckError as error:
        found.wrong.append(f"written as a file that is not taken in again: {error}")


def households(folder: Path) -> Iterator[tuple[Store, Flask, list[Form]]]:
    """The invented household in all its states, again and again as it was, with the forms of all its pages."""
    store, app = demo_app(folder)
    with store:
        client = app.test_client()
        forms = forms_reached(client, [*states(store, client), *(page.path for page in pages(store.household()))], 2)
        forms += forms_of(client, rare_states(store, client))
        whole = store.back_up(folder / "whole.db").read_bytes()
    number = 0
    while True:
        number += 1
        path = folder / f"{number}.db"
        path.write_bytes(whole)
        with Store.open(path) as store:
            yield store, create_app(store, config=Config(port=80)), forms


def main() -> int:
    """Run it long and print what was found."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    chance, found, begun = random.Random(seed), Found(), time.perf_counter()
    with tempfile.TemporaryDirectory() as folder, unexpected(found):
        for store, app, forms in households(Path(folder)):
            send(app, forms, min(A_HOUSEHOLD, count - found.sent), chance, found)
            look(app, store, found)
            if found.sent >= count:
                break
    took = time.perf_counter() - begun
    print(f"{found.sent} forms to {len(found.routes)} routes in {took:.0f} s: {dict(sorted(found.statuses.items()))}")
    print(f"slowest {found.slowest[0]:.2f} s: {found.slowest[1]}")
    print(f"{len(found.wrong)} wrong")
    for wrong in found.wrong[:50]:
        print(wrong)
    return 1 if found.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
