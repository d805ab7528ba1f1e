"""A finished sweater: what was wanted of it, what its pieces came to, its verdicts, and the next make like it."""

from __future__ import annotations

import json
import math

import pytest

from fitcheck.advice.judge.verdict import judge_difference
from fitcheck.advice.tape import taped
from fitcheck.advice.target.finished_garment import wanted_flat
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.faults import RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.reports.choose import chosen
from fitcheck.reports.finished import finished
from fitcheck.reports.given import hands_of
from fitcheck.reports.next_make import next_of
from fitcheck.reports.sewn import planned_flat, sewn
from fitcheck.words.data import as_data, finished_schema
from fitcheck.words.figures import Tape
from fitcheck.words.finished import (
    came_out,
    finished_said,
    hangs_with,
    next_name,
    point_said,
    still_to_knit,
    to_count_on,
)
from tests.generated import household as generated

BACK = {
    "id": "back",
    "piece": "back",
    "dial": "7",
    "counts": {"chest": 120, "body_length": 200},
    "stages": [
        {
            "kind": "blocked",
            "on": "2026-11-20",
            "grams": 150,
            "readings": {"chest": ["53.4"], "body_length": ["62.0"], "hem": ["51.4"]},
        }
    ],
}
OLD = {
    "id": "old",
    "name": "old pullover",
    "occasions": [{"id": "now", "state": "washed_flat", "readings": {"chest": ["52.0"], "to_underarm": ["38.0"]}}],
}
FITS = {"numbers": {"chest": {"length": "104 cm", "meant": "round"}, "body_length": {"length": "61.5 cm"}}}
FIT = {
    "chest": {"wanted": "520 mm", "u": "1 mm", "smaller": "10 mm", "larger": "10 mm"},
    "hem": {"wanted": "505 mm", "smaller": "10 mm", "larger": "10 mm"},
    "body_length": {"wanted": "615 mm", "smaller": "15 mm", "larger": "15 mm"},
}
PIECES = {"id": "pieces", "state": "washed_flat", "readings": {"chest": ["52.5"]}}


def household(*occasions, knitted=None, garments=(), **make):
    """A make of a back, with what it became where measurings of that are given."""
    document = {"id": "plain", "name": "plain", "fits": FITS, "pieces": [BACK]} | make
    hung = list(garments)
    if occasions:
        document |= {"finished": "2026-11-28", "became": "hung"}
        hung.append({"id": "hung", "name": "plain", "occasions": list(occasions), "knitted": knitted or {"fit": FIT}})
    return open_household({"fitcheck": 4, "unit": "cm", "garments": hung, "makes": [document]})


def read(on="2026-11-28", state="washed_flat", **readings):
    return {"id": on, "on": on, "state": state, "readings": {key: texts.split() for key, texts in readings.items()}}


def wanted(kept, make="plain"):
    return {key: round(point.wanted.value, 2) for key, point in wanted_flat(kept.makes[0], kept).items()}


def judged(kept):
    return {told.point.key: told for told in finished(kept, "plain").points}


# What was wanted


def test_a_round_figure_is_wanted_as_half_of_it_and_one_of_the_piece_less_what_making_up_takes():
    fits = {
        "numbers": {
            "chest": {"length": "104 cm", "meant": "round"},
            "hem": {"length": "51 cm", "meant": "piece"},
            "upper_arm": {"length": "36 cm", "meant": "piece"},
        }
    }
    # A mattress seam takes a stitch of each edge, 4.5 mm (assumed); a sleeve lies double.
    assert wanted(household(fits=fits)) == {"chest": 520.0, "hem": 501.0, "upper_arm": (360.0 - 9.0) / 2}


def test_a_wish_and_the_growth_of_what_was_worn_are_in_what_is_wanted():
    worn = {**OLD, "growth_across_percent": 2, "occasions": [{**OLD["occasions"][0], "state": "worn"}]}
    kept = household(
        garments=[worn],
        fits={"garment": "old", "occasion": "now"},
        wishes={"chest": {"by": "2 cm", "meant": "round"}},
    )
    assert wanted(kept)["chest"] == pytest.approx(520.0 / 1.02 + 10.0, abs=0.01)


def test_what_the_construction_lacks_is_not_wanted():
    cells = {"chest": {"measure": "52 cm"}, "shoulder_width": {"measure": "41 cm"}}
    table = {"id": "table", "name": "table", "measures": "flat", "sizes": [{"name": "M", "pieces": {"back": cells}}]}
    for construction, points in (("set_in", {"chest", "shoulder_width"}), ("raglan", {"chest"})):
        make = {"id": "plain", "name": "plain", "construction": construction, "size_table": "table", "size": "M"}
        kept = open_household({"fitcheck": 4, "unit": "cm", "size_tables": [table], "makes": [make]})
        assert set(wanted(kept)) == points


def test_what_is_allowed_is_on_the_scale_of_the_garment():
    kept = household(
        fits={"numbers": {"chest": {"length": "52 cm"}, "upper_arm": {"length": "18 cm"}}},
        tolerances={
            "chest": {"smaller": "3 cm", "larger": "2 cm", "meant": "round"},
            "upper_arm": {"smaller": "2 cm", "larger": "1 cm", "meant": "piece"},
        },
    )
    points = wanted_flat(kept.makes[0], kept)
    assert points["chest"].tolerance_mm == (15.0, 10.0)
    assert points["upper_arm"].tolerance_mm == (10.0, 5.0)  # a sleeve lies double


# What its pieces came to


def test_the_plan_is_what_the_pieces_read_less_the_seams_and_of_the_others_what_their_counts_make():
    bands = [{"edge": "cuff", "depth": "6 cm", "how": "knitted_on"}]
    kept = household(planned={"sleeve": {"upper_arm": 80, "sleeve_length": 150}}, bands=bands)
    planned = planned_flat(chosen(kept, "plain"))
    # A stitch of each edge: 4.45 mm as the back itself has it, drawn a little to what is usual.
    assert planned["chest"] == pytest.approx(534.0 - 2 * 4.45, abs=0.02)
    # 534 mm over 120 stitches as the back has it; two stitches go into the seam, and a sleeve lies double.
    assert planned["upper_arm"] == pytest.approx((78 * 534.0 / 120) / 2, rel=0.003)
    # Rows are those above the rib, of 620 mm over 200; the rib is 60 mm.
    assert planned["sleeve_length"] == pytest.approx(150 * 3.1 + 60.0, rel=0.01)


# Its verdicts


@pytest.mark.parametrize("front", [120, 126, 114])
def test_a_front_that_was_not_read_is_wider_than_the_back_by_the_stitches_that_it_has_more(front):
    counted = {"id": "front", "piece": "front", "counts": {"chest": front}, "stages": [{"kind": "off_machine"}]}
    for make in ({"pieces": [BACK, counted]}, {"planned": {"front": {"chest": front}}}):
        kept = household(**make)
        given = chosen(kept, "plain")
        # The back's chest is 534 mm over 120 stitches less a stitch at each edge, 9 mm; a stitch is 534 / 120 mm.
        mean = (534.0 + 534.0 * front / 120) / 2 - 9.0
        assert planned_flat(given)["chest"] == pytest.approx(mean, abs=0.6)
        assert sewn(given).flat_mm["chest"] == pytest.approx((mean,), abs=0.6)


def test_a_point_that_nobody_read_is_not_measured_whatever_its_pieces_were():
    points = judged(household(PIECES))
    assert {told.point.code for told in points.values()} == {"not_measured"}
    assert points["chest"].planned_mm == pytest.approx(534.0 - 2 * 4.45, abs=0.02)


def test_a_point_that_was_read_is_judged_as_every_other_difference():
    kept = household(PIECES, read(chest="54.0 54.2 54.1"))
    point = judged(kept)["chest"].point
    assert (point.code, point.difference.value) == ("differs", pytest.approx(21.0))
    given = chosen(kept, "plain")
    readings = by_key(kept.garments, "hung").occasions[1].readings["chest"]
    estimate = taped(readings, hands_of(given).tape).estimate
    verdict = judge_difference(Estimate(520.0, 1.0), estimate, (10.0, 10.0))
    assert (point.difference.low, point.difference.high) == pytest.approx((verdict.low, verdict.high))


def test_a_reading_that_is_asked_about_is_not_judged_before_it_is_answered():
    points = judged(household(PIECES, read(chest="20.1", hem="50.2")))
    assert points["chest"].point.code == "not_measured"
    assert points["hem"].point.measured is not None


def test_each_point_counts_as_it_was_read_last_but_not_as_it_was_worn():
    kept = household(
        PIECES,
        read("2026-11-28", chest="52.1", hem="50.6"),
        read("2026-12-05", chest="52.4"),
        read("2027-03-01", state="worn", chest="55.0"),
    )
    points = judged(kept)
    assert points["chest"].point.measured.value == pytest.approx(524.0)
    assert points["hem"].point.measured.value == pytest.approx(506.0)
    answer = finished(kept, "plain")
    assert (answer.readings, answer.read_on) == (2, "2026-12-05")


def test_what_was_wanted_is_what_was_written_down_when_it_was_finished():
    kept = household(PIECES, read(chest="52.0"), fits={"numbers": {"chest": {"length": "49 cm"}}})
    assert judged(kept)["chest"].point.wanted.value == 520.0
    # A garment that was hung up before anything was written down is held against what is wanted of its make.
    assert judged(household(PIECES, knitted={"dial": "7"}))["body_length"].point.wanted.value == 615.0


def test_of_what_was_not_wanted_nothing_is_said():
    kept = household(PIECES, read(cuff="10.0"))
    point = judged(kept)["cuff"]
    assert (point.point.code, point.point.wanted) == ("cannot_say", None)
    assert point_said(point).figures == "Measured 10.0 cm."


def test_a_fit_at_a_point_that_the_construction_lacks_is_refused():
    with pytest.raises(RecordsError):
        open_household(
            {
                "fitcheck": 4,
                "unit": "cm",
                "garments": [
                    {**OLD, "construction": "raglan", "knitted": {"fit": {"shoulder_width": {"wanted": "41 cm"}}}}
                ],
            }
        )


# What was learned


def test_how_far_it_came_out_is_the_mean_over_the_points_of_a_direction():
    kept = household(PIECES, read(chest="53.0", hem="50.9", body_length="62.0"))
    assert finished(kept, "plain").came_out == ()  # two points across, one along
    back = json.loads(json.dumps(BACK))
    back["stages"][0]["readings"]["neck_width"] = ["17.1"]
    kept = household(PIECES, read(chest="53.0", hem="50.9", neck_width="18.3"), pieces=[back])
    (across,) = finished(kept, "plain").came_out
    # Seams take two stitches of 4.45 mm of chest and hem; an opening is wider by them.
    off = [530 / 525.1 - 1, 509 / 505.1 - 1, 183 / 179.9 - 1]
    mean = 100 * sum(off) / 3
    assert (across.direction, across.points) == ("across", 3)
    assert across.percent.value == pytest.approx(mean, abs=0.01)
    spread = math.sqrt(sum((100 * share - mean) ** 2 for share in off) / 2 / 3)
    assert across.percent.u == pytest.approx(spread, rel=0.01)
    # Student's t for 9 in 10 with two degrees of freedom: 2.920 (printed tables).
    assert across.percent.high - across.percent.value == pytest.approx(2.920 * across.percent.u, rel=1e-3)
    assert to_count_on((across,)) == came_out((across,))
    assert came_out((across,)) == (
        "Across it came out 1.1 % wider than its pieces had it, likely 0.3 to 2.0 (3 points). "
        "Count on the same for the next one.",
    )


def test_points_that_came_out_far_apart_tell_the_next_one_nothing():
    back = json.loads(json.dumps(BACK))
    back["stages"][0]["readings"]["neck_width"] = ["17.1"]
    kept = household(PIECES, read(chest="53.0", hem="50.9", neck_width="20.3"), pieces=[back])
    far_apart = finished(kept, "plain").came_out
    assert came_out(far_apart) == ("Across it tells nothing yet: its 3 points came out too far apart.",)
    assert to_count_on(far_apart) == ()
    kept = household(PIECES, read(chest="52.5", hem="50.4", neck_width="18.0"), pieces=[back])
    as_planned = finished(kept, "plain").came_out
    assert came_out(as_planned)[0].startswith("Across it came out as its pieces had it, within 0.")
    assert to_count_on(as_planned) == ()


# In words


@pytest.mark.parametrize(
    ("occasions", "head", "because"),
    [
        ((), "Finish it once everything is sewn.", "It hangs in the wardrobe with its counts, dial and fit."),
        (
            (PIECES,),
            "Lay the tape on it, now that it is sewn.",
            "It hangs in the wardrobe with the points of its pieces",
        ),
        (
            (PIECES, read(chest="52.1 52.0 51.9", hem="50.5 50.4 50.5")),
            "It fits at every point that was read.",
            "2 points lie within what is allowed; the body length was not read.",
        ),
        (
            (PIECES, read(chest="52.1 52.0 51.9", hem="50.5 50.4 50.5", body_length="61.5 61.6 61.4")),
            "It fits at every point.",
            "3 points lie within what is allowed.",
        ),
        ((PIECES, read(chest="54.1 54.2 54.0")), "The chest came out 2.1 cm wide.", "The hem and the body length"),
        (
            (PIECES, read(chest="54.1 54.2 54.0", hem="53.0 53.1 53.0")),
            "It differs from what was wanted at the chest and the hem.",
            "The body length was not read.",
        ),
        ((PIECES, read(chest="52.9")), "It fits, but for the chest: too close to call.", "The hem and the body length"),
    ],
)
def test_the_heading_says_what_to_do_and_then_how_it_fits(occasions, head, because):
    said = finished_said(finished(household(*occasions), "plain"))
    assert said.head == head
    assert said.because.startswith(because)


def test_a_finished_make_that_hangs_nowhere_is_to_be_hung_up():
    said = finished_said(finished(household(finished="2026-11-28"), "plain"))
    assert (said.head, said.because.split(".")[0]) == ("Hang it in the wardrobe.", "Finished on 28 Nov 2026")


def test_a_point_is_said_with_its_side_and_with_what_its_pieces_came_to():
    points = judged(household(PIECES, read(chest="54.1 54.2 54.0", body_length="61.5 61.6 61.4")))
    assert (point_said(points["chest"]).label, point_said(points["chest"]).difference) == ("wide", "+2.1")
    assert point_said(points["chest"]).figures.endswith("allowed 1.0. Its pieces came to 52.5 cm.")
    assert point_said(points["body_length"]).label == "matches"
    hem = point_said(points["hem"], Tape("in", "."))
    assert (hem.label, hem.difference) == ("not measured", "")
    # 505 mm is 19.88 in, 10 mm 0.39; the hem of the back is 505.1.
    assert hem.figures == "Wanted 19 7/8 in, allowed 3/8; its pieces came to 19 7/8 in."


@pytest.mark.parametrize(
    ("left", "one_there", "told"),
    [
        (("front", "sleeve"), (), "the front and two sleeves are"),
        (("sleeve",), (), "two sleeves are"),
        (("sleeve",), ("sleeve",), "the other sleeve is"),
        (("side_panel", "sleeve"), ("side_panel",), "the other side panel and two sleeves are"),
        (("right_front",), ("sleeve",), "the right front is"),
    ],
)
def test_what_nothing_says_the_knitting_of_is_named_before_it_is_finished(left, one_there, told):
    said = still_to_knit(left, one_there)
    assert (said.head, said.because) == ("Is it finished?", f"By what was recorded, {told} still to knit.")


def test_what_hangs_with_it_names_dial_counts_yarn_and_what_the_next_one_has():
    knitted = {"dial": "7", "counts": {"back": {"chest": 120}}, "fit": FIT}
    taken = {"piece": "front", "point": "chest", "count": 126, "instead_of": 120, "at": "2026-11-24T19:00+01:00"}
    kept = household(PIECES, knitted=knitted, planned={"front": {"chest": 126}}, taken=[{**taken, "report": "0" * 64}])
    garment = by_key(kept.garments, "hung")
    parts = hangs_with(finished(kept, "plain"), kept.makes[0], garment.knitted, "grey wool")
    assert {part.label: part.told for part in parts} == {
        "How it was knitted": ("Dial 7.", "Back: chest 120 stitches."),
        "The yarn": ("Grey wool: 150 g in the 1 piece.",),
        "What changed on the way": ("Taken from the advice on 24 Nov 2026: the front’s chest, 126 instead of 120.",),
        "For the next one": ("A sweater in this yarn starts with dial 7 and these counts.",),
    }


def test_the_answer_as_data_has_the_shape_that_is_described():
    from jsonschema import Draft202012Validator

    for kept in (household(), household(PIECES, read(chest="54", hem="50", cuff="9", body_length="61"))):
        Draft202012Validator(finished_schema()).validate(as_data(finished(kept, "plain")))


# The next one


def test_the_next_one_has_dial_counts_yarn_and_who_wears_it_and_fits_the_sweater_as_it_came_out():
    knitted = {"dial": "7", "counts": {"back": {"chest": 120}}, "fit": FIT}
    kept = household(
        PIECES,
        read(chest="54.1 54.2 54.0", hem="50.5 50.4 50.6"),
        knitted=knitted,
        tolerances={"chest": {"smaller": "1 cm", "larger": "1 cm"}},
    )
    document = next_of(kept.makes[0], kept)
    assert document["planned"]["back"] == {"chest": 120, "body_length": 200}
    assert document["pieces"] == [{"id": "back", "piece": "back", "dial": "7"}]
    assert document["learns_from"] == ["plain"]
    assert document["tolerances"].keys() == {"chest"}
    # The chest came out wide, so what was wanted holds there; the hem is copied as it is.
    assert document["fits"] == {
        "garment": "hung",
        "occasion": "2026-11-28",
        "numbers": {"chest": {"length": "52.0 cm"}},
    }


def test_one_that_hangs_nowhere_hands_on_what_it_was_to_fit_itself():
    kept = household(finished="2026-11-28", wishes={"hem": {"by": "1 cm", "meant": "flat"}})
    document = next_of(kept.makes[0], kept)
    assert document["fits"]["numbers"].keys() == {"chest", "body_length"}
    assert document["wishes"].keys() == {"hem"}
    assert document["pieces"][0]["dial"] == "7"


@pytest.mark.parametrize(
    ("name", "taken", "called"),
    [
        ("grey pullover", [], "grey pullover 2"),
        ("grey pullover", ["grey pullover 2"], "grey pullover 3"),
        ("grey pullover 2", [], "grey pullover 3"),
        ("pullover of 2024", [], "pullover of 2024 2"),
        ("7", [], "7 2"),
    ],
)
def test_the_next_one_has_a_name_of_its_own(name, taken, called):
    assert next_name(name, taken) == called


@pytest.mark.parametrize("seed", range(12))
def test_every_sweater_of_chance_can_be_told_and_begins_a_next_one(seed):
    kept = open_household(generated(seed))
    for make in kept.makes:
        answer = finished(kept, make.id)
        for tape in (Tape("cm", "."), Tape("in", ".")):
            told = [finished_said(answer, tape).head, *(point_said(point, tape).title for point in answer.points)]
            assert all(told)
        assert Make.model_validate_json(json.dumps(next_of(make, kept) | {"id": "next", "name": "next"}))
