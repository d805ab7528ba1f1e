"""The decision: carry on, other counts, alter the hem, block again, rip back, knit again - or measure again first.

Least expected loss for the *finished garment*. The unit of every cost and loss is the work of knitting a back. For a
way a

    EL(a) = cost(a) + sum over points of the garment of E g_j

g being the loss of a point that is so far out (`advice/loss.py`), at the garment that a leads to with the best counts
for what is still to come. The least EL wins; within 0.05 the one with less work. *Measure again* comes instead where
a gate asks for it, or where what the tape could still tell is worth more than twice what it costs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.changes import changes, changes_anew, worth_at_the_end
from fitcheck.advice.decide.decided_anew import decided_anew
from fitcheck.advice.decide.garment import Garment
from fitcheck.advice.decide.gates import Gate, first_gate
from fitcheck.advice.decide.knitting_again import AsExpected, NewPiece, new_piece
from fitcheck.advice.decide.lattice import lattice, root_of
from fitcheck.advice.decide.measuring import CLOSE_ENOUGH, Knower, Knowing, Outcome, apart, chosen
from fitcheck.advice.decide.sewing import inside, inside_by_spread, knitted, loss_of, sew, unchanged
from fitcheck.advice.decide.sleeves import SLEEVE_ROWS
from fitcheck.advice.decide.stage import Sewn, Stage, here, in_stitches, truths
from fitcheck.advice.decide.state import ActionCode, Array, Counted, DecisionState, RipTo
from fitcheck.advice.decide.then_open import Open
from fitcheck.advice.decide.ways import Ways, impossible_ways, ways
from fitcheck.advice.rest.rule import WORTH
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
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

ANEW: tuple[ActionCode, ...] = ("rip_back", "knit_again")
"""Deeds that knit the piece or a part of it anew."""
READ_AGAIN: tuple[ActionCode, ...] = ("block_again", "rip_back")
"""Deeds on the piece after which it is read again before anything more is decided; knitting again is one by itself."""

DEFAULT_COSTS = Costs.model_construct()
"""Costs of the acts; editable in every make."""

WORTH_MEASURING = 2.0
"""Knowing all must save this many times what a round costs, which tells about half of it."""
SURE_ENOUGH = 0.9
"""With this chance of a plan that keeps the piece as it is a round is an offer and no headline [1]."""
MOST_READINGS = 6
"""More further readings than this are not asked for."""
HALVES = 3
"""So many times the readings so far halve what the tape leaves open: before what stays done that is enough."""
ROUND_LAYINGS = 3
"""Layings of a whole round: each point that decides is laid and read anew so often."""
SAMPLES = 128
"""Possible truths over which the chance that all fit is averaged."""

Reason = Literal["least_loss", "less_work", "worth_measuring"] | Gate


@frozen
class Action:
    """One way to go on, with what it brings.

    expected_loss  cost + what misfits cost on average [works of a back]; None when impossible
    chance         chance that every point of the finished garment lies inside what is allowed [1]
    chances        the same per point, in the order of the state's points
    left           what the sewn garment is expected to keep there of what is not as wanted [mm], in the same order
    cost           its work [works of a back]
    alterations    what changes, per point
    stretch        direction and share of the stretch when blocking again
    rip, row       how far it is ripped out, and the row counter there where it is known
    alone          what comes off or goes on at its lower end does so at this piece alone, beside knitted ones
    impossible     why it is not on offer, or None
    """

    code: ActionCode
    cost: float
    expected_loss: float | None = None
    chance: float | None = None
    chances: tuple[float, ...] = ()
    left: tuple[float, ...] = ()
    alterations: tuple[Alteration, ...] = ()
    stretch: tuple[Counted, float] | None = None
    rip: RipTo | None = None
    row: int | None = None
    alone: bool = False
    impossible: CannotSay | None = None


@frozen
class Recommendation:
    """The advice.

    action              the recommended action
    then                the plan as it stands if nothing more is measured (the same as action otherwise)
    actions             every action, on offer or not, in a fixed order
    reason              least_loss | less_work | worth_measuring, or the gate that comes first
    about               point that the reason is about, or empty
    value_of_measuring  what perfect knowledge of the differences would save [works of a back]
    deciding            points whose possible truths lead to different advice
    round               points that a round of measuring reads, whether it is the headline or an offer
    outcomes            what each outcome at the point that it is about leads to
    """

    action: Action
    then: Action
    actions: tuple[Action, ...]
    reason: Reason
    about: str
    value_of_measuring: float
    deciding: tuple[str, ...]
    round: tuple[str, ...] = ()
    outcomes: tuple[Outcome, ...] = ()


def recommend(state: DecisionState, costs: Costs = DEFAULT_COSTS) -> Recommendation:
    """Recommend what to do with the piece on the table: least expected loss for the finished garment.

    state  the points with their differences [mm], covariance [mm^2], and what the rest can still do
    costs  work of each act [works of a back]

    Raises ValueError when there is no point to decide on.
    """
    if not state.points:
        raise ValueError("points: read none; a decision takes at least one point of measure")
    garment = Garment(state, costs)
    impossible = impossible_ways(garment)
    every = Ways(ways(garment, costs, impossible))
    working = _Worked(garment, costs, every, impossible)
    worked = working.actions()
    then, less_work = _best(worked)
    told = bool(garment.stands_out.any() or garment.K)
    if then.code == "knit_again" and not (told and _comes_out_otherwise(garment, then)):
        # What the tape cannot tell from nothing is no reason to knit a piece again (fit rule 32), nor is mere luck.
        then, less_work = _best(_without(worked, "knit_again"))
    assert then.expected_loss is not None
    again = worked["knit_again"]
    lost = again.expected_loss if again.expected_loss is not None else np.inf
    knower = Knower(garment, every, lost, again.cost)
    worth_it = WORTH_MEASURING * costs.measure
    known = knower.known(then.expected_loss, working.plan(then.code), worth_it)
    deed: ActionCode = "carry_on" if then.code == "other_counts" else then.code
    gate = first_gate(state, deed, then.alterations, known)

    # A piece blocked again is read anew as well: where it is that which helps, a round does it for less.
    stays_done = then.code in (*ANEW, "block_again")
    most = HALVES * ROUND_LAYINGS * state.looks if stays_done else MOST_READINGS
    settling = tuple(
        p.key for p in state.points if p.key in known.deciding and p.readings_needed and p.readings_needed <= most
    )
    worth = state.looks < MAX_LOOKS and known.worth > worth_it and bool(settling)
    weight = {point.key: point.weight for point in state.points}
    measure = Action("measure_again", costs.measure)
    action, about, asked = then, "", settling if worth else ()
    reason: Reason = "less_work" if less_work else "least_loss"
    if gate is not None:
        reason, points = gate
        action, about, asked = measure, points[0] if points else "", ()
        if reason == "out_of_shape":
            # Wetting it and patting it to size is the work of blocking it again.
            action = measure = Action("measure_again", costs.block_again)
        elif reason == "two_layings":
            about, asked = max(points, key=lambda key: weight[key]), points
    elif worth:
        about = max(settling, key=lambda key: weight[key])
        kept = deed == "carry_on" and not known.deeds_differ
        # Beside a piece that is kept a round is one deed more: by less than CLOSE_ENOUGH, less work wins.
        pays = not kept or known.worth > WORTH_MEASURING * (costs.measure + CLOSE_ENOUGH)
        if stays_done or then.chance is None or (pays and then.chance < SURE_ENOUGH):
            action, reason = measure, "worth_measuring"
    else:
        measure = Action("measure_again", costs.measure, impossible=_why_no_tape(known, state, costs))
    outcomes = knower.outcomes(about) if asked else ()
    listed = tuple(measure if code == "measure_again" else worked[code] for code in ACTIONS)
    return Recommendation(action, then, listed, reason, about, known.worth, known.deciding, asked, outcomes)


def _best(worked: dict[ActionCode, Action]) -> tuple[Action, bool]:
    """The deed with the least expected loss, within CLOSE_ENOUGH the least work; and whether it won by that.

    Carrying on and other counts are one deed, with and without changed counts: where counts change, the second.
    """
    offered = [action for action in worked.values() if action.impossible is None]
    if any(action.code == "other_counts" for action in offered):
        offered = [action for action in offered if action.code != "carry_on"]
    losses = np.array([[action.expected_loss] for action in offered], dtype=np.float64)
    (place,) = chosen(losses, np.array([action.cost for action in offered]))
    return offered[place], place != int(losses[:, 0].argmin())


def _comes_out_otherwise(garment: Garment, again: Action) -> bool:
    """Whether the new piece is expected to be another than this one: by its counts, or by its stitch."""
    return any(change.by == "this_piece" for change in again.alterations) or bool((garment.shift != 1.0).any())


def _without(worked: dict[ActionCode, Action], code: ActionCode) -> dict[ActionCode, Action]:
    """The actions with one of them taken off the offer, where anything else is on it."""
    if all(action.impossible is not None for action in worked.values() if action.code != code):
        return worked
    worked[code] = Action(code, worked[code].cost, impossible=NOTHING_TO_CHANGE)
    return worked


@dataclass
class _Worked:
    """Every way worked out from the best estimate, the best one of each code."""

    garment: Garment
    costs: Costs
    ways: Ways
    impossible: dict[ActionCode, CannotSay]
    stage: Stage = field(init=False)
    sewn: Sewn = field(init=False)
    work: Array = field(init=False)
    losses: Array = field(init=False)

    def __post_init__(self) -> None:
        self.stage = here(self.garment)
        self.sewn = sew(self.garment, self.ways, self.stage)
        self.bare = unchanged(self.garment, self.sewn.at(0))
        self.places: dict[ActionCode, tuple[int, Sewn]] = {"carry_on": (0, self.bare)}
        self.work = self.ways.cost + self.sewn.changed[:, 0] * self.garment.printed_cost
        self.losses = self.work + loss_of(self.garment, self.sewn)[:, 0]

    def actions(self) -> dict[ActionCode, Action]:
        """Every action but measuring, in the order of work."""
        garment = self.garment
        self.places |= {code: (v, self.sewn.at(v)) for code, v in self._best_of_each().items()}
        then = Open(garment, self.ways.each, self.costs)
        again, expected = new_piece(garment, then, self.costs)
        found = {code: self._action(code, v, sewn) for code, (v, sewn) in self.places.items()}
        offered = [code for code, action in found.items() if action.impossible is None]
        kept = [code for code in offered if code not in READ_AGAIN]
        for code, (all_fit, each) in zip(kept, self._chances(kept) if kept else (), strict=True):
            found[code] = replace(found[code], chance=all_fit, chances=each)
        for code in READ_AGAIN:
            if code in offered:
                found[code] = self._decided_anew(found[code], then, again)
        found["knit_again"] = self._again(again, expected)
        if garment.state.to_come and "other_counts" not in found:
            # Nothing that was read needs another count; what is still to come does.
            found["other_counts"] = replace(found["carry_on"], code="other_counts", alterations=garment.state.to_come)
        for code in ACTIONS[:-1]:
            if code not in found:
                why = self.impossible.get(code, NOTHING_TO_CHANGE)
                found[code] = Action(code, self._cost(code), impossible=why)
        self.found = found
        return self._without_detours(found)

    def _best_of_each(self) -> dict[ActionCode, int]:
        """Place of the way with the least loss of every deed that can be done."""
        places: dict[ActionCode, int] = {}
        for v, way in enumerate(self.ways.each):
            code: ActionCode = "other_counts" if way.code == "carry_on" else way.code
            if code in self.impossible or (way.hem and not worth_at_the_end(self.garment, self.sewn, v)):
                continue
            if code not in places or self.losses[v] < self.losses[places[code]]:
                places[code] = v
        return places

    def _without_detours(self, found: dict[ActionCode, Action]) -> dict[ActionCode, Action]:
        """The actions without a deed after which another is done all the same: it only adds its own work to that."""
        for code in READ_AGAIN:
            deed = found[code]
            others = [loss for other in ANEW if other != code and (loss := found[other].expected_loss) is not None]
            most = min(others, default=np.inf) + self._cost(code) - WORTH
            if deed.expected_loss is not None and deed.expected_loss > most:
                found[code] = Action(code, deed.cost, impossible=NOTHING_TO_CHANGE)
        return found

    def plan(self, code: ActionCode) -> Callable[[Array], Array]:
        """Loss of an action as it was decided, for rows of true differences [works of a back]."""
        garment = self.garment
        v, decided = self.places.get(code, self.places["carry_on"])
        if code == "knit_again":
            return lambda rows: np.full(len(rows), self.found["knit_again"].expected_loss)
        way = self.ways.at([v])

        def losses(rows: Array) -> Array:
            stage = truths(garment, rows, garment.untold)
            return np.asarray(loss_of(garment, sew(garment, way, stage, decided=decided))[0] + way.cost[0])

        return losses

    def _action(self, code: ActionCode, v: int, sewn: Sewn) -> Action:
        """An action as it is decided on, but for its chances."""
        way, bare = self.ways.each[v], code == "carry_on"
        cost = 0.0 if bare else float(self.work[v])
        own = () if bare else changes(self.garment, way, self.stage, sewn)
        altered = own if bare else self._with_the_rest(own)
        if code in ("other_counts", "rip_back") and not (
            altered if code == "other_counts" else any(change.by == "this_piece" for change in altered)
        ):
            return Action(code, cost, impossible=NOTHING_TO_CHANGE)
        if bool(apart(self.garment, sewn.mean[0, 0])):
            return Action(code, cost, impossible=SEAMS_APART)
        row = self.garment.state.work.row.get(way.rip) if way.rip else None
        alone = way.hem and self.garment.K > 0 and not way.both_ends
        left = tuple(sewn.mean[0, 0, : self.garment.J].tolist())
        loss = float(loss_of(self.garment, sewn)[0, 0]) if bare else float(self.losses[v])
        return Action(
            code,
            cost,
            loss,
            left=left,
            alterations=altered,
            stretch=way.stretch,
            rip=way.rip,
            row=row,
            alone=alone,
        )

    def _again(self, again: NewPiece, expected: AsExpected) -> Action:
        cost = self._cost("knit_again")
        chance = min(again.all_fit, float(again.chances.min()))
        each = tuple(again.chances.tolist())
        altered = self._with_the_rest(changes_anew(self.garment, *expected))
        return Action("knit_again", cost, again.loss, chance, each, alterations=altered)

    def _with_the_rest(self, own: tuple[Alteration, ...]) -> tuple[Alteration, ...]:
        """What a way changes, with the counts that change whatever is done: but for those that it changes itself."""
        state, changed = self.garment.state, {change.point for change in own}
        rest = state.to_come
        if any(change.point == "shoulder_width" and change.by == "this_piece" for change in own):
            rest = (*(change for change in rest if change.point not in SLEEVE_ROWS), *state.sleeves_anew)
        return (*own, *(change for change in rest if change.point not in changed))

    def _decided_anew(self, action: Action, then: Open, again: NewPiece) -> Action:
        """A deed with the loss and the chances that it has because the piece is then read again and decided anew."""
        alone = next(way for way in self.ways.each if (way.rip, way.stretch) == (action.rip, action.stretch))
        after = decided_anew(self.garment, alone, then, again)
        each = tuple(after.chances.tolist())
        return replace(action, expected_loss=after.loss, chance=min(after.all_fit, *each), chances=each)

    def _cost(self, code: ActionCode) -> float:
        """Work of an action alone [works of a back]."""
        costs, work = self.costs, self.garment.state.work
        return {
            "carry_on": 0.0,
            "other_counts": self.garment.printed_cost,
            "alter_hem": costs.alter_hem,
            "block_again": costs.block_again,
            "rip_back": max(work.above.values(), default=0.0) * work.piece + costs.rip_extra,
            "knit_again": work.piece + costs.knit_extra,
            "measure_again": costs.measure,
        }[code]

    def _chances(self, codes: Sequence[ActionCode]) -> list[tuple[float, tuple[float, ...]]]:
        """Chance that all points fit, and per own point, of actions as they were decided."""
        garment, J = self.garment, self.garment.J
        each = [self.places[code] for code in codes]
        ways = self.ways.at([v for v, _ in each])
        decided = Sewn._make(np.concatenate(parts) for parts in zip(*(sewn for _, sewn in each), strict=True))
        z = lattice(SAMPLES, J + 2)
        rows = garment.d + z[:, :J] @ root_of(garment.cov).T
        stage = truths(garment, rows)
        common = in_stitches(garment, z[:, J:]) * stage.spread
        sewn = sew(garment, ways, stage, decided=decided)
        moves, var = knitted(garment, ways, stage, sewn)
        fits = inside(garment, sewn.mean + moves * common[:, garment.at], var)
        together = fits.prod(axis=-1).mean(axis=1)
        # Per point the chance is known in closed form: what the lattice makes of it corrects the chance of all.
        exact = inside_by_spread(garment, decided)[:, 0]
        seen = np.maximum(fits.mean(axis=1), 1e-9)
        together = together * np.prod(np.minimum(exact / seen, 2.0), axis=-1)
        return [
            (min(all_fit, *own), tuple(own[:J])) for all_fit, own in zip(together.tolist(), exact.tolist(), strict=True)
        ]


NOTHING_TO_CHANGE = CannotSay("nothing_to_change")
SEAMS_APART = CannotSay("seams_apart")


def _why_no_tape(known: Knowing, state: DecisionState, costs: Costs) -> CannotSay:
    if known.worth <= WORTH_MEASURING * costs.measure:
        return CannotSay("no_gain")
    if state.looks >= MAX_LOOKS:
        return CannotSay("three_looks")
    return CannotSay("tape_cannot_settle")
