"""What comes before any deed: what was typed, the garment as it was read, a count or the dial, the shape, two layings.

Before that, outside: a piece at a stage that cannot be judged, and one that nothing says the size of.
"""

from __future__ import annotations

from typing import Literal

from fitcheck.advice.alteration import LOWER_ENDS, Alteration
from fitcheck.advice.decide.measuring import Knowing
from fitcheck.advice.decide.state import ActionCode, DecisionState
from fitcheck.records.readings import MAX_LOOKS

Gate = Literal["wild_reading", "as_read", "miscount", "another_dial", "out_of_shape", "two_layings"]


def first_gate(
    state: DecisionState, code: ActionCode, alterations: tuple[Alteration, ...], known: Knowing
) -> tuple[Gate, tuple[str, ...]] | None:
    """What is asked before the best deed is done, with the points that it is about; None where nothing is."""
    if state.outliers:
        return "wild_reading", state.outliers
    if state.as_read:
        return "as_read", state.as_read
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
    return None


def undoes(code: ActionCode, alterations: tuple[Alteration, ...]) -> bool:
    """Whether a deed undoes knitting: ripping, knitting again, rows off the lower end."""
    off = any(alteration.by in LOWER_ENDS and alteration.mm < 0 for alteration in alterations)
    return code in ("rip_back", "knit_again") or off
