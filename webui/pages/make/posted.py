"""What is done on a make's page: answers, counts, a reading set aside; a make deleted and brought back."""

from __future__ import annotations

from typing import Any, get_args

from flask import Blueprint, Response, abort, request

from fitcheck import words
from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.faults import RecordsError
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import NotFound, StillNamed
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, wants
from fitcheck.words.phrases import spaced
from webui.forms.drafts import Refusal
from webui.forms.fields import Document
from webui.forms.typed import whole_number
from webui.pages import ground, notices, views
from webui.pages.asked import Asked, answered
from webui.pages.make import changes, right_sweater
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.page import show
from webui.pages.reading_lines import where_of

pages = Blueprint("make_posted", __name__)


def _piece_asked() -> str | None:
    return request.form.get("of") or None


@pages.post("/makes/<key>/aside")
def aside(key: str) -> Response:
    """Set a reading aside with a reason; it stays and does not count any more."""
    before = report_or_404(key, _piece_asked())
    place, reading = request.form.get("place", ""), request.form.get("which", "")
    reason = request.form.get("reason", "").strip() or ground.NO_REASON
    try:
        done = views.store().set_aside(where_of(place), reading, reason[:400])
    except NotFound as error:
        abort(404, str(error))
    return changes.told(done, before, deeds.READING_ASIDE, _piece_asked())


@pages.post("/makes/<key>/answer")
def answer(key: str) -> Response:
    """Answer a question: what was meant, typed again, or kept as it is."""
    before = report_or_404(key, _piece_asked())
    return answered(
        map(Asked, before.questions),
        f"/makes/{key}",
        lambda refusals: show(key, status=422, refusals=refusals),
        lambda done, said: changes.told(done, before, said, _piece_asked()),
    )


@pages.post("/makes/<key>/right-sweater")
def right(key: str) -> Response:
    """Keep the sweater that the piece is far from: its readings count as they stand, and it is not asked again."""
    before = report_or_404(key, _piece_asked())
    store, record = views.store(), make_of(key)
    if before.right_sweater is None:
        return notices.go(f"/makes/{key}", deeds.ANSWERED_ALREADY)
    stored = store.get("makes", key)
    document = right_sweater.kept(before, record, stored.doc)
    return changes.write(stored, document, before, deeds.SWEATER_KEPT, _piece_asked())


@pages.post("/makes/<key>/count")
def count(key: str) -> Response:
    """Keep a count of stitches or rows of a piece, as counted on it."""
    before = report_or_404(key, _piece_asked())
    stored = views.store().get("makes", key)
    document, point = stored.doc, request.form.get("point", "")
    record = next((piece for piece in document.get("pieces", []) if piece["id"] == before.head.piece), None)
    if record is None or point not in POINTS:
        abort(404, deeds.NO_SUCH_POINT)
    counts = record.setdefault("counts", {}).setdefault(point, {})
    return _keep_count(before, stored, document, counts, "counted", "count", deeds.COUNTED)


@pages.post("/makes/<key>/planned")
def planned(key: str) -> Response:
    """Keep a planned count of a piece that is still to be knitted."""
    before = report_or_404(key, _piece_asked())
    stored = views.store().get("makes", key)
    document, kind, point = stored.doc, request.form.get("kind", ""), request.form.get("point", "")
    if kind not in get_args(PieceKind) or point not in POINTS or kind not in POINTS[point].pieces:
        abort(404, deeds.NO_SUCH_POINT)
    counts = document.setdefault("planned", {}).setdefault(kind, {})
    return _keep_count(before, stored, document, counts, point, f"planned-{kind}", deeds.planned_for(spaced(kind)))


@pages.post("/makes/<key>/planned/keep")
def planned_kept(key: str) -> Response:
    """Keep a planned count that was asked about: it is right, and is asked about no more."""
    before = report_or_404(key, _piece_asked())
    stored, asked = views.store().get("makes", key), before.first.uneven if before.first is not None else None
    if before.first is None or asked is None:
        return notices.go(f"/makes/{key}", deeds.ANSWERED_ALREADY)
    kind, sent = before.first.kind, [request.form.get(name) for name in ("kind", "point", "count")]
    if sent != [kind, asked.key, str(asked.count)]:
        return notices.go(f"/makes/{key}", deeds.ASKED_OTHERWISE)
    document = stored.doc
    document.setdefault("planned_kept", {}).setdefault(kind, {})[asked.key] = asked.count
    return changes.write(stored, document, before, deeds.count_kept(asked.count, asked.key), _piece_asked())


def _keep_count(
    before: Report, stored: Stored, document: Document, counts: dict[str, Any], name: str, field: str, because: str
) -> Response:
    """Keep the count that was typed; shown again where it is none.

    counts, name  where in the document of the make it goes
    field         of the form, beside which it is refused
    """
    text = request.form.get("count", "").strip()
    number = whole_number(text, 1, MOST_COUNTED)
    if number is None:
        return show(stored.key, status=422, refusals={field: Refusal(text, wants.WHOLE_NUMBER)})
    counts[name] = number
    try:
        done = views.store().put("makes", stored.key, document, stored.revision)
    except RecordsError as error:
        return show(stored.key, status=422, refusals={field: Refusal(text, words.accepted(error.faults[0].accepts))})
    return changes.told(done, before, f"{text} {because}", _piece_asked())


@pages.post("/makes/<key>/delete")
def delete(key: str) -> Response:
    """Delete a make: it is kept, and one button brings it back."""
    store = views.store()
    try:
        stored = store.get("makes", key)
        gone = store.delete("makes", key, stored.revision)
    except NotFound as error:
        abort(404, str(error))
    except StillNamed as error:
        return notices.go(f"/makes/{key}", str(error))
    return notices.go("/makes", deeds.make_deleted(stored.doc["name"]), gone)


@pages.post("/makes/<key>/bring-back")
def bring_back(key: str) -> Response:
    """Bring a deleted make back."""
    try:
        views.store().bring_back("makes", key)
    except NotFound as error:
        abort(404, str(error))
    return notices.go(f"/makes/{key}", deeds.is_back())
