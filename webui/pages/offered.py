"""What a page offers to a device that may only measure: forms and links that it may not use are left out of it.

Done to the page as it is rendered, so that one which is new offers nothing that its table of rights does not name.
What a link says besides stays, where it is no button and does not lead to what went.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from html.parser import HTMLParser
from urllib.parse import urlsplit

from flask import current_app, request
from werkzeug.exceptions import HTTPException
from werkzeug.routing import RequestRedirect

from fitcheck.store.devices import Right
from webui.pairing.home import PAIR
from webui.rights import may

BUTTONS = {"btn", "small"}
"""Classes of links that are nothing but a button."""
_ROW = '<div class="btns">'


def offered(page: str, right: Right) -> str:
    """Return a page with what a device may use of it."""
    adapter = current_app.create_url_adapter(request)
    assert adapter is not None

    def usable(to: str, method: str) -> bool:
        path = urlsplit(to).path or request.path
        if path == PAIR:  # answered by the guard, and offered to a device that was removed meanwhile
            return True
        try:
            endpoint, _ = adapter.match(path, method=method)
        except (RequestRedirect, HTTPException):
            return False
        return may(right, str(endpoint))

    left = _left(page, usable, frozenset())
    if lost := left.led_to - left.ids:
        left = _left(page, usable, frozenset(lost))  # a link to what went goes too
    return "".join(left.kept)


def _left(page: str, usable: Callable[[str, str], bool], lost: frozenset[str]) -> _Left:
    left = _Left(usable, lost)
    left.feed(page)
    left.close()
    return left


class _Left(HTMLParser):
    """Copies a page part by part; `kept` is what is left of it.

    usable   whether an address may be asked by a method;  lost: ids that are known not to be there
    ids      those of what is there;  led_to: those that links of the page lead to
    """

    def __init__(self, usable: Callable[[str, str], bool], lost: frozenset[str]) -> None:
        super().__init__(convert_charrefs=False)
        self.kept: list[str] = []
        self.ids: set[str] = set()
        self.led_to: set[str] = set()
        self._usable = usable
        self._lost = lost
        self._drawing = 0  # how deep in drawings
        self._inside = 0  # how deep in something that is left out, in elements of its name
        self._name = ""
        self._links: list[str] = []  # of each link that is open: the tag that stands for it
        self._rows: list[int | None] = []  # of each division that is open: where it begins, if it is a row of buttons

    def handle_starttag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        """Copy an element's beginning, or begin to leave it out."""
        has = {name: value or "" for name, value in attrs}
        text = self.get_starttag_text() or ""
        if self._inside or self._is_out(tag, has):
            self._name = self._name if self._inside else tag
            self._inside += tag == self._name
            return
        self.ids |= {has["id"]} if has.get("id") else set()
        self._drawing += tag == "svg"
        if tag == "a":
            stands = self._leads(has)
            self._links.append("a" if stands else "g" if self._drawing else "span")
            text = text if stands else f"<{self._links[-1]}>"
        if tag == "div":
            self._rows.append(len(self.kept) if text == _ROW else None)
        self.kept.append(text)

    def _is_out(self, tag: str, has: dict[str, str]) -> bool:
        if tag == "form":
            return not self._usable(has.get("action", ""), has.get("method", "get").upper())
        if tag == "a" and (BUTTONS & set(has.get("class", "").split()) or has.get("href", "")[:1] == "#"):
            return not self._leads(has)
        # A button that leads to another page with the form is for forms of records.
        return tag == "button" and has.get("name") == "leave"

    def _leads(self, has: dict[str, str]) -> bool:
        """Whether a link leads where the device may go; one to another side of the page does."""
        to = has.get("href", "#")
        if to.startswith("#"):
            self.led_to.add(to[1:])
            return to[1:] not in self._lost or to == "#"
        return to.startswith("?") or self._usable(to, "GET")

    def handle_endtag(self, tag: str) -> None:
        """Copy an element's end; a row of buttons with none in it goes."""
        if self._inside:
            self._inside -= tag == self._name
            return
        self._drawing -= tag == "svg"
        tag = self._links.pop() if tag == "a" and self._links else tag
        row = self._rows.pop() if tag == "div" and self._rows else None
        if row is not None and not "".join(self.kept[row + 1 :]).strip():
            del self.kept[row:]
            return
        self.kept.append(f"</{tag}>")

    def handle_startendtag(self, tag: str, attrs: Sequence[tuple[str, str | None]]) -> None:
        """Copy an element without an end."""
        self._copy(self.get_starttag_text() or "")

    def handle_data(self, data: str) -> None:
        """Copy text."""
        self._copy(data)

    def handle_entityref(self, name: str) -> None:
        """Copy a character by its name."""
        self._copy(f"&{name};")

    def handle_charref(self, name: str) -> None:
        """Copy a character by its number."""
        self._copy(f"&#{name};")

    def handle_decl(self, decl: str) -> None:
        """Copy the declaration."""
        self._copy(f"<!{decl}>")

    def _copy(self, text: str) -> None:
        if not self._inside:
            self.kept.append(text)
