"""Sizes as text for a terminal: the answer, then points down and sizes across, 80 columns.

Only layout stands here; the sentences come from ``fitcheck.words.sizes``. Many sizes are set in blocks under
one another.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from fitcheck import words
from fitcheck.advice.sizes.answers import LengthAt, SizeAnswer, SizesAnswer, WidthAt
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.records.frozen import frozen
from fitcheck.records.points import ORDER
from fitcheck.terminal.page import Page, joined
from fitcheck.terminal.paper import WIDTH, heading
from fitcheck.words import Mark, Tape, Unit
from fitcheck.words import sizes as words_sizes
from fitcheck.words.names import size_name

_INDENT = 9
_LABEL = 16
"""Columns of a point's name; a longer one takes a second line."""
_GAPS = (2, 1)
"""Columns between two sizes; the narrow one where it saves a block."""
_MOST_NAME = 11
"""Letters of a size's name over its column."""


def printed_sizes(answer: SizesAnswer, unit: Unit = "cm", *, width: int = WIDTH, mark: Mark = ".") -> str:
    """Lay out the whole answer about sizes.

    unit   cm, in or mm;  width: columns, 60 or more;  mark: decimal mark
    Ends with one line break; no line ends with a space.
    """
    return joined(sizes_blocks(answer, Tape(unit, mark), width=width))


def sizes_blocks(answer: SizesAnswer, tape: Tape, *, width: int = WIDTH) -> list[list[str]]:
    """The parts of the answer as lists of lines, for a page that has other parts too."""
    page = _SizesText(answer, tape, width)
    return [
        page.answer_lines(),
        page.dials(),
        page.widths(),
        page.lengths(),
        page.listed("The size table against itself", words_sizes.table_sentences(answer, page.tape)),
        page.listed("Other ways to the widths", page.ways()),
        page.listed("What the table does not say", words_sizes.lacks_sentences(answer)),
        page.listed(
            "Taken for granted about the sizes",
            [words_sizes.size_assumed_sentence(assumption, page.tape) for assumption in answer.assumed],
        ),
    ]


@frozen
class _Row:
    """A label and a cell for every size."""

    label: str
    cells: Sequence[str]
    indent: int = 2

    def lines(self, part: slice, wide: int, gap: int) -> list[str]:
        """The row with a part of its cells, each of a width, a gap before it."""
        lines = [" " * self.indent + line for line in textwrap.wrap(self.label, _LABEL + 2 - self.indent) or [""]]
        tail = "".join(" " * gap + cell.rjust(wide) for cell in self.cells[part])
        lines[-1] = f"{lines[-1]:<{_LABEL + 2}}{tail}"
        return [line.rstrip() for line in lines]


@frozen
class _Column:
    """One size (or the mix) of the table of widths."""

    head: str
    widths: tuple[WidthAt, ...]
    foot: str


class _SizesText(Page):
    """One answer on its way to paper."""

    def __init__(self, answer: SizesAnswer, tape: Tape, width: int) -> None:
        super().__init__(tape, width)
        self.answer = answer

    def answer_lines(self) -> list[str]:
        answer, tape = self.answer, self.tape
        lines = self.wrap(words_sizes.sizes_headline(answer, tape))
        best = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
        why = [words_sizes.limit_sentence(best, tape)] if best is not None else []
        why += words_sizes.against_sentences(answer, tape)
        for head, text in (
            ("Asked", " ".join(words_sizes.asked_sentences(answer, tape))),
            ("Why", " ".join(sentence for sentence in why if sentence)),
            ("Beside", words_sizes.side_by_side_sentence(answer, tape)),
        ):
            if text:
                lines += ["", *self.wrap(text, f"{head:<{_INDENT}}", " " * _INDENT)]
        return lines

    def dials(self) -> list[str]:
        """The sizes at this dial and at those beside it."""
        told = words_sizes.dial_rows(self.answer)
        if not told:
            return []
        rows = [("dial", "best size", "fits", "counts of your own", "fits")]
        rows += [
            (f"{row.dial}*" if row.here else row.dial, row.best, row.chance, row.free, row.free_chance) for row in told
        ]
        wide = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
        lines = heading("Dial by dial")
        for row in rows:
            cells = [cell.ljust(width) for cell, width in zip(row, wide, strict=True)]
            lines += textwrap.wrap(
                "  ".join(cells).rstrip(),
                self.width - 2,
                initial_indent="  ",
                subsequent_indent=" " * 6,
                drop_whitespace=True,
            )
        return [*lines, "", *self.wrap(f"* {words_sizes.dials_sentence(self.answer)}", "  ")]

    def ways(self) -> list[str]:
        told = [words_sizes.mixed_sentence(self.answer), words_sizes.free_counts_sentence(self.answer)]
        return told + [words_sizes.refused_size_sentence(size) for size in self.answer.sizes]

    # Points down, sizes across

    def widths(self) -> list[str]:
        columns = [_Column(self._headed(size), size.widths, self._chance(size)) for size in self.answer.sizes]
        if not any(column.widths for column in columns):
            return []
        mix = self.answer.mixed
        if not isinstance(mix, CannotSay):
            columns.append(_Column("mixed", mix.widths, words.chance_figure(mix.all_fit)))
        keys = sorted({width.key for column in columns for width in column.widths}, key=ORDER.__getitem__)
        rows: list[_Row] = []
        for key in keys:
            each = [next((width for width in column.widths if width.key == key), None) for column in columns]
            rows.append(_Row(words.point_name(key), [self._finished(width) for width in each]))
            rows.append(_Row(self._wanted(each), [self._off(width) for width in each], indent=4))
            rows.append(_Row("", []))
        rows.append(_Row("all fit, in 10", [column.foot for column in columns]))
        lines = heading(f"Every size in this fabric, in {self.in_unit}")
        lines += self._blocks([column.head for column in columns], rows)
        return lines + (["", "  * the best size"] if isinstance(self.answer.best, str) else [])

    def lengths(self) -> list[str]:
        sizes = self.answer.sizes
        keys = sorted({length.key for size in sizes for length in size.lengths}, key=ORDER.__getitem__)
        if not keys:
            return []
        rows: list[_Row] = []
        for key in keys:
            each = [next((length for length in size.lengths if length.key == key), None) for size in sizes]
            rows.append(
                _Row(words.point_name(key), [self.bare(length.printed_mm) if length else "" for length in each])
            )
            rows.append(_Row(self._wanted(each), [_rows(length) for length in each], indent=4))
            rows.append(_Row("", []))
        lines = heading(f"Lengths, in {self.in_unit}, and their rows here")
        lines += self._blocks([self._headed(size) for size in sizes], rows[:-1])
        lines += ["", "  r rows of plain fabric, seam rows included, bands not"]
        counted = self._row_counted()
        return [*lines, "", *counted] if counted else lines

    def _row_counted(self) -> list[str]:
        """Row-counted shaping of the best size, else of the first."""
        best = self.answer.best
        size = self.answer.size(best) if isinstance(best, str) else None
        size = size or (self.answer.sizes[0] if self.answer.sizes else None)
        if size is None or not size.row_counted:
            return []
        lines = self.wrap(f"Size {size_name(size.name)}:", "  ")
        for point in size.row_counted:
            lines += self.wrap(words_sizes.row_counted_sentence(point, self.tape), "  ", "    ")
        return lines

    def _headed(self, size: SizeAnswer) -> str:
        name = size_name(size.name, _MOST_NAME)
        return f"{name}*" if size.name == self.answer.best else name

    def _blocks(self, heads: Sequence[str], rows: Sequence[_Row]) -> list[str]:
        """Rows of labels and cells, the columns in as many blocks as the page's width asks for."""
        wide = max(len(cell) for cells in (heads, *(row.cells for row in rows)) for cell in cells)
        blocks, gap = min((-(-len(heads) // max(1, (self.width - 2 - _LABEL) // (wide + gap))), -gap) for gap in _GAPS)
        each = -(-len(heads) // blocks)
        lines: list[str] = []
        for start in range(0, len(heads), each):
            part = slice(start, start + each)
            if lines:
                lines.append("")
            for row in (_Row("size", heads), _Row("", []), *rows):
                lines += row.lines(part, wide, -gap)
        return lines

    def _finished(self, width: WidthAt | None) -> str:
        if width is None:
            return ""
        return "-" if isinstance(width.finished, CannotSay) else self.bare(width.finished.value)

    def _off(self, width: WidthAt | None) -> str:
        if width is None or isinstance(width.difference, CannotSay):
            return ""
        return self.bare(width.difference.value, signed=True)

    def _wanted(self, each: Sequence[WidthAt | LengthAt | None]) -> str:
        told = [compared.wanted for compared in each if compared is not None and isinstance(compared.wanted, Quantity)]
        return f"wanted {self.bare(told[0].value)}" if told else "nothing wanted"

    def _chance(self, size: SizeAnswer) -> str:
        if size.impossible is not None:
            return "no"
        return "-" if isinstance(size.all_fit, CannotSay) else words.chance_figure(size.all_fit)


def _rows(length: LengthAt | None) -> str:
    if length is None:
        return ""
    return "-" if isinstance(length.rows, CannotSay) else f"{length.rows.value:.0f} r"
