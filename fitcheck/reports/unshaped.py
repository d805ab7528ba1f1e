"""Body pieces to come that cannot be knitted as they are counted: said with the counts, before any is begun."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.to_come.to_knit import SHOULDER_SLOPE_MM
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.refusals import CannotShape, ShapingError, cannot_shape, need
from fitcheck.knitting.shoulders import groups_of_slope, shoulder_groups, shoulder_rows
from fitcheck.knitting.upper import most_neck_rows
from fitcheck.records.constructions import CONSTRUCTIONS, Construction
from fitcheck.records.faults import Accepts
from fitcheck.records.points import BODY, PieceKind
from fitcheck.reports.decided import sizes_promised
from fitcheck.reports.shapes import Unshaped
from fitcheck.reports.steps import Steps
from fitcheck.reports.the_rest import RestAnswer

_LENGTHS = {"body_length", "to_underarm", "armhole_depth"}
"""Lengths that leave the fall of the shoulder between them."""
WHOLE: tuple[PieceKind, ...] = ("back", "front")


def unshaped_of(told: Steps, answer: RestAnswer) -> tuple[Unshaped, ...]:
    """Body pieces that cannot be knitted so: before the first piece as they are planned, later as they are counted."""
    make = told.given.make
    if make.finished is not None:
        return ()
    if isinstance(told.decided, CannotSay):
        return tuple(_planned(told)) if told.judged is None else ()
    refused = answer.refused
    return (Unshaped(refused.piece, refused.why, refused.conflict),) if refused and refused.piece in BODY else ()


def _planned(told: Steps) -> Iterator[Unshaped]:
    make = told.given.make
    construction = CONSTRUCTIONS[make.construction]
    if construction.armhole == "slanting":
        return
    row = sizes_promised(told.ahead).get("along")
    usual = shoulder_rows(groups_of_slope(SHOULDER_SLOPE_MM, row)) if row else None
    for kind in WHOLE:
        counts = planned_counts(make, told.given.household, kind)
        if counts.keys() >= _LENGTHS:
            counts.setdefault("shoulder_drop", counts["body_length"] - counts["to_underarm"] - counts["armhole_depth"])
        elif usual is not None:
            counts.setdefault("shoulder_drop", usual)
        why = _cannot_end(counts, construction, kind)
        if why is not None:
            yield Unshaped(kind, why)


def _cannot_end(counts: Mapping[str, int], construction: Construction, kind: PieceKind) -> CannotShape | None:
    """Why shoulders and neck of a piece do not go into their rows, by its counts alone; None where they may.

    The carriage takes an armhole of even rows one row further.
    """
    straight = construction.armhole == "straight"
    across, neck = counts.get("chest" if straight else "shoulder_width"), counts.get("neck_width")
    rows, drop = counts.get("armhole_depth"), counts.get("shoulder_drop")
    deep = counts.get("back_neck_drop" if kind == "back" else "neck_depth")
    groups = max(0, drop) // 2 + 1 if drop is not None else 1
    try:
        if drop is not None and across and neck and across > neck:
            shoulder_groups((across - neck) // 2, groups)
        if rows and deep and drop is not None:
            most = most_neck_rows(rows + (not straight and rows % 2 == 0), groups, bound=not straight)
            need(deep <= most, "neck_rows", deep, Accepts("rows_at_most", most=most))
    except ShapingError as error:
        return cannot_shape("steps_do_not_fit", error.fault)
    return None
