"""Forms as a browser without scripts finds them: every page that is reached by links, and every form that stands there.

Nobody lists them: a form that is new on a page is found because the page is.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import parse_qsl, urljoin, urlsplit

from flask import Flask
from werkzeug.exceptions import HTTPException
from werkzeug.test import Client

from fitcheck.store import Store

TYPED = {"text", "textarea", "search", "date", "number", "email"}
"""Kinds of controls in which a text is typed."""
TICKED = {"radio", "checkbox"}
A_ROUTE = 3
"""Pages of one route, with the same names in their query, that are looked at: the next ones have the same forms."""


PLACES = {
    "makes": "/makes",
    "garments": "/wardrobe",
    "wearers": "/people",
    "swatches": "/swatches",
    "size_tables": "/size-tables",
    "yarns": "/swatches/yarns",
    "machines": "/swatches/machines",
}
"""Where a record of a kind has its page."""


@dataclass(slots=True)
class Control:
    """One control of a form.

    kind    of an input its type, else the name of its element; "submit" of a button
    chosen  whether it is sent untouched
    """

    name: str
    kind: str
    value: str = ""
    chosen: bool = True
    choices: list[str] = field(default_factory=list)
    action: str = ""


@dataclass(slots=True)
class Form:
    """One form of one page: where it stands, where it goes and what is in it."""

    page: str
    action: str
    method: str
    multipart: bool
    controls: list[Control] = field(default_factory=list)

    @property
    def typed(self) -> list[str]:
        """Names of the controls in which a text is typed, each once."""
        return list(dict.fromkeys(control.name for control in self.controls if control.kind in TYPED))

    def untouched(self) -> dict[str, list[str]]:
        """What is sent by it as it stands, without a button."""
        sent: dict[str, list[str]] = {}
        for control in self.controls:
            if control.chosen and control.kind not in ("submit", "file"):
                sent.setdefault(control.name, []).append(control.value)
        return sent

    def ways(self) -> Iterator[tuple[str, dict[str, list[str]]]]:
        """Ways to send it: where it goes and what its button adds; once without where it has none with a name."""
        buttons = [control for control in self.controls if control.kind == "submit"]
        for button in buttons or [Control("", "submit")]:
            yield button.action or self.action, {button.name: [button.value]} if button.name else {}


class Read(HTMLParser):
    """The links and forms of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.page = page
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._by_id: dict[str, Form] = {}
        self._open: Form | None = None
        self._select: Control | None = None
        self._text: Control | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        if tag == "a" and "href" in said:
            self.links.append(urljoin(self.page, said["href"]))
        elif tag == "form":
            self._open = self._form(said)
        elif tag == "option" and self._select is not None:
            self._choice(self._select, said)
        elif tag in ("input", "textarea", "select", "button"):
            self._control(tag, said)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None
        elif tag == "select":
            self._select = None
        elif tag == "textarea":
            self._text = None

    def handle_data(self, data: str) -> None:
        if self._text is not None:
            # The line break behind the tag is none of it.
            self._text.value += data if self._text.value else data.removeprefix("\n")

    def _form(self, said: Mapping[str, str]) -> Form:
        action = urljoin(self.page, said.get("action") or self.page)
        form = Form(self.page, action, said.get("method", "get").lower(), "multipart" in said.get("enctype", ""))
        self.forms.append(form)
        if "id" in said:
            self._by_id[said["id"]] = form
        return form

    def _control(self, tag: str, said: Mapping[str, str]) -> None:
        form = self._by_id.get(said["form"]) if "form" in said else self._open
        if form is None or "disabled" in said:
            return
        kind = said.get("type", "text") if tag == "input" else tag
        if tag == "button":
            if said.get("type", "submit") != "submit":
                return
            kind = "submit"
        control = Control(said.get("name", ""), kind, said.get("value", "on" if kind in TICKED else ""))
        control.chosen = kind not in TICKED or "checked" in said
        control.action = urljoin(self.page, said["formaction"]) if "formaction" in said else ""
        if control.name or kind == "submit":
            form.controls.append(control)
        if tag == "select":
            self._select = control
        elif tag == "textarea":
            self._text = control

    def _choice(self, select: Control, said: Mapping[str, str]) -> None:
        value = said.get("value", "")
        if not select.choices or "selected" in said:
            select.value = value
        select.choices.append(value)


def read_page(page: str, markup: str) -> Read:
    """Read a page."""
    read = Read(page)
    read.feed(markup)
    read.close()
    return read


def pages_reached(client: Client, begin: Sequence[str] = ("/",), a_route: int = A_ROUTE) -> dict[str, Read]:
    """Some pages, whatever they answer, and those that links lead to: so many of a route with the same query names."""
    looked: dict[str, Read] = {}
    of_route: dict[tuple[object, ...], int] = {}
    waiting, known = list(dict.fromkeys(begin)), set(begin)
    while waiting:
        at = waiting.pop(0)
        kind = _kind(client.application, at)
        if kind is None or (of_route.get(kind, 0) >= a_route and at not in begin):
            continue
        answer = client.get(at)
        if answer.mimetype != "text/html" or (answer.status_code != 200 and at not in begin):
            continue
        of_route[kind] = of_route.get(kind, 0) + 1
        looked[at] = read_page(at, answer.data.decode())
        for link in looked[at].links:
            to = link.partition("#")[0]
            if to not in known and not urlsplit(to).netloc and to.startswith("/"):
                known.add(to)
                waiting.append(to)
    return looked


def forms_reached(client: Client, begin: Sequence[str] = ("/",), a_route: int = A_ROUTE) -> list[Form]:
    """Every form of these pages that is posted; of those alike, which go alike with the same names, the first."""
    return _each_once(client, pages_reached(client, begin, a_route).values())


def forms_of(client: Client, pages: Sequence[str]) -> list[Form]:
    """Every form of these pages alone."""
    return _each_once(client, [read_page(at, client.get(at).data.decode()) for at in pages])


def _each_once(client: Client, pages: Iterable[Read]) -> list[Form]:
    alike: dict[object, Form] = {}
    for read in pages:
        for form in read.forms:
            if form.method == "post":
                names = {re.sub(r"\d+", "0", control.name) + control.kind for control in form.controls}
                ways = {(re.sub(r"\d+", "0", to), *map(repr, added.items())) for to, added in form.ways()}
                doing = {way[1:] for way in ways}
                key = _kind(client.application, form.action, "POST"), frozenset(names), frozenset(doing)
                alike.setdefault(key, form)
    return list(alike.values())


def _kind(app: Flask | None, at: str, method: str = "GET") -> tuple[object, ...] | None:
    """The route of an address and the names in its query; None where there is none."""
    assert app is not None
    parts = urlsplit(at)
    try:
        route = app.url_map.bind("localhost").match(parts.path, method=method)[0]
    except HTTPException:
        return None
    return route, *sorted({name for name, _ in parse_qsl(parts.query, keep_blank_values=True)})


def post_route(app: Flask, to: str) -> str:
    """The route that a form goes to."""
    return str(app.url_map.bind("localhost").match(urlsplit(to).path, method="POST")[0])


def states(store: Store, client: Client) -> list[str]:
    """Bring about what the invented household has not, and return the addresses where it stands."""
    store.put("makes", "planned", {"name": "planned, no piece knitted yet"}, 0)
    first = {
        name: told for name, told in store.get("makes", "moss_first").doc.items() if name not in ("size", "planned")
    }
    store.put("makes", "no_size", first | {"id": "no_size"}, 0)
    dial_unsaid = store.get("makes", "grey_pullover").doc | {"id": "no_dial"}
    pieces = [{name: told for name, told in piece.items() if name != "dial"} for piece in dial_unsaid["pieces"]]
    store.put("makes", "no_dial", dial_unsaid | {"pieces": pieces}, 0)
    store.put("makes", "odd_repeats", dial_unsaid | {"id": "odd_repeats", "multiple": 6, "balance": 1}, 0)
    odd = [{"text": text, "unit": "cm"} for text in ("54", "5.4")]
    occasion = {"id": "first", "readings": {"chest": odd}}
    store.put("garments", "asked", {"name": "asked", "occasions": [occasion]}, 0)
    store.put("wearers", "asked", {"name": "asked", "body": {"chest": odd}}, 0)
    there = [f"{place}/asked" for place in ("/wardrobe", "/people")]
    for kind, place in PLACES.items():
        of_demo = getattr(store.household(), kind)[0].id
        store.put(kind, "gone", store.get(kind, of_demo).doc | {"id": "gone"}, 0)
        store.delete(kind, "gone", 1)
        there.append(f"{place}/gone")
    # Said once after a change, with its undo.
    store.put("wearers", "unnamed", {"name": "unnamed"}, 0)
    client.post("/people/unnamed/delete")
    return ["/", *there, "/makes/no_size/sizes", "/makes/odd_repeats/rest", "/makes/no_dial/fabric"]
