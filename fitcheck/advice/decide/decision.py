"""The decision: carry on, other counts, alter the hem, block again, rip back, knit again - or measure again first.

Least expected loss for the *finished garment*. The unit of every cost and loss is the work of knitting a back
once. For an action a

    EL(a) = cost(a) + sum over points of weight_j (1 - p_j(a)),

p_j(a) being the chance that point j of the garment that a leads to lies inside what is allowed, with the best
remaining counts. The least EL wins; within 0.05 the one with less work. *Measure again* comes instead when what
the tape could still tell is worth it: EL(best) - E_q[min over a of EL(a | q)] > 0.06, q being the true
differences between piece and wanted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fitcheck.advice.decide.remedies import (
    ActionCode,
    Alteration,
    Array,
    DecisionState,
    Remedies,
    lattice,
)
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.makes import Costs
from fitcheck.records.readings import MAX_LOOKS

ACTIONS: tuple[ActionCode, ...] = (
    "carry_on",
    "other_counts",
    "alter_hem",
    "block_again",
    "rip_back",
    "knit_again",
    "measure_again",
)

DEFAULT_COSTS = Costs()
"""Costs of the acts; editable in every make."""

CLOSE_ENOUGH = 0.05
"""Expected losses nearer than this are equal: the plan with less work wins [works of a back]."""
WORTH_MEASURING = 0.06
"""What more tape must save before it is advised [works of a back]."""
MOST_READINGS = 6
"""More further readings than this are not asked for."""
TRUTHS = 128
"""Possible truths over which the worth of measuring is averaged."""


@dataclass(frozen=True, slots=True)
class Action:
    """One way to go on, with what it brings.

    expected_loss  cost + sum of weight (1 - chance) [works of a back]; None when impossible
    chance         chance that every point of the finished garment lies inside what is allowed [1]
    chances        the same per point, in the order of the state's points
    cost           its work [works of a back]
    alterations    what changes, per point
    stretch        direction and share of the stretch when blocking again
    impossible     why it is not on offer, or None
    """

    code: ActionCode
    cost: float
    expected_loss: float | None = None
    chance: float | None = None
    chances: tuple[float, ...] = ()
    alterations: tuple[Alteration, ...] = ()
    stretch: tuple[str, float] | None = None
    impossible: CannotSay | None = None


@dataclass(frozen=True, slots=True)
class Recommendation:
    """The advice.

    action              the recommended action
    then                the plan as it stands if nothing more is measured (the same as action otherwise)
    actions             every action, on offer or not, in a fixed order
    reason              least_loss | less_work | wild_reading | miscount | another_dial | out_of_shape |
                        worth_measuring
    about               point that the reason is about, or empty
    value_of_measuring  what perfect knowledge of the differences would save [works of a back]
    deciding            points whose possible truths lead to different advice
    """

    action: Action
    then: Action
    actions: tuple[Action, ...]
    reason: str
    about: str
    value_of_measuring: float
    deciding: tuple[str, ...]


def _root(covariance: Array) -> Array:
    """Return a square root of a covariance matrix that may be singular."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.clip(values, 0.0, None)), dtype=np.float64)


def _choose(losses: Array, costs: Array) -> Array:
    """Index of the winner per column: least loss; within CLOSE_ENOUGH the least work."""
    near = losses <= losses.min(axis=0) + CLOSE_ENOUGH
    return np.asarray(np.where(near, costs[:, None] + 1e-6 * losses, np.inf).argmin(axis=0))


def _worked_out(remedies: Remedies, code: ActionCode, samples: Array) -> Action:
    """Work out one action from the best estimate: its plan, chances, expected loss."""
    best = remedies.best_plan(code)
    plan = best.plan
    if code == "knit_again":
        together = remedies.new_piece(known=False).all_fit
    else:
        varied = remedies.outcome(plan, samples, remedies.nothing)
        together = float(remedies.inside(varied.mean, varied.var).prod(axis=-1).mean())
    chance = min(together, float(best.chances.min()))
    altered = remedies.alterations(plan)
    if code in ("other_counts", "alter_hem") and not any(_belongs(alteration, code) for alteration in altered):
        nothing = CannotSay("nothing_to_change", "nothing would change that pays for the trouble")
        return Action(code, plan.cost, impossible=nothing)
    if code == "block_again" and plan.stretch and not remedies.answers(plan.stretch[0]):
        small = CannotSay("nothing_small", "nothing on the piece is smaller than the tape can tell")
        return Action(code, plan.cost, impossible=small)
    chances = tuple(float(p) for p in best.chances)
    return Action(code, plan.cost, best.loss, chance, chances, altered, plan.stretch)


def _belongs(alteration: Alteration, code: ActionCode) -> bool:
    return code == "other_counts" or alteration.by in ("hem", "cuff_band")


def recommend(state: DecisionState, costs: Costs = DEFAULT_COSTS) -> Recommendation:
    """Recommend what to do with the piece on the table: least expected loss for the finished garment.

    state  the points with their differences [mm], covariance [mm^2], and what the rest can still do
    costs  work of each act [works of a back]

    Raises ValueError when there is no point to decide on.
    """
    if not state.points:
        raise ValueError("points: read none; a decision takes at least one point of measure")
    remedies = Remedies(state, costs)
    size = len(state.points)
    root = _root(remedies.cov)
    samples = remedies.d + lattice(256, size) @ root.T
    worked = {code: _worked_out(remedies, code, samples) for code in remedies.possible()}
    offered = [code for code, action in worked.items() if action.impossible is None]
    work = np.array([worked[code].cost for code in offered])
    here = np.array([[worked[code].expected_loss] for code in offered], dtype=np.float64)
    then = worked[offered[int(_choose(here, work)[0])]]
    assert then.expected_loss is not None

    reach = np.diag(1.6449 * np.sqrt(remedies.var))
    rows = np.concatenate(
        [
            remedies.d + lattice(TRUTHS, size) @ root.T,
            remedies.d - reach,
            remedies.d + reach,
            remedies.d[None],
        ]
    )
    losses = remedies.losses(rows, remedies.nothing)
    known = np.stack(list(losses.values()))
    value = max(0.0, then.expected_loss - float(known[:, :TRUTHS].min(axis=0).mean()))
    advice = _choose(known[:, TRUTHS:], np.array([remedies.work[code] for code in losses]))
    deciding = tuple(point.key for j, point in enumerate(state.points) if {advice[j], advice[size + j]} != {advice[-1]})

    action, reason, about = then, "", ""
    measure = Action("measure_again", costs.measure)
    settling = [
        p
        for p in state.points
        if p.key in deciding and p.readings_needed is not None and p.readings_needed <= MOST_READINGS
    ]
    if state.outliers:
        action, reason, about = measure, "wild_reading", state.outliers[0]
    elif state.miscount:
        action, reason, about = measure, "miscount", state.miscount
    elif state.another_dial:
        action, reason = measure, "another_dial"
    elif state.out_of_shape:
        # Wetting it and patting it to size is the work of blocking it again.
        measure = Action("measure_again", costs.block_again)
        action, reason = measure, "out_of_shape"
    elif state.looks < MAX_LOOKS and value > WORTH_MEASURING and settling:
        about = max(settling, key=lambda p: p.weight).key
        action, reason = measure, "worth_measuring"
    else:
        measure = Action("measure_again", costs.measure, impossible=_why_no_tape(value, state.looks))
        least = min(offered, key=lambda code: worked[code].expected_loss or 0.0)
        reason = "least_loss" if least == then.code else "less_work"
    listed = [
        measure
        if code == "measure_again"
        else worked.get(code) or Action(code, remedies.work[code], impossible=remedies.impossible[code])
        for code in ACTIONS
    ]
    return Recommendation(action, then, tuple(listed), reason, about, value, deciding)


def _why_no_tape(value: float, looks: int) -> CannotSay:
    if value <= WORTH_MEASURING:
        return CannotSay("no_gain", "more tape would not change the plan by enough to pay for itself")
    if looks >= MAX_LOOKS:
        return CannotSay("three_looks", "the piece was judged three times; more tape would hardly settle it")
    return CannotSay("tape_cannot_settle", "no sensible number of readings would settle it")
