"""A deed after which the piece is read again and what is left is decided anew, in two stages like knitting it again.

Blocked again or ripped back, the piece comes out as no tape on the old one tells: how much of a stretch springs back,
and what is knitted anew. It is then read in three layings, and it may be kept, stretched, ripped back or knitted again
(`then_open.py`), with the best counts for what is still to come:

    E loss = work + E_piece min over ways (work + E g)

The piece is drawn about what is known of it now; what is wanted stays as uncertain as it is. A stretch springs back by
one share everywhere; what is ripped is knitted anew place by place.
"""

from __future__ import annotations

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, Garment
from fitcheck.advice.decide.knitting_again import NEXT_PIECES, NewPiece, best_after
from fitcheck.advice.decide.lattice import fan, lattice, root_of
from fitcheck.advice.decide.sewing import moved_along, sew
from fitcheck.advice.decide.stage import Stage, in_stitches
from fitcheck.advice.decide.state import Array
from fitcheck.advice.decide.then_open import Open, stretches_closed
from fitcheck.advice.decide.ways import SPRINGS_BACK, SPRINGS_BACK_SD, Way, Ways

PIECES = 64
"""Pieces over which what comes of a deed is averaged."""


def decided_anew(garment: Garment, first: Way, then: Open, again: NewPiece) -> NewPiece:
    """What a deed leads to when everything is decided anew after it, the work of the deed included.

    first  the deed;  then: what is open after it;  again: what knitting it again leads to, which stays open too
    """
    J = garment.J
    z = lattice(PIECES, 2 * J + 1)
    of_piece = garment.cov - np.diag(np.minimum(garment.wanted_var, garment.var))
    away = z[:, :J] @ root_of(of_piece).T
    own = first.scale * (garment.d + away) + first.offset
    in_rows = moved_along(garment, Ways([first]), garment.d + away, own[None])[0]
    own = own + in_rows
    extra = np.sqrt(np.maximum(first.extra - np.where(first.anew, garment.wanted_var, 0.0), 0.0))
    springs = z[:, J, None] * np.sign(first.scale - 1)
    own = own + extra * (z[:, J + 1 : 2 * J + 1] if first.stretch is None else springs)
    given: dict[str, Array | float] = dict(garment.state.given)
    if first.stretch is None:
        ways = then.after_ripping()
    else:
        ways = then.after_stretching(first)
        direction, share = first.stretch
        stays = share * (1 - SPRINGS_BACK + SPRINGS_BACK_SD * z[:, J])
        given[direction] = given.get(direction, 0.0) + np.maximum(stays, 0.0)
    read = garment.read_again
    # What the old piece tells of the next stitch, without what is wanted of both.
    own_var = np.maximum(garment.var - garment.wanted_var, 0.0)
    stitch = garment.rho * garment.stitch_var
    follows = np.divide(stitch, own_var, out=garment.rho.copy(), where=own_var > 0)
    left = np.maximum(garment.rho * stitch - follows**2 * own_var, 0.0)
    shared = (garment.share + garment.other_share) ** 2 * garment.wanted_var + garment.other_share**2 * left
    stage = Stage(
        own,
        garment.wanted_var,
        garment.seam_mm + np.where(garment.seam_by_rows, in_rows[:, garment.seam_at], 0.0),
        garment.seam_other_var,
        shared + np.where(garment.answers, garment.share**2 * read, 0.0) + garment.planned_var + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        follows * away,
        follows,
        NINE_IN_TEN * np.sqrt(read + garment.wanted_var),
        garment.alike,
        garment.spread,
        np.where(first.anew, 0.0, garment.more_rows),
    )
    common = in_stitches(garment, fan(PIECES, NEXT_PIECES)) * stage.spread
    closed = stretches_closed(garment, ways, own, given)
    sewn = sew(garment, ways, stage)
    after = best_after(garment, ways, stage, sewn, common, closed).or_again(again)
    return after._replace(loss=first.cost + after.loss)
