"""What is still to knit by the advice of a report."""

from __future__ import annotations

from fitcheck import words
from fitcheck.advice.decide.decision import Action
from fitcheck.advice.decide.remedies import Alteration
from fitcheck.advice.fabric.ahead import sizes_ahead
from fitcheck.advice.rest.still_to_knit import Rest, still_to_knit
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report


def rest_of(found: Report, make: Make, household: Household) -> Rest:
    """What is still to knit by the advice; nothing before an answer, and nothing of a sweater that is finished."""
    advice = found.recommendation
    if isinstance(advice, CannotSay):
        return Rest()
    plan = words.action_of(found, advice.action)
    if plan is None:
        return Rest()
    again = plan.dial if plan.code == "knit_again" else None
    return still_to_knit(
        make,
        household,
        by_key(make.pieces, found.head.piece),
        Action(
            plan.code,  # type: ignore[arg-type]
            plan.cost,
            alterations=tuple(
                Alteration(one.point, one.by, one.mm, one.stitches, one.count) for one in plan.alterations
            ),
        ),
        dial=again,
        sizes=sizes_ahead(
            {one.direction: one.size.value for one in found.gauge},
            found.fabric,
            again=again,
            doubted=found.head.carried or advice.reason in ("miscount", "miscount_across"),
        ),
        kinds=[kind for kind in CONSTRUCTIONS[make.construction].pieces if kind in found.head.to_knit],
    )
