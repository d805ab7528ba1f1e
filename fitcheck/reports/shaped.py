"""One make in, the whole answer out: the steps as codes and numbers.

The report is a function of the records that the make names and of nothing else: equal records give an equal report,
byte for byte.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from fitcheck.advice.decide.decision import ROUND_LAYINGS, Recommendation
from fitcheck.advice.decide.gates import stitches_on_bed
from fitcheck.advice.decide.measuring import Outcome
from fitcheck.advice.decide.state import DecisionPoint
from fitcheck.advice.ease import ease_of
from fitcheck.advice.left import kinds_left
from fitcheck.advice.rest.taking import counts_to_take, taken_counts
from fitcheck.advice.target.parts import Part, total
from fitcheck.estimates.numbers import CannotSay, quantity
from fitcheck.records.households import Household
from fitcheck.records.points import ORDER
from fitcheck.reports.actions import actions_of
from fitcheck.reports.choose import chosen
from fitcheck.reports.decided import Decided
from fitcheck.reports.granted import assumed_of, cautions_of
from fitcheck.reports.helps import helps_of
from fitcheck.reports.newer import newer_measuring
from fitcheck.reports.parts import parts_of
from fitcheck.reports.points import explanation_of, gauge_of, point_of
from fitcheck.reports.right_sweater import right_sweater_of
from fitcheck.reports.shapes import (
    SCHEMA,
    Advice,
    EaseReport,
    ExplanationReport,
    Head,
    OutcomeReport,
    PointReport,
    Report,
)
from fitcheck.reports.steps import Steps, steps
from fitcheck.reports.the_rest import TheRest, rest_told
from fitcheck.reports.unshaped import unshaped_of

Depth = Literal["whole", "page", "listed"]
"""How much of what swatches and size table answer a report holds."""


def report(
    source: str | Path | bytes | Mapping[str, Any] | Household,
    *,
    make: str | None = None,
    piece: str | None = None,
) -> Report:
    """Answer for one make: is the piece right, and what now?

    source  a household file (path, bytes or mapping) or a household already opened
    make    key of the make; None takes the only one
    piece   key of the piece; None takes the last piece that was read and not replaced

    Raises RecordsError with every fault when the records are wrong, ReportError when make or piece is unknown.
    """
    from fitcheck.records.files import open_household

    household = source if isinstance(source, Household) else open_household(source)
    return worked_out(household, make, piece)[1]


def worked_out(household: Household, make: str | None = None, piece: str | None = None) -> tuple[TheRest, Report]:
    """The rest of a make with the steps of its answer, and the report that both make; keys as in `report`.

    Raises ReportError.
    """
    rest = rest_of(household, make, piece)
    return rest, shaped(rest)


def rest_of(household: Household, make: str | None = None, piece: str | None = None) -> TheRest:
    """The rest of a make with the steps of its answer, of which `shaped` makes the report; raises as `worked_out`."""
    return rest_told(steps(chosen(household, make, piece)))


def shaped(rest: TheRest, depth: Depth = "whole") -> Report:
    """Put the report together from the steps of one answer, and from the rest that is worked out from them.

    depth  page    as the page of its make shows it: of the fabric in short
           listed  for a list of makes, which shows the verdict and its deed: what swatches and size table answer is
                   left out where there is a verdict; it is a third of the work
    """
    told = rest.told
    given, verdict = told.given, told.judged
    left_out = depth == "listed" and verdict is not None
    fabric, sizes, first = (None, None, None) if left_out else parts_of(told, in_short=depth == "page")
    points, counted = _points(told), rest.counted or told.rest
    return Report(
        schema=SCHEMA,
        digest=rest.answer.digest,
        head=_head(told),
        recommendation=_advice(told),
        actions=actions_of(told),
        points=points,
        refused=dict(told.targets.refused) if told.targets else {},
        explanation=_explanation(told),
        gauge=gauge_of(given.piece.id, verdict.explanation) if verdict and given.piece else (),
        ease=_ease(told),
        assumed=assumed_of(told),
        helps=helps_of(told, first),
        questions=given.questions,
        cautions=cautions_of(told),
        fabric=fabric,
        sizes=sizes,
        first=first,
        rest=counted,
        to_take=counts_to_take(counted, given.make),
        taken=taken_counts(given.make),
        newer=newer_measuring(given),
        right_sweater=right_sweater_of(told, points),
        to_knit=rest.answer.pieces,
        unshaped=unshaped_of(told, rest.answer),
        joins=rest.answer.seams,
        yarn=rest.answer.yarn,
    )


def _head(told: Steps) -> Head:
    """What the report is about, and what was read of it."""
    given, targets, piece = told.given, told.targets, told.given.piece
    stage = piece.stages[targets.stage] if piece and targets and targets.stage is not None else None
    lists = [listed for group in (stage.readings, stage.overhangs) for listed in group.values()] if stage else []
    counting = [reading for readings in lists for reading in readings if reading.counts]
    # Readings of several devices may say several zones, or none.
    latest = max((reading.at for reading in counting if reading.at), key=datetime.timestamp, default=None)
    day = latest or (stage.on if stage else None)
    return Head(
        make=given.make.id,
        make_name=given.make.name,
        wearer=given.wearer.name if given.wearer else None,
        reference=given.garment.name if given.garment else None,
        piece=piece.id if piece else None,
        piece_kind=piece.piece if piece else None,
        stage=targets.state if targets else None,
        readings=len(counting),
        looks=max((reading.look for reading in counting), default=0),
        read_on=day.isoformat() if day else None,
        invented=given.household.invented,
        carried=told.carried and bool(told.points),
        to_knit=tuple(kinds_left(given.make, piece)),
        finished=given.make.finished.isoformat() if given.make.finished else None,
        construction=given.make.construction,
        felted=bool(piece and piece.felted),
    )


def _points(told: Steps) -> tuple[PointReport, ...]:
    """The points that were judged, in the catalogue's order."""
    if told.judged is None:
        return ()
    deciding = told.decided.advice.deciding if isinstance(told.decided, Decided) else ()
    labels = {label.key: label for label in told.judged.points}
    read = sorted(told.points, key=lambda point: ORDER[point.key])
    beside = _knitted_beside(told)
    return tuple(
        point_of(point, labels[point.key], point.key in deciding, carried=told.carried, beside=beside.get(point.key))
        for point in read
    )


def _knitted_beside(told: Steps) -> dict[str, dict[str, float]]:
    """Per point, what each piece that is knitted beside this one lacks there, as this one would make it up [mm]."""
    if not isinstance(told.decided, Decided):
        return {}
    return {
        point.key: {
            other.kind: -other.known[0] * other.share / point.share for other in point.others if other.known is not None
        }
        for point in told.decided.state.points
    }


def _explanation(told: Steps) -> ExplanationReport | CannotSay:
    return explanation_of(told.judged.explanation) if told.judged else CannotSay("not_judged")


def _advice(told: Steps) -> Advice | CannotSay:
    """The recommendation; of a finished make only that there is nothing left to do."""
    if isinstance(told.decided, CannotSay):
        return told.decided
    advice = told.decided.advice
    recommended = _recommended(told.decided, advice, carried=told.carried)
    if told.given.make.finished:
        return replace(
            recommended, action="carry_on", then="carry_on", reason="finished", about=None, side=None, readings=None
        )
    if told.counted is not None and isinstance(told.counted.decided, Decided):
        recommended = replace(recommended, then=told.counted.decided.advice.then.code)
    why = _as_read(told, advice) if recommended.reason == "as_read" else None
    return replace(recommended, hangs=told.hangs, as_read=why, **_doubt(told))


def _as_read(told: Steps, advice: Recommendation) -> str | None:
    """Why it is asked first whether the garment is to be copied as it was read."""
    return next(read.target.as_read for read in told.points if read.key == advice.about)


def _doubt(told: Steps) -> dict[str, Any]:
    """What is counted or answered first: the count or the dial that the tape stands for, or how far it is pulled."""
    doubt = told.doubt
    if doubt is None or isinstance(told.decided, CannotSay) or told.decided.advice.reason != doubt.code:
        return {}
    count = next((read.target.count for read in told.points if read.key == doubt.about), None)
    pulled = 100 * told.judged.explanation.pulled if told.judged and doubt.code == "out_of_shape" else None
    return {
        "instead": max(1, count + doubt.stitches) if count is not None else None,
        "dial": doubt.dial,
        "smaller_percent": 100 * doubt.smaller if doubt.smaller else None,
        "pulled_percent": pulled,
    }


def _recommended(decided: Decided, advice: Recommendation, *, carried: bool) -> Advice:
    asked = next((point for point in decided.state.points if point.key == advice.about), None)
    tape = advice.reason in ("worth_measuring", "two_layings") and asked is not None
    offered = asked is not None and bool(advice.round) and not tape
    # The wash comes before more tape, and before what is asked about the garment (model 6, gates in their order).
    wash = carried and (tape or advice.reason == "as_read")
    return Advice(
        advice.action.code,
        advice.then.code,
        "wash_and_block" if wash else advice.reason,
        advice.about or None,
        _side(advice.reason, asked) if (tape or offered) and asked and not carried else None,
        (ROUND_LAYINGS if offered else _readings(advice.reason)) if asked and not carried else None,
        advice.value_of_measuring,
        advice.deciding,
        round=() if carried else advice.round,
        outcomes=() if carried else tuple(_outcome(outcome) for outcome in advice.outcomes),
        on_bed=stitches_on_bed(advice.then.alterations) if advice.reason == "needles" else None,
        sweater=decided.state.work.sweater,
    )


def _outcome(outcome: Outcome) -> OutcomeReport:
    low, high = (None if math.isinf(end) else end for end in (outcome.low, outcome.high))
    return OutcomeReport(low, high, outcome.action)


def _side(reason: str, asked: DecisionPoint) -> str | None:
    """Which side is read again: for a second laying the one that was laid once."""
    if reason != "two_layings":
        return asked.side
    theirs = asked.reference_layings is not None and asked.reference_layings < 2
    return ("both" if asked.layings < 2 else "reference") if theirs else "piece"


def _readings(reason: str) -> int | None:
    """How often a point that is asked for is read again: a whole round, or the laying that is missing."""
    return {"worth_measuring": ROUND_LAYINGS, "two_layings": 1}.get(reason)


def _ease(told: Steps) -> tuple[EaseReport, ...]:
    """Ease of the finished garment as it is wanted, where the body was measured."""
    given = told.given
    if told.targets is None or given.wearer is None:
        return ()
    flat = {}
    for target in told.targets.points:
        number = given.make.fits.numbers.get(target.key)
        if target.source == "overhang" or (number is not None and number.meant == "piece"):
            continue
        finished = [
            Part(part.code, part.estimate, part.weight / target.garment_scale)
            for part in target.parts
            if part.code in ("figure", "number", "body", "ease", "wish")
        ]
        if finished:
            flat[target.key] = total(finished)
    return tuple(
        EaseReport(ease.key, quantity(ease.ease, "mm"), ease.code or None) for ease in ease_of(flat, given.wearer)
    )
