"""Drawings of garments for the wardrobe: one with its tapes, and any two laid over one another."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fitcheck.drawing.laid import PLACES, At, Laid
from fitcheck.drawing.look import SCREEN, WIDTH, Look
from fitcheck.drawing.outline import Outline, outline_of
from fitcheck.drawing.overlay import body_of
from fitcheck.drawing.svg import drawing
from fitcheck.drawing.tapes import key_figures, tape_of
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.records.points import POINTS
from fitcheck.report import PointReport
from fitcheck.words import Unit

_ALONE: Look = MappingProxyType({**SCREEN, "o-ref": ' fill="none"'})
"""A garment alone has no dashed outline under it."""


def _shown(key: str, measured: Quantity | None, difference: Quantity) -> PointReport:
    """A point as a drawing labels it: what was measured stands beside the tape, else the difference."""
    point = POINTS[key]
    return PointReport(
        key=key,
        name=point.name,
        direction=point.direction,
        flat=point.flat,
        wanted=None,
        measured=measured,
        read=measured,
        difference=difference,
        allowed_smaller_mm=None,
        allowed_larger_mm=None,
        code="not_measured",
        alone="not_measured",
        reason=None,
        side=None,
        readings_needed=None,
        chance_within=0.0,
        count=None,
        readings=0,
        reference_readings=0,
        source="garment",
        garment_mm=None,
        decides=False,
        weight=0.0,
    )


def body_measures(measures: Mapping[str, float]) -> dict[str, float]:
    """The measures that an outline of the body is drawn from; sleeves are in the list."""
    return {key: mm for key, mm in measures.items() if key not in _NOT_BODY}


_NOT_BODY = frozenset(
    (
        "sleeve_length",
        "sleeve_to_underarm",
        "upper_arm",
        "cuff",
        "cap_height",
        "centre_back_to_cuff",
        "panel_width",
        "panel_length",
        "neck_depth",
    )
)


def garment_drawing(
    measured: Mapping[str, Quantity], unit: Unit, label: str, *, drop_shoulder: bool = False, ids: str = "ga"
) -> tuple[str, dict[str, int]]:
    """A garment's body with its tapes, and the figure of each point on it; empty where too little was measured."""
    values = body_measures({key: one.value for key, one in measured.items()})
    found = outline_of(values, drop_shoulder=drop_shoulder)
    if isinstance(found, CannotSay):
        return "", {}
    points = {key: _shown(key, measured[key], measured[key]) for key in values if tape_of(found, key) is not None}
    return _drawn(_laid(found, found, points), unit, label, ids, _ALONE)


def two_over_one_another(
    under: Mapping[str, Quantity],
    over: Mapping[str, Quantity],
    unit: Unit,
    label: str,
    *,
    at: At = "shoulders",
    drop_shoulder: bool = False,
    ids: str = "ov",
) -> tuple[str, dict[str, int]]:
    """One garment (full) over another (dashed); tapes where both were read, with the difference beside them.

    What only one was measured at is lent to the other, so that no false difference shows.
    """
    first = body_measures({key: one.value for key, one in under.items()})
    second = body_measures({key: one.value for key, one in over.items()})
    alone = outline_of(second, drop_shoulder=drop_shoulder)
    if isinstance(alone, CannotSay):
        return "", {}
    below = outline_of(first, drop_shoulder=drop_shoulder, under=alone)
    if isinstance(below, CannotSay):
        return "", {}
    above = outline_of(second, drop_shoulder=drop_shoulder, under=below)
    assert isinstance(above, Outline)
    points = {
        key: _shown(key, None, less(over[key], under[key]))
        for key in second
        if key in first and tape_of(above, key) is not None
    }
    return _drawn(_laid(below, above, points, at), unit, label, ids, SCREEN)


def less(one: Quantity, other: Quantity) -> Quantity:
    """One measure less another, each read by itself [mm]."""
    u = (one.u**2 + other.u**2) ** 0.5
    half = (((one.high - one.low) / 2) ** 2 + ((other.high - other.low) / 2) ** 2) ** 0.5
    value = one.value - other.value
    return Quantity(value, value - half, value + half, one.level, u, None, "mm")


def _laid(under: Outline, over: Outline, points: Mapping[str, PointReport], at: At = "shoulders") -> Laid:
    corner: dict[At, str] = {"shoulders": "T", "underarm": "U", "hem": "H"}
    shifts = {place: under.corners[corner[place]][1] - over.corners[corner[place]][1] for place in PLACES}
    figures = key_figures(points)
    tapes = tuple(tape for key in figures if (tape := tape_of(over, key)) is not None)
    return Laid(under, over, at, shifts, figures, dict(points), tapes, False)


def _drawn(laid: Laid, unit: Unit, label: str, ids: str, look: Look) -> tuple[str, dict[str, int]]:
    body = body_of(laid, unit, ids=ids, look=look)
    return drawing("overlay", WIDTH, body.height, [body.svg], label=label, ids=ids), laid.figures
