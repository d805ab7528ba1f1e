"""Faults and questions: what is wrong with something typed, where, and what to do about it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fitcheck.records.places import Place


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


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that is unlikely, with the likely slip; it can be confirmed and then stays as typed.

    place  the reading, count or gauge that is asked about
    read   what was read, as typed
    odd    why it is odd, one sentence
    slip   the likely slip, in a few words ("It was inches"); empty when none is likely
    meant  what the value would be if it was that slip, as text; empty when none is likely
    code   stable name of the rule that asked
    """

    place: Place
    read: str
    odd: str
    slip: str = ""
    meant: str = ""
    code: str = ""


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
