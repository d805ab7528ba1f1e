"""From which dye lot each piece is knitted: the least likely lot to last is as likely as it can be.

Back and front lie side by side and both sleeves hang side by side, so a piece is knitted from one lot and the sleeves
count as one item; the other of two is knitted from the lot of the first. Lots that pieces are knitted from already
count as in use: another one is begun only where those may not last. Every assignment is looked at.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping, Sequence

from fitcheck.estimates.student import student_cdf
from fitcheck.estimates.yarn import YarnError
from fitcheck.records.frozen import frozen

LASTS = 0.9
"""Chance below which the yarn of a lot is not relied upon (common practice, no source)."""
SURELY = 0.95
"""Chance from which on a lot lasts surely enough: more does not pay for another lot (common practice, no source)."""
MOST_ASSIGNED = 100_000
"""Assignments that are looked at; more lots or pieces than that are refused."""
ALIKE = 1e-6
"""Difference of two chances that is none."""


@frozen
class Item:
    """A piece, or pieces that hang side by side.

    key    its name;  grams: needed [g];  u: SD of its own [g]
    beside  lot of the piece that it hangs beside, where that is knitted already; empty without
    """

    key: str
    grams: float
    u: float
    beside: str = ""


@frozen
class LotPlan:
    """Which item is knitted from which lot.

    lots       lot of each item, by its key; empty where no lot is likely to last for its items
    chance     the least chance of a lot to last for its items [0 to 1]
    alternate  no assignment is likely enough: two rows from one lot, two from the other, in every piece
    """

    lots: Mapping[str, str]
    chance: float
    alternate: bool


def lot_plan(
    needed: Sequence[Item],
    lots: Mapping[str, float],
    *,
    common: float = 0.0,
    dof: float = math.inf,
    used: Collection[str] = (),
) -> LotPlan:
    """The assignment with the largest least chance; from `SURELY` on the chances are alike.

    Among equals first the other of two from the lot of the first, then the fewest lots, then the most left whole.

    needed  items
    lots    grams on hand of each lot [g]
    common  relative SD that all items share (of grams per stitch);  dof: degrees of freedom
    used    lots that pieces are knitted from already
    Raises YarnError where there is no lot, or so many that not every assignment can be looked at.
    """
    if not lots or len(lots) ** len(needed) > MOST_ASSIGNED:
        raise YarnError(
            f"lots: read {len(lots)} for {len(needed)} items; one lot or more, and at most {MOST_ASSIGNED} ways to "
            "share them out, are accepted. Join small lots, or count pieces that go together as one."
        )
    best: tuple[tuple[float, int, int, float, float], float, Mapping[str, str]] | None = None
    for names in itertools.product(lots, repeat=len(needed)):
        of_lot: dict[str, list[Item]] = {}
        for item, name in zip(needed, names, strict=True):
            of_lot.setdefault(name, []).append(item)
        spare = [_spare(lots[name], items, common) for name, items in of_lot.items()]
        least = min(spare, default=math.inf)
        chance = student_cdf(least, dof) if math.isfinite(least) else 1.0
        whole = max((grams for name, grams in lots.items() if name not in of_lot), default=0.0)
        apart = sum(item.beside not in ("", name) for item, name in zip(needed, names, strict=True))
        alike = min(SURELY, round(chance / ALIKE) * ALIKE)
        rank = (alike, -apart, -len({*of_lot, *used}), whole, least)
        if best is None or rank > best[0]:
            best = rank, chance, {item.key: name for item, name in zip(needed, names, strict=True)}
    assert best is not None
    _, chance, shared = best
    likely = chance >= LASTS
    return LotPlan(shared if likely else {}, chance, not likely)


def _spare(hand_g: float, items: Sequence[Item], common: float) -> float:
    """What a lot has over its items, in SDs."""
    grams = math.fsum(item.grams for item in items)
    u = math.hypot(common * grams, *(item.u for item in items))
    if u == 0:
        return math.inf if hand_g >= grams else -math.inf
    return (hand_g - grams) / u
