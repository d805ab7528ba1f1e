"""The rest of a sweater: what to cast on next, every count that is still to knit, and all pieces in one drawing."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from fitcheck.advice.rest.for_another import counts_of
from fitcheck.drawing.look import PAGE
from fitcheck.drawing.pieces import pieces_drawing
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import KINDS, PieceKind
from fitcheck.reports.on_the_needles import all_on_the_needles, bands_begun, in_hand
from fitcheck.reports.pieces_to_draw import pieces_to_draw
from fitcheck.reports.shapes import Report
from fitcheck.reports.the_rest import NOTHING_LEFT, RestAnswer, TheRest
from fitcheck.store.stored import Stored
from fitcheck.words.in_figures import InFigures, chance_in_figures
from fitcheck.words.lifting import ASKED_AGAIN, LIFTED, NO_SUCH_WAY, LiftedSaid, lifted_said
from fitcheck.words.on_the_needles import KEPT, TAKEN, BandSaid, NeedlesSaid, band_said, needles_said
from fitcheck.words.seams import seams_said
from fitcheck.words.the_rest import (
    READ_FIRST,
    TO_THE_ANSWER,
    RestSaid,
    counts_button,
    finished_said,
    rest_said,
    sheet_button,
)
from fitcheck.words.yarn_left import band_ended, yarn_said
from webui.beginning import SheetChanged, begin_sheet, end_sheet, keep_sheet, rest_of_make, sheet_shown
from webui.lifting import WaysChanged, ask_again, take_way
from webui.pages import ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of, measure_url
from webui.pages.make.path import Tick, path_of
from webui.service import Service, service

pages = Blueprint("rest_page", __name__)


@frozen
class Drawn:
    """The drawing of all pieces.

    svg      empty where nothing can be drawn
    lines    the kinds of lines that occur in it
    figures  figure of each count that stands in it, by kind of piece and point
    """

    svg: Markup
    lines: tuple[str, ...] = ()
    figures: Mapping[tuple[PieceKind, str], int] | None = None

    def figure(self, kind: PieceKind, key: str) -> int | None:
        """The figure that joins a row of a table to the drawing; None where it does not stand there."""
        return (self.figures or {}).get((kind, key))


@shown_by("make_rest.html", "makes")
class RestPage(Page):
    """Counts of the pieces still to knit.

    said     heading, the sentence under it, a table for each piece
    chance   that every point fits; None where it is not said
    seams, yarn  the first sentence of each; empty where nothing can be said of the rest
    sheets   kinds of pieces that have a sheet
    next     the piece to cast on, where it has a sheet;  to_sheet: the button that leads there
    drawn    all pieces in one drawing
    needles  the piece on the needles: go on with it, or choose; None where none is
    on       its kind; empty where none is
    first    where what comes before the counts is done, and the word on its button; empty where nothing does
    sew      every piece is knitted, and it is to be sewn
    counted  where the counts of the judged piece are put right, and the word on its button; empty where all holds
    lifted   demands that were lifted
    bands    those whose sheets are begun, each with the id of its sheet
    digest   of the answer
    """

    make: Make
    ticks: tuple[Tick, ...]
    said: RestSaid
    chance: InFigures | None
    seams: str
    yarn: str
    sheets: frozenset[str]
    next: str
    to_sheet: str
    drawn: Drawn
    needles: NeedlesSaid | None
    on: str
    first: tuple[str, str]
    sew: bool
    counted: tuple[str, str]
    lifted: tuple[LiftedSaid, ...]
    bands: tuple[tuple[BandSaid, str], ...]
    digest: str


@pages.get("/makes/<key>/rest")
def rest(key: str) -> Response:
    """What to cast on next, and every count of the pieces still to knit."""
    record = make_of(key)
    the_rest, _ = rest_of_make(service(), key)
    tape, report = ground.tape(), listed_report_or_404(key, None)
    answer = the_rest.answer
    sheets = frozenset(
        piece.kind for piece in answer.pieces if not isinstance(sheet_shown(service(), key, piece.kind), CannotSay)
    )
    needles = all_on_the_needles(the_rest, record, lambda sheet: views.store().taps_on(record.id, sheet))
    chief = in_hand(needles, answer.next)
    asked = chief if chief is not None and chief.asks else None
    page = RestPage(
        make=record,
        ticks=path_of(record, report, "The rest"),
        said=finished_said(record.finished, counts_of(record, ground.household()))
        if record.finished is not None
        else rest_said(answer, tape, {asked.kind: asked.begun.counts} if asked is not None else None),
        chance=chance_in_figures(report) if answer.why is None else None,
        seams=seams_said(answer, tape).head if answer.why is None else "",
        yarn=yarn_said(answer, tape).head if answer.why is None else "",
        sheets=sheets,
        next=answer.next if answer.next in sheets else "",
        to_sheet=sheet_button(answer.next) if answer.next in sheets else "",
        drawn=_drawn(the_rest, {piece.kind: piece.row for piece in needles if piece.row is not None}),
        needles=needles_said(chief) if chief is not None else None,
        on=chief.kind if chief is not None else "",
        first=_first(record, answer),
        sew=answer.why == NOTHING_LEFT,
        counted=_counted(record, report, answer),
        lifted=lifted_said(record.choices.lifted),
        bands=tuple(
            (band_said(band), band.begun.id)
            for band in bands_begun(record, lambda sheet: views.store().taps_on(record.id, sheet))
        ),
        digest=answer.digest,
    )
    return views.show(page)


@pages.post("/makes/<key>/rest/lift")
def lift(key: str) -> Response:
    """Take one of the ways out that the page offered."""
    return _done(key, lambda place, digest: take_way(service(), key, place, digest), LIFTED)


@pages.post("/makes/<key>/rest/ask-again")
def again(key: str) -> Response:
    """Ask again for what was lifted."""
    return _done(key, lambda place, digest: ask_again(service(), key, place, digest), ASKED_AGAIN)


def _done(key: str, change: Callable[[int, str], Stored], said: str) -> Response:
    """Change the choices as a button of the page says, and show what comes of it."""
    make_of(key)
    at, place = f"/makes/{key}/rest", request.form.get("place", "")
    if not (place.isascii() and place.isdigit() and len(place) < 3):
        abort(400, NO_SUCH_WAY)
    try:
        return notices.go(at, said, change(int(place), request.form.get("answer", "")))
    except WaysChanged as changed:
        return notices.go(at, str(changed))


def _first(record: Make, answer: RestAnswer) -> tuple[str, str]:
    """What comes before the counts, as a button: where it is done, and its word; both empty where they are there."""
    if answer.waits is not None:
        return f"/makes/{record.id}", TO_THE_ANSWER
    if answer.why is not None and answer.why.code == "no_counts":
        return measure_url(record), READ_FIRST
    return "", ""


def _counted(record: Make, report: Report, answer: RestAnswer) -> tuple[str, str]:
    """Where the counts of the judged piece are put right: what cannot hold together may come of a slip in them."""
    judged = by_key(record.pieces, report.head.piece)
    if answer.refused is None or judged is None:
        return "", ""
    return f"/makes/{record.id}/pieces/{judged.id}", counts_button(judged.piece)


@pages.post("/makes/<key>/rest/end-band")
def end_band(key: str) -> Response:
    """End the sheet of a band that is on."""
    make_of(key)
    at = f"/makes/{key}/rest"
    try:
        off = end_sheet(service(), key, request.form.get("sheet", ""))
        return notices.go(at, band_ended(off.lot, off.left), off.stored, together=off.together)
    except SheetChanged as changed:
        return notices.go(at, str(changed))


@pages.post("/makes/<key>/rest/keep")
def keep(key: str) -> Response:
    """Go on from the sheet on the needles."""
    return _of_sheet(key, keep_sheet, KEPT)


@pages.post("/makes/<key>/rest/knit")
def knit(key: str) -> Response:
    """Begin the sheet by the newer counts; the one on the needles is ended and keeps its ticks."""
    return _of_sheet(key, begin_sheet, TAKEN)


def _of_sheet(key: str, change: Callable[[Service, str, PieceKind, str], Stored], said: str) -> Response:
    """Change what became of the sheet that was shown, and show what comes of it."""
    make_of(key)
    kind = next((kind for kind in KINDS if kind == request.form.get("piece")), None)
    if kind is None:
        abort(400, NO_SUCH_WAY)
    at = f"/makes/{key}/rest"
    try:
        return notices.go(at, said, change(service(), key, kind, request.form.get("sheet", "")))
    except SheetChanged as changed:
        return notices.go(at, str(changed))


def _drawn(the_rest: TheRest, rows: Mapping[PieceKind, int]) -> Drawn:
    made = pieces_drawing(pieces_to_draw(the_rest), views.unit(), rows=rows, look=PAGE)
    return Drawn(views.svg_markup(made.svg), made.lines, made.figures) if made is not None else Drawn(Markup())
