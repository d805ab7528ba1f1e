"""What cannot be knitted: as an error of the functions that a notebook calls, as an answer of those that plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import Accepts, Fault, FitcheckError
from fitcheck.records.frozen import frozen


class ShapingError(FitcheckError, ValueError):
    """A count, a length or a number of rows that cannot be shaped.

    fault  the argument, what it was, and what would be accepted
    """

    def __init__(self, place: str, read: object, accepts: Accepts) -> None:
        self.fault = Fault(place, str(read), accepts)
        super().__init__(self.fault)

    def __str__(self) -> str:
        return str(self.fault)


@frozen
class CannotShape(CannotSay):
    """An answer: it cannot be knitted so, with the figures that a sentence needs.

    code    no_cap, armhole_rows_even, steps_do_not_fit or too_few_needles
    why     the plain form of the refusal
    fault   the count that does not go, and what would; None for a cap
    values  what the sentence names
    """

    why: str = ""
    fault: Fault | None = None
    values: Mapping[str, Any] = field(default_factory=dict)

    @property
    def error(self) -> ShapingError:
        """The same as an error, where a plan needs what cannot be had."""
        assert self.fault is not None, "a cap is refused by its sleeve"
        return ShapingError(self.fault.place, self.fault.read, self.fault.accepts)


def cannot_shape(code: str, fault: Fault) -> CannotShape:
    """An answer of a count that does not go."""
    return CannotShape(code, str(fault), fault=fault, values=fault.accepts.values)


def need(right: bool, place: str, read: object, accepts: Accepts) -> None:
    """Refuse an argument that is not right."""
    if not right:
        raise ShapingError(place, read, accepts)
