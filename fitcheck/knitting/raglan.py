"""Raglan: back, front and sleeve, whose slanting edges all go over the same rows up to the neck."""

from __future__ import annotations

from itertools import groupby

from fitcheck.knitting.body import plan_divided
from fitcheck.knitting.counts import SIDE_PLAIN_MM, SLEEVE_PLAIN_MM, BodyCounts, Choices, RaglanCounts, Shaping
from fitcheck.knitting.half_front import plan_left_front
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Edge, Plan, Segment, other_side
from fitcheck.knitting.refusals import need
from fitcheck.knitting.sides import need_sleeve_rows, side_edge, side_runs, write_side
from fitcheck.knitting.spacing import arranged_gaps
from fitcheck.knitting.writing import PartWriter, Turns, chain, check_bed
from fitcheck.records.faults import in_words
from fitcheck.records.points import HALF_FRONTS, SLEEVES, PieceKind


def raglan_gaps(steps: int, rows: int) -> tuple[int, ...]:
    """Rows between the decreases of a raglan: on even rows only while 2 n <= rows, the order with the fewest lines.

    steps  n, decreases at each side
    rows   to spread them over [rows]

    Errors: ShapingError where there are more decreases than rows.
    Source: common practice, no source.

    >>> sorted(set(raglan_gaps(26, 64))), raglan_gaps(26, 64).count(2), raglan_gaps(26, 64).count(4)
    ([2, 4], 20, 6)
    """
    return arranged_gaps(steps, rows, multiple=2 if 2 * steps <= rows else 1)


def plan_raglan(piece: PieceKind, counts: RaglanCounts, choices: Choices) -> Plan:
    """A piece of a raglan by row counter.

    The side shaped first (F) casts off at r_u, the other (O) at r_u + 1, decreases count from there on both sides and
    end with the piece. What is left goes on waste yarn; a front with a neck of its own is divided at it as a set-in
    one is, and a tip is left at each side. Half a front has one slanting edge, and its half of the neck.

    Errors: ShapingError where rows, counts or needles do not hold it.
    Source: common practice, no source.
    """
    need(not counts.neck_rows or piece not in SLEEVES, "neck_rows", counts.neck_rows, in_words("0 for a sleeve"))
    half = piece in HALF_FRONTS
    need(not half or counts.neck_rows > 0, "neck_rows", counts.neck_rows, in_words("1 or more for half a front"))
    off, odd = divmod(counts.widest - counts.top - counts.neck, 1 if half else 2)
    steps = off - counts.underarm
    need(steps >= 0 and not odd, "top", counts.top, in_words("what both sides can leave alike"))
    gaps = raglan_gaps(steps, counts.raglan_rows - (1 if counts.underarm else 0))
    every = tuple((len(list(run)), gap) for gap, run in groupby(gaps))
    raglan = Shaping(counts.underarm, every)
    if half:
        return plan_left_front(_body_counts(counts, raglan), choices, raglan=True)
    if counts.neck_rows:
        return plan_divided(piece, _body_counts(counts, raglan), choices, raglan=True)
    return _planned(piece, counts, raglan, choices)


def _body_counts(counts: RaglanCounts, raglan: Shaping) -> BodyCounts:
    return BodyCounts(
        counts.cast_on,
        counts.widest,
        counts.to_underarm,
        counts.top + counts.neck,
        counts.raglan_rows,
        counts.neck,
        counts.neck_rows,
        1,
        counts.fabric,
        armhole=raglan,
        neck_shaping=counts.neck_shaping,
    )


def _planned(piece: PieceKind, counts: RaglanCounts, raglan: Shaping, choices: Choices) -> Plan:
    check_bed(counts.cast_on, max(counts.cast_on, counts.widest), choices)
    need_sleeve_rows(counts.to_underarm, counts.raglan_rows)
    underarm, h = counts.to_underarm, counts.fabric.h
    sleeve = piece in SLEEVES
    plain = min(round((SLEEVE_PLAIN_MM if sleeve else SIDE_PLAIN_MM) / h), underarm)
    runs = side_runs(((0, counts.cast_on), (underarm, counts.widest)), plain)
    first, second = choices.first, other_side(choices.first)
    body = PartWriter("body", 0, Turns(first, underarm), choices)
    body.act(0, "cast_on", "all", counts.cast_on)
    write_side(body, runs)
    tape = underarm - min(plain, round(SIDE_PLAIN_MM / h))
    if tape:
        body.act(tape, "mark", "both", 0, "upper_arm" if sleeve else "chest")
    late = 1 if counts.underarm else 0
    if counts.underarm:
        body.act(underarm, "cast_off", first, counts.underarm)
        body.act(underarm + late, "cast_off", second, counts.underarm)
    for row in raglan.decreases:
        body.act(underarm + late + row, "narrow", "both", 1)
    end = underarm + counts.raglan_rows
    body.act(end, "park", "all", counts.top, "neck")
    body.act(end, "weigh", "all", 0)
    slant = Segment(sum(times for times, _ in raglan.every), raglan.rows)
    straight = Segment(0, end - underarm - late - raglan.rows)
    edges: dict[str, Edge] = {
        "left_side": side_edge(runs),
        "right_side": side_edge(runs),
        f"{first}_raglan": chain((Segment(0, late), slant, straight)),
        f"{second}_raglan": chain((slant, straight)),
        "neck": (Segment(counts.top, 0),),
    }
    if counts.underarm:
        edges |= {f"{side}_underarm": (Segment(counts.underarm, 0),) for side in (first, second)}
    if sleeve:
        points = {
            "cuff": (0, counts.cast_on),
            "upper_arm": (tape, counts.widest),
            "sleeve_to_underarm": (underarm, counts.widest),
            "sleeve_length": (end, counts.top),
        }
    else:
        points = {
            "hem": (0, counts.cast_on),
            "chest": (tape, counts.widest),
            "to_underarm": (underarm, counts.widest),
            "body_length": (end, counts.top),
        }
    return Plan(piece, span_of(counts.cast_on), (body.part(end),), edges, points, {"neck": counts.top})
