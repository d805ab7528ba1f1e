"""Pages kept as they were rendered: a page is asked for again far more often than anything changes.

A page is kept under all that it can depend on: the state of the store, whatever was changed in it; the day; the
address; and every cookie of the device but the one that says what it saw, which no kept page shows. A page that sets
another cookie is not kept: it says something once, and takes it back from the device.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from flask import Flask, Response, current_app, g, make_response, request

from fitcheck.store.households import state
from webui.pages import views

KEPT = 16
"""Pages that are kept, 0.1 MB each; the one that was asked for longest ago goes first."""
_NAME = "fitcheck kept pages"


@dataclass(frozen=True, slots=True)
class _Page:
    """What was answered, and which answer on a make the device then saw."""

    body: bytes
    looked: tuple[str, str] | None


@dataclass(slots=True)
class _Pages:
    """The pages of one application; any thread may ask."""

    guard: threading.Lock = field(default_factory=threading.Lock)
    pages: OrderedDict[tuple[Any, ...], _Page] = field(default_factory=OrderedDict)

    def get(self, key: tuple[Any, ...]) -> _Page | None:
        with self.guard:
            found = self.pages.get(key)
            if found is not None:
                self.pages.move_to_end(key)
            return found

    def keep(self, key: tuple[Any, ...], page: _Page) -> None:
        with self.guard:
            self.pages[key] = page
            while len(self.pages) > KEPT:
                self.pages.popitem(last=False)


def prepare(app: Flask) -> None:
    """Give an application a place for its pages."""
    app.extensions[_NAME] = _Pages()


def kept(render: Callable[[], Response]) -> Response:
    """Answer a GET with the page as it was rendered for the same request, while nothing at all was changed since.

    The state is read before the page is rendered, so what is kept under it is never older than it.
    """
    with views.store().database.reading() as connection:
        at = state(connection)
    cookies = sorted(one for one in request.cookies.items(multi=True) if one[0] != views.SEEN_COOKIE)
    key = (at, date.today(), request.full_path, tuple(cookies))
    pages: _Pages = current_app.extensions[_NAME]
    found = pages.get(key)
    if found is not None:
        response = make_response(found.body)
        return views.looked(response, *found.looked) if found.looked else response
    response = render()
    sets = [one.partition("=")[0] for one in response.headers.getlist("Set-Cookie")]
    if response.status_code == 200 and set(sets) <= {views.SEEN_COOKIE}:
        pages.keep(key, _Page(response.get_data(), g.get("looked")))
    return response
