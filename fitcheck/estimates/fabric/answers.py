"""What the fabric model answers: sizes, gauge, change, slope, clicks and the swatch to knit next."""

from __future__ import annotations

from fitcheck.estimates.fabric.assumptions import BLOCKED
from fitcheck.estimates.fabric.grid import Matrix
from fitcheck.estimates.numbers import Basis
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import FOUR_INCHES_MM


@frozen
class PerLength:
    """Stitches or rows per length, with the interval."""

    value: float
    low: float
    high: float
    level: float


@frozen
class StitchSize:
    """Stitch width or row height.

    value, low, high  median and equal-tailed interval [mm]
    level             chance that the interval holds the truth
    log_mean, sd      mean [ln mm] and SD [1] of its logarithm
    basis             measured, assumed (nothing was read in this direction) or mixed
    assumed           codes of what was assumed: size, slope, piece_shift, change:<stage>
    """

    value: float
    low: float
    high: float
    level: float
    log_mean: float
    sd: float
    basis: Basis
    assumed: tuple[str, ...] = ()

    def per(self, length_mm: float) -> PerLength:
        """Stitches or rows per length [1 per length_mm]."""
        return PerLength(length_mm / self.value, length_mm / self.high, length_mm / self.low, self.level)


@frozen
class Gauge:
    """Stitch width and row height together.

    dial   dial number that it is for; None when it is for the specimen itself or no dial is known
    piece  of a piece, not of a swatch
    stage  stage of finishing
    """

    across: StitchSize
    along: StitchSize
    dial: float | None = None
    piece: bool = True
    stage: str = BLOCKED

    def per_10cm(self) -> tuple[PerLength, PerLength]:
        """Stitches and rows per 10 cm."""
        return self.across.per(100.0), self.along.per(100.0)

    def per_4in(self) -> tuple[PerLength, PerLength]:
        """Stitches and rows per 4 in (1.6 % more than per 10 cm)."""
        return self.across.per(FOUR_INCHES_MM), self.along.per(FOUR_INCHES_MM)


@frozen(eq=False)
class PairOf:
    """ln(mm per stitch or row) of a specimen and of the next piece: mean (2,) and covariance (2, 2)."""

    mean: Matrix
    cov: Matrix


@frozen(eq=False)
class Pair:
    """A specimen and the next piece, jointly; the directions are independent.

    key, dial  the specimen, and the dial of the next piece
    spreads    SD of the next piece's logarithm across about the specimen's, in equally likely parts [1], shape (8,)
    own_sd     SD of what the next piece deviates by itself [1]
    """

    key: str
    dial: float | None
    across: PairOf
    along: PairOf
    spreads: Matrix
    own_sd: float


@frozen
class PercentChange:
    """Change to washed and blocked of the next piece: 100 (blocked / stage - 1) [%], minus = shrinks.

    specimens  how many were read at that stage and blocked
    """

    value: float
    low: float
    high: float
    level: float
    basis: Basis
    specimens: int


@frozen
class FinishingChange:
    """What washing and blocking will do to the next piece, from a stage on (signs of ISO 5077)."""

    stage: str
    across: PercentChange
    along: PercentChange


@frozen
class Slope:
    """Relative change of stitch size per dial number at the centre dial.

    value, sd        [1 per number]
    share_from_data  1 - posterior variance / prior variance: 0 = wholly assumed
    """

    value: float
    sd: float
    share_from_data: float


@frozen
class Click:
    """One dial setting that the machine can be put to.

    gauge          predicted gauge of the next piece
    chance_within  chance that it lies within the tolerance of the wanted size
    outside        outside the dials that were swatched
    good           the predicted size itself lies within the tolerance
    """

    dial: float
    gauge: Gauge
    chance_within: float
    outside: bool
    good: bool


@frozen
class SwatchOption:
    """A swatch that could be knitted next; interval_mm is the chest's interval after it, end to end [mm]."""

    dial: float
    stitches: float
    interval_mm: float


@frozen
class NextSwatch:
    """The swatch that narrows the answer most.

    dial, stitches  its setting, and the stitches between its markers
    interval_mm     length of the 90 % interval of the finished chest after it [mm]
    now_mm          the same without it [mm]
    options         every dial and size that was compared, in the order given
    """

    dial: float
    stitches: float
    interval_mm: float
    now_mm: float
    options: tuple[SwatchOption, ...]
