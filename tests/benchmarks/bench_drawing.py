"""How long the drawings of a make take: the overlay and a ruler per point, against the report that they draw.

python tests/benchmarks/bench_drawing.py
"""

from __future__ import annotations

import time
from collections.abc import Callable
from importlib.resources import files

from fitcheck.drawing.overlay import overlay
from fitcheck.drawing.rulers import ruler, span_of
from fitcheck.report import Report, report


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


def main() -> None:
    """Print the times and their ratio."""
    raw = (files("demo_garments") / "household.json").read_bytes()
    found = report(raw, make="blue_cotton_pullover")
    drawing, answering = best_ms(lambda: drawn(found)), best_ms(lambda: report(raw, make="blue_cotton_pullover"), 10)
    print(f"overlay and {len(found.points)} rulers   {drawing:6.2f} ms   {drawing / answering:.2f} of the report")
    print(f"the report itself      {answering:6.2f} ms")


if __name__ == "__main__":
    main()
