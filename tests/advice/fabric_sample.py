"""An invented fabric of a known size, its swatches and pieces as a knitter would write them down."""

from __future__ import annotations

import json
from copy import deepcopy
from typing import Any

from fitcheck.advice.fabric.of_make import FabricOf, fabric_of
from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.records.households import FORMAT, Household
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told
from fitcheck.reports.steps import steps

STITCH, ROW = 4.40, 3.10
"""A fabric at dial 7, blocked [mm]."""
SLOPE = 0.07
BEFORE = {"off_machine": (1.03, 1.12), "rested": (1.02, 1.05), "blocked": (1.0, 1.0), "hung": (0.99, 1.02)}
"""Size at a stage over the blocked size."""


def lines(mm: float, spread: float = 1.0) -> list[dict[str, Any]]:
    """Three readings about a length, each of its own laying."""
    return [{"text": f"{mm + d:.1f} mm", "laying": k + 1} for k, d in enumerate((-spread, 0.0, spread))]


def swatch(key: str = "one", dial: str | None = "7", at: float = 7.0, *stages: str, **more: Any) -> dict[str, Any]:
    """A swatch of 40 stitches and 60 rows, right for the dial at which it was knitted."""
    size = 1 + SLOPE * (at - 7)
    read = [
        {
            "kind": kind,
            "across": lines(40 * STITCH * size * BEFORE[kind][0]),
            "along": lines(60 * ROW * size * BEFORE[kind][1]),
        }
        for kind in stages or ("blocked",)
    ]
    found = {"id": key, "stitches": {"count": 40}, "rows": {"count": 60}, "stages": read, **more}
    return found if dial is None else {"dial": dial, **found}


def back(key: str = "back", stage: str = "blocked", wider: float = 1.0, **more: Any) -> dict[str, Any]:
    """A back of 120 stitches and 180 rows, at dial 7."""
    across, along = BEFORE[stage]
    read = {
        "chest": lines(120 * STITCH * wider * across),
        "shoulder_width": lines(94 * STITCH * wider * across),
        "armhole_depth": lines(66 * ROW * along),
    }
    counts = {"chest": 120, "shoulder_width": 94, "armhole_depth": 66}
    stages = [{"kind": stage, "readings": read}]
    return {"id": key, "piece": "back", "dial": "7", "counts": counts, "stages": stages, **more}


def household(
    *swatches: dict[str, Any], pieces: Any = (), makes: Any = (), table: Any = None, machine: Any = None, **make: Any
) -> Household:
    """A household with one make of these swatches and pieces; keys that a field names are made up as needed."""
    made = {"id": "blue", "name": "blue pullover", "swatches": [one["id"] for one in swatches], "pieces": list(pieces)}
    if table is not None:
        made |= {"size_table": "pattern"}
    bed = {"id": "bed", "name": "the bed", "needles": 200, **(machine or {})}
    data = {
        "fitcheck": FORMAT,
        "unit": "cm",
        "invented": True,
        "yarns": [
            {"id": "wool", "name": "wool", "fibres": [{"fibre": "wool", "percent": 100}]},
            {"id": "other", "name": "other"},
        ],
        "machines": [bed, {"id": "fine", "name": "fine", "needles": 250}],
        "swatches": [deepcopy(one) for one in swatches],
        "size_tables": [{"id": "pattern", "name": "a pattern", **table}] if table else [],
        "makes": [{**made, "machine": "bed", "yarn": "wool", **make}, *makes],
    }
    return Household.model_validate_json(json.dumps(data), context={"unit": "cm"})


def of(*swatches: dict[str, Any], **more: Any) -> FabricOf:
    home = household(*swatches, **more)
    return fabric_of(home.makes[0], home)


def answered(*swatches: dict[str, Any], **more: Any) -> FabricAnswer:
    home = household(*swatches, **more)
    return fabric_told(steps(given_of(home.makes[0], home)))


TABLE = {
    "gauge": {"stitches": 22, "rows": 30, "over": "10 cm"},
    "print_step": "0.5 cm",
    "sizes": [
        {"name": "1", "pieces": {"back": {"chest": {"measure": 50, "count": 112}}}},
        {"name": "2", "pieces": {"back": {"chest": {"measure": 54, "count": 120}}}},
    ],
}
FOUR = [swatch("a", "6", 6.0), swatch("b", "7", 7.0), swatch("c", "8", 8.0), swatch("d", "7", 7.0)]
