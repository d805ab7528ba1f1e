"""A piece of any construction as it is knitted."""

from __future__ import annotations

from fitcheck.knitting.body import plan_body
from fitcheck.knitting.counts import USUAL, BodyCounts, Choices, Counts, PanelCounts, RaglanCounts, SleeveCounts
from fitcheck.knitting.half_front import plan_left_front, plan_right_front
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.raglan import plan_raglan
from fitcheck.knitting.refusals import CannotShape, ShapingError, need
from fitcheck.knitting.side_panel import plan_side_panel
from fitcheck.knitting.sleeve import plan_sleeve
from fitcheck.records.constructions import USUAL as USUAL_CONSTRUCTION
from fitcheck.records.constructions import ConstructionKey
from fitcheck.records.faults import in_words
from fitcheck.records.points import BODY, SLEEVES, PieceKind

STEPS_DO_NOT_FIT = "steps_do_not_fit"
_CODES = {
    "steps_do_not_fit": STEPS_DO_NOT_FIT,
    "rows": STEPS_DO_NOT_FIT,
    "stitches_left": STEPS_DO_NOT_FIT,
    "armhole_rows_even": "armhole_rows_even",
    "too_few_needles": "too_few_needles",
}
"""What is answered where counts, rows or the bed do not hold a piece; anything else is an error of the call."""


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
    Errors: ShapingError for counts that belong to no such piece, or that both sides cannot share.

    >>> from fitcheck.knitting.counts import BodyCounts, Fabric
    >>> back = plan_piece("back", BodyCounts(118, 118, 108, 94, 69, 36, 0, 5, Fabric(4.48, 3.15)))
    >>> back.parts[0].end, dict(back.ends)
    (185, {'left_shoulder': 29, 'right_shoulder': 29, 'neck': 36})
    """
    try:
        return _plan(kind, counts, choices, construction)
    except ShapingError as error:
        code = _CODES.get(error.fault.accepts.code)
        if code is None:
            raise
        return CannotShape(code, str(error), values={"read": error.fault.read, **error.fault.accepts.values})


def _plan(kind: PieceKind, counts: Counts, choices: Choices, construction: ConstructionKey) -> Plan | CannotShape:
    match counts:
        case PanelCounts() if kind == "side_panel":
            return plan_side_panel(counts, choices)
        case RaglanCounts() if construction == "raglan" and kind in ("back", "front", *SLEEVES):
            plan: Plan | CannotShape = plan_raglan(kind, counts, choices)
        case SleeveCounts() if construction != "raglan" and kind in SLEEVES:
            plan = plan_sleeve(kind, counts, choices)
        case BodyCounts() if construction != "raglan" and kind in BODY:
            if kind == "left_front":
                return plan_left_front(counts, choices)
            return plan_right_front(counts, choices) if kind == "right_front" else plan_body(kind, counts, choices)
        case _:
            need(False, "counts", type(counts).__name__, in_words(f"those of a {kind} of {construction}"))
    return plan
