"""How long the rest of a sweater takes: counts, a refusal, caps, sheets, their replay, and the report with all of it.

    python tests/benchmarks/bench_rest.py

Processor time, the least of many, of invented sweaters; every figure beside its aim. What a service keeps (curves and
caps that were worked out before) is forgotten before each round. Ratios are taken in turns: one round of each.
"""

from __future__ import annotations

import itertools
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from fitcheck.advice.rest.counts import counts_for_rest
from fitcheck.advice.rest.loss_table import fit_table, loss_table
from fitcheck.advice.rest.programme import Choice, Demand, Programme, Sum, candidates
from fitcheck.knitting import shaping
from fitcheck.knitting.cap import cap_shapings, fairest_cap
from fitcheck.knitting.cap_families import CapAsked, _every_edge
from fitcheck.knitting.counts import BodyCounts, Choices, Counts, Fabric, SleeveCounts
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan, mirrored
from fitcheck.knitting.replay import replay
from fitcheck.knitting.sheet import sheet
from fitcheck.records.files import open_household
from fitcheck.records.points import PieceKind
from fitcheck.reports.choose import chosen
from fitcheck.reports.shaped import shaped
from fitcheck.reports.steps import ORDER, steps
from fitcheck.reports.the_rest import TheRest, rest_told

DEMO = Path(__file__).parents[2] / "demo_garments" / "household.json"
MAKES = ("grey_pullover", "blue_cotton_pullover", "grey_cardigan")
"""Two pullovers and a cardigan of the invented household, their backs judged, the rest to come."""
W, H = 4.48, 3.15
FABRIC = Fabric(W, H)
BACK = BodyCounts(118, 120, 108, 94, 69, 36, 0, 5, FABRIC)
FRONT = BodyCounts(118, 126, 108, 94, 69, 36, 33, 5, FABRIC)
SLEEVE = SleeveCounts(52, 82, 116, FABRIC, 5, 470.117)
CAP = (82, 5, 470.117, W, H)
NO_CAP = (82, 5, 250.0, W, H)
NEEDLES = 180
KNITTED = {
    "back hem": 118,
    "back chest": 120,
    "back shoulders": 94,
    "back neck": 36,
    "back side": 108,
    "back armhole": 69,
}
WANTED_MM = {
    "front hem": 530.0, "front chest": 549.0, "front shoulders": 412.0, "front neck": 158.0,
    "front side": 341.0, "front armhole": 216.0, "front neck depth": 103.0, "panel width": 79.0, "panel length": 340.0,
    **{f"{side} {point}": mm for side in ("left", "right") for point, mm in
       (("cuff", 228.0), ("upper arm", 369.0), ("sleeve", 520.0), ("cap", 157.0))},
}  # fmt: skip
"""Seventeen counts of a front, a side panel and two sleeves beside a knitted back."""
ALONG = ("side", "armhole", "depth", "length", "sleeve", "cap")


def least_ms(work: Callable[[], object], times: int = 40) -> float:
    """Processor time of the quickest of many [ms]."""
    return least_of({"": work}, times)[""]


def least_of(works: Mapping[str, Callable[[], object]], times: int = 40) -> dict[str, float]:
    """Processor time of the quickest of many of each, one after the other in turns [ms]."""
    for work in works.values():
        work()  # the first call pays for imports
    taken: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(times):
        for name, work in works.items():
            start = time.process_time()
            work()
            taken[name].append(1000 * (time.process_time() - start))
    return {name: min(each) for name, each in taken.items()}


def forget() -> None:
    """As if no curve and no cap had been asked for before."""
    shaping._curved.cache_clear()
    fairest_cap.cache_clear()
    _every_edge.cache_clear()


# Counts


def count(key: str, wanted_mm: float) -> Choice:
    """A count with what each candidate is expected to lose, and how likely it fits."""
    size = H if key.endswith(ALONG) else W
    values = candidates(wanted_mm / size)
    known = {"wanted_mm": wanted_mm, "size_mm": size, "swallowed": 0, "u_size": 0.004, "u_wanted_mm": 1.5}
    losses = loss_table(values, **known, tolerance_mm=(10.0, 10.0))
    fits = fit_table(values, **known, tolerance_mm=(10.0, 10.0))
    return Choice(key, dict(zip(values, losses, strict=True)), dict(zip(values, fits, strict=True)))


def programme(*, possible: bool = True, beyond_the_scan: bool = False) -> Programme:
    """Five pieces: the knitted back stands; widths even, sides and shoulders as the back's, both sleeves alike.

    possible         else the front's chest is of repeats of 6 + 1 as well, and its neck is asked to be odd
    beyond_the_scan  any parity, the same for all widths of the front: more combinations than are looked at one by one
    """
    knitted = tuple(Choice(key, {stitches: 0.0}) for key, stitches in KNITTED.items())
    counts = tuple(count(key, mm) for key, mm in WANTED_MM.items())
    widths = ["front hem", "front chest", "front shoulders", "front neck"]
    demands = [
        Demand("side", "rows", {"front side": 1, "back side": -1}, within=2),
        Demand("panel's side", "rows", {"panel length": 1, "back side": -1}, within=2),
        Demand("armholes", "front_back", {"front armhole": 1, "back armhole": -1}, within=0),
        Demand("necks", "neck", {"front neck": 1, "back neck": -1}, within=0),
        Demand("shoulders", "shoulders", {"front shoulders": 1, "front neck": -1}, 58, within=0),
        *(
            Demand(f"both {point}", "front_back", {f"left {point}": 1, f"right {point}": -1}, within=0)
            for point in ("cuff", "upper arm", "sleeve", "cap")
        ),
    ]
    if beyond_the_scan:
        pairs = itertools.pairwise(widths)
        demands += [Demand(f"{one}, {other}", "parity", {one: 1, other: -1}, step=2) for one, other in pairs]
    else:
        demands += [Demand(f"{key} even", "parity", {key: 1}, step=2) for key in widths]
    if not possible:
        demands += [
            Demand("repeat", "repeat", {"front chest": 1}, 1, step=6),
            Demand("back neck", "neck", {"front neck": 1}, 35, within=0),
        ]
    around = Sum({"front chest": 1, "panel width": 2}, {total: 1e-4 * (total - 160) ** 2 for total in range(400)})
    return Programme((*knitted, *counts), (around,), tuple(demands))


def told_of_counts() -> None:
    """Before anything else, so that nothing else can have imported the integer programme."""
    five, refused = programme(), programme(possible=False)
    assert counts_for_rest(five).counts
    assert counts_for_rest(refused).to_lift
    print(f"{len(WANTED_MM)} counts of five pieces   {least_ms(lambda: counts_for_rest(five)):8.2f} ms  (aim 5)")
    print(f"  with their tables        {least_ms(lambda: counts_for_rest(programme())):8.2f} ms")
    print(f"a refusal with its ways out{least_ms(lambda: counts_for_rest(refused)):8.2f} ms  (aim 300)")
    imported = "scipy.optimize" in sys.modules
    print(f"  scipy.optimize imported  {'yes' if imported else 'no':>8s}     (aim no)")


def told_of_the_integer_programme() -> None:
    """What is beyond the scan: the answer is the same, and takes longer."""
    five, refused = (programme(possible=possible, beyond_the_scan=True) for possible in (True, False))
    assert counts_for_rest(five).counts
    assert counts_for_rest(refused).to_lift
    print(f"counts beyond the scan     {least_ms(lambda: counts_for_rest(five), 5):8.2f} ms")
    print(f"a refusal beyond it        {least_ms(lambda: counts_for_rest(refused), 5):8.2f} ms  (aim 300)")


# Plans, sheets, replay


def bodies() -> tuple[Plan, Plan]:
    """Back and front, with curves that nobody worked out before."""
    forget()
    return planned("back", BACK, Choices(first="right")), planned("front", FRONT, Choices())


def planned(kind: PieceKind, counts: Counts, choices: Choices) -> Plan:
    """A plan that is one."""
    plan = plan_piece(kind, counts, choices)
    assert isinstance(plan, Plan), plan
    return plan


def told_of_sheets() -> None:
    """Caps, plans, sheets and their replay."""
    sleeve = planned("left_sleeve", SLEEVE, Choices())
    plans = (*bodies(), sleeve, mirrored(sleeve))
    sheets = [sheet(plan) for plan in plans]
    rows = sum(sheet.head.rows for sheet in sheets)

    def fairest() -> None:
        forget()
        fairest_cap(CapAsked(*CAP))

    def ten_refused() -> None:
        forget()
        for more in range(10):
            fairest_cap(CapAsked(*NO_CAP[:2], NO_CAP[2] + more, W, H))

    def knit() -> None:
        for plan, lines in zip(plans, sheets, strict=True):
            assert not replay(lines, needles=NEEDLES, ends=plan.ends, drops=plan.drops).faults

    written, replayed = least_ms(lambda: [sheet(plan) for plan in plans]), least_ms(knit)
    print(f"the fairest cap            {least_ms(fairest):8.2f} ms  (aim 15)")
    print(f"every cap that goes in     {least_ms(lambda: cap_shapings(*CAP)):8.2f} ms")
    print(f"ten caps that are refused  {least_ms(ten_refused):8.2f} ms  (aim 200)")
    print(f"back and front planned     {least_ms(bodies):8.2f} ms  (aim 8 each)")
    print(f"four sheets and replay     {written + replayed:8.2f} ms  (aim 20; {rows} rows)")
    print(f"replay                     {1000 * rows / replayed:8,.0f} rows a second  (aim 100,000)")


# The report


def told_of_the_report(key: str) -> None:
    """The report of a make, how much longer it takes for the counts, seams and yarn in it, and with every sheet."""
    given = chosen(open_household(DEMO), key)

    told = steps(given)
    answered = rest_told(told)

    def report() -> None:
        forget()
        shaped(rest_told(steps(given)))

    def rest() -> TheRest:
        """What the report holds of the rest, alone: counts, plans, seams, yarn."""
        forget()
        anew = replace(told, counting=ORDER["counting"](told))
        return rest_told(replace(anew, to_knit=ORDER["to_knit"](anew), rest=ORDER["rest"](anew)))

    def sheets() -> None:
        for piece in answered.answer.pieces:
            answered.sheet(piece.kind)

    took = least_of({"report": report, "rest": rest, "sheets": sheets}, 25)
    without = took["report"] - took["rest"]
    print(f"{key:27s}{took['report']:8.2f} ms")
    print(f"  with counts, seams, yarn    {took['report'] / without:5.2f} times as long as without (aim 1.3)")
    print(f"  and with every sheet        {(took['report'] + took['sheets']) / without:5.2f} times as long (aim 2)")


def main() -> None:
    """Print every figure with its aim."""
    told_of_counts()
    told_of_sheets()
    for key in MAKES:
        told_of_the_report(key)
    told_of_the_integer_programme()


if __name__ == "__main__":
    main()
