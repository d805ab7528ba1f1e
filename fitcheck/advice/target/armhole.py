"""One word, several tapes: armhole, body length and shoulder in another definition (fit rule 7).

    a  armhole depth, straight            x  half of chest less shoulder width: how far the armhole goes in
    d  shoulder drop                      c  what the curve of the edge adds, per mm of x
    diagonal = hypot(a, x)   from the neck point's level = a + d   along the edge = a + c x
    body length = centre back + back neck drop
    shoulder width = neck width + 2 sqrt(shoulder seam^2 - d^2)

All measures are of one garment; what is missing is named, never guessed.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace

from fitcheck.advice.target.edges import edge_length
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.estimates.readings import combine
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS

# Half of x cast off, the other half decreased one stitch every second row at 4.40 x 3.10 mm, then straight.
_SLOPE = 2 * 3.10 / 4.40
CURVE = Estimate(edge_length([(0.5, 0.0), (0.5, 0.5 * _SLOPE)], 1.0, 1.0) - 0.5 * _SLOPE, 0.10, basis="assumed")
"""c, what the curve of an armhole's edge adds to its depth per mm that it goes in [1] (assumed)."""

Values = Mapping[str, float]
Figure = Callable[[str], Estimate | None]
"""Gives the garment's own figure at a point [mm], None where it was not measured."""

_WIDTHS = ("chest", "shoulder_width")


@frozen
class Converted:
    """A figure in another definition.

    estimate  [mm]
    used      the points that it was reckoned from; the first is the one that was converted
    curve     the shape of the armhole's edge was assumed
    """

    estimate: Estimate
    used: tuple[str, ...]
    curve: bool = False


@frozen
class _Way:
    """One way to a figure: the point it starts from, what else it takes, and the rule."""

    start: str
    needs: tuple[str, ...]
    rule: Callable[[Values], float]


def _goes_in(v: Values) -> float:
    x = (v["chest"] - v["shoulder_width"]) / 2
    if x < 0:
        raise ValueError("shoulder_beyond_chest")
    return x


def _leg(hypotenuse: float, leg: float) -> float:
    if hypotenuse < leg:
        raise ValueError("slant_too_short")
    return math.sqrt(hypotenuse**2 - leg**2)


_DEPTH_FROM: dict[str, tuple[tuple[str, ...], Callable[[Values], float]]] = {
    "armhole_depth": ((), lambda v: v["armhole_depth"]),
    "armhole_from_neck": (("shoulder_drop",), lambda v: v["armhole_from_neck"] - v["shoulder_drop"]),
    "armhole_diagonal": (_WIDTHS, lambda v: _leg(v["armhole_diagonal"], _goes_in(v))),
    "armhole_edge": ((*_WIDTHS, "curve"), lambda v: v["armhole_edge"] - v["curve"] * _goes_in(v)),
}
_DEPTH_TO: dict[str, tuple[tuple[str, ...], Callable[[float, Values], float]]] = {
    "armhole_depth": ((), lambda a, v: a),
    "armhole_from_neck": (("shoulder_drop",), lambda a, v: a + v["shoulder_drop"]),
    "armhole_diagonal": (_WIDTHS, lambda a, v: math.hypot(a, _goes_in(v))),
    "armhole_edge": ((*_WIDTHS, "curve"), lambda a, v: a + v["curve"] * _goes_in(v)),
}


def _armhole_way(start: str, end: str) -> _Way:
    down, depth = _DEPTH_FROM[start]
    up, measure = _DEPTH_TO[end]
    return _Way(start, tuple(dict.fromkeys((*down, *up))), lambda v: measure(depth(v), v))


_WAYS: dict[str, tuple[_Way, ...]] = {
    end: tuple(_armhole_way(start, end) for start in _DEPTH_FROM if start != end) for end in _DEPTH_TO
} | {
    "body_length": (_Way("centre_back", ("back_neck_drop",), lambda v: v["centre_back"] + v["back_neck_drop"]),),
    "centre_back": (_Way("body_length", ("back_neck_drop",), lambda v: v["body_length"] - v["back_neck_drop"]),),
    "shoulder_width": (
        _Way(
            "shoulder_seam",
            ("neck_width", "shoulder_drop"),
            lambda v: v["neck_width"] + 2 * _leg(v["shoulder_seam"], v["shoulder_drop"]),
        ),
    ),
    "shoulder_seam": (
        _Way(
            "shoulder_width",
            ("neck_width", "shoulder_drop"),
            lambda v: math.hypot((v["shoulder_width"] - v["neck_width"]) / 2, v["shoulder_drop"]),
        ),
    ),
}

CONVERTIBLE = frozenset(_WAYS)
"""Points that can be reckoned from another definition."""


def convert(key: str, figure: Figure) -> Converted | CannotSay | None:
    """Reckon a garment's figure at a point from another definition of the same thing on the same garment.

    First-order propagation of the figures' uncertainties. The first way with all its measures is taken.

    key     the point wanted
    figure  the garment's own figures [mm]

    Returns None when no other definition was measured, CannotSay (``mixed_definitions``) when one was but
    measures for converting it are missing, CannotSay (``shape_impossible``) when the measures cannot belong
    to one outline.

    >>> known = {"armhole_diagonal": 207.0, "chest": 520.0, "shoulder_width": 413.0}
    >>> found = convert("armhole_depth", {key: Estimate(mm) for key, mm in known.items()}.get)
    >>> round(found.estimate.value, 1), found.used
    (200.0, ('armhole_diagonal', 'chest', 'shoulder_width'))
    """
    short: CannotSay | None = None
    for way in _WAYS.get(key, ()):
        if figure(way.start) is None:
            continue
        known = {name: CURVE if name == "curve" else figure(name) for name in (way.start, *way.needs)}
        missing = [name for name, value in known.items() if value is None]
        if missing:
            if short is None:
                short = CannotSay("mixed_definitions", point=key, known=way.start, missing=missing)
            continue
        return _reckoned(key, way, {name: value for name, value in known.items() if value is not None})
    return short


def _reckoned(key: str, way: _Way, known: Mapping[str, Estimate]) -> Converted | CannotSay:
    at = {name: estimate.value for name, estimate in known.items()}
    try:
        value = way.rule(at)
        slopes = [_slope(way.rule, at, name) for name in known]
    except ValueError as odd:
        return CannotSay(
            "shape_impossible",
            point=key,
            known=way.start,
            odd=str(odd),
            measured=[name for name in known if name in POINTS],
        )
    spread = combine(*known.values(), weights=slopes)
    used = tuple(name for name in known if name != "curve")
    return Converted(replace(spread, value=value), used, "curve" in known)


def _slope(rule: Callable[[Values], float], at: Values, name: str) -> float:
    step = 1e-4 * max(1.0, abs(at[name]))
    above, below = dict(at), dict(at)
    above[name] += step
    below[name] -= step
    return (rule(above) - rule(below)) / (2 * step)
