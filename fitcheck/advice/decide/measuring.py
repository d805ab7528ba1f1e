"""What more tape would tell: what it is worth, the points that decide, and what each outcome leads to.

The worth of measuring is EL(best) - E_q[min over a of EL(a | q)], q being the true differences between piece and
wanted: a mean over a fixed lattice. A point decides where its possible truths lead to different advice.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from fitcheck.advice.decide.garment import NINE_IN_TEN, Garment
from fitcheck.advice.decide.lattice import lattice, root_of
from fitcheck.advice.decide.sewing import carrying_through, loss_of, sew
from fitcheck.advice.decide.stage import Sewn, truths
from fitcheck.advice.decide.state import ActionCode, Array
from fitcheck.advice.decide.ways import Ways
from fitcheck.advice.loss import loss
from fitcheck.records.frozen import frozen

CLOSE_ENOUGH = 0.05
"""Expected losses nearer than this are equal: the deed with less work wins [works of a back]."""
TRUTHS = 48
"""Possible truths over which the worth of measuring is averaged."""
PLACES = 17
"""Places along the deciding point at which the advice is looked at."""


@frozen
class Outcome:
    """What a round leads to: from which difference of the deciding point on [mm], up to which, and the deed.

    low, high  -inf and inf at the ends
    """

    low: float
    high: float
    action: ActionCode


@frozen
class Knowing:
    """What would be done if the differences were known.

    worth     what knowing them would save over the deed that is best without [works of a back]
    deciding  points whose possible truths lead to another deed; where none does, to counts that are worth a round
    deeds_differ  whether any point leads to another deed
    alone     per deed the points that make it best by themselves, the others being as wanted
    """

    worth: float
    deciding: tuple[str, ...]
    deeds_differ: bool
    alone: dict[ActionCode, tuple[str, ...]]


DEEDS: tuple[ActionCode, ...] = ("carry_on", "alter_hem", "block_again", "rip_back", "knit_again")
"""What can be done with the piece; other counts are carrying on."""


class Knower:
    """Works out the deed for truths, every way with the best counts for what is still to come.

    again, again_work  expected loss and work of knitting the piece again, by what is known of the old one
    """

    def __init__(self, garment: Garment, ways: Ways, again: float, again_work: float) -> None:
        self.garment, self.ways, self.again = garment, ways, again
        self.of_code: dict[ActionCode, list[int]] = {}
        for v, way in enumerate(ways.each):
            self.of_code.setdefault(way.code, []).append(v)
        work = {code: min([ways.each[v].cost for v in places]) for code, places in self.of_code.items()}
        work["knit_again"] = again_work
        self.codes = [code for code in DEEDS if code in work]
        self.work = np.array([work[code] for code in self.codes])

    def losses(self, rows: Array) -> Array:
        """Least loss of every deed for rows of true differences [works of a back], [deeds, rows]."""
        return self._least(self._each(self._sewn(rows)), rows)

    def _sewn(self, rows: Array) -> Sewn:
        return sew(self.garment, self.ways, truths(self.garment, rows, self.garment.untold))

    def _each(self, sewn: Sewn) -> Array:
        each = loss_of(self.garment, sewn) + self.ways.cost[:, None] + carrying_through(self.garment, sewn)
        return np.where(apart(self.garment, sewn.mean), np.inf, each) if self.garment.K else each

    def _least(self, each: Array, rows: Array) -> Array:
        again = self.again + self._stays(rows)
        return np.stack(
            [again if code == "knit_again" else each[self.of_code[code]].min(axis=0) for code in self.codes]
        )

    def _stays(self, rows: Array) -> Array:
        """What knitting again loses more where a length is further off than it is known to be, and no count answers.

        A new piece with the counts of the old one comes out as that is.
        """
        garment = self.garment
        at = np.flatnonzero(garment.counted & ~garment.comes & (np.abs(garment.d) < garment.least))
        if not at.size:
            return np.zeros(len(rows))
        unanswered = np.where(np.abs(rows[:, at]) < garment.least[at], rows[:, at], garment.d[at])
        lost = loss(np.vstack([garment.d[at], unanswered]), garment.low[at], garment.high[at], garment.weight[at])
        return np.asarray((lost[1:] - lost[0]).sum(axis=1))

    def advice(self, losses: Array) -> list[ActionCode]:
        """The deed per row: the least loss, and within CLOSE_ENOUGH the least work."""
        return [self.codes[place] for place in chosen(losses, self.work)]

    def known(self, best: float, plan: Callable[[Array], Array], worth_it: float) -> Knowing:
        """What would be done if the differences were known.

        best      loss of the deed that is best without [works of a back];  plan  its loss for rows of true differences
        worth_it  what another deed, or other counts, must save there [works of a back]
        """
        garment, J = self.garment, self.garment.J
        reach = np.diag(NINE_IN_TEN * np.sqrt(garment.told_cov.diagonal()))
        rows = np.concatenate(
            [
                garment.d + lattice(TRUTHS, J) @ root_of(garment.told_cov).T,
                garment.d - reach,
                garment.d + reach,
                garment.d[None],
                np.diag(garment.d),
            ]
        )
        losses = self.losses(rows)
        worth = max(0.0, best - float(losses[:, :TRUTHS].min(axis=0).mean()))
        advice = self.advice(losses[:, TRUTHS:])
        keys = [point.key for point in garment.points]
        deciding = tuple(key for j, key in enumerate(keys) if {advice[j], advice[J + j]} != {advice[2 * J]})
        deeds_differ = bool(deciding)
        if not deeds_differ and advice[2 * J] == "carry_on":
            # Whatever is true the piece is kept; what goes with it may be worth knowing better.
            regret = plan(rows[TRUTHS : TRUTHS + 2 * J + 1]) - losses[:, TRUTHS : TRUTHS + 2 * J + 1].min(axis=0)
            worse = np.maximum(regret[:J], regret[J : 2 * J]) - regret[-1] > worth_it
            deciding = tuple(key for j, key in enumerate(keys) if worse[j])
        alone: dict[ActionCode, tuple[str, ...]] = {
            code: tuple(key for key, deed in zip(keys, advice[2 * J + 1 :], strict=True) if deed == code)
            for code in self.codes
        }
        return Knowing(worth, deciding, deeds_differ, alone)

    def outcomes(self, key: str) -> tuple[Outcome, ...]:
        """What each truth of a point leads to, the others as they are known; equal neighbours joined.

        Keeping the piece is told by what goes with it: as planned, or with other counts.
        """
        garment = self.garment
        j = garment.place[key]
        along = garment.d[j] + np.linspace(-2.0, 2.0, PLACES) * NINE_IN_TEN * garment.u[j]
        rows = np.tile(garment.d, (PLACES, 1))
        rows[:, j] = along
        sewn = self._sewn(rows)
        each, kept = self._each(sewn), np.array(self.of_code["carry_on"])
        advice = self.advice(self._least(each, rows))
        best = kept[each[kept].argmin(axis=0)], np.arange(PLACES)
        other = sewn.changed[best] | sewn.part[best].any(axis=-1) | self.ways.twin_right[best[0], 0]
        other |= bool(garment.state.to_come)
        told: list[Outcome] = []
        for place, code in enumerate(advice):
            deed: ActionCode = "other_counts" if code == "carry_on" and other[place] else code
            edge = float(along[0] if place == 0 else (along[place - 1] + along[place]) / 2)
            if not told:
                told.append(Outcome(-np.inf, np.inf, deed))
            elif told[-1].action != deed:
                told[-1] = Outcome(told[-1].low, edge, told[-1].action)
                told.append(Outcome(edge, np.inf, deed))
        return tuple(told)


def chosen(losses: Array, costs: Array) -> list[int]:
    """The winner per column: the least loss; within CLOSE_ENOUGH the least work."""
    near = losses <= losses.min(axis=0) + CLOSE_ENOUGH
    return [
        int(place) for place in np.where(near, costs[:, None] + 1e-6 * np.minimum(losses, 1e6), np.inf).argmin(axis=0)
    ]


def apart(garment: Garment, mean: Array) -> Array:
    """Whether a seam with a knitted piece is further apart than it can be sewn (fit rule 27)."""
    seams = mean[..., garment.J + garment.T :]
    return np.asarray((np.abs(seams) > garment.seam_most).any(axis=-1))
