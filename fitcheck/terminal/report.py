"""The report as text for a terminal: the answer first, then the reasons, then the figures, 80 columns.

Only layout stands here; the sentences come from ``fitcheck.words``. No colour and no control characters: a
verdict is its sign with its word. Figures stand under one another at their decimal mark or before their
fraction.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from fitcheck import words
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import Fault
from fitcheck.records.households import Household
from fitcheck.records.places import write_path
from fitcheck.records.questions.question import Question
from fitcheck.reports.shapes import ActionReport, PointReport, Report
from fitcheck.terminal.page import Page, joined
from fitcheck.terminal.paper import (
    SIGN_COLUMNS,
    WIDTH,
    aligned,
    column,
    gutter,
    heading,
    padded,
    wrapped,
)
from fitcheck.terminal.rest import rest_lines
from fitcheck.words import Mark, Tape, Unit
from fitcheck.words.names import NO_NAMES, Names
from fitcheck.words.newer import measured_again
from fitcheck.words.phrases import capital
from fitcheck.words.rest import rest_told, right_sweater_question


def printed(report: Report, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".", names: Names = NO_NAMES) -> str:
    """Lay out a report: recommendation, reasons, points, counts for the rest, other ways, what was taken for granted.

    unit   cm, in or mm
    width  columns, 60 or more; a longer word than that is never cut
    mark   decimal mark
    names  what the records are called; a swatch without one is called by its key
    Ends with one line break; no line ends with a space.
    """
    page = ReportText(report, Tape(unit, mark), width, names)
    blocks = [
        page.answer(),
        page.reasons(),
        page.points(),
        page.rest(),
        page.explanation(),
        page.listed("Gauge and ease", page.gauge()),
        page.other_ways(),
        *page.fabric(),
        *page.sizes(),
        page.listed("Taken for granted", page.assumed()),
        page.listed("What would help most", words.help_sentences(report)),
        page.questions(),
        page.cautions(),
    ]
    return joined(blocks)


def printed_faults(faults: Sequence[Fault], name: str, *, width: int = WIDTH) -> str:
    """Lay out what is refused in a file, all at once."""
    many = "one thing" if len(faults) == 1 else f"{len(faults)} things"
    lines = [f"{name}: {many} to put right.", ""]
    for fault in faults:
        lines += wrapped(words.fault_sentence(fault), width, "  ", "    ")
    return "\n".join(lines) + "\n"


def printed_check(questions: Sequence[Question], household: Household, name: str, *, width: int = WIDTH) -> str:
    """Lay out the answer of a check that refused nothing: the questions, each with its place in the file.

    Without a make there is nothing to report on.
    """
    none = ' It has no make yet, so there is nothing to report on: add one under "makes".'
    many = "one question" if len(questions) == 1 else f"{len(questions)} questions"
    verdict = f"nothing to put right; {many}." if questions else "nothing to put right, nothing to ask."
    lines = wrapped(f"{name}: {verdict}{'' if household.makes else none}", width)
    for question in questions:
        lines += ["", *_asked(question, write_path(household.path_of(question.place)), width)]
    return "\n".join(lines) + "\n"


class ReportText(Page):
    """One report on its way to paper."""

    def __init__(self, report: Report, tape: Tape, width: int, names: Names = NO_NAMES) -> None:
        super().__init__(tape, width)
        self.report, self.names = report, names

    def answer(self) -> list[str]:
        """What to do, in sentences or as a list of deeds, and what it is about."""
        lines: list[str] = []
        if self.report.right_sweater is not None:
            asked = right_sweater_question(self.report.right_sweater, self.report.head, self.tape)
            lines = [*self.wrap(asked), ""]
        said = words.advised(self.report, self.tape)
        if said.deeds:
            lines += [] if said.first else self.wrap(said.head)
            for deed in said.listed:
                lines += wrapped(deed, self.width, rest="   ")
            lines += self.wrap(said.rest) if said.rest else []
        else:
            lines += self.wrap(said.whole)
        if self.report.newer is not None:
            lines += ["", *self.wrap(measured_again(self.report.newer, self.report.head))]
        return [*lines, "", *self.wrap(words.stamp(self.report.head))]

    def reasons(self) -> list[str]:
        """Why, what it costs, and how sure it is."""
        if isinstance(self.report.recommendation, CannotSay):
            return []  # the answer itself says why, and there is no plan that could cost anything
        said = (
            ("Why", words.why(self.report, self.tape)),
            ("Cost", words.cost(self.report, self.tape)),
            ("Chance", words.chance(self.report)),
        )
        lines: list[str] = []
        for head, text in said:
            lines += ["", *self.wrap(text, f"{head:<{SIGN_COLUMNS}}", " " * SIGN_COLUMNS)]
        return lines[1:]

    # The fabric and the sizes, where the make has swatches or a size table

    def fabric(self) -> list[list[str]]:
        """What the fabric does, a block each; nothing without a swatch."""
        fabric = self.report.fabric
        if fabric is None:
            return []
        from fitcheck.terminal.fabric import fabric_blocks  # only where there is a fabric: it starts faster without

        return fabric_blocks(fabric, self.tape, width=self.width, names=self.names)

    def sizes(self) -> list[list[str]]:
        """Which size, a block each; nothing without sizes."""
        sizes = self.report.sizes
        if sizes is None:
            return []
        from fitcheck.terminal.sizes import sizes_blocks

        first, *rest = sizes_blocks(sizes, self.tape, width=self.width)
        return [[*heading("Which size’s numbers"), *first], *rest]

    # What is still to knit

    def rest(self) -> list[str]:
        """Counts for the rest."""
        if self.report.rest is None:
            return []
        told = rest_told(self.report.rest, self.tape, self.report.taken, self.report.to_knit)
        return rest_lines(told, width=self.width)

    # Point by point

    def points(self) -> list[str]:
        """Every point with its figures, its verdict, and what settles it."""
        report = self.report
        if not report.points and not report.refused:
            return []
        lines = heading(f"Point by point, in {self.in_unit}")
        if report.points:
            heads, rows, indent = self._figures()
            lines += [indent * " " + heads, ""]
            for point, row in zip(report.points, rows, strict=True):
                lines += [self._named(point), indent * " " + row]
                why = words.too_close_sentence(report, point, self.tape)
                lines += [*(self.wrap(why, SIGN_COLUMNS * " ") if why else []), ""]
        for key, reason in report.refused.items():
            lines += self.wrap(words.refused_sentence(key, reason), gutter("- - -"), SIGN_COLUMNS * " ")
            lines.append("")
        return [*lines, *self._notes()] if report.points else lines[:-1]

    def _notes(self) -> list[str]:
        """What stands under the table: the signs, the columns, and where measured is not what the tape alone says."""
        told = (
            words.tape_alone_sentence(self.report, self.tape),
            words.wanted_sentence(self.report, self.tape),
            words.likely_sentence(),
            words.signs_sentence(),
        )
        return self.told(told)

    def _named(self, point: PointReport) -> str:
        return f"{gutter(words.point_sign(point))}{words.point_title(point)}: {words.zone_word(point.code)}"

    def _figures(self) -> tuple[str, list[str], int]:
        """The head of the table, one row of figures per point, aligned, and how far they are indented."""
        points = self.report.points
        rows = [words.row_figures(point, self.tape) for point in points]
        wanted = [self.full(row.wanted) for row in rows]
        measured = [self.full(row.measured) for row in rows]
        judged = [point.code != "held_at" for point in points]
        difference = [self.full(row.difference) for row in rows]
        ends = [self.likely(point) for point in points]
        low, high = [low for low, _ in ends], [high for _, high in ends]
        low, high = (
            [cell if is_judged else "" for cell, is_judged in zip(column, judged, strict=True)]
            for column in (low, high)
        )
        # Fractions stand close to their "to"; figures with one decimal are aligned by it anyway.
        high = high if self.tape.unit == "in" else aligned(high, self.tape.mark)
        low, high = padded(low, "right"), padded(high, "left")
        likely = [f"{a} to {b}" if is_judged else "" for a, b, is_judged in zip(low, high, judged, strict=True)]
        allowed = [self.allowed(point) for point in points]
        columns = [
            column("wanted", aligned(wanted, self.tape.mark)),
            column("measured", aligned(measured, self.tape.mark)),
            column("difference", aligned(difference, self.tape.mark)),
            column("likely", likely),
            # Last and to the left: its width matters to nothing.
            ["allowed", *allowed],
        ]
        # A narrow terminal takes the room between the columns and before them.
        for indent, room in ((SIGN_COLUMNS, 3), (SIGN_COLUMNS, 2), (2, 2), (2, 1)):
            head, *lines = ((room * " ").join(cells) for cells in zip(*columns, strict=True))
            if indent + max(len(line) for line in (head, *lines)) <= self.width:
                break
        return head, lines, indent

    def likely(self, point: PointReport) -> tuple[str, str]:
        """Both ends of what is likely, with their signs."""
        tape, q = words.tape_at(point, self.tape), point.difference
        return self.full(tape.bare(q.low, signed=True)), self.full(tape.bare(q.high, signed=True))

    def allowed(self, point: PointReport) -> str:
        """What is allowed: "±1.0", or each side."""
        smaller, larger, tape = point.allowed_smaller_mm, point.allowed_larger_mm, words.tape_at(point, self.tape)
        if smaller is None and larger is None:
            return "any"
        low = "any" if smaller is None else f"−{tape.bare(smaller)}"
        high = "any" if larger is None else f"+{tape.bare(larger)}"
        return f"±{high[1:]}" if low[1:] == high[1:] and low != "any" else f"{low} {high}"

    # The rest

    def explanation(self) -> list[str]:
        """What explains the lengths."""
        if not self.report.points:
            return []
        told = words.explanation_sentences(self.report, self.tape)
        return self.listed("What explains it", told)

    def gauge(self) -> list[str]:
        """Gauge at each stage, and ease."""
        report, tape = self.report, self.tape
        told = [words.gauge_sentence(gauge, report.head, tape) for gauge in report.gauge]
        return told + [words.ease_sentence(ease, tape) for ease in report.ease]

    def other_ways(self) -> list[str]:
        """The ways that are not advised, and those that are left out."""
        advice = self.report.recommendation
        chosen = "" if isinstance(advice, CannotSay) else advice.action
        others = [action for action in self.report.actions if action.code != chosen]
        on_offer = [action for action in others if action.impossible is None]
        closed = [action for action in others if action.impossible is not None]
        if not others:
            return []
        lines = heading("The other ways")
        if on_offer:
            lines += self._ways(on_offer)
        if on_offer and closed:
            lines.append("")
        for action in closed:
            line = words.action_line(self.report, action, self.tape)
            name = capital(words.action_name(action.code))
            lines += self.wrap(f"{name}: {line}.", "  ", "    ")
        return lines

    def _ways(self, actions: Sequence[ActionReport]) -> list[str]:
        """Way, chance that every point fits, cost, cost with what stays off; below, what it would bring."""
        in_all = 12
        chance, cost = (13, 22) if self.width >= WIDTH else (10, 16)
        wide = (self.width - 2 - chance - cost - in_all - 6, chance, cost, in_all)

        def row(cells: Sequence[str]) -> str:
            left = [cell.ljust(width) for cell, width in zip(cells[:3], wide[:3], strict=True)]
            return "  " + "  ".join([*left, cells[3].rjust(wide[3])])

        def brought(text: str) -> list[str]:
            return self.wrap(capital(text) + ".", "      ")

        lines = [row(("way", "chance", "cost", "in all")), ""]
        for action in actions:
            fit = "as now" if action.chance is None else words.chance_words(action.chance, below="under")
            cells = (
                textwrap.wrap(capital(words.action_name(action.code, action)), wide[0]),
                textwrap.wrap(fit, wide[1]),
                textwrap.wrap(words.share_words(action.cost), wide[2]),
                textwrap.wrap(words.loss_in_all(self.report, action, self.tape), in_all),
            )
            for place in range(max(len(cell) for cell in cells)):
                lines.append(row([cell[place] if place < len(cell) else "" for cell in cells]))
            lines += [*brought(words.action_line(self.report, action, self.tape)), ""]
        return [*lines, *self.wrap(words.about_costs(self.report, self.tape), "  ")]

    def assumed(self) -> list[str]:
        """What was taken for granted."""
        head, points = self.report.head, self.report.points
        return [
            words.assumed_sentence(assumption, self.tape, head=head, points=points)
            for assumption in self.report.assumed
        ]

    def questions(self) -> list[str]:
        """What is asked, where it stands, and how to answer it."""
        if not self.report.questions:
            return []
        lines = heading("Questions")
        for question in self.report.questions:
            lines += [*_asked(question, str(question.place), self.width), ""]
        return lines[:-1]

    def cautions(self) -> list[str]:
        """The usual cautions, but for those that stand beside the answer."""
        said = ("advice_only", *words.minded(self.report))
        codes = [code for code in self.report.cautions if code not in said]
        lines = self.listed("Cautions", [words.caution_sentence(code) for code in codes])
        if lines:
            lines.append("")
        return [*lines, *self.wrap(words.caution_sentence("advice_only"))]


def _asked(question: Question, place: str, width: int) -> list[str]:
    """A question, its place in the file, and how to answer it there."""
    at = "  "
    lines = wrapped(words.question_asked(question), width, at, at)
    lines += wrapped(f"at {place}", width, at, at)
    for answer in words.question_answers(question):
        lines += wrapped(answer, width, at + "  ", at + "  ")
    return lines
