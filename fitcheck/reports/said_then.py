"""What was said of a make then: the answer that its counts were taken from, else the last before it was finished."""

from __future__ import annotations

from datetime import date

from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.reports.choose import chosen
from fitcheck.reports.digest import digest_of
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report


@frozen
class SaidThen:
    """The answer that stood then.

    taken_on  day on which counts were taken from it; None where none were: it is the last before the make was finished
    report    None where it cannot be had: the records that it rested on are not in the history
    """

    taken_on: date | None
    report: Report | None


def answer_then(household: Household, make: str, digest: str | None = None) -> Report | None:
    """The answer that the records of then give.

    digest  of the answer that was shown then, on whichever piece; None: the answer on the piece that was read last

    None where the records give no answer with that digest: they, or the program, are not those of then.
    """
    given = chosen(household, make)
    pieces = [given.piece, *given.make.standing]
    for key in [piece.id if piece is not None else None for piece in pieces]:
        if digest is None or digest_of(chosen(household, make, key)) == digest:
            return report(household, make=make, piece=key)
    return None
