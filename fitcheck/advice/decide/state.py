"""What the decision looks at, and what a way to go on changes: records of codes and numbers. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from fitcheck.advice.alteration import Alteration
from fitcheck.estimates.piece import LOCAL_SD
from fitcheck.records.frozen import frozen
from fitcheck.records.make_up import MakeUp
from fitcheck.records.points import PieceKind

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
Places = NDArray[np.intp]
ActionCode = Literal["carry_on", "other_counts", "alter_hem", "block_again", "rip_back", "knit_again", "measure_again"]
RipTo = Literal["armhole", "neck", "sleeve_underarm"]
"""How far a piece is ripped out: down to the row below the first wrong one (fit rule 23)."""
Counted = Literal["across", "along"]

PIECE_TO_PIECE = 0.015
"""Spread of stitch size from piece to piece, relative; assumed until the household's own makes speak."""


@frozen
class Other:
    """Another piece that has a share in a measure of the garment.

    kind       which piece; "front" is both halves of an open one, "side_panel" one of the two
    share      how far the garment's measure moves with it [mm per mm]
    wanted_mm  what it is to measure there [mm]
    known      of a knitted one its difference and standard uncertainty, a constant [mm]; None = still to come
    planned    stitches, or rows of an armhole, that somebody planned for it; None where nobody did
    halves     the same of the left and of the right half of an open front, where both are planned
    like       nobody planned it: it comes out like the piece on the table; else as it is wanted
    paired     half a front that is planned like the knitted half, and stays like it
    """

    kind: PieceKind
    share: float
    wanted_mm: float
    known: tuple[float, float] | None = None
    planned: int | None = None
    like: bool = True
    halves: tuple[int, int] | None = None
    paired: bool = False


@frozen
class DecisionPoint:
    """One point of the piece on the table, ready for the decision. Lengths in mm on the piece.

    difference       piece minus wanted, best estimate [mm]
    piece_mm         length of the point on the piece [mm]
    tolerance_mm     allowed (too small, too large) [mm], both positive; infinite where free
    weight           omega of the loss [1]
    size_mm          stitch width or row height at the point [mm]; None where no count is known
    count            stitches or rows of this piece at the point; None where not known
    size_u           relative standard uncertainty of that size [1]; None where no count is known
    share            how far the garment's measure moves with this piece alone [mm per mm]
    others           the other pieces that have a share in it
    wanted_u         standard uncertainty of what is wanted, which stays when it is knitted anew [mm]
    untold_u         part of the difference's uncertainty that no further reading removes: seams, growth [mm]
    make_up          what can answer when this piece is fixed
    readings_needed  further readings that would settle the point; None when no number would
    side             which side these readings are of
    repeat           stitches of the pattern repeat that the point holds whole, and those over [1]
    step_mm          what its readings were written to [mm]
    layings          layings that the piece was read in;  reference_layings  the garment; None = a number: it is read
    """

    key: str
    direction: Literal["across", "along", "edge"]
    difference: float
    piece_mm: float
    tolerance_mm: tuple[float, float]
    weight: float = 1.0
    size_mm: float | None = None
    count: int | None = None
    size_u: float | None = None
    share: float = 1.0
    others: tuple[Other, ...] = ()
    wanted_u: float = 0.0
    untold_u: float = 0.0
    make_up: MakeUp | None = None
    readings_needed: int | None = None
    side: Literal["piece", "reference", "both"] | None = None
    repeat: tuple[int, int] = (1, 0)
    step_mm: float = 1.0
    layings: int = 2
    reference_layings: int | None = None

    @property
    def wanted_mm(self) -> float:
        """What the piece is to measure [mm]."""
        return self.piece_mm - self.difference

    @property
    def laid_twice(self) -> bool:
        """Whether it was read in two layings on both sides: enough to undo knitting for."""
        return self.layings >= 2 and (self.reference_layings is None or self.reference_layings >= 2)


@frozen
class Seam:
    """A seam of this piece with one that is knitted: how much longer this one is (fit rule 27).

    key         length of this piece that is sewn
    kind        the other piece
    difference  this piece minus the other [mm];  u  its standard uncertainty, other_u  the other's share of it [mm]
    allowed_mm  what is eased in without being seen: 1 % of it, at least a row [mm]
    most_mm     beyond this it is not sewn: 2 % of it, at least a row [mm]
    rows        of this piece and of the other, where both were counted
    """

    key: str
    kind: PieceKind
    difference: float
    u: float
    other_u: float
    allowed_mm: float
    most_mm: float
    rows: tuple[int, int] | None = None


@frozen
class Work:
    """Work of the piece on the table, in works of a back.

    piece    knitting it once
    above    share of it above the row that it is ripped back to, per way; only the ways that it has [1]
    sweater  knitting all pieces once
    row      row counter at the first row that is ripped, per way, where it is known
    """

    piece: float = 1.0
    above: Mapping[RipTo, float] = field(default_factory=lambda: {"armhole": 1 / 3, "neck": 0.1})
    sweater: float = 3.1
    row: Mapping[RipTo, int] = field(default_factory=dict)


@frozen
class DecisionState:
    """Everything that the decision looks at.

    points        the points of the piece on the table
    covariance    of the differences [mm^2], J x J, in the order of the points
    kind          which piece it is
    looks         rounds of readings that were judged, 1 to 3
    piece_sd      spread of stitch size from this piece to the next, relative [1]
    next_sd       how far the next piece's stitch size is not known, relative [1]; None = from piece_sd and the sizes
    spreads       equally likely factors on both, their mean square 1: how little the spread is known [1]
    next_follows  how far the piece after the next deviates with it: what of its doubt both share [1]
    shift         expected stitch width and row height of the next piece over this one's [1]
    local_sd      spread of stitch size inside a piece, relative [1]
    holds         whether the yarn holds a stretch; None when the fibre is not said
    given         share of a stretch that was already given, per direction; infinite where no more holds [1]
    more          the rest is still to be knitted, so its counts are free
    twin          the same piece the other way round, still to be knitted; None where there is none
    seams         with pieces that are knitted
    to_come       counts of other pieces that are knitted otherwise than planned, whatever is done with this one
    sleeves_anew  rows of the sleeves among them where the shoulders of this one are knitted anew
    work          of this piece
    needles       on the bed; None where no machine is named
    sure_of_bed   stitches that a bed which nobody named holds for sure; None where one is named
    printed       she follows printed numbers: a changed count has to be carried through
    outliers      points with a reading or overhang that is asked about
    as_read       points whose figure of the garment is asked about before it is copied, where the deed hangs on them
    felted        the deed hangs on whether the piece felted
    miscount      point whose count is in doubt where the deed hangs on it, or None
    another_dial  the deed hangs on at which dial it was knitted
    out_of_shape  the piece is pulled out of shape: it is wetted, patted to size and read again
    """

    points: tuple[DecisionPoint, ...]
    covariance: Sequence[Sequence[float]] | Array
    kind: PieceKind = "back"
    looks: int = 1
    piece_sd: float = PIECE_TO_PIECE
    next_sd: float | None = None
    spreads: tuple[float, ...] = (1.0,)
    next_follows: float = 0.5
    shift: Mapping[Counted, float] = field(default_factory=dict)
    local_sd: float = LOCAL_SD
    holds: bool | None = None
    given: Mapping[str, float] = field(default_factory=dict)
    more: bool = True
    twin: PieceKind | None = None
    seams: tuple[Seam, ...] = ()
    to_come: tuple[Alteration, ...] = ()
    sleeves_anew: tuple[Alteration, ...] = ()
    work: Work = Work()
    needles: int | None = None
    sure_of_bed: int | None = None
    printed: bool = False
    outliers: tuple[str, ...] = ()
    as_read: tuple[str, ...] = ()
    felted: bool = False
    miscount: str | None = None
    another_dial: bool = False
    out_of_shape: bool = False
