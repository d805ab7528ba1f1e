"""What a question holds: where, what was read, why it is odd, and the likely slip, all of it as values.

The sentences stand in ``fitcheck.words.questions``.
"""

from __future__ import annotations

import math
from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Place

SlipCode = Literal[
    "inches",
    "centimetres",
    "millimetres",
    "eighths",
    "round_measure",
    "half_measure",
    "folded",
    "ten_times",
    "count_off",
    "counts_swapped",
]
"""inches, centimetres, millimetres: the figure is of that unit; eighths: 84 stands for 8 4/8 in; round_measure: the
round was read for the flat; half_measure, folded: the half of it; ten_times: a decimal mark is out of place; count_off:
a figure of the count is amiss; counts_swapped: two counts stand in each other's place."""

Against = Literal["garment", "piece", "readings", "newborn"]
"""What speaks against a reading that may be a slip: the garment, the piece, its own fellows, or that all of them are
as small as a newborn's."""

KnownFrom = Literal["swatch", "swatches", "printed_gauge", "other_counts"]
"""What says how large a stitch or row of a piece must be."""


@frozen
class Slip:
    """A slip that would explain what was typed.

    meant    what would have been typed without it; empty where it is not one text
    mm       the length that was meant, as its fellows are measured; None for a count [mm]
    tape_mm  the same as the tape said it; None for a count [mm]
    """

    code: SlipCode
    meant: str = ""
    mm: float | None = None
    tape_mm: float | None = None


@frozen
class LooksLikeSlip:
    """Only a slip makes it a usual figure. near: the point that speaks against it, and what was read there."""

    against: Against | None = None
    near: tuple[str, str] | None = None


@frozen
class OutOfRange:
    """Hardly any sweater has it. low_mm, high_mm: the usual [mm]."""

    low_mm: float
    high_mm: float


@frozen
class FarFromNeighbours:
    """It lies that far from so many other readings of the point [mm]."""

    away_mm: float
    others: int


@frozen
class LengthsDoNotAddUp:
    """Lengths, per point [mm], that make another in all than the one that they should make up [mm]."""

    parts: tuple[tuple[str, float], ...]
    whole: str
    parts_mm: float
    whole_mm: float

    @property
    def away_mm(self) -> float:
        """By how much one of them is off [mm]."""
        return abs(self.parts_mm - self.whole_mm)


@frozen
class ShouldersDoNotAddUp:
    """Neck and twice the shoulder, straight across, that make another width than the shoulder's [mm].

    seam_mm, drop_mm  the shoulder along its seam, and how far it drops
    """

    neck_mm: float
    seam_mm: float
    drop_mm: float
    whole_mm: float

    @property
    def across_mm(self) -> float:
        """One shoulder straight across: sqrt(seam^2 - drop^2) [mm]."""
        return math.sqrt(max(0.0, self.seam_mm**2 - self.drop_mm**2))

    @property
    def parts_mm(self) -> float:
        """The neck and both shoulders [mm]."""
        return self.neck_mm + 2 * self.across_mm


@frozen
class WiderThanAround:
    """A width that is larger than the one it lies within [mm]."""

    inner: str
    inner_mm: float
    outer: str
    outer_mm: float


@frozen
class RowsToStitches:
    """Rows over stitches on one length [1], as plain knitting does not have it."""

    ratio: float


@frozen
class StitchSize:
    """A count over a length, as typed, that makes a stitch or row of that size, and the usual [mm]."""

    count: int
    over: str
    row: bool
    size_mm: float
    low_mm: float
    high_mm: float


@frozen
class SideInOtherUnit:
    """A side of a swatch that makes a stitch so many times as wide as a row is high [1]."""

    side: Literal["height", "width"]
    ratio: float


@frozen
class SizeInOtherUnit:
    """A stitch or row of a swatch of that size, and what else is known of it in its make [mm]."""

    row: bool
    size_mm: float
    known_mm: float


@frozen
class CountOff:
    """A count over a length [mm] that makes a stitch or row of that size, and what else is known of it [mm]."""

    count: int
    over_mm: float
    row: bool
    size_mm: float
    known_from: KnownFrom
    known_mm: float


@frozen
class BreaksRepeat:
    """A knitted count that is no whole repeats and what is over: the nearest that are."""

    multiple: int
    below: int
    above: int


@frozen
class OddApart:
    """Two counts with an odd difference, which shaping alike on both sides does not make; the other of them."""

    other: str
    count: int


@frozen
class PointsSwapped:
    """Two points whose counts go the other way round than their lengths.

    here, other  the two points, the first where the question stands;  counts: as they were typed
    longer       which of them is the wider or longer one
    """

    here: str
    other: str
    counts: tuple[int, int]
    longer: str


@frozen
class FarFromPiece:
    """A wanted number that no piece would miss by so much; what the piece was read [mm]."""

    piece_mm: float


@frozen
class Folded:
    """A sleeve half as wide as laid open; the garment's flat figure [mm]."""

    garment_mm: float


@frozen
class BeyondOtherOverhangs:
    """An overhang far beyond the others of the piece, which are below a limit [mm]."""

    below_mm: float


@frozen
class LargeOverhang:
    """So far off a piece hardly lies on its garment."""


@frozen
class OverhangAgainstTape:
    """What the tape read on the piece and on its garment, to the tape's step [mm]."""

    piece_mm: float
    garment_mm: float


Odd = (
    LooksLikeSlip
    | OutOfRange
    | FarFromNeighbours
    | LengthsDoNotAddUp
    | ShouldersDoNotAddUp
    | WiderThanAround
    | RowsToStitches
    | StitchSize
    | SideInOtherUnit
    | SizeInOtherUnit
    | CountOff
    | BreaksRepeat
    | OddApart
    | PointsSwapped
    | FarFromPiece
    | Folded
    | BeyondOtherOverhangs
    | LargeOverhang
    | OverhangAgainstTape
)
"""Why something is odd."""


@frozen
class Question:
    """One thing that is unlikely; it can be confirmed and then stays as typed.

    place  the reading, count or gauge that is asked about
    read   what was read, as typed
    unit   unit that its lengths are told in: that of the reading
    code   stable name of the rule that asked, or of the likely slip
    odd    why it is odd
    slip   the likely slip; None where none is likely
    count  stitches or rows that were typed, where it is about one count
    """

    place: Place
    read: str
    unit: str
    code: str
    odd: Odd
    slip: Slip | None = None
    count: int | None = None

    @property
    def meant(self) -> str:
        """What would have been typed without the slip; empty where that is not known, or not one text."""
        return self.slip.meant if self.slip else ""

    @property
    def by_the_way(self) -> bool:
        """Whether what was typed counts until it is answered: it is a stitch or two at most."""
        return isinstance(self.odd, BreaksRepeat | OddApart)

    @property
    def says_instead(self) -> bool:
        """Whether its slip says what is to stand there instead."""
        return bool(self.meant) or isinstance(self.odd, PointsSwapped)
