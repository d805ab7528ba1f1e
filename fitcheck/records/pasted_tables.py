"""A size table pasted as text: from a spreadsheet, from a page, or typed as patterns print it. Texts, no records yet.

Read in four steps: the text into a sheet of cells, the sheet into heads and rows of figures, the rows into points by
their labels, and the columns into sizes. What is no part of the table is left out and named, with the reason.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import CHARACTERS
from fitcheck.records.points import PieceKind
from fitcheck.records.row_labels import (
    Other,
    counts_of,
    key_of,
    key_past_a_slip,
    of_a_body,
    other_than_point,
    piece_of,
    unit_of,
)

MOST_SIZES, MOST_ROWS = 24, 80
"""Sizes and rows that a table takes."""
MOST_LINES = 3 * MOST_ROWS
"""Lines that are looked at: titles, gaps and rows of other things stand between those of a table."""

Why = Literal["no_figures", "other_unit"] | Other
"""Why a row or column is left out: nothing in it is a figure, it repeats another in a second unit, or what it is of."""
Sheet = list[list[str]]

_FIGURE = r"\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+"
_UNIT = r"(?:\s?(?:cm|mm|in\b|inch(?:es)?|\"))"
_IN_BRACKETS = re.compile(
    rf"^(?P<label>.*?)(?P<first>(?:{_FIGURE}){_UNIT}?)\s*[(\[](?P<rest>[^)\]]*)[)\]](?P<after>.*)$"
)
_SIZES_IN_BRACKETS = re.compile(
    r"^(?P<label>sizes?)\b:?\s*(?P<first>[^\s(\[]+)\s*[(\[](?P<rest>[^)\]]*)[)\]](?P<after>)$", re.I
)
_IN_A_LINE = re.compile(
    rf"^(?P<label>\D*?[^\W\d][^\d]*?)[\s:]+(?P<figures>(?:{_FIGURE}){_UNIT}?(?:\s+(?:{_FIGURE}){_UNIT}?)+)\s*$"
)
_QUOTED = re.compile(r'(^|\t)"((?:[^"]|"")*)"(?=\t|\n|\Z)', re.M)
_BEGINS_WITH_FIGURE = re.compile(r"^[-+−]?\s?\d")
_NUMBER = re.compile(rf"^[-+−]?(?:{_FIGURE}){_UNIT}?$", re.I)
_SECOND_UNIT = re.compile(r"^(?P<first>[^/(]*?\d\s*(?:cm|mm|in|inch|inches|\"))\s*[/(,]\s*\d.*$", re.I)
_NOTHING = re.compile(r"^(?:[-–—.\s]*|n/?a|x)$", re.I)
_SIZE_WORDS = re.compile(r"^(?:(?:eu|uk|us)\s+)?sizes?\b:?|^points?$", re.I)
_SIZE_NAME = re.compile(r"^(?:\d?x{0,4}[sl]|\d?xl|m|one size|\d{1,3}(?:[-/]\d{1,3})?)$", re.I)


@frozen
class PastedRow:
    """One row.

    label   what stood before the figures, with the heading that it stands under where that is a part of it
    key     "back/chest/measure" or "back/chest/count"; empty where the label names no point
    cells   one text per size, empty where nothing stood
    unit    what its bare figures are in, where the table says it; else empty
    guessed the label was read past a slip
    """

    label: str
    key: str
    cells: tuple[str, ...]
    unit: str = ""
    guessed: bool = False


@frozen
class LeftOut:
    """A row or column of the text that is no part of the table."""

    label: str
    why: Why


@frozen
class Pasted:
    """A pasted table.

    sizes      names of the sizes
    rows       its rows; none where everything was left out
    left_out   what was left out
    sideways   sizes stand below each other and points beside each other: nothing is read until it is turned
    """

    sizes: tuple[str, ...]
    rows: tuple[PastedRow, ...]
    left_out: tuple[LeftOut, ...] = ()
    sideways: bool = False


@frozen
class _Line:
    """A line of the sheet: its label, its cells, and the piece under whose heading it stands."""

    label: str
    cells: list[str]
    within: PieceKind | None = None

    @property
    def has_figures(self) -> bool:
        return any(_BEGINS_WITH_FIGURE.match(_spelt(cell)) for cell in self.cells)

    @property
    def key(self) -> str:
        return "" if of_a_body(self.label) else key_of(self.label, self.within)

    @property
    def text(self) -> str:
        return " ".join(part for part in (self.label, *self.cells) if part)


def read_pasted(text: str, *, unit: str = "", turned: bool = False) -> Pasted | None:
    """Read a pasted table; None where no row of figures is in it.

    Cells are divided by tabs, semicolons, bars, commas of a whole file or wide gaps, or written as "46 (50, 54, 58)".
    The first row of names names the sizes; a row over it that spans them ("Women's", "Men's") is put before a name
    that would else be there twice. A piece alone in a row, or in a column merged down, is that of the rows below it.

    unit    the one that is kept where a row or a size stands there in two
    turned  its sizes stand below each other
    """
    sheet = _sheet(text)
    if turned:
        sheet = _turned(sheet)
    elif _is_sideways(sheet):
        return Pasted((), (), sideways=True)
    lines = _lines(sheet)
    first = next((n for n, line in enumerate(lines) if line.has_figures and _is_row(line)), None)
    if first is None:
        first = next(
            (n for n, line in enumerate(lines) if line.has_figures and not _SIZE_WORDS.match(line.label)), None
        )
    if first is None:
        return None
    head, said, above = _head(lines[:first])
    if head is None and _heads(lines, first):
        head, first = lines[first].cells, first + 1
    left_out = [LeftOut(line.text, "no_figures") for line in above if not piece_of(line.text)]
    table_unit = next(
        (found for line in above for cell in (line.label, *line.cells) if (found := unit_of(cell, anywhere=True))), ""
    )
    rows: list[PastedRow] = []
    for line in lines[first:]:
        if not line.has_figures or _SIZE_WORDS.match(line.label):
            if not piece_of(line.text) and not _repeats(line, head):
                left_out.append(LeftOut(line.text, "no_figures"))
            continue
        rows.append(_row(line, unit_of(line.label) or table_unit))
    if any(row.key for row in rows):
        left_out += [LeftOut(row.label, other_than_point(row.label)) for row in rows if not row.key and row.label]
        rows = [row for row in rows if row.key or not row.label]
    else:
        left_out += [LeftOut(row.label, why) for row in rows if (why := other_than_point(row.label)) != "unknown"]
        rows = [row for row in rows if other_than_point(row.label) == "unknown"]
    rows, doubled = _in_one_unit(rows, unit)
    names, rows, columns = _columns(head or [], said, rows[:MOST_ROWS], unit)
    told = tuple(dict.fromkeys([*left_out, *doubled, *columns]))
    return Pasted(names if rows else tuple(head or ()), tuple(rows), told) if rows or told else None


# ---- from text to cells ------------------------------------------------------------------------------------


def _sheet(text: str) -> Sheet:
    """The cells of each line that has any."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    plain = _QUOTED.sub(lambda cell: cell[1] + " ".join(cell[2].replace('""', '"').split()), plain)
    lines = [line for line in plain.split("\n")[:MOST_LINES] if line.strip()]
    if _is_csv(lines):
        return [[_cell(cell) for cell in cells] for cells in csv.reader(lines)]
    sheet = [[_cell(cell) for cell in _cells(line)] for line in lines]
    return [cells for cells in sheet if any(cells)]


def _cell(text: str) -> str:
    """A cell without what stands for nothing in it, and in the first of two units."""
    stripped = " ".join(text.split())
    if _NOTHING.match(stripped):
        return ""
    second = _SECOND_UNIT.match(_spelt(stripped))
    return second["first"].strip() if second else stripped


def _spelt(text: str) -> str:
    """The text with the signs of fractions and inches that lengths are read with."""
    return " ".join("".join(CHARACTERS.get(sign, sign) for sign in text).split())


def _is_csv(lines: Sequence[str]) -> bool:
    """Whether commas divide the cells: as many in each line, outside quotes, and no other mark that does."""
    if (
        len(lines) < 2
        or any(mark in line for line in lines for mark in "\t;|([")
        or any(", " in line for line in lines)
    ):
        return False
    widths = {len(cells) for cells in csv.reader(lines)}
    return len(widths) == 1 and widths.pop() > 2


def _cells(line: str) -> list[str]:
    for mark in ("\t", ";", "|"):
        if mark in line:
            cells = line.strip(" \n").split(mark)
            return cells[1:-1] if mark == "|" and not cells[0].strip() else cells
    stripped = line.strip()
    bracketed = _SIZES_IN_BRACKETS.match(stripped) or _IN_BRACKETS.match(_spelt(stripped))
    if bracketed:
        rest = [cell for cell in re.split(r"\s*[:;]\s*|,\s+|\s{2,}", bracketed["rest"].strip()) if cell]
        if len(rest) < 2:
            rest = [cell for cell in re.split(r"[,\s:]+", bracketed["rest"].strip()) if cell]
        after = re.split(r"[/(\[]?\s*\d", bracketed["after"])[0].strip(" /")
        label = f"{bracketed['label'].strip().rstrip(':').strip()} {after}".strip()
        return [label, bracketed["first"], *rest]
    gaps = re.split(r"\s{2,}", stripped)
    if len(gaps) > 1:
        return gaps
    if inline := _IN_A_LINE.match(_spelt(stripped)):
        return [inline["label"].rstrip(" :"), *re.findall(rf"(?:{_FIGURE}){_UNIT}?", inline["figures"])]
    words = stripped.split()
    if len(words) > 2 and _SIZE_WORDS.match(words[0]) and all(_SIZE_NAME.match(word) for word in words[1:]):
        return words
    return ["", *words] if len(words) > 1 and all(_SIZE_NAME.match(word) for word in words) else [stripped]


# ---- from cells to lines -----------------------------------------------------------------------------------


def _known(label: str) -> bool:
    """Whether a label is of a row of figures, of a point or of another thing."""
    return bool(key_of(label)) or (bool(label) and other_than_point(label) != "unknown")


def _is_row(line: _Line) -> bool:
    """Whether a line of figures is a row of the table, or of a body or yarn; not the row that names the sizes."""
    return not _SIZE_WORDS.match(line.label) and (_known(line.label) or bool(key_past_a_slip(line.label)))


def _is_sideways(sheet: Sheet) -> bool:
    """Whether points stand beside each other over rows that name none."""
    head = next((n for n, cells in enumerate(sheet) if sum(bool(key_of(cell)) for cell in cells[1:]) > 1), None)
    if head is None:
        return False
    below = [cells for cells in sheet[head + 1 :] if any(_BEGINS_WITH_FIGURE.match(_spelt(cell)) for cell in cells[1:])]
    return bool(below) and not any(_known(cells[0]) for cells in below)


def _turned(sheet: Sheet) -> Sheet:
    """Columns as rows, from the row of points on, with the pieces that are merged over it; titles stay above."""
    head = next((n for n, cells in enumerate(sheet) if sum(bool(key_of(cell)) for cell in cells[1:]) > 1), 0)
    start = head
    while start and any(piece_of(cell) for cell in sheet[start - 1][1:]):
        start -= 1
    width = max((len(cells) for cells in sheet[start:]), default=0)
    full = [(*cells, *("",) * (width - len(cells))) for cells in sheet[start:]]
    # A title that stands alone below the head, and what stands below the table, is of no size.
    kept = full[: head - start + 1] + [cells for cells in full[head - start + 1 :] if sum(map(bool, cells)) > 1]
    turned = [list(cells) for cells in zip(*kept, strict=True)]
    if turned and turned[0][head - start] == "":
        turned[0][head - start] = "Size"
    return [*sheet[:start], *turned]


def _lines(sheet: Sheet) -> list[_Line]:
    """Each line with its label before its cells; a piece alone or merged down is that of the lines below."""
    labels = _label_columns(sheet)
    within: PieceKind | None = None
    merged = ""
    lines = []
    for cells in sheet:
        before, figures = cells[:labels], cells[labels:]
        if labels > 1 and any(figures):
            merged = before[0] or merged
            label = " ".join(part for part in (merged if any(before) else "", *before[1:]) if part)
        else:
            label = " ".join(part for part in before if part)
        line = _Line(label, figures, within)
        if not any(figures):
            within = piece_of(label) if piece_of(label) or not line.text else within
        lines.append(line)
    return lines


def _label_columns(sheet: Sheet) -> int:
    """How many columns stand before the figures: that of the labels, with one of pieces, letters or units beside it."""
    before = []
    for cells in sheet:
        figures = [
            n
            for n, cell in enumerate(cells)
            if _BEGINS_WITH_FIGURE.match(_spelt(cell)) and (n or _NUMBER.match(_spelt(cell)))
        ]
        if figures and any(_known(cell) for cell in cells[: figures[0]]):
            before.append(figures[0])
        elif len(figures) > 1 and figures[0] == 0 and any(_known(cell) for cell in cells[1 : figures[1]]):
            before.append(figures[1])  # numbered lines
    if before:
        # A size in which this row has nothing looks like one more label.
        return min(before)
    return 0 if any(_NUMBER.match(_spelt(cells[0])) for cells in sheet) else 1


def _row(line: _Line, unit: str) -> PastedRow:
    label, key = line.label, line.key
    if not key and other_than_point(label) == "unknown":
        key = key_past_a_slip(label, line.within)
    cells = tuple(line.cells[:MOST_SIZES])
    return PastedRow(label, key, cells, "" if key.endswith("count") else unit, guessed=bool(key) and not line.key)


# ---- heads and columns -------------------------------------------------------------------------------------


def _heads(lines: Sequence[_Line], at: int) -> bool:
    """Whether a line of figures names the sizes: its label names no row, and that of the next one does."""
    return at + 1 < len(lines) and not _known(lines[at].label) and bool(lines[at + 1].key) and any(lines[at].cells)


def _head(above: Sequence[_Line]) -> tuple[list[str] | None, list[list[str]], list[_Line]]:
    """The names of the sizes, the rows that span them or stand under them, and the lines that are titles."""
    wide = max((sum(map(bool, line.cells)) for line in above), default=0)
    named = [
        line for line in above if sum(map(bool, line.cells)) > 1 or (_SIZE_WORDS.match(line.label) and any(line.cells))
    ]
    units = [line for line in named if all(not cell or _is_kind(cell) for cell in line.cells)]
    names = [line for line in named if line not in units]
    chosen = next((line for line in names if _SIZE_WORDS.match(line.label)), None)
    chosen = chosen or next((line for line in names if sum(map(bool, line.cells)) == wide), names[0] if names else None)
    if chosen is None:
        return None, [line.cells for line in units], [line for line in above if line not in units]
    spans = [line.cells for line in names[: names.index(chosen)]]
    rest = [line for line in above if line is not chosen and line not in units and line.cells not in spans]
    return (
        _named(chosen.cells, spans, [line.cells for line in units]),
        [line.cells for line in units],
        [*rest, *_corner(chosen)],
    )


def _corner(line: _Line) -> list[_Line]:
    """The cell over the labels as a title of its own, where it says what unit the table is in."""
    return [_Line(line.label, [])] if unit_of(line.label, anywhere=True) else []


def _is_kind(cell: str) -> bool:
    """Whether the head of a column says what its figures are: a unit, or stitches."""
    return bool(unit_of(cell)) or counts_of(cell) or cell.lower() in ("measure", "width")


def _named(cells: Sequence[str], spans: Sequence[Sequence[str]], kinds: Sequence[Sequence[str]]) -> list[str]:
    """Names of sizes; what spans them goes before those that would be there twice, and one over two is both's."""
    width = max((len(row) for row in (cells, *kinds)), default=0)
    names = [*cells, *("",) * (width - len(cells))]
    if kinds:
        names = _filled(names)
        return names
    over = [_filled([*span, *("",) * (width - len(span))]) for span in spans]
    twice = {name for name in names if name and names.count(name) > 1}
    return [
        " ".join(part for part in (*(span[at] for span in over), name) if part) if name in twice else name
        for at, name in enumerate(names)
    ]


def _filled(cells: Sequence[str]) -> list[str]:
    """A merged cell holds for those beside it: empty ones take what stands before them."""
    full: list[str] = []
    for cell in cells:
        full.append(cell or (full[-1] if full else ""))
    return full


def _repeats(line: _Line, head: Sequence[str] | None) -> bool:
    """Whether a line names the sizes once more, over a second part of the table."""
    return head is not None and any(line.cells) and all(cell in head for cell in line.cells if cell)


def _in_one_unit(rows: Sequence[PastedRow], unit: str) -> tuple[list[PastedRow], list[LeftOut]]:
    """The rows without those that are there in another unit as well."""
    best = {}
    for row in rows:
        if row.key and row.unit and (row.key not in best or row.unit == unit):
            best[row.key] = row.unit
    kept = [row for row in rows if not row.unit or not row.key or best[row.key] == row.unit]
    return kept, [LeftOut(row.label, "other_unit") for row in rows if row not in kept]


def _columns(
    head: Sequence[str], kinds: Sequence[Sequence[str]], rows: Sequence[PastedRow], unit: str
) -> tuple[tuple[str, ...], list[PastedRow], list[LeftOut]]:
    """The names of the sizes and the rows with a cell for each: columns with nothing in them fall away.

    A size whose figures stand in a column a unit has the page's, and a column of stitches becomes rows of its own.
    """
    kind = next(iter(kinds), [])
    width = min(max([len(head), *(len(row.cells) for row in rows)], default=0), MOST_SIZES)
    figures = {n for row in rows for n, cell in enumerate(row.cells) if _BEGINS_WITH_FIGURE.match(_spelt(cell))}
    full = [replace(row, cells=(*row.cells, *("",) * width)[:width]) for row in rows]
    places = [n for n in range(width) if n in figures]
    left = [
        LeftOut(head[n], "no_figures")
        for n in range(min(width, len(head)))
        if head[n] and n not in places and any(row.cells[n] for row in full)
    ]
    if not kind:
        names = [head[n] if n < len(head) and head[n] else "" for n in places]
        taken = [name or str(number) for number, name in enumerate(names, start=1)]
        return tuple(taken), [replace(row, cells=tuple(row.cells[n] for n in places)) for row in full], left
    return _by_kind(head, kind, full, places, unit)


def _by_kind(
    head: Sequence[str], kind: Sequence[str], rows: Sequence[PastedRow], places: Iterable[int], unit: str
) -> tuple[tuple[str, ...], list[PastedRow], list[LeftOut]]:
    """The same where a size has a column of measures in one or two units, and perhaps one of stitches."""
    kinds = {n: kind[n] if n < len(kind) else "" for n in places}
    units = list(dict.fromkeys(found for said in kinds.values() if (found := unit_of(said))))
    kept = unit if unit in units else units[0] if units else ""
    counted = [n for n in kinds if counts_of(kinds[n])]
    measured = [n for n in kinds if n not in counted and unit_of(kinds[n]) in ("", kept)]
    names = list(dict.fromkeys(head[n] for n in (*measured, *counted) if n < len(head) and head[n]))
    taken: list[PastedRow] = []
    for row in rows:
        for columns, counts in ((measured, False), (counted, True)):
            at = {head[n]: row.cells[n] for n in columns if n < len(head)}
            cells = tuple(at.get(name, "") for name in names)
            if any(cells):
                key = row.key.replace("/measure", "/count") if counts else row.key
                taken.append(replace(row, key=key, cells=cells, unit="" if counts else row.unit or kept))
    dropped = [LeftOut(other, "other_unit") for other in units if other != kept]
    return tuple(names), taken, dropped
