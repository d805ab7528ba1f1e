"""What is answered about a fabric: frozen dataclasses of codes and numbers, ready for JSON."""

from __future__ import annotations

from fitcheck.advice.fabric.of_make import LeftOut
from fitcheck.advice.groups import GroupAsked, SwatchGroup
from fitcheck.estimates.fabric.assumptions import Direction
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.frozen import frozen

SCHEMA = "fitcheck-fabric/1"
"""Name and version of the answer's shape."""


@frozen
class FabricGauge:
    """Gauge at one stage in one direction.

    of         key of the swatch or piece that it is of; empty for the next piece
    size       stitch width or row height [mm]
    per_10cm, per_4in   stitches or rows in 10 cm and in 4 in [1]
    """

    of: str
    stage: str
    direction: Direction
    size: Quantity
    per_10cm: Quantity
    per_4in: Quantity


@frozen
class SpecimenReport:
    """One swatch or piece: a swatch as read at each stage, a piece as the fabric knows it, blocked.

    cannot  why a piece has no gauge of its own
    pooled  the fabric was fitted to it; else it is only told by itself
    """

    key: str
    piece: bool
    dial: str | None
    gauges: tuple[FabricGauge, ...]
    cannot: CannotSay | None = None
    pooled: bool = True


@frozen
class ChangeReport:
    """What washing and blocking will do to the next piece from a stage on [percent, minus = shrinks].

    specimens_across, specimens_along  how many were read at that stage and blocked
    """

    stage: str
    across: Quantity
    along: Quantity
    specimens_across: int
    specimens_along: int


@frozen
class SlopeReport:
    """Change of stitch size per dial number [percent], and the share of it that is data [1]."""

    direction: Direction
    slope: Quantity
    share_from_data: float


@frozen
class ClickReport:
    """One click of the dial with the predicted gauge of the next piece.

    chance   that its stitch width lies within what is allowed about the wanted one [1], None: none is wanted
    outside  outside the dials that were knitted
    good     the predicted stitch width itself lies within what is allowed
    """

    dial: str
    position: float
    across: FabricGauge
    along: FabricGauge
    chance: float | None
    outside: bool
    good: bool


@frozen
class WantedGauge:
    """The gauge that the numbers need.

    stitch_mm     stitch width [mm];  row_mm  row height, None where it is not printed
    tolerance_mm  allowed on either side [mm]: the chest's tolerance, shared out over its stitches
    source        printed (the pattern's gauge, where its counts can have been made for it) or counts (what its
                  counts and widths say): widths are met by counts, so these win
    printed_mm    stitch width by the printed gauge [mm], None where none is printed
    low, high     stitch widths that the counts can have been made for [mm]; None where they say nothing
    table         code of the size table's check against itself; empty where nothing could be checked
    """

    stitch_mm: float
    row_mm: float | None
    tolerance_mm: float
    source: str
    printed_mm: float | None
    low: float | None
    high: float | None
    table: str


@frozen
class LineReport:
    """The classical line through the blocked swatches, as a cross-check.

    swatches  how many
    slope     stitch width per dial number [mm]
    percent   the same as a share of a stitch at the middle of the swatches [%]
    at        dial number at which it reaches the wanted stitch width, with Fieller's interval
    agrees    whether the best click lies within a click of that interval; None where one of them is missing
    """

    swatches: int
    slope: Quantity
    percent: Quantity
    at: Quantity | CannotSay
    agrees: bool | None


@frozen
class DialReport:
    """Which dial setting.

    best    the click most likely to lie within what is allowed
    keeps   dial of the pieces that are knitted: what is seamed to them keeps it; None without pieces
    line    cross-check
    knit_at dial of what is knitted next: the one that is kept, else the likeliest of those that were swatched
    swatched  the dials of blocked swatches, as they are written, the tightest first
    """

    slopes: tuple[SlopeReport, ...]
    wanted: WantedGauge | CannotSay
    clicks: tuple[ClickReport, ...]
    best: ClickReport | CannotSay
    keeps: str | None
    line: LineReport | CannotSay
    knit_at: str | None = None
    swatched: tuple[str, ...] = ()


@frozen
class NextSwatchReport:
    """The swatch that narrows the answer most.

    stitches    between its markers
    chest_mm    finished round chest that the intervals are of [mm]
    now_mm, then_mm   length of the 90 % interval of that chest without and with the swatch, end to end [mm]
    at          dial of the pieces that it is reckoned for; None: every dial in question counts alike
    """

    dial: str
    position: float
    stitches: int
    chest_mm: float
    now_mm: float
    then_mm: float
    at: str | None


@frozen
class FabricAnswer:
    """Everything that is known of one make's fabric.

    dial      dial of the next piece, as it is written
    gauge     of the next piece at that dial, per stage and direction
    assumed   what was taken for granted
    left_out  what was not pooled, and why
    learned   finished makes that told how pieces differ from swatches
    groups    the swatches in groups of one fabric, the one that is taken first
    asked     which group it is, where neither make nor pieces say so
    """

    schema: str
    make: str
    make_name: str
    invented: bool
    dial: str | None
    gauge: tuple[FabricGauge, ...] | CannotSay
    specimens: tuple[SpecimenReport, ...]
    change: tuple[ChangeReport, ...]
    dials: DialReport
    next_swatch: NextSwatchReport | CannotSay
    assumed: tuple[Assumed, ...]
    left_out: tuple[LeftOut, ...]
    learned: tuple[str, ...]
    groups: tuple[SwatchGroup, ...] = ()
    asked: GroupAsked | None = None

    @property
    def pooled(self) -> tuple[SpecimenReport, ...]:
        """The swatches and pieces that the fabric was fitted to."""
        return tuple(specimen for specimen in self.specimens if specimen.pooled)
