"""What counts are looked for: points with what is wanted, groups that hang together, demands, and the answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, Protocol, TypeAlias, TypeVar

from fitcheck.advice.judge.points import Tolerance
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection

CountPlace = tuple[str, str]
"""Where a count belongs: (piece, point of measure)."""
Asked = TypeVar("Asked")
Per: TypeAlias = Asked | Mapping[str | CountPlace, Asked]
"""One value for every stitch count, or a mapping from a piece (its stitch counts) or a place (also rows)."""

SWALLOWED: Mapping[str, float] = {"across": 2.0, "along": 0.0}
"""Stitches or rows that seams swallow when nothing is said (common practice, no source)."""
MOST_APART_MM = 40.0
"""Front less back, at most [mm] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class StitchAndRow:
    """Size of the finished fabric: stitch width and row height [mm]."""

    width_mm: float
    row_mm: float


class Sized(Protocol):
    """A size with its value [mm]."""

    @property
    def value(self) -> float: ...  # noqa: D102 - the class says it


class GaugeLike(Protocol):
    """Stitch width and row height as the fabric model answers them."""

    @property
    def across(self) -> Sized: ...  # noqa: D102 - the class says it

    @property
    def along(self) -> Sized: ...  # noqa: D102 - the class says it


@dataclass(frozen=True, slots=True)
class CountPoint:
    """One point of one piece that needs a count.

    key, piece    point of measure and piece
    direction     across (stitches) or along (rows)
    wanted_mm     finished measure, seams sewn; flat for widths [mm]
    tolerance_mm  allowed on both sides, or (narrower or shorter, wider or longer) [mm]; math.inf frees a side
    swallowed     stitches or rows that seams swallow; negative where picking up an edge widens an opening;
                  None = 2 across, 0 along
    weight        loss if the garment is out here
    """

    key: str
    piece: str
    direction: CountedDirection
    wanted_mm: float
    tolerance_mm: Tolerance
    swallowed: float | None = None
    weight: float = 1.0

    @property
    def place(self) -> CountPlace:
        """(piece, key)."""
        return (self.piece, self.key)


@dataclass(frozen=True, slots=True)
class Equal:
    """Counts that must be equal: rows along a seamed edge, shoulders, both sleeves.

    places  of one direction
    ease    stitches or rows any two may differ (a seam eases in about 2 %; common practice, no source)
    """

    places: tuple[CountPlace, ...]
    ease: int = 0


@dataclass(frozen=True, slots=True)
class Together:
    """Front and back that reach a flat width together: (back + front + band) / 2.

    key            point of measure of the garment
    back, front    places of each half; two for half fronts. Wanted and tolerance are those of the points,
                   added and halved in the same way; the weight is the largest of theirs
    band_mm        width that front bands add to the front [mm]
    most_apart_mm  front with its bands less back, at most, either way [mm]
    even           the difference in stitches is even, so that the middle of front and back stays alike
    """

    key: str
    back: tuple[CountPlace, ...]
    front: tuple[CountPlace, ...]
    band_mm: float = 0.0
    most_apart_mm: float = MOST_APART_MM
    even: bool = True

    @property
    def places(self) -> tuple[CountPlace, ...]:
        """Every place of both halves."""
        return self.back + self.front


@dataclass(frozen=True, slots=True)
class Demand:
    """One demand that can be relaxed.

    code   parity | multiple | needles | equal | apart (front and back) | even (their difference)
    about  piece or places that it was made for; empty = all stitch counts
    """

    code: Literal["parity", "multiple", "needles", "equal", "apart", "even"]
    about: tuple[str | CountPlace, ...] = ()


@dataclass(frozen=True, slots=True)
class Counts:
    """Counts that answer the demands.

    counts       by place, knitted pieces included; empty when no counts meet every demand
    finished_mm  what they come to, by place [mm]
    off_mm       finished - wanted, by place [mm]
    flat_mm      what front and back reach together, by the garment's point [mm]
    flat_off_mm  the same less what is wanted [mm]
    relax        why there are no counts, and what to relax; None when there are
    to_relax     each a set of demands that, relaxed together, opens the way; the smallest change first
    """

    counts: Mapping[CountPlace, int] = field(default_factory=dict)
    finished_mm: Mapping[CountPlace, float] = field(default_factory=dict)
    off_mm: Mapping[CountPlace, float] = field(default_factory=dict)
    flat_mm: Mapping[str, float] = field(default_factory=dict)
    flat_off_mm: Mapping[str, float] = field(default_factory=dict)
    relax: CannotSay | None = None
    to_relax: tuple[tuple[Demand, ...], ...] = ()
