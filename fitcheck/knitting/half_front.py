"""Half a front: an armhole at one side, the opening at the other. The other half is its mirror image."""

from __future__ import annotations

from dataclasses import replace

from fitcheck.knitting.counts import BodyCounts, Choices
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Plan, Side, other_side
from fitcheck.knitting.shaping import armhole_of, first_that_goes, necks_of
from fitcheck.knitting.sides import side_runs, write_side
from fitcheck.knitting.upper import (
    Upper,
    body_edges,
    body_levels,
    body_plain,
    body_points,
    shoulder_drop,
    upper_of,
    write_half,
    write_marks,
    write_underarm,
)
from fitcheck.knitting.writing import PartWriter, check_bed

_ARMHOLE: Side = "left"
"""Where the left front has its armhole: the purl side faces the knitter, so the bed's left is the wearer's."""


def plan_left_front(counts: BodyCounts, choices: Choices, *, raglan: bool = False) -> Plan:
    """The left half of an open front; its armhole side is shaped first.

    counts  of the half: its chest, its half of across and of the neck, which has a depth
    raglan  whether its slanting edge goes on to the neck

    Errors: ShapingError where rows, counts or needles do not hold it.
    Source: fit rules 12 and 13.
    """
    whole = replace(counts, chest=2 * counts.chest, across=2 * counts.across, neck=2 * counts.neck)
    choices = replace(choices, first=_ARMHOLE)
    armhole = armhole_of(whole)
    return first_that_goes(
        necks_of(whole),
        lambda neck: _planned(counts, upper_of(whole, armhole, neck, choices, halves=1, raglan=raglan), choices),
    )


def _planned(counts: BodyCounts, upper: Upper, choices: Choices) -> Plan:
    levels = body_levels(counts)
    check_bed(counts.cast_on, max(stitches for _, stitches in levels), choices, one_sided=True)
    runs = side_runs(levels, body_plain(counts), sides=1)
    side = upper.first
    body = PartWriter("body", 0, upper.turns, choices)
    body.act(0, "cast_on", "all", counts.cast_on)
    write_side(body, runs, only=side)
    write_marks(body, counts, upper)
    write_underarm(body, upper, side)
    if upper.middle and upper.parked:
        body.act(upper.division, "park", other_side(side), upper.middle, "neck")
    write_half(body, upper, side, after=-1)
    body.act(upper.last, "weigh", "all", 0)
    ends = {upper.top_name(side): upper.tops}
    if upper.middle and upper.parked:
        ends["neck"] = upper.middle
    return Plan(
        "left_front",
        span_of(counts.cast_on),
        (body.part(upper.last),),
        body_edges(upper, runs, only=side),
        body_points("left_front", counts, upper),
        ends,
        {} if upper.raglan else {upper.top_name(side): shoulder_drop(upper, side)},
    )
