"""The overlay: true to scale, lined up where asked, hatched only where the tape touched."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from fitcheck.drawing.details import WINDOW_MM, detail_words, details, details_of
from fitcheck.drawing.laid import PLACES, Laid, lay
from fitcheck.drawing.look import TEXT
from fitcheck.drawing.outline import flat
from fitcheck.drawing.overlay import body_of, on_page, overlay
from fitcheck.drawing.rulers import ruler
from fitcheck.drawing.sheet import SCALES, sheet
from fitcheck.estimates.numbers import CannotSay
from fitcheck.words import point_name
from tests.drawing.drawn import (
    SVG,
    by_class,
    demo,
    ends,
    everything,
    invented,
    parsed,
    point,
    random_back,
    random_sleeve,
    stretch,
    stretches,
)
from tests.invented import household, in_turn

WANTED = {"shoulder_width": 410.0, "chest": 520.0, "armhole_depth": 210.0, "hem": 500.0, "body_length": 615.0}
WANTED |= {"neck_width": 170.0, "shoulder_drop": 25.0}
NUMBER = r"-?\d+(?:\.\d+)?"


def back(**measured):
    """A back as wanted but for what is said."""
    return invented([point(key, mm, measured.get(key, mm)) for key, mm in WANTED.items()])


def laid_of(made, at="shoulders") -> Laid:
    found = lay(made, at)
    assert isinstance(found, Laid)
    return found


def numbers(text):
    return [float(figure) for figure in re.findall(NUMBER, text)]


def path_of(root, ids):
    return next(element.get("d") for element in root.iter() if element.get("id") == ids)


def test_the_outlines_are_true_to_the_scale_that_the_drawing_names():
    root = parsed(overlay(back(chest=520.0), "cm"))
    mm = float(root.get("data-unit-mm"))
    points = ends(path_of(root, "ov-w"))
    assert (max(x for x, _ in points) - min(x for x, _ in points)) * mm == pytest.approx(520.0, abs=0.1)
    assert (max(y for _, y in points) - min(y for _, y in points)) * mm == pytest.approx(615.0, abs=0.1)


def test_the_scale_bar_is_true_to_the_same_scale():
    root = parsed(overlay(back(), "cm"))
    bar = by_class(root, "scalebar")[0]
    edge = next(part for part in bar if part.get("class") == "r-edge")
    long = numbers(edge.get("d"))[2] * float(root.get("data-unit-mm"))
    figures = [part.text for part in bar if part.tag == f"{SVG}text"]
    assert figures[-1] == f"{long / 10:.0f} cm"
    assert float(figures[1]) == pytest.approx(long / 20, abs=0.01)


def test_a_width_shows_half_its_difference_on_each_side():
    root = parsed(overlay(back(chest=498.0, hem=480.0), "cm"))
    mm = float(root.get("data-unit-mm"))
    wanted, piece = (max(x for x, _ in ends(path_of(root, name))) for name in ("ov-w", "ov-p"))
    assert (wanted - piece) * mm == pytest.approx(11.0, abs=0.1)


@pytest.mark.parametrize(("at", "shift"), [("shoulders", 0.0), ("underarm", -6.0), ("hem", -16.0)])
def test_the_piece_is_moved_to_where_it_is_lined_up(at, shift):
    made = back(armhole_depth=216.0, body_length=631.0)
    assert laid_of(made, at).shift == pytest.approx(shift)
    root = parsed(overlay(made, "cm", at=at))
    mm = float(root.get("data-unit-mm"))
    moved = {element.get("transform") for element in by_class(root, "mv")}
    assert len(moved) == 1
    assert numbers(moved.pop())[1] * mm == pytest.approx(shift, abs=0.1)
    assert float(root.get(f"data-{at}")) * mm == pytest.approx(shift, abs=0.1)


def test_moving_the_piece_does_not_change_the_scale():
    # Narrow and tall, so that its height sets the scale; at the underarm it reaches above the wanted one.
    narrow = WANTED | {"chest": 300.0, "hem": 290.0, "shoulder_width": 240.0}
    made = invented([point(key, mm, mm + 60 * (key == "armhole_depth")) for key, mm in narrow.items()])
    scales = {parsed(overlay(made, "cm", at=at)).get("data-unit-mm") for at in PLACES}
    assert len(scales) == 1


def test_lining_up_elsewhere_is_refused_by_name():
    with pytest.raises(ValueError, match="elbow"):
        lay(back(), "elbow")


# Hatching


def hit(zones, x, y):
    return any(left < abs(x) < right and top < y < bottom for left, top, right, bottom in zones)


def drawn_in_points(laid):
    """Points on the drawn-in stretches of both outlines, inside their ends, for every way of lining up."""
    for outline, shifts in ((laid.wanted, [0.0]), (laid.piece, list(laid.shifts.values()))):
        for one in outline.stretches:
            if one.touched or one.name == "front_edge":
                continue
            line = flat(one, 16)
            if len(line) == 2:
                (x1, y1), (x2, y2) = line
                line = [(x1 + (x2 - x1) * t / 16, y1 + (y2 - y1) * t / 16) for t in range(17)]
            for x, y in line[1:-1]:
                for shift in shifts:
                    yield one.name, x, y + shift


def test_no_drawn_in_stretch_is_ever_hatched():
    checked = 0
    for seed in range(200):
        laid = lay(random_back(seed))
        if not isinstance(laid, Laid) or not laid.zones():
            continue
        for name, x, y in drawn_in_points(laid):
            checked += 1
            assert not hit(laid.zones(), x, y), (seed, name, x, y)
    assert checked > 2000


def test_touched_sides_and_hem_are_hatched():
    laid = laid_of(back(chest=498.0, hem=480.0, body_length=630.0))
    assert hit(laid.zones(), 254.0, 300.0)
    assert hit(laid.zones(), 100.0, 622.0)
    assert hit(laid.zones(), 150.0, 15.0)


def test_nothing_is_hatched_where_only_one_width_was_read():
    made = invented([point("chest", 520.0, 498.0), point("armhole_depth", 210.0, 210.0)])
    assert laid_of(made).zones() == ()
    root = parsed(overlay(made, "cm"))
    assert by_class(root, "hatch") == []
    assert "missing" not in [element.text for element in root.iter()]


def test_a_measure_that_nobody_read_shows_no_difference():
    laid = laid_of(invented([point("chest", 520.0, 498.0), point("body_length", 615.0, 615.0)]))
    assert laid.wanted.corners["T"] == laid.piece.corners["T"]
    assert laid.wanted.corners["N"] == laid.piece.corners["N"]
    assert laid.wanted.corners["H"] == laid.piece.corners["H"]
    assert set(laid.drawn_in) == {
        "shoulder_width", "neck_width", "back_neck_drop", "shoulder_drop", "armhole_depth", "hem",
    }  # fmt: skip


def test_what_is_drawn_in_is_named_in_the_title_block():
    root = parsed(overlay(demo("grey_pullover"), "cm"))
    block = " ".join(element.text for element in by_class(root, "title-block")[0].iter() if element.text)
    assert f"Drawn in, not measured {point_name('back_neck_drop')}" in block
    assert "seam stitches added" in block


# Which side is which, read off the drawing itself


def polygon(d):
    """An outline's corners, its cubics in 24 steps."""
    found = []
    for command, pairs in stretches(d):
        if command != "C":
            found += pairs
            continue
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = found[-1], *pairs
        for step in range(1, 25):
            t = step / 24
            a, b, c, e = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            found.append((a * x0 + b * x1 + c * x2 + e * x3, a * y0 + b * y1 + c * y2 + e * y3))
    return found


def within(points, x, y):
    odd = False
    for (x1, y1), (x2, y2) in pairwise([*points, points[0]]):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            odd = not odd
    return odd


def hatched_as(root, x, y, ids="ov"):
    """The hatching that shows at a place of a drawing [units]: "missing", "over", both, or none."""
    shapes = {
        element.get("id"): polygon(element.get("d"))
        for element in root.iter()
        if element.get("id") in (f"{ids}-w", f"{ids}-p")
    }
    masks = {element.get("id"): element for element in root.iter() if element.tag == f"{SVG}mask"}
    clip = next(element for element in root.iter() if element.get("id") == f"{ids}-z")[0].get("d")
    if not any(within(polygon_of_box(box), x, y) for box in clip.split("Z") if box):
        return set()

    def covers(use):
        moved = numbers(use.get("transform", "translate(0 0)"))[1]
        return within(shapes[use.get("href")[1:]], x, y - moved)

    found = set()
    for group in by_class(root, "hatch")[0]:
        hidden = masks[group.get("mask")[5:-1]][1]
        if covers(group[0]) and not covers(hidden):
            found.add({"s": "missing", "o": "over"}[group[0].get("fill")[-2]])
    return found


def polygon_of_box(d):
    x1, y1, x2, y2, x3 = numbers(d)
    return [(x1, y1), (x2, y1), (x2, y2), (x3, y2)]


@pytest.mark.parametrize("flip", [False, True])
def test_missing_is_hatched_where_the_wanted_reaches_further_and_over_where_the_piece_does(flip):
    for chest, expected in ((490.0, {"missing"}), (550.0, {"over"})):
        made = back(chest=chest, hem=500.0 + chest - 520.0, body_length=600.0 if chest < 520 else 630.0)
        root = parsed(overlay(made, "cm"))
        view = body_of(laid_of(made), "cm", ids="ov").view
        side = -1.0 if flip else 1.0
        between = (chest / 2 + 260.0) / 2
        assert hatched_as(root, view.x(side * between), view.y(300.0)) == expected
        # The lower end, and well inside both, and outside of both.
        length = 607.0 if chest < 520 else 622.0
        assert hatched_as(root, view.x(side * 50.0), view.y(length)) == expected
        assert hatched_as(root, view.x(side * 100.0), view.y(400.0)) == set()
        assert hatched_as(root, view.x(side * 300.0), view.y(400.0)) == set()


def test_moved_to_the_hem_the_hatching_moves_along():
    made = back(body_length=600.0)
    view = body_of(laid_of(made), "cm", ids="ov").view
    at_hem = parsed(overlay(made, "cm", at="hem"))
    assert hatched_as(at_hem, view.x(50.0), view.y(607.0)) == set()
    assert hatched_as(parsed(overlay(made, "cm")), view.x(50.0), view.y(607.0)) == {"missing"}


# Sleeves

SLEEVE = {"upper_arm": 380.0, "cuff": 230.0, "cap_height": 140.0, "sleeve_length": 590.0}


def sleeve(**measured):
    return invented([point(key, mm, measured.get(key, mm)) for key, mm in SLEEVE.items()], piece="sleeve")


def test_a_sleeve_is_laid_over_the_wanted_sleeve_true_to_scale():
    root = parsed(overlay(sleeve(cuff=210.0), "cm"))
    mm = float(root.get("data-unit-mm"))
    for name, widest, cuff in (("ov-w", 380.0, 230.0), ("ov-p", 380.0, 210.0)):
        points = ends(path_of(root, name))
        assert (max(x for x, _ in points) - min(x for x, _ in points)) * mm == pytest.approx(widest, abs=0.2)
        low = max(y for _, y in points)
        foot = [x for x, y in points if y == low]
        assert (max(foot) - min(foot)) * mm == pytest.approx(cuff, abs=0.2)


def test_a_sleeve_is_lined_up_at_its_top_underarm_or_cuff():
    said = []
    for at in PLACES:
        root = parsed(overlay(sleeve(cap_height=150.0, sleeve_length=605.0), "cm", at=at))
        said.append(root.find(f"{SVG}title").text.rpartition("lined up at the ")[2])
    assert said == ["top.", "underarm.", "cuff."]
    assert laid_of(sleeve(cap_height=150.0, sleeve_length=605.0), "underarm").shift == pytest.approx(-10.0)
    assert laid_of(sleeve(cap_height=150.0, sleeve_length=605.0), "hem").shift == pytest.approx(-15.0)


def test_a_sleeves_cap_is_drawn_in_and_never_hatched():
    checked = 0
    for seed in range(200):
        laid = lay(random_sleeve(seed))
        if not isinstance(laid, Laid) or not laid.zones():
            continue
        for name, x, y in drawn_in_points(laid):
            checked += 1
            assert not hit(laid.zones(), x, y), (seed, name, x, y)
    assert checked > 500
    root = parsed(overlay(sleeve(), "cm"))
    thin = "".join(element.get("d") for element in by_class(root, "o-thin") if "C" in element.get("d"))
    assert thin.count("C") == 2


def test_a_sleeve_read_at_two_points_borrows_the_rest_and_says_so():
    made = invented([point("upper_arm", 380.0, 366.0), point("sleeve_length", 590.0, 590.0)], piece="sleeve")
    laid = laid_of(made)
    assert set(laid.drawn_in) == {"cuff", "cap_height"}
    assert laid.wanted.corners["H"] == laid.piece.corners["H"]
    assert laid.zones() == ()


def test_a_raglan_is_left_to_its_rulers():
    for piece in ("back", "sleeve"):
        found = lay(back() if piece == "back" else sleeve(), "shoulders", "raglan")
        assert found.code == "no_outline"
        assert overlay(back() if piece == "back" else sleeve(), construction="raglan") == ""
    # Without the make's own word, a refused shoulder seam tells of one.
    refused = invented(back().points, refused={"shoulder_seam": CannotSay("not_in_construction", "x", "y")})
    assert lay(refused).code == "no_outline"


# Tapes


def test_a_tape_is_as_long_as_what_was_measured():
    measured = WANTED | {"chest": 498.0, "body_length": 630.0, "armhole_depth": 214.0, "to_underarm": 391.0}
    measured |= {"centre_back": 612.0, "back_neck_drop": 18.0, "armhole_from_neck": 239.0, "waist": 470.0}
    laid = laid_of(invented([point(key, mm, mm) for key, mm in measured.items()]))
    assert {tape.key for tape in laid.tapes} == set(measured)
    for tape in laid.tapes:
        (x1, y1), (x2, y2) = tape.ends
        measured = laid.points[tape.key].measured.value
        assert abs(x2 - x1) + abs(y2 - y1) == pytest.approx(measured), tape.key


def test_keys_count_from_the_neck_to_the_hem():
    laid = laid_of(back())
    assert list(laid.figures) == [
        "neck_width", "shoulder_drop", "shoulder_width", "armhole_depth", "chest", "body_length", "hem",
    ]  # fmt: skip
    assert list(laid.figures.values()) == [1, 2, 3, 4, 5, 6, 7]


# Details


def test_a_point_that_differs_has_a_window_round_both_ends_of_its_gap():
    made = back(chest=498.0, body_length=628.0)
    found = {one.key: one for one in details_of(laid_of(made))}
    assert set(found) == {"chest", "body_length"}
    chest = found["chest"]
    assert chest.wanted == (260.0, 260.0)
    assert chest.piece == (249.0, 260.0)
    assert detail_words(chest, "cm") == "A, chest: 1.1 cm missing at each side"
    assert detail_words(found["body_length"], "cm") == "B, body length: 1.3 cm over"
    left, top, right, bottom = chest.window
    assert (right - left, bottom - top) == WINDOW_MM
    assert left < 249 < 260 < right


def test_the_window_of_an_armhole_depth_shows_the_underarm_and_not_an_empty_box():
    laid = laid_of(back(armhole_depth=222.0))
    (depth,) = [one for one in details_of(laid) if one.key == "armhole_depth"]
    left, top, right, bottom = depth.window
    for outline, shift in ((laid.wanted, 0.0), (laid.piece, laid.shift)):
        x, y = outline.corners["U"]
        assert left < x < right
        assert top < y + shift < bottom
    assert depth.gap_mm == pytest.approx(12.0)
    assert left < depth.piece[0] < right


def test_a_gap_larger_than_the_window_has_none():
    assert details_of(laid_of(back(body_length=665.0))) == []


def test_at_most_four_windows():
    made = back(**{key: mm + 10.5 for key, mm in WANTED.items()})
    assert len(details_of(laid_of(made))) == 4
    assert len(details(made, "cm")) == 4


def test_lined_up_at_the_hem_the_body_length_shows_at_the_shoulder():
    low = details_of(laid_of(back(body_length=628.0), "hem"))[0]
    assert low.piece[1] - low.wanted[1] == pytest.approx(-13.0)
    assert low.wanted[1] == 0.0


# Sheet


def test_a_chest_of_520_mm_is_520_mm_at_the_sheets_scale():
    root = parsed(sheet(back(), "cm"))
    scale = float(root.get("data-scale"))
    assert scale in SCALES
    assert root.get("width") == "210mm"
    assert root.get("viewBox") == "0 0 210 297"
    for element, factor, _, _ in everything(root):
        if element.get("id") == "sh-w":
            points = ends(element.get("d"))
            across = max(x for x, _ in points) - min(x for x, _ in points)
            assert across * factor * scale == pytest.approx(520.0, abs=0.1)
            break
    else:
        pytest.fail("no outline on the sheet")


def test_the_bar_to_check_is_100_mm_and_windows_are_of_true_size():
    root = parsed(sheet(back(chest=498.0), "cm"))
    seen = set()
    for element, factor, _, _ in everything(root):
        if element.get("class") == "check-bar":
            edge = next(part for part in element if part.get("class") == "r-edge")
            assert numbers(edge.get("d"))[2] * factor == pytest.approx(100.0, abs=0.01)
            broken = [part for part in element if part.get("stroke-dasharray")]
            steps = [sum(map(float, part.get("stroke-dasharray").split())) * factor for part in broken]
            assert steps == pytest.approx([1.0, 5.0, 10.0], abs=1e-6)
            for part in broken:  # its first tick is in the middle of the bar's end
                tick, _ = map(float, part.get("stroke-dasharray").split())
                assert numbers(part.get("d"))[0] == pytest.approx(-tick / 2)
            seen.add("bar")
        if element.get("id") == "sha-w":
            points = ends(element.get("d"))
            across = max(x for x, _ in points) - min(x for x, _ in points)
            assert across * factor == pytest.approx(520.0, abs=0.1)
            seen.add("window")
    assert seen == {"bar", "window"}


@pytest.mark.parametrize("make", in_turn([make.id for make in household().makes]))
def test_everything_on_a_sheet_stands_on_the_paper_and_is_9_points_high(make):
    svg = sheet(demo(make), "in", dated="22 Nov 2025", revision="3")
    lowest = 0.0
    for element, factor, dx, dy in everything(parsed(svg)):
        if element.tag == f"{SVG}text":
            assert TEXT * factor >= 9 * 25.4 / 72
            x, y = dx + factor * float(element.get("x")), dy + factor * float(element.get("y", 0))
            assert 10 <= x <= 200
            assert 10 <= y <= 287
        if element.get("class") == "frame":
            lowest = dy + factor * (float(element.get("y")) + float(element.get("height")))
        if element.get("class") == "check-bar":
            edge = next(part for part in element if part.get("class") == "r-edge")
            assert dy + factor * numbers(edge.get("d"))[1] > lowest + 3
    assert lowest > 100


def test_an_outline_is_true_at_every_standard_scale():
    seen = {}
    for times in (0.5, 0.6, 0.8, 1.2, 1.5, 2.6):
        made = invented([point(key, mm * times, mm * times) for key, mm in WANTED.items()])
        root = parsed(sheet(made, "cm"))
        scale = float(root.get("data-scale"))
        for element, factor, _, _ in everything(root):
            if element.get("id") == "sh-w":
                points = ends(element.get("d"))
                across = max(x for x, _ in points) - min(x for x, _ in points)
                seen[scale] = across * factor * scale / (520.0 * times)
    assert set(seen) == set(SCALES)
    assert all(ratio == pytest.approx(1.0, abs=0.0005) for ratio in seen.values())


def test_windows_are_42_by_22_mm_on_the_sheet_and_in_the_file():
    made = back(chest=498.0)
    file = overlay(made, "cm", file=True)
    for svg, units_per_mm in ((sheet(made, "cm"), 1.0), (file, 96 / 25.4)):
        boxes = []
        for element, factor, _, _ in everything(parsed(svg)):
            if element.tag == f"{SVG}clipPath" and element.get("id").endswith("-c"):
                boxes.append([factor * float(element[0].get(side)) / units_per_mm for side in ("width", "height")])
        assert boxes == [[pytest.approx(42.0, abs=0.01), pytest.approx(22.0, abs=0.01)]]


def test_figures_have_the_persons_decimal_mark():
    made = back(chest=498.0)
    for svg in (overlay(made, "cm", mark=",", file=True), sheet(made, "cm", mark=",")):
        told = [element.text for element in parsed(svg).iter() if element.tag == f"{SVG}text"]
        figures = [one for one in told if re.fullmatch(r"[+−]?\d+[.,]\d", one)]
        assert "49,8" in figures
        assert not [one for one in figures if "." in one]
        assert any("1,1 cm" in one for one in [" ".join(told)])
    assert details(made, "cm", mark=",")[0][1] == "A, chest: 1,1 cm missing at each side"


@pytest.mark.parametrize("make", in_turn(make.id for make in household().makes))
def test_the_list_on_the_sheet_says_what_stands_beside_the_tapes_and_adds_up(make):
    made = demo(make)
    svg = sheet(made, "cm")
    if not svg:
        return
    root = parsed(svg)
    cells = [element.text for element in by_class(root, "list")[0].iter() if element.tag == f"{SVG}text"]
    for group in by_class(root, "tape"):
        value = next(part.text for part in group if part.get("class") == "t-val")
        row = cells[cells.index(group.get("data-point"), 5) :][:6]
        if len([one for one in row[3:] if re.fullmatch(r"[+−]?[\d.]+", one)]) == 3:
            assert row[4] == value
            signed = float(row[5].replace("−", "-"))
            assert float(row[3]) + signed == pytest.approx(float(row[4]))


def test_a_small_garment_gets_a_larger_standard_scale():
    small = invented([point(key, mm * 0.4, mm * 0.4) for key, mm in WANTED.items()])
    scales = [float(parsed(sheet(one, "cm")).get("data-scale")) for one in (small, back())]
    assert scales[0] < scales[1]


# Every drawing


@pytest.mark.parametrize("make", [make.id for make in household().makes])
def test_a_drawing_needs_no_style_no_script_and_no_outside(make):
    made = demo(make)
    drawings = [overlay(made, "cm"), sheet(made, "cm"), *(svg for svg, _ in details(made, "cm"))]
    for svg in filter(None, drawings):
        for element in parsed(svg).iter():
            assert element.tag.startswith(SVG)
            assert element.tag.removeprefix(SVG) not in ("style", "script", "foreignObject", "image", "a")
            for name, value in element.attrib.items():
                assert name != "style"
                assert not name.startswith("on")
                if name == "href":
                    assert value.startswith("#")


def test_ids_are_of_their_own_and_every_one_that_is_used_is_there():
    made = demo("grey_pulled_long")
    page = "".join(
        [overlay(made, "cm"), sheet(made, "cm"), *(svg for svg, _ in details(made, "cm")), overlay(made, ids="two")]
    )
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    used = set(re.findall(r"url\(#([^)]+)\)", page)) | set(re.findall(r'href="#([^"]+)"', page))
    used |= set(re.findall(r'aria-labelledby="([^"]+)"', page))
    assert used <= set(ids)


def test_a_drawing_says_in_one_sentence_what_it_shows():
    root = parsed(overlay(demo("grey_pullover"), "cm", at="hem"))
    assert root.get("role") == "img"
    title = root.find(f"{SVG}title")
    assert title.get("id") == root.get("aria-labelledby")
    assert title.text == "The back laid over what is wanted, lined up at the hem."


def test_names_from_the_records_are_escaped():
    base = back()
    made = replace(base, head=replace(base.head, reference='<b> & "c"'))
    svg = overlay(made, "cm")
    assert "<b>" not in svg
    assert '<b> & "c"' in "".join(element.text for element in parsed(svg).iter() if element.text)


def test_text_of_a_page_drawing_is_at_least_12_units_on_288():
    for svg in (overlay(demo("grey_pullover"), "in"), ruler(demo("grey_pullover").points[0], "cm", 20.0)):
        root = parsed(svg)
        assert float(root.get("viewBox").split()[2]) <= 288
        sizes = [float(element.get("font-size")) for element in root.iter() if element.tag == f"{SVG}text"]
        assert sizes
        assert min(sizes) >= 12.5


def test_a_file_of_its_own_has_a_size_and_declares_itself():
    text = overlay(demo("grey_pullover"), "cm", file=True)
    assert text.startswith("<?xml")
    root = parsed(text)
    assert root.get("width") == "288"
    paper = by_class(root, "paper")[0]
    assert (paper.get("width"), paper.get("height")) == (root.get("width"), root.get("height"))
    assert list(root).index(paper) == 1
    assert float(root.get("height")) == float(root.get("viewBox").split()[3])


def test_nothing_to_draw_is_an_empty_text():
    for made in (invented([]), invented([point("chest", 520.0, 505.0)]), invented([], piece=None)):
        assert overlay(made, "cm") == ""
        assert sheet(made, "cm") == ""
        assert details(made, "cm") == []


def test_a_right_front_stands_the_other_way_round():
    points = [point("chest", 260.0, 250.0), point("hem", 250.0, 250.0), point("body_length", 615.0, 615.0)]
    boxes = {}
    for piece in ("left_front", "right_front"):
        made = invented(points, piece=piece)
        laid = laid_of(made)
        body = body_of(laid, "cm", ids="x")
        boxes[piece] = body.view.x(250.0) - body.view.x(0.0)
    assert boxes["left_front"] == pytest.approx(-boxes["right_front"])


def test_drop_shoulders_are_drawn_straight():
    found = lay(demo("moss_first"), "shoulders", "drop_shoulder")
    assert stretch(found.piece, "armhole").touched
    assert stretch(lay(demo("moss_drop_shoulder")).piece, "armhole").touched


def test_the_scale_bar_stands_inside_the_piece_where_there_is_room_and_under_it_otherwise():
    for make, within in (("grey_pullover", True), ("moss_drop_shoulder", True), ("grey_cardigan", False)):
        laid = laid_of(demo(make))
        body = body_of(laid, "cm", ids="ov")
        bar = by_class(parsed(f'<svg xmlns="http://www.w3.org/2000/svg">{body.svg}</svg>'), "scalebar")[0]
        (x, y), (*_, long) = numbers(bar.get("transform")), numbers(bar[0].get("d"))
        lowest = body.view.y(min(laid.wanted.length_mm, laid.piece.length_mm + laid.shift))
        assert (y + 20 < lowest) is within, make
        if within:
            half = body.view.scale * min(laid.wanted.half_mm, laid.piece.half_mm)
            assert abs(x - body.view.left) < half, make
            assert abs(x + long - body.view.left) < half, make


@pytest.mark.parametrize(
    ("measured", "hatched"),
    [
        ({}, ()),
        ({"chest": 498.0, "hem": 480.0}, ("missing",)),
        ({"chest": 560.0, "hem": 540.0}, ("over",)),
        ({"chest": 498.0, "hem": 540.0}, ("missing", "over")),
    ],
)
def test_the_legend_of_a_page_shows_only_what_occurs(measured, hatched):
    drawn = on_page(back(**measured), "cm", at="shoulders", construction="set_in")
    assert drawn.legend == ("wanted", "measured", "drawn in", *hatched)
    # What it says of the page's drawing stands beside it and not in it.
    assert "title-block" not in drawn.svg
    assert "legend" not in drawn.svg
    assert drawn.told[0][0] == "Wanted on this piece"


def test_a_page_has_no_drawing_where_there_is_no_outline():
    assert on_page(invented([]), "cm", at="shoulders", construction="set_in") is None
