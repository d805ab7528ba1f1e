"""Fit rule 8: tolerance and wish say flat, round or piece, and which side."""

import pytest

CHEST, ARM = {"chest": "52"}, {"upper_arm": "18"}
SLEEVE = {"piece": "sleeve"}


def test_flat_0_6_on_a_sleeve_is_1_2_on_the_piece(answer):
    arm = answer(garment_reads=ARM, piece=SLEEVE).at("upper_arm")
    assert arm.tolerance_mm == (12.0, 12.0)
    assert arm.garment_scale == 2.0


def test_a_flat_chest_is_as_wide_as_the_back_so_its_allowance_is_too(answer):
    chest = answer(garment_reads=CHEST).at("chest")
    assert (chest.tolerance_mm, chest.garment_scale) == ((10.0, 10.0), 1.0)


@pytest.mark.parametrize(
    ("key", "piece", "meant", "mm"),
    [
        ("chest", "back", "flat", 8.0),
        ("chest", "back", "round", 4.0),
        ("chest", "back", "piece", 8.0),
        ("upper_arm", "sleeve", "flat", 16.0),
        ("upper_arm", "sleeve", "round", 8.0),
        ("upper_arm", "sleeve", "piece", 8.0),
        ("sleeve_length", "sleeve", "flat", 8.0),
        ("sleeve_length", "sleeve", "piece", 8.0),
    ],
)
def test_8_mm_said_of_the_flat_the_round_or_the_piece(answer, key, piece, meant, mm):
    got = answer(
        garment_reads={key: "30"},
        piece={"piece": piece},
        tolerances={key: {"smaller": "0.8", "larger": "8 mm", "meant": meant}},
        wishes={key: {"by": "0.8", "meant": meant}},
    )
    plain = answer(garment_reads={key: "30"}, piece={"piece": piece})
    assert got.at(key).tolerance_mm == pytest.approx((mm, mm))
    assert got.wanted(key) - plain.wanted(key) == pytest.approx(mm)


@pytest.mark.parametrize(
    ("meant", "length", "mm"),
    [("flat", "52", 520 + 8.8), ("round", "104", 520 + 8.8), ("piece", "52.9", 529.0)],
)
def test_a_wanted_number_said_of_the_flat_the_round_or_the_piece(answer, meant, length, mm):
    got = answer(fits={"numbers": {"chest": {"length": length, "meant": meant}}})
    assert got.wanted("chest") == pytest.approx(mm)
    assert got.at("chest").source == "numbers"


def test_a_wish_can_be_smaller(answer):
    assert answer(garment_reads=CHEST, wishes={"chest": "-2"}).wanted("chest") == pytest.approx(508.8)


def test_a_round_measure_of_a_length_is_refused(answer):
    got = answer(garment_reads={"centre_back": "62"}, wishes={"centre_back": {"by": "2", "meant": "round"}})
    assert got.refused == {"centre_back": "round_of_a_length"}


def test_a_tolerance_may_be_one_sided(answer):
    got = answer(garment_reads=CHEST, tolerances={"chest": {"smaller": "0.5", "larger": "2"}})
    assert got.at("chest").tolerance_mm == (5.0, 20.0)


def test_defaults_are_the_catalogue_s_in_the_flat(answer):
    # cm, common practice, no source (fit rule 8)
    flat = {
        "chest": 10,
        "hem": 10,
        "shoulder_width": 10,
        "neck_width": 6,
        "armhole_depth": 6,
        "body_length": 15,
        "to_underarm": 15,
        "shoulder_seam": 6,
    }
    got = answer(garment_reads=dict.fromkeys(flat, "30"))
    assert {key: got.at(key).tolerance_mm for key in flat} == {key: (mm, mm) for key, mm in flat.items()}
    arm = answer(garment_reads={"sleeve_length": "50", "cuff": "10"}, piece=SLEEVE)
    assert (arm.at("sleeve_length").tolerance_mm, arm.at("cuff").tolerance_mm) == ((13, 13), (12, 12))


@pytest.mark.parametrize(
    ("measures", "printed", "mm"),
    [
        ("flat", ("46", "47.5", "51"), 7.5),  # smallest step 1.5 flat
        ("round", ("92", "95", "102"), 7.5),
        ("piece", ("46.9", "48.4", "51.9"), 7.5),
        ("flat", ("46", "51", "56"), 10.0),  # 5 cm steps leave the default
        ("flat", ("46",), 10.0),  # one size has no step
    ],
)
def test_chest_and_hem_never_allow_more_than_half_a_size_step(answer, measures, printed, mm):
    sizes = [
        {"name": text, "pieces": {"back": {key: {"measure": text} for key in ("chest", "shoulder_width")}}}
        for text in printed
    ]
    got = answer(
        garment_reads={"chest": "52", "shoulder_width": "41"},
        size_table="sizes",
        others={"size_tables": [{"id": "sizes", "name": "invented", "measures": measures, "sizes": sizes}]},
    )
    assert got.at("chest").tolerance_mm == pytest.approx((mm, mm))
    assert got.at("shoulder_width").tolerance_mm == (10.0, 10.0)
    assert ("half_size_step" in got.assumed) == (mm < 10)


def test_numbers_win_over_the_garment_and_a_wish_beside_them_is_asked_about(answer):
    got = answer(
        garment_reads=CHEST,
        wishes={"chest": "2"},
        fits={"garment": "brown", "occasion": "first", "numbers": {"chest": "50"}},
    )
    assert got.wanted("chest") == pytest.approx(508.8)
    assert "wish_beside_figure" in got.all.asks


def test_body_and_ease_are_round_at_round_points(answer):
    body = {"wearers": [{"id": "ann", "name": "the wearer", "body": {"chest": "94", "armhole_depth": "19"}}]}
    got = answer(
        fits={"ease": {"chest": "10", "armhole_depth": "1.5"}},
        wearer="ann",
        others=body,
        seams={"shoulder": "linked"},
    )
    assert got.wanted("chest") == pytest.approx((940 + 100) / 2 + 8.8)
    assert got.wanted("armhole_depth") == pytest.approx(205.0)
    unmeasured = answer(fits={"ease": {"waist": "10"}}, wearer="ann", others=body)
    assert unmeasured.refused == {"waist": "body_unsaid"}


def test_the_back_of_a_sweater_with_side_panels_is_a_panel_narrower(answer):
    got = answer(garment_reads=CHEST, construction="side_panels", panel_width="8")
    assert got.wanted("chest") == pytest.approx(520 - 80 + 8.8)
    assert answer(garment_reads=CHEST, construction="side_panels").refused == {"chest": "panel_width_unsaid"}


def test_an_overhang_is_judged_by_what_the_seams_swallow(answer):
    over = [{"kind": "blocked", "overhangs": {"chest": ["+9 mm", "+8 mm"]}}]
    got = answer(occasion={}, stages=over).at("chest")  # the garment itself was never measured
    assert (got.source, got.wanted) == ("overhang", None)
    assert got.offset.value == pytest.approx(8.8)
    assert got.overhang_difference.value == pytest.approx(8.5 - 8.8)


def test_an_overhang_of_a_folded_sleeve_counts_twice_on_the_piece(answer):
    over = [{"kind": "blocked", "overhangs": {"upper_arm": "+1 cm"}}]
    got = answer(occasion={}, stages=over, piece=SLEEVE)
    assert got.at("upper_arm").overhang_difference.value == pytest.approx(20.0 - 8.8)
    assert "overhang_folded" in got.assumed


def test_an_overhang_beside_a_wanted_number_needs_the_garment_s_own_figure(answer):
    over = [{"kind": "blocked", "overhangs": {"chest": "+9 mm"}}]
    fits = {"garment": "brown", "occasion": "first", "numbers": {"chest": "54"}}
    with_figure = answer(occasion={"readings": CHEST}, fits=fits, stages=over).at("chest")
    assert with_figure.overhang_difference.value == pytest.approx(520 + 9 - (540 + 8.8))
    assert answer(occasion={}, fits=fits, stages=over).at("chest").overhang_difference is None


def test_neck_from_seam_to_seam_and_inside_the_band(answer):
    # fit rule 18: a piece of 20.0 + 0.9 swallowed - 2 x 2.5 of band = 15.9 inside (0.88 exactly)
    bands = [{"edge": "neck", "depth": "2.5", "how": "added_later"}]
    inside = answer(garment_reads={"neck_inside": "15.88"}, bands=bands, piece_reads={"neck_inside": "20"})
    assert inside.wanted("neck_inside") == pytest.approx(200.0)
    seams = answer(garment_reads={"neck_width": "20.88"}, bands=bands)
    assert seams.wanted("neck_width") == pytest.approx(200.0)
    mixed = answer(garment_reads={"neck_inside": "15.88"}, bands=bands, piece_reads={"neck_width": "20"})
    assert mixed.wanted("neck_width") == pytest.approx(200.0)
    assert "converted" in mixed.assumed
    assert answer(garment_reads={"neck_inside": "15.9"}).refused == {"neck_inside": "neck_band_unsaid"}


def test_an_overhang_beside_a_number_and_no_garment_was_laid_on_one_that_is_as_wanted(answer):
    over = [{"kind": "blocked", "overhangs": {"chest": "+9 mm"}}]
    got = answer(fits={"numbers": {"chest": "54"}}, stages=over)
    assert got.at("chest").overhang_difference.value == pytest.approx(9 - 8.8)
    assert "laid_on_as_wanted" in got.assumed
