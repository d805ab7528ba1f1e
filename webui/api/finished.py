"""A make that is finished, over the API: how it came out, and finishing it."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Response

from fitcheck.records.refusals import shown
from fitcheck.reports.finished import finished
from fitcheck.words.data import as_data
from webui.answers import written
from webui.api.calls import Call, refuse, tagged
from webui.api.records import changed
from webui.finishing import finish
from webui.service import service


def look(call: Call) -> Response:
    """How a make came out."""
    store, key = service().store, call.path["key"]
    store.get("makes", key)  # raises NotFound
    return tagged(written(as_data(finished(store.household(), key))))


def keep(call: Call) -> Response:
    """Finish a make; the same request once more changes nothing."""
    body = call.object(("on", "wardrobe"))
    wardrobe = body.get("wardrobe", True)
    if not isinstance(wardrobe, bool):
        refuse("wardrobe", shown(wardrobe), "true, to hang it in the wardrobe, or false.")
    return changed(finish(service(), call.path["key"], _day(body.get("on")), wardrobe=wardrobe))


def _day(said: Any) -> date | None:
    """The day that was sent; None where none was."""
    if said is None:
        return None
    try:
        return date.fromisoformat(said) if isinstance(said, str) and len(said) == len("2026-11-30") else _no_day(said)
    except ValueError:
        return _no_day(said)


def _no_day(said: Any) -> date:
    refuse("on", shown(said), "A date such as 2026-11-30; nothing is the day that it has, else today.")
