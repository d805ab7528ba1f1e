"""What is asked of the widths of a piece, as parts of a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.phrases import capital, listed

TYPE_CHECKING = False  # a reason that nobody asks for loads no programme of counts
if TYPE_CHECKING:
    from fitcheck.advice.rest.programme import Demand


def demanded(demand: Demand) -> str:
    """A demand inside a list: "repeats of 6 + 1"."""
    match demand.code:
        case "repeat":
            if demand.step == 2:
                return f"{'odd' if demand.at else 'even'} counts"
            return f"repeats of {demand.step} + {demand.at}" if demand.at else f"whole repeats of {demand.step}"
        case "parity":
            return "both sides alike"
        case "shoulders":
            return "equal shoulders"
        case "neck":
            return "a neck as the back’s"
    return "both halves alike"


def cannot_hold(demands: Sequence[Demand]) -> str:
    """ "Repeats of 6 + 1, both sides alike and equal shoulders cannot hold together." """
    return f"{capital(listed([demanded(demand) for demand in demands]))} cannot hold together."
