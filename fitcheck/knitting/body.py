"""Back and front, whole, with set-in sleeves or drop shoulders: straight across the neck, or divided at it."""

from __future__ import annotations

from fitcheck.knitting.counts import BodyCounts, Choices
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import SIDES, Part, Plan, other_side
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
    write_rests,
    write_underarm,
)
from fitcheck.knitting.writing import PartWriter, check_bed
from fitcheck.records.points import PieceKind


def plan_body(piece: PieceKind, counts: BodyCounts, choices: Choices) -> Plan:
    """A whole back or front by row counter.

    The side shaped first (F) casts off at r_u, the other (O) at r_u + 1, decreases count from there on both sides; F's
    groups rest from r_s, O's from r_s + 1, each opposite the carriage, so r_s - r_u is odd. A neck with a depth divides
    the piece at last - depth: O's half and the middle go on waste yarn, F's half is finished; then the counter is set
    back and O's half is taken back. Its neck edge is one row longer, and what it does at the carriage comes one row
    later. Groups that rest already stay resting while they are parked.

    Errors: ShapingError where rows, counts or needles do not hold it.
    Source: fit rules 13 and 19; the offset of one row follows from them.
    """
    if counts.neck_rows:
        return plan_divided(piece, counts, choices)
    return _planned(piece, counts, upper_of(counts, armhole_of(counts), None, choices), choices)


def plan_divided(piece: PieceKind, counts: BodyCounts, choices: Choices, *, raglan: bool = False) -> Plan:
    """A whole back or front that is divided at its neck.

    raglan  whether its slanting edges go on to the neck

    Errors: ShapingError where rows, counts or needles do not hold it.
    """
    armhole = armhole_of(counts)
    return first_that_goes(
        necks_of(counts),
        lambda neck: _planned(piece, counts, upper_of(counts, armhole, neck, choices, raglan=raglan), choices),
    )


def _planned(piece: PieceKind, counts: BodyCounts, upper: Upper, choices: Choices) -> Plan:
    levels = body_levels(counts)
    check_bed(counts.cast_on, max(stitches for _, stitches in levels), choices)
    runs = side_runs(levels, body_plain(counts))
    first, second = upper.first, other_side(upper.first)

    body = PartWriter("body", 0, upper.turns, choices)
    body.act(0, "cast_on", "all", counts.cast_on)
    write_side(body, runs)
    write_marks(body, counts, upper)
    for side in (first, second):
        write_underarm(body, upper, side)
    for counter in upper.decreases:
        if counter <= upper.division:
            body.act(counter, "narrow", "both", 1)
    for side in (first, second):
        write_rests(body, upper, side, until=upper.division)

    parts = (_straight_across(body, upper),) if upper.neck is None else _divided(body, counts, upper)
    ends = {upper.top_name(side): upper.tops for side in SIDES}
    if upper.middle and (upper.parked or upper.neck is None):
        ends["neck"] = upper.middle
    drops = {} if upper.raglan else {upper.top_name(side): shoulder_drop(upper, side) for side in (first, second)}
    edges = body_edges(upper, runs)
    return Plan(piece, span_of(counts.cast_on), parts, edges, body_points(piece, counts, upper), ends, drops)


def _straight_across(body: PartWriter, upper: Upper) -> Part:
    """The end of a piece whose neck goes straight across: both shoulders on waste yarn, then the neck off."""
    if len(upper.groups) > 1:
        body.act(upper.last, "wake", "all", 2 * sum(upper.groups[:-1]))
    for side in SIDES:
        body.act(upper.last, "park", side, upper.tops, upper.top_name(side))
    if upper.middle:
        body.act(upper.last, "park" if upper.parked else "cast_off_all", "all", upper.middle, "neck")
    body.act(upper.last, "weigh", "all", 0)
    return body.part(upper.last)


def _divided(body: PartWriter, counts: BodyCounts, upper: Upper) -> tuple[Part, ...]:
    """The piece up to its neck, then one half after the other."""
    first, second = upper.first, other_side(upper.first)
    division = upper.division
    done = sum(counter <= division for counter in upper.decreases)
    # What the armhole still takes above the division is on the half yet.
    half = (counts.chest - upper.middle) // 2 - upper.off + len(upper.decreases) - done
    body.act(division, "park", second, half, "second_half")
    if upper.middle and upper.parked:
        body.act(division, "park", second, upper.middle, "neck")
    parts = [body.part(division)]
    for name, side in (("first_half", first), ("second_half", second)):
        writer = PartWriter(name, division, upper.turns, body.choices)
        if side == second:
            writer.act(division, "take_back", "all", half, name)
        write_half(writer, upper, side, after=division)
        if side == second:
            writer.act(upper.end(side), "weigh", "all", 0)
        resting = sum(event.stitches for event in body.events if event.do == "rest" and event.at == side)
        parts.append(
            writer.part(
                upper.end(side),
                takes_back=name if side == second else "",
                working=half - resting + (upper.middle if side == first and not upper.parked else 0),
                resting=resting,
            )
        )
    return tuple(parts)
