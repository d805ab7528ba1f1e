"""Sleeves: with a cap for a set-in armhole, straight across the top for a drop shoulder."""

from __future__ import annotations

from fitcheck.knitting.cap import Cap, fairest_cap
from fitcheck.knitting.cap_families import CapAsked
from fitcheck.knitting.counts import SIDE_PLAIN_MM, SLEEVE_PLAIN_MM, Choices, SleeveCounts
from fitcheck.knitting.curve import STEP_ROWS
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Edge, Plan, Segment, other_side
from fitcheck.knitting.refusals import CannotShape
from fitcheck.knitting.sides import need_sleeve_rows, side_edge, side_runs, write_side
from fitcheck.knitting.writing import PartWriter, Turns, chain, check_bed
from fitcheck.records.points import PieceKind


def plan_sleeve(piece: PieceKind, counts: SleeveCounts, choices: Choices) -> Plan | CannotShape:
    """A sleeve by row counter; with an armhole to go into, under the fairest cap that fits it.

    Widened by the rule "last" with 4 cm plain below the top. The side shaped first (F) casts off at r_u, the other (O)
    at r_u + 1, decreases count from there; stepped cast-offs again alternate, and the top is cast off together.

    Returns CannotShape no_cap where none fits.
    Errors: ShapingError where rows, counts or needles do not hold it.
    Source: common practice, no source.
    """
    if not counts.armhole_mm and counts.cap is None:
        return _planned(piece, counts, None, choices)
    if counts.cap is not None:
        return _planned(piece, counts, counts.cap, choices)
    fabric = counts.fabric
    asked = CapAsked(counts.upper, counts.underarm, counts.armhole_mm, fabric.w, fabric.h, rows=counts.cap_rows)
    cap = fairest_cap(asked)
    return cap if isinstance(cap, CannotShape) else _planned(piece, counts, cap, choices)


def _planned(piece: PieceKind, counts: SleeveCounts, cap: Cap | None, choices: Choices) -> Plan:
    check_bed(counts.cast_on, max(counts.cast_on, counts.upper), choices)
    need_sleeve_rows(counts.to_underarm, cap.rows if cap is not None else 0)
    underarm, h = counts.to_underarm, counts.fabric.h
    plain = min(round(SLEEVE_PLAIN_MM / h), underarm)
    runs = side_runs(((0, counts.cast_on), (underarm, counts.upper)), plain)
    sleeve = PartWriter("body", 0, Turns(choices.first, underarm), choices)
    sleeve.act(0, "cast_on", "all", counts.cast_on)
    write_side(sleeve, runs)
    tape = max(0, underarm - round(SIDE_PLAIN_MM / h))
    if tape:
        sleeve.act(tape, "mark", "both", 0, "upper_arm")
    end, top = underarm, counts.upper
    if cap is not None:
        end, top = underarm + cap.rows, cap.top
        _write_cap(sleeve, counts, cap, choices)
    sleeve.act(end, "cast_off_all", "all", top, "top")
    sleeve.act(end, "weigh", "all", 0)
    points = {
        "cuff": (0, counts.cast_on),
        "upper_arm": (tape, _stitches_at(sleeve, tape)),
        "sleeve_to_underarm": (underarm, counts.upper),
        "sleeve_length": (end, top),
    }
    if cap is not None:
        points["cap_height"] = (end, top)
    edges: dict[str, Edge] = {"left_side": side_edge(runs), "right_side": side_edge(runs), "top": (Segment(top, 0),)}
    if cap is not None:
        edges |= _cap_edges(counts, cap, choices)
    return Plan(piece, span_of(counts.cast_on), (sleeve.part(end),), edges, points, {"top": top})


def _write_cap(sleeve: PartWriter, counts: SleeveCounts, cap: Cap, choices: Choices) -> None:
    """Everything above the underarm but the top."""
    underarm = counts.to_underarm
    sides = (choices.first, other_side(choices.first))
    if counts.underarm:
        for late, side in enumerate(sides):
            sleeve.act(underarm + late, "cast_off", side, counts.underarm)
    for row in cap.decreases:
        sleeve.act(underarm + 1 + row, "narrow", "both", 1)
    steps = underarm + cap.rows - STEP_ROWS * len(cap.steps)
    for place, stitches in enumerate(cap.steps):
        for late, side in enumerate(sides):
            sleeve.act(steps + STEP_ROWS * place + late, "cast_off", side, stitches)


def _cap_edges(counts: SleeveCounts, cap: Cap, choices: Choices) -> dict[str, Edge]:
    """The underarms and both halves of a cap; the half shaped first has one row more at its foot."""
    half = tuple(Segment(stitches, rows) for stitches, rows in cap.segments)
    first, second = choices.first, other_side(choices.first)
    edges: dict[str, Edge] = {f"{first}_cap": chain((Segment(0, 1), *half)), f"{second}_cap": chain(half)}
    if counts.underarm:
        edges |= {f"{side}_underarm": (Segment(counts.underarm, 0),) for side in (first, second)}
    return edges


def _stitches_at(sleeve: PartWriter, counter: int) -> int:
    """Stitches in work at a counter below the underarm."""
    stitches = 0
    for event in sleeve.events:
        if event.counter <= counter and event.do in ("cast_on", "widen", "widen_edge", "narrow"):
            change = event.stitches * (2 if event.at == "both" else 1)
            stitches += -change if event.do == "narrow" else change
    return stitches
