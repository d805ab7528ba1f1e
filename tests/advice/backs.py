"""Simulated backs for the tests of the decision: counts, usual sizes, and a state with given differences."""

from __future__ import annotations

import numpy as np

from fitcheck.advice.decide.remedies import DecisionPoint, DecisionState
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


def back(differences: dict[str, float] | None = None, u: float = 2.0, **more: object) -> DecisionState:
    """A back with the given differences from wanted [mm], each known to u [mm]."""
    differences = differences or {}
    points = tuple(
        DecisionPoint(
            key,
            POINTS[key].direction,
            differences.get(key, 0.0),
            wanted_mm(key) + differences.get(key, 0.0),
            POINTS[key].tolerance,
            POINTS[key].weight,
            SIZES[POINTS[key].direction],
            count,
            make_up=POINTS[key].make_up,
            readings_needed=2,
        )
        for key, count in COUNTS.items()
    )
    return DecisionState(points, np.diag([max(u, 1e-6) ** 2] * len(points)), **more)  # type: ignore[arg-type]
