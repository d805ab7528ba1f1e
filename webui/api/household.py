"""Everything out and in again: the bundle, and readings as a table."""

from __future__ import annotations

from flask import Response

from fitcheck.store.bundle import HOWS, How
from webui.api.calls import CSV, JSON, Call, data
from webui.api.problems import Refused, named
from webui.service import service


def bundle(call: Call) -> Response:
    """Everything that is kept now, as a household file."""
    raw = service().store.export_bundle()
    return Response(raw, 200, _attached("household.json"), mimetype=JSON)


def taken_in(call: Call) -> Response:
    """Take a household file in, all or nothing."""
    asked = call.one_of("how", HOWS, "merge")
    how: How = next(how for how in HOWS if how == asked)
    imported = service().store.import_bundle(call.bytes(JSON), how)
    return data({name: named(getattr(imported, name)) for name in ("created", "changed", "deleted", "unchanged")})


def readings(call: Call) -> Response:
    """Every reading, one a line."""
    text = service().store.readings_as_csv()
    return Response(text, 200, _attached("readings.csv"), mimetype=CSV)


def readings_in(call: Call) -> Response:
    """Add the readings of a table, all or none."""
    raw = call.bytes(CSV)
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise Refused("not-understood", "The table is no text in UTF-8; save it as CSV UTF-8.") from None
    added = service().store.add_readings_from_csv(text)
    return data({"added": added.added, "already_here": added.already_here})


def _attached(name: str) -> dict[str, str]:
    return {"Content-Disposition": f'attachment; filename="{name}"'}
