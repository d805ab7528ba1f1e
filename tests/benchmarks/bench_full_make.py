"""How long the whole report of a full make takes, from the file's bytes to the report.

    python tests/benchmarks/bench_full_make.py            times, as ratios to the budget
    python tests/benchmarks/bench_full_make.py --profile  and where the time goes

The household is simulated: 12 swatches at 3 stages with 6 readings each way, a size table of 6 sizes, 5 pieces of
which the back is to be judged, a garment that fits. Parsing is in every time; importing is not.
"""

from __future__ import annotations

import cProfile
import json
import pstats
import statistics
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np

import fitcheck
from fitcheck.advice.fabric.of_make import fabric_of
from fitcheck.records.files import open_household
from fitcheck.records.households import FORMAT, Household
from fitcheck.reports.choose import chosen
from fitcheck.reports.given import hands_of
from fitcheck.reports.parts import fabric_told, sizes_told
from fitcheck.reports.shapes import Report
from fitcheck.reports.steps import steps
from fitcheck.words.data import json_text

BUDGET_MS = 40.0
"""The whole report, parsing included."""
READINGS = 6
W, H = 4.40, 3.10
"""Stitch width and row height of the simulated fabric at dial 7 [mm]."""
STAGES = {"off_machine": (1.03, 1.10), "rested": (1.02, 1.05), "blocked": (1.0, 1.0)}
PIECES: dict[str, dict[str, int]] = {
    "front": {"chest": 120, "hem": 118, "armhole_depth": 70, "body_length": 205},
    "left_sleeve": {"upper_arm": 84, "cuff": 52, "sleeve_length": 188, "cap_height": 45},
    "right_sleeve": {"upper_arm": 84, "cuff": 52, "sleeve_length": 188, "cap_height": 45},
    "side_panel": {"panel_width": 20, "panel_length": 128},
    "back": {
        "hem": 118, "to_underarm": 128, "chest": 120, "shoulder_width": 94, "armhole_depth": 70, "neck_width": 36,
        "body_length": 205,
    },
}  # fmt: skip
"""Knitted in this order, so that the back is the one to be judged."""
ALONG = ("to_underarm", "armhole_depth", "body_length", "sleeve_length", "cap_height", "panel_length")
FOLDED = ("upper_arm", "cuff")
"""Read flat on the garment, double on the piece."""
SIZES = 6


def simulated() -> bytes:
    """The household as a file, with real scatter (seeded)."""
    rng = np.random.default_rng(12)

    def read(mm: float) -> list[dict[str, Any]]:
        laid = mm * (1 + 0.002 * rng.standard_normal(READINGS)) + 1.5 * rng.standard_normal(READINGS)
        return [{"text": f"{one / 10:.1f}", "laying": k + 1} for k, one in enumerate(laid)]

    def true_mm(key: str, count: int) -> float:
        return count * (H if key in ALONG else W)

    swatches = []
    for k in range(12):
        dial = (6, 7, 8)[k % 3]
        size = (1 + 0.07 * (dial - 7)) * np.exp(0.008 * rng.standard_normal(2))
        stages = [
            {"kind": kind, "across": read(40 * W * across * size[0]), "along": read(60 * H * along * size[1])}
            for kind, (across, along) in STAGES.items()
        ]
        swatches.append(
            {
                "id": f"s{k}",
                "dial": str(dial),
                "yarn": "y",
                "machine": "bed",
                "stitches": {"count": 40},
                "rows": {"count": 60},
                "stages": stages,
            }
        )
    pieces = []
    for kind, counts in PIECES.items():
        readings = {key: read(true_mm(key, count)) for key, count in counts.items()}
        stage = {"kind": "blocked", "readings": readings}
        pieces.append({"id": kind, "piece": kind, "dial": "7", "counts": counts, "stages": [stage]})
    worn = {
        key: read((true_mm(key, count) - (0.0 if key in ALONG else 2 * W)) / (2 if key in FOLDED else 1))
        for counts in PIECES.values()
        for key, count in counts.items()
    }
    sizes = []
    for k in range(SIZES):
        part: dict[str, dict[str, dict[str, object]]] = {}
        for kind, counts in PIECES.items():
            if kind in ("right_sleeve", "side_panel"):
                continue
            cells: dict[str, dict[str, object]] = {}
            for key, count in counts.items():
                step = 0.06 * (k - 2)
                if key in ALONG:
                    cells[key] = {"measure": round(count * H / 10 * (1 + step / 3), 1)}
                else:
                    stitches = 2 * round(count * (1 + step) / 2)
                    flat = (stitches - 2) * W / 10 / (2 if key in FOLDED else 1)
                    cells[key] = {"measure": round(flat, 1), "count": stitches}
            part[kind] = cells
        sizes.append({"name": str(k + 1), "pieces": part})
    data = {
        "fitcheck": FORMAT,
        "unit": "cm",
        "yarns": [{"id": "y", "name": "wool", "fibres": [{"fibre": "wool", "percent": 100}]}],
        "machines": [{"id": "bed", "name": "bed", "needles": 200}],
        "garments": [
            {
                "id": "g",
                "name": "g",
                "construction": "side_panels",
                "occasions": [{"id": "o", "state": "washed_flat", "readings": worn}],
            }
        ],
        "swatches": swatches,
        "size_tables": [
            {"id": "t", "name": "t", "gauge": {"stitches": 22.7, "rows": 32.3, "over": "10 cm"}, "sizes": sizes}
        ],
        "makes": [
            {
                "id": "m",
                "name": "m",
                "construction": "side_panels",
                "panel_width": "7.9",
                "fits": {"garment": "g", "occasion": "o"},
                "yarn": "y",
                "machine": "bed",
                "size_table": "t",
                "size": "3",
                "swatches": [one["id"] for one in swatches],
                "pieces": pieces,
            }
        ],
    }
    return json.dumps(data).encode()


def best_and_median_ms(work: Callable[[], object], times: int = 25) -> tuple[float, float]:
    """Best and median time of a call [ms], after one call to warm up."""
    work()
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(1e3 * (time.perf_counter() - begin))
    return min(taken), statistics.median(taken)


def check(report: Report) -> None:
    """A report that leaves something out would be fast for nothing."""
    judged = [one.key for one in report.points]
    assert set(judged) == set(PIECES["back"]), judged
    assert report.fabric is not None, "no fabric in the report"
    assert report.sizes is not None, "no sizes in the report"
    assert not report.questions, report.questions


def main() -> None:
    """Print the table."""
    raw = simulated()
    report = fitcheck.report(raw)
    check(report)
    home: Household = open_household(raw)
    make = home.makes[0]
    told = steps(chosen(home))
    fabric = fabric_told(told)
    parts: tuple[tuple[str, Callable[[], object]], ...] = (
        ("the whole report, parsing included", lambda: fitcheck.report(raw)),
        ("  parsing and checking the file", lambda: open_household(raw)),
        ("  pool of the tape", lambda: hands_of(told.given)),
        ("  the fabric fitted", lambda: fabric_of(make, home, told.hands.tape)),
        ("  the steps", lambda: steps(told.given)),
        ("  the fabric answered", lambda: fabric_told(told)),
        ("  the sizes", lambda: sizes_told(told, fabric)),
        ("  the report as JSON", lambda: json_text(report)),
    )
    print(f"{len(raw) / 1024:.0f} kB, {raw.count(b'laying')} readings; best and median of 25")
    for name, work in parts:
        best, middle = best_and_median_ms(work)
        print(f"{name:36s} {best:7.1f} ms  {middle:7.1f} ms   {best / BUDGET_MS:5.2f} of {BUDGET_MS:g} ms")
    if "--profile" in sys.argv[1:]:
        profile = cProfile.Profile()
        profile.enable()
        for _ in range(10):
            fitcheck.report(raw)
        profile.disable()
        for order in ("cumulative", "tottime"):
            pstats.Stats(profile).strip_dirs().sort_stats(order).print_stats(45)


if __name__ == "__main__":
    main()
