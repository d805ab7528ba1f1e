"""How long the drawings take: the overlay and a ruler per point against the report that they draw, sheet, garment.

python tests/benchmarks/bench_drawing.py
"""

from __future__ import annotations

import time
from collections.abc import Callable
from importlib.resources import files

from fitcheck.drawing.garments import garment_drawing
from fitcheck.drawing.overlay import overlay
from fitcheck.drawing.rulers import ruler, span_of
from fitcheck.drawing.sheet import sheet
from fitcheck.estimates.numbers import Quantity
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report


def best_ms(work: Callable[[], object], times: int = 40) -> float:
    """Best time of a call [ms]."""
    taken = []
    for _ in range(times):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return 1000 * min(taken)


def drawn(found: Report) -> None:
    """Draw one report as its page does."""
    overlay(found, "cm", ids="speed")
    span = span_of(found.points, "cm")
    for one in found.points:
        ruler(one, "cm", span)


GARMENT = {
    "neck_width": 170.0,
    "shoulder_width": 410.0,
    "shoulder_drop": 25.0,
    "armhole_depth": 210.0,
    "chest": 520.0,
    "hem": 500.0,
    "body_length": 615.0,
    "upper_arm": 180.0,
    "cuff": 110.0,
    "cap_height": 134.0,
    "sleeve_length": 580.0,
}
"""An invented garment, widths flat [mm]."""


def main() -> None:
    """Print the times, and the ratio to the report."""
    raw = (files("demo_garments") / "household.json").read_bytes()
    found = report(raw, make="blue_cotton_pullover")
    drawing, answering = best_ms(lambda: drawn(found)), best_ms(lambda: report(raw, make="blue_cotton_pullover"), 10)
    print(f"overlay and {len(found.points)} rulers   {drawing:6.2f} ms   {drawing / answering:.2f} of the report")
    print(f"the report itself      {answering:6.2f} ms")
    print(f"the printed sheet      {best_ms(lambda: sheet(found, 'cm')):6.2f} ms")
    read = {key: Quantity(mm, mm - 3.0, mm + 3.0, 0.9, 1.8, None, "mm") for key, mm in GARMENT.items()}
    garment = best_ms(lambda: garment_drawing(read, "cm", "A garment with its tapes."))
    print(f"a garment and sleeve   {garment:6.2f} ms")


if __name__ == "__main__":
    main()
