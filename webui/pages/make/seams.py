"""Making up a sweater: what is sewn to what, what is picked up, what makes an edge join; how an armhole was shaped."""

from __future__ import annotations

from flask import Blueprint, Response, abort
from markupsafe import Markup
from pydantic import ValidationError

from fitcheck.advice.to_come.making_up import ArmholeSaid, lengths_with
from fitcheck.advice.to_come.seams import JoinWay
from fitcheck.drawing.seams import edge_flat, join_sign, pair_bar
from fitcheck.records.makes import Counts, Make
from fitcheck.records.shaping import EdgeShaping
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.words import deeds
from fitcheck.words import seams as say
from fitcheck.words.seams import SeamsSaid, seams_said
from webui.beginning import rest_of_make
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Filled, Form, put
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of
from webui.pages.make.path import Tick, path_of
from webui.service import service

pages = Blueprint("seams", __name__)

FLAT = ("neck", "front")
"""Bands whose edge is drawn laid out flat; of a cast-on edge every loop is taken."""


@shown_by("make_seams.html", "makes")
class SeamsPage(Page):
    """What is sewn to what, in the order of making up.

    signs, bars  of each step: the sign of its verdict, both its sides to one scale
    flat         the edge of each band laid out flat; empty where it is not drawn
    form         how the armholes of knitted pieces were shaped
    """

    make: Make
    ticks: tuple[Tick, ...]
    said: SeamsSaid
    signs: tuple[Markup, ...]
    bars: tuple[Markup, ...]
    flat: tuple[Markup, ...]
    form: Filled


@pages.get("/makes/<key>/rest/seams")
@given_back.draws_form
def show(key: str) -> Response:
    """Every pair of edges that is sewn together, and whether it fits."""
    answer = _answer(key)
    typed = {_field(armhole): armhole.refused or armhole.line * armhole.typed for armhole in answer.armholes}
    return _page(key, ground.begun(typed))


@pages.post("/makes/<key>/rest/seams")
def keep(key: str) -> Response:
    """Keep how an armhole was shaped, in one line; without a line it is assumed again."""
    stored, _ = ground.record_or_404("makes", key, "list of makes", form=True)
    draft = ground.draft()
    armhole = next((each for each in _answer(key).armholes if each.id == draft.text("piece")), None)
    if armhole is None:
        abort(404, deeds.NO_SUCH_PIECE)
    document = draft.before(views.store(), stored)
    at = next(at for at, piece in enumerate(document["pieces"]) if piece["id"] == armhole.id)
    line = draft.at(("pieces", at, "shaping", "armhole"), _field(armhole))
    put(document["pieces"][at], ("shaping", "armhole"), line)
    _check(draft, armhole, line)
    done = draft.keep(views.store(), "makes", key, document, stored.revision)
    if done is None:
        return _page(key, draft, 422)
    changed = done if done.revision != stored.revision else None
    return ground.go(f"/makes/{key}/rest/seams", say.SHAPED if line else say.UNSHAPED, changed)


@pages.post("/makes/<key>/rest/seams/join")
def join(key: str) -> Response:
    """Take a way that was shown to make two edges join: the count that its piece then has."""
    draft, at = ground.draft(), f"/makes/{key}/rest/seams"
    stored, _ = ground.record_or_404("makes", key, "list of makes", form=True)
    shown = [draft.text(name) for name in ("code", "piece", "count")]
    ways = [way for seam in _answer(key).seams for way in seam.ways]
    way = next((way for way in ways if [way.code, way.id or way.piece, str(way.count)] == shown), None)
    if way is None:
        return notices.go(at, say.JOINS_OTHERWISE)
    document = stored.doc
    _take(document, way)
    done = draft.keep(views.store(), "makes", key, document, stored.revision)
    return ground.go(at, say.way_taken(way), done)


def _take(document: Document, way: JoinWay) -> None:
    """Write the count of a way: of a knitted piece as it is counted once it is knitted so."""
    if way.id is None:
        document.setdefault("planned", {}).setdefault(way.piece, {})[way.point] = way.count
        return
    piece = next(piece for piece in document["pieces"] if piece["id"] == way.id)
    counts = piece.setdefault("counts", {})
    for key in (way.point, *(key for key in lengths_with(way.point) if key in counts)):
        known = counts.setdefault(key, {})
        best = Counts.model_validate(known).best
        known["counted"] = way.count if best is None else best + way.change


def _check(draft: Draft, armhole: ArmholeSaid, line: str) -> None:
    """Refuse a line that can be read and takes off another number of stitches than the counts do."""
    try:
        shaping = EdgeShaping.model_validate(line) if line else None
    except ValidationError:
        return  # the records say what is the matter with it
    if shaping is not None and shaping.stitches != armhole.stitches:
        draft.refuse(_field(armhole), say.other_count(shaping.stitches, armhole.stitches))


def _answer(key: str) -> RestAnswer:
    make_of(key)
    return rest_of_make(service(), key)[0].answer


def _field(armhole: ArmholeSaid) -> str:
    return f"armhole-{armhole.id}"


def _page(key: str, draft: Draft, status: int = 200) -> Response:
    record, said = make_of(key), seams_said(_answer(key), ground.tape())
    longest = max((edge.mm for seam in said.seams for edge in seam.edges), default=1.0)
    fields = tuple(Field(f"armhole-{ask.piece}", ask.asks, hint=ask.hint, wide=True) for ask in said.asks)
    page = SeamsPage(
        make=record,
        ticks=path_of(record, listed_report_or_404(key, None), "The rest"),
        said=said,
        signs=tuple(views.svg_markup(join_sign(seam)) for seam in said.seams),
        bars=tuple(views.svg_markup(pair_bar(seam, longest)) for seam in said.seams),
        flat=tuple(views.svg_markup(edge_flat(pick) if pick.key in FLAT and pick.runs else "") for pick in said.picks),
        form=ground.filled(Form(fields), draft),
    )
    return views.show(page, status)
