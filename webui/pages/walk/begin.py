"""Before the first reading: what lies on the table, and how it was finished."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, request

from fitcheck.advice.rounds import HOWS
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import HALF_FRONTS, SLEEVES
from fitcheck.words.phrases import spaced
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Field
from webui.forms.pieces import DIAL, STAGES, stage_kind
from webui.pages import notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.dials import keep_dial, next_dial
from webui.pages.walk.begun import is_read, records_of, with_stage

pages = Blueprint("walk_begin", __name__)


OTHER_SLEEVE = "other_sleeve"
"""The second of two sleeves that nobody calls left or right."""


@shown_by("walk_begin.html", "makes")
class BeginPage(Page):
    """What lies on the table.

    piece   the piece that was finished anew; None where it is asked for
    kinds   pieces that can lie there: value and name;  chosen: the one that is likely
    dial    field of the dial that it was knitted at, which begins with the one that was advised or planned
    stages  how it may be
    mind    what can ruin it as it is washed and blocked
    """

    make: Make
    piece: Piece | None
    kinds: Sequence[tuple[str, str]]
    chosen: str
    dial: Field
    stages: Sequence[tuple[str, str]]
    typed: Mapping[str, str]
    refusals: dict[str, Refusal]
    mind: Sequence[str]


def _kinds(make: Make) -> list[str]:
    """The pieces that can lie on the table: those of the construction, and halves where the front is open."""
    kinds: list[str] = list(CONSTRUCTIONS[make.construction].pieces)
    there = {piece.piece for piece in make.pieces}
    for whole, halves, apart in (("front", HALF_FRONTS, make.opens), ("sleeve", SLEEVES[1:], False)):
        if whole in kinds and (apart or there.intersection(halves)):
            at = kinds.index(whole)
            kinds[at : at + 1] = halves
    if any(piece.piece == "sleeve" and piece.stages for piece in make.pieces):
        kinds.insert(kinds.index("sleeve") + 1 if "sleeve" in kinds else len(kinds), OTHER_SLEEVE)
    return kinds


def ask_first(make_key: str, draft: Draft | None = None) -> Response:
    """Ask what lies on the table, or with a piece named how it was finished since; or again where it was refused."""
    make, piece = records_of(make_key)
    named = piece if "piece" in request.args else None
    there = {begun.id for begun in make.pieces if is_read(begun)}
    kinds = _kinds(make)
    page = BeginPage(
        make=make,
        piece=named,
        kinds=[(kind, spaced(kind)) for kind in kinds],
        chosen=draft.text("piece") if draft else next((kind for kind in kinds if kind not in there), kinds[0]),
        dial=DIAL,
        stages=STAGES,
        typed=draft.typed if draft else {DIAL.name: next_dial(views.report_of(make_key))},
        refusals=draft.refusals if draft else {},
        mind=views.cautions_of(make.yarn),
    )
    return views.show(page, 422 if draft else 200)


@pages.post("/makes/<make>/walk/begin")
def begin(make: str) -> Response:
    """Say what lies on the table, its dial and its stage; then the walk begins."""
    record, named = records_of(make)
    kind = stage_kind(request.form.get("stage", ""))
    stored = views.store().get("makes", make)
    document = stored.doc
    pieces = document.setdefault("pieces", [])
    anew = "piece" in request.args and named is not None
    name = request.args["piece"] if anew else request.form.get("piece", "")
    if not anew and name not in _kinds(record):
        abort(400)
    piece = next((entry for entry in pieces if entry["id"] == name), None)
    if piece is None:
        piece = {"id": name, "piece": "sleeve" if name == OTHER_SLEEVE else name}
        pieces.append(piece)
    stages = piece.setdefault("stages", [])
    draft = Draft(request.form.to_dict())
    if anew:
        stages.append({"kind": kind, "on": date.today().isoformat()})
    else:
        with_stage(document, name, kind)
    # A dial that was said before stays: the field begins with that of another piece.
    at = ("pieces", pieces.index(piece))
    if keep_dial(Draft({}) if "dial" in piece else draft, stored, document, at) is None:
        return ask_first(make, draft)
    how = request.form.get("how")
    return notices.go(f"/makes/{make}/walk?{urlencode({'piece': name, **({'how': how} if how in HOWS else {})})}")
