"""Likely slips in what sizes are asked with: the chest against every size, and a count against the chest.

The rules of the records see one figure at a time; here the sizes stand beside the chest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Literal

from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.questions.known_gauge import digit_slips
from fitcheck.records.questions.usual import NEAR_WANTED, READ_ROUND

FAR_COUNT = 1.8
"""How many times wider or narrower than the chest a size may come out before its count is asked about [1] (assumed)."""


@frozen
class ChestSlip:
    """A chest that is twice or half as wide as every size.

    meant        what it was said to be: flat, and is likely round; or round, and is likely flat
    wanted_mm    the flat chest that was understood [mm]
    finished_mm  chests of the first sizes in this fabric, flat [mm]
    sizes        how many there are
    """

    meant: Literal["flat", "round"]
    wanted_mm: float
    finished_mm: tuple[float, ...]
    sizes: int


@frozen
class CountSlip:
    """A count far from the chest.

    meant        the slip of the finger that comes nearest; None where none brings it near
    finished_mm  what it comes out at, flat [mm];  wanted_mm  the chest
    """

    size: str
    count: int
    meant: int | None
    finished_mm: float
    wanted_mm: float


def chest_slip(answer: SizesAnswer, meant: Literal["flat", "round"]) -> ChestSlip | None:
    """Whether a chest is likely round where it was said to be flat, or flat where it was said to be round."""
    chests = list(_chests(answer))
    low, high = READ_ROUND
    times = [mm / wanted if meant == "round" else wanted / mm for _, mm, wanted in chests]
    if not chests or not all(low <= factor <= high for factor in times):
        return None
    widths = tuple(dict.fromkeys(mm for _, mm, _ in chests[:2]))
    return ChestSlip(meant, chests[0][2], widths, len(chests))


def count_slips(answer: SizesAnswer, counts: Mapping[str, int]) -> list[CountSlip]:
    """Counts far from the chest, each with the slip of the finger that brings it nearest.

    counts  stitches at the chest, by the name of the size
    """
    sizes = {name: (mm, wanted) for name, mm, wanted in _chests(answer)}
    counted = [(count, sizes[name][0]) for name, count in counts.items() if name in sizes]
    slips = []
    for name, count in counts.items():
        mm, wanted = sizes.get(name, (0.0, 0.0))
        if not mm or abs(math.log(mm / wanted)) <= math.log(FAR_COUNT):
            continue
        # A stitch is what one count more makes; the seams take the same from both.
        (first, first_mm), (last, last_mm) = counted[0], counted[-1]
        stitch = (first_mm - last_mm) / (first - last) if first != last else mm / count
        off = {other: abs(mm + (other - count) * stitch - wanted) for other in digit_slips(count)[0]}
        nearest = min(sorted(off), key=off.__getitem__)
        near = off[nearest] <= (NEAR_WANTED - 1) * wanted
        slips.append(CountSlip(name, count, nearest if near else None, mm, wanted))
    return slips


def _chests(answer: SizesAnswer) -> Iterator[tuple[str, float, float]]:
    """Every size whose chest is known: its name, finished and wanted [mm]."""
    for size in answer.sizes:
        width = size.width("chest")
        if width and not isinstance(width.finished, CannotSay) and not isinstance(width.wanted, CannotSay):
            yield size.name, width.finished.value, width.wanted.value
