"""Simulated backs for the tests of the decision: counts, usual sizes, and a state with given differences."""

from __future__ import annotations

import numpy as np

from fitcheck.advice.decide.state import DecisionPoint, DecisionState, Other
from fitcheck.records.points import POINTS

STITCH_MM, ROW_MM = 4.4, 3.1
COUNTS = {
    "hem": 120,
    "to_underarm": 122,
    "chest": 120,
    "shoulder_width": 94,
    "armhole_depth": 66,
    "neck_width": 38,
    "body_length": 195,
}
SIZES = {"across": STITCH_MM, "along": ROW_MM}


def wanted_mm(key: str) -> float:
    return COUNTS[key] * SIZES[POINTS[key].direction]


def shared(key: str, front: Other | None = None) -> dict[str, object]:
    """The front that is still to come at the widths that it shares, knitted like the back where nobody planned it."""
    make_up = POINTS[key].make_up
    if make_up is None or make_up.by != "other_body_piece":
        return {}
    return {"share": 0.5, "others": (front or Other("front", 0.5, wanted_mm(key)),)}


def back(
    differences: dict[str, float] | None = None,
    u: float = 2.0,
    *,
    planned: dict[str, int] | None = None,
    counted: bool = True,
    **more: object,
) -> DecisionState:
    """A back with the given differences from wanted [mm], each known to u [mm]; its front is still to come.

    planned  stitches that somebody planned for the front
    """
    differences, planned = differences or {}, planned or {}
    points = tuple(
        DecisionPoint(
            key,
            POINTS[key].direction,
            differences.get(key, 0.0),
            wanted_mm(key) + differences.get(key, 0.0),
            POINTS[key].tolerance,
            POINTS[key].weight,
            (wanted_mm(key) + differences.get(key, 0.0)) / count if counted else None,
            count if counted else None,
            make_up=POINTS[key].make_up,
            readings_needed=2,
            **shared(key, Other("front", 0.5, wanted_mm(key), planned=planned.get(key))),
        )
        for key, count in COUNTS.items()
    )
    return DecisionState(points, np.diag([max(u, 1e-6) ** 2] * len(points)), **more)  # type: ignore[arg-type]
