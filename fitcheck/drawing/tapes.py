"""Where the tape lies for each point of measure on an outline, and the order of the points along the body."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from fitcheck.drawing.outline import Outline, flat
from fitcheck.drawing.svg import Point
from fitcheck.records.points import ORDER

_TOP_DOWN = (
    "neck_width",
    "neck_inside",
    "back_neck_drop",
    "neck_depth",
    "shoulder_seam",
    "shoulder_drop",
    "shoulder_width",
    "sleeve_length",
    "cap_height",
    "armhole_depth",
    "armhole_from_neck",
    "armhole_diagonal",
    "armhole_edge",
    "panel_width",
    "upper_arm",
    "chest",
    "waist",
    "to_underarm",
    "body_length",
    "centre_back",
    "sleeve_to_underarm",
    "panel_length",
    "cuff",
    "hem",
)


@dataclass(frozen=True, slots=True)
class Tape:
    """One tape as laid [mm on the piece].

    line  its points; two for a straight tape
    ends  where it begins and ends: the corner or level that a difference shows at is the last one
    """

    key: str
    line: tuple[Point, ...]

    @property
    def ends(self) -> tuple[Point, Point]:
        """First and last point."""
        return self.line[0], self.line[-1]

    @property
    def lies(self) -> str:
        """across (level), along (upright) or edge (along an edge or slanting)."""
        (x1, y1), (x2, y2) = self.ends
        if len(self.line) == 2 and y1 == y2:
            return "across"
        return "along" if len(self.line) == 2 and x1 == x2 else "edge"


def in_order(keys: Iterable[str]) -> list[str]:
    """Keys of points from the top of the body down: the order of the figures in the keys of a drawing."""
    place = {key: at for at, key in enumerate(_TOP_DOWN)}
    return sorted(keys, key=lambda key: (place.get(key, len(place)), ORDER.get(key, len(ORDER))))


def key_figures(keys: Iterable[str]) -> dict[str, int]:
    """The figure that joins each point on a drawing to its line in the list."""
    return {key: at for at, key in enumerate(in_order(keys), start=1)}


def tape_of(outline: Outline, key: str) -> Tape | None:
    """The tape of a point on an outline; None where the outline has no such place."""
    c = outline.corners
    left = -1.0 if outline.mirrored else 0.0

    def across(half: float, y: float) -> Tape:
        return Tape(key, ((left * half, y), (half, y)))

    def along(x: float, top: float, bottom: float) -> Tape:
        return Tape(key, ((x, top), (x, bottom)))

    side = -1.0 if outline.mirrored else 1.0
    end = c["H"][1]
    if key in ("hem", "cuff"):
        return across(*c["H"])
    if key in ("chest", "upper_arm", "panel_width"):
        return across(*c["C"])
    inner = 0.8 * min(c["C"][0], c["H"][0])
    if key == "panel_length":
        return along(side * inner / 2, 0.0, end)
    if outline.kind == "sleeve":
        # Beside the middle, which the length takes; a folded sleeve's middle is its edge, so further in.
        beside = 0.16 if outline.mirrored else 0.28
        levels = {
            "sleeve_length": (0.0, 0.0, end),
            "sleeve_to_underarm": (side * 0.75 * c["H"][0], c["U"][1], end),
            "cap_height": (beside * c["U"][0], 0.0, c["U"][1]),
        }
        return along(*levels[key]) if key in levels else None
    if outline.kind == "panel":
        return None
    return _on_body(outline, key, across, along, side, inner)


def _on_body(
    outline: Outline,
    key: str,
    across: Callable[[float, float], Tape],
    along: Callable[[float, float, float], Tape],
    side: float,
    inner: float,
) -> Tape | None:
    c = outline.corners
    under, end, depth = c["U"][1], c["H"][1], c["K"][1]
    match key:
        case "neck_width":
            return across(*c["N"])
        case "neck_inside":
            # Above the outline, so that it does not lie on the tape from seam to seam.
            return across(outline.measures.get("neck_inside", 2 * c["N"][0]) / 2, -12.0)
        case "shoulder_width":
            return across(*c["T"])
        case "waist" if "W" in c:
            return across(*c["W"])
        case "armhole_depth":
            return along(side * c["T"][0], c["T"][1], under)
        case "armhole_from_neck":
            return along((c["N"][0] + c["T"][0]) / 2, 0.0, under)
        case "shoulder_drop":
            return along(side * c["T"][0], 0.0, c["T"][1])
        case "to_underarm":
            return along(side * inner, under, end)
        case "body_length":
            return along(side * c["N"][0], 0.0, end)
        case "centre_back":
            return along(0.0, depth, end)
        case "back_neck_drop" | "neck_depth":
            return along(0.0, 0.0, depth)
        case "shoulder_seam":
            return Tape(key, (c["N"], c["T"]))
        case "armhole_diagonal":
            return Tape(key, (c["T"], c["U"]))
        case "armhole_edge":
            line = [point for one in outline.stretches if one.name.startswith("armhole") for point in flat(one, 16)]
            return Tape(key, tuple(dict.fromkeys(line)))
    return None
