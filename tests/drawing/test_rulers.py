"""Rulers and signs: one axis, marks where the numbers are."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from fitcheck.drawing.rulers import axis_of, ruler, span_of, zone_sign
from tests.drawing.drawn import SVG, by_class, meetings, parsed, point

UNITS_PER_MM = 132 / 20
"""A ruler of 288 units has its axis from 12 to 276."""


def floats(text):
    return [float(figure) for figure in re.findall(r"-?\d+(?:\.\d+)?", text)]


def drawn(measured=515.0, span=20.0, unit="cm", **changed):
    return parsed(ruler(point("chest", 520.0, measured, **changed), unit, span))


def test_mark_interval_and_band_lie_at_their_numbers():
    root = drawn(515.0, code="matches")
    dot = by_class(root, "r-dot")[0]
    assert float(dot.get("cx")) == pytest.approx(144 - 5 * UNITS_PER_MM, abs=0.01)
    bar = by_class(root, "r-int")[0]
    assert float(bar.get("x")) == pytest.approx(144 - 9 * UNITS_PER_MM, abs=0.01)
    assert float(bar.get("width")) == pytest.approx(8 * UNITS_PER_MM, abs=0.01)
    band = by_class(root, "r-band")[0]
    assert float(band.get("x")) == pytest.approx(144 - 10 * UNITS_PER_MM, abs=0.01)
    assert float(band.get("width")) == pytest.approx(20 * UNITS_PER_MM, abs=0.01)


def test_each_side_has_its_own_allowance_and_any_amount_has_no_bracket():
    root = drawn(allowed_smaller_mm=5.0, allowed_larger_mm=12.0)
    assert float(by_class(root, "r-band")[0].get("width")) == pytest.approx(17 * UNITS_PER_MM, abs=0.01)
    assert by_class(root, "r-br")[0].get("d").count("M") == 2
    free = drawn(allowed_smaller_mm=None)
    assert by_class(free, "r-br")[0].get("d").count("M") == 1
    assert float(by_class(free, "r-band")[0].get("x")) == 12.0


@pytest.mark.parametrize(("measured", "way"), [(495.0, -1), (540.0, 1)])
def test_a_difference_is_a_triangle_that_points_away(measured, way):
    tip = floats(by_class(drawn(measured, span=40.0), "r-dot")[0].get("d"))
    base, top = tip[0], tip[3]
    assert (top - base) * way > 0


def test_verdicts_differ_in_form_not_colour():
    assert by_class(drawn(code="matches"), "r-dot")[0].tag == f"{SVG}circle"
    assert by_class(drawn(code="differs"), "r-dot")[0].tag == f"{SVG}path"
    assert by_class(drawn(code="too_close"), "r-ring")
    assert not by_class(drawn(code="too_close"), "r-dot")
    held = drawn(code="held_at")
    assert by_class(held, "r-dash")
    assert not by_class(held, "r-dot")
    assert not by_class(held, "r-ring")


def test_an_interval_that_leaves_the_axis_ends_in_an_arrow():
    inside = drawn(515.0)
    assert all(element.tag != f"{SVG}path" for element in by_class(inside, "r-int"))
    assert by_class(inside, "r-intend")[0].get("d").count("M") == 2
    one = point("chest", 520.0, 502.0)
    out = parsed(ruler(replace(one, difference=replace(one.difference, low=-26.0)), "cm", 20.0))
    arrows = [element for element in by_class(out, "r-int") if element.tag == f"{SVG}path"]
    assert len(arrows) == 1
    x, _, _, way, _ = floats(arrows[0].get("d"))
    assert x == 12.0
    assert way < 0
    assert by_class(out, "r-intend")[0].get("d").count("M") == 1


def test_all_rulers_share_an_axis_that_holds_every_reading():
    near = [point("chest", 520.0, 505.0), point("hem", 500.0, 519.0)]
    assert span_of(near, "cm") == 20.0
    assert span_of([*near, point("body_length", 615.0, 640.0)], "cm") == 40.0
    assert span_of([point("body_length", 615.0, 660.0)], "cm") == 80.0
    assert span_of(near, "in") == 25.4
    assert span_of([], "cm") == 20.0


@pytest.mark.parametrize(
    ("span", "unit", "figures"),
    [
        (20.0, "cm", ["−2", "−1", "0", "+1", "+2"]),
        (40.0, "cm", ["−4", "−3", "−2", "−1", "0", "+1", "+2", "+3", "+4"]),
        (80.0, "cm", ["−8", "−6", "−4", "−2", "0", "+2", "+4", "+6", "+8"]),
        (20.0, "mm", ["−20", "−10", "0", "+10", "+20"]),
        (25.4, "in", ["−1", "−1/2", "0", "+1/2", "+1"]),
        (50.8, "in", ["−2", "−1", "0", "+1", "+2"]),
    ],
)
def test_the_figures_of_an_axis(span, unit, figures):
    root = drawn(span=span, unit=unit)
    assert ["".join(element.itertext()) for element in by_class(root, "r-num")] == figures


def test_ticks_are_a_tapes_and_never_closer_than_3_units():
    for unit, spans in (("cm", (20.0, 40.0, 80.0, 160.0, 320.0)), ("in", (25.4, 50.8, 101.6, 203.2))):
        for span in spans:
            axis = axis_of(span, unit)
            assert axis.fine * 132 / span >= 3.0
            assert axis.coarse % axis.fine == pytest.approx(0.0) or axis.coarse % axis.fine == pytest.approx(axis.fine)
    root = drawn()
    x = sorted(
        floats(element)[0]
        for name in ("r-mm", "r-half", "r-cm")
        for element in by_class(root, name)[0].get("d").split("M")[1:]
    )
    assert len(x) == 41
    assert all(b - a == pytest.approx(UNITS_PER_MM, abs=0.02) for a, b in pairwise(x))


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
@pytest.mark.parametrize("key", ["chest", "body_length"])
def test_no_two_texts_of_a_ruler_meet_whatever_is_allowed(unit, key):
    for times in (1, 2, 4, 8, 16):
        span = (25.4 if unit == "in" else 20.0) * times
        for allowed in (2.0, 10.0, 18.0, 40.0):
            one = point(key, 520.0, 515.0, allowed_smaller_mm=allowed, allowed_larger_mm=allowed)
            root = parsed(ruler(one, unit, span))
            assert meetings(root) == []


def test_lengths_are_shorter_and_longer():
    root = parsed(ruler(point("body_length", 615.0, 600.0), "cm", 20.0))
    assert [element.text for element in by_class(root, "r-side")] == ["shorter", "longer"]
    assert [element.text for element in by_class(drawn(), "r-side")] == ["narrower", "wider"]


def test_a_sign_is_the_ruler_made_small():
    signs = {
        (code, way): zone_sign(code, way)
        for code in ("matches", "differs", "too_close", "not_measured", "held_at")
        for way in (-1.0, 1.0)
    }
    disc = by_class(parsed(signs["matches", 1.0]), "g-fill")[0]
    assert (disc.get("cx"), disc.get("r")) == ("20", "4")
    for way, outside in ((-1.0, lambda x: x < 13), (1.0, lambda x: x > 27)):
        triangle = floats(by_class(parsed(signs["differs", way]), "g-fill")[0].get("d"))
        assert outside(triangle[0])
        assert outside(triangle[3])
        ring = by_class(parsed(signs["too_close", way]), "g-ring")[0]
        assert ring.get("cx") == ("13" if way < 0 else "27")
    empty = parsed(signs["not_measured", 1.0])
    assert not by_class(empty, "g-fill")
    assert not by_class(empty, "g-dash")
    assert by_class(parsed(signs["held_at", 1.0]), "g-dash")
    assert signs["matches", 1.0] == signs["matches", -1.0]
    assert parsed(signs["matches", 1.0]).get("viewBox") == "0 0 40 20"
    assert zone_sign("on_the_line", 1.0) == signs["too_close", 1.0]
