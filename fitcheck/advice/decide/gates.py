"""What comes before any deed: what was typed, the garment as read, the wash, a count or the dial, shape, layings, bed.

Before that, outside: a piece at a stage that cannot be judged, and one that nothing says the size of.
"""

from __future__ import annotations

from typing import Literal

from fitcheck.advice.alteration import LOWER_ENDS, Alteration
from fitcheck.advice.decide.measuring import Knowing
from fitcheck.advice.decide.state import ActionCode, DecisionState
from fitcheck.records.points import POINTS
from fitcheck.records.readings import MAX_LOOKS

Gate = Literal[
    "wild_reading", "as_read", "felted", "miscount", "another_dial", "out_of_shape", "two_layings", "needles"
]


def first_gate(
    state: DecisionState, code: ActionCode, alterations: tuple[Alteration, ...], known: Knowing
) -> tuple[Gate, tuple[str, ...]] | None:
    """What is asked before the best deed is done, with the points that it is about; None where nothing is."""
    if state.outliers:
        return "wild_reading", state.outliers
    if state.as_read:
        return "as_read", state.as_read
    if state.felted:
        return "felted", ()
    if state.miscount:
        return "miscount", (state.miscount,)
    if state.another_dial:
        return "another_dial", ()
    if state.out_of_shape:
        return "out_of_shape", ()
    if state.looks < MAX_LOOKS and undoes(code, alterations):
        laid_once = tuple(
            point.key for point in state.points if point.key in known.alone.get(code, ()) and not point.laid_twice
        )
        if laid_once:
            return "two_layings", laid_once
    if state.sure_of_bed is not None and stitches_on_bed(alterations) > state.sure_of_bed:
        return "needles", ()
    return None


def stitches_on_bed(alterations: tuple[Alteration, ...]) -> int:
    """The most stitches that must lie on the bed for what is changed; 0 where no count across changes."""
    across = (alteration for alteration in alterations if POINTS[alteration.point].direction == "across")
    return max((max(alteration.halves or (alteration.count or 0,)) for alteration in across), default=0)


def undoes(code: ActionCode, alterations: tuple[Alteration, ...]) -> bool:
    """Whether a deed undoes knitting: ripping, knitting again, rows off the lower end."""
    off = any(alteration.by in LOWER_ENDS and alteration.mm < 0 for alteration in alterations)
    return code in ("rip_back", "knit_again") or off
