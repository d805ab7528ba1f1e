"""Whether the yarn lasts: what a stitch weighs by the pieces that were weighed, what the rest needs, what is on hand.

    need = grams a stitch x loops of the pieces still to knit + seams, tails and bands

Loops are those of the plans. A washed piece of yarn that was spun in oil is reckoned back to the weight that lies on
the cone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from fitcheck.advice.to_come.band_plans import band_loops
from fitcheck.advice.to_come.lots import Item, LotPlan, lot_plan
from fitcheck.advice.to_come.picked_up import BandUp
from fitcheck.advice.to_come.plans_of import PlannedPiece, rib_mm, rib_rows
from fitcheck.advice.to_come.seams import Seam
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.student import student_quantile
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
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import BandEdge, Make, Piece
from fitcheck.records.points import BODY, SLEEVES, PieceKind
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
"""What bands to come take of what the pieces take, where they cannot be counted [1] (assumed)."""
SHARE_UNSURE = 0.15
"""Relative SD of the loops of a piece without counts, which are taken as a share of the back's (assumed)."""
PARCEL_G = 10
"""Yarn is bought in whole tens of grams (common practice, no source)."""
MOST_LEFT_OUT = 1 / 5
"""Share of a piece's rows that may be left out before it is another piece (common practice, no source)."""
A_WAY = 0.5
"""Chance below which something is no way out."""
EXTRA_SHARE = 0.10
"""What seams, tails and bands take of what the pieces take, where the yarn's thickness is not known [1] (common
practice, no source)."""
LIKELY = 0.90
"""How sure a likely range is: 9 in 10."""
EXTRA_UNSURE = 0.3
"""Relative SD of both (assumed)."""
BANDS_UNSURE = 0.15
"""Relative SD of bands that are counted, whose loops are reckoned as plain ones (assumed)."""


@frozen
class PieceYarn:
    """What a piece takes.

    kind   which;  times: how many of it are still to knit, 0 where it is knitted
    loops  of one;  grams: of one, as likely [g]
    low, high  likely range of one: 9 in 10 [g]
    weighed  what it weighed, as the cone has it [g]; None where it was not weighed
    id       its key where it is knitted;  lot: what it was knitted from, where that is known
    assumed  its loops are a share of the back's, for it has no counts yet
    """

    kind: PieceKind
    times: int
    loops: int
    grams: float
    low: float
    high: float
    weighed: float | None = None
    id: str | None = None
    assumed: bool = False
    lot: str = ""


@frozen
class BandYarn:
    """What a band that is picked up takes: its loops in all, and grams as likely [g]."""

    edge: BandEdge
    loops: int
    grams: float


@frozen
class WeighNext:
    """What is known better once a piece is weighed.

    kind         which;  knitted: it is there already, else it comes off the machine first
    within_now   half the likely range of what is still to knit [g]
    within_then  the same of what is left to knit once it is weighed [g]
    """

    kind: PieceKind
    knitted: bool
    within_now: float
    within_then: float


YarnWayCode = Literal["sleeves_last", "leave_out", "bands_other", "sleeves_other", "buy"]
"""sleeves_last: both at once, last, rows left out where it runs short; leave_out: rows of the last piece; bands_other,
sleeves_other: bands or both sleeves last, in another yarn; buy: more of the same lot now."""


@frozen
class YarnWay:
    """A way out where the yarn may not last.

    chance  that it then lasts
    grams   that it saves, or that are bought [g]
    rows    that are left out of each piece at most;  mm: their length [mm]
    """

    code: YarnWayCode
    chance: float
    grams: float
    rows: int = 0
    mm: float = 0.0


@frozen
class YarnLeft:
    """Whether the yarn lasts.

    yarn        its name
    per_stitch  what a stitch weighs
    pieces      every piece, knitted ones too
    bands       those still to knit that are picked up and can be counted
    need        grams still needed, with seams, tails and bands;  extra: those alone [g]
    hand        on hand, of all lots [g]; None where nobody said it
    lasts       chance that it does; None without
    low, high   likely range of the need: 9 in 10 [g]
    leave_out   rows to leave out of both sleeves, or of the last piece, until it surely lasts; 0 where it does
    lots        from which lot each piece is knitted; None with fewer than two lots
    asks        a weighed piece is far from what yarn and gauge tell: weigh again, or look at the yarn
    weigh_next  what weighing a piece would tell; None where nothing is left to weigh
    ways        ways out where it may not last, the surest and cheapest first
    """

    yarn: str
    per_stitch: GramsPerStitch
    pieces: tuple[PieceYarn, ...]
    bands: tuple[BandYarn, ...]
    need: float
    extra: float
    low: float
    high: float
    hand: float | None
    lasts: float | None
    leave_out: int = 0
    lots: LotPlan | None = None
    asks: bool = False
    weigh_next: WeighNext | None = None
    ways: tuple[YarnWay, ...] = ()


def yarn_left(
    make: Make,
    household: Household,
    to_knit: Sequence[PieceToKnit],
    pieces: Sequence[PlannedPiece],
    seams: Sequence[Seam],
    bands: Sequence[BandUp] = (),
) -> YarnLeft | CannotSay:
    """Whether the yarn of a make lasts for the pieces still to knit.

    pieces, seams, bands  `plans_of`, `made_up`, `bands_up`
    """
    yarn = by_key(household.yarns, make.yarn)
    if yarn is None:
        return CannotSay("no_yarn")
    loops = _loops(make, to_knit, pieces)
    if not any(piece.id is None for piece in loops):
        return CannotSay("no_counts", of="rest")
    weighed = dict(_weighed(make, yarn))
    specimens = [
        Weighed(weighed[piece.id], piece.loops) for piece in loops if piece.id in weighed and piece.id is not None
    ]
    thread = _Thread.of(make, yarn)
    prior = yarn_prior(pieces[0].fabric.w, thread.tex, thread.strands) if thread.tex is not None else None
    fit = grams_per_stitch(specimens, prior=prior)
    if isinstance(fit, CannotSay):
        return fit
    lots = {piece.id: piece.lot for piece in make.standing}
    listed = tuple(replace(_weighing(piece, fit, weighed), lot=lots.get(piece.id or "", "")) for piece in loops)
    told, need = _told(yarn, _Work(make, listed, fit, _banded(bands, fit), thread, seams))
    if told.hand is None or told.lasts is None or told.lasts >= RELIED_UPON:
        return told
    row = _row(to_knit)
    rows = need.rows_to_leave_out(told.hand, row, sure=LASTS_SURELY)
    return replace(told, leave_out=rows, ways=tuple(_ways(told, need, to_knit, rows, row, pieces[-1].fabric.h)))


def _told(yarn: Yarn, work: _Work) -> tuple[YarnLeft, Needed]:
    """What is needed against what is on hand, as yet without ways out."""
    need = work.need()
    hand = math.fsum(lot.grams for lot in yarn.lots) if yarn.lots else None
    low, high = need.interval(LIKELY)
    told = YarnLeft(
        yarn.name,
        work.fit,
        work.pieces,
        work.bands,
        need.grams,
        work.extra(),
        low,
        high,
        hand,
        need.lasts(hand) if hand is not None else None,
        lots=_lots(yarn, work, need),
        asks=work.fit.asks,
        weigh_next=work.weigh_next(),
    )
    return told, need


def _ways(
    told: YarnLeft, need: Needed, to_knit: Sequence[PieceToKnit], rows: int, row: float, row_mm: float
) -> Iterator[YarnWay]:
    """The ways out: rows, where few enough are left out, the bands in another yarn, and more yarn.

    rows    to leave out of every one of the pieces whose rows have `row` stitches together
    row_mm  height of one [mm]
    """
    assert told.hand is not None
    sleeves = [piece for piece in to_knit if piece.kind in SLEEVES and piece.count("upper_arm")]
    last = sleeves[0] if sleeves else to_knit[-1]
    whole = next((last.count(key) for key in ("sleeve_length", "to_underarm", "panel_length") if last.count(key)), None)
    if whole is not None and rows <= MOST_LEFT_OUT * whole:
        saved = rows * row * need.per_stitch
        chance = need.lasts(told.hand + saved)
        yield YarnWay("sleeves_last" if sleeves else "leave_out", chance, saved, rows, rows * row_mm)
    of_bands = math.fsum(band.grams for band in told.bands)
    of_sleeves = math.fsum(piece.times * piece.grams for piece in told.pieces if piece.kind in SLEEVES)
    others: tuple[tuple[YarnWayCode, float], ...] = (("bands_other", of_bands), ("sleeves_other", of_sleeves))
    for code, grams in others:
        chance = Needed(need.grams - grams, need.u, need.dof, need.per_stitch).lasts(told.hand)
        if grams and chance >= A_WAY:
            yield YarnWay(code, chance, grams)
    short = need.grams + student_quantile(LASTS_SURELY, need.dof) * need.u - told.hand
    bought = PARCEL_G * math.ceil(short / PARCEL_G)
    yield YarnWay("buy", need.lasts(told.hand + bought), bought)


@frozen
class _Loops:
    """Loops of one piece; id: of a knitted one;  times: still to knit;  assumed: a share of the back's."""

    kind: PieceKind
    id: str | None
    times: int
    loops: int
    assumed: bool = False


def _loops(make: Make, to_knit: Sequence[PieceToKnit], pieces: Sequence[PlannedPiece]) -> tuple[_Loops, ...]:
    """Loops of every piece: of its plan, else a share of the back's; what is knitted and has no plan is left out."""
    coming = {piece.kind: piece.times for piece in to_knit}
    planned = {
        (piece.kind, piece.id): piece.amount.loops + _in_the_rib(make, piece)
        for piece in pieces
        if piece.amount is not None
    }
    body = next(((kind, count) for (kind, _), count in planned.items() if kind in BODY), None)
    told = []
    for piece in pieces:
        times = 0 if piece.id else coming.get(piece.kind, 1)
        count = planned.get((piece.kind, piece.id))
        if count is not None:
            told.append(_Loops(piece.kind, piece.id, times, count))
        elif body is not None and times:
            shares = make.costs.shares
            told.append(
                _Loops(piece.kind, None, times, round(body[1] * shares.of(piece.kind) / shares.of(body[0])), True)
            )
    return tuple(told)


def _weighing(piece: _Loops, fit: GramsPerStitch, weighed: Mapping[str, float]) -> PieceYarn:
    """A piece with what it likely weighs."""
    own = math.hypot(fit.sd, fit.piece_sd, SHARE_UNSURE if piece.assumed else 0.0)
    grams = fit.grams * piece.loops
    half = student_quantile(0.5 + LIKELY / 2, fit.dof) * own * grams
    on_scale = weighed.get(piece.id) if piece.id is not None else None
    return PieceYarn(
        piece.kind, piece.times, piece.loops, grams, grams - half, grams + half, on_scale, piece.id, piece.assumed
    )


def _banded(bands: Sequence[BandUp], fit: GramsPerStitch) -> tuple[BandYarn, ...]:
    counted = ((band.edge, band_loops(band)) for band in bands if not band.on)
    return tuple(BandYarn(edge, loops, fit.grams * loops) for edge, loops in counted if loops)


@frozen
class _Thread:
    """The yarn's thickness, where it is known [tex], and how many strands of it are knitted together."""

    tex: float | None
    strands: int

    @classmethod
    def of(cls, make: Make, yarn: Yarn) -> _Thread:
        tex = yarn.tex if yarn.tex is not None else 1e5 / yarn.m_per_100g if yarn.m_per_100g else None
        return cls(tex, next((piece.strands for piece in make.standing if piece.strands), 1))


@frozen
class _Work:
    """What is reckoned with: every piece, what a stitch weighs, the bands, the thread, the seams."""

    make: Make
    pieces: tuple[PieceYarn, ...]
    fit: GramsPerStitch
    bands: tuple[BandYarn, ...]
    thread: _Thread
    seams: Sequence[Seam]

    def extra(self) -> float:
        """Grams of seams, tails and bands."""
        knitted = self.fit.grams * math.fsum(piece.times * piece.loops for piece in self.pieces)
        counted = math.fsum(band.grams for band in self.bands)
        if self.thread.tex is None:
            return max(EXTRA_SHARE * knitted, counted)
        sewn = [seam.join for seam in self.seams if isinstance(seam.join, Join)]
        metres = TAILS * TAIL_M + SEAM_YARN * 2 * math.fsum(join.edge.mm for join in sewn) / 1000
        coming = (band for band in self.make.bands if band.edge not in self.make.bands_on)
        if not self.bands and any(band.how == "added_later" for band in coming):
            counted = BANDS_SHARE * knitted
        return metres * self.thread.tex * self.thread.strands / 1000 + counted

    def need(self) -> Needed:
        """Grams for the pieces still to knit, and for what is sewn."""
        return self._needed(self.pieces, self.fit, self.extra())

    def weigh_next(self) -> WeighNext | None:
        """What weighing a piece would tell: one that is there, else the next that comes off the machine."""
        there = [piece for piece in self.pieces if not piece.times and piece.weighed is None]
        coming = [piece for piece in self.pieces if piece.times]
        if not there and not coming:
            return None
        piece = (there or coming)[0]
        own = self.fit.piece_sd**2 + 1 / 12 / piece.grams**2
        known = replace(
            self.fit,
            sd=1 / math.sqrt(1 / self.fit.sd**2 + 1 / own),
            dof=self.fit.dof + (1 if self.fit.basis == "measured" else 0),
        )
        left = [replace(each, times=each.times - 1) if each is piece and not there else each for each in self.pieces]
        extra = self.extra()
        now, then = self._needed(self.pieces, self.fit, extra), self._needed(left, known, extra)
        return WeighNext(piece.kind, bool(there), _half(now), _half(then))

    def _needed(self, pieces: Sequence[PieceYarn], fit: GramsPerStitch, extra: float) -> Needed:
        rest = [piece.loops for piece in pieces for _ in range(piece.times)]
        assumed = fit.grams * math.fsum(piece.times * piece.loops for piece in pieces if piece.assumed)
        counted = math.fsum(band.grams for band in self.bands)
        unsure = math.hypot(EXTRA_UNSURE * (extra - counted), BANDS_UNSURE * counted, SHARE_UNSURE * assumed)
        return yarn_needed(rest, fit, extra=extra, extra_u=unsure)


def _half(need: Needed) -> float:
    """Half the likely range [g]."""
    low, high = need.interval(LIKELY)
    return (high - low) / 2


def stage_to_weigh(piece: Piece, *, oiled: bool) -> int | None:
    """The stage of a knitted piece that a weight is written at, from 0: that of its weight, else the last.

    None where it has no stage yet.
    oiled  the yarn was spun in oil: the stage before the wash, where there is one, for the cone has the oil in it
    """
    unwashed = [at for at, stage in enumerate(piece.stages) if stage.kind == "off_machine"]
    if oiled and unwashed:
        return unwashed[0]
    weighed = [at for at, stage in enumerate(piece.stages) if stage.grams]
    return weighed[-1] if weighed else len(piece.stages) - 1 if piece.stages else None


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


def _row(to_knit: Sequence[PieceToKnit]) -> float:
    """Stitches of the rows that are left out: of both sleeves, which are knitted last and at once, else of the last."""
    sleeves = [piece for piece in to_knit if piece.kind.endswith("sleeve") and piece.count("upper_arm")]
    if sleeves:
        return float(sum(piece.times * (piece.count("upper_arm") or 0) for piece in sleeves))
    last = to_knit[-1]
    return float(last.count("chest") or last.count("panel_width") or 1)


def _lots(yarn: Yarn, work: _Work, need: Needed) -> LotPlan | None:
    """From which lot each piece is knitted; sleeves and panels from one."""
    coming = [piece for piece in work.pieces if piece.times]
    names = [lot.lot or str(at + 1) for at, lot in enumerate(yarn.lots)]
    if len(yarn.lots) < 2 or not coming or len(set(names)) < len(names):
        return None
    fit, used = work.fit, {piece.piece: piece.lot for piece in work.make.standing if piece.lot in names}
    items = [
        Item(
            piece.kind,
            piece.times * piece.grams,
            piece.grams * fit.piece_sd * math.sqrt(piece.times),
            used.get(piece.kind, ""),
        )
        for piece in coming
    ]
    grams = {name: lot.grams for name, lot in zip(names, yarn.lots, strict=True)}
    return lot_plan(items, grams, common=fit.sd, dof=need.dof, used=set(used.values()))
