"""A piece of any construction as it is knitted."""

from __future__ import annotations

from collections.abc import Callable

from fitcheck.knitting.body import plan_body
from fitcheck.knitting.counts import USUAL, BodyCounts, Choices, Counts, PanelCounts, RaglanCounts, SleeveCounts
from fitcheck.knitting.half_front import plan_left_front
from fitcheck.knitting.plan import Plan, mirrored
from fitcheck.knitting.raglan import plan_raglan
from fitcheck.knitting.refusals import CannotShape, ShapingError, cannot_shape
from fitcheck.knitting.side_panel import plan_side_panel
from fitcheck.knitting.sleeve import plan_sleeve
from fitcheck.records.constructions import CONSTRUCTIONS, ConstructionKey
from fitcheck.records.constructions import USUAL as USUAL_CONSTRUCTION
from fitcheck.records.faults import in_words
from fitcheck.records.points import BODY, HALF_FRONTS, SLEEVES, PieceKind

STEPS_DO_NOT_FIT = "steps_do_not_fit"
_OWN_CODES = ("armhole_rows_even", "too_few_needles")
"""Refusals with a code of their own."""


def plan_piece(
    kind: PieceKind, counts: Counts, choices: Choices = USUAL, construction: ConstructionKey = USUAL_CONSTRUCTION
) -> Plan | CannotShape:
    """A piece by row counter.

    kind          back, front, left_front, right_front, sleeve, left_sleeve, right_sleeve or side_panel
    counts        of that piece
    choices       the knitter's
    construction  set_in, side_panels, drop_shoulder or raglan

    The right one of two halves, or of two sleeves named apart, is the mirror image of the left one.

    Returns CannotShape steps_do_not_fit, armhole_rows_even, too_few_needles or no_cap.
    Errors: ShapingError for counts of another kind of piece.

    >>> from fitcheck.knitting.counts import BodyCounts, Fabric
    >>> back = plan_piece("back", BodyCounts(118, 118, 108, 94, 69, 36, 0, 5, Fabric(4.48, 3.15)))
    >>> back.parts[0].end, dict(back.ends)
    (185, {'left_shoulder': 29, 'right_shoulder': 29, 'neck': 36})
    """
    plan = _planner(kind, counts, construction)
    try:
        return plan(choices)
    except ShapingError as error:
        code = error.fault.accepts.code
        return cannot_shape(code if code in _OWN_CODES else STEPS_DO_NOT_FIT, error.fault)


def _planner(kind: PieceKind, counts: Counts, construction: ConstructionKey) -> Callable[[Choices], Plan | CannotShape]:
    """What plans a piece, once its counts are those of such a piece."""
    slanting = CONSTRUCTIONS[construction].armhole == "slanting"
    match counts:
        case PanelCounts() if kind == "side_panel":
            return lambda choices: plan_side_panel(counts, choices)
        case RaglanCounts() if slanting and kind in (*BODY, *SLEEVES):
            return lambda choices: _of_its_side(kind, plan_raglan(_left(kind), counts, choices))
        case SleeveCounts() if kind in SLEEVES and _has_its_top(counts, construction):
            return lambda choices: _of_its_side(kind, plan_sleeve(_left(kind), counts, choices))
        case BodyCounts() if not slanting and kind in HALF_FRONTS:
            return lambda choices: _of_its_side(kind, plan_left_front(counts, choices))
        case BodyCounts() if not slanting and kind in BODY:
            return lambda choices: plan_body(kind, counts, choices)
    accepts = in_words(f"those of a {kind} of {construction}")
    raise ShapingError("counts", type(counts).__name__, accepts)


def _has_its_top(counts: SleeveCounts, construction: ConstructionKey) -> bool:
    """Whether a sleeve has a cap, or an armhole to find one for, where its construction has one."""
    capped = counts.cap is not None or counts.armhole_mm > 0
    return CONSTRUCTIONS[construction].armhole == ("curved" if capped else "straight")


def _left(kind: PieceKind) -> PieceKind:
    return "left_sleeve" if kind == "right_sleeve" else kind


def _of_its_side(kind: PieceKind, plan: Plan | CannotShape) -> Plan | CannotShape:
    """The plan of a left piece, or its mirror image for the right one."""
    return mirrored(plan) if kind in ("right_front", "right_sleeve") and isinstance(plan, Plan) else plan
