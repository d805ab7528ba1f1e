"""The outline of a piece from its measures, in millimetres of the piece.

Right half, y down, x from the centre. A body's origin is the level of the neck points, a sleeve's the top of
its cap.

    N neck point    (neck width / 2, 0)               T end of the shoulder   (shoulder / 2, drop)
    U underarm      (chest / 2, drop + armhole)       C chest                 (chest / 2, drop + armhole + 25)
    W waist         (waist / 2, half way down)        H lower end             (hem / 2, body length)

Armhole: straight down 42 % of its depth, then a cubic to a shelf of 30 % of what it goes in. A half front
has the same corners with whole widths, its front edge at x = 0.

A missing measure is derived where the others give it, else borrowed from the outline that this one lies on, so
that no false difference shows, else taken by the proportions of a plain sweater. ``origin`` says which.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Literal

from fitcheck.advice.target.armhole import CONVERTIBLE, convert
from fitcheck.drawing.svg import Point
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.records.constructions import CONSTRUCTIONS, USUAL
from fitcheck.records.frozen import frozen
from fitcheck.records.points import HALF_FRONTS, POINTS, SLEEVES

Origin = Literal["measured", "derived", "borrowed", "usual"]
Kind = Literal["body", "half", "sleeve", "panel"]

BELOW_MM = 25.0
"""How far below the underarm the chest and the upper arm are measured [mm]: where their tape goes."""
STRAIGHT, SHELF = 0.42, 0.30
"""Shares of an armhole that run straight down, and across at the bottom (drawn in; common practice, no source)."""
ASK_MM = 10.0
"""Lengths that should add up and do not by more than this are asked about [mm]."""

_DROP, _DEPTH, _RISE, _LENGTH = "shoulder_drop", "armhole_depth", "to_underarm", "body_length"
_OWN = ("measured", "derived")
# What a missing measure is taken from by the proportions of a plain sweater: the first known one counts.
_TAKEN_FROM: Mapping[str, tuple[str, ...]] = {
    "chest": ("shoulder_width", "hem"),
    "shoulder_width": ("chest",),
    "hem": ("chest",),
    "neck_width": ("shoulder_width",),
    "back_neck_drop": ("neck_width",),
    "neck_depth": ("neck_width",),
    _DROP: ("shoulder_width",),
    _DEPTH: ("chest",),
    _LENGTH: ("chest",),
    "upper_arm": ("cuff", "sleeve_length"),
    "cuff": ("upper_arm",),
    "cap_height": ("upper_arm",),
    "sleeve_length": ("upper_arm",),
}
_LENGTHS = {
    "body": (_DEPTH, "armhole_from_neck", "armhole_diagonal", _RISE, _LENGTH, "centre_back"),
    "sleeve": ("sleeve_length", "sleeve_to_underarm"),
    "panel": ("panel_length",),
}
_WIDTHS = {"body": ("shoulder_width", "chest"), "sleeve": ("upper_arm",), "panel": ("panel_width",)}


@frozen
class Stretch:
    """One stretch of the right half.

    points   two of a straight line, or the four of a cubic [mm]
    touched  the tape lay at both its ends; otherwise it is drawn in
    """

    name: str
    points: tuple[Point, ...]
    touched: bool


@frozen
class Outline:
    """A piece's outline [mm].

    kind      body, half (front), sleeve or panel
    mirrored  the left half is the right half's mirror image; otherwise there is only the right half
    measures  every measure that it is drawn from [mm];  origin: where each comes from
    corners   named corners of the right half
    sum_off_mm  drop + armhole + to underarm less body length (a sleeve: cap + to underarm less sleeve length),
                where all of them were measured; None else
    """

    kind: Kind
    mirrored: bool
    measures: Mapping[str, float]
    origin: Mapping[str, Origin]
    corners: Mapping[str, Point]
    stretches: tuple[Stretch, ...]
    sum_off_mm: float | None = None

    @property
    def asks_about_sum(self) -> bool:
        """Whether its lengths contradict one another by more than a centimetre."""
        return self.sum_off_mm is not None and abs(self.sum_off_mm) > ASK_MM

    @property
    def drawn_in(self) -> tuple[str, ...]:
        """Points that it needed and nobody measured."""
        return tuple(key for key, origin in self.origin.items() if origin not in _OWN)

    @property
    def length_mm(self) -> float:
        """From the origin down to the lower end [mm]."""
        return self.corners["H"][1]

    @property
    def half_mm(self) -> float:
        """Largest x of the outline [mm]."""
        return max(x for stretch in self.stretches for x, _ in stretch.points)


@lru_cache(maxsize=256)
def flat(stretch: Stretch, steps: int = 64) -> tuple[Point, ...]:
    """A stretch as straight steps; page, sheet and windows of one piece ask for the same ones again and again."""
    if len(stretch.points) == 2:
        return stretch.points
    a, b, c, d = stretch.points
    points = []
    for step in range(steps + 1):
        t = step / steps
        w = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        points.append(
            (
                w[0] * a[0] + w[1] * b[0] + w[2] * c[0] + w[3] * d[0],
                w[0] * a[1] + w[1] * b[1] + w[2] * c[1] + w[3] * d[1],
            )
        )
    return tuple(points)


def outline_of(
    measures: Mapping[str, float],
    *,
    piece: str = "back",
    construction: str = USUAL,
    under: Outline | None = None,
) -> Outline | CannotSay:
    """The outline of a piece from its measures.

    measures      points of measure of the piece [mm]
    piece         kind of piece, as in the catalogue
    construction  key of a construction: with a straight armhole the shoulder is as wide as the chest and the sleeve
                  has no cap
    under         outline that this one will lie on: it lends what was not measured here

    Returns CannotSay (``no_outline``) with fewer than shoulder or chest and one length (a sleeve: upper arm and
    one length; a panel: both), and where the construction is not drawn. Raises ValueError for a point that is not
    in the catalogue and a measure that is no length.

    >>> back = outline_of({"chest": 520.0, "shoulder_width": 410.0, "armhole_depth": 210.0, "body_length": 620.0})
    >>> back.corners["T"][0], back.corners["C"][0], back.length_mm
    (205.0, 260.0, 620.0)
    """
    _check(measures)
    kind = kind_of(piece)
    family = "body" if kind == "half" else kind
    built = CONSTRUCTIONS[construction]
    if built.not_drawn and kind != "panel":
        return CannotSay("no_outline", construction=construction)
    straight = built.armhole == "straight"
    if not drawable(measures, piece):
        return CannotSay("no_outline", widths=_WIDTHS[family])
    known = _Known(measures, piece, under)
    if family == "body":
        return _body(known, kind, piece, straight)
    return _sleeve(known, straight) if kind == "sleeve" else _panel(known)


def folded_sleeve(
    measures: Mapping[str, float], *, construction: str = USUAL, under: Outline | None = None
) -> Outline | CannotSay:
    """A finished sleeve as it lies on the table: folded along its middle, the fold at x = 0.

    measures  points of the sleeve of a garment, widths flat [mm];  construction, under: as for ``outline_of``

    It is the right half of the piece, so its widths are the garment's flat figures. Its ``measures`` are the
    piece's, so that one can lend to another. Returns CannotSay as ``outline_of`` does.

    >>> sleeve = folded_sleeve({"upper_arm": 180.0, "cuff": 110.0, "cap_height": 130.0, "sleeve_length": 580.0})
    >>> sleeve.corners["C"][0], sleeve.corners["H"]
    (180.0, (110.0, 580.0))
    """
    piece = {key: mm * POINTS[key].per_piece for key, mm in measures.items()}
    sleeve = outline_of(piece, piece="sleeve", construction=construction, under=under)
    if isinstance(sleeve, CannotSay):
        return sleeve
    read = sleeve.origin["sleeve_length"] in _OWN
    fold = Stretch("fold", (sleeve.corners["B"], sleeve.corners["S"]), read)
    return replace(sleeve, mirrored=False, stretches=(*sleeve.stretches, fold))


def drawable(measures: Mapping[str, float], piece: str = "back") -> bool:
    """Whether the measures are enough for an outline."""
    kind = kind_of(piece)
    family = "body" if kind == "half" else kind
    return any(key in measures for key in _WIDTHS[family]) and any(key in measures for key in _LENGTHS[family])


def kind_of(piece: str) -> Kind:
    """The kind of outline that a piece has: a whole body piece, one half of it, a sleeve or a panel."""
    if piece in SLEEVES:
        return "sleeve"
    if piece == "side_panel":
        return "panel"
    return "half" if piece in HALF_FRONTS else "body"


def _check(measures: Mapping[str, float]) -> None:
    for key, value in measures.items():
        if key not in POINTS:
            raise ValueError(f"measures: read {key!r}; a point of measure is wanted: {', '.join(POINTS)}.")
        if not (math.isfinite(value) and value >= 0) or (value == 0 and POINTS[key].plausible[0] > 0):
            raise ValueError(f"measures.{key}: read {value!r} mm; a length above 0 mm is wanted. Measure it again.")


class _Known:
    """Measures while they are being completed, each with its origin."""

    def __init__(self, measures: Mapping[str, float], piece: str, under: Outline | None) -> None:
        self.given, self.piece = measures, piece
        self.under = under.measures if under else {}
        self.value: dict[str, float] = dict(measures)
        self.origin: dict[str, Origin] = dict.fromkeys(measures, "measured")

    def own(self, *keys: str) -> bool:
        return all(self.origin.get(key) in _OWN for key in keys)

    def put(self, key: str, value: float, origin: Origin) -> None:
        self.value[key], self.origin[key] = value, origin

    def converted(self, key: str) -> None:
        """Reckon a measure from another definition of the same thing."""
        if key in self.value or key not in CONVERTIBLE:
            return
        derived = convert(key, lambda name: Estimate(self.value[name]) if name in self.value else None)
        if derived and not isinstance(derived, CannotSay) and derived.estimate.value > 0:
            self.put(key, derived.estimate.value, "derived")

    def summed(self, parts: tuple[str, ...], whole: str) -> None:
        """Derive the one that is missing of parts and their sum; a part cannot be negative or implausible."""
        missing = [key for key in (*parts, whole) if key not in self.value]
        if len(missing) != 1:
            return
        key = missing[0]
        total = sum(self.value[part] for part in parts if part in self.value)
        value = total if key == whole else self.value[whole] - total
        low, high = POINTS[key].plausible
        own = self.own(*(part for part in (*parts, whole) if part != key))
        # The part below the underarm is not drawn from: without three lengths of its own it stays unknown.
        if low <= value <= high and (own or key != parts[-1]):
            self.put(key, value, "derived" if own else "borrowed")

    def completed(self, key: str) -> float:
        """The measure, borrowed or usual where it is missing; a KeyError cannot happen for those with a usual one."""
        if key not in self.value:
            if key in self.under:
                self.put(key, self.under[key], "borrowed")
            else:
                base = next(base for base in _TAKEN_FROM[key] if base in self.value)
                share = POINTS[key].plain_on(self.piece) / POINTS[base].plain_on(self.piece)
                self.put(key, share * self.value[base], "usual")
        return self.value[key]


def _body(known: _Known, kind: Kind, piece: str, straight: bool) -> Outline:
    whole = (_DROP, _DEPTH, _RISE)
    sum_off = None
    if all(key in known.given for key in (*whole, _LENGTH)):
        sum_off = sum(known.given[key] for key in whole) - known.given[_LENGTH]
    for key in ("shoulder_width", _LENGTH, _DEPTH):
        known.converted(key)
    chest = known.completed("chest")
    if straight and "shoulder_width" not in known.value:
        known.put("shoulder_width", chest, "derived" if known.own("chest") else "borrowed")
    shoulder = known.completed("shoulder_width")
    neck_name = "back_neck_drop" if piece == "back" else "neck_depth"
    neck, neck_drop = known.completed("neck_width"), known.completed(neck_name)
    known.summed(whole, _LENGTH)
    drop = known.completed(_DROP)
    known.converted(_DEPTH)
    known.summed(whole, _LENGTH)
    depth = known.completed(_DEPTH)
    known.summed(whole, _LENGTH)
    length = known.completed(_LENGTH)
    hem = known.completed("hem")
    waist = known.value.get("waist", known.under.get("waist"))
    if waist is not None and "waist" not in known.value:
        known.put("waist", waist, "borrowed")
    half = 1.0 if kind == "half" else 0.5
    # The shoulder and the neck of a half front are drawn in: nobody reads them across on it.
    n_x, t_x, u_x, h_x = half * neck, half * shoulder, half * chest, half * hem
    under = drop + depth
    corners: dict[str, Point] = {
        "K": (0.0, neck_drop),
        "N": (n_x, 0.0),
        "T": (t_x, drop),
        "U": (u_x, under),
        "C": (u_x, under + BELOW_MM),
        "H": (h_x, length),
        "B": (0.0, length),
    }
    neck_curve = ((0.0, neck_drop), (0.62 * n_x, neck_drop), (n_x - 1.0, 0.72 * neck_drop), (n_x, 0.0))
    # A side is touched where chest and hem were read across and one length says how far apart they lie.
    length_read = known.own(_LENGTH) or known.own(_RISE)
    side = known.own("chest", "hem") and length_read
    stretches = [
        Stretch("neck", neck_curve, touched=False),
        Stretch("shoulder", (corners["N"], corners["T"]), known.own("neck_width", "shoulder_width")),
        *_armhole(corners, known, straight or shoulder >= chest),
        Stretch("side_top", (corners["U"], corners["C"]), side),
    ]
    if waist is not None:
        corners["W"] = (half * waist, (under + BELOW_MM + length) / 2)
        narrow = side and known.own("waist")
        stretches += [
            Stretch("side", (corners["C"], corners["W"]), narrow),
            Stretch("side", (corners["W"], corners["H"]), narrow),
        ]
    else:
        stretches.append(Stretch("side", (corners["C"], corners["H"]), side))
    stretches.append(Stretch("hem", (corners["H"], corners["B"]), known.own("hem") and length_read))
    if kind == "half":
        stretches.append(Stretch("front_edge", (corners["B"], corners["K"]), length_read))
    return Outline(kind, kind == "body", known.value, known.origin, corners, tuple(stretches), sum_off)


def _armhole(corners: Mapping[str, Point], known: _Known, straight: bool) -> list[Stretch]:
    (t_x, t_y), (u_x, u_y) = corners["T"], corners["U"]
    if straight:
        touched = known.own("chest", _DEPTH)
        return [Stretch("armhole", (corners["T"], corners["U"]), touched)]
    depth, step = u_y - t_y, SHELF * (u_x - t_x)
    bend = (t_x, t_y + STRAIGHT * depth)
    curve = (bend, (t_x, t_y + 2 * STRAIGHT * depth), (t_x + step, u_y), (u_x - step, u_y))
    return [
        Stretch("armhole_straight", (corners["T"], bend), touched=False),
        Stretch("armhole_curve", curve, touched=False),
        Stretch("armhole_shelf", ((u_x - step, u_y), corners["U"]), touched=False),
    ]


def _sleeve(known: _Known, capless: bool) -> Outline:
    parts, whole = ("cap_height", "sleeve_to_underarm"), "sleeve_length"
    sum_off = None
    if all(key in known.given for key in (*parts, whole)):
        sum_off = sum(known.given[key] for key in parts) - known.given[whole]
    if capless and "cap_height" not in known.value:
        known.put("cap_height", 0.0, "derived")
    known.summed(parts, whole)
    arm = known.completed("upper_arm")
    cap = known.completed("cap_height")
    known.summed(parts, whole)
    length, cuff = known.completed(whole), known.completed("cuff")
    v_x, e_x = arm / 2, cuff / 2
    corners: dict[str, Point] = {
        "S": (0.0, 0.0),
        "U": (v_x, cap),
        "C": (v_x, cap + BELOW_MM),
        "H": (e_x, length),
        "B": (0.0, length),
    }
    length_read = known.own(whole) or known.own("sleeve_to_underarm")
    # A sleeve's sides slant, so they are known only where the underarm's height above the cuff is.
    underarm_read = known.own("sleeve_to_underarm") or known.own("cap_height", whole)
    read = known.own("upper_arm", "cuff") and underarm_read
    curve = ((0.0, 0.0), (0.42 * v_x, 0.0), (0.48 * v_x, cap), (v_x, cap))
    straight = Stretch("cap", ((0.0, 0.0), (v_x, 0.0)), known.own("upper_arm"))
    return Outline(
        "sleeve",
        True,
        known.value,
        known.origin,
        corners,
        (
            straight if cap == 0 else Stretch("cap", curve, touched=False),
            Stretch("side_top", (corners["U"], corners["C"]), read),
            Stretch("side", (corners["C"], corners["H"]), read),
            Stretch("hem", (corners["H"], corners["B"]), known.own("cuff") and length_read),
        ),
        sum_off,
    )


def _panel(known: _Known) -> Outline:
    half, length = known.value["panel_width"] / 2, known.value["panel_length"]
    corners: dict[str, Point] = {
        "S": (0.0, 0.0),
        "U": (half, 0.0),
        "C": (half, BELOW_MM),
        "H": (half, length),
        "B": (0.0, length),
    }
    stretches = (
        Stretch("top", (corners["S"], corners["U"]), touched=True),
        Stretch("side", (corners["U"], corners["H"]), touched=True),
        Stretch("hem", (corners["H"], corners["B"]), touched=True),
    )
    return Outline("panel", True, known.value, known.origin, corners, stretches)
