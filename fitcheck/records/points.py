"""Points of measure: the spine that ties garment, piece, size table and counts together.

One catalogue. Each point says where the tape goes, in which direction of the fabric, whether a garment's
figure is flat or a length, which pieces carry it, what seams swallow at its ends, what another piece can make
up when this one is fixed, what is allowed by default, and how much a miss matters.

Tolerances, limits of what can be made up and weights are common practice, no source; all can be edited in a
make.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AfterValidator
from pydantic_core import PydanticCustomError

Direction = Literal["across", "along", "edge"]
Meant = Literal["flat", "round", "piece"]
SeamEdge = Literal["side", "armhole", "shoulder", "neck", "sleeve", "panel"]
PieceKind = Literal["back", "front", "left_front", "right_front", "sleeve", "left_sleeve", "right_sleeve", "side_panel"]
BODY: tuple[PieceKind, ...] = ("back", "front", "left_front", "right_front")
FRONTS: tuple[PieceKind, ...] = ("front", "left_front", "right_front")
HALF_FRONTS: tuple[PieceKind, ...] = ("left_front", "right_front")
SLEEVES: tuple[PieceKind, ...] = ("sleeve", "left_sleeve", "right_sleeve")

Maker = Literal["other_body_piece", "armhole_seam", "neck_band", "front_rows_and_cap", "hem", "cuff_band"]


@dataclass(frozen=True, slots=True)
class MakeUp:
    """What can make up a point when its piece is fixed, and how far (fit rule 4; common practice, no source).

    by          which part of the garment answers
    too_large   how much too wide or too long can be made up [mm]
    too_small   how much too narrow or too short can be made up [mm]
    share       further limit as a share of the point's own length [1]; 0 = none
    """

    by: Maker
    too_large_mm: float
    too_small_mm: float
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Point:
    """One point of measure.

    direction   across stitches, along rows, or along an edge
    flat        a garment's figure is the flat half of a round measure
    tape        where the tape goes, one sentence
    mark        the two ends of the tape on the drawing, as names of the outline's corners
    pieces      pieces that carry the point
    per_piece   how many times the garment's flat figure one piece measures (2 for a sleeve knitted as one
                round)
    seam_ends   how many ends of the tape are swallowed by a seam, each by one edge's allowance; negative
                where picking up an edge makes the opening larger instead
    seam_rows   rows that a seam across the piece swallows at the end of a length (a shoulder seam: one)
    seam_edges  which seam swallows each of those ends or rows, one name for each
    band        the band whose depth counts in a length or an opening
    tolerance   allowed (too small, too large) in the garment's own flat figure [mm]
    usual       read on a piece where nothing says which points are wanted
    weight      loss if the finished garment is out at this point, in pieces of this size knitted again
    make_up     what can answer when this piece is fixed
    plausible   range that passes without a question [mm], garment or piece
    """

    key: str
    name: str
    direction: Direction
    tape: str
    mark: tuple[str, str]
    pieces: tuple[PieceKind, ...]
    tolerance: tuple[float, float]
    plausible: tuple[float, float]
    flat: bool = False
    per_piece: int = 1
    seam_ends: int = 0
    seam_rows: int = 0
    seam_edges: tuple[SeamEdge, ...] = ()
    band: Literal["hem", "cuff", "neck", ""] = ""
    usual: bool = False
    weight: float = 1.0
    make_up: MakeUp | None = None

    def on_piece(self, kind: str) -> float:
        """How many times the garment's flat figure a piece measures [1]: a sleeve twice, half a front half of it."""
        return self.per_piece * (0.5 if self.flat and kind in HALF_FRONTS else 1.0)

    def is_on(self, kind: str) -> bool:
        """Whether a kind of piece carries the point; one of two fronts carries none that spans the opening."""
        return kind in self.pieces and not (kind in HALF_FRONTS and self.direction == "across" and not self.flat)


_POINTS = (
    Point(
        "shoulder_width",
        "shoulder width",
        "across",
        "Straight from armhole seam to armhole seam, across the back; on a piece from edge to edge.",
        ("T", "T'"),
        BODY,
        (10.0, 10.0),
        (180.0, 560.0),
        seam_ends=2,
        seam_edges=("armhole", "armhole"),
        weight=3.0,
        make_up=MakeUp("armhole_seam", too_large_mm=15.0, too_small_mm=10.0),
        usual=True,
    ),
    Point(
        "chest",
        "chest",
        "across",
        "Straight across, 2.5 cm (1 in) below the underarm.",
        ("C", "C'"),
        BODY,
        (10.0, 10.0),
        (200.0, 800.0),
        flat=True,
        seam_ends=2,
        seam_edges=("side", "side"),
        weight=2.0,
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
        usual=True,
    ),
    Point(
        "armhole_depth",
        "armhole depth, straight",
        "along",
        "From the outer end of the shoulder straight down to the level of the underarm.",
        ("T", "A"),
        BODY,
        (6.0, 6.0),
        (80.0, 350.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        make_up=MakeUp("front_rows_and_cap", too_large_mm=1e9, too_small_mm=1e9, share=0.02),
        usual=True,
    ),
    Point(
        "neck_width",
        "back neck width, seam to seam",
        "across",
        "Straight across between the two shoulder points at the neck, from seam to seam.",
        ("N", "N'"),
        BODY,
        (6.0, 6.0),
        (80.0, 320.0),
        seam_ends=-2,
        seam_edges=("neck", "neck"),
        make_up=MakeUp("neck_band", too_large_mm=30.0, too_small_mm=5.0),
        usual=True,
    ),
    Point(
        "neck_inside",
        "neck width, inside the band",
        "across",
        "Straight across the opening, from the inner edge of the neck band to its other inner edge.",
        ("N", "N'"),
        BODY,
        (6.0, 6.0),
        (80.0, 320.0),
        seam_ends=-2,
        seam_edges=("neck", "neck"),
        band="neck",
        make_up=MakeUp("neck_band", too_large_mm=30.0, too_small_mm=5.0),
    ),
    Point(
        "waist",
        "waist",
        "across",
        "Straight across at the narrowest place of the body.",
        ("W", "W'"),
        BODY,
        (10.0, 10.0),
        (180.0, 800.0),
        flat=True,
        seam_ends=2,
        seam_edges=("side", "side"),
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
    ),
    Point(
        "hem",
        "hem width",
        "across",
        "Straight across the lower edge, above the rib if there is one, without stretching it.",
        ("H", "H'"),
        BODY,
        (10.0, 10.0),
        (180.0, 900.0),
        flat=True,
        seam_ends=2,
        seam_edges=("side", "side"),
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
        usual=True,
    ),
    Point(
        "to_underarm",
        "length to underarm",
        "along",
        "From the lower edge straight up to the level of the underarm.",
        ("H", "A"),
        BODY,
        (15.0, 15.0),
        (120.0, 700.0),
        band="hem",
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
    ),
    Point(
        "body_length",
        "body length",
        "along",
        "From the highest point of the shoulder, at the neck, straight down to the lower edge.",
        ("N", "B"),
        BODY,
        (15.0, 15.0),
        (250.0, 1100.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        band="hem",
        weight=2.0,
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
    ),
    Point(
        "centre_back",
        "centre back length",
        "along",
        "From the middle of the back neck straight down to the lower edge.",
        ("K", "B"),
        ("back",),
        (15.0, 15.0),
        (240.0, 1100.0),
        band="hem",
        weight=2.0,
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
    ),
    Point(
        "shoulder_seam",
        "shoulder seam",
        "edge",
        "Along the shoulder from the neck to the armhole.",
        ("N", "T"),
        BODY,
        (6.0, 6.0),
        (30.0, 250.0),
        seam_ends=2,
        seam_edges=("armhole", "neck"),
    ),
    Point(
        "shoulder_drop",
        "shoulder drop",
        "along",
        "From the level of the neck point straight down to the level of the outer end of the shoulder.",
        ("N", "T"),
        BODY,
        (6.0, 6.0),
        (0.0, 90.0),
    ),
    Point(
        "neck_depth",
        "front neck depth",
        "along",
        "From the level of the neck points straight down to the lowest point of the front neck edge.",
        ("N", "G"),
        FRONTS,
        (6.0, 6.0),
        (0.0, 250.0),
        band="neck",
    ),
    Point(
        "back_neck_drop",
        "back neck drop",
        "along",
        "From the level of the neck points straight down to the middle of the back neck edge.",
        ("N", "K"),
        ("back",),
        (6.0, 6.0),
        (0.0, 80.0),
    ),
    Point(
        "armhole_diagonal",
        "armhole, diagonal",
        "edge",
        "From the outer end of the shoulder slantwise to the corner of the underarm.",
        ("T", "U"),
        BODY,
        (6.0, 6.0),
        (85.0, 400.0),
        seam_rows=1,
        seam_edges=("shoulder",),
    ),
    Point(
        "armhole_from_neck",
        "armhole from the neck point's level",
        "along",
        "From the level of the highest shoulder point straight down to the level of the underarm.",
        ("N", "A"),
        BODY,
        (6.0, 6.0),
        (90.0, 400.0),
        seam_rows=1,
        seam_edges=("shoulder",),
    ),
    Point(
        "armhole_edge",
        "armhole, along the edge",
        "edge",
        "Along the curved edge from the outer end of the shoulder to the corner of the underarm.",
        ("T", "U"),
        BODY,
        (6.0, 6.0),
        (85.0, 450.0),
        seam_rows=1,
        seam_edges=("shoulder",),
    ),
    Point(
        "sleeve_length",
        "sleeve length",
        "along",
        "From the shoulder seam at the top of the cap to the end of the cuff.",
        ("S", "E"),
        SLEEVES,
        (13.0, 13.0),
        (120.0, 900.0),
        seam_rows=1,
        seam_edges=("armhole",),
        band="cuff",
        weight=2.0,
        make_up=MakeUp("cuff_band", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
    ),
    Point(
        "sleeve_to_underarm",
        "sleeve to underarm",
        "along",
        "From the end of the cuff straight up to the level of the underarm.",
        ("E", "V"),
        SLEEVES,
        (13.0, 13.0),
        (80.0, 700.0),
        band="cuff",
        make_up=MakeUp("cuff_band", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
    ),
    Point(
        "upper_arm",
        "upper arm",
        "across",
        "Straight across the sleeve, 2.5 cm (1 in) below the underarm.",
        ("V", "V'"),
        SLEEVES,
        (6.0, 6.0),
        (80.0, 500.0),
        flat=True,
        per_piece=2,
        seam_ends=2,
        seam_edges=("sleeve", "sleeve"),
        usual=True,
    ),
    Point(
        "cuff",
        "cuff",
        "across",
        "Straight across the end of the sleeve, above the rib if there is one.",
        ("E", "E'"),
        SLEEVES,
        (6.0, 6.0),
        (50.0, 350.0),
        flat=True,
        per_piece=2,
        seam_ends=2,
        seam_edges=("sleeve", "sleeve"),
        usual=True,
    ),
    Point(
        "cap_height",
        "cap height",
        "along",
        "From the level of the underarm straight up to the top of the cap.",
        ("V", "S"),
        SLEEVES,
        (6.0, 6.0),
        (20.0, 250.0),
        seam_rows=1,
        seam_edges=("armhole",),
        usual=True,
    ),
    Point(
        "centre_back_to_cuff",
        "centre back neck to cuff",
        "edge",
        "From the middle of the back neck over the shoulder along the sleeve to the end of the cuff.",
        ("K", "E"),
        (),
        (13.0, 13.0),
        (300.0, 1200.0),
        band="cuff",
        weight=2.0,
    ),
    Point(
        "panel_width",
        "side panel width",
        "across",
        "Straight across the side panel, 2.5 cm (1 in) below the underarm.",
        ("P", "P'"),
        ("side_panel",),
        (6.0, 6.0),
        (20.0, 400.0),
        seam_ends=2,
        seam_edges=("panel", "panel"),
        usual=True,
    ),
    Point(
        "panel_length",
        "side panel length",
        "along",
        "From the lower edge of the side panel straight up to the underarm.",
        ("Q", "P"),
        ("side_panel",),
        (15.0, 15.0),
        (100.0, 700.0),
        band="hem",
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
    ),
)

POINTS: Mapping[str, Point] = MappingProxyType({point.key: point for point in _POINTS})
"""The catalogue, in the order in which answers are printed."""

ORDER: Mapping[str, int] = MappingProxyType({key: place for place, key in enumerate(POINTS)})

DECIDING_FIRST = ("shoulder_width", "chest", "armhole_depth")
"""The three points asked for first: what no later piece or band can mend."""

BELOW_UNDERARM = ("chest", "upper_arm")
"""Points 2.5 cm below the underarm: compared with the count of *that* row, not the widest (fit rule 16)."""


KNITTED: Mapping[str, int] = MappingProxyType(
    {
        key: place
        for place, key in enumerate(
            (
                "cuff",
                "hem",
                "panel_length",
                "to_underarm",
                "sleeve_to_underarm",
                "waist",
                "upper_arm",
                "chest",
                "panel_width",
                "armhole_depth",
                "armhole_from_neck",
                "cap_height",
                "shoulder_width",
                "neck_depth",
                "back_neck_drop",
                "neck_width",
                "neck_inside",
                "shoulder_drop",
                "centre_back",
                "body_length",
                "sleeve_length",
            )
        )
    }
)
"""Order in which the points of a piece are knitted, from the cast-on up."""

ALSO_CALLED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "bust": ("chest",),
        "chest_width": ("chest",),
        "width": ("chest",),
        "shoulder": ("shoulder_width",),
        "shoulders": ("shoulder_width",),
        "back_width": ("shoulder_width",),
        "cross_back": ("shoulder_width",),
        "armhole": ("armhole_depth",),
        "scye": ("armhole_depth",),
        "neck": ("neck_width",),
        "neckline": ("neck_width", "neck_depth"),
        "neck_drop": ("back_neck_drop", "neck_depth"),
        "length": ("body_length",),
        "back_length": ("body_length", "centre_back"),
        "total_length": ("body_length",),
        "side_length": ("to_underarm",),
        "side_seam": ("to_underarm",),
        "hip": ("hem",),
        "hips": ("hem",),
        "bottom": ("hem",),
        "sleeve": ("sleeve_length",),
        "sleeve_seam": ("sleeve_to_underarm",),
        "arm": ("upper_arm",),
        "bicep": ("upper_arm",),
        "biceps": ("upper_arm",),
        "sleeve_width": ("upper_arm",),
        "wrist": ("cuff",),
        "cap": ("cap_height",),
        "sleeve_cap": ("cap_height",),
    }
)
"""What people call points, and the points that they mean by it (common practice, no source)."""


def known_point(key: str) -> str:
    """Return the key of a point of the catalogue; a fault that names the nearest ones otherwise."""
    if key in POINTS:
        return key
    simple = "_".join(key.lower().replace("-", " ").replace("_", " ").split())
    near: Sequence[str] = (simple,) if simple in POINTS else ALSO_CALLED.get(simple, ())
    if not near:
        from difflib import get_close_matches

        near = get_close_matches(simple, POINTS, n=3, cutoff=0.5)
    meant = f"did you mean {' or '.join(near)}?" if near else f"one of {', '.join(POINTS)}."
    raise PydanticCustomError("point", "{accepts}", {"read": key, "accepts": f"A point of measure: {meant}"})


PointKey = Annotated[str, AfterValidator(known_point)]
"""Key of a point of measure."""
