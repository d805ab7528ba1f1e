"""The sewn garment that a way leads to, with the best counts for what is still to come; its loss and its chances.

Counts are chosen with both sides of what is allowed set to the smaller one: the aim is what is wanted, whatever is
allowed. A planned count stands unless the expected loss falls by more than 0.01. Losses and chances take the real
sides.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, WORTH_A_COUNT, Garment
from fitcheck.advice.decide.state import Array, Mask, Places
from fitcheck.advice.decide.ways import Way, Ways
from fitcheck.advice.loss import expected_loss, expected_loss_even, loss
from fitcheck.estimates.student import normal_cdf

ALIKE = 0.25
"""Front and back are compared where they are to be as wide as each other, give or take this share (assumed)."""
WORTH_ODD = 0.005
"""What a count that puts the middle one stitch off must save beside the even one [works of a back]."""


@dataclass(frozen=True)
class Stage:
    """A piece on the table: its differences and what is known of them. Shapes [S, J], or [J].

    d           differences of the piece [mm], one row per piece that is looked at
    var         variance of each [mm^2]
    seam_mm     how much longer it is than the knitted pieces that it is sewn to [mm];  seam_var  variance of that
    shared_var  variance of the garment at points that other pieces share [mm^2]
    as_planned  width of the body piece that is still to come [mm];  planned  its count, not a number without one
    deviates    what that width is more than planned [mm], per row;  follows  what it moves with this piece [mm per mm]
    doubt       the tape's own doubt of it [mm]: nothing is changed by less
    twin        difference and variance of a twin that does not come out as this piece does [mm, mm^2]
    judged      it is the piece as it is known: what a change saves is an expectation, else that of the truth
    """

    d: Array
    var: Array
    seam_mm: Array
    seam_var: Array
    shared_var: Array
    as_planned: Array
    planned: Array
    deviates: Array
    follows: Array
    doubt: Array
    twin: tuple[Array, Array] | None = None
    judged: bool = False


class Sewn(NamedTuple):
    """The garment's differences and variances at every point, and what was changed. Shapes [V, S, G] and [V, S, J].

    mean, var   [mm, mm^2]
    width       change of the body piece to come [mm];  count  its new count, not a number where none is known
    panel       change of each side panel [mm], [V, S]
    part        what a seam, a band or rows make up [mm]
    end         rows off (+) at the lower end [mm], [V, S]
    changed     whether any count of a piece to come is another than planned, [V, S]
    """

    mean: Array
    var: Array
    width: Array
    panel: Array
    part: Array
    end: Array
    changed: Mask

    def at(self, v: int) -> Sewn:
        """One of the ways."""
        one = slice(v, v + 1)
        return Sewn(
            self.mean[one],
            self.var[one],
            self.width[one],
            self.panel[one],
            self.part[one],
            self.end[one],
            self.changed[one],
        )


def here(garment: Garment) -> Stage:
    """The piece as it is known."""
    own, beside = garment.share, garment.other_share
    shared = own**2 * garment.var + 2 * own * beside * garment.cov_other + beside**2 * garment.other_var
    return Stage(
        garment.d[None],
        garment.var,
        garment.seam_mm,
        garment.seam_var,
        shared + spread_to_come(garment, garment.as_planned) + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        np.zeros((1, garment.J)),
        garment.follows,
        NINE_IN_TEN * garment.u,
        judged=True,
    )


def truths(garment: Garment, rows: Array, untold: Array | None = None) -> Stage:
    """The piece as if its true differences were known, one row each.

    untold  variance of what stays open even so [mm^2]
    """
    left = np.maximum(garment.other_var - garment.follows**2 * garment.var, 0.0)
    own = np.zeros(garment.J) if untold is None else untold
    return Stage(
        rows,
        own,
        garment.seam_mm,
        garment.seam_other_var,
        (garment.share + garment.other_share * garment.follows) ** 2 * own
        + garment.other_share**2 * left
        + spread_to_come(garment, garment.as_planned)
        + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        garment.follows * (rows - garment.d),
        garment.follows,
        NINE_IN_TEN * np.sqrt(own),
    )


def spread_to_come(garment: Garment, width: Array) -> Array:
    """Variance that the body piece to come brings by itself [mm^2]: from piece to piece and from place to place."""
    state = garment.state
    own = width**2 * (state.piece_sd**2 + state.local_sd**2)
    return np.where(garment.comes, garment.other_share**2 * own, 0.0)


def sew(
    garment: Garment,
    ways: Ways,
    stage: Stage,
    *,
    best: bool = True,
    decided: Sewn | None = None,
    common: Array | None = None,
) -> Sewn:
    """The garment that every way leads to.

    best     with the best counts for what is still to come; False as it is planned
    decided  with the changes that were decided on, one row for all
    common   how far the stitch of the next piece deviates, relative, one per row [S], where the changes were decided
             before anybody knew it; None: it is in the variance
    """
    extra, rest = ways.extra, ways.rest
    own = ways.scale * stage.d + ways.offset
    var = ways.scale**2 * stage.var + extra
    if ways.any_anew:
        own = moved_along(garment, ways, stage.d, own)
    end = _at_the_end(garment, ways, stage, own) if decided is None else decided.end
    if end.any():
        own = own - np.where(garment.ends, end[..., None], 0.0)

    # The body piece to come, and what is fixed.
    other = stage.as_planned + stage.deviates
    shared_var = stage.shared_var
    if common is not None:
        shared_var = shared_var - np.where(
            garment.comes, (garment.other_share * stage.as_planned * garment.state.piece_sd) ** 2, 0.0
        )
        other = other * (1 + common[:, None])
    apart = garment.other_share * (other * rest - garment.other_wanted)
    x = garment.share * own + garment.fixed + np.where(garment.comes, apart, 0.0)
    slope = garment.share + np.where(garment.comes, garment.other_share * stage.follows, 0.0)
    x_var = np.where(garment.shared, shared_var + slope**2 * extra, var)

    width, part = np.zeros_like(x), np.zeros_like(x)
    panel = np.zeros(x.shape[:2])
    if decided is not None:
        width, part, panel = decided.width, decided.part, decided.panel
        x = x + garment.panel_share * panel[..., None] + garment.other_share * width + garment.part_gives * part
    elif best and garment.state.more:
        s = np.sqrt(x_var) if stage.judged else None
        if garment.panel is not None:
            panel = _panels(garment, x, s)
            x = x + garment.panel_share * panel[..., None]
        if garment.answering.size:
            width = _widths(garment, stage, x, s, own, rest)
            x = x + garment.other_share * width
        if garment.parts.size:
            part = np.where(ways.anew, 0.0, _parts(garment, stage, x, s))
            x = x + garment.part_gives * part
    changed = (width != 0).any(axis=-1) | (panel != 0)

    pieces, variances = [x], [x_var]
    if garment.T:
        twin, twin_var = _twin(garment, ways, stage, own, var, common)
        pieces.append(twin)
        variances.append(twin_var)
    if garment.K:
        seams, seam_var = _seams(garment, ways, stage, own, end)
        pieces.append(seams)
        variances.append(seam_var)
    shapes = [np.broadcast_to(variance, piece.shape) for variance, piece in zip(variances, pieces, strict=True)]
    mean, spread = (np.concatenate(each, axis=-1) if len(each) > 1 else each[0] for each in (pieces, shapes))
    return Sewn(mean, spread, width, panel, part, end, changed)


def loss_of(garment: Garment, sewn: Sewn) -> Array:
    """Expected loss of the garment [works of a back], [V, S]."""
    u = np.sqrt(sewn.var)
    if garment.even_sided:
        each = expected_loss_even(sewn.mean, u, garment.low, garment.weight)
    else:
        each = expected_loss(sewn.mean, u, garment.low, garment.high, garment.weight)
    return np.asarray(each.sum(axis=-1))


def inside(garment: Garment, sewn: Sewn) -> Array:
    """Chance per point that the garment lies inside what is allowed."""
    s = np.sqrt(np.maximum(sewn.var, 1e-12))
    below = normal_cdf(np.stack([(garment.high - sewn.mean) / s, (-garment.low - sewn.mean) / s]))
    return np.asarray(below[0] - below[1])


# The parts of it


def moved_along(garment: Garment, ways: Ways, d: Array, own: Array) -> Array:
    """A length over all moves with the part of it that is knitted anew."""
    for rip, key in (("armhole", "armhole_depth"), ("sleeve_underarm", "cap_height")):
        j = garment.place.get(key)
        for v, way in enumerate(ways.each):
            if j is not None and way.rip == rip:
                moved = own[v, :, j] - d[..., j]
                own[v] += np.where(garment.whole & ~way.anew, moved[:, None], 0.0)
    return own


def _at_the_end(garment: Garment, ways: Ways, stage: Stage, own: Array) -> Array:
    """Rows off (+) at the lower end [mm], the same for every length that ends there: to the mean of what they lack."""
    if not ways.hem.any():
        return np.zeros(own.shape[:2])
    weight = garment.weight[: garment.J] * garment.hem / garment.aim**2
    pull, total = own @ weight, np.full((len(ways.each), 1), weight.sum())
    if garment.K:
        # Beside a knitted piece the seam says more than the garment.
        sewn = np.where(garment.seam_ends, 1 / garment.low[garment.J + garment.T :] ** 2, 0.0) * ~ways.both_ends
        moved = np.where(garment.seam_moves, own[..., garment.seam_at] - garment.d[garment.seam_at], 0.0)
        pull = pull + ((stage.seam_mm + moved) * sewn[:, None]).sum(axis=-1)
        total = total + sewn.sum(axis=-1, keepdims=True)
    amount = pull / total
    most_off = float(np.where(garment.hem, garment.too_large, np.inf).min())
    most_on = float(np.where(garment.hem, garment.too_small, np.inf).min())
    rows = garment.size[garment.hem & garment.counted]
    if rows.size:
        amount = rows[0] * np.round(amount / rows[0])
    amount = np.minimum(np.maximum(amount, -most_on), most_off)
    amount = np.where(np.abs(amount) < garment.least[garment.hem].min(), 0.0, amount)
    return np.where(ways.hem, amount, 0.0)


def _fall(garment: Garment, at: Places, x: Array, changed: Array, s: Array | None) -> Array:
    """What a change saves at some points with both sides set to the smaller of what is allowed [works of a back]."""
    aim, weight = garment.aim[at], garment.weight[at]
    both = np.array([x, changed])
    each = loss(both, aim, aim, weight) if s is None else expected_loss_even(both, s[..., at], aim, weight)
    return np.asarray(each[0] - each[1])


def _panels(garment: Garment, x: Array, s: Array | None) -> Array:
    """Change of both side panels [mm each]: a straight strip moves every width alike; to the mean of what they lack."""
    at = np.flatnonzero(garment.panel_share)
    share = garment.panel_share[at]
    weight = garment.weight[at] * share / garment.aim[at] ** 2
    amount = -(x[..., at] @ weight) / (weight @ share)
    if garment.panel_stitch == garment.panel_stitch:
        amount = garment.panel_stitch * np.round(amount / garment.panel_stitch)
    fall = _fall(garment, at, x[..., at], x[..., at] + share * amount[..., None], s).sum(axis=-1)
    return np.where((fall > WORTH_A_COUNT) & (np.abs(amount) >= garment.least[at].max()), amount, 0.0)


def _widths(garment: Garment, stage: Stage, x: Array, s: Array | None, own: Array, rest: Array) -> Array:
    """Change of the body piece to come at every width [mm]: to the whole count nearest to what is wanted."""
    at = garment.answering
    share, stitch, least = (
        garment.other_share[at],
        garment.other_size[at] * rest[..., at],
        np.maximum(garment.least, stage.doubt)[at],
    )
    x, planned = x[..., at], stage.as_planned[at] * rest[..., at]
    lack = -x / share
    # What this piece deviates its fabric or what is wanted deviates, and both are the other piece's too.
    low, high = _reach(garment, at, own - stage.deviates)
    known = stage.planned[at]
    counts = np.where(np.isnan(known), garment.other_wanted[at] / stitch, known)
    series = garment.other_step[at], garment.other_first[at]
    whole, off_bed = _whole(garment, counts, planned, lack, stitch, (low, high), series)
    free = np.minimum(np.maximum(lack, low - planned), high - planned)
    change = np.where(np.isnan(stitch), free, whole)
    change = np.where(np.abs(change) >= least, change, 0.0)
    fall = _fall(garment, at, x, x + share * change, s)
    change = np.where((fall > WORTH_A_COUNT) | off_bed, change, 0.0)
    if garment.state.printed:
        # She follows printed numbers: carrying a change through costs once for the piece.
        pays = (np.where(change != 0, fall, 0.0).sum(axis=-1) > garment.printed_cost)[..., None]
        change = np.where(pays | off_bed, change, 0.0)
    width = np.zeros(own.shape)
    width[..., at] = change
    return width


def _reach(garment: Garment, at: Places, own: Array) -> tuple[Array, Array]:
    """Least and largest width of the body piece to come [mm]: so far from this piece as the shape bears."""
    length = garment.wanted[at] + own[..., at]
    # Of half a front and the whole back the widths are not to be compared.
    alike = np.abs(garment.other_wanted[at] / garment.wanted[at] - 1) < ALIKE
    compared = (garment.too_large[at] > 0) & alike
    most = np.where(compared, garment.too_large[at], np.inf)
    return length - most, length + most


def _whole(
    garment: Garment,
    counts: Array,
    planned: Array,
    lack: Array,
    size: Array,
    between: tuple[Array, Array],
    series: tuple[Array, Array],
) -> tuple[Array, Mask]:
    """The change to the nearest count of a series between two widths [mm], and where the planned one is off the bed."""
    (low, high), (step, first) = between, series
    with np.errstate(invalid="ignore"):
        count = first + step * np.round((counts + lack / size - first) / step)
        most = first + step * np.floor((high / size - first) / step + 1e-9)
        least = first + step * np.ceil((low / size - first) / step - 1e-9)
        # No count of the series lies between: the planned one stands.
        none = most < least
        count = np.maximum(np.minimum(count, most), least)
        needles = garment.state.needles
        off_bed = np.zeros(count.shape, dtype=bool)
        if needles is not None:
            off_bed = np.broadcast_to(counts > needles, count.shape)
            count = np.minimum(count, needles - (needles - first) % step)
        change = count * size - planned
    return np.where(np.isnan(change) | (none & ~off_bed), 0.0, change), off_bed


def odd_counts(garment: Garment, way: Way, stage: Stage, sewn: Sewn, v: int) -> dict[int, int]:
    """Per own point a count beside the even one that comes nearer by what it is worth, and puts the middle off."""
    at = garment.answering[~np.isnan(stage.planned[garment.answering])]
    if not at.size:
        return {}
    width, s = sewn.width[v, 0, at], np.sqrt(sewn.var[v, 0])
    x = sewn.mean[v, 0, at] - garment.other_share[at] * width
    share, stitch = garment.other_share[at], garment.other_size[at] * way.rest[at]
    planned, own = stage.as_planned[at] * way.rest[at], way.scale * stage.d[0] + way.offset
    series = garment.odd_step[at], garment.odd_first[at]
    counts = stage.planned[at]
    loose, _ = _whole(garment, counts, planned, -x / share, stitch, _reach(garment, at, own), series)
    fall = _fall(garment, at, x + share * width, x + share * loose, s)
    found: dict[int, int] = {}
    for j, before, gives, size, gained in zip(at, counts, planned + loose, stitch, fall, strict=True):
        count = round(float(gives / size))
        if gained >= WORTH_ODD and (count - int(before)) % 2:
            found[int(j)] = count
    return found


def _parts(garment: Garment, stage: Stage, x: Array, s: Array | None) -> Array:
    """What a seam, a band or rows of the front make up [mm], as far as each goes, where it clearly answers."""
    at = garment.parts
    off, gives = x[..., at], garment.part_gives[at]
    amount = np.minimum(np.maximum(-off / gives, -garment.too_large[at]), garment.too_small[at])
    size = np.abs(off)
    tells = (size > stage.doubt[at]) & (size > garment.half_allowed(x)[..., at]) & (np.abs(amount) >= garment.least[at])
    amount = np.where(tells, amount, 0.0)
    part = np.zeros(x.shape)
    part[..., at] = np.where(_fall(garment, at, off, off + gives * amount, s) > WORTH_A_COUNT, amount, 0.0)
    return part


def _seams(garment: Garment, ways: Ways, stage: Stage, own: Array, end: Array) -> tuple[Array, Array]:
    """How much longer this piece is than those that it is sewn to [mm]; one whose length nothing judges stays so."""
    at = garment.seam_at
    moved = np.where(
        garment.seam_moves, own[..., at] - garment.d[at], -np.where(garment.seam_ends, end[..., None], 0.0)
    )
    alike = np.where(garment.seam_ends, (ways.both_ends * end)[..., None], 0.0)
    mean = stage.seam_mm + moved + alike
    return mean, np.broadcast_to(stage.seam_var + np.where(garment.seam_moves, ways.extra[..., at], 0.0), mean.shape)


def _twin(
    garment: Garment,
    ways: Ways,
    stage: Stage,
    own: Array,
    var: Array,
    common: Array | None,
) -> tuple[Array, Array]:
    """The twin that is still to come: knitted like this piece, or as it is wanted where this one is kept."""
    at = garment.twins
    state = garment.state
    spread = garment.length**2 * ((0.0 if common is not None else state.piece_sd**2) + state.local_sd**2)
    if stage.twin is not None:
        like, like_var = (np.broadcast_to(part, own.shape) for part in stage.twin)
    else:
        like = own + garment.length * (garment.shift - 1) * ways.rest
        like_var = var + np.where(ways.anew, 0.0, spread)
    right = ways.twin_right[..., None]
    mean = np.where(right, garment.twin_left, like)
    new = garment.wanted_var + garment.stitch_var + spread
    variance = np.where(right, new, like_var)
    if common is not None and stage.twin is None:
        mean = mean + np.where(ways.anew, 0.0, garment.length * common[:, None])
    return mean[..., at], variance[..., at]
