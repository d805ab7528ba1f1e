"""What is questioned, with the likely slip; what passes; and that what was kept is not asked about again."""

from __future__ import annotations

import math
from typing import Any

import pytest
from scipy.stats import studentized_range

from fitcheck.records.faults import Question
from fitcheck.records.files import open_household
from fitcheck.records.lengths import read_length
from fitcheck.records.plausibility import critical_range, questions

from .sample import sample


def asked(unit: str = "cm", **kinds: Any) -> tuple[Question, ...]:
    return questions(open_household({"fitcheck": 1, "unit": unit, **kinds}))


def about_garment(readings: dict[str, Any], unit: str = "cm") -> tuple[Question, ...]:
    garment = {"id": "g", "name": "G", "occasions": [{"id": "o", "readings": readings}]}
    return asked(unit, garments=[garment])


def about_piece(
    readings: dict[str, Any], *, garment: dict[str, Any] | None = None, piece: str = "back", **fields: Any
) -> tuple[Question, ...]:
    stage = {"kind": "blocked", "readings": readings, "overhangs": fields.pop("overhangs", {})}
    make: dict[str, Any] = {
        "id": "m",
        "name": "M",
        "pieces": [{"id": "p", "piece": piece, "stages": [stage], **fields}],
    }
    kinds: dict[str, Any] = {"makes": [make]}
    if garment is not None:
        kinds["garments"] = [{"id": "g", "name": "G", "occasions": [{"id": "o", "readings": garment}]}]
        make["fits"] = {"garment": "g", "occasion": "o"}
    return asked("cm", **kinds)


def about_swatch(stitches: int, rows: int, across: Any, along: Any, **fields: Any) -> tuple[Question, ...]:
    stage = {"kind": fields.pop("kind", "blocked"), "across": across, "along": along}
    swatch = {
        "id": "s",
        "stitches": {"count": stitches},
        "rows": {"count": rows},
        "stages": [stage],
        **fields,
    }
    return asked("cm", swatches=[swatch])


def one(found: tuple[Question, ...], code: str) -> Question:
    assert [question.code for question in found] == [code], found
    return found[0]


def kept(text: Any) -> dict[str, Any]:
    return {"text": text, "confirmed": True}


def test_an_ordinary_household_is_asked_nothing():
    assert questions(open_household(sample())) == ()


# Inches, tens and the round measure


def test_inches_typed_as_centimetres_are_seen_from_the_other_points():
    question = one(about_garment({"shoulder_width": 41.5, "chest": 20.4}), "inches")
    assert question == Question(
        place="garments[0].occasions[0].readings.chest[0]",
        read="20.4 cm",
        odd="20.4 cm for the chest? The shoulder width was 41.5 cm. As inches it would be 51.8 cm.",
        slip="It was inches",
        meant="20.4 in",
        code="inches",
    )


def test_the_meant_text_can_be_typed_as_it_is():
    question = one(about_garment({"shoulder_width": 41.5, "chest": "20 3/8 cm"}), "inches")
    assert question.meant == "20 3/8 in"
    assert read_length(question.meant).value_mm == pytest.approx(20.375 * 25.4)


def test_inches_typed_as_centimetres_are_seen_from_the_garment():
    found = about_piece({"chest": 20.1}, garment={"chest": 51.6})
    assert one(found, "inches").place == "makes[0].pieces[0].stages[0].readings.chest[0]"
    assert "51.6" not in found[0].odd


def test_inches_typed_as_centimetres_are_seen_from_the_other_readings():
    question = one(about_garment({"chest": [51.8, 20.4, 51.6]}), "inches")
    assert question.place.endswith("chest[1]")
    assert "As inches it would be 51.8 cm." in question.odd  # 20.4 x 2.54


def test_inches_below_the_range_of_the_point_are_inches():
    question = one(about_garment({"chest": 18.5}), "inches")
    assert (question.slip, question.meant) == ("It was inches", "18.5 in")


def test_centimetres_typed_in_a_file_of_inches_are_centimetres():
    question = one(about_garment({"chest": 51.2}, "in"), "centimetres")
    assert (question.read, question.slip, question.meant) == ("51.2 in", "It was centimetres", "51.2 cm")


def test_centimetres_typed_in_a_file_of_metres_are_centimetres():
    assert one(about_garment({"chest": 51.2}, "m"), "centimetres").meant == "51.2 cm"


@pytest.mark.parametrize(("typed", "meant"), [(512, "51.2 cm"), (5.2, "52.0 cm"), ("512 cm", "51.2 cm")])
def test_a_slip_by_ten_is_offered_back(typed: Any, meant: str):
    question = one(about_garment({"shoulder_width": 41.5, "chest": typed}), "ten_times")
    assert (question.slip, question.meant) == (meant, meant)


def test_a_chest_out_of_range_at_twice_the_half_is_the_round_measure():
    question = one(about_garment({"chest": 104}), "round_measure")
    assert question.slip == "It is the round measure: 52.0 cm flat"
    assert question.meant == "52.0 cm"
    assert "about twice the usual half" in question.odd


@pytest.mark.parametrize(
    "found",
    [
        about_garment({"shoulder_width": 31, "chest": 76}),
        about_piece({"chest": 78}, garment={"chest": 39.5}),
        about_garment({"chest": [39.1, 78.4, 39.0]}),
    ],
    ids=["by the shoulder", "by the garment", "by the other readings"],
)
def test_round_typed_as_flat_is_seen_within_the_range_too(found: tuple[Question, ...]):
    assert "It is the round measure" in one(found, "round_measure").slip


def test_a_shoulder_has_no_round_measure():
    assert one(about_garment({"shoulder_width": [25, 50, 25.1]}), "far_from_neighbours")


def test_a_round_chest_does_not_put_the_length_in_question():
    question = one(about_garment({"to_underarm": 22, "chest": 64}), "round_measure")
    assert question.place == "garments[0].occasions[0].readings.chest[0]"


def test_a_body_is_read_round_and_a_garment_flat():
    wearer = {"id": "w", "name": "W", "body": {"chest": 104}}
    assert asked(wearers=[wearer]) == ()


def test_a_head_of_22_was_inches():
    wearer = {"id": "w", "name": "W", "head": [22]}
    assert one(asked(wearers=[wearer]), "inches").meant == "22 in"


def test_a_sleeve_of_two_metres_is_questioned():
    question = about_garment({"sleeve_length": "2 m"})[0]
    assert question.place == "garments[0].occasions[0].readings.sleeve_length[0]"


def test_a_figure_without_a_likely_slip_is_questioned_with_the_usual_range():
    question = one(about_garment({"sleeve_length": 95}), "out_of_range")
    assert question.odd == "95 cm for the sleeve length? It is mostly 12.0 cm to 90.0 cm."
    assert (question.slip, question.meant) == ("", "")


def test_the_piece_of_a_sleeve_is_twice_the_flat_sleeve():
    assert about_piece({"upper_arm": 36}, garment={"upper_arm": 18}, piece="sleeve") == ()
    found = about_piece({"upper_arm": 14.2}, garment={"upper_arm": 18}, piece="sleeve")
    assert one(found, "inches").meant == "14.2 in"


def test_half_a_front_is_half_as_wide():
    assert about_piece({"chest": 25.5}, garment={"chest": 51.5}, piece="left_front") == ()
    assert about_piece({"chest": 12.5}, piece="left_front") == ()


@pytest.mark.parametrize(
    "readings",
    [
        {"chest": kept(104)},
        {"shoulder_width": 41.5, "chest": kept(20.4)},
        {"chest": [51.8, kept(58)]},
        {"shoulder_drop": 2.7, "armhole_depth": 20.7, "to_underarm": 38.6, "body_length": kept(64)},
        {"shoulder_width": kept(45), "chest": 42},
        {"shoulder_width": 45, "chest": kept(42)},
    ],
)
def test_what_was_kept_is_not_asked_about_again(readings: dict[str, Any]):
    assert about_garment(readings) == ()


def test_what_was_set_aside_is_not_asked_about():
    assert about_garment({"chest": [51.8, {"text": 104, "set_aside": "was round"}]}) == ()


def test_a_reading_is_asked_about_once():
    found = about_garment({"chest": [51.8, 512, 51.7], "shoulder_width": 41.5, "body_length": 64})
    assert len({question.place for question in found}) == len(found) == 1


# Neighbours


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_an_honest_session_of_fourteen_sets_is_asked_needlessly_one_time_in_twenty(count: int):
    # Distribution of the range of normal readings (studentized range, SD known) from scipy.stats; the bound
    # on the largest difference is on the safe side, so a little less than 5 % for more than two readings.
    needless = 1.0 - studentized_range.cdf(critical_range(count), count, math.inf) ** 14
    assert 0.04 < needless <= 0.0501


def test_two_readings_may_differ_by_the_critical_range_and_no_more():
    # At 50 cm: hypot(hypot(1.5, 2.0), 2.0) = 3.2016 mm; z(1 - 0.05 / 28) = 2.914 from a table of the normal
    # distribution, times sqrt 2 is 4.12: 13.2 mm. The limit moves a little with the middle of the readings.
    assert about_garment({"chest": [50.0, 51.3]}) == ()
    question = one(about_garment({"chest": [50.0, 51.4]}), "far_from_neighbours")
    assert question.place.endswith("chest[1]")
    assert question.odd == "1.4 cm from your other reading. Lay the tape again and type what it says."


def test_the_reading_that_lies_far_out_is_named_and_the_others_are_not_told():
    question = one(about_garment({"chest": [51.5, 47.6, 51.7, 51.6]}), "far_from_neighbours")
    assert question.place.endswith("chest[1]")
    assert question.odd.startswith("4.0 cm from your other readings.")
    assert not any(figure in question.odd for figure in ("51.5", "51.6", "51.7"))


def test_three_readings_may_differ_more_than_two():
    assert about_garment({"chest": [50.0, 50.7, 51.4]}) == ()


def test_overhangs_are_held_to_their_own_scatter():
    # 2 mm a reading (assumed), times 4.12 = 8.2 mm.
    assert about_piece({}, overhangs={"chest": ["-8 mm", "0 mm"]}) == ()
    question = one(about_piece({}, overhangs={"chest": ["-8 mm", "+1 mm"]}), "far_from_neighbours")
    assert question.place == "makes[0].pieces[0].stages[0].overhangs.chest[1]"


def test_an_overhang_beyond_15_cm_is_questioned():
    assert about_piece({}, overhangs={"chest": "15 cm"}) == ()
    question = one(about_piece({}, overhangs={"chest": "-18 cm"}), "large_overhang")
    assert question.meant == "−1.8 cm"
    assert read_length(question.meant, signed=True).value_mm == pytest.approx(-18.0)
    assert one(about_piece({}, overhangs={"chest": "2 m"}), "large_overhang").meant == ""


# Points against each other


def test_lengths_that_do_not_make_up_the_body_are_questioned_in_these_words():
    readings = {"shoulder_drop": 2.7, "armhole_depth": 20.7, "to_underarm": 38.6, "body_length": 64.0}
    question = one(about_garment(readings), "lengths_add_up")
    assert question.odd == (
        "Shoulder drop 2.7 cm, armhole depth, straight 20.7 cm, length to underarm 38.6 cm make 62.0 cm; "
        "body length says 64.0 cm. One of them is 2.0 cm off."
    )


def test_lengths_that_miss_by_less_than_a_centimetre_pass():
    assert about_garment({"shoulder_drop": 2.7, "armhole_depth": 20.7, "to_underarm": 38.6, "body_length": 62.9}) == ()


@pytest.mark.parametrize(
    "readings",
    [
        {"armhole_from_neck": 23.4, "to_underarm": 38.6, "body_length": 64},
        {"shoulder_drop": 2.7, "armhole_depth": 20.7, "armhole_from_neck": 26},
    ],
)
def test_the_armhole_from_the_neck_must_add_up_too(readings: dict[str, Any]):
    assert one(about_garment(readings), "lengths_add_up")


def test_a_shoulder_wider_than_the_chest_and_a_neck_wider_than_the_shoulder_are_questioned():
    assert one(about_garment({"shoulder_width": 45, "chest": 42}), "shoulder_beyond_chest")
    assert one(about_garment({"neck_width": 30, "shoulder_width": 28}), "neck_beyond_shoulder")
    assert about_garment({"neck_width": 20, "shoulder_width": 42, "chest": 42}) == ()


# Counts against lengths


@pytest.mark.parametrize(
    ("stitches", "rows", "code"),
    [
        (30, 30, None),  # ratio 1.0
        (30, 57, None),  # 1.9
        (30, 29, "counts_swapped"),  # 0.97; swapped 1.03
        (42, 30, "counts_swapped"),  # 0.71; swapped 1.40
        (30, 63, "rows_to_stitches"),  # 2.1; swapped 0.48
        (63, 30, "rows_to_stitches"),  # 0.48; swapped 2.1
    ],
)
def test_rows_against_stitches_of_a_swatch(stitches: int, rows: int, code: str | None):
    found = about_swatch(stitches, rows, 12.0, 12.0)
    if code is None:
        assert found == ()
    else:
        assert one(found, code).place == "swatches[0].stages[0].along[0]"


def test_swapped_counts_are_given_back_the_other_way_round():
    question = one(about_swatch(42, 30, 12.0, 12.0), "counts_swapped")
    assert question.odd == "Rows 0.7 times the stitches; plain knitting is about 1.2 to 1.7. Counts swapped?"
    assert question.meant == "30 stitches, 42 rows"


def test_the_distances_count_in_the_ratio():
    # 40 stitches over 18 cm and 40 rows over 12 cm: 4.5 mm by 3.0 mm, a ratio of 1.5.
    assert about_swatch(40, 40, 18.0, 12.0) == ()


@pytest.mark.parametrize(
    "found",
    [
        about_swatch(30, 63, 12, 12, stitch_pattern="garter"),
        about_swatch(30, 63, 12, 12, kind="hung"),
        about_swatch(30, 63, 12, kept(12)),
    ],
    ids=["another stitch pattern", "hung with a load", "kept"],
)
def test_a_ratio_is_not_asked_about_where_it_says_nothing(found: tuple[Question, ...]):
    assert found == ()


def test_a_printed_gauge_with_its_numbers_swapped_is_questioned():
    size = {"name": "M", "pieces": {}}
    table = {"id": "t", "name": "T", "gauge": {"stitches": 30, "rows": 22, "over": "10 cm"}, "sizes": [size]}
    question = one(asked(size_tables=[table]), "counts_swapped")
    assert (question.place, question.meant) == ("size_tables[0].gauge", "22 stitches, 30 rows")


def test_counts_of_a_piece_against_its_readings():
    # 51 cm over 116 stitches: 4.40 mm; 62 cm over 100 rows: 6.2 mm, a ratio of 0.71.
    counts = {"chest": 116, "body_length": 100}
    question = one(about_piece({"chest": 51, "body_length": 62}, counts=counts), "counts_swapped")
    assert question.place == "makes[0].pieces[0].stages[0].readings.body_length[0]"
    assert about_piece({"chest": 51, "body_length": 62}, counts={"chest": 116, "body_length": 200}) == ()


@pytest.mark.parametrize(
    ("stitches", "asks"),
    [(10, False), (100, False), (7, True), (150, True)],  # over 15 cm: 15, 1.5, 21.4 and 1.0 mm
)
def test_the_width_of_a_stitch_is_usual_from_1_5_to_15_mm(stitches: int, asks: bool):
    found = about_swatch(stitches, 40, 15, [], stitch_pattern="lace")
    assert [question.code for question in found] == (["stitch_size"] if asks else [])


def test_a_stitch_too_narrow_because_of_inches_offers_inches():
    question = one(about_swatch(40, 60, 4, [], stitch_pattern="lace"), "stitch_size")
    assert (question.slip, question.meant) == ("It was inches", "4 in")
    assert question.odd == (
        "40 stitches over 4 cm make 1.0 mm a stitch; it is mostly 1.5 to 15. As inches it would be 10.2 cm."
    )


def test_a_count_of_a_piece_that_makes_no_stitch_is_questioned():
    question = one(about_piece({"chest": 51}, counts={"chest": 12}), "stitch_size")
    assert question.place == "makes[0].pieces[0].stages[0].readings.chest[0]"
