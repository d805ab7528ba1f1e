"""Sheets at the machine over the API: begun as they were answered, tapped once by an id, how far, and ended."""

from __future__ import annotations

import json
from contextlib import suppress
from typing import Any

from flask import Response
from pydantic import ValidationError

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.begun_sheets import Tap
from fitcheck.records.faults import RecordsError
from fitcheck.records.files import faults_in
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.refusals import refusals, shown
from fitcheck.reports.progress import Progress, progress_of
from fitcheck.reports.shown_sheet import begun_of, sheet_by_counts
from fitcheck.store.faults import SheetNotFound, TapBeyondSheet
from fitcheck.words.cannot_say import cannot_say_sentence
from webui.api.calls import Call, data, refuse
from webui.api.problems import problem
from webui.api.rest import kind_of_sheet
from webui.beginning import SheetChanged, begin_sheet, end_sheet, rest_of_make
from webui.service import service


def begin(call: Call) -> Response:
    """Begin the sheet of a piece as it was answered; the same once more begins none."""
    body = call.object(("report",), needed=("report",))
    kind, key = kind_of_sheet(call), call.path["key"]
    rest, make = rest_of_make(service(), key)
    if body["report"] != rest.answer.digest:
        return problem(
            "answer-changed",
            "The answer changed since this sheet was shown. Look at its lines again, then begin it.",
            report=rest.answer.digest,
        )
    shown_now = sheet_by_counts(rest, make, kind)
    if isinstance(shown_now, CannotSay):
        refuse("piece", shown(kind), cannot_say_sentence(shown_now))
    make = begin_sheet(service(), key, kind, shown_now.digest).record
    assert isinstance(make, Make)
    begun = begun_of(make, kind)
    assert begun is not None
    return data(_written(progress_of(begun, service().store.taps_on(key, begun.id))))


def add(call: Call) -> Response:
    """Keep a tap; the same once more is the same tap."""
    body = call.object(("line", "done", "counter", "at", "device"), needed=("line", "done", "counter", "at"))
    try:
        service().store.add_tap(call.path["key"], call.path["sheet"], _tap(call.path["id"], body))
    except TapBeyondSheet:
        refuse("line", shown(body["line"]), f"A line of the sheet, 0 to {_progress(call).lines - 1}.")
    return data(_written(_progress(call)))


def end(call: Call) -> Response:
    """End a begun sheet; one that is ended already stays so."""
    with suppress(SheetChanged):
        end_sheet(service(), call.path["key"], call.path["sheet"])
    return data(_written(_progress(call)))


def progress(call: Call) -> Response:
    """How far a begun sheet is knitted."""
    return data(_written(_progress(call)))


def _tap(name: str, body: dict[str, Any]) -> Tap:
    """The tap that was sent; raises RecordsError with every fault of it."""
    document = {"id": name, **body}
    text = json.dumps(document)
    try:
        return Tap.model_validate_json(text)
    except ValidationError as error:
        found = list(refusals(error.errors(include_url=False, include_input=False), document, Tap))
        raise RecordsError(faults_in(found, document, text, with_lines=False)) from None


def _progress(call: Call) -> Progress:
    key, name = call.path["key"], call.path["sheet"]
    make = service().store.get("makes", key).record
    assert isinstance(make, Make)
    begun = by_key(make.sheets, name)
    if begun is None:
        raise SheetNotFound(key, name)
    return progress_of(begun, service().store.taps_on(key, name))


def _written(progress: Progress) -> dict[str, Any]:
    return {
        "sheet": progress.sheet,
        "ended": progress.ended,
        "lines": progress.lines,
        "done": list(progress.done),
        "next": progress.next,
        "latest": [tap.model_dump(mode="json") for _, tap in sorted(progress.latest.items())],
    }
