"""What the tests of the drawings share: invented reports, SVG read back, boxes of its text."""

from __future__ import annotations

import random
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

from fitcheck.drawing.look import TEXT
from fitcheck.drawing.outline import Outline, Stretch
from fitcheck.estimates.numbers import Quantity
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import PointReport, Report
from tests.invented import report_of

Pair = tuple[float, float]
SVG = "{http://www.w3.org/2000/svg}"
DEMO = Path(__file__).resolve().parents[2] / "demo_garments" / "household.json"
BACK = {
    "neck_width": 170.0,
    "back_neck_drop": 20.0,
    "shoulder_width": 410.0,
    "shoulder_drop": 25.0,
    "armhole_depth": 210.0,
    "chest": 520.0,
    "hem": 500.0,
    "body_length": 615.0,
}
"""Measures of an invented back [mm]."""


def stretch(outline: Outline, name: str) -> Stretch:
    """The first stretch of a name."""
    return next(part for part in outline.stretches if part.name == name)


# Advance widths of DejaVu Sans, the widest font that stands in, in thousandths of the em, read off the font
# (from its hmtx table); every other character counts as its widest letter, W.
DEJAVU = {
    **dict.fromkeys("0123456789", 636),
    **dict.fromkeys(" .,", 318),
    **dict.fromkeys("+−", 838),
    **dict.fromkeys("/:;", 337),
    **dict(zip("ABCD", (684, 686, 698, 770), strict=True)),
    **dict(
        zip(
            "abcdefghijklmnopqrstuvwxyz",
            (
                613,
                635,
                550,
                635,
                615,
                352,
                635,
                634,
                278,
                278,
                579,
                278,
                974,
                634,
                612,
                635,
                635,
                411,
                521,
                392,
                634,
                592,
                818,
                592,
                592,
                525,
            ),
            strict=True,
        )
    ),
}
WIDEST = 989


@dataclass(frozen=True)
class TextBox:
    """One text (or key) of a drawing with its box [units]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: TextBox) -> bool:
        apart = 0.01
        return (
            self.left + apart < other.right
            and other.left + apart < self.right
            and self.top + apart < other.bottom
            and other.top + apart < self.bottom
        )


def parsed(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def everything(root: ET.Element, scale: float = 1.0, x: float = 0.0, y: float = 0.0) -> Iterator[tuple]:
    """Every element with its scale and shift, groups' transforms carried down."""
    moved = re.search(r"translate\((\S+) (\S+)\)", root.get("transform", ""))
    if moved:
        x, y = x + scale * float(moved[1]), y + scale * float(moved[2])
    larger = re.search(r"scale\((\S+)\)", root.get("transform", ""))
    if larger:
        scale *= float(larger[1])
    yield root, scale, x, y
    for child in root:
        yield from everything(child, scale, x, y)


def wide(text: str, size: float) -> float:
    return sum(DEJAVU.get(one, WIDEST) for one in text) / 1000 * size


def text_boxes(root: ET.Element) -> list[TextBox]:
    """Boxes of all texts, a key's disc instead of its figure."""
    found = []
    for one, scale, dx, dy in everything(root):
        if one.tag == f"{SVG}circle" and one.get("class") == "t-key":
            cx, cy, r = (float(one.get(name, "")) for name in ("cx", "cy", "r"))
            found.append(_moved("key", cx - r, cy - r, cx + r, cy + r, scale, dx, dy))
        if one.tag == f"{SVG}text" and one.get("class") != "t-keyn":
            size = float(one.get("font-size") or TEXT)  # of a sheet the page says it
            x, y = float(one.get("x", "")), float(one.get("y", "0"))
            width = wide(one.text or "", size)
            left = x - {"middle": width / 2, "end": width}.get(one.get("text-anchor", ""), 0.0)
            # Capitals and figures are 0.73 of the size, what hangs below the line 0.21 of it (DejaVu Sans).
            found.append(_moved(one.text or "", left, y - 0.73 * size, left + width, y + 0.21 * size, scale, dx, dy))
    return found


def _moved(text, left, top, right, bottom, scale, dx, dy):
    return TextBox(text, dx + scale * left, dy + scale * top, dx + scale * right, dy + scale * bottom)


def meetings(root: ET.Element) -> list[tuple[str, str]]:
    return [(a.text, b.text) for a, b in combinations(text_boxes(root), 2) if a.meets(b)]


def by_class(root: ET.Element, name: str) -> list[ET.Element]:
    return [element for element in root.iter() if name in element.get("class", "").split()]


demo = report_of


def exact(value: float, half: float = 0.0) -> Quantity:
    return Quantity(value, value - half, value + half, 0.9, half / 1.645, None, "mm")


def point(key: str, wanted: float | None, measured: float | None, **changed) -> PointReport:
    """An invented point: wanted and measured [mm], allowed 10 mm either way."""
    d = changed.pop("difference", None)
    if d is None:
        assert wanted is not None
        assert measured is not None
        d = measured - wanted
    known = POINTS[key]
    values = {
        "key": key,
        "name": known.name,
        "direction": known.direction,
        "flat": known.flat,
        "wanted": None if wanted is None else exact(wanted, 3.0),
        "measured": None if measured is None else exact(measured, 3.0),
        "difference": exact(d, 4.0),
        "allowed_smaller_mm": 10.0,
        "allowed_larger_mm": 10.0,
        "code": "differs" if abs(d) > 10 else "matches",
        "alone": "matches",
        "reason": None,
        "side": None,
        "readings_needed": None,
        "chance_within": 0.5,
        "count": None,
        "readings": 3,
        "reference_readings": 3,
        "source": "garment",
        "garment_mm": wanted,
        "decides": False,
        "weight": 1.0,
    }
    return replace(demo("grey_pullover").points[0], **{**values, **changed})


def invented(points, piece: str | None = "back", refused=None) -> Report:
    """An invented report of points."""
    base = demo("grey_pullover")
    head = replace(base.head, piece=piece, piece_kind=piece)
    return replace(base, head=head, points=tuple(points), refused=refused or {})


def random_back(seed: int) -> Report:
    """A back of 1 to 14 points: the points of a body piece that hang together, each a little off."""
    chance = random.Random(seed)
    body = body_that_hangs_together(chance)
    keys = chance.sample(sorted(body), chance.randint(1, 14))
    return invented([point(key, body[key], body[key] * chance.uniform(0.94, 1.06)) for key in keys])


def random_sleeve(seed: int) -> Report:
    """A sleeve piece of 1 to 5 points, each a little off."""
    chance = random.Random(seed)
    sleeve = sleeve_that_hangs_together(chance)
    sleeve |= {key: 2 * sleeve[key] for key in ("upper_arm", "cuff")}
    keys = chance.sample(sorted(sleeve), chance.randint(1, 5))
    return invented([point(key, sleeve[key], sleeve[key] * chance.uniform(0.94, 1.06)) for key in keys], "sleeve")


def random_garment(seed: int) -> dict[str, float]:
    """A garment's flat figures [mm], 1 to 14 points of body and sleeve together."""
    chance = random.Random(seed)
    whole = body_that_hangs_together(chance) | sleeve_that_hangs_together(chance)
    return {key: whole[key] for key in chance.sample(sorted(whole), chance.randint(1, 14))}


def sleeve_that_hangs_together(chance: random.Random) -> dict[str, float]:
    """All points of a sleeve, widths flat [mm]."""
    arm, cap, rise = chance.uniform(80, 300), chance.uniform(25, 190), chance.uniform(110, 680)
    return {
        "upper_arm": arm,
        "cuff": arm * chance.uniform(0.35, 1.0),
        "cap_height": cap,
        "sleeve_to_underarm": rise,
        "sleeve_length": cap + rise,
    }


def body_that_hangs_together(chance: random.Random) -> dict[str, float]:
    """All points of a back, widths flat [mm]."""
    chest = chance.uniform(300, 720)
    shoulder, drop = chest * chance.uniform(0.66, 0.98), chance.uniform(10, 45)
    neck, depth = shoulder * chance.uniform(0.3, 0.55), chest * chance.uniform(0.3, 0.5)
    neck_drop, rise = chance.uniform(8, 40), chest * chance.uniform(0.5, 1.3)
    goes_in = (chest - shoulder) / 2
    return {
        "shoulder_width": shoulder,
        "chest": chest,
        "armhole_depth": depth,
        "neck_width": neck,
        "neck_inside": neck * 0.9,
        "waist": chest * chance.uniform(0.8, 1.0),
        "hem": chest * chance.uniform(0.8, 1.15),
        "to_underarm": rise,
        "body_length": drop + depth + rise,
        "centre_back": drop + depth + rise - neck_drop,
        "shoulder_seam": ((shoulder / 2 - neck / 2) ** 2 + drop**2) ** 0.5,
        "shoulder_drop": drop,
        "back_neck_drop": neck_drop,
        "armhole_diagonal": (depth**2 + goes_in**2) ** 0.5,
        "armhole_from_neck": depth + drop,
        "armhole_edge": depth + 0.5 * goes_in,
    }


def stretches(d: str) -> Iterator[tuple[str, list[Pair]]]:
    """Command and points of each stretch of path data; a line along an axis with both its figures."""
    at = 0.0, 0.0
    for command, rest in re.findall(r"([MLCHV])([^MLCHVZ]*)", d):
        values = [float(figure) for figure in re.findall(r"-?\d+(?:\.\d+)?", rest)]
        if command == "H":
            pairs = [(values[-1], at[1])]
        elif command == "V":
            pairs = [(at[0], values[-1])]
        else:
            pairs = list(zip(values[::2], values[1::2], strict=True))
        at = pairs[-1]
        yield command, pairs


def ends(d: str) -> list[Pair]:
    """Where each stretch of path data ends; of a line through several points each of them."""
    return [pair for command, pairs in stretches(d) for pair in (pairs[2::3] if command == "C" else pairs)]
