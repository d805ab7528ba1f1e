"""Counts of the widths round the body that are still to come: of side panels, of the body piece on the other side.

Each width of the body piece answers by a count of its own. A side panel is a straight strip: it moves every width
alike, by one count, with the body piece as it is planned, and is changed only where that comes nearer than the body
piece alone. No other demand ties two counts together, so every count is a part of its own, and is taken by the rule of
the counts for the rest (`nearest.py`). Where nobody counts, a width is changed by what it lacks. Nothing is changed by
less than the tape's own doubt.
"""

from __future__ import annotations

import math

import numpy as np

from fitcheck.advice.decide.garment import Answering, Garment, reach
from fitcheck.advice.decide.nearest import Series, best_of
from fitcheck.advice.decide.stage import Sewn, Stage
from fitcheck.advice.decide.state import Array, Mask
from fitcheck.advice.decide.ways import MOST_APART, Way
from fitcheck.advice.rest.rule import WORTH

WORTH_ODD = 0.005
"""What a count that puts the middle one stitch off must save beside the even one [works of a back]."""
PANELS_BESIDE = 2
"""Counts of a side panel on either side of the mean of what the widths lack that are looked at; losses are convex, and
further away the least lies only where nothing fits."""


def round_the_body(
    garment: Garment, stage: Stage, x: Array, x_var: Array, own: Array, rest: Array
) -> tuple[Array, Array]:
    """Change of both side panels [mm each], and of the body piece to come at every width [mm].

    The parameters are those of `widths`, x with the panels as they are planned.
    """
    answers = bool(garment.answering.size)
    alone = widths(garment, stage, x, x_var, own, rest) if answers else np.zeros(x.shape)
    if garment.panel is None:
        return np.zeros(x.shape[:2]), alone
    panel = panels(garment, stage, x, x_var)
    if not answers or not panel.any():
        return panel, alone
    moved = x + garment.panel_share * panel[..., None]
    beside = widths(garment, stage, moved, x_var, own, rest)
    at = np.flatnonzero(garment.panel_share)
    before, after = x + garment.other_share * alone, moved + garment.other_share * beside
    u = np.sqrt(x_var[..., at]) if stage.judged else None
    pays = garment.aims.at(at).fall(before[..., at], after[..., at], u).sum(axis=-1) > WORTH
    return np.where(pays, panel, 0.0), np.where(pays[..., None], beside, alone)


def panels(garment: Garment, stage: Stage, x: Array, x_var: Array) -> Array:
    """Change of both side panels [mm each]: about the mean of what every width lacks.

    x, x_var  the garment's differences as the rest is planned, and their variance [mm, mm^2]

    Where the body piece to come answers too, it makes up what that leaves of each width; where it does not, the panel's
    count alone is weighed.
    """
    at = np.flatnonzero(garment.panel_share)
    aims, off, share = garment.aims.at(at), x[..., at], garment.panel_share[at]
    s, stitch = np.sqrt(x_var[..., at]), garment.panel_stitch
    u = s if stage.judged else None
    pull = aims.weight * share / aims.even**2
    amount = np.asarray(-(off @ pull) / (pull @ share), dtype=np.float64)
    if not math.isnan(stitch):
        beside = 0 if garment.answering.size else PANELS_BESIDE
        away = np.arange(-beside, beside + 1).reshape(-1, *([1] * amount.ndim))
        options = np.asarray(stitch * (np.round(amount / stitch) + away), dtype=np.float64)
        amount = best_of(options, lambda change: off + share * change[..., None], (u, s), aims, off)
    fall = aims.fall(off, off + share * amount[..., None], u).sum(axis=-1)
    return np.where((fall > WORTH) & (np.abs(amount) >= garment.least[at].max()), amount, 0.0)


def widths(garment: Garment, stage: Stage, x: Array, x_var: Array, own: Array, rest: Array) -> Array:
    """Change of the body piece to come at every width [mm].

    x, x_var  the garment's differences with the panels changed, and their variance [mm, mm^2]
    own       differences of the piece on the table [mm];  rest: how much larger what is to come is made with it [1]
    """
    answering = garment.widths
    at, share, aims = answering.at, answering.share, answering.aims
    larger = rest[..., at]
    stitch, planned = answering.stitch * larger, stage.as_planned[at] * larger
    off, s = x[..., at], np.sqrt(x_var[..., at])
    u = s if stage.judged else None
    # What this piece deviates its fabric or what is wanted deviates, and both are the other piece's too.
    low, high = _reach(answering, own[..., at] - stage.deviates[..., at], planned, stitch)
    series = Series(answering.step, answering.first, low / stitch, high / stitch)
    options, off_bed = _options(garment, stage, answering, -off / share, stitch, planned, series, garment.beside)
    before = np.where(off_bed, math.nan, off)
    whole = best_of(options, lambda change: off + share * change, (u, s), aims, before)
    change = np.where(np.isnan(whole), 0.0, whole)
    if answering.uncounted:
        free = np.minimum(np.maximum(-off / share, low - planned), high - planned)
        change = np.where(np.isnan(stitch), free, change)
    fall = aims.fall(off, off + share * change, u)
    tells = np.abs(change) >= np.maximum(answering.least, stage.doubt[at])
    change = np.where(tells & ((fall > WORTH) | off_bed), change, 0.0)
    if garment.state.printed:
        # She follows printed numbers: carrying a change through costs once for the piece.
        pays = (np.where(change != 0, fall, 0.0).sum(axis=-1) > garment.printed_cost)[..., None]
        change = np.where(pays | off_bed, change, 0.0)
    width = np.zeros(own.shape)
    width[..., at] = change
    return width


def _reach(answering: Answering, off: Array, planned: Array, stitch: Array) -> tuple[Array, Array]:
    """Least and largest width of the body piece to come [mm]: so far from this piece as the shape bears.

    off      differences of this piece there [mm]
    planned  widths of what is to come as it is planned [mm]: half a front like its knitted half, and so near to it
    """
    # Beside a band both halves of a front are narrower than their back and no further off it.
    length = np.where(answering.paired, planned, answering.wanted + off)
    most = np.where(answering.paired, MOST_APART * planned, answering.most)
    return reach(length, most, planned, np.where(answering.paired, 0.0, np.nan_to_num(answering.step * stitch)))


def _options(
    garment: Garment,
    stage: Stage,
    answering: Answering,
    lack: Array,
    stitch: Array,
    planned_mm: Array,
    series: Series,
    beside: int,
) -> tuple[Array, Mask]:
    """Changes to the counts that come nearest [mm], and where the planned one is off the bed.

    Where that is so, front and back may lie further apart than they should: the bed is never lifted, that demand is.
    """
    with np.errstate(invalid="ignore"):
        known = stage.planned[answering.at]
        counts = np.where(np.isnan(known), answering.wanted / stitch, known)
        needles = garment.state.needles
        if needles is None:
            return series.near(counts + lack / stitch, beside) * stitch - planned_mm, np.zeros(1, dtype=bool)
        off_bed = np.broadcast_to(counts > needles, lack.shape)
        near = series._replace(most=np.minimum(series.most, needles)).near(counts + lack / stitch, beside)
        widest = needles - (needles - series.first) % series.step
        none = off_bed & np.isnan(near).all(axis=0)
        return np.where(none, widest, near) * stitch - planned_mm, off_bed


def odd_counts(garment: Garment, way: Way, stage: Stage, sewn: Sewn) -> dict[int, int]:
    """Per own point a count beside the even one that comes nearer by what it is worth, and puts the middle off."""
    at = garment.answering[~np.isnan(stage.planned[garment.answering])]
    if not at.size:
        return {}
    width, s = sewn.width[0, 0, at], np.sqrt(sewn.var[0, 0, at])
    answering = garment.answering_at(at)
    share, stitch = answering.share, answering.stitch * way.rest[at]
    off = sewn.mean[0, 0, at] - share * width
    planned, own = stage.as_planned[at] * way.rest[at], way.scale * stage.d[0] + way.offset
    low, high = _reach(answering, own[at], planned, stitch)
    series = Series(garment.odd_step[at], garment.odd_first[at], low / stitch, high / stitch)
    options, _ = _options(garment, stage, answering, -off / share, stitch, planned, series, 0)
    loose = np.where(np.isnan(options[0]), 0.0, options[0])
    counts = np.rint((planned + loose) / stitch)
    odd = (counts - stage.planned[at]) % 2 != 0
    if not odd.any():
        return {}
    fall = answering.aims.fall(off + share * width, off + share * loose, s)
    worth = odd & (fall >= WORTH_ODD)
    return {int(j): int(count) for j, count in zip(at[worth], counts[worth], strict=True)}
