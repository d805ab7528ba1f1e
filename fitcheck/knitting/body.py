"""Back and front, whole, with set-in sleeves or drop shoulders: straight across the neck, or divided at it."""

from __future__ import annotations

from fitcheck.knitting.counts import BodyCounts, Choices
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import SIDES, Edge, Part, Plan, Segment, other_side
from fitcheck.knitting.shaping import armhole_of, first_that_goes, necks_of
from fitcheck.knitting.sides import SideRun, side_edge, side_runs, write_side
from fitcheck.knitting.upper import (
    Upper,
    armhole_edge,
    body_levels,
    body_plain,
    body_points,
    neck_edge,
    shoulder_drop,
    upper_of,
    write_half,
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
    armhole = armhole_of(counts)
    if not counts.neck_rows:
        return _planned(piece, counts, upper_of(counts, armhole, None, choices), choices)
    return first_that_goes(
        necks_of(counts),
        lambda neck: _planned(piece, counts, upper_of(counts, armhole, neck, choices), choices),
    )


def _planned(piece: PieceKind, counts: BodyCounts, upper: Upper, choices: Choices) -> Plan:
    levels = body_levels(counts)
    check_bed(max(stitches for _, stitches in levels), choices)
    runs = side_runs(levels, body_plain(counts))
    first, second = upper.first, other_side(upper.first)

    body = PartWriter("body", 0, upper.turns, choices)
    body.act(0, "cast_on", "all", counts.cast_on)
    write_side(body, runs)
    for side in (first, second):
        write_underarm(body, upper, side)
    for counter in upper.decreases:
        if counter <= upper.division:
            body.act(counter, "narrow", "both", 1)
    for side in (first, second):
        write_rests(body, upper, side, until=upper.division)

    shoulder = sum(upper.groups)
    parts = (_straight_across(body, counts, upper),) if upper.neck is None else _divided(body, counts, upper)
    ends = {"left_shoulder": shoulder, "right_shoulder": shoulder}
    middle = int(2 * upper.neck.at_once) if upper.neck is not None else counts.neck
    if middle:
        ends["neck"] = middle
    drops = {f"{side}_shoulder": shoulder_drop(upper, side) for side in (first, second)}
    return Plan(
        piece,
        span_of(counts.cast_on),
        parts,
        _edges(upper, runs, drops, middle),
        body_points(piece, counts, upper),
        ends,
        drops,
    )


def _straight_across(body: PartWriter, counts: BodyCounts, upper: Upper) -> Part:
    """The end of a piece whose neck goes straight across: three groups, left to right, on waste yarn."""
    shoulder = sum(upper.groups)
    if len(upper.groups) > 1:
        body.act(upper.last, "wake", "all", 2 * sum(upper.groups[:-1]))
    body.act(upper.last, "park", "left", shoulder, "left_shoulder")
    body.act(upper.last, "park", "right", shoulder, "right_shoulder")
    body.act(upper.last, "park", "all", counts.neck, "neck")
    return body.part(upper.last)


def _divided(body: PartWriter, counts: BodyCounts, upper: Upper) -> tuple[Part, ...]:
    """The piece up to its neck, then one half after the other."""
    assert upper.neck is not None, "a neck straight across does not divide"
    first, second = upper.first, other_side(upper.first)
    division = upper.division
    done = sum(counter <= division for counter in upper.decreases)
    # What the armhole still takes above the division is on the half yet.
    half = (counts.chest - 2 * upper.off - int(2 * upper.neck.at_once)) // 2 + len(upper.decreases) - done
    body.act(division, "park", second, half, "second_half")
    middle = int(2 * upper.neck.at_once)
    if middle:
        body.act(division, "park", second, middle, "neck")
    parts = [body.part(division)]
    for name, side in (("first_half", first), ("second_half", second)):
        writer = PartWriter(name, division, upper.turns, body.choices)
        if side == second:
            writer.act(division, "take_back", "all", half, name)
        write_half(writer, upper, side, after=division)
        resting = sum(event.stitches for event in body.events if event.do == "rest" and event.at == side)
        parts.append(
            writer.part(
                upper.end(side),
                takes_back=name if side == second else "",
                working=half - resting,
                resting=resting,
            )
        )
    return tuple(parts)


def _edges(upper: Upper, runs: tuple[SideRun, ...], drops: dict[str, int], middle: int) -> dict[str, Edge]:
    edges: dict[str, Edge] = {"neck": (Segment(middle, 0),)} if middle else {}
    for side in SIDES:
        edges[f"{side}_side"] = side_edge(runs)
        if upper.armhole.at_once:
            edges[f"{side}_underarm"] = (Segment(int(upper.armhole.at_once), 0),)
        edges[f"{side}_armhole"] = armhole_edge(upper, side)
        edges[f"{side}_shoulder"] = (Segment(sum(upper.groups), drops[f"{side}_shoulder"]),)
        if upper.neck is not None:
            edges[f"{side}_neck"] = neck_edge(upper, side)
    return edges
