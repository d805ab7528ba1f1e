"""Faults: what is wrong with something typed, where, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


class FitcheckError(Exception):
    """Base class of every error that Fitcheck raises on purpose."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is refused.

    place    path inside the file or form, for example ``makes[0].pieces[0].stages[0].readings.chest[2]``
    read     what was read, as typed
    accepts  what would be accepted
    line     line in the file, counted from 1, where it is known
    """

    place: str
    read: str
    accepts: str
    line: int | None = None


class RecordsError(FitcheckError, ValueError):
    """The records are wrong: every fault at once.

    faults  every fault found, in the order of the file
    """

    def __init__(self, faults: Sequence[Fault] = ()) -> None:
        super().__init__(tuple(faults))
        self.faults = tuple(faults)

    def __str__(self) -> str:
        return "\n".join(
            f"{f'line {fault.line}, ' if fault.line else ''}{fault.place}: read {fault.read}; {fault.accepts}"
            for fault in self.faults
        )
