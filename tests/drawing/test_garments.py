"""A garment of the wardrobe: body and folded sleeve at one scale, and one laid over another."""

from __future__ import annotations

import re

import pytest

from fitcheck.drawing.garments import (
    body_measures,
    garment_drawing,
    less,
    sleeve_measures,
    two_over_one_another,
    written_less,
)
from fitcheck.records.points import POINTS
from tests.drawing.drawn import BACK as BODY
from tests.drawing.drawn import SVG, by_class, ends, everything, exact, parsed

SLEEVE = {"upper_arm": 180.0, "cuff": 110.0, "cap_height": 134.0, "sleeve_length": 580.0}
NUMBER = r"-?\d+(?:\.\d+)?"


def read(measures, half=3.0):
    return {key: exact(mm, half) for key, mm in measures.items()}


def drawn(measures, unit="cm", **given):
    svg, figures = garment_drawing(read(measures), unit, "A garment.", **given)
    return parsed(svg), figures


def box_of(root, ids):
    """Left, top, right, bottom of an outline on the whole drawing [units]."""
    for element, scale, dx, dy in everything(root):
        if element.get("id") == ids:
            corners = ends(element.get("d"))
            xs, ys = [dx + scale * x for x, _ in corners], [dy + scale * y for _, y in corners]
            return min(xs), min(ys), max(xs), max(ys)
    raise AssertionError(f"no outline {ids}")


def bar_of(root):
    """Units per millimetre, read off the one scale bar."""
    bars = by_class(root, "scalebar")
    assert len(bars) == 1
    edge = next(one for one in bars[0] if one.get("class") == "r-edge")
    long = float(re.findall(NUMBER, edge.get("d"))[2])
    return long / (10 * float([one.text for one in bars[0] if one.tag == f"{SVG}text"][-1].split()[0]))


def test_body_and_sleeve_are_true_to_one_scale_bar():
    root, _ = drawn(BODY | SLEEVE)
    scale = bar_of(root)
    left, top, right, bottom = box_of(root, "ga0-p")
    assert (right - left) / scale == pytest.approx(520.0, abs=0.2)
    assert (bottom - top) / scale == pytest.approx(615.0, abs=0.2)
    s_left, s_top, s_right, s_bottom = box_of(root, "ga1-p")
    # Folded: the flat figure of the upper arm is its whole width.
    assert (s_right - s_left) / scale == pytest.approx(180.0, abs=0.2)
    assert (s_bottom - s_top) / scale == pytest.approx(580.0, abs=0.2)
    assert s_top > bottom


def test_a_sleeve_longer_than_the_body_sets_the_scale_of_both():
    root, _ = drawn({**BODY, **SLEEVE, "chest": 300.0, "shoulder_width": 250.0, "hem": 300.0, "sleeve_length": 900.0})
    scale = bar_of(root)
    for ids, long in (("ga0-p", 615.0), ("ga1-p", 900.0)):
        _, top, _, bottom = box_of(root, ids)
        assert (bottom - top) / scale == pytest.approx(long, abs=0.3)
        assert bottom - top <= 330.5


def test_points_of_the_sleeve_are_numbered_after_those_of_the_body():
    _, figures = drawn(BODY | SLEEVE)
    assert list(figures) == [
        "neck_width", "back_neck_drop", "shoulder_drop", "shoulder_width", "armhole_depth", "chest", "body_length",
        "hem", "sleeve_length", "cap_height", "upper_arm", "cuff",
    ]  # fmt: skip
    assert list(figures.values()) == list(range(1, 13))


def test_what_was_measured_stands_beside_its_figure_with_the_persons_decimal_mark():
    for mark in (".", ","):
        root, figures = drawn(BODY | SLEEVE, mark=mark)
        for group in by_class(root, "tape"):
            key = next(name for name, figure in figures.items() if figure == int(group.get("data-point")))
            value = next(part.text for part in group if part.get("class") == "t-val")
            assert value == f"{(BODY | SLEEVE)[key] / 10:.1f}".replace(".", mark)


def test_either_figure_stands_alone_where_the_other_was_not_measured():
    root, figures = drawn(SLEEVE)
    assert set(figures) == set(SLEEVE)
    assert bar_of(root) > 0
    root, figures = drawn({"chest": 520.0, "body_length": 615.0, "cuff": 110.0})
    assert set(figures) == {"chest", "body_length"}
    assert "one sleeve, folded as it lies" not in [element.text for element in root.iter()]
    assert garment_drawing(read({"chest": 520.0, "cuff": 110.0}), "cm", "Nothing.") == ("", {})


def test_a_raglan_has_no_drawing():
    assert garment_drawing(read(BODY | SLEEVE), "cm", "A raglan.", construction="raglan") == ("", {})
    upper = read(BODY | SLEEVE)
    for both in (("raglan", "set_in"), ("set_in", "raglan")):
        assert two_over_one_another(upper, upper, "cm", "Two.", constructions=both) == ("", {})


def test_a_drop_shoulders_sleeve_has_no_cap():
    measures = {key: mm for key, mm in (BODY | SLEEVE).items() if key not in ("shoulder_width", "cap_height")}
    root, _ = drawn(measures, construction="drop_shoulder")
    outline = next(element.get("d") for element in root.iter() if element.get("id") == "ga1-p")
    assert "C" not in outline
    assert "C" in next(element.get("d") for element in drawn(BODY | SLEEVE)[0].iter() if element.get("id") == "ga1-p")


def test_one_over_another_shows_only_what_both_were_read_at_as_differences():
    over = {**BODY, **SLEEVE, "chest": 541.0, "cuff": 104.0}
    del over["hem"]
    svg, figures = two_over_one_another(read(BODY | SLEEVE), read(over), "cm", "Two.")
    root = parsed(svg)
    assert "hem" not in figures
    values = {}
    for group in by_class(root, "tape"):
        key = next(name for name, figure in figures.items() if figure == int(group.get("data-point")))
        values[key] = next(part.text for part in group if part.get("class") == "t-val")
    assert values["chest"] == "+2.1"
    assert values["cuff"] == "−0.6"
    assert values["sleeve_length"] == "0"
    # What the upper one was not read at lies on the lower one.
    below, above = box_of(root, "ov0-w"), box_of(root, "ov0-p")
    assert below[3] == pytest.approx(above[3])


def test_each_of_two_garments_keeps_its_own_armhole():
    drop = {key: mm for key, mm in BODY.items() if key != "shoulder_width"}
    svg, _ = two_over_one_another(read(BODY), read(drop), "cm", "Two.", constructions=("set_in", "drop_shoulder"))
    paths = {element.get("id"): element.get("d") for element in parsed(svg).iter() if element.get("id")}
    # Two cubics of the neck and two of the armholes; the upper one has only those of the neck.
    assert paths["ov0-w"].count("C") == 4
    assert paths["ov0-p"].count("C") == 2


def test_a_difference_is_as_sure_as_both_readings_together():
    off = less(exact(541.0, 3.0), exact(520.0, 4.0))
    assert off.value == 21.0
    assert (off.low, off.high) == (pytest.approx(16.0), pytest.approx(26.0))


@pytest.mark.parametrize(
    ("one", "other", "unit", "shown"),
    [
        # 26.14 and 40.05 are written 26.1 and 40.1: 14.0 shorter, though exactly 13.91.
        (261.4, 400.5, "cm", -140.0),
        (179.4, 134.6, "cm", 44.0),
        # 255.6 mm is 10 1/8 in by the nearest eighth, 252.4 mm 9 7/8 in: a quarter, though 3.2 mm is an eighth.
        (255.6, 252.4, "in", 25.4 / 4),
    ],
)
def test_a_difference_is_that_of_the_figures_that_stand_beside_it(one, other, unit, shown):
    off = written_less(exact(one, 3.0), exact(other, 4.0), unit)
    assert off.value == pytest.approx(shown)
    assert (off.low + off.high) / 2 == pytest.approx(one - other)


@pytest.mark.parametrize("at", ["shoulders", "underarm", "hem"])
def test_two_garments_are_hatched_from_the_underarm_to_the_hem_with_a_legend(at):
    small = {key: 0.7 * mm for key, mm in BODY.items()}
    svg, _ = two_over_one_another(read(BODY), read(small), "cm", "Two.", at=at)
    root = parsed(svg)
    clip = next(element for element in root.iter() if element.get("id") == "ov0-z")
    ys = [float(figure) for figure in re.findall(rf"M{NUMBER} ({NUMBER})H", clip[0].get("d"))]
    scale = bar_of(root)
    _, top, _, _ = box_of(root, "ov0-w")
    under = top + scale * (BODY["shoulder_drop"] + BODY["armhole_depth"])
    above = top + scale * 0.7 * (BODY["shoulder_drop"] + BODY["armhole_depth"])
    moved = {"shoulders": BODY["shoulder_drop"] * 0.3, "hem": 0.3 * BODY["body_length"], "underarm": 0.3 * 235.0}[at]
    # The lower one of the two underarms, as they lie.
    begins = max(under, above + scale * moved)
    assert any(y == pytest.approx(begins, abs=0.6) for y in ys), (ys, begins)
    words = [part.text for group in by_class(root, "legend") for part in group if part.tag == f"{SVG}text"]
    assert words == ["the dashed one reaches further", "the full one reaches further"]
    assert not by_class(drawn(BODY)[0], "legend")


def test_every_point_of_a_back_or_a_sleeve_is_drawn_from_and_nothing_else():
    everything_ = dict.fromkeys(POINTS, 100.0)
    body, sleeve = body_measures(everything_), sleeve_measures(everything_)
    assert {"chest", "body_length", "centre_back", "back_neck_drop"} <= set(body)
    assert set(sleeve) == {"sleeve_length", "sleeve_to_underarm", "upper_arm", "cuff", "cap_height"}
    assert not set(body) & {*sleeve, "neck_depth", "panel_width", "centre_back_to_cuff"}
