"""A deed after which the piece is read again and what is left is decided anew, in two stages like knitting it again.

Blocked again or ripped back, the piece comes out as no tape on the old one tells: how much of a stretch springs back,
and what is knitted anew. It is then read in three layings, and every way that keeps it is open, with the best counts
for what is still to come:

    E loss = work + E_piece min over ways (work + E g)

The piece is drawn about what is known of it now; what is wanted stays as uncertain as it is. A stretch springs back by
one share everywhere; what is ripped is knitted anew place by place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, Garment
from fitcheck.advice.decide.knitting_again import NewPiece, best_after, read_again
from fitcheck.advice.decide.lattice import lattice, root_of
from fitcheck.advice.decide.sewing import moved_along
from fitcheck.advice.decide.stage import Stage, spread_to_come
from fitcheck.advice.decide.ways import Way, Ways

PIECES = 64
"""Pieces over which what comes of a deed is averaged."""


def decided_anew(garment: Garment, first: Way, every: Sequence[Way]) -> NewPiece:
    """What a deed leads to when everything is decided anew after it, the work of the deed included.

    first  the deed;  every  all ways with the piece: those that keep it are open afterwards
    """
    J = garment.J
    z = lattice(PIECES, 2 * J + 2)
    of_piece = garment.cov - np.diag(np.minimum(garment.wanted_var, garment.var))
    away = z[:, :J] @ root_of(of_piece).T
    own = first.scale * (garment.d + away) + first.offset
    own = moved_along(garment, Ways([first]), garment.d + away, own[None])[0]
    extra = np.sqrt(np.maximum(first.extra - np.where(first.anew, garment.wanted_var, 0.0), 0.0))
    springs = z[:, J, None] * np.sign(first.scale - 1)
    own = own + extra * (z[:, J + 1 : 2 * J + 1] if first.stretch is None else springs)
    read = read_again(garment)
    # What the old piece tells of the next stitch, without what is wanted of both.
    own_var = np.maximum(garment.var - garment.wanted_var, 0.0)
    stitch = garment.rho * garment.stitch_var
    follows = np.divide(stitch, own_var, out=garment.rho.copy(), where=own_var > 0)
    left = np.maximum(garment.rho * stitch - follows**2 * own_var, 0.0)
    shared = (garment.share + garment.other_share) ** 2 * garment.wanted_var + garment.other_share**2 * left
    stage = Stage(
        own,
        garment.wanted_var,
        garment.seam_mm,
        garment.seam_other_var,
        shared
        + np.where(garment.answers, garment.share**2 * read, 0.0)
        + spread_to_come(garment, garment.as_planned)
        + garment.fixed_var,
        garment.as_planned,
        garment.planned,
        follows * away,
        follows,
        NINE_IN_TEN * np.sqrt(read),
    )
    common = z[:, 2 * J + 1] * garment.state.piece_sd
    after = best_after(garment, Ways(_open(first, every)), stage, common)
    return after._replace(loss=first.cost + after.loss)


def _open(first: Way, every: Sequence[Way]) -> list[Way]:
    """The ways that are open after a deed: to keep the piece, with and without its lower end, or to stretch it once.

    What comes later is blocked as the piece was.
    """
    kept = [
        way
        for way in every
        if way.rip is None and not way.twin_right and (way.stretch is None or first.stretch is None)
    ]
    return [replace(way, rest=way.rest * first.rest) for way in kept]
