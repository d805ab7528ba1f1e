"""Knitting the piece again, in two stages: the new piece comes out with its own spread, then the rest answers to it.

The new piece comes out at N w with s^2 = (N w)^2 (u_w^2 + tau^2 + lambda^2): what is known of the stitch, the spread
from piece to piece, which its widths share, and from place to place. Where no count is known, rounding to whole
stitches adds to the last on its own column of the lattice, as squares. It is read in three layings, and the rest gets
its best counts by that; so may its lower end, it may be stretched or ripped back in its turn, and one that comes out
worse than another would is knitted once more. The piece after it deviates along with it by a share k of what both have
in common, and about that by sqrt(1 - k^2) of what is not known of either. What is wanted stays as uncertain as it is:
tape on the old piece says nothing of the new one.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, Garment
from fitcheck.advice.decide.lattice import fan, lattice
from fitcheck.advice.decide.sewing import carrying_through, inside, knitted, loss_of, sew
from fitcheck.advice.decide.stage import Sewn, Stage, in_stitches
from fitcheck.advice.decide.state import Array, Mask
from fitcheck.advice.decide.then_open import Open, stretches_closed
from fitcheck.advice.decide.ways import Way, Ways
from fitcheck.records.makes import Costs

NEW_PIECES = 64
"""New pieces over which the loss is averaged."""
NEXT_PIECES = 4
"""Pieces after each of them over which its chance is averaged, in their stitch and in their row each."""


class NewPiece(NamedTuple):
    """What a piece leads to once it is read again: expected loss [works of a back], chance of all, per point."""

    loss: float
    all_fit: float
    chances: Array


class Pieces(NamedTuple):
    """The same of each of the pieces that are looked at, with the best of the ways that keep it. Shapes [S], [S, J]."""

    loss: Array
    all_fit: Array
    chances: Array

    def or_again(self, again: NewPiece) -> NewPiece:
        """Averaged over them, where one that lies worse than knitting it again leads to is knitted again."""
        keeps = self.loss <= again.loss
        return NewPiece(
            float(np.where(keeps, self.loss, again.loss).mean()),
            float(np.where(keeps, self.all_fit, again.all_fit).mean()),
            np.where(keeps[:, None], self.chances, again.chances).mean(axis=0),
        )

    def or_once_more(self, work: float) -> NewPiece:
        """Averaged over them, where knitting one more of them is what one that lies worse leads to.

        V = work + E min(loss, V): with the k best of S kept V = (their losses + S work) / k, at the k with the least V.
        """
        order = np.argsort(self.loss, kind="stable")
        each = (np.cumsum(self.loss[order]) + len(order) * work) / np.arange(1, len(order) + 1)
        kept = order[: int(each.argmin()) + 1]
        return NewPiece(
            float(each.min()), float(self.all_fit[kept].mean()), np.asarray(self.chances[kept].mean(axis=0))
        )


class AsExpected(NamedTuple):
    """The garment with the best counts for what is still to come, if the new piece comes out as it is expected."""

    way: Way
    stage: Stage
    sewn: Sewn


def new_piece(garment: Garment, then: Open, costs: Costs) -> tuple[NewPiece, AsExpected]:
    """Work out what becomes of the sewn garment, averaged over the new piece, the work of knitting it included.

    The piece as it is expected is sewn along with those over which is averaged, as the last of them.
    """
    z = np.concatenate([lattice(NEW_PIECES, garment.J + 2), np.zeros((1, garment.J + 2))])
    stage = _pieces(garment, z)
    ways = then.after_knitting_again()
    next_ones = fan(NEW_PIECES, NEXT_PIECES)
    common = in_stitches(garment, np.concatenate([next_ones, next_ones[:, :1]], axis=1)) * stage.spread
    sewn = sew(garment, ways, stage)
    after = best_after(garment, ways, stage, sewn, common, stretches_closed(garment, ways, stage.d, {}))
    averaged = Pieces(*(each[:-1] for each in after)).or_once_more(garment.state.work.piece + costs.knit_extra)
    last = replace(stage, d=stage.d[-1:], deviates=stage.deviates[-1:], alike=stage.alike[-1:])
    return averaged, AsExpected(ways.each[0], last, Sewn._make(part[:1, -1:] for part in sewn))


def best_after(garment: Garment, ways: Ways, stage: Stage, sewn: Sewn, common: Array, closed: Mask) -> Pieces:
    """The best of some ways with each of the pieces that are looked at, once it is read.

    Way and counts are chosen before anybody knows how the next piece comes out.

    sewn    the ways with the best counts for what is still to come
    common  how far stitch and row of the next piece may deviate, relative, so often per piece, [N, S, J]
    closed  the ways that cannot be gone with a piece, [V, S]
    """
    # Seams, bands and rows at the end are made up by what the tape says of the new piece.
    made_up = (sewn.part != 0) | (garment.ends & (sewn.end != 0)[..., None])
    more = np.zeros(sewn.mean.shape)
    more[..., : garment.J] = np.where(made_up, garment.read_again, 0.0)
    sewn = sewn._replace(var=sewn.var + more)
    losses = loss_of(garment, sewn) + ways.cost[:, None] + carrying_through(garment, sewn)
    losses = np.where(closed, np.inf, losses)
    best = losses.argmin(axis=0), np.arange(losses.shape[1])
    moves, var = knitted(garment, ways, stage, sewn)
    fits = inside(garment, sewn.mean[best] + moves[best] * common[..., garment.at], var[best])
    # Stitch and row deviate each by itself.
    stitches = garment.across[garment.at]
    each = [fits[..., way].prod(axis=-1).mean(axis=0) for way in (stitches, ~stitches)]
    return Pieces(losses.min(axis=0), each[0] * each[1], fits[..., : garment.J].mean(axis=0))


def _pieces(garment: Garment, z: Array) -> Stage:
    """New pieces, one per row of z: how far each deviates at its points, and in its stitch across and along [SD]."""
    state, J, read = garment.state, garment.J, garment.read_again
    stitch = in_stitches(garment, z[:, J:])
    local = np.hypot(state.local_sd * garment.wanted, np.where(garment.counted, 0.0, np.sqrt(garment.rounding)))
    centre = garment.left_by_count(garment.counts_again, garment.shift)
    # It is knitted with the rows of the pieces that it is sewn to.
    sewn_to = garment.seam_at[garment.seam_moves]
    theirs = garment.length[sewn_to] - garment.seam_mm[garment.seam_moves]
    stitch_to_come = np.where(garment.seam_by_rows[garment.seam_moves], garment.shift[sewn_to], 1.0)
    centre[sewn_to] = theirs * stitch_to_come - garment.wanted[sewn_to]
    spread = garment.next_sd
    made = centre + stitch * spread * garment.wanted + z[:, :J] * local
    wanted, follows = garment.wanted_var, state.next_follows
    width, planned = _to_come(garment)
    # What is still to come is chosen by three layings of the new piece.
    answered = garment.answers & state.more
    shared = (garment.share + garment.other_share) ** 2 * wanted + np.where(answered, garment.share**2 * read, 0.0)
    return Stage(
        made,
        wanted,
        np.where(garment.seam_moves & ~garment.seam_by_rows, garment.seam_mm, 0.0),
        garment.seam_other_var,
        shared + garment.spread_to_come(width, garment.spread_after_next) + garment.fixed_var,
        width,
        planned,
        width * stitch * spread * follows,
        np.full(J, follows),
        NINE_IN_TEN * np.sqrt(read + wanted),
        -garment.alike_share * ((1 - follows) * stitch * spread * garment.wanted + z[:, :J] * local),
        garment.spread_after_next,
        twin=(centre, wanted + (spread * garment.wanted) ** 2 + local**2),
    )


def _to_come(garment: Garment) -> tuple[Array, Array]:
    """Width of the body piece to come beside the new one as it is planned [mm], and its count."""
    again = garment.counts_again
    like = np.array([other is not None and other.planned is None and other.like for other in garment.by])
    planned = np.where(like & garment.counted, again, garment.planned)
    width = np.where(np.isnan(planned), garment.other_wanted, planned * garment.other_size)
    return np.where(garment.comes, width, 0.0), planned
