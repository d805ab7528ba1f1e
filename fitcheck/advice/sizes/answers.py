"""What is answered about sizes: plain frozen values, ready for JSON.

Widths and lengths are the finished garment's own flat figures [mm]. A number that is estimated is a Quantity
or a CannotSay with its reason; what follows from the printed table alone (a range left open by rounding, a
count) is a plain number.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from fitcheck.advice.groups import GroupAsked
from fitcheck.advice.target.as_read import AsRead
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.constructions import USUAL, ConstructionKey
from fitcheck.records.frozen import frozen
from fitcheck.records.points import PieceKind

NO_WANTED_WIDTH = CannotSay("no_wanted_width", of="sizes")

FirstCode = Literal[
    "as_read", "which_fabric", "not_this", "labels_changed", "swatch", "bed", "uneven", "needles", "knit"
]
Agreement = Literal["met", "wide", "narrow", "too_close"]


@frozen
class NamedCell:
    """One cell of the size table."""

    size: str
    piece: str
    point: str


@frozen
class ColumnCheck:
    """One piece's point over all sizes, checked alone. Codes as in `size_table.TableCheck`."""

    piece: str
    point: str
    code: str


@frozen
class GroupCheck:
    """Columns that one stitch width (or row height) must explain together.

    direction     across or along
    columns       the columns, each with its own check
    code          as in `size_table.TableCheck`
    gauge_low_mm, gauge_high_mm
                  stitch widths (row heights) that the counts can have been made for [mm]
    printed_gauge_mm, printed_gauge_percent
                  the printed one, and how much wider than the nearest allowed it is [%]
    disagrees     it cannot be what the counts were made for
    off           cells that are off, named with certainty
    candidates    cells of which one is off
    """

    direction: str
    columns: tuple[ColumnCheck, ...]
    code: str
    gauge_low_mm: float | None
    gauge_high_mm: float | None
    printed_gauge_mm: float | None
    printed_gauge_percent: float | None
    disagrees: bool
    off: tuple[NamedCell, ...]
    candidates: tuple[NamedCell, ...]
    looks_like_bodies: bool


@frozen
class SizeTableCheck:
    """The pattern's size table against itself (model 7).

    code          the first of these that any group has: cell_off, one_of_several_off, more_than_one_off,
                  looks_like_bodies, printed_gauge_off, four_inches_or_ten_cm, agrees
    groups        columns whose printed figures are rounded alike, across and along
    stitch_mm     stitch width that the counts were made for [mm]: the printed one where it is possible, else
                  the middle of the possible ones; None where the cells disagree
    row_mm        row height likewise; the printed one where no column tells [mm]
    print_step_mm step of print, as said or as the figures look [mm]
    """

    code: str
    groups: tuple[GroupCheck, ...]
    stitch_mm: float | None
    row_mm: float | None
    print_step_mm: float

    @property
    def off(self) -> tuple[NamedCell, ...]:
        """Every cell that is off, named with certainty."""
        return tuple(dict.fromkeys(cell for group in self.groups for cell in group.off))


@frozen
class AgainstPattern:
    """This fabric against what the counts were made for.

    stitch_percent   how much wider a stitch is than the counts suppose, so how much wider every piece [%]
    row_percent      how much higher a row is [%]
    code             from the finished measures, never from the gauge: met, wide, narrow or too_close; None
                     where no cell has both count and printed width, or the fabric is not known
    """

    stitch_percent: Quantity | CannotSay
    row_percent: Quantity | CannotSay
    code: Agreement | None


@frozen
class WidthAt:
    """One width of one size in this fabric. Flat figures of the finished garment [mm].

    counts           of the pieces that make it up
    printed_mm       what the pattern promises
    finished         (count - swallowed) x stitch width, back and front together, panels and bands included
    difference       finished - wanted
    allowed_smaller_mm, allowed_larger_mm    None = any
    chance           that it is within what is allowed [1]
    """

    key: str
    counts: Mapping[str, int]
    printed_mm: float | None
    finished: Quantity | CannotSay
    wanted: Quantity | CannotSay
    difference: Quantity | CannotSay
    allowed_smaller_mm: float | None
    allowed_larger_mm: float | None
    chance: float | CannotSay


@frozen
class LengthAt:
    """One length of one size: rows are free, so it is reckoned anew from the printed length.

    rows          rows of plain fabric that make the printed length, seam rows included, bands not
    rows_wanted   rows that make the wanted length instead
    difference    printed - wanted [mm]
    """

    key: str
    piece: str
    printed_mm: float
    rows: Quantity | CannotSay
    wanted: Quantity | CannotSay
    difference: Quantity | CannotSay
    rows_wanted: Quantity | CannotSay


@frozen
class RowCounted:
    """Shaping that the pattern counts in rows: its height is not the pattern's in another row height.

    rows           as the pattern counts them
    pattern_mm     height that they have in the pattern's fabric [mm]
    height         height in this fabric [mm]
    error          height - pattern_mm [mm]
    rows_instead   rows that have the pattern's height in this fabric
    flagged        the error is more than is allowed at this point
    """

    key: str
    piece: str
    rows: int
    pattern_mm: float
    height: Quantity | CannotSay
    error: Quantity | CannotSay
    rows_instead: int | None
    flagged: bool


@frozen
class SizeAnswer:
    """One size in this fabric.

    impossible   why it cannot be knitted on this machine
    all_fit      chance that all widths fit [1]
    limiting     the width that limits it most
    distance     sum over widths of weight x |difference| / allowed, for sizes of which none fits; None where
                 nothing is wanted
    """

    name: str
    widths: tuple[WidthAt, ...]
    lengths: tuple[LengthAt, ...]
    row_counted: tuple[RowCounted, ...]
    impossible: CannotSay | None
    all_fit: float | CannotSay
    limiting: str | None
    distance: float | None

    def width(self, key: str) -> WidthAt | None:
        """The width at a point, None where the size has none."""
        return next((width for width in self.widths if width.key == key), None)


@frozen
class SideBySide:
    """Two sizes, and what decides between them.

    first, second   names; first is the better one
    why             runner_up, or chosen: the size that the make names is the second
    decides         the width where they differ most, in weight x chance (without chances: weight x distance)
    favours         the size that is nearer there
    close           their chances are within 1 in 10, and either may well fit
    """

    first: str
    second: str
    why: Literal["runner_up", "chosen"]
    decides: str | None
    favours: str | None
    close: bool


@frozen
class Mixed:
    """Body widths from one size; shoulder, neck, armhole and sleeve as one block from another.

    body, block, lengths   sizes that each part is taken from; lengths None where nothing is wanted
    body_keys, block_keys  widths of each part
    all_fit                chance that all widths fit [1];  gain: that less the best single size's
    limiting               the width that limits it most
    widths                 every width of the mix
    armhole_stitches       stitches to take off at each side between underarm and shoulder
    own_armhole_stitches   the same in the block's own size
    """

    body: str
    block: str
    lengths: str | None
    body_keys: tuple[str, ...]
    block_keys: tuple[str, ...]
    all_fit: float
    gain: float
    limiting: str
    widths: tuple[WidthAt, ...]
    armhole_stitches: float | None
    own_armhole_stitches: float | None


@frozen
class PlannedCount:
    """A count of one piece: stitches at a width."""

    piece: PieceKind
    key: str
    count: int


@frozen
class FreeCounts:
    """Counts bound to no size: the nearest that the repeat, the parity and the bed allow."""

    counts: tuple[PlannedCount, ...]
    widths: tuple[WidthAt, ...]
    all_fit: float
    limiting: str


@frozen
class AtDial:
    """What the sizes come to at a dial: the best of them, its chance, and counts bound to none."""

    dial: str
    best: str | CannotSay
    all_fit: float | CannotSay
    free_counts: FreeCounts | CannotSay


@frozen
class NotThis:
    """Counts that would be knitted and are not to be: other counts, or another size, lose clearly less.

    size             size that they are of; None = planned by the make itself
    chosen           the make names or plans them; else they are only the nearest of the table's sizes
    sizes            how many sizes the table has
    key              the width at which most would be saved
    count            its stitches on the first piece; None where the table prints only its measure
    finished_mm, wanted_mm   flat figures there [mm]
    instead, instead_mm      stitches on the first piece bound to no size, and what they come out at [mm]; None where
                             they save too little
    nearest          the size that loses least; None where none loses clearly less
    saves            expected loss less that of the best other way [works of a back]
    """

    size: str | None
    chosen: bool
    sizes: int
    key: str
    count: int | None
    finished_mm: float
    wanted_mm: float
    instead: int | None
    instead_mm: float | None
    nearest: str | None
    saves: float


@frozen
class SwatchFirst:
    """A swatch that is knitted before the first piece.

    reason    no_swatch: nothing was measured blocked; not_at_dial: nothing at this dial, nor on both sides of it;
              labels_changed: a looser dial with smaller stitches; would_tell: hardly any chance now, and a chance
              once the stitch is known
    dial      where to knit it, as it is written; None where nothing says it
    tighter, looser          dials of the two swatches that contradict each other, as they are labelled
    chance_now, chance_then  that every width fits, and the same if the stitch were known [1]
    """

    reason: Literal["no_swatch", "not_at_dial", "labels_changed", "would_tell"]
    dial: str | None
    tighter: str = ""
    looser: str = ""
    chance_now: float | None = None
    chance_then: float | None = None


@frozen
class HardlyFits:
    """Every width is hardly likely to fit, and no swatch would change that.

    chance      of the best counts [1]
    limit       bed: more stitches are wanted than it has needles; repeat: whole repeats come no nearer; tape: what is
                allowed is finer than the wanted figure is known; fabric: finer than pieces of a fabric come out alike
    key         the width that limits it
    allowed_mm  what is allowed there, on the smaller side [mm]
    needles, stitches   on the bed, and wanted; of a bed that limits
    construction        of the make: whether side panels can carry what the bed does not
    """

    chance: float
    limit: Literal["bed", "repeat", "tape", "fabric"]
    key: str
    allowed_mm: float
    needles: int | None = None
    stitches: int | None = None
    construction: ConstructionKey = USUAL


@frozen
class CopyAsked:
    """Whether the garment is to be copied as it was read, which is asked before the first piece.

    why      its widths are a rib's, or it is worn stretched, or was read worn; newer: it was measured again since
    garment  its name
    """

    why: AsRead | Literal["newer"]
    garment: str


@frozen
class Uneven:
    """A count of the first piece, planned or of the size, that the pattern does not make as it is typed (fit rule 25).

    key    where;  count  the stitches there
    below, above   counts beside it that the pattern makes
    multiple       stitches of its repeat, where the count is no whole repeats; else None
    apart          stitches at the chest, where the two sides would not be shaped alike; else None
    """

    key: str
    count: int
    below: int
    above: int
    multiple: int | None = None
    apart: int | None = None


@frozen
class FirstPiece:
    """What to knit first, while no piece is there.

    code    what comes first: as_read (is the garment to be copied), which_fabric (the swatches are of more than one),
            not_this (other counts), labels_changed, swatch, bed (more stitches are wanted than it has needles), uneven
            (a count that the pattern does not make), needles (how many has the bed), or knit
    kind    kind of the piece
    counts  its stitches and rows, per point, as far as anything says them
    size    the size that they are of; None where they are the make's own plan, or bound to no size
    likely  they are the planned ones, or likely enough to fit; else the nearest of those that are there
    dial    setting to knit at, as it is written; None where no swatch says one
    not_this     the counts that would have been knitted, where others lose clearly less
    swatch       the swatch that comes before it
    hardly_fits  why it hardly fits, where no swatch would help
    which_fabric the groups of swatches that nothing tells apart
    ask_needles  the most stitches across, where no machine is named and many a bed has fewer needles; else None
    uneven       the planned count that is asked about, where nothing else comes first
    as_read      why it is asked whether the garment is copied as it was read: size or counts would be others without it
    """

    code: FirstCode
    kind: PieceKind
    counts: dict[str, int]
    size: str | None
    likely: bool
    dial: str | None
    not_this: NotThis | None = None
    swatch: SwatchFirst | None = None
    hardly_fits: HardlyFits | None = None
    ask_needles: int | None = None
    which_fabric: GroupAsked | None = None
    uneven: Uneven | None = None
    as_read: CopyAsked | None = None


@frozen
class SleeveAsked:
    """A sleeve length that is off in every size by the height of a cap: it is likely measured another way.

    key      sleeve_length (to the top of the cap) or sleeve_to_underarm, as the make means it
    low_mm, high_mm   the least and the most that the printed lengths are off [mm]
    shorter  they are shorter than what is wanted, else longer
    sizes    how many sizes
    """

    key: str
    low_mm: float
    high_mm: float
    shorter: bool
    sizes: int


@frozen
class ShouldersAsked:
    """A size whose neck and both shoulders miss its shoulder width, as printed [mm].

    parts_mm  neck and both shoulders, across
    """

    size: str
    neck_mm: float
    seam_mm: float
    parts_mm: float
    shoulder_mm: float


@frozen
class SizesAnswer:
    """Which size's numbers to knit.

    dial         dial number that it is for, where one is known;  dial_written: the same as it is written, 7.1
    stitch, row  stitch width and row height of the next piece [mm]; basis assumed: the pattern's
    table        the size table against itself
    against      this fabric against what the counts were made for
    chosen       the size that the make names
    best         name of the best size
    refused      points that cannot be compared, with the reason
    assumed      what was taken for granted
    dials        the sizes at this dial and at those beside it that were swatched, the tightest first; none alone
    first        what to knit first, and what comes before it; None once a piece is there
    sleeve, shoulders   what is asked about the table's definitions; None where nothing is
    free_planned        the counts bound to no size are the ones that the make plans
    """

    make: str
    size_table: str | None
    dial: float | None
    stitch: Quantity | CannotSay
    row: Quantity | CannotSay
    table: SizeTableCheck | CannotSay
    against: AgainstPattern
    sizes: tuple[SizeAnswer, ...]
    chosen: str | None
    best: str | CannotSay
    side_by_side: SideBySide | CannotSay
    mixed: Mixed | CannotSay
    free_counts: FreeCounts | CannotSay
    refused: Mapping[str, CannotSay]
    assumed: tuple[Assumed, ...]
    dial_written: str | None = None
    dials: tuple[AtDial, ...] = ()
    first: FirstPiece | None = None
    sleeve: SleeveAsked | None = None
    shoulders: ShouldersAsked | None = None
    free_planned: bool = False

    def size(self, name: str) -> SizeAnswer | None:
        """The answer about one size, None where the table has none of that name."""
        return next((size for size in self.sizes if size.name == name), None)
