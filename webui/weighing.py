"""A piece is weighed: its weight at a stage, also of one that has just come off the machine; and what is on hand."""

from __future__ import annotations

from fitcheck.advice.to_come.making_up import armhole_line
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.advice.to_come.yarn_left import YarnLeft, stage_to_weigh
from fitcheck.estimates.yarn import Weighed, grams_if_far
from fitcheck.records.households import by_key
from fitcheck.records.makes import BandEdge, Make
from fitcheck.records.points import PieceKind
from fitcheck.records.yarns import Yarn
from fitcheck.reports.the_rest import RestAnswer, TheRest
from fitcheck.words.yarn_left import far_off, lot_name, off_the_machine, piece_to_weigh
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form
from webui.forms.typed import BEHIND, as_number

WEIGHT = "weight-"
LOT = "lot-"
"""How the fields of weights and of lots begin."""


def weights_form(make: Make, answer: RestAnswer) -> Form:
    """A field for each piece that is knitted, and one for the piece that comes off the machine next."""
    fields = [
        Field(f"{WEIGHT}{piece.id}", piece_to_weigh(piece.piece, piece.id), "decimal", after="g")
        for piece in make.standing
    ]
    coming = next_off(make, answer)
    if coming is not None:
        fields.append(
            Field(f"{WEIGHT}{_key(coming)}", off_the_machine(coming.kind, other=coming.other), "decimal", after="g")
        )
    return Form(tuple(fields))


def weights(make: Make, yarn: Yarn | None) -> dict[str, str]:
    """The weights that are written down, by field."""
    typed = {}
    for piece in make.standing:
        stage = stage_to_weigh(piece, oiled=yarn is not None and yarn.oiled)
        grams = piece.stages[stage].grams if stage is not None else None
        if grams is not None:
            typed[f"{WEIGHT}{piece.id}"] = f"{grams:g}"
    return typed


def next_off(make: Make, answer: RestAnswer) -> PieceToKnit | None:
    """The piece that comes off the machine next; None where none can be cast on, or its name is another's already."""
    coming = next((piece for piece in answer.pieces if piece.kind == answer.next), None)
    return None if coming is None or any(piece.id == _key(coming) for piece in make.pieces) else coming


def _key(coming: PieceToKnit) -> str:
    """The name of a piece that comes off the machine: its kind, or that it is the other one of two."""
    return f"other_{coming.kind}" if coming.other else coming.kind


def lot_of(make: Make, answer: RestAnswer, kind: PieceKind) -> str:
    """The lot of a piece on the machine: as its sheet has it, else as the yarn was shared out; "" where none is."""
    begun = next((sheet for sheet in reversed(make.sheets) if sheet.piece == kind and not sheet.ended), None)
    if begun is not None and begun.sheet.head.lot:
        return begun.sheet.head.lot
    plan = answer.yarn.lots if isinstance(answer.yarn, YarnLeft) else None
    return plan.lots.get(kind, "") if plan is not None else ""


def weigh(draft: Draft, document: Document, make: Make, rest: TheRest, yarn: Yarn | None) -> list[str]:
    """Put the weights that were typed into the document of a make; returns the names of the pieces that they changed.

    One that has just come off the machine begins as a piece with the counts of its sheet, which is ended.
    """
    before, changed, answer = weights(make, yarn), [], rest.answer
    for field in weights_form(make, answer):
        text, key = draft.text(field.name), field.name.removeprefix(WEIGHT)
        if text == before.get(field.name, ""):
            continue
        at = next((at for at, piece in enumerate(document["pieces"]) if piece["id"] == key), None)
        known = by_key(make.standing, key)
        if at is None or known is None:
            coming = next_off(make, answer)
            assert coming is not None, "a field that is no knitted piece is the one to come"
            at, number = _come_off(document, make, coming, rest), 0
        else:
            stage = stage_to_weigh(known, oiled=yarn is not None and yarn.oiled)
            number = stage if stage is not None else 0
        stages = document["pieces"][at].setdefault("stages", [])
        if not stages:
            stages.append({"kind": "off_machine"})
        read = field.read(draft, "cm", ("pieces", at, "stages", number), None)
        # The field's own place is its name; in the record it is the grams of the stage.
        draft.at(("pieces", at, "stages", number, "grams"), field.name)
        stages[number].pop("grams", None)
        if text:
            stages[number]["grams"] = read
        changed.append(known.piece if known is not None else document["pieces"][at]["piece"])
    return changed


def refuse_far_off(draft: Draft, make: Make, answer: RestAnswer, yarn: Yarn | None) -> None:
    """Refuse a weight that was changed and that the other pieces put far off."""
    if not isinstance(answer.yarn, YarnLeft):
        return
    coming, before = next_off(make, answer), weights(make, yarn)
    weighed = {}
    for piece in answer.yarn.pieces:
        key = piece.id or (_key(coming) if coming is not None and piece.kind == coming.kind else "")
        grams = as_number(draft.text(f"{WEIGHT}{key}"), BEHIND["g"])
        if isinstance(grams, (int, float)) and grams > 0:
            weighed[f"{WEIGHT}{key}"] = Weighed(grams, piece.loops)
    for name, piece_weighed in weighed.items():
        told = grams_if_far(piece_weighed, [other for key, other in weighed.items() if key != name])
        if told is not None and draft.text(name) != before.get(name, ""):
            draft.refuse(name, far_off(told))


def _come_off(document: Document, make: Make, coming: PieceToKnit, rest: TheRest) -> int:
    """A piece as its sheet had it, counts and armhole, at the dial of the last, from its lot; its sheet is ended."""
    lot = lot_of(make, rest.answer, coming.kind)
    armhole = next((armhole_line(piece) for piece in rest.planned if (piece.kind, piece.id) == (coming.kind, None)), "")
    dial = next((piece.dial for piece in reversed(make.standing) if piece.dial is not None), None)
    piece: Document = {
        "id": _key(coming),
        "piece": coming.kind,
        "counts": {key: {"knitted": count.count} for key, count in coming.counts.items()},
        "stages": [{"kind": "off_machine"}],
    }
    if dial is not None:
        piece["dial"] = dial.written()
    if lot:
        piece["lot"] = lot
    if armhole:
        piece["shaping"] = {"armhole": armhole}
    if "sheets" in document:
        document["sheets"] = [
            {**sheet, "ended": True} if sheet["piece"] == coming.kind else sheet for sheet in document["sheets"]
        ]
    document.setdefault("pieces", []).append(piece)
    return len(document["pieces"]) - 1


def lots_form(yarn: Yarn) -> Form:
    """A field for what is on hand of each lot; one of a yarn of which nobody said it."""
    names = [lot.lot for lot in yarn.lots] or [""]
    return Form(
        tuple(
            Field(f"{LOT}{at}", lot_name(name, many=len(names) > 1), "decimal", after="g")
            for at, name in enumerate(names)
        )
    )


def lots(yarn: Yarn) -> dict[str, str]:
    """What is written down of each lot, by field."""
    return {f"{LOT}{at}": f"{lot.grams:g}" for at, lot in enumerate(yarn.lots)}


def taken_off(draft: Draft, make: Make, answer: RestAnswer, yarn: Yarn) -> tuple[int, float] | None:
    """From which lot a piece that came off the machine was knitted, and what is left of it [g].

    Of several lots the one that its piece was given, else the largest. None where none came off, or nobody said what
    was on hand.
    """
    coming = next_off(make, answer)
    grams = as_number(draft.text(f"{WEIGHT}{_key(coming)}"), BEHIND["g"]) if coming is not None else ""
    if coming is None or not isinstance(grams, (int, float)) or not yarn.lots:
        return None
    return _less(yarn, lot_of(make, answer, coming.kind), grams)


def band_taken_off(answer: RestAnswer, yarn: Yarn, edge: BandEdge) -> tuple[int, float] | None:
    """As `taken_off`, of a band that is on: nobody weighs it, so by its stitches. None where they are not counted."""
    bands = answer.yarn.bands if isinstance(answer.yarn, YarnLeft) and yarn.lots else ()
    return next((_less(yarn, "", band.grams) for band in bands if band.edge == edge), None)


def _less(yarn: Yarn, given: str, grams: float) -> tuple[int, float]:
    """A lot, from 0, and what is left of it without so many grams."""
    at = next((at for at, lot in enumerate(yarn.lots) if given and lot.lot == given), None)
    if at is None:
        at = max(range(len(yarn.lots)), key=lambda number: yarn.lots[number].grams)
    return at, max(0.0, round(yarn.lots[at].grams - grams, 1))


def put_on_hand(draft: Draft, document: Document, yarn: Yarn) -> None:
    """Put what was typed of each lot into the document of a yarn; a field that is empty leaves its lot as it is."""
    entries = document.setdefault("lots", [])
    for at, field in enumerate(lots_form(yarn)):
        if draft.text(field.name):
            if at == len(entries):
                entries.append({})
            entries[at]["grams"] = field.read(draft, "cm", (), None)
            draft.at(("lots", at, "grams"), field.name)
