"""How long a make's fabric takes from the records to the answer, as ratios to its budget.

Run it from the top folder:  python tests/benchmarks/bench_fabric_of.py
The household is simulated: 12 swatches at 3 stages with 6 readings each way, 5 pieces, a size table. Times are
medians; a ratio under 1 means faster than what stands after "to".
"""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np

from fitcheck.advice.fabric.of_make import fabric_of
from fitcheck.records.households import FORMAT, Household
from fitcheck.reports.given import given_of, hands_of
from fitcheck.reports.parts import fabric_told
from fitcheck.reports.steps import steps

BUDGET_MS = 20.0
"""Records to answer, the records already read."""
STAGES = {"off_machine": (1.0, 1.12), "rested": (1.02, 1.05), "blocked": (1.0, 1.0)}
PIECES: dict[str, dict[str, int]] = {
    "back": {"chest": 120, "hem": 118, "shoulder_width": 94, "armhole_depth": 66, "body_length": 190},
    "front": {"chest": 120, "hem": 118, "armhole_depth": 66, "body_length": 190},
    "left_sleeve": {"upper_arm": 82, "cuff": 50, "sleeve_length": 165, "cap_height": 42},
    "right_sleeve": {"upper_arm": 82, "cuff": 50, "sleeve_length": 165, "cap_height": 42},
    "side_panel": {"panel_width": 20, "panel_length": 130},
}
ALONG = ("armhole_depth", "body_length", "sleeve_length", "cap_height", "panel_length")


def simulated() -> Household:
    """The household."""
    rng = np.random.default_rng(1)

    def read(mm: float) -> list[dict[str, Any]]:
        return [{"text": f"{mm + rng.normal():.1f} mm", "laying": k + 1} for k in range(6)]

    swatches = []
    for k in range(12):
        dial = (6, 7, 8)[k % 3]
        size = (1 + 0.07 * (dial - 7)) * np.exp(0.01 * rng.normal(size=2))
        stages = [
            {"kind": kind, "across": read(176 * across * size[0]), "along": read(186 * along * size[1])}
            for kind, (across, along) in STAGES.items()
        ]
        one = {"id": f"s{k}", "dial": str(dial), "stitches": {"count": 40}, "rows": {"count": 60}}
        swatches.append({**one, "stages": stages})
    pieces = [
        {
            "id": kind,
            "piece": kind,
            "dial": "7",
            "counts": counts,
            "stages": [
                {
                    "kind": "blocked",
                    "readings": {key: read(n * (3.1 if key in ALONG else 4.4)) for key, n in counts.items()},
                }
            ],
        }
        for kind, counts in PIECES.items()
    ]
    sizes = [
        {"name": str(k), "pieces": {"back": {"chest": {"measure": 46 + 4 * k, "count": 104 + 8 * k}}}} for k in range(6)
    ]
    gauge = {"stitches": 22, "rows": 30, "over": "10 cm"}
    make = {"id": "m", "name": "m", "machine": "bed", "size_table": "t", "size": "1", "pieces": pieces}
    data = {
        "fitcheck": FORMAT,
        "unit": "cm",
        "machines": [{"id": "bed", "name": "bed", "needles": 200}],
        "swatches": swatches,
        "size_tables": [{"id": "t", "name": "t", "gauge": gauge, "sizes": sizes}],
        "makes": [{**make, "swatches": [one["id"] for one in swatches]}],
    }
    return Household.model_validate_json(json.dumps(data), context={"unit": "cm"})


def median_ms(work: Callable[[], object], times: int = 25) -> float:
    """Median time of a call [ms], after one call to warm up."""
    work()
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - start))
    return statistics.median(taken)


def main() -> None:
    """Print the table."""
    home = simulated()
    make = home.makes[0]
    given = given_of(make, home)
    pool = hands_of(given).tape
    for name, work in (
        ("pool of the tape", lambda: hands_of(given)),
        ("records to a fitted fabric", lambda: fabric_of(make, home, pool)),
        ("records to the whole answer", lambda: fabric_told(steps(given_of(make, home)))),
    ):
        taken = median_ms(work)
        print(f"{name}: {taken:.1f} ms, {taken / BUDGET_MS:.2f} to the budget of {BUDGET_MS:g} ms")


if __name__ == "__main__":
    main()
