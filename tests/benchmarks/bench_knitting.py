"""How long the plans, sheets and replay of one whole sweater take, in processor time: the least of many.

    python tests/benchmarks/bench_knitting.py

The sweater is invented, 4.48 x 3.15 mm: a back straight across its neck, a divided front, two sleeves with a cap. The
caps' search keeps its grid of counts, as a service that runs does; curves are worked out anew each time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from fitcheck.knitting import shaping
from fitcheck.knitting.cap import cap_shapings
from fitcheck.knitting.counts import BodyCounts, Choices, Fabric, SleeveCounts
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan, mirrored
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import sheet

FABRIC = Fabric(4.48, 3.15)
BACK = BodyCounts(118, 120, 108, 94, 69, 36, 0, 5, FABRIC)
FRONT = BodyCounts(118, 126, 108, 94, 69, 36, 33, 5, FABRIC)
SLEEVE = SleeveCounts(52, 82, 116, FABRIC, 5, 470.117)
NO_CAP = (82, 5, 250.0, 4.48, 3.15)
NEEDLES = 180


def least_ms(work: Callable[[], object], times: int = 40) -> float:
    """Processor time of the quickest of many [ms]."""
    work()  # the first call pays for imports
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(1000 * (time.process_time() - start))
    return min(taken)


def bodies() -> tuple[Plan, Plan]:
    """Back and front, with curves that nobody worked out before."""
    shaping._curved.cache_clear()
    return planned("back", BACK, Choices(first="right")), planned("front", FRONT, Choices())


def planned(kind, counts, choices) -> Plan:  # type: ignore[no-untyped-def]
    """A plan that is one."""
    plan = plan_piece(kind, counts, choices)
    assert isinstance(plan, Plan), plan
    return plan


def main() -> None:
    """Print every figure with its aim."""
    sleeve = planned("left_sleeve", SLEEVE, Choices())
    plans = (*bodies(), sleeve, mirrored(sleeve))
    sheets = [sheet(plan) for plan in plans]
    rows = sum(sheet.head.rows for sheet in sheets)

    def knit() -> None:
        for plan, lines in zip(plans, sheets, strict=True):
            assert not replay(lines, needles=NEEDLES, ends=plan.ends, drops=plan.drops).faults

    replayed = least_ms(knit)
    written = least_ms(lambda: [sheet(plan) for plan in plans])
    print(f"a cap                     {least_ms(lambda: cap_shapings(82, 5, 470.117, 4.48, 3.15)):8.2f} ms  (aim 15)")
    print(f"ten caps that are refused {10 * least_ms(lambda: cap_shapings(*NO_CAP)):8.2f} ms  (aim 200)")
    print(f"back and front planned    {least_ms(bodies):8.2f} ms  (aim 8 each)")
    print(f"four sheets               {written:8.2f} ms")
    print(f"their replay, {rows} rows   {replayed:8.2f} ms  (aim 20 with the sheets)")
    print(f"replay                    {rows / replayed:8.0f} rows a millisecond  (aim 100)")


if __name__ == "__main__":
    main()
