"""A make to pass on: its answer as text, one file with all that it rests on, and a copy for another person."""

from __future__ import annotations

from datetime import date

from flask import Blueprint, Response, abort, request, url_for

from fitcheck.advice.rest.for_another import for_another
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.store.faults import NotFound
from fitcheck.terminal.in_short import printed_to_pass_on
from fitcheck.words import sharing as say
from webui.forms.drafts import Draft
from webui.pages import ground, notices, views
from webui.pages.attached import album, attached
from webui.pages.make.drawing import Drawing
from webui.pages.make.found import make_of, report_or_404

pages = Blueprint("share", __name__)

WIDEST = 10_000
"""Columns of the text: what is pasted into a message breaks its lines there."""


@frozen
class Sharing:
    """What the part for passing a make on shows.

    text      address of the answer as text
    drawing   address of its drawing; empty where there is none
    pictures  whether photographs lie beside any of its records
    """

    text: str
    drawing: str
    pictures: bool


def sharing_of(record: Make, drawing: Drawing, of: str) -> Sharing:
    """What the page of a make passes on.

    of  the piece that the address asks for
    """
    household = views.household_of(record.id, of or None)
    stages = (stage for make in household.makes for piece in make.pieces for stage in piece.stages)
    beside = (entry.photographs for entries in (household.swatches, household.garments, stages) for entry in entries)
    address = url_for("drawing_files.make_drawing", key=record.id, at=drawing.at, piece=of or None)
    text = url_for("share.answer", key=record.id, piece=of or None)
    return Sharing(text, address if drawing.overlay else "", any(beside))


@pages.get("/makes/<key>/answer.txt")
def answer(key: str) -> Response:
    """The answer as text: what the page copies, and what is marked and copied by hand where no script runs."""
    report = report_or_404(make_of(key).id, request.args.get("piece") or None)
    printed = printed_to_pass_on(report, views.unit(), width=WIDEST, mark=ground.mark())
    return Response(printed, mimetype="text/plain")


@pages.get("/makes/<key>/make.json")
def one_make(key: str) -> Response:
    """The make with every record that it rests on, as a household file."""
    try:
        return attached(views.store().export_make(key), "application/json", f"{key}.json")
    except NotFound as error:
        abort(404, str(error))


@pages.get("/makes/<key>/make.zip")
def with_photographs(key: str) -> Response:
    """The same with its photographs."""
    try:
        return album(views.store(), f"{key}.zip", key)
    except NotFound as error:
        abort(404, str(error))


@pages.post("/makes/<key>/copy")
def copy(key: str) -> Response:
    """Begin the make for another person and ask what it must fit; the same form sent again begins one."""
    record = make_of(key)
    draft = Draft(ground.typed(request.form))
    name = say.for_another(record.name)
    document = {**for_another(record, ground.household()), "name": name, "started": date.today().isoformat()}
    kept = draft.keep_new(views.store(), "makes", name, document)
    if kept is None:
        return notices.go(f"/makes/{key}", "; ".join(refusal.accepts for refusal in draft.refusals.values()))
    return notices.go(f"/makes/{kept.key}/fits", say.COPIED, kept)
