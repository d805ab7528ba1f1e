"""Lengths that are sums of parts: where a part gets other rows, the length over all gets them too (model 5, zones).

body length = length to underarm + armhole + what the shoulders slope,  sleeve length = to underarm + cap
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fitcheck.records.points import POINTS

PARTS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        key: tuple(
            part
            for part, own in POINTS.items()
            if own.direction == "along" and len(own.zones) == 1 and own.zones[0] in point.zones
        )
        for key, point in POINTS.items()
        if point.direction == "along" and len(point.zones) > 1
    }
)
"""Per length over all, the lengths that are one zone of it each."""
LOWEST = "below_underarm"
"""The zone that ends at the lower end: rows off or on there are rows of it."""


def above(key: str) -> tuple[str, ...]:
    """The parts of a length over all that lie above the underarm; none of a length that is no sum."""
    return tuple(part for part in PARTS.get(key, ()) if LOWEST not in POINTS[part].zones)


def more_rows(parts: tuple[str, ...], now: Mapping[str, int], before: Mapping[str, int]) -> int:
    """How many more rows some parts have than before [rows], as far as both are known."""
    return sum(now[part] - before[part] for part in parts if part in now and part in before)
