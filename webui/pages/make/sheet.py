"""The sheet of a piece on the screen and on paper: its lines, what of them is done, and how it is begun."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.to_come.plans_of import rib_mm, rib_to_count
from fitcheck.drawing.check_bar import check_bar_path
from fitcheck.drawing.one_piece import piece_drawing, stitch_levels
from fitcheck.drawing.seams import edge_flat
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.plan import Plan
from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.records.sheet_kinds import SHEET_KINDS, SheetKind
from fitcheck.reports.progress import progress_of
from fitcheck.reports.shown_sheet import ShownSheet
from fitcheck.reports.the_rest import is_band
from fitcheck.words import sheet_page as say
from fitcheck.words import wants
from fitcheck.words.picked_up import pick_said
from fitcheck.words.sheet import SheetTold, sheet_told
from fitcheck.words.sheet_page import RibAsked, SheetSaid, sheet_said
from webui.beginning import SheetChanged, begin_sheet, newer_sheet, rest_of_make, sheet_shown
from webui.forms.drafts import Refusal
from webui.forms.typed import whole_number
from webui.pages import ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of
from webui.service import service

pages = Blueprint("sheet", __name__)


@frozen
class NoSheet:
    """What is said where there is no sheet: a heading, the reason, and a button with where it leads."""

    head: str
    because: str
    button: str
    to: str


@shown_by("make_sheet.html", "makes")
class SheetPage(Page):
    """The sheet of a piece, on the screen and on paper.

    here    its address
    said    heading and what stands around it;  told: the lines; both None where there is no sheet
    drawing  the piece with the rows of its points; empty where there is none;  drawn: what stands under it
    bar     of 100 mm, to check the print by
    absent  what is said instead
    digest  of its lines, with which it is begun
    begun   whether it was;  older: its counts have become others since
    band    edge of the band that it is of; empty of a piece
    newer   digest of the lines that a band has by newer counts; empty where there are none to begin it anew by
    rib     the question how many rows a rib has; None where it is not to be asked
    refusals  of its field
    """

    make: Make
    here: str
    said: SheetSaid | None
    told: SheetTold | None
    drawing: Markup
    drawn: str
    bar: str
    absent: NoSheet | None
    digest: str
    begun: bool
    older: bool
    band: str
    newer: str
    rib: RibAsked | None
    refusals: Mapping[str, Refusal]


@pages.get("/makes/<key>/sheets/<piece>")
def sheet(key: str, piece: str) -> Response:
    """The sheet of a piece: the one that was begun while it is on the needles, else the one by the counts."""
    return _show(key, _kind(piece))


@pages.post("/makes/<key>/sheets/<piece>/begin")
def begin(key: str, piece: str) -> Response:
    """Begin the sheet that was shown, to knit from the screen or from paper: its lines stay as they are."""
    make_of(key)
    here = _address(key, _kind(piece))
    try:
        begin_sheet(service(), key, _kind(piece), request.form.get("digest", ""))
    except SheetChanged as changed:
        return notices.go(here, str(changed))
    match request.form.get("to"):
        case "machine":
            return notices.go(f"{here}/machine", say.BEGUN)
        case "print":
            return notices.go(f"{here}?print", say.PRINT_THIS)
        case _:
            return notices.go(here, say.BEGUN)


@pages.post("/makes/<key>/sheets/<piece>/rib")
def rib(key: str, piece: str) -> Response:
    """Keep the rows of the rib of a knitted piece, which the one on the sheet is knitted like."""
    make_of(key)
    kind, text = _kind(piece), request.form.get("rows", "").strip()
    stored = views.store().get("makes", key)
    document, of = stored.doc, request.form.get("of", "")
    knitted = next((written for written in document.get("pieces", []) if written["id"] == of), None)
    if knitted is None:
        abort(404)
    rows = whole_number(text, 0, MOST_COUNTED)
    if rows is None:
        return _show(key, kind, {"rows": Refusal(text, wants.WHOLE_NUMBER)})
    knitted["rib"] = {**(knitted.get("rib") or {}), "rows": rows}
    try:
        done = views.store().put("makes", key, document, stored.revision)
    except RecordsError as error:
        return _show(key, kind, {"rows": Refusal(text, words.accepted(error.faults[0].accepts))})
    return notices.go(_address(key, kind), say.RIB_KEPT, done)


def _show(key: str, kind: SheetKind, refusals: Mapping[str, Refusal] | None = None) -> Response:
    record, here = make_of(key), _address(key, kind)
    shown = sheet_shown(service(), key, kind)
    if isinstance(shown, CannotSay):
        absent = NoSheet(*say.absent(kind, shown), *say.first_to(record, kind, shown))
        return views.show(
            SheetPage(record, here, None, None, Markup(), "", "", absent, "", False, False, "", "", None, {})
        )
    band = rest_of_make(service(), key)[0].band(kind)
    counted = rib_to_count(record, kind) if shown.begun is None else None
    said, told = _said(key, kind, shown)
    page = SheetPage(
        make=record,
        here=here,
        said=said,
        told=told,
        drawing=Markup() if shown.older else _drawing(key, kind),
        drawn=say.EDGE_DRAWN if is_band(kind) else say.drawn_in(views.unit()),
        bar=check_bar_path(),
        absent=None,
        digest=shown.digest,
        begun=shown.begun is not None,
        older=shown.older,
        band=band.edge if band is not None else "",
        newer=_newer(key, kind) if shown.older and is_band(kind) else "",
        rib=say.rib_asked(kind, counted.piece, counted.id) if counted is not None else None,
        refusals=refusals or {},
    )
    return views.show(page, 422 if refusals else 200)


def _newer(key: str, kind: SheetKind) -> str:
    """Digest of the lines by the counts as they are now; empty where there are none."""
    newer = newer_sheet(service(), key, kind)
    return "" if isinstance(newer, CannotSay) else newer.digest


def _said(key: str, kind: SheetKind, shown: ShownSheet) -> tuple[SheetSaid, SheetTold]:
    """What stands above its lines, and they, with what of them is done."""
    begun = shown.begun
    progress = progress_of(begun, views.store().taps_on(key, begun.id)) if begun is not None else None
    rest, _ = rest_of_make(service(), key)
    coming = next((piece for piece in rest.answer.pieces if piece.kind == kind), None)
    now = {point: count.count for point, count in coming.counts.items()} if coming is not None else {}
    other = coming is not None and coming.other
    said = sheet_said(shown.sheet, begun, progress, now if shown.older else None, other=other)
    band = rest.band(kind)
    if band is not None and not shown.older:
        said = replace(said, because=(*said.because, pick_said(band, ground.tape()).note))
    return said, sheet_told(shown.sheet, progress.done if progress is not None else ())


def _drawing(key: str, kind: SheetKind) -> Markup:
    """The piece as its counts have it now, the edge of a band; empty where no plan is there any more."""
    rest, make = rest_of_make(service(), key)
    band = rest.band(kind)
    if band is not None:
        pick = pick_said(band, ground.tape())
        return views.svg_markup(edge_flat(pick) if pick.runs else "")
    planned = next((piece for piece in rest.planned if piece.kind == kind and piece.id is None), None)
    if planned is None or not isinstance(planned.plan, Plan):
        return Markup()
    plan, rib_is = planned.plan, rib_mm(make, kind)
    label = say.drawn_label(kind, stitch_levels(plan))
    return views.svg_markup(
        piece_drawing(plan, planned.fabric, views.unit(), label=label, heads=say.HEADS, rib_mm=rib_is, ids="sheet")
    )


def _address(key: str, kind: SheetKind) -> str:
    return f"/makes/{key}/sheets/{kind}"


def _kind(piece: str) -> SheetKind:
    """The kind of piece or band that an address names, or a page that says there is none."""
    kind = next((kind for kind in SHEET_KINDS if kind == piece), None)
    if kind is None:
        abort(404, say.no_such_piece(piece))
    return kind
