"""A front as it stands on a sheet: 118 stitches, divided at row 152, the right half from 152 again. Figures invented.

4.48 x 3.15 mm; widened to 126, 5 off at 108 and 109, 94 stitches from row 129; neck of 12 stitches in the centre, 2 at
once, then 2 every row, 6 every 2nd and 2 every 4th; shoulders of 29 in five groups. Where a transfer is at an edge,
three loops move.
"""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.knitting.needles import Span
from fitcheck.knitting.plan import At, Event, Part, Plan
from fitcheck.records.written_sheets import Act


def acts(part: str, do: Act, at: At, counters: Iterable[int], stitches: int = 1, name: str = "") -> list[Event]:
    inset = 3 if do in ("widen", "narrow") else 0
    return [Event(part, counter, do, at, stitches, inset, name) for counter in counters]


def half(part: str, neck: At, arm: At, first: int) -> list[Event]:
    """The acts of one half, from the first of its neck on; it ends 32 rows later."""
    return [
        *acts(part, "cast_off", neck, [first], 2),
        *acts(part, "narrow", neck, [first + 1, first + 2, *range(first + 4, first + 15, 2), first + 18, first + 22]),
        *acts(part, "rest", arm, range(first + 24, first + 31, 2), 6),
        *acts(part, "wake", "all", [first + 32], 24),
        *acts(part, "park", "all", [first + 32], 29, f"{arm}_shoulder"),
    ]


def front() -> Plan:
    body = [
        *acts("body", "cast_on", "all", [0], 118),
        *acts("body", "widen", "both", [25, 50, 75, 100]),
        *acts("body", "mark", "both", [100], 0, "chest"),
        *acts("body", "cast_off", "left", [108], 5),
        *acts("body", "cast_off", "right", [109], 5),
        *acts("body", "narrow", "both", [110, 111, *range(113, 130, 2)]),
        *acts("body", "park", "right", [152], 41, "right_half"),
        *acts("body", "park", "right", [152], 12, "neck"),
    ]
    second = [
        *acts("second_half", "take_back", "all", [152], 41, "right_half"),
        *half("second_half", "left", "right", 154),
        *acts("second_half", "weigh", "all", [186], 0),
    ]
    return Plan(
        "front",
        Span(-59, 58),
        (
            Part("body", 0, "left", 152, tuple(body)),
            Part("first_half", 152, "left", 185, tuple(half("first_half", "right", "left", 153))),
            Part("second_half", 152, "left", 186, tuple(second), "right_half"),
        ),
        ends={"left_shoulder": 29, "right_shoulder": 29, "neck": 12},
        drops={"left_shoulder": 8, "right_shoulder": 8},
    )
