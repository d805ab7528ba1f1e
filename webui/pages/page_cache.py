"""Pages kept as they were rendered: a page is asked for again far more often than anything changes.

A page is kept under all that it can depend on: the state of the store, whatever was changed in it; the day; what the
device may; the address; and every cookie of the device but those that say what it saw and which forms were taken,
which no kept page shows. A page that sets another cookie is not kept: it says something once, and takes it back from
the device.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date

from flask import Response, g, make_response, request

from fitcheck.records.frozen import frozen
from fitcheck.store.households import state
from webui.cache import Cache
from webui.pages import given_back, views
from webui.service import service


@frozen
class _KeptPage:
    """What was answered, and which answer on a make the device then saw."""

    body: bytes
    looked: tuple[str, str] | None


def kept(render: Callable[[], Response]) -> Response:
    """Answer a GET with the page as it was rendered for the same request, while nothing at all was changed since.

    The state is read before the page is rendered, so what is kept under it is never older than it.
    """
    cache = service().cache
    since = cache.since()
    page, *_ = _there(cache, since)
    if page is not None:
        return _as_kept(page)
    with cache.turn(request.full_path):
        # Whoever waited finds the page that was rendered meanwhile, whatever was changed since.
        page, key, read_at = _there(cache, since)
        if page is not None:
            return _as_kept(page)
        with cache.asked():  # of nothing that is older than what it is kept under
            response = render()
        sets = {cookie.partition("=")[0] for cookie in response.headers.getlist("Set-Cookie")}
        if response.status_code == 200 and sets <= {views.SEEN_COOKIE}:
            cache.keep("page", key, _KeptPage(response.get_data(), g.get("looked")), key[1:], read_at)
        return response


def _there(cache: Cache, since: float) -> tuple[_KeptPage | None, tuple[object, ...], float]:
    """The page of now or of that time on, where one is kept; what it is kept under, and when that was asked for [s]."""
    read_at, key = time.monotonic(), _key()
    return cache.kept("page", key) or cache.latest("page", key[1:], since), key, read_at


def _key() -> tuple[object, ...]:
    """All that a page can depend on, now; the state of the store comes first."""
    store = views.store()
    with store.database.reading() as connection:
        at = state(connection)
    cookies = sorted(
        cookie for cookie in request.cookies.items(multi=True) if cookie[0] not in (views.SEEN_COOKIE, given_back.TAKEN)
    )
    return at, store.kept_from is None, date.today(), views.right(), request.full_path, tuple(cookies)


def _as_kept(page: _KeptPage) -> Response:
    """The answer of a page that is kept."""
    response = make_response(page.body)
    return views.looked(response, *page.looked) if page.looked else response
