"""The sewn garment that a way leads to, with the best counts for what is still to come; its loss and its chances.

Counts come from `widths.py`; losses and chances take the real sides of what is allowed.
"""

from __future__ import annotations

import numpy as np

from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.stage import Sewn, Stage
from fitcheck.advice.decide.state import Array
from fitcheck.advice.decide.ways import Ways
from fitcheck.advice.decide.widths import round_the_body
from fitcheck.advice.loss import expected_loss, expected_loss_even
from fitcheck.advice.rest.rule import WORTH
from fitcheck.estimates.student import normal_cdf


def sew(garment: Garment, ways: Ways, stage: Stage, *, decided: Sewn | None = None) -> Sewn:
    """The garment that every way leads to, with the best counts for what is still to come.

    decided  with the changes that were decided on, one row for all
    """
    own = ways.scale * stage.d + ways.offset
    var = ways.scale**2 * stage.var + ways.extra
    in_rows = None
    if ways.any_anew:
        in_rows = moved_along(garment, ways, stage.d, own)
        own = own + in_rows
    seams = _seams(garment, stage, own, in_rows) if garment.K else stage.seam_mm
    end = _at_the_end(garment, ways, seams, own) if decided is None else decided.end
    if end.any():
        own = own - np.where(garment.ends, end[..., None], 0.0)

    x, x_var = _as_planned(garment, ways, stage, own, var)
    if garment.K and end.any():
        x = x - np.where(garment.ends, garment.known_share, 0.0) * (end * ways.both_ends)[..., None]
    if decided is not None:
        width, part, panel = decided.width, decided.part, decided.panel
        x = x + garment.panel_share * panel[..., None] + garment.other_share * width + garment.part_gives * part
    else:
        width, part, panel = np.zeros(x.shape), np.zeros(x.shape), np.zeros(x.shape[:2])
        if garment.state.more:
            panel, width = round_the_body(garment, stage, x, x_var, own, ways.rest)
            x = x + garment.panel_share * panel[..., None] + garment.other_share * width
            if garment.parts.size:
                part = _parts(garment, ways, stage, x, x_var)
                x = x + garment.part_gives * part

    if not (garment.T or garment.K):
        return Sewn(x, x_var, width, panel, part, end)
    pieces, variances = [x], [x_var]
    if garment.T:
        twin, twin_var = _twin(garment, ways, stage, own, var)
        pieces.append(twin)
        variances.append(twin_var)
    if garment.K:
        pieces.append(seams - np.where(garment.seam_ends, (end * ~ways.both_ends)[..., None], 0.0))
        moves = garment.seam_moves & ~garment.seam_by_rows
        variances.append(stage.seam_var + np.where(moves, ways.extra[..., garment.seam_at], 0.0))
    mean, spread = (np.concatenate(each, axis=-1) for each in (pieces, variances))
    return Sewn(mean, spread, width, panel, part, end)


def unchanged(garment: Garment, sewn: Sewn) -> Sewn:
    """The same garment with what is still to come as it is planned."""
    mean, none = sewn.mean.copy(), np.zeros(sewn.width.shape)
    mean[..., : garment.J] -= (
        garment.panel_share * sewn.panel[..., None] + garment.other_share * sewn.width + garment.part_gives * sewn.part
    )
    return sewn._replace(mean=mean, width=none, part=none, panel=np.zeros(sewn.panel.shape))


def knitted(garment: Garment, ways: Ways, stage: Stage, sewn: Sewn) -> tuple[Array, Array]:
    """How far the same garment moves with the stitch of what is to come [mm], and its variance once that is known.

    It moves by so much for a stitch that is twice as large; the changes were decided before anybody knew it.
    """
    J, at = garment.J, garment.twins
    moves, var = np.zeros(sewn.mean.shape), sewn.var.copy()
    moves[..., :J] = garment.other_share * (stage.as_planned + stage.deviates) * ways.rest + garment.alike_spread
    var[..., :J] -= np.where(garment.shared, (garment.to_come(stage.as_planned) * stage.spread) ** 2, 0.0)
    if at.size:
        of_twin, right, length = slice(J, J + garment.T), ways.twin_right[..., None], garment.length[at]
        like = 0.0 if stage.twin is not None else np.where(ways.anew[..., at], 0.0, length)
        moves[..., of_twin] = like
        var[..., of_twin] -= (np.where(right, length, like) * stage.spread[at]) ** 2
    return moves, var


def loss_of(garment: Garment, sewn: Sewn) -> Array:
    """Expected loss of the garment [works of a back], [V, S]."""
    u = np.sqrt(sewn.var)
    if garment.even_sided:
        each = expected_loss_even(sewn.mean, u, garment.low)
    else:
        each = expected_loss(sewn.mean, u, garment.low, garment.high)
    return np.asarray(each @ garment.weight)


def carrying_through(garment: Garment, sewn: Sewn) -> Array | float:
    """Work of carrying changed counts through, where she follows printed numbers [works of a back], [V, S]."""
    return np.asarray(sewn.changed * garment.printed_cost) if garment.printed_cost else 0.0


def inside(garment: Garment, mean: Array, var: Array) -> Array:
    """Chance per point that a garment with these differences lies inside what is allowed."""
    s = np.sqrt(np.maximum(var, 1e-12))
    below = normal_cdf(np.array([(garment.high - mean) / s, (-garment.low - mean) / s]))
    return np.asarray(below[0] - below[1])


def inside_by_spread(garment: Garment, sewn: Sewn) -> Array:
    """The same where the spread from piece to piece is as little known as it is: the mean over what it may be."""
    parts = garment.state.spreads
    if len(parts) == 1:
        return inside(garment, sewn.mean, sewn.var)
    width = np.zeros(sewn.var.shape)
    width[..., : garment.J] = garment.to_come(garment.as_planned)
    width[..., garment.J : garment.J + garment.T] = garment.length[garment.twins]
    more = np.square(np.array(parts))[:, None, None, None] - 1
    var = sewn.var + more * (width * garment.state.piece_sd) ** 2
    return np.asarray(inside(garment, sewn.mean, var).mean(axis=0))


# The parts of it


def _as_planned(garment: Garment, ways: Ways, stage: Stage, own: Array, var: Array) -> tuple[Array, Array]:
    """What the garment is off with the rest as it is planned, and the variance of it [mm, mm^2].

    own, var  the same of the piece on the table
    Where no body piece is to come its share is 0, and where one is nothing is alike: the terms are added as they stand.
    """
    to_come = garment.other_share * ways.rest * (stage.as_planned + stage.deviates)
    x = garment.share * own + to_come + (garment.beside_it + stage.alike)
    if garment.more_rows.any():
        # Beside one that is knitted anew it gets the rows of the new one.
        x = x + np.where(ways.anew, 0.0, stage.more_rows)
    slope = garment.share + garment.other_share * stage.follows
    return x, np.where(garment.shared, stage.shared_var + slope**2 * ways.extra, var)


def moved_along(garment: Garment, ways: Ways, d: Array, own: Array) -> Array:
    """What a length over all moves with the part of it that is knitted anew [mm]."""
    moved = np.zeros(own.shape)
    for rip, key in (("armhole", "armhole_depth"), ("sleeve_underarm", "cap_height")):
        j, ripped = garment.place.get(key), [v for v, way in enumerate(ways.each) if way.rip == rip]
        if j is not None and ripped:
            gained = own[ripped, :, j] - d[..., j]
            moved[ripped] = np.where(garment.whole & ~ways.anew[ripped], gained[..., None], 0.0)
    return moved


def _at_the_end(garment: Garment, ways: Ways, seams: Array, own: Array) -> Array:
    """Rows off (+) at the lower end [mm], the same for every length that ends there: to the mean of what they lack.

    seams  how much longer the piece is than those that it is sewn to, with its lower end as it is [mm]
    """
    if not ways.hem.any():
        return np.zeros(own.shape[:2])
    weight, most_off, most_on, row, least = garment.lower_end
    # Where the garment has the mean of this piece and a knitted one, rows of this one alone count by its share.
    moves = garment.share + ways.both_ends[..., None] * garment.known_share
    pull, total = ((garment.share * own + garment.fixed) * moves) @ weight, moves**2 @ weight
    if garment.K:
        # Beside a knitted piece the seam says more than the garment.
        sewn = np.where(garment.seam_ends, 1 / garment.low[garment.J + garment.T :] ** 2, 0.0) * ~ways.both_ends
        pull = pull + (seams * sewn[:, None]).sum(axis=-1)
        total = total + sewn.sum(axis=-1, keepdims=True)
    amount = pull / total
    if row is not None:
        amount = row * np.rint(amount / row)
    amount = np.minimum(np.maximum(amount, -most_on), most_off)
    return np.where(ways.hem & (np.abs(amount) >= least), amount, 0.0)


def _parts(garment: Garment, ways: Ways, stage: Stage, x: Array, x_var: Array) -> Array:
    """What a seam, a band or rows of the front make up [mm], as far as each goes, where it clearly answers."""
    at = garment.parts
    off, gives = x[..., at], garment.part_gives[at]
    # Rows of the front reach as far from this piece, the planned ones among them.
    apart = garment.more_rows[at] / gives
    least, most = np.minimum(-garment.too_large[at] - apart, 0.0), np.maximum(garment.too_small[at] - apart, 0.0)
    amount = np.minimum(np.maximum(-off / gives, least), most)
    row = garment.part_row[at]
    amount = np.where(row > 0, row * np.rint(amount / np.where(row > 0, row, 1.0)), amount)
    half = np.where(off < 0, garment.half_low[at], garment.half_high[at])
    tells = (np.abs(off) > np.maximum(half, stage.doubt[at])) & (np.abs(gives * amount) >= garment.part_least[at])
    if ways.any_anew:
        tells &= ~ways.anew[..., at]
    part = np.zeros(x.shape)
    s = np.sqrt(x_var[..., at]) if stage.judged else None
    fall = garment.aims_of_parts.fall(off, off + gives * amount, s)
    part[..., at] = np.where(tells & (fall > WORTH), amount, 0.0)
    return part


def _seams(garment: Garment, stage: Stage, own: Array, in_rows: Array | None) -> Array:
    """How much longer this piece is than those that it is sewn to [mm]; one whose length nothing judges stays so.

    in_rows  what its lengths moved by rows alone [mm]; None where nothing is ripped
    """
    at = garment.seam_at
    by_tape = np.where(garment.seam_moves, own[..., at] - garment.d[at], 0.0)
    by_rows = 0.0 if in_rows is None else in_rows[..., at]
    return np.asarray(stage.seam_mm + np.where(garment.seam_by_rows, by_rows, by_tape))


def _twin(garment: Garment, ways: Ways, stage: Stage, own: Array, var: Array) -> tuple[Array, Array]:
    """The twin that is still to come: knitted like this piece, or as it is wanted where this one is kept."""
    at = garment.twins
    spread = garment.length**2 * (stage.spread**2 + garment.state.local_sd**2)
    if stage.twin is not None:
        like, like_var = np.broadcast_to(stage.twin[0], own.shape), stage.twin[1]
    else:
        like = own + garment.length * (garment.shift - 1) * ways.rest
        like_var = var + np.where(ways.anew, 0.0, spread)
    right = ways.twin_right[..., None]
    mean = np.where(right, garment.twin_left, like)
    variance = np.where(right, garment.wanted_var + garment.stitch_var + spread, like_var)
    return mean[..., at], variance[..., at]
