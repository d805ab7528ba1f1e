"""Pages kept as they were rendered: a page is asked for again far more often than anything changes.

A page is kept under all that it can depend on: the state of the store, whatever was changed in it; the day; what the
device may; the address; and every cookie of the device but those that say what it saw and which forms were taken,
which no kept page shows. A page that sets another cookie is not kept: it says something once, and takes it back from
the device.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from flask import Response, g, make_response, request

from fitcheck.store.households import state
from webui.pages import given_back, views
from webui.service import service


@dataclass(frozen=True, slots=True)
class _KeptPage:
    """What was answered, and which answer on a make the device then saw."""

    body: bytes
    looked: tuple[str, str] | None


def kept(render: Callable[[], Response]) -> Response:
    """Answer a GET with the page as it was rendered for the same request, while nothing at all was changed since.

    The state is read before the page is rendered, so what is kept under it is never older than it.
    """
    if (response := _as_kept(_key())) is not None:
        return response
    cache = service().cache
    with cache.turn(request.full_path):
        # Whoever waited finds the page that was rendered meanwhile, perhaps of a later state.
        key = _key()
        if (response := _as_kept(key)) is not None:
            return response
        response = render()
        sets = {cookie.partition("=")[0] for cookie in response.headers.getlist("Set-Cookie")}
        if response.status_code == 200 and sets <= {views.SEEN_COOKIE}:
            cache.keep("page", key, _KeptPage(response.get_data(), g.get("looked")))
        return response


def _key() -> tuple[object, ...]:
    """All that a page can depend on, now."""
    store = views.store()
    with store.database.reading() as connection:
        at = state(connection)
    cookies = sorted(
        cookie for cookie in request.cookies.items(multi=True) if cookie[0] not in (views.SEEN_COOKIE, given_back.TAKEN)
    )
    return at, store.kept_from is None, date.today(), views.right(), request.full_path, tuple(cookies)


def _as_kept(key: tuple[object, ...]) -> Response | None:
    """The page that is kept under a key."""
    page: _KeptPage | None = service().cache.kept("page", key)
    if page is None:
        return None
    response = make_response(page.body)
    return views.looked(response, *page.looked) if page.looked else response
