"""Whether the yarn lasts: what a stitch weighs by the pieces that were weighed, what the rest needs, what is on hand.

    need = grams a stitch x loops of the pieces still to knit + seams, tails and bands

Loops are those of the plans. A washed piece of yarn that was spun in oil is reckoned back to the weight that lies on
the cone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from fitcheck.advice.to_come.lots import Item, LotPlan, lot_plan
from fitcheck.advice.to_come.plans_of import PlannedPiece, rib_mm, rib_rows
from fitcheck.advice.to_come.seams import Seam
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.yarn import (
    GramsPerStitch,
    Needed,
    Weighed,
    as_oiled,
    grams_per_stitch,
    yarn_needed,
    yarn_prior,
)
from fitcheck.knitting.joins import Join
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.sheet import head_of
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import PieceKind
from fitcheck.records.yarns import Yarn

RELIED_UPON = 0.9
"""Chance below which the yarn is not relied upon: something is left out, or bought, before the next piece is begun
(common practice, no source)."""
LASTS_SURELY = 0.95
"""How sure the rows that are left out make it (common practice, no source)."""
SEAM_YARN = 3.0
"""Length of yarn in a seam, in lengths of the seam (common practice, no source)."""
TAILS, TAIL_M = 10, 0.2
"""Tails that are woven in, and the length of each [m] (common practice, no source)."""
BANDS_SHARE = 0.06
"""What bands to come take of what the pieces take, where nobody counted them [1] (assumed)."""
EXTRA_SHARE = 0.10
"""What seams, tails and bands take of what the pieces take, where the yarn's thickness is not known [1] (common
practice, no source)."""
EXTRA_UNSURE = 0.3
"""Relative SD of both (assumed)."""


@dataclass(frozen=True, slots=True)
class PieceYarn:
    """What a piece takes.

    kind   which;  times: how many of it are still to knit, 0 where it is knitted
    loops  of one;  grams: of one, as likely [g]
    weighed  what it weighed, as the cone has it [g]; None where it was not weighed
    """

    kind: PieceKind
    times: int
    loops: int
    grams: float
    weighed: float | None = None


@dataclass(frozen=True, slots=True)
class YarnLeft:
    """Whether the yarn lasts.

    yarn        its name
    per_stitch  what a stitch weighs
    pieces      every piece that has a plan, knitted ones too
    need        grams still needed, with seams, tails and bands;  extra: those alone [g]
    hand        on hand, of all lots [g]; None where nobody said it
    lasts       chance that it does; None without
    low, high   likely range of the need: 9 in 10 [g]
    leave_out   rows to leave out of both sleeves, or of the last piece, until it surely lasts; 0 where it does
    lots        from which lot each piece is knitted; None with fewer than two lots
    asks        a weighed piece is far from what yarn and gauge tell: weigh again, or look at the yarn
    """

    yarn: str
    per_stitch: GramsPerStitch
    pieces: tuple[PieceYarn, ...]
    need: float
    extra: float
    low: float
    high: float
    hand: float | None
    lasts: float | None
    leave_out: int = 0
    lots: LotPlan | None = None
    asks: bool = False


def yarn_left(
    make: Make,
    household: Household,
    to_knit: Sequence[PieceToKnit],
    pieces: Sequence[PlannedPiece],
    seams: Sequence[Seam],
) -> YarnLeft | CannotSay:
    """Whether the yarn of a make lasts for the pieces still to knit.

    pieces, seams  `plans_of`, `seams_of`
    """
    yarn = by_key(household.yarns, make.yarn)
    if yarn is None:
        return CannotSay("no_yarn")
    loops = {
        (piece.kind, piece.id): head_of(piece.plan).loops + _in_the_rib(make, piece)
        for piece in pieces
        if isinstance(piece.plan, Plan)
    }
    if not any(key is None for _, key in loops):
        return CannotSay("no_counts", of="rest")
    weighed = dict(_weighed(make, yarn))
    specimens = [
        Weighed(weighed[key], count) for (_, key), count in loops.items() if key is not None and key in weighed
    ]
    fabric = pieces[0].fabric
    tex = yarn.tex if yarn.tex is not None else 1e5 / yarn.m_per_100g if yarn.m_per_100g else None
    strands = next((piece.strands for piece in make.standing if piece.strands), 1)
    prior = yarn_prior(fabric.w, tex, strands) if tex is not None else None
    fit = grams_per_stitch(specimens, prior=prior)
    if isinstance(fit, CannotSay):
        return fit
    coming = {piece.kind: piece.times for piece in to_knit}
    listed = tuple(
        PieceYarn(kind, 0 if key else coming.get(kind, 1), count, fit.grams * count, weighed.get(key) if key else None)
        for (kind, key), count in loops.items()
    )
    rest = [piece.loops for piece in listed for _ in range(piece.times)]
    extra = _extra(make, fit.grams * math.fsum(rest), seams, tex, strands)
    need = yarn_needed(rest, fit, extra=extra, extra_u=EXTRA_UNSURE * extra)
    low, high = need.interval(0.90)
    hand = math.fsum(lot.grams for lot in yarn.lots) if yarn.lots else None
    lasts = need.lasts(hand) if hand is not None else None
    short = lasts is not None and lasts < RELIED_UPON and hand is not None
    return YarnLeft(
        yarn.name,
        fit,
        listed,
        need.grams,
        extra,
        low,
        high,
        hand,
        lasts,
        need.rows_to_leave_out(hand, _row(listed, to_knit), sure=LASTS_SURELY) if short and hand is not None else 0,
        _lots(yarn, listed, fit, need),
        fit.asks,
    )


def _weighed(make: Make, yarn: Yarn) -> Iterator[tuple[str, float]]:
    """What each piece weighed, as the cone has it; the first weighing that the yarn keeps its oil in, else the last."""
    for piece in make.standing:
        grams = _grams(piece, oiled=yarn.oiled)
        if grams is not None:
            yield piece.id, grams


def _grams(piece: Piece, *, oiled: bool) -> float | None:
    stages = [stage for stage in piece.stages if stage.grams]
    if not stages:
        return None
    if not oiled:
        return stages[-1].grams
    unwashed = [stage for stage in stages if stage.kind == "off_machine"]
    if unwashed:
        return unwashed[0].grams
    washed = stages[-1].grams
    return as_oiled(washed).value if washed is not None else None


def _in_the_rib(make: Make, piece: PlannedPiece) -> int:
    """Loops of the rib that a piece begins with: its rows where they were counted, else as many as plain ones."""
    rows = rib_rows(make, piece)
    assert isinstance(piece.plan, Plan)
    if rows is None:
        rows = round(rib_mm(make, piece.kind) / piece.fabric.h)
    return rows * (piece.plan.span.last - piece.plan.span.first + 1)


def _extra(make: Make, knitted: float, seams: Sequence[Seam], tex: float | None, strands: int) -> float:
    """Grams of seams, tails and bands."""
    if tex is None:
        return EXTRA_SHARE * knitted
    sewn = [seam.join for seam in seams if isinstance(seam.join, Join)]
    metres = TAILS * TAIL_M + SEAM_YARN * 2 * math.fsum(join.edge.mm for join in sewn) / 1000
    bands = BANDS_SHARE * knitted if any(band.how == "added_later" for band in make.bands) else 0.0
    return metres * tex * strands / 1000 + bands


def _row(listed: Sequence[PieceYarn], to_knit: Sequence[PieceToKnit]) -> float:
    """Stitches of the rows that are left out: of both sleeves, which are knitted last and at once, else of the last."""
    sleeves = [piece for piece in to_knit if piece.kind.endswith("sleeve") and piece.count("upper_arm")]
    if sleeves:
        return float(sum(piece.times * (piece.count("upper_arm") or 0) for piece in sleeves))
    last = to_knit[-1]
    return float(last.count("chest") or last.count("panel_width") or 1)


def _lots(yarn: Yarn, listed: Sequence[PieceYarn], fit: GramsPerStitch, need: Needed) -> LotPlan | None:
    """From which lot each piece is knitted; sleeves and panels from one."""
    coming = [piece for piece in listed if piece.times]
    names = [lot.lot or str(at + 1) for at, lot in enumerate(yarn.lots)]
    if len(yarn.lots) < 2 or not coming or len(set(names)) < len(names):
        return None
    items = [
        Item(piece.kind, piece.times * piece.grams, piece.grams * fit.piece_sd * math.sqrt(piece.times))
        for piece in coming
    ]
    grams = {name: lot.grams for name, lot in zip(names, yarn.lots, strict=True)}
    return lot_plan(items, grams, common=fit.sd, dof=need.dof)
