"""The page of a sheet in words: what is knitted from it, what comes next, and how it stands to the counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Sheet, SheetLine
from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.records.points import PieceKind
from fitcheck.records.sheet_kinds import BAND_KINDS, SheetKind
from fitcheck.reports.progress import Progress
from fitcheck.words.cannot_say import cannot_say_parts, cannot_say_sentence
from fitcheck.words.dates import write_day
from fitcheck.words.figures import Unit
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, count_words, listed, sentence, small_first, spaced
from fitcheck.words.said import heading
from fitcheck.words.sheet import line_act

BEGUN = "The sheet is begun: it stays as it is while the piece is on the needles."
"""Said once after a sheet was begun."""
PRINT_THIS = "The sheet is begun: it stays as it is. Print this page."
"""Said once after a sheet was begun so as to be printed: a browser that runs scripts prints by itself."""
OLDER = "This sheet is older than your counts. It stays usable while the piece is on the needles."
"""Said above a begun sheet whose counts have become others."""
RIB_KEPT = "The rib’s rows are kept."
"""Said once after the rows of a rib were typed."""
NOT_BEGUN = "not begun"
MOST_CHANGED = 3
"""Counts that are said to have changed; the page of the rest has them all."""


@frozen
class SheetSaid:
    """What stands above a sheet.

    head      the heading: "Knit the front: 120 stitches, then 126 at the chest."
    because   paragraphs under it
    where     above it: which revision, and how much of it is done
    running   at the top of every page on paper: the piece, whose it is, the revision
    """

    head: str
    because: tuple[str, ...]
    where: tuple[str, ...]
    running: tuple[str, str, str]


def sheet_said(
    sheet: Sheet,
    begun: BegunSheet | None,
    progress: Progress | None,
    newer: Mapping[str, int] | None,
    *,
    other: bool = False,
) -> SheetSaid:
    """Say what stands above a sheet.

    begun, progress  of the one that was begun;  newer: counts as they are now, where they have become others
    other            it is the second of a pair, whose first is knitted
    """
    revision = f"revision {begun.number}, {write_day(begun.at.date())}" if begun is not None else NOT_BEGUN
    where = [capital(revision)]
    if progress is not None and progress.done:
        where.append(f"{len(progress.done)} of {count_words(progress.lines, 'act')} done")
    first = _next(sheet, progress) if progress is not None else ""
    older = f"{OLDER} {_now_and_here(newer, begun.counts)}" if begun is not None and newer is not None else ""
    told = " ".join(part for part in (first, _knitted_through(sheet)) if part)
    running = (capital(spaced(sheet.head.piece)), sheet.head.make, revision)
    return SheetSaid(_head(sheet, other=other), tuple(part for part in (older, told) if part), tuple(where), running)


def _head(sheet: Sheet, *, other: bool) -> str:
    """ "Knit the front: 120 stitches, then 126 at the chest." """
    head = sheet.head
    if head.piece in BAND_KINDS:
        return _head_of_band(sheet)
    which = f"the {spaced(head.piece)}"
    if head.piece in ("sleeve", "side_panel"):
        which = f"the other {spaced(head.piece)}" if other else f"two {spaced(head.piece)}s alike"
    plain = f"Knit {which}: {count_words(head.needles.stitches, 'stitch')}."
    marked = {
        note.values["point"]: line.after for line in sheet.unfolded() for note in line.notes if note.code == "point"
    }
    point = next((point for point, stitches in marked.items() if stitches == head.widest.stitches), None)
    if point is None or head.widest == head.needles:
        return plain
    return heading(f"{plain[:-1]}, then {head.widest.stitches} at the {point_name(point)}.", plain)


_PAIRS = {"front_band": "two front bands alike", "cuff_band": "two cuffs alike"}


def _head_of_band(sheet: Sheet) -> str:
    """ "Knit the neck band: 96 stitches."; of the hems "118 and 118 stitches", for each is hung by itself."""
    piece = sheet.head.piece
    hung = [line.stitches for line in sheet.lines if line.act == "hang"]
    if piece in _PAIRS:
        return f"Knit {_PAIRS[piece]}: {count_words(sum(hung) // 2, 'stitch')} each."
    return f"Knit the {spaced(piece)}: {listed([str(stitches) for stitches in hung])} stitches."


def _now_and_here(now: Mapping[str, int], here: Mapping[str, int]) -> str:
    """ "Hem: now 126, here 120." """
    changed = [point for point, count in here.items() if point in now and now[point] != count]
    if not here:
        return "By your counts it has other stitches or rows now."
    if not changed:
        return "Its counts are the same, its lines are others now."
    told = [f"{point_name(point)}: now {now[point]}, here {here[point]}" for point in changed[:MOST_CHANGED]]
    return f"{capital('; '.join(told))}."


def _next(sheet: Sheet, progress: Progress) -> str:
    """ "Next, at row 40: mark both edges." """
    if progress.next is None:
        return "Every act on it is done."
    line = sheet.unfolded()[progress.next]
    return f"Next, {_at_row(line)}: {small_first(line_act(line, sheet.head))}."


def _at_row(line: SheetLine) -> str:
    return f"at row {line.counter}" if line.counter is not None else "after the rib"


def _knitted_through(sheet: Sheet) -> str:
    """That the replay has passed it, and what it ends with."""
    shoulders = [str(stitches) for group, stitches in sheet.ends.items() if group.endswith("shoulder")]
    end = f"; {listed(shoulders)} stitches arrive at the shoulder{'s' * (len(shoulders) > 1)}" if shoulders else ""
    return sentence(f"every act was knitted through once in figures: each can be done{end}")


# The drawing beside it

HEADS = ("row", "stitches")
"""Over the two columns of figures of the drawing."""


def drawn_label(kind: SheetKind, levels: Sequence[tuple[int, int]]) -> str:
    """What the drawing shows, for whoever does not see it: "The front: 120 stitches at row 0, 126 at row 100."

    levels  (counter, stitches) of its widths, from the cast-on up
    """
    (row, stitches), *later = levels
    told = [
        f"{count_words(stitches, 'stitch')} at row {row}",
        *(f"{count} at row {counter}" for counter, count in later),
    ]
    return f"The {spaced(kind)}: {listed(told)}."


EDGE_DRAWN = "The edge laid out flat, run by run in the order under the act that hangs its loops."
"""What stands under the drawing of a band."""


def drawn_in(unit: Unit) -> str:
    """What stands under it."""
    return f"Squares {'½ and 2 in' if unit == 'in' else '1 and 5 cm'}; as it lies washed and blocked."


# The rows of the rib


@frozen
class RibAsked:
    """The question how many rows a rib has: of which knitted piece, and why."""

    piece: str
    question: str
    why: str


def rib_asked(kind: SheetKind, counted: PieceKind, key: str) -> RibAsked:
    """Ask for the rows of the rib of a knitted piece, which has the same as the one on the sheet.

    kind  what the sheet is of;  counted, key  the knitted piece
    """
    return RibAsked(
        key,
        f"How many rows has the {spaced(counted)}’s rib?",
        f"The {spaced(kind)}’s rib is knitted like it. Until that is said, paper has a line for a pencil there.",
    )


# Where there is no sheet

_KNITTED = {
    "knitted": "Its sheet has ended. What is still to knit stands with the counts.",
    "finished": "The sweater is finished. What was knitted stands with the counts.",
}
"""What stands under the heading of a piece that is knitted, by the code that says so."""


def absent(kind: SheetKind, why: CannotSay) -> tuple[str, str]:
    """Why a piece has no sheet: the heading, and what stands under it; empty where nothing does."""
    if why.code in _KNITTED:
        return f"The {spaced(kind)} is knitted.", _KNITTED[why.code]
    told, help_ = cannot_say_parts(why)
    return help_ or told, told if help_ else ""


def absent_at_machine(kind: SheetKind, why: CannotSay) -> tuple[str, str]:
    """The same at the machine, where the heading names the piece."""
    return (
        absent(kind, why) if why.code in _KNITTED else (f"No sheet of the {spaced(kind)} yet", cannot_say_sentence(why))
    )


def first_to(make: Make, kind: SheetKind, why: CannotSay) -> tuple[str, str]:
    """Where to go where there is no sheet: what a button says, and its address."""
    if kind in BAND_KINDS and why.code == "band_depth_unsaid":
        return "To its depth", f"/makes/{make.id}/settings"
    if why.code == "no_counts" and "of" in why.values:
        return "To the answer", f"/makes/{make.id}"
    return "To the counts", f"/makes/{make.id}/rest"


def no_such_piece(piece: str) -> str:
    """Said where an address names no kind of piece or band."""
    return f"There is no piece {piece!r}. Go back to the counts."
