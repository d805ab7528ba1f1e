"""Ease: the garment less the body, per point, and its class."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from fitcheck.advice.tape import taped
from fitcheck.estimates.numbers import Estimate
from fitcheck.estimates.readings import combine
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import INCH_MM
from fitcheck.records.points import ORDER, POINTS
from fitcheck.records.wearers import Wearer

EaseClass = Literal["very_close", "close", "standard", "loose", "oversized"]

CLASSES_FROM_MEMORY: tuple[tuple[float, EaseClass], ...] = (
    (0.0, "very_close"),
    (2.0, "close"),
    (4.0, "standard"),
    (6.0, "loose"),
)
"""Upper ends of the ease classes, round the chest [in]; 6 in and more is oversized.
From memory of a yarn-craft industry standard: to be verified before it is shown as the standard's."""


@frozen
class Ease:
    """Ease at one point.

    ease  garment less body [mm]: round at round measures, as it is at widths and lengths
    code  class of the ease round the chest; empty at every other point
    """

    key: str
    ease: Estimate
    code: EaseClass | Literal[""] = ""


def ease_class(chest_ease_mm: float) -> EaseClass:
    """Return the class of an ease round the chest [mm]."""
    return next((name for below, name in CLASSES_FROM_MEMORY if chest_ease_mm / INCH_MM < below), "oversized")


def ease_of(flat_mm: Mapping[str, Estimate], wearer: Wearer) -> tuple[Ease, ...]:
    """Ease at every point that both the garment and the body have, in the order of the catalogue.

    flat_mm  the finished garment's flat figures, measured or wanted [mm]
    wearer   body readings: round at chest, waist, hem, upper arm, cuff
    """
    eases = []
    for key in sorted(flat_mm.keys() & wearer.body.keys(), key=ORDER.__getitem__):
        body = taped(wearer.body[key])
        if body is None:
            continue
        times = 2.0 if POINTS[key].flat else 1.0
        ease = combine(flat_mm[key], body.estimate, weights=(times, -1.0))
        eases.append(Ease(key, ease, ease_class(ease.value) if key == "chest" else ""))
    return tuple(eases)
