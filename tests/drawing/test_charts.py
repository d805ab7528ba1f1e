"""Small charts: the dial, changes in finishing, sizes, a garment's history, cards. All figures are invented."""

from __future__ import annotations

import itertools
import re

import pytest

from fitcheck.drawing.cards import LISTED, LISTED_MARGIN, card, card_bar, listed_outlines
from fitcheck.drawing.change_rows import change_rows, changes_of
from fitcheck.drawing.dial_line import DialChart, WidthAtDial, chart_of, dial_line
from fitcheck.drawing.history import history
from fitcheck.drawing.notebook import report_html
from fitcheck.drawing.outline import outline_of
from fitcheck.drawing.rows import Row, scale_for
from fitcheck.drawing.sizes_rulers import SizesAtPoint, sizes_at_points, sizes_ruler, sizes_span
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told, sizes_told
from fitcheck.reports.steps import Steps, steps
from fitcheck.words.sizes import beyond_sentence
from tests.drawing.drawn import by_class, demo, ends, invented, meetings, parsed, text_boxes
from tests.invented import household


def floats(text):
    return [float(figure) for figure in re.findall(r"-?\d+(?:\.\d+)?", text)]


def make(key="grey_pullover"):
    return next(one for one in household().makes if one.id == key)


def told(key: str = "grey_pullover") -> Steps:
    return steps(given_of(make(key), household()))


@pytest.mark.parametrize(
    ("values", "low", "high", "step"),
    [([-9.2, 0.0], -10, 0, 2), ([4.1, 4.8], 4.1, 4.8, 0.2), ([0.0, 0.0], -1, 1, 0.5), ([-40, 25], -40, 40, 20)],
)
def test_an_axis_ends_on_figures_and_holds_its_values(values, low, high, step):
    scale = scale_for(values)
    assert scale.low <= min(values)
    assert scale.high >= max(values)
    assert scale.step == pytest.approx(step)
    ticks = scale.ticks()
    assert len(ticks) <= 7
    assert ticks[0] == pytest.approx(scale.low)
    assert ticks[-1] == pytest.approx(scale.high)
    assert scale.low <= low
    assert scale.high >= high


def test_changes_stand_on_one_axis_at_their_numbers():
    rows = [Row("one", -8.0, -9.0, -7.0), Row("two", -4.0, -5.0, -3.0), Row("next piece", -6.0, -10.0, -2.0, "next")]
    root = parsed(change_rows(rows))
    bars = [(float(element.get("x")), float(element.get("width"))) for element in by_class(root, "r-int")]
    # The axis goes from -10 to 0 over 260 units from 14 on.
    assert bars == [(pytest.approx(14 + 26 * low), pytest.approx(26 * wide)) for low, wide in ((1, 2), (5, 2), (0, 8))]
    assert [element.text for element in by_class(root, "r-num")][-1] == "0 %"
    assert meetings(root) == []


def test_a_fabrics_rows_are_its_swatches_and_the_next_piece():
    answer = fabric_told(told())
    first, second = (specimen.key for specimen in answer.specimens[:2])
    rows = changes_of(answer, "off_machine", "along", {first: "grey, dial 6"})
    assert len(rows) == 4
    assert [row.name for row in rows[:2]] == ["grey, dial 6", second.replace("_", " ")]
    assert [row.kind for row in rows] == ["read", "read", "read", "next"]
    # First swatch: row height 3.267 mm off the machine, 2.972 mm blocked, as the answer lists them.
    sizes = {(g.stage, g.direction): g.size.value for g in answer.specimens[0].gauges}
    assert rows[0].value == pytest.approx(100 * (sizes["blocked", "along"] / sizes["off_machine", "along"] - 1))
    assert rows[0].low < rows[0].value < rows[0].high
    assert change_rows([]) == ""


def test_a_word_stands_only_at_an_end_that_something_reaches():
    def words(*rows: Row) -> set[str]:
        return {element.text for element in by_class(parsed(change_rows(rows)), "r-side")} & {"shrinks", "grows"}

    assert words(Row("a", -2.0, -3.0, -1.0)) == {"shrinks"}
    assert words(Row("a", 2.0, 1.0, 3.0)) == {"grows"}
    assert words(Row("a", 1.0, -1.0, 3.0)) == {"shrinks", "grows"}


def test_in_inches_the_dial_chart_tells_stitches_to_4_in_at_their_heights():
    chart = DialChart(
        (WidthAtDial(6.0, 4.0, 3.9, 4.1),), tuple(WidthAtDial(d, 4.0 + (d - 6) / 2, 3.8, 5.2) for d in (6, 7, 8))
    )
    metric, inches = (parsed(dial_line(chart, "Dial.", unit=unit)) for unit in ("cm", "in"))
    assert {"mm per stitch"} <= {element.text for element in by_class(metric, "r-side")}
    assert {"stitches to 4 in"} <= {element.text for element in by_class(inches, "r-side")}

    def sides(root):
        ends = (element for element in by_class(root, "r-num") if element.get("text-anchor") == "end")
        return [(float(end.get("y")) - 4.2, float(end.text)) for end in ends]

    (y1, mm1), *_, (y2, mm2) = sides(metric)
    told = sides(inches)
    assert len(told) > 2
    for y, stitches in told:
        mm = mm1 + (y - y1) * (mm2 - mm1) / (y2 - y1)
        assert stitches == pytest.approx(101.6 / mm, abs=0.05)
    assert meetings(inches) == []


def test_the_dial_chart_puts_every_number_at_its_place():
    chart = DialChart(
        (WidthAtDial(6.0, 4.0, 3.9, 4.1), WidthAtDial(7.0, 4.5, 4.4, 4.6, piece=True)),
        tuple(WidthAtDial(d, 4.0 + (d - 6) / 2, 3.8 + (d - 6) / 2, 4.2 + (d - 6) / 2) for d in (5, 6, 7, 8)),
        (4.25, 0.08),
        7.0,
    )
    root = parsed(dial_line(chart, "Stitch width against the dial."))
    left, right = 48.0, 272.0

    def x(dial):
        return left + (right - left) * (dial - 5) / 3

    swatch = next(element for element in by_class(root, "r-dot") if element.get("cx"))
    piece = next(element for element in by_class(root, "r-dot") if element.get("width"))
    assert float(swatch.get("cx")) == pytest.approx(x(6), abs=0.02)
    assert float(piece.get("x")) + float(piece.get("width")) / 2 == pytest.approx(x(7), abs=0.02)
    line = floats(by_class(root, "p-line")[0].get("d"))
    heights = dict(zip(line[::2], line[1::2], strict=True))
    assert float(swatch.get("cy")) == pytest.approx(heights[round(x(6), 2)], abs=0.02)
    wanted = floats(by_class(root, "o-ref")[0].get("d"))[1]
    assert wanted == pytest.approx((heights[round(x(6), 2)] + heights[round(x(7), 2)]) / 2, abs=0.02)
    assert floats(by_class(root, "r-wantm")[0].get("d"))[0] == pytest.approx(x(7) - 5, abs=0.02)
    assert meetings(root) == []
    assert root.get("role") == "img"


@pytest.mark.parametrize("key", [one.id for one in household().makes])
def test_every_demo_fabric_can_be_drawn(key):
    answer = fabric_told(told(key))
    chart = chart_of(answer)
    assert chart is not None
    read = [
        specimen
        for specimen in answer.specimens
        if specimen.dial and any(g.stage == "blocked" for g in specimen.gauges)
    ]
    assert len(chart.knitted) == len(read)
    assert meetings(parsed(dial_line(chart, "Stitch width against the dial."))) == []


def test_a_fabric_without_clicks_has_no_chart():
    assert dial_line(DialChart((), ()), "Nothing.") == ""


def marks(*differences, names=()):
    named = names or [str(place) for place in range(1, len(differences) + 1)]
    return {name: Quantity(d, d - 3, d + 3, 0.9, 1.5, None, "mm") for name, d in zip(named, differences, strict=True)}


@pytest.mark.parametrize("unit", ["cm", "in"])
@pytest.mark.parametrize("count", [1, 3, 6, 10, 12])
@pytest.mark.parametrize("step", [1.0, 8.0, 25.0])
def test_the_marks_of_sizes_carry_their_names_at_their_values_and_never_meet(unit, count, step):
    names = ["S", "M", "L", "XL", "2XL", "Women XL", "34", "36", "one size fits", "7", "8", "9"][:count]
    one = SizesAtPoint("chest", 10.0, 10.0, marks(*((place - count / 2) * step for place in range(count)), names=names))
    span = sizes_span([one], unit)
    best = min(one.marks, key=lambda name: abs(one.marks[name].value))
    root = parsed(sizes_ruler(one, unit, span, best))
    assert meetings(root) == []
    narrower, wider = one.beyond(span)
    drawn = [name for name in names if name not in narrower + wider]
    assert [each.text for each in root.iter() if each.get("class") in ("z-name", "z-named")] == [
        name if len(name) <= 10 else f"{name[:9]}…" for name in drawn
    ]
    pills = [each for each in root.iter() if each.get("class") in ("z-pill", "z-best")]
    assert [each.get("class") for each in pills] == ["z-best" if name == best else "z-pill" for name in drawn]
    for name, pill in zip(drawn, pills, strict=True):
        left, wide = float(pill.get("x")), float(pill.get("width"))
        assert left >= 0
        assert left + wide <= 288
        middle = 144 + 132 * one.marks[name].value / span
        # A wide mark at the end of the axis stays inside the drawing.
        assert left + wide / 2 == pytest.approx(min(max(middle, wide / 2 + 1), 287 - wide / 2), abs=0.1)
    rows = [float(each.get("y")) for each in pills]
    assert all(below - above >= 18 for above, below in itertools.pairwise(rows))


def test_sizes_off_the_axis_are_named_and_not_drawn():
    one = SizesAtPoint("chest", 10.0, 10.0, marks(-50.0, -5.0, 12.0, 60.0, 70.0))
    root = parsed(sizes_ruler(one, "cm", 20.0))
    assert [each.text for each in by_class(root, "z-name")] == ["2", "3"]
    assert one.beyond(20.0) == (("1",), ("4", "5"))
    assert beyond_sentence(*one.beyond(20.0)) == "1 narrower still; 4 and 5 wider still."
    assert beyond_sentence((), ()) == ""


def test_sizes_of_a_make_have_a_mark_per_size_at_every_width():
    answer = sizes_told(told(), None)
    points = sizes_at_points(answer)
    assert [point.key for point in points][:2] == ["shoulder_width", "chest"]
    for one in points:
        assert list(one.marks) == [size.name for size in answer.sizes]
        width = answer.sizes[2].width(one.key)
        assert one.marks[answer.sizes[2].name] == width.difference


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
def test_a_history_is_read_as_differences_from_the_latest(unit):
    measured = [Row("8 Dec 2024, worn", 540, 535, 545, "assumed"), Row("2 Mar 2025", 533, 530, 536)]
    root = parsed(history(measured, unit))
    assert meetings(root) == []
    marks_ = [float(one.get("cx")) for one in [*by_class(root, "r-ring"), *by_class(root, "r-dot")]]
    zero = floats(by_class(root, "r-want")[0].get("d"))[0]
    assert marks_[1] == pytest.approx(zero)
    bars = [float(element.get("width")) for element in by_class(root, "r-int")]
    assert marks_[0] - marks_[1] == pytest.approx(bars[0] * 7 / 10, abs=0.05)
    assert history([], unit) == ""


def carded(measures, label="A pullover.", construction="set_in"):
    return card(outline_of(measures, piece="back", construction=construction), label)


def test_cards_are_all_at_1_to_20():
    for chest in (378.0, 541.0):
        root = parsed(carded({"chest": chest, "armhole_depth": 210.0, "body_length": 500.0}))
        assert root.get("viewBox") == "0 0 160 220"
        xs = []
        for one in [*by_class(root, "o-thin"), *by_class(root, "o-piece")]:
            xs += [x for x, _ in ends(one.get("d"))]
        # 96 units to the inch.
        assert (max(xs) - min(xs)) / 96 * 25.4 * 20 == pytest.approx(chest, abs=1.0)
    assert carded({"chest": 541.0}) == ""
    long = floats(by_class(parsed(card_bar("cm")), "r-edge")[0].get("d"))[2]
    assert long / 96 * 25.4 * 20 == pytest.approx(100.0, abs=0.1)


def test_a_notebook_shows_drawing_and_sentences():
    html = report_html(demo("grey_pullover"))
    assert html.count("<svg") == 1 + 2 * len(demo("grey_pullover").points)
    assert "Chest, flat: differs" in html
    assert "style=" not in html
    assert "<svg" not in report_html(invented([]))


def test_forty_swatches_with_long_intervals_stand_at_their_numbers_and_no_text_meets():
    knitted = tuple(
        WidthAtDial(1 + at / 4, 3.5 + at / 16, 1.5 + at / 16, 5.5 + at / 16, at % 7 == 0) for at in range(40)
    )
    clicks = tuple(WidthAtDial(at / 3, 3.2 + at / 12, 1.0, 9.0) for at in range(3, 33))
    for mark in (".", ","):
        root = parsed(
            dial_line(DialChart(knitted, clicks, (4.25, 0.08), 4.0), "Stitch width against the dial.", mark=mark)
        )
        assert meetings(root) == []
        discs = [float(element.get("cx")) for element in by_class(root, "r-dot") if element.get("cx")]
        assert len(discs) == 34
        assert discs == sorted(discs)
        _, _, width, height = floats(root.get("viewBox"))
        for one in by_class(root, "r-intend"):
            x, high, low, *_ = floats(one.get("d"))
            assert 0 <= x <= width
            assert 0 <= high < low <= height


def test_axis_figures_have_the_persons_decimal_mark():
    chart = DialChart(
        (WidthAtDial(6.0, 4.1, 4.0, 4.2),), (WidthAtDial(5.0, 3.9, 3.8, 4.0), WidthAtDial(7.0, 4.3, 4.2, 4.4))
    )
    rows = [Row("one", -0.8, -1.2, -0.4)]
    measured = [Row("then", 533, 530, 536), Row("now", 531, 529, 533)]
    for svgs in (
        [draw(mark) for mark in (".", ",")]
        for draw in (
            lambda mark: dial_line(chart, "Dial.", mark=mark),
            lambda mark: change_rows(rows, mark=mark),
            lambda mark: history(measured, "cm", mark=mark),
        )
    ):
        point, comma = ([element.text for element in by_class(parsed(svg), "r-num")] for svg in svgs)
        assert any("." in one for one in point)
        assert comma == [one.replace(".", ",") for one in point]


def test_rows_with_long_names_are_cut_to_the_drawing_and_stay_in_their_row():
    name = "the swatch that was knitted twice on the other machine and washed with the winter coats"
    rows = [Row(f"{place} {name}", -4.0 - place, -9.0, -1.0) for place in range(8)]
    root = parsed(change_rows(rows))
    assert meetings(root) == []
    for box in text_boxes(root):
        assert box.left >= 0
        assert box.right <= 288
    names = [element.text for element in by_class(root, "r-side")][:8]
    assert all(name.endswith("…") for name in names)


@pytest.mark.parametrize("unit", ["cm", "in", "mm"])
def test_a_history_of_ten_measurings_keeps_them_in_order_and_apart(unit):
    measured = [
        Row(
            f"{day} Mar 2025, washed, dried flat",
            540 - 2 * day,
            536 - 2 * day,
            544 - 2 * day,
            "read" if day % 3 else "assumed",
        )
        for day in range(10)
    ]
    root = parsed(history(measured, unit))
    assert meetings(root) == []
    marks_ = sorted(
        (float(element.get("cy")), float(element.get("cx")))
        for name in ("r-ring", "r-dot")
        for element in by_class(root, name)
    )
    assert len(marks_) == 10
    xs = [x for _, x in marks_]
    assert xs == sorted(xs, reverse=True)
    steps = [a - b for a, b in itertools.pairwise(xs)]
    assert steps == pytest.approx([steps[0]] * 9, abs=0.03)


def test_a_raglan_has_no_card():
    measures = {"chest": 520.0, "armhole_depth": 210.0, "body_length": 500.0}
    assert carded(measures, "A raglan.", "raglan") == ""
    assert carded(measures, construction="side_panels")


def test_every_chart_opens_as_a_file_of_its_own():
    drawings = {
        "dial": dial_line(DialChart((), (WidthAtDial(6.0, 4.0, 3.9, 4.1),)), "Dial."),
        "rows": change_rows([Row("one", -8.0, -9.0, -7.0)]),
        "sizes": sizes_ruler(SizesAtPoint("chest", 10.0, 10.0, marks(-5.0, 5.0)), "cm", 20.0),
        "card": carded({"chest": 520.0, "body_length": 500.0}),
    }
    for name, svg in drawings.items():
        root = parsed(svg)
        for one in root.iter():
            if one.tag.rpartition("}")[2] in ("path", "rect", "circle", "text"):
                assert one.get("fill") or one.get("stroke"), (name, one.attrib)


def test_outlines_of_a_list_have_one_scale_and_the_widest_fills_the_box():
    back = {"chest": 560.0, "shoulder_width": 420.0, "armhole_depth": 220.0, "body_length": 640.0}
    small = {key: mm / 2 for key, mm in back.items()}
    svgs = listed_outlines([(outline_of(measures), True) for measures in (back, small)])

    def size(svg):
        corners = ends(re.search(r' d="([^"]+)"', svg)[1])
        (left, right), (top, bottom) = ((min(along), max(along)) for along in zip(*corners, strict=True))
        return right - left, bottom - top

    (wide, tall), (half_wide, half_tall) = map(size, svgs)
    assert wide == pytest.approx(LISTED - 2 * LISTED_MARGIN, abs=0.02)
    assert (half_wide, half_tall) == pytest.approx((wide / 2, tall / 2), rel=0.01)
    assert listed_outlines([(CannotSay("no_outline", "nothing", "Read."), True)]) == [""]
