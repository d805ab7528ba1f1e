"""Which size of the pattern: every size in this fabric, two of them side by side, and what decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from flask import Blueprint, Response, abort, request, url_for
from pydantic import ValidationError

from fitcheck.advice.sizes import to_knit
from fitcheck.advice.sizes.answers import FreeCounts, SizesAnswer
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Make
from fitcheck.reports.parts import sizes_beside, sizes_told
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import NotFound
from fitcheck.words import deeds
from fitcheck.words import sizes as words_sizes
from webui.forms.fields import called
from webui.pages import ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make import changes
from webui.pages.make import told as make_told
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.size_answer import OwnCounts, SizeParts, size_parts
from webui.service import service

pages = Blueprint("make_sizes", __name__)


@shown_by("make_sizes.html", "makes")
class MakeSizesPage(Page):
    """Which size of the pattern.

    knitted     the piece that is knitted already
    table, tables   name of the make's size table, and whether there is any
    edited      the day on which the table was changed after a piece was cast on
    beside_at, query, typed   where another size is chosen, what goes along, and which is chosen
    sizes       what is answered; None without a table
    """

    make: Make
    ticks: tuple[Tick, ...]
    head: str
    knitted: str
    table: str
    tables: bool
    edited: str
    beside_at: str
    query: Mapping[str, str]
    sizes: SizeParts | None
    typed: Mapping[str, str]


@pages.get("/makes/<key>/sizes")
def sizes(key: str) -> Response:
    """Which size's numbers to knit; `beside` chooses the size that is shown beside the best, `dial` the dial."""
    record = make_of(key)
    report = report_or_404(key, request.args.get("piece") or None)
    parts, typed, query = None, {}, {}
    there = make_told.knitted(report)
    if report.sizes is not None:
        named = None if there else _dial_named(request.args.get("dial", ""))
        answer = report.sizes if there else _each_click(report, named)
        answer = _beside(report, answer, request.args.get("beside", ""), named)
        at = url_for("make_sizes.sizes", key=key)
        knit_at = "" if there else url_for("make_sizes.knit", key=key)
        parts = size_parts(
            answer, report.fabric, dials_at=at, knit_at=knit_at, knitted=there, beside_asked="beside" in request.args
        )
        query = {"dial": named.written()} if named is not None else {}
        if not there:
            parts = replace(parts, own=_own(record.id, answer, named))
        if not isinstance(answer.side_by_side, CannotSay):
            typed = {"beside": answer.side_by_side.second}
        if there:
            # Counts of a whole sweater that nothing of is knitted yet: the counts for the rest reckon with the piece.
            parts = replace(parts, free="", mixed="")
    page = MakeSizesPage(
        make=record,
        ticks=path_of(record, report, "Size"),
        head=parts.headline if parts is not None else make_told.NO_SIZES,
        knitted=there,
        table=called(ground.household().size_tables, record.size_table),
        tables=bool(ground.household().size_tables),
        edited=_edited_since(record),
        beside_at=url_for("make_sizes.sizes", key=key),
        query=query,
        sizes=parts,
        typed=typed,
    )
    return views.show(page)


@pages.post("/makes/<key>/size")
def knit(key: str) -> Response:
    """Make a size of the table the one that is knitted."""
    before = report_or_404(key, None)
    name = request.form.get("size", "")
    if before.sizes is None or before.sizes.size(name) is None:
        abort(404, deeds.NO_SUCH_SIZE)
    stored = views.store().get("makes", key)
    document = to_knit.of_size(stored.record, name, ground.household(), stored.doc)
    if document == {"planned": {}, **stored.doc}:
        return notices.go(changes.page_at(key, None))
    return changes.write(stored, document, before, deeds.size_is_knitted(name))


@pages.post("/makes/<key>/own-counts")
def knit_own(key: str) -> Response:
    """Plan counts of one's own, exactly those that were shown; they are of no size."""
    before = report_or_404(key, None)
    named = _dial_named(request.form.get("dial", ""))
    free = _each_click(before, named).free_counts if before.sizes is not None else None
    if not isinstance(free, FreeCounts) or to_knit.as_shown(free) != request.form.get("own", ""):
        return notices.go(url_for("make_sizes.sizes", key=key), deeds.OTHER_COUNTS_NOW)
    stored = views.store().get("makes", key)
    document = to_knit.of_no_size(stored.doc, free)
    if document == stored.doc:
        return notices.go(changes.page_at(key, None))
    return changes.write(stored, document, before, deeds.OWN_COUNTS)


def _own(make: str, answer: SizesAnswer, named: Dial | None) -> OwnCounts | None:
    """The button of counts of one's own at the dial that the page is for."""
    shown = to_knit.as_shown(answer.free_counts)
    if not shown:
        return None
    sends = {"own": shown, "dial": named.written() if named is not None else ""}
    return OwnCounts(words_sizes.KNIT_OWN, url_for("make_sizes.knit_own", key=make), sends, answer.free_planned)


def _each_click(report: Report, named: Dial | None) -> SizesAnswer:
    """The answer at the advised dial or at one that was asked for, beside the other clicks."""
    told = service().answers.of(report.head.make, report.head.piece).told
    return sizes_told(told, report.fabric, named=named, each_click=True)


def _beside(report: Report, answer: SizesAnswer, name: str, named: Dial | None) -> SizesAnswer:
    """The same with a size that was asked for beside the best."""
    told = service().answers.of(report.head.make, report.head.piece).told
    beside = sizes_beside(told, answer, name, report.fabric, named=named)
    return replace(beside, dials=answer.dials)


def _dial_named(text: str) -> Dial | None:
    """The dial that the address names; None where it names none that is one."""
    try:
        return Dial.model_validate(text) if text else None
    except ValidationError:
        return None


def _edited_since(make: Make) -> str:
    """When the size table was changed after a piece was cast on; empty where it was not."""
    if make.size_table is None or not make.pieces:
        return ""
    store = ground.store()
    try:
        changes = [revision for revision in store.history("size_tables", make.size_table) if revision.revision > 1]
        if not changes:
            return ""
        cast_on = next(
            revision.at
            for revision in reversed(store.history("makes", make.id))
            if not revision.deleted and store.get("makes", make.id, revision.revision).doc.get("pieces")
        )
    except (NotFound, StopIteration):
        return ""
    latest = changes[0].at
    return latest[:10] if latest > cast_on else ""
