"""The report on one screen: the answer, why, cost and chance, a line a point, counts for the rest, what is asked.

What it leaves out stands in the whole (``fitcheck.terminal.report``): the figures behind a point, every other way, the
fabric, the sizes, all that was taken for granted.
"""

from __future__ import annotations

from collections.abc import Iterator

from fitcheck import words
from fitcheck.reports.shapes import PointReport, Report
from fitcheck.terminal.page import joined
from fitcheck.terminal.paper import WIDTH, aligned, gutter, padded
from fitcheck.terminal.report import ReportText
from fitcheck.words import Mark, Tape, Unit
from fitcheck.words.in_short import MORE, Short, short_of
from fitcheck.words.phrases import capital, listed
from fitcheck.words.rest import PieceTable, RestTold, rest_told


def printed_in_short(report: Report, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".") -> str:
    """Lay out a report on one screen; arguments and line ends as in ``printed``."""
    page = _OneScreen(report, Tape(unit, mark), width)
    return joined([*page.to_pass_on(), page.open(short_of(report, page.tape))], apart=1)


def printed_to_pass_on(report: Report, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".") -> str:
    """Lay out the same for somebody else: without what is asked of the knitter and where the rest is."""
    return joined(_OneScreen(report, Tape(unit, mark), width).to_pass_on(), apart=1)


class _OneScreen(ReportText):
    """One report on its way to one screen."""

    def to_pass_on(self) -> list[list[str]]:
        """The parts that say the answer."""
        return [self.answer(), self.why(), self.points_in_lines(), self.before(), self.counts()]

    def why(self) -> list[str]:
        return [line for line in self.reasons() if line]

    def points_in_lines(self) -> list[str]:
        """A line a point: its sign, its name, how far off it is, what is likely and what is allowed."""
        report = self.report
        lines = [f"Points, in {self.in_unit}: off by, likely, allowed"] if report.points else []
        for cells in self._fitted([self._cells(point) for point in report.points]):
            lines.append("  ".join(cells).rstrip())
        names = [words.point_name(key) for key in report.refused]
        not_judged = [f"Not judged: {listed(names)}."] if names else []
        return [*lines, *self.told([*not_judged, *([words.signs_sentence()] if report.points else [])])]

    def _cells(self, point: PointReport) -> list[str]:
        name = capital(words.point_name(point.key))
        if point.code == "held_at":
            return [gutter(words.point_sign(point)).rstrip(), name, "", words.zone_word(point.code), ""]
        low, high = self.likely(point)
        row = words.row_figures(point, self.tape)
        return [
            gutter(words.point_sign(point)).rstrip(),
            name,
            self.full(row.difference),
            f"{low} to {high}",
            self.allowed(point),
        ]

    def _fitted(self, rows: list[list[str]]) -> Iterator[tuple[str, ...]]:
        """Cells in columns; what is allowed stays out of a terminal that is too narrow for it."""
        if not rows:
            return
        signs, names, off, likely, allowed = (list(column) for column in zip(*rows, strict=True))
        columns = [
            padded(signs, "left"),
            padded(names, "left"),
            aligned(off, self.tape.mark),
            padded(likely, "left"),
            allowed,
        ]
        wide = sum(max(map(len, column)) + 2 for column in columns) - 2
        yield from zip(*(columns if wide <= self.width else columns[:-1]), strict=True)

    def before(self) -> list[str]:
        """Before the first piece: gauge and dial of the fabric; the answer names the size."""
        answer = self.report.fabric
        if self.report.first is None or answer is None:
            return []
        from fitcheck.words import fabric  # only where there is a fabric: it starts faster without

        told = (fabric.gauge_headline(answer, self.tape), fabric.dial_headline(answer.dials, self.tape))
        return [line for sentence in told for line in self.wrap(sentence)]

    def counts(self) -> list[str]:
        """The counts for the rest, a piece at a time, and what else changes."""
        rest = self.report.rest
        if rest is None:
            return []
        told = rest_told(rest, self.tape, self.report.taken, self.report.to_knit)
        lines = [told.title, *self.told([told.open])]
        for piece in told.pieces:
            lines += self.told([_piece_in_short(piece), *piece.notes, piece.asked])
        return [*lines, *self.told(_changes(told))]

    def open(self, told: Short) -> list[str]:
        """Questions, what costs most certainty of what was taken for granted, and where the rest is."""
        lines: list[str] = []
        for label, sentences in told.parts:
            lines += [label, *self.told(sentences), ""]
        return [*lines, *self.wrap(MORE)]


def _piece_in_short(piece: PieceTable) -> str:
    """ "The front: chest 116 st instead of 112, hem 112 st; length to underarm 118 rows and the rib." """
    counts = [" ".join(part for part in (row.point, row.knit, row.instead) if part) for row in piece.rows if row.knit]
    return f"{piece.title}: {', '.join(counts)}." if counts else ""


def _changes(told: RestTold) -> Iterator[str]:
    """What else changes, and where a count does not keep what it should."""
    for part in told.parts:
        yield f"{capital(part.point)}: {part.part} {part.change}."
    yield from (*told.bands, *told.unmet)
