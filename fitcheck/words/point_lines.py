"""A point as a page lists it: difference first and bold, then likely and allowed; wanted and measured small."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import PointReport, Report
from fitcheck.words.figures import CM, Tape, is_nil
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, spaced
from fitcheck.words.points import (
    OPEN,
    allowed_amount,
    laid_words,
    likely_words,
    off_by,
    point_figures,
    row_figures,
    same_either_way,
    tape_at,
    what_settles,
)


@frozen
class PointLine:
    """A point in words.

    title       its name as a heading
    off         how far off it is: "1.5 cm narrow"; empty where pins hold it
    likely      "likely 1.0 to 1.9; 1.0 allowed"
    figures     "wanted 54.9, measured 53.4"
    settles     what settles it where it is open
    difference  the same in figures alone, with its sign: "−1.5"; "0.0" where it is as wanted
    """

    title: str
    off: str
    likely: str
    figures: str
    settles: str
    difference: str


def point_line(report: Report, point: PointReport, tape: Tape = CM, *, above: Sequence[str] = ()) -> PointLine:
    """Say a point for a list.

    above  what was said of every open point above the list
    """
    title, tape = _title(point), tape_at(point, tape)
    if point.code == "held_at":
        return PointLine(title, "", point_figures(point, tape), "", "", "")
    allowed = allowed_amount(point, tape, tape.size)
    likely = f"{likely_words(point, tape)}; {f'{allowed} allowed' if allowed else 'anything is allowed'}"
    told = " ".join(said for said in _of_open(report, point, tape) if said not in above)
    nil = is_nil(point.difference.value, tape)
    zero = "0" if tape.unit == "in" else tape.number(0.0, 1)
    difference = zero if nil else tape.bare(point.difference.value, signed=True)
    return PointLine(title, off_by(point, tape), likely, _figures(point, tape), told, difference)


def _title(point: PointReport) -> str:
    """The name of a point, with "flat" where a garment's figure is half of a round one: "Chest, flat"."""
    known = POINTS.get(point.key)
    # A sleeve is measured opened out: its piece carries the whole round, so "flat" would mislead.
    flat = point.flat and (known is None or known.per_piece == 1)
    return capital(point_name(point.key)) + (", flat" if flat else "")


def _figures(point: PointReport, tape: Tape) -> str:
    """ "wanted 54.9, measured 53.4"; of an overhang how it was laid."""
    row = row_figures(point, tape)
    wanted = f"wanted {row.wanted}{_beside(point, tape)}"
    if point.wanted is not None and point.measured is not None:
        return f"{wanted}, measured {row.measured}"
    if point.wanted is not None:
        return wanted
    laid = laid_words(point, tape)
    return f"laid on the garment, {laid}" if laid else "laid on the garment"


def _beside(point: PointReport, tape: Tape) -> str:
    """What the pieces that are knitted beside it leave for this one: ", and 0.8 that the back lacks"; else empty."""
    told = ""
    for kind, lack in point.beside.items():
        if not is_nil(lack, tape):
            joined, verb = ("and", "lacks") if lack > 0 else ("less", "has over")
            told += f", {joined} {tape.size(lack)} that the {spaced(kind)} {verb}"
    return told


def said_of_all(report: Report, tape: Tape = CM) -> tuple[str, ...]:
    """What is said of every open point alike, to be said once above them; nothing where there is but one."""
    still = [_of_open(report, point, tape_at(point, tape)) for point in report.points if point.code in OPEN]
    return tuple(said for said in still[0] if all(said in told for told in still)) if len(still) > 1 else ()


def _of_open(report: Report, point: PointReport, tape: Tape) -> tuple[str, ...]:
    """What settles an open point, and whether the advice hangs on it; nothing for a settled one."""
    if point.code not in OPEN:
        return ()
    return tuple(said for said in (what_settles(report, point, tape), same_either_way(report, point)) if said)
