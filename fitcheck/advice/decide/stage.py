"""A piece on the table as it is known, or as it may be; and the sewn garment that becomes of it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, Garment
from fitcheck.advice.decide.state import Array, Mask
from fitcheck.records.frozen import frozen


@frozen
class Stage:
    """A piece on the table: its differences and what is known of them. Shapes [S, J], or [J].

    d           differences of the piece [mm], one row per piece that is looked at
    var         variance of each [mm^2]
    seam_mm     how much longer it is than the knitted pieces that it is sewn to [mm];  seam_var  variance of that
    shared_var  variance of the garment at points that other pieces share [mm^2]
    as_planned  width of the body piece that is still to come [mm];  planned  its count, not a number without one
    deviates    what that width is more than planned [mm], per row;  follows  what it moves with this piece [mm per mm]
    doubt       the tape's own doubt of it [mm]: nothing is changed by less
    alike       what lengths of the garment are more because a piece to come has the rows of this one in a row height
                of its own [mm]
    spread      of the stitch of what is to come about what this piece tells of it, relative [1]
    more_rows   what they are more because it is planned with more rows than this one has [mm]
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
    alike: Array
    spread: Array
    more_rows: Array | float = 0.0
    twin: tuple[Array, Array] | None = None
    judged: bool = False


class Sewn(NamedTuple):
    """The garment's differences and variances at every point, and what was changed. Shapes [V, S, G] and [V, S, J].

    mean        [mm];  var  [mm^2], [V, 1, G]: it hangs on the way, not on the piece that is looked at
    width       change of the body piece to come [mm]
    panel       change of each side panel [mm], [V, S]
    part        what a seam, a band or rows make up [mm]
    end         rows off (+) at the lower end [mm], [V, S]
    """

    mean: Array
    var: Array
    width: Array
    panel: Array
    part: Array
    end: Array

    @property
    def changed(self) -> Mask:
        """Whether any count of a piece to come is another than planned, [V, S]."""
        return np.asarray(self.width.any(axis=-1) | (self.panel != 0))

    def at(self, v: int) -> Sewn:
        """One of the ways."""
        return Sewn._make([part[v : v + 1] for part in self])


def here(garment: Garment) -> Stage:
    """The piece as it is known."""
    own, beside = garment.share, garment.other_share
    shared = own**2 * garment.var + 2 * own * beside * garment.cov_other + beside**2 * garment.other_var
    return Stage(
        garment.d[None],
        garment.var,
        garment.seam_mm,
        garment.seam_var,
        shared + garment.planned_var + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        np.zeros((1, garment.J)),
        garment.follows,
        NINE_IN_TEN * garment.u,
        garment.alike,
        garment.spread,
        garment.more_rows,
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
        + garment.planned_var
        + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        garment.follows * (rows - garment.d),
        garment.follows,
        NINE_IN_TEN * np.sqrt(own),
        garment.alike,
        garment.spread,
        garment.more_rows,
    )


def in_stitches(garment: Garment, z: Array) -> Array:
    """How far pieces deviate in stitch and row [SD], [..., S, J]; each as far as one of what the SD may be allows.

    z  standard normal, its first columns across and along, one row per piece
    """
    deviates = np.where(garment.across, z[..., :1], z[..., 1:2])
    parts = garment.state.spreads
    return deviates * np.resize(np.array(parts), z.shape[-2])[:, None] if len(parts) > 1 else deviates
