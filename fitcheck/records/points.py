"""Points of measure: the spine that ties garment, piece, size table and counts together.

One catalogue. Each point says where the tape goes, in which direction of the fabric, whether a garment's
figure is flat or a length, which pieces carry it, what seams swallow at its ends, what another piece can make
up when this one is fixed, what is allowed by default, and how much a miss matters.

Tolerances, limits of what can be made up and weights are common practice, no source; all can be edited in a
make.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.make_up import MakeUp
from fitcheck.records.tapes import Lies

Direction = Literal["across", "along", "edge"]
Meant = Literal["flat", "round", "piece"]
SeamEdge = Literal["side", "armhole", "shoulder", "neck", "sleeve", "panel"]
PieceKind = Literal["back", "front", "left_front", "right_front", "sleeve", "left_sleeve", "right_sleeve", "side_panel"]
BODY: tuple[PieceKind, ...] = ("back", "front", "left_front", "right_front")
FRONTS: tuple[PieceKind, ...] = ("front", "left_front", "right_front")
HALF_FRONTS: tuple[PieceKind, ...] = ("left_front", "right_front")
SLEEVES: tuple[PieceKind, ...] = ("sleeve", "left_sleeve", "right_sleeve")
KINDS: tuple[PieceKind, ...] = (*BODY, *SLEEVES, "side_panel")

LAST = 999
"""Place of a point that has none of its own in an order; the others stand ten apart, so that one fits between."""

Zone = Literal["below_underarm", "armhole", "shoulder", "cap"]
"""A part of a piece that is knitted by one set of counts: a slip in it shows at every point that contains it."""


@frozen
class Point:
    """One point of measure.

    direction   across stitches, along rows, or along an edge
    flat        a garment's figure is the flat half of a round measure
    tape        where the tape goes, one sentence
    lies        where the tape lies on the drawing; None where no drawing shows it
    pieces      pieces that carry the point
    per_piece   how many times the garment's flat figure one piece measures (2 for a sleeve knitted as one
                round)
    seam_edges  which seam swallows each end of the tape, by one edge's allowance, or each of its rows
    seam_rows   rows that a seam across the piece swallows at the end of a length (a shoulder seam: one)
    opening     picking up its edges makes it larger instead
    band        the band whose depth counts in a length or an opening
    tolerance   allowed (too small, too large) in the garment's own flat figure [mm]
    short       its name inside a sentence, where the whole one is too long
    of_its_piece  its name beside the name of its piece: "the length of the left sleeve"
    fabric      direction of the fabric that an edge mostly follows
    knitted     place in the order in which a piece is knitted, from the cast-on up
    down        place in the order from the top of the body down: that of the figures on a drawing
    above_underarm  it is knitted anew when a body piece is ripped back to the underarm
    about_armhole  it lies elsewhere in a construction of another family: not compared (fit rule 12)
    to_the_corner  it ends at the corner of the underarm, which side panels move; a cap over a panel is another one
    decides     one of those that no later piece or band can mend: asked for first
    repeats     it holds whole pattern repeats; the others are shaped and keep the parity
    half_a_step  more than half the step between two sizes is never allowed: the sizes would overlap
                (published practice on measurement tolerances)
    at_its_row  compared with the count of *that* row, not the widest (fit rule 16)
    zones       parts of the piece whose stitches or rows it counts: nested lengths are sums of zones; empty where a
                slip at it shows nowhere else
    own_edge    it lies along a welt or a curling edge, which has a width of its own
    plain_mm    its flat figure on a plain sweater of a grown person [mm] (common practice, no source); 0 = none
    usual       read on a piece where nothing says which points are wanted
    weight      loss if the finished garment is out at this point, in pieces of this size knitted again
    make_up     what can answer when this piece is fixed
    plausible   range that passes without a question [mm], garment or piece
    """

    key: str
    name: str
    direction: Direction
    tape: str
    lies: Lies | None
    pieces: tuple[PieceKind, ...]
    plausible: tuple[float, float]
    tolerance: tuple[float, float] = (6.0, 6.0)
    flat: bool = False
    per_piece: int = 1
    opening: bool = False
    seam_rows: int = 0
    seam_edges: tuple[SeamEdge, ...] = ()
    band: Literal["hem", "cuff", "neck", ""] = ""
    short: str = ""
    of_its_piece: str = ""
    fabric: Literal["across", "along"] = "along"
    knitted: int = LAST
    down: int = LAST
    above_underarm: bool = False
    about_armhole: bool = False
    to_the_corner: bool = False
    decides: bool = False
    repeats: bool = False
    half_a_step: bool = False
    at_its_row: bool = False
    zones: tuple[Zone, ...] = ()
    own_edge: bool = False
    plain_mm: float = 0.0
    usual: bool = False
    weight: float = 1.0
    make_up: MakeUp | None = None

    @property
    def runs(self) -> Literal["across", "along"]:
        """Direction of the fabric that it runs in; an edge has the one that it mostly follows."""
        return self.fabric if self.direction == "edge" else self.direction

    @property
    def seam_ends(self) -> int:
        """How many ends of the tape are swallowed by a seam; negative for an opening, which grows by them."""
        return 0 if self.seam_rows else -len(self.seam_edges) if self.opening else len(self.seam_edges)

    def plain_on(self, kind: str) -> float:
        """What a piece of a plain sweater measures [mm]; one of two fronts is half as wide as the whole."""
        return self.plain_mm * self.per_piece * (0.5 if kind in HALF_FRONTS and self.direction == "across" else 1.0)

    def on_piece(self, kind: str) -> float:
        """How many times the garment's flat figure a piece measures [1]: a sleeve twice, half a front half of it."""
        return self.per_piece * (0.5 if self.flat and kind in HALF_FRONTS else 1.0)

    def flat_share(self, meant: Meant) -> float:
        """How much of the garment's flat figure one millimetre is of a figure that is meant so [1]."""
        if meant == "piece":
            return 1.0 / self.per_piece
        return 0.5 if meant == "round" and self.flat else 1.0

    def is_on(self, kind: str) -> bool:
        """Whether a kind of piece carries the point; one of two fronts carries none that spans the opening."""
        return kind in self.pieces and not (kind in HALF_FRONTS and self.direction == "across" and not self.flat)


_POINTS = (
    Point(
        "shoulder_width",
        "shoulder width",
        "across",
        "Straight from armhole seam to armhole seam, across the back; on a piece from edge to edge.",
        Lies("across", "T"),
        BODY,
        (180.0, 560.0),
        tolerance=(10.0, 10.0),
        seam_edges=("armhole", "armhole"),
        weight=3.0,
        make_up=MakeUp("armhole_seam", too_large_mm=15.0, too_small_mm=10.0),
        usual=True,
        short="shoulder",
        knitted=130,
        down=70,
        above_underarm=True,
        decides=True,
        about_armhole=True,
        zones=("armhole",),
        plain_mm=400.0,
    ),
    Point(
        "chest",
        "chest",
        "across",
        "Straight across, 2.5 cm (1 in) below the underarm.",
        Lies("across", "C"),
        BODY,
        (200.0, 800.0),
        tolerance=(10.0, 10.0),
        flat=True,
        seam_edges=("side", "side"),
        weight=2.0,
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
        usual=True,
        knitted=80,
        down=160,
        decides=True,
        repeats=True,
        half_a_step=True,
        at_its_row=True,
        zones=("below_underarm",),
        plain_mm=500.0,
    ),
    Point(
        "armhole_depth",
        "armhole depth, straight",
        "along",
        "From the outer end of the shoulder straight down to the level of the underarm.",
        Lies("along", "T", "U", "T"),
        BODY,
        (80.0, 350.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        make_up=MakeUp("front_rows_and_cap", too_large_mm=1e9, too_small_mm=1e9, share=0.02),
        usual=True,
        short="armhole depth",
        knitted=100,
        down=100,
        above_underarm=True,
        decides=True,
        about_armhole=True,
        zones=("armhole",),
        plain_mm=210.0,
    ),
    Point(
        "neck_width",
        "back neck width, seam to seam",
        "across",
        "Straight across between the two shoulder points at the neck, from seam to seam.",
        Lies("across", "N"),
        BODY,
        (80.0, 320.0),
        opening=True,
        seam_edges=("neck", "neck"),
        make_up=MakeUp("neck_band", too_large_mm=30.0, too_small_mm=5.0),
        usual=True,
        short="neck width",
        knitted=160,
        down=10,
        above_underarm=True,
        zones=("shoulder",),
        plain_mm=164.0,
    ),
    Point(
        "neck_inside",
        "neck width, inside the band",
        "across",
        "Straight across the opening, from the inner edge of the neck band to its other inner edge.",
        Lies("inside", "N"),
        BODY,
        (80.0, 320.0),
        opening=True,
        seam_edges=("neck", "neck"),
        band="neck",
        make_up=MakeUp("neck_band", too_large_mm=30.0, too_small_mm=5.0),
        short="neck width inside the band",
        knitted=170,
        down=20,
        above_underarm=True,
        zones=("shoulder",),
    ),
    Point(
        "waist",
        "waist",
        "across",
        "Straight across at the narrowest place of the body.",
        Lies("across", "W"),
        BODY,
        (180.0, 800.0),
        tolerance=(10.0, 10.0),
        flat=True,
        seam_edges=("side", "side"),
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
        knitted=60,
        down=170,
        repeats=True,
        zones=("below_underarm",),
        plain_mm=470.0,
    ),
    Point(
        "hem",
        "hem width",
        "across",
        "Straight across the lower edge, above the rib if there is one, without stretching it.",
        Lies("across", "H"),
        BODY,
        (180.0, 900.0),
        tolerance=(10.0, 10.0),
        flat=True,
        seam_edges=("side", "side"),
        make_up=MakeUp("other_body_piece", too_large_mm=40.0, too_small_mm=40.0),
        usual=True,
        short="hem",
        knitted=20,
        down=240,
        repeats=True,
        half_a_step=True,
        zones=("below_underarm",),
        own_edge=True,
        plain_mm=490.0,
    ),
    Point(
        "to_underarm",
        "length to underarm",
        "along",
        "From the lower edge straight up to the level of the underarm.",
        Lies("along", "U", "H", "side"),
        BODY,
        (120.0, 700.0),
        tolerance=(15.0, 15.0),
        band="hem",
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
        knitted=40,
        down=180,
        about_armhole=True,
        zones=("below_underarm",),
        plain_mm=390.0,
    ),
    Point(
        "body_length",
        "body length",
        "along",
        "From the highest point of the shoulder, at the neck, straight down to the lower edge.",
        Lies("along", "N", "H", "N"),
        BODY,
        (250.0, 1100.0),
        tolerance=(15.0, 15.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        band="hem",
        weight=2.0,
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
        knitted=200,
        down=190,
        zones=("below_underarm", "armhole", "shoulder"),
        plain_mm=630.0,
    ),
    Point(
        "centre_back",
        "centre back length",
        "along",
        "From the middle of the back neck straight down to the lower edge.",
        Lies("along", "K", "H"),
        ("back",),
        (240.0, 1100.0),
        tolerance=(15.0, 15.0),
        band="hem",
        weight=2.0,
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        knitted=190,
        down=200,
        zones=("below_underarm", "armhole", "shoulder"),
        plain_mm=610.0,
    ),
    Point(
        "shoulder_seam",
        "shoulder seam",
        "edge",
        "Along the shoulder from the neck to the armhole.",
        Lies("edge", "N", "T"),
        BODY,
        (30.0, 250.0),
        seam_edges=("armhole", "neck"),
        down=50,
        above_underarm=True,
        fabric="across",
        about_armhole=True,
    ),
    Point(
        "shoulder_drop",
        "shoulder drop",
        "along",
        "From the level of the neck point straight down to the level of the outer end of the shoulder.",
        Lies("along", "N", "T", "T"),
        BODY,
        (0.0, 90.0),
        knitted=180,
        down=60,
        above_underarm=True,
        about_armhole=True,
        zones=("shoulder",),
        plain_mm=24.0,
    ),
    Point(
        "neck_depth",
        "front neck depth",
        "along",
        "From the level of the neck points straight down to the lowest point of the front neck edge.",
        Lies("along", "N", "K"),
        FRONTS,
        (0.0, 250.0),
        band="neck",
        short="neck depth",
        knitted=140,
        down=40,
        above_underarm=True,
        plain_mm=73.8,
    ),
    Point(
        "back_neck_drop",
        "back neck drop",
        "along",
        "From the level of the neck points straight down to the middle of the back neck edge.",
        Lies("along", "N", "K"),
        ("back",),
        (0.0, 80.0),
        short="neck drop",
        knitted=150,
        down=30,
        above_underarm=True,
        plain_mm=19.68,
    ),
    Point(
        "armhole_diagonal",
        "armhole, diagonal",
        "edge",
        "From the outer end of the shoulder slantwise to the corner of the underarm.",
        Lies("edge", "T", "U"),
        BODY,
        (85.0, 400.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        short="diagonal of the armhole",
        down=120,
        above_underarm=True,
        about_armhole=True,
        to_the_corner=True,
    ),
    Point(
        "armhole_from_neck",
        "armhole from the neck point’s level",
        "along",
        "From the level of the highest shoulder point straight down to the level of the underarm.",
        Lies("along", "N", "U", "shoulder"),
        BODY,
        (90.0, 400.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        knitted=110,
        down=110,
        above_underarm=True,
        about_armhole=True,
        zones=("armhole", "shoulder"),
    ),
    Point(
        "armhole_edge",
        "armhole, along the edge",
        "edge",
        "Along the curved edge from the outer end of the shoulder to the corner of the underarm.",
        Lies("curve", "armhole"),
        BODY,
        (85.0, 450.0),
        seam_rows=1,
        seam_edges=("shoulder",),
        short="armhole edge",
        down=130,
        above_underarm=True,
        about_armhole=True,
        to_the_corner=True,
    ),
    Point(
        "sleeve_length",
        "sleeve length",
        "along",
        "From the shoulder seam at the top of the cap to the end of the cuff.",
        Lies("along", "S", "H"),
        SLEEVES,
        (120.0, 900.0),
        tolerance=(13.0, 13.0),
        seam_rows=1,
        seam_edges=("armhole",),
        band="cuff",
        weight=2.0,
        make_up=MakeUp("cuff_band", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
        of_its_piece="length",
        knitted=210,
        down=80,
        about_armhole=True,
        zones=("below_underarm", "cap"),
        plain_mm=560.0,
    ),
    Point(
        "sleeve_to_underarm",
        "sleeve to underarm",
        "along",
        "From the end of the cuff straight up to the level of the underarm.",
        Lies("along", "U", "H", "seam"),
        SLEEVES,
        (80.0, 700.0),
        tolerance=(13.0, 13.0),
        band="cuff",
        make_up=MakeUp("cuff_band", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
        of_its_piece="length to underarm",
        knitted=50,
        down=210,
        about_armhole=True,
        zones=("below_underarm",),
        plain_mm=430.0,
    ),
    Point(
        "upper_arm",
        "upper arm",
        "across",
        "Straight across the sleeve, 2.5 cm (1 in) below the underarm.",
        Lies("across", "C"),
        SLEEVES,
        (80.0, 500.0),
        flat=True,
        per_piece=2,
        seam_edges=("sleeve", "sleeve"),
        usual=True,
        knitted=70,
        down=150,
        at_its_row=True,
        about_armhole=True,
        zones=("below_underarm",),
        plain_mm=180.0,
    ),
    Point(
        "cuff",
        "cuff",
        "across",
        "Straight across the end of the sleeve, above the rib if there is one.",
        Lies("across", "H"),
        SLEEVES,
        (50.0, 350.0),
        flat=True,
        per_piece=2,
        seam_edges=("sleeve", "sleeve"),
        usual=True,
        knitted=10,
        down=230,
        repeats=True,
        zones=("below_underarm",),
        own_edge=True,
        plain_mm=105.0,
    ),
    Point(
        "cap_height",
        "cap height",
        "along",
        "From the level of the underarm straight up to the top of the cap.",
        Lies("along", "S", "U", "beside"),
        SLEEVES,
        (20.0, 250.0),
        seam_rows=1,
        seam_edges=("armhole",),
        usual=True,
        knitted=120,
        down=90,
        about_armhole=True,
        to_the_corner=True,
        zones=("cap",),
        plain_mm=130.0,
    ),
    Point(
        "centre_back_to_cuff",
        "centre back neck to cuff",
        "edge",
        "From the middle of the back neck over the shoulder along the sleeve to the end of the cuff.",
        None,
        (),
        (300.0, 1200.0),
        tolerance=(13.0, 13.0),
        band="cuff",
        weight=2.0,
    ),
    Point(
        "panel_width",
        "side panel width",
        "across",
        "Straight across the side panel, 2.5 cm (1 in) below the underarm.",
        Lies("across", "C"),
        ("side_panel",),
        (20.0, 400.0),
        seam_edges=("panel", "panel"),
        usual=True,
        of_its_piece="width",
        knitted=90,
        down=140,
        plain_mm=100.0,
    ),
    Point(
        "panel_length",
        "side panel length",
        "along",
        "From the lower edge of the side panel straight up to the underarm.",
        Lies("along", "S", "H", "panel"),
        ("side_panel",),
        (100.0, 700.0),
        tolerance=(15.0, 15.0),
        band="hem",
        make_up=MakeUp("hem", too_large_mm=50.0, too_small_mm=50.0),
        usual=True,
        of_its_piece="length",
        knitted=30,
        down=220,
        plain_mm=390.0,
    ),
)

POINTS: Mapping[str, Point] = MappingProxyType({point.key: point for point in _POINTS})
"""The catalogue, in the order in which answers are printed."""

ORDER: Mapping[str, int] = MappingProxyType({key: place for place, key in enumerate(POINTS)})

DECIDING_FIRST = tuple(key for key, point in POINTS.items() if point.decides)
"""The points asked for first: what no later piece or band can mend."""

REPEATED = tuple(key for key, point in POINTS.items() if point.repeats)
"""Widths that hold whole pattern repeats."""

ROUND_THE_BODY = tuple(key for key, point in POINTS.items() if point.flat and point.is_on("back"))
"""Widths round the body: of one sweater they are alike, so a half is told from a whole."""
