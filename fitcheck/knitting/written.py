"""A sheet as it is written down, and read back."""

from __future__ import annotations

from fitcheck.knitting.folding import fold
from fitcheck.knitting.lines import Head, Note, Sheet, SheetLine
from fitcheck.knitting.needles import Span, needle_of
from fitcheck.records.files import Source
from fitcheck.records.sheet_files import open_sheet
from fitcheck.records.written_sheets import WrittenHead, WrittenLine, WrittenNote, WrittenSheet


def read_sheet(source: Source) -> Sheet:
    """Read a sheet.

    source  path of a file, its bytes, or a mapping as JSON would give it

    Whether it can be knitted is for the replay to say. Raises RecordsError with every fault at once, each with its
    place, what was read and what is accepted.
    """
    return sheet_of(open_sheet(source))


def sheet_of(written: WrittenSheet) -> Sheet:
    """A sheet that was written down, its repeats folded again."""
    lines = [_line(line) for line in written.lines]
    return Sheet(_head(written.head), fold(lines), written.ends, written.drops)


def _line(line: WrittenLine) -> SheetLine:
    return SheetLine(
        line.part,
        line.counter,
        line.carriage,
        line.act,
        line.at,
        line.stitches,
        line.inset,
        line.name,
        line.to,
        _span(line.moved) if line.moved else None,
        _span(line.needles) if line.needles else None,
        line.after,
        tuple(_note(note) for note in line.notes),
    )


def _note(note: WrittenNote) -> Note:
    return Note(note.code, note.model_dump(exclude={"code"}, exclude_none=True))


def _head(head: WrittenHead) -> Head:
    return Head(
        head.piece,
        _span(head.needles),
        _span(head.widest),
        head.carriage,
        head.right_is,
        head.rows,
        head.loops,
        head.make,
        head.revision,
        head.dial,
        head.yarn,
        head.lot,
        head.bed,
    )


def _span(text: str) -> Span:
    """Needles as they are written; the record has seen that they are."""
    first, last = (needle_of(name) or 0 for name in text.split("-"))
    return Span(first, last)
