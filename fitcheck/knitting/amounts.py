"""How much knitting a plan is: its rows and the loops in them, reckoned from its acts without writing a sheet."""

from __future__ import annotations

from typing import NamedTuple

from fitcheck.knitting.plan import Event, Plan


class Amount(NamedTuple):
    """Rows that are knitted, short ones too [rows], and loops in them [loops]."""

    rows: int
    loops: int


class _Bed(NamedTuple):
    """Stitches in work, and those that rest at either end."""

    working: int = 0
    left: int = 0
    right: int = 0


def amount_of(plan: Plan) -> Amount:
    """Rows and loops of a piece or a band; what its sheet comes to, which follows the needles.

    loops = sum of (rows between two acts) x (stitches in work between them)
    """
    rows = loops = 0
    bed = _Bed()
    parked: dict[str, _Bed] = {}
    for part in plan.parts:
        counter = part.start
        for event in part.events:
            if event.counter > counter:
                rows += event.counter - counter
                loops += (event.counter - counter) * bed.working
                counter = event.counter
            if event.do == "take_back":
                bed = parked.pop(event.name, _Bed())
            elif event.do in ("park", "cast_off_all"):
                off = _taken(bed, event)
                parked[event.name] = off
                bed = _Bed(bed.working - off.working, bed.left - off.left, bed.right - off.right)
            else:
                bed = _after(bed, event)
        rows += part.end - counter
        loops += (part.end - counter) * bed.working
    return Amount(rows, loops)


def _after(bed: _Bed, event: Event) -> _Bed:
    """The bed after an act that takes no group off it."""
    working, left, right = bed
    stitches = event.stitches
    match event.do:
        case "cast_on" | "hang":
            return _Bed(stitches)
        case "widen" | "widen_edge" | "add":
            return _Bed(working + (2 * stitches if event.at == "both" else stitches), left, right)
        case "narrow" | "cast_off":
            return _Bed(working - (2 * stitches if event.at == "both" else stitches), left, right)
        case "rest" if event.at == "both":
            return _Bed(working - 2 * stitches, left + stitches, right + stitches)
        case "rest" if event.at == "left":
            return _Bed(working - stitches, left + stitches, right)
        case "rest":
            return _Bed(working - stitches, left, right + stitches)
        case "wake":
            return _Bed(working + left + right)
        case _:
            return bed


def _taken(bed: _Bed, event: Event) -> _Bed:
    """The group that an act takes off one end of the bed with what rests there, or all of it."""
    if event.at in ("left", "right") and event.stitches < sum(bed):
        left = min(bed.left, event.stitches) if event.at == "left" else 0
        right = min(bed.right, event.stitches) if event.at == "right" else 0
        return _Bed(event.stitches - left - right, left, right)
    return bed
