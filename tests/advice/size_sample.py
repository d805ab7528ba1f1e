"""An invented make with a size table, everything changeable by the test, and a fabric of a known size."""

from __future__ import annotations

import json
from typing import Any

from fitcheck.estimates.fabric.assumptions import Assumptions, Prior
from fitcheck.estimates.fabric.fit import Fabric, fit_fabric
from fitcheck.estimates.fabric.specimens import Specimen, SpecimenStage
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.households import FORMAT, Household

SURE = Assumptions(
    shift_across=Prior(0.0, 1e-6),
    shift_along=Prior(0.0, 1e-6),
    tau_scale=1e-5,
    tau_change_scale=1e-5,
    local_sd=1e-6,
)
"""A fabric that comes out as its swatch did, to a millionth: for tests of the arithmetic."""


def household(
    sizes: dict[str, dict[str, dict[str, Any]]],
    numbers: dict[str, Any] | None = None,
    *,
    table: dict[str, Any] | None = None,
    machine: dict[str, Any] | None = None,
    others: dict[str, Any] | None = None,
    **make: Any,
) -> Household:
    """Build it: sizes by name, then piece, then point, as (printed cm, count); lengths in cm."""
    typed = [
        {
            "name": name,
            "pieces": {
                piece: {
                    key: {
                        **({"measure": cell[0]} if cell[0] is not None else {}),
                        **({"count": cell[1]} if cell[1] is not None else {}),
                    }
                    for key, cell in cells.items()
                }
                for piece, cells in pieces.items()
            },
        }
        for name, pieces in sizes.items()
    ]
    tables = [{"id": "pattern", "name": "a pattern", "sizes": typed, **(table or {})}] if sizes else []
    return Household.model_validate_json(
        json.dumps(
            {
                "fitcheck": FORMAT,
                "unit": "cm",
                "invented": True,
                "size_tables": tables,
                "machines": [machine] if machine else [],
                "makes": [
                    {
                        "id": "blue",
                        "name": "blue pullover",
                        **({"size_table": "pattern"} if sizes else {}),
                        **({"machine": machine["id"]} if machine else {}),
                        **({"fits": {"numbers": numbers}} if numbers else {}),
                        **make,
                    }
                ],
                **(others or {}),
            }
        ),
        context={"unit": "cm"},
    )


def fabric(
    stitch_mm: float, row_mm: float | None = None, *, u: float = 1e-6, assumptions: Assumptions = SURE
) -> Fabric:
    """One washed and blocked swatch of a known stitch and row."""
    along = None if row_mm is None else Estimate(row_mm, row_mm * u)
    blocked = SpecimenStage("blocked", Estimate(stitch_mm, stitch_mm * u), along)
    return fit_fabric([Specimen("swatch", 7.0, False, (blocked,))], assumptions)


def body(chest: float | None, count: int | None, **more: Any) -> dict[str, dict[str, Any]]:
    """A back and a front alike."""
    return {piece: {"chest": (chest, count), **more} for piece in ("back", "front")}
