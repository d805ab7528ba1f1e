"""The ways to go on as the report has them: changes, yarn, and the dial that would do with the planned counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.decision import Action
from fitcheck.advice.decide.garment import HALF
from fitcheck.advice.left import kinds_left
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import BODY, ORDER, POINTS
from fitcheck.reports.decided import dial_again
from fitcheck.reports.shapes import ActionReport
from fitcheck.reports.steps import Steps


def actions_of(told: Steps) -> tuple[ActionReport, ...]:
    """Every way to go on; where a count is asked for, what each will bring if it is the one that the tape implies."""
    if isinstance(told.decided, CannotSay):
        return ()
    own = [_action(action, told) for action in told.decided.advice.actions]
    if told.counted is None or isinstance(told.counted.decided, CannotSay):
        return tuple(own)
    counted = [_action(action, told.counted) for action in told.counted.decided.advice.actions]
    return (
        *(action for action in counted if action.code != "measure_again"),
        *(action for action in own if action.code == "measure_again"),
    )


def _action(action: Action, told: Steps) -> ActionReport:
    if told.given.make.finished and action.code != "carry_on" and action.impossible is None:
        # Every way but carrying on is closed once the make is finished.
        action = Action(action.code, action.cost, impossible=CannotSay("finished"))
    possible = action.impossible is None
    dial = _dial(told) if action.code == "knit_again" and possible else None
    # At another dial the planned counts of the other pieces come right.
    chance = action.chance
    altered = tuple(change for change in action.alterations if dial is None or change.by == "this_piece")
    if not isinstance(told.decided, CannotSay) and action.code == told.decided.advice.then.code:
        altered, alone = tuple(_held_together(altered, told)), altered
        if altered != alone:
            chance = min([chance or 0.0, *_fits(told)])
    # The state keeps the order in which the points were knitted; pinned points are not in it.
    keys = [read.key for read in told.points if not read.point.pinned]
    chances = zip(keys, action.chances, strict=False)
    return ActionReport(
        code=action.code,
        cost=action.cost,
        expected_loss=action.expected_loss,
        chance=chance,
        chances=dict(sorted(chances, key=lambda chance: ORDER[chance[0]])),
        alterations=altered,
        stretch_direction=action.stretch[0] if action.stretch else None,
        stretch_percent=100 * action.stretch[1] if action.stretch else None,
        grams=_grams(action, told) if possible else None,
        impossible=action.impossible,
        dial=dial,
        rip=action.rip,
        row=action.row,
        alone=action.alone,
        left_mm=dict(sorted(zip(keys, action.left, strict=False), key=lambda left: ORDER[left[0]])),
    )


def _held_together(alterations: Iterable[Alteration], told: Steps) -> Iterator[Alteration]:
    """Changes of the body piece to come with the counts that hold together beside the others of it (facts/rest 2).

    The decision looks at each width by itself; the piece is knitted with what neck, shoulders and repeats leave of it.
    """
    to_knit = () if isinstance(told.to_knit, CannotSay) else told.to_knit
    counts = {key: count for piece in to_knit if piece.kind in BODY for key, count in piece.counts.items()}
    for change in alterations:
        held, stitches, count = counts.get(change.point), change.stitches, change.count
        if change.by != "other_body_piece" or not (stitches and count and held) or change.halves:
            yield change
            continue
        if off := held.count - (count - stitches):
            wider = change.mm / stitches * (held.count - count)
            left = None if change.left_mm is None else change.left_mm + HALF * wider
            itself = count if held.count != count else None
            odd = change.odd if itself is None else None
            mm = change.mm + wider
            yield replace(change, mm=mm, stitches=off, count=held.count, left_mm=left, odd=odd, by_itself=itself)


def _fits(told: Steps) -> list[float]:
    """How likely each width of the body piece to come fits, with the counts that hold together [1]."""
    to_knit = () if isinstance(told.to_knit, CannotSay) else told.to_knit
    counts = [count for piece in to_knit if piece.kind in BODY for count in piece.counts.values()]
    return [count.fits for count in counts if count.fits is not None and POINTS[count.key].direction == "across"]


def _grams(action: Action, told: Steps) -> float | None:
    """Yarn that a way unravels, or that the rest takes more than planned [g]; None where no piece was weighed."""
    piece = told.given.piece
    weighed = [stage.grams for stage in piece.stages if stage.grams] if piece else []
    if not weighed:
        return None
    if action.code == "knit_again":
        return weighed[-1]
    if action.code == "rip_back" and action.rip is not None and not isinstance(told.decided, CannotSay):
        return weighed[-1] * told.decided.state.work.above[action.rip]
    return _more_yarn(action, told, weighed[-1])


def _more_yarn(action: Action, told: Steps, weight: float) -> float | None:
    """Yarn that what is still to be knitted takes more (+) or less (-) than planned [g]; None without a change.

    A wider piece takes more by its share of stitches; rows at a lower end are that share of the piece's
    length, in the twin that is altered alike, and in this piece where rows are added to it. Rows that come
    off this piece were knitted already.
    """
    lengths = {read.key: read.target.measured.value for read in told.points if read.target.measured is not None}
    wider = [
        weight * change.stitches / (change.count - change.stitches)
        for change in action.alterations
        if change.by == "other_body_piece" and change.stitches and change.count
    ]
    ends = [
        weight * change.mm / lengths[change.point]
        for change in action.alterations
        if change.by in ("hem", "cuff_band") and lengths.get(change.point)
    ]
    if not wider and not ends:
        return None
    front = max(wider, key=abs, default=0.0)
    rows = min(ends, key=abs, default=0.0)
    twin = rows if {"front", "back", "sleeve"} & set(kinds_left(told.given.make, told.given.piece)) else 0.0
    return front + twin + max(0.0, rows)


def _dial(told: Steps) -> str | None:
    """The dial to knit it again at with the planned counts, where another would do."""
    dial = dial_again(told.given, told.points, told.fabric)
    return dial.written() if dial else None
