"""The catalogue of points against fit rules 4 and 8, number by number: whoever changes one changes it here too."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.points import LAST, POINTS, Point

ROOT = Path(__file__).resolve().parents[2]
ALLOWED_CM = {
    "chest": 1.0,
    "waist": 1.0,
    "hem": 1.0,
    "shoulder_width": 1.0,
    "body_length": 1.5,
    "to_underarm": 1.5,
    "centre_back": 1.5,
    "panel_length": 1.5,
    "sleeve_length": 1.3,
    "sleeve_to_underarm": 1.3,
    "centre_back_to_cuff": 1.3,
}
"""Fit rule 8, flat [cm]; lengths measured otherwise as the one that the rule names; 0.6 at all others."""
MADE_UP_CM = {
    "chest": ("other_body_piece", 4.0, 4.0),
    "waist": ("other_body_piece", 4.0, 4.0),
    "hem": ("other_body_piece", 4.0, 4.0),
    "shoulder_width": ("armhole_seam", 1.5, 1.0),
    "neck_width": ("neck_band", 3.0, 0.5),
    "neck_inside": ("neck_band", 3.0, 0.5),
    "to_underarm": ("hem", 5.0, 5.0),
    "body_length": ("hem", 5.0, 5.0),
    "centre_back": ("hem", 5.0, 5.0),
    "panel_length": ("hem", 5.0, 5.0),
    "sleeve_length": ("cuff_band", 5.0, 5.0),
    "sleeve_to_underarm": ("cuff_band", 5.0, 5.0),
}
"""Fit rule 4: what answers, and how much too large and too small [cm]; nothing answers elsewhere."""


def allowed(point: Point) -> bool:
    cm = ALLOWED_CM.get(point.key, 0.6)
    return point.tolerance == (10 * cm, 10 * cm)


def made_up(point: Point) -> bool:
    if point.key == "armhole_depth":  # by a share of its rows alone
        return point.make_up is not None and (point.make_up.by, point.make_up.share) == ("front_rows_and_cap", 0.02)
    if point.key not in MADE_UP_CM:
        return point.make_up is None
    by, large, small = MADE_UP_CM[point.key]
    limits = point.make_up
    return limits is not None and (limits.by, limits.too_large_mm, limits.too_small_mm, limits.share) == (
        by,
        10 * large,
        10 * small,
        0.0,
    )


@pytest.mark.parametrize("key", POINTS)
def test_every_point_allows_what_rule_8_says(key):
    assert allowed(POINTS[key])


@pytest.mark.parametrize("key", POINTS)
def test_every_point_is_made_up_as_rule_4_says(key):
    assert made_up(POINTS[key])


@pytest.mark.parametrize("key", POINTS)
def test_a_millimetre_more_or_less_at_any_point_is_found(key):
    point = POINTS[key]
    for smaller, larger in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        other = (point.tolerance[0] + smaller, point.tolerance[1] + larger)
        assert not allowed(replace(point, tolerance=other))


def test_no_two_points_have_the_same_place_in_an_order():
    for places in ([point.knitted for point in POINTS.values()], [point.down for point in POINTS.values()]):
        named = [place for place in places if place != LAST]
        assert len(named) == len(set(named))


def test_an_end_that_is_picked_up_widens_an_opening_and_a_row_that_is_swallowed_is_no_end():
    assert [POINTS[key].seam_ends for key in ("chest", "neck_width", "armhole_depth")] == [2, -2, 0]
    assert all(point.seam_rows in (0, len(point.seam_edges)) for point in POINTS.values())


def test_a_plain_sweater_adds_up_and_passes_without_a_question():
    plain = {key: point.plain_mm for key, point in POINTS.items()}
    assert plain["body_length"] == pytest.approx(plain["centre_back"] + plain["back_neck_drop"], abs=1.0)
    assert plain["sleeve_length"] == plain["sleeve_to_underarm"] + plain["cap_height"]
    parts = plain["shoulder_drop"] + plain["armhole_depth"] + plain["to_underarm"]
    assert plain["body_length"] == pytest.approx(parts, abs=10.0)
    for point in POINTS.values():
        assert point.plain_mm == 0 or point.plausible[0] <= point.plain_mm <= point.plausible[1]
    assert POINTS["chest"].plain_on("left_front") == 250.0
    assert POINTS["upper_arm"].plain_on("sleeve") == 360.0


@pytest.mark.parametrize("key", CONSTRUCTIONS)
def test_a_construction_speaks_of_points_that_there_are(key):
    built = CONSTRUCTIONS[key]
    assert built.key == key
    assert built.lacks.keys() <= POINTS.keys()
    assert built.sleeve_starts_at in {"", *POINTS}
    assert built.family in {other.key for other in CONSTRUCTIONS.values()}


def test_no_construction_is_named_outside_its_catalogue():
    named = re.compile(rf"""["']({"|".join(CONSTRUCTIONS)})["']|\bconstruction (?:==|!=|in|not in) ["'(\[{{]""")
    product = [path for room in ("fitcheck", "webui") for path in (ROOT / room).rglob("*.*")]
    texts = {path: path.read_text(encoding="utf-8") for path in product if path.suffix in (".py", ".html", ".js")}
    found = {str(path.relative_to(ROOT)) for path, text in texts.items() if named.search(text)}
    assert found == {"fitcheck/records/constructions.py"}
