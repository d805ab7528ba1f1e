"""A piece that is on the needles: how far it is, and what its counts became since its sheet was begun."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest

from fitcheck.advice.to_come.yarn_left import YarnLeft
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Sheet, SheetLine
from fitcheck.knitting.replay import replay
from fitcheck.knitting.written import sheet_of
from fitcheck.records.begun_sheets import BegunSheet, Tap
from fitcheck.records.frozen import frozen
from fitcheck.records.machines import MOST_NEEDLES
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.records.sheet_kinds import BAND_KINDS, BandKind
from fitcheck.reports.progress import Progress, progress_of
from fitcheck.reports.shown_sheet import begun_of, sheet_by_counts
from fitcheck.reports.the_rest import TheRest


@frozen
class NewerCounts:
    """What the counts became since a sheet was begun.

    then, now   counts that differ, by point, in the order in which they are knitted
    fits_then, fits_now  chance that each of them fits, where it is known
    alike_to    counter up to which both sheets are the same; None where they differ from the cast-on on
    reached     the piece is beyond that: taking the newer counts rips rows
    digest      of the newer lines;  kept: the begun sheet was kept against just these
    """

    then: Mapping[str, int]
    now: Mapping[str, int]
    fits_then: Mapping[str, float]
    fits_now: Mapping[str, float]
    alike_to: int | None
    reached: bool
    digest: str
    kept: bool


@frozen
class OnTheNeedles:
    """A piece whose sheet is begun.

    row    what the counter shows at the act in hand; None before the first is done
    off    the last act is done: it is off the machine, and nobody weighed or read it yet
    newer  what its counts became; None where they are the same, or there are none any more
    line   the line of its sheet that is in hand, from 0; their number where all are done
    """

    kind: PieceKind
    begun: BegunSheet
    row: int | None
    newer: NewerCounts | None
    off: bool = False
    line: int = 0

    @property
    def loops(self) -> int:
        """Loops that are knitted of it, up to the row of the act in hand."""
        if not self.line:
            return 0
        sheet = sheet_of(self.begun.sheet)
        knitted = replace(sheet, lines=tuple(_unfolded(sheet)[: self.line + 1]))
        return replay(knitted, needles=MOST_NEEDLES).loops

    @property
    def asks(self) -> bool:
        """Whether its counts became others, and nobody chose yet between them."""
        return self.newer is not None and not self.newer.kept


def all_on_the_needles(rest: TheRest, make: Make, taps_on: Callable[[str], Iterable[Tap]]) -> list[OnTheNeedles]:
    """The pieces to come whose sheets are begun, in the order of knitting.

    taps_on  gives the taps on a begun sheet by its id
    """
    begun = {piece.kind: begun_of(make, piece.kind) for piece in rest.answer.pieces}
    found = (on_the_needles(rest, make, kind, taps_on(sheet.id)) for kind, sheet in begun.items() if sheet is not None)
    return [piece for piece in found if piece is not None]


def all_by_file(rest: TheRest) -> list[OnTheNeedles]:
    """The pieces to come whose sheets are begun, by the taps that the household file itself holds."""
    return all_on_the_needles(rest, rest.told.given.make, _taps_by_file(rest))


def bands_by_file(rest: TheRest) -> tuple[BandBegun, ...]:
    """The bands whose sheets are begun, by the same taps."""
    return bands_begun(rest.told.given.make, _taps_by_file(rest))


def _taps_by_file(rest: TheRest) -> Callable[[str], Sequence[Tap]]:
    given = rest.told.given
    taps = {kept.sheet: kept.taps for kept in given.household.taps if kept.make == given.make.id}
    return lambda sheet: taps.get(sheet, [])


def in_hand_by_file(rest: TheRest) -> OnTheNeedles | None:
    """The one that is told of first, by the same taps."""
    return in_hand(all_by_file(rest), rest.answer.next)


@frozen
class YarnBegun:
    """What of the yarn for the rest hangs on the machine already.

    pieces  those that are begun;  grams: knitted of them [g];  left: of what is needed, still to come off the cone [g]
    """

    pieces: tuple[OnTheNeedles, ...]
    grams: float
    left: float


def yarn_begun(yarn: YarnLeft, pieces: Iterable[OnTheNeedles]) -> YarnBegun | None:
    """The yarn of the rows that are knitted of begun sheets; None where nothing is."""
    begun = tuple(piece for piece in pieces if piece.line)
    grams = yarn.per_stitch.grams * sum(piece.loops for piece in begun)
    return YarnBegun(begun, grams, max(0.0, yarn.need - grams)) if grams else None


@frozen
class BandBegun:
    """A band whose sheet is begun, and not ended.

    row  what the counter shows at the act in hand; None before the first is done
    off  every act of its sheet is done
    """

    kind: BandKind
    begun: BegunSheet
    row: int | None
    off: bool


def bands_begun(make: Make, taps_on: Callable[[str], Iterable[Tap]]) -> tuple[BandBegun, ...]:
    """The bands that are on the machine, or were and are not ended; taps_on as in `all_on_the_needles`."""
    begun = [(kind, begun_of(make, kind)) for kind in BAND_KINDS]
    return tuple(_band_begun(kind, sheet, taps_on(sheet.id)) for kind, sheet in begun if sheet is not None)


def _band_begun(kind: BandKind, begun: BegunSheet, taps: Iterable[Tap]) -> BandBegun:
    progress = progress_of(begun, taps)
    row = _row(progress, _unfolded(sheet_of(begun.sheet)))
    return BandBegun(kind, begun, row, progress.next is None)


def in_hand(pieces: Sequence[OnTheNeedles], next_kind: PieceKind | None) -> OnTheNeedles | None:
    """The one that is told of first: whose counts became others and nobody chose yet, else the one to knit next."""
    asked = next((piece for piece in pieces if piece.asks), None)
    return asked or next((piece for piece in pieces if piece.kind == next_kind), None)


def on_the_needles(rest: TheRest, make: Make, kind: PieceKind, taps: Iterable[Tap]) -> OnTheNeedles | None:
    """A piece on the needles; None where no sheet of it is begun.

    taps  on its begun sheet, in the order in which they came
    """
    begun = begun_of(make, kind)
    if begun is None:
        return None
    old = _unfolded(sheet_of(begun.sheet))
    progress = progress_of(begun, taps)
    row = _row(progress, old)
    if progress.next is None:
        return OnTheNeedles(kind, begun, row, None, off=True, line=progress.lines)
    anew = sheet_by_counts(rest, make, kind)
    if isinstance(anew, CannotSay) or anew.digest == begun.digest:
        return OnTheNeedles(kind, begun, row, None, line=progress.next)
    alike = _alike_to(old, _unfolded(anew.sheet))
    counts = {
        key: count.count for piece in rest.answer.pieces if piece.kind == kind for key, count in piece.counts.items()
    }
    then = {str(key): count for key, count in begun.counts.items()}
    changed = sorted(
        (key for key in then if key in counts and counts[key] != then[key]), key=lambda key: POINTS[key].knitted
    )
    then, now = {key: then[key] for key in changed}, {key: counts[key] for key in changed}
    reached = row is not None and row > (alike or 0)
    kept = begun.kept_against == anew.digest
    counting = rest.told.counting
    assert counting is not None, "a piece is still to knit"
    fits_then, fits_now = (counting.chances(kind, counts) for counts in (then, now))
    return OnTheNeedles(
        kind,
        begun,
        row,
        NewerCounts(then, now, fits_then, fits_now, alike, reached, anew.digest, kept),
        line=progress.next,
    )


def _unfolded(sheet: Sheet) -> list[SheetLine]:
    return [line for folded in sheet.lines for line in folded.times]


def _row(progress: Progress, lines: Sequence[SheetLine]) -> int | None:
    """What the counter shows at the act in hand; where nobody can say, what the last tap said."""
    if not progress.done:
        return None
    line = lines[progress.next] if progress.next is not None else None
    return line.counter if line is not None and line.counter is not None else progress.latest[progress.done[-1]].counter


def _alike_to(old: Sequence[SheetLine], new: Sequence[SheetLine]) -> int | None:
    """The counter up to which two sheets are the same; None where they differ from the cast-on on."""
    for place, (before, after) in enumerate(zip_longest(old, new)):
        if before is None or after is None or _done(before) != _done(after):
            counters = [line.counter for line in (before, after) if line is not None and line.counter is not None]
            least = min(counters, default=0)
            return least if place and least else None
    return max((line.counter for line in old if line.counter is not None), default=None)


def _done(line: SheetLine) -> tuple[object, ...]:
    """What is done at a line, without what stands small under it."""
    return line.counter, line.act, line.at, line.stitches, line.inset, line.name, line.to, line.after
