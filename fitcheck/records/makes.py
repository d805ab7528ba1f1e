"""A make: one sweater being made, what it must fit, how it is built, and its pieces."""

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator

from fitcheck.records.base import (
    Count,
    Key,
    Note,
    Record,
    SignedLength,
    Text,
    TypedLength,
    no_entries,
    refused,
)
from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.records.choices import Choices
from fitcheck.records.constructions import USUAL, ConstructionKey
from fitcheck.records.faults import Accepts
from fitcheck.records.point_keys import PointKey
from fitcheck.records.points import HALF_FRONTS, SLEEVES, Meant, PieceKind, SeamEdge
from fitcheck.records.readings import Moment
from fitcheck.records.shaping import EdgeShaping, ShapedEdge
from fitcheck.records.sheet_kinds import BandKind
from fitcheck.records.stages import PieceStage
from fitcheck.records.swatches import Knitted

SeamKind = Literal["mattress", "half_stitch", "linked", "overlap", "none"]
BandEdge = Literal["hem", "cuff", "neck", "front"]
BandHow = Literal["knitted_on", "added_later", "turned"]
BAND_KIND: Mapping[BandEdge, BandKind] = MappingProxyType(
    {"neck": "neck_band", "front": "front_band", "hem": "hem_band", "cuff": "cuff_band"}
)
"""By which name the sheet of a band at an edge goes."""


class Counts(Record):
    """Stitches across (or rows along) at a point. A bare number stands for ``{"knitted": ...}``.

    planned    what the plan or the pattern says
    knitted    what the knitter believes was knitted
    counted    what was counted on the piece itself: it wins over both
    confirmed  it was questioned as unlikely and kept
    """

    planned: Count | None = None
    knitted: Count | None = None
    counted: Count | None = None
    confirmed: bool = False

    @model_validator(mode="before")
    @classmethod
    def _bare(cls, value: Any) -> Any:
        return {"knitted": value} if isinstance(value, (int, str)) and not isinstance(value, bool) else value

    @property
    def best(self) -> int | None:
        """The count to reckon with: counted, else knitted, else planned."""
        return self.counted or self.knitted or self.planned


class Rib(Record):
    """The band or rib at the lower end of a piece, as it was knitted."""

    stitches: Count | None = None
    rows: Count | None = None


class Piece(Knitted):
    """A piece of the sweater.

    replaces        the piece that this one was knitted again for
    dial_confirmed  it was asked whether the dial stood where it is written, and it did
    felted          whether it felted or shrank in the wash, once that was asked
    counts          stitches at widths and rows at lengths above the band, per point of measure
    rib             stitches and rows of the band or rib at its lower end
    shaping         how its edges were shaped; an edge that is not said is assumed from the counts
    """

    id: Key
    piece: PieceKind
    replaces: Key | None = None
    dial_confirmed: bool = False
    felted: bool | None = None
    counts: dict[PointKey, Counts] = Field(default_factory=dict)
    rib: Rib | None = None
    shaping: dict[ShapedEdge, EdgeShaping] = Field(default_factory=dict)
    stages: list[PieceStage] = Field(default_factory=no_entries)
    notes: Note = ""


class Band(Record):
    """A band or rib at an edge of the garment, and whether the piece already has it (fit rule 1).

    how   knitted_on: the piece has it; added_later: picked up or sewn on afterwards; turned: knitted as a
          hem that is still to be folded up
    """

    edge: BandEdge
    depth: TypedLength
    how: BandHow

    @property
    def depths_in_piece(self) -> float:
        """How many depths of it lie in the piece [1]: of a turned band both its layers."""
        return {"knitted_on": 1.0, "added_later": 0.0, "turned": 2.0}[self.how]

    @property
    def mm_in_piece(self) -> float:
        """How much of the piece's length is this band [mm]."""
        return self.depths_in_piece * self.depth.value_mm


class Tolerance(Record):
    """What is allowed at a point. A bare length stands for the same on both sides.

    smaller, larger   allowed too narrow or short, too wide or long
    meant             whether it is said of the flat garment, of the round measure, or of the piece
    """

    smaller: TypedLength
    larger: TypedLength
    meant: Meant = "flat"

    @model_validator(mode="before")
    @classmethod
    def _both_sides(cls, value: Any) -> Any:
        return {"smaller": value, "larger": value} if isinstance(value, (str, int, float)) else value


class Wish(Record):
    """A wish at a point: how much larger (+) or smaller (-) than the reference."""

    by: SignedLength
    meant: Meant = "flat"

    @model_validator(mode="before")
    @classmethod
    def _bare(cls, value: Any) -> Any:
        return {"by": value} if isinstance(value, (str, int, float)) else value


class Wanted(Record):
    """A wanted figure. A bare length stands for a flat figure of the finished garment.

    confirmed  it was questioned as unlikely and kept
    """

    length: TypedLength
    meant: Meant = "flat"
    confirmed: bool = False

    @model_validator(mode="before")
    @classmethod
    def _bare(cls, value: Any) -> Any:
        return {"length": value} if isinstance(value, (str, int, float)) else value


class Fits(Record):
    """What the sweater must fit: a pinned measuring of a garment, numbers, body and ease; or a mix per point.

    Where more than one speaks for a point, numbers win over body and ease, and these over the garment.

    as_read  whether the garment is copied as it was read where that is asked: the widths of a rib or of what is worn
             stretched, figures read worn whose growth is not known, a measuring that is not the garment's latest; not
             said = asked before anything is done for them
    """

    garment: Key | None = None
    occasion: Key | None = None
    as_read: bool | None = None
    numbers: dict[PointKey, Wanted] = Field(default_factory=dict)
    ease: dict[PointKey, SignedLength] = Field(default_factory=dict)

    @property
    def is_said(self) -> bool:
        """Whether it was said at all what the sweater must fit."""
        return bool(self.garment or self.numbers or self.ease)

    @model_validator(mode="after")
    def _pinned(self) -> Self:
        if (self.garment is None) != (self.occasion is None):
            raise refused(Accepts("garment_and_occasion"))
        return self


Work = Annotated[float, Field(ge=0, le=10)]
"""Work [1 = knitting a back once]."""


class Shares(Record):
    """Work of knitting a piece where the back has no counts [1 = knitting a back once]; assumed, editable.

    front       a front in one piece;  half_front  one half of an open front
    sleeve      one sleeve;  side_panel  one panel
    """

    front: Work = 1.0
    half_front: Work = 0.5
    sleeve: Work = 0.55
    side_panel: Work = 0.2

    def of(self, kind: PieceKind) -> float:
        """Share of a kind of piece [1]; a back is 1."""
        if kind == "front":
            return self.front
        if kind in HALF_FRONTS:
            return self.half_front
        if kind in SLEEVES:
            return self.sleeve
        return self.side_panel if kind == "side_panel" else 1.0


class CostsBefore(Record):
    """What format 1 said of costs that are reckoned otherwise now [works of the piece on the table]."""

    rip_back: Work | None = None
    knit_again: Work | None = None
    other_counts: Work | None = None


class Costs(Record):
    """What each act costs [1 = the work of knitting a back once]; assumed. All editable.

    measure         a round of measuring
    alter_hem       rows off or on at the lower end
    block_again     blocking a piece again
    rip_extra       ripping back, beyond the share of what is ripped
    knit_extra      knitting a piece again, beyond its share
    printed_counts  other counts in one piece that is knitted by printed numbers
    shares          the work of a piece where the back has no counts
    before          what a file of format 1 said instead, until it is confirmed
    """

    measure: Work = 0.03
    alter_hem: Work = 0.12
    block_again: Work = 0.15
    rip_extra: Work = 0.05
    knit_extra: Work = 0.05
    printed_counts: Work = 0.02
    shares: Shares = Shares.model_construct()
    before: CostsBefore | None = None


class Taken(Record):
    """An advised count that became the planned one.

    piece, point  what it is a count of
    instead_of    the count that stood there before; not said = none was known
    at            when it was taken
    report        digest of the report that advised it
    """

    piece: PieceKind
    point: PointKey
    count: Count
    instead_of: Count | None = None
    at: Moment
    report: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class DoneDeeds(Record):
    """Deeds of a plan that were ticked as done. They feed no answer.

    piece  key of the piece that the plan is about
    plan   which plan it is (``fitcheck.reports.plans.plan_of``): the ticks of another one say nothing of this
    deeds  their numbers in its list
    """

    piece: Key
    plan: Annotated[str, Field(pattern=r"^[0-9a-f]{16}$")]
    deeds: Annotated[list[Annotated[int, Field(ge=1, le=40)]], Field(min_length=1, max_length=40)]


class Make(Record):
    """One sweater being made.

    open_front     the front is open: two halves; not said = where a front band is
    front_band     depth of the front band when the front is open (closed, overlapped)
    panel_width    finished width of one side panel, with side panels
    seams          how edges are seamed, per edge; not said = mattress stitch
    planned_kept   planned counts that were asked about, as no whole repeats or unlike on both sides, and are right
    taken          advised counts that became the planned ones, in the order in which they were taken
    done           deeds that were ticked, of one plan a piece
    choices        how the rest is knitted
    sheets         sheets that were begun, in the order in which they were
    became         the garment of the wardrobe that it hangs there as, since it was finished
    learns_from    finished makes whose shift from swatch to piece replaces the usual one
    steam          steam will be used in blocking
    """

    id: Key
    name: Text
    started: date | None = None
    wearer: Key | None = None
    construction: ConstructionKey = USUAL
    open_front: bool | None = None
    front_band: TypedLength | None = None
    panel_width: TypedLength | None = None
    fits: Fits = Fits.model_construct()
    wishes: dict[PointKey, Wish] = Field(default_factory=dict)
    tolerances: dict[PointKey, Tolerance] = Field(default_factory=dict)
    weights: dict[PointKey, Annotated[float, Field(ge=0, le=100)]] = Field(default_factory=dict)
    seams: dict[SeamEdge, SeamKind] = Field(default_factory=dict)
    seam_overlap: TypedLength | None = None
    bands: list[Band] = Field(default_factory=no_entries)
    thickness: TypedLength | None = None
    yarn: Key | None = None
    machine: Key | None = None
    swatches: list[Key] = Field(default_factory=no_entries)
    size_table: Key | None = None
    size: Text | None = None
    planned: dict[PieceKind, dict[PointKey, Count]] = Field(default_factory=dict)
    planned_kept: dict[PieceKind, dict[PointKey, Count]] = Field(default_factory=dict)
    taken: list[Taken] = Field(default_factory=no_entries)
    done: list[DoneDeeds] = Field(default_factory=no_entries)
    choices: Choices = Choices.model_construct()
    multiple: Annotated[int, Field(ge=1, le=60)] = 1
    balance: Annotated[int, Field(ge=0, le=59)] = 0
    steam: bool = False
    costs: Costs = Costs.model_construct()
    pieces: list[Piece] = Field(default_factory=no_entries)
    sheets: list[BegunSheet] = Field(default_factory=no_entries)
    learns_from: list[Key] = Field(default_factory=no_entries)
    finished: date | None = None
    became: Key | None = None
    notes: Note = ""

    def deeds_done(self, piece: str | None, plan: str) -> frozenset[int]:
        """The numbers of the deeds of a plan that are done."""
        return frozenset(
            number for done in self.done if (done.piece, done.plan) == (piece, plan) for number in done.deeds
        )

    def keeps(self, kind: PieceKind, key: str, count: int) -> bool:
        """Whether a count of a piece was asked about and is right as it is planned; another count is asked about."""
        return {str(point): kept for point, kept in self.planned_kept.get(kind, {}).items()}.get(key) == count

    @property
    def taken_now(self) -> list[Taken]:
        """The advised counts that are the planned ones now; of each count the latest."""
        latest = {(taken.piece, taken.point): taken for taken in self.taken}
        return [taken for taken in latest.values() if self.planned.get(taken.piece, {}).get(taken.point) == taken.count]

    @property
    def opens(self) -> bool:
        """Whether the front is two halves: as it was said, else where a front band is."""
        if self.open_front is not None:
            return self.open_front
        return self.front_band is not None or any(band.edge == "front" for band in self.bands)

    @property
    def bands_on(self) -> frozenset[BandEdge]:
        """The edges whose bands are knitted: the latest sheet of each is ended."""
        latest = {sheet.piece: sheet for sheet in self.sheets}
        return frozenset(edge for edge, kind in BAND_KIND.items() if kind in latest and latest[kind].ended)

    @property
    def standing(self) -> list[Piece]:
        """The pieces that no other was knitted again for, in their order."""
        replaced = {piece.replaces for piece in self.pieces}
        return [piece for piece in self.pieces if piece.id not in replaced]
