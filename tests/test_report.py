"""The report: the order of its steps, what comes first, what it depends on."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

import demo_garments
from fitcheck.advice.decide.decision import ROUND_LAYINGS
from fitcheck.advice.fabric.of_make import LeftOut
from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from fitcheck.reports.choose import ReportError
from fitcheck.reports.schema import report_type
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Advice, Report
from fitcheck.words.data import as_data, json_text, report_schema
from tests import invented
from tests.generated import household as by_chance
from tests.invented import report_of
from tests.worked.truth import BODY, FRONT, SLEEVE, counted, lengths, swatch
from tests.worked.truth import PLAIN as PLAIN_SWEATER
from tests.worked.truth import household as worked_household
from tests.worked.truth import piece as worked_piece

DEMO = Path(__file__).resolve().parent.parent / "demo_garments" / "household.json"

LEAST: dict[str, Any] = {
    "fitcheck": 1,
    "unit": "cm",
    "makes": [
        {
            "id": "m",
            "name": "Pullover",
            "fits": {"numbers": {"chest": "52", "shoulder_width": "41", "armhole_depth": "20"}},
            "pieces": [
                {
                    "id": "back",
                    "piece": "back",
                    "stages": [
                        {
                            "kind": "blocked",
                            "readings": {"chest": "52.9", "shoulder_width": "41.9", "armhole_depth": "20.3"},
                        }
                    ],
                }
            ],
        }
    ],
}


def household(**changes: Any) -> dict[str, Any]:
    """The least household with fields of its stage, its piece or its make changed."""
    data = deepcopy(LEAST)
    make = data["makes"][0]
    for name, value in changes.items():
        where = {"stage": make["pieces"][0]["stages"][0], "piece": make["pieces"][0], "make": make, "file": data}
        where[name].update(value)
    return data


def length(found: Report, key: str) -> float:
    point = next(one for one in found.points if one.key == key)
    return point.difference.high - point.difference.low


def test_each_further_thing_narrows_the_answer():
    """Readings, layings, counts: the interval of the shoulder gets shorter with each."""
    thrice = ["41.8", "41.9", "42.0"]
    one_laying = {"chest": ["52.8", "52.9", "53.0"], "shoulder_width": thrice, "armhole_depth": "20.3"}
    layings = {
        key: [{"text": text, "laying": n} for n, text in enumerate(texts, 1)] if isinstance(texts, list) else texts
        for key, texts in one_laying.items()
    }
    steps = [
        household(),
        household(stage={"readings": one_laying}),
        household(stage={"readings": layings}),
        household(stage={"readings": layings}, piece={"counts": {"chest": 120, "shoulder_width": 95}}),
    ]
    lengths = [length(report(step), "shoulder_width") for step in steps]
    assert lengths == sorted(lengths, reverse=True)
    assert len(set(lengths)) == 4


def test_a_piece_read_on_pins_gets_no_advice_but_the_pins_out():
    pinned = report(household(stage={"blocking": "pinned", "pinned": ["across", "along"]}))
    assert isinstance(pinned.recommendation, CannotSay)
    assert pinned.recommendation.code == "pinned"
    assert {point.code for point in pinned.points} == {"held_at"}


def test_the_direction_that_lay_free_of_pins_is_judged():
    pinned = report(household(stage={"blocking": "pinned", "pinned": ["across"]}))
    assert not isinstance(pinned.recommendation, CannotSay)
    codes = {point.key: point.code for point in pinned.points}
    assert codes["chest"] == "held_at"
    assert codes["armhole_depth"] != "held_at"


def test_an_open_question_comes_before_every_plan():
    data = household(stage={"readings": {"chest": "20.8", "shoulder_width": "41.9", "armhole_depth": "20.3"}})
    found = report(data)
    assert isinstance(found.recommendation, Advice)
    assert (found.recommendation.action, found.recommendation.about) == ("measure_again", "chest")
    data["makes"][0]["pieces"][0]["stages"][0]["readings"]["chest"] = {"text": "20.8", "confirmed": True}
    data["makes"][0]["fits"]["numbers"]["chest"] = {"length": "52", "confirmed": True}
    again = report(data).recommendation
    assert isinstance(again, Advice)
    assert again.reason != "wild_reading"


def test_a_piece_at_a_stage_that_no_swatch_has_cannot_be_carried():
    found = report(household(stage={"kind": "rested", "hours": 20}))
    assert isinstance(found.recommendation, CannotSay)
    assert found.recommendation.code == "cannot_carry"
    assert found.points == ()


def test_a_rested_piece_is_carried_by_swatches_of_its_stage_and_says_so():
    found = report_of("grey_unwashed")
    assert found.head.carried
    assert {one.measured.basis for one in found.points if one.measured} == {"mixed"}
    read = {one.key: one for one in found.points}["body_length"]
    assert read.read is not None
    assert read.measured is not None
    # Washing shortens this yarn along: what is carried is shorter than what the tape said.
    assert read.measured.value < read.read.value - 5.0


def test_a_misread_dial_is_answered_by_the_dial_and_the_planned_counts():
    found = report_of("blue_cotton_loose")
    again = next(one for one in found.actions if one.code == "knit_again")
    assert again.dial == "7.1"


def test_the_size_table_says_what_is_wanted_where_nothing_else_does():
    cells = {"back": {"chest": {"measure": "52", "count": 120}, "shoulder_width": {"measure": "41", "count": 95}}}
    table = {"id": "t", "name": "T", "sizes": [{"name": "M", "pieces": cells}]}
    data = household(make={"fits": {}, "size_table": "t", "size": "M"}, file={"size_tables": [table]})
    found = report(data)
    assert {one.key: one.source for one in found.points} == {"chest": "size_table", "shoulder_width": "size_table"}


def test_equal_records_give_equal_bytes_and_only_named_ones_count():
    raw = DEMO.read_bytes()
    first = json_text(report(raw, make="grey_pullover"))
    assert json_text(report(json.loads(raw), make="grey_pullover")) == first
    data = json.loads(raw)
    data["yarns"].append({"id": "another", "name": "another"})
    assert json_text(report(data, make="grey_pullover")) == first
    data["swatches"][0]["stages"][0]["grams"] = 31.0
    assert as_data(report(data, make="grey_pullover"))["digest"] != json.loads(first)["digest"]


def test_every_number_is_finite_and_the_report_fits_its_published_schema():
    from jsonschema import Draft202012Validator

    validator = Draft202012Validator(report_schema())
    for answer in invented.reports().values():
        data = json.loads(json_text(answer))  # allow_nan=False refuses what is not finite
        assert [error.message for error in validator.iter_errors(data)] == []


def test_a_report_can_be_read_back_from_its_json():
    found = report(household())
    assert json_text(report_type().validate_json(json_text(found))) == json_text(found)


def test_unknown_makes_and_pieces_are_named_with_those_that_are_there():
    with pytest.raises(ReportError, match="grey_pullover"):
        report(DEMO, make="none")
    with pytest.raises(ReportError, match="back"):
        report(household(), piece="sleeve")
    with pytest.raises(RecordsError):
        report(household(make={"bust": 3}))


def uncounted(make: str) -> FabricAnswer:
    """The fabric of a make of the demo had nobody counted the chest of its back: that knitted it at dial 7."""
    data = json.loads(DEMO.read_bytes())
    del next(one for one in data["makes"] if one["id"] == make)["pieces"][0]["counts"]["chest"]
    fabric = report(data, make=make).fabric
    assert fabric is not None
    assert fabric.dial == fabric.dials.keeps == "7"
    return fabric


def test_a_count_in_doubt_feeds_neither_the_plan_nor_the_fabric():
    found = report_of("grey_miscounted")
    plan = next(one for one in found.actions if one.code == found.recommendation.then)
    chest = next(one for one in plan.alterations if one.point == "chest")
    # The front is planned with 124 whatever the back has: its new count says so, and it is wider than planned.
    assert chest.by == "other_body_piece"
    assert chest.count is not None
    assert chest.stitches is not None
    assert chest.count - chest.stitches == 124
    assert chest.stitches > 0
    assert found.fabric is not None
    assert LeftOut("back", "count_in_doubt", "chest") in found.fabric.left_out
    assert found.fabric.gauge == uncounted("grey_miscounted").gauge


def test_counted_on_the_piece_the_plan_says_stitches_again():
    data = json.loads(DEMO.read_bytes())
    make = next(one for one in data["makes"] if one["id"] == "grey_miscounted")
    make["pieces"][0]["counts"]["chest"] = {"planned": 124, "counted": 119}
    found = report(data, make="grey_miscounted")
    assert isinstance(found.recommendation, Advice)
    assert found.recommendation.action == "other_counts"
    chest = next(one for action in found.actions if action.code == "other_counts" for one in action.alterations)
    assert chest.stitches is not None
    assert chest.stitches > 0


def test_what_is_said_before_a_count_is_what_is_said_after_it():
    data = json.loads(DEMO.read_bytes())
    before = report(data, make="grey_miscounted")
    make = next(one for one in data["makes"] if one["id"] == "grey_miscounted")
    make["pieces"][0]["counts"]["chest"]["counted"] = 119
    after = report(data, make="grey_miscounted")
    ways = {one.code: (one.chance, one.alterations) for one in after.actions if one.code != "measure_again"}
    assert ways == {one.code: (one.chance, one.alterations) for one in before.actions if one.code != "measure_again"}
    assert isinstance(before.recommendation, Advice)
    assert isinstance(after.recommendation, Advice)
    assert (before.recommendation.action, before.recommendation.then) == ("measure_again", after.recommendation.then)


def test_what_the_front_makes_up_and_what_it_leaves_are_the_whole_of_the_misfit():
    found = report_of("grey_pullover")
    plan = next(one for one in found.actions if one.code == "other_counts")
    chest = next(one for one in plan.alterations if one.point == "chest")
    assert chest.left_mm is not None
    # The sweater is the mean of back and front: half of a wider front's width is gained.
    point = next(one for one in found.points if one.key == "chest")
    unchanged = point.difference.value - (chest.left_mm - chest.mm / 2)
    # What remains is that the front is planned as the back is and comes out a little otherwise.
    assert abs(unchanged) < 0.02 * 535


def test_rows_at_the_hem_and_a_wider_front_are_both_in_the_yarn():
    found = report_of("moss_drop_shoulder")
    plan = next(one for one in found.actions if one.code == "alter_hem")
    by = {one.by: one for one in plan.alterations}
    wider, shorter = by["other_body_piece"], by["hem"]
    assert wider.stitches
    assert wider.count
    length_mm = next(one.read.value for one in found.points if one.key == "body_length" and one.read)
    # The back weighs 203 g: the front takes its share of stitches more, and of the length less.
    more = 203 * wider.stitches / (wider.count - wider.stitches) + 203 * shorter.mm / length_mm
    assert plan.grams == pytest.approx(more, abs=0.3)
    assert plan.grams < 0


def test_rows_that_are_put_on_are_knitted_twice_back_and_front():
    found = report_of("grey_unwashed")
    plain = next(one for one in found.actions if one.code == "other_counts")
    longer = next(one for one in found.actions if one.code == "alter_hem")
    rows = next(one for one in longer.alterations if one.by == "hem")
    length_mm = next(one.read.value for one in found.points if one.key == "body_length" and one.read)
    assert longer.grams - plain.grams == pytest.approx(2 * 196 * rows.mm / length_mm, rel=0.01)


def test_a_piece_that_waits_for_the_wash_has_its_plan_in_stitches():
    found = report_of("grey_unwashed")
    plan = next(one for one in found.actions if one.code == "other_counts")
    chest = next(one for one in plan.alterations if one.point == "chest")
    assert chest.count is not None
    assert chest.stitches is not None
    assert chest.count - chest.stitches == 132
    assert {one.code for one in found.helps} == {"wash_and_block"}


def test_a_finished_make_has_nothing_left_to_do():
    found = report_of("moss_first")
    assert isinstance(found.recommendation, Advice)
    assert (found.recommendation.action, found.recommendation.reason) == ("carry_on", "finished")
    assert [one.code for one in found.actions if one.impossible is None] == ["carry_on"]
    assert found.head.finished == "2025-07-27"
    assert found.head.to_knit == ()
    assert found.helps == ()


def test_a_row_that_no_tape_can_tell_is_no_way_to_go_on():
    for make, within in (("grey_pullover", 15.0), ("grey_cardigan", 13.0)):
        found = report_of(make)
        off = [one for one in found.points if one.key in ("body_length", "sleeve_length", "to_underarm")]
        assert all(abs(one.difference.value) < within / 2 for one in off)
        way = next(one for one in found.actions if one.code == "alter_hem")
        assert way.impossible is not None
    # Eleven millimetres, read once: the tape can tell them.
    school = report_of("childs_school_pullover")
    assert next(one for one in school.actions if one.code == "alter_hem").impossible is None


def slip(**change: Any) -> Report:
    data = json.loads(DEMO.read_bytes())
    make = next(one for one in data["makes"] if one["id"] == "moss_pullover_slip")
    make["pieces"][0]["stages"][0]["readings"]["chest"][2].update(change)
    return report(data, make="moss_pullover_slip")


def chest_of(found: Report) -> Any:
    return next(one for one in found.points if one.key == "chest")


def test_a_reading_that_is_kept_counts():
    asked, kept, aside = slip(), slip(confirmed=True), slip(set_aside="slipped")
    assert asked.questions
    assert not kept.questions
    # 55.2, 54.8 and 50.4: their middle while it is asked, their mean once it is kept, two of them without it.
    assert chest_of(asked).read.value == pytest.approx(548.0)
    assert chest_of(kept).read.value == pytest.approx((552 + 548 + 504) / 3)
    assert chest_of(aside).read.value == pytest.approx(550.0)
    # Readings that far apart tell the chest less surely than the usual hand would.
    assert chest_of(kept).read.u > 3 * chest_of(asked).read.u
    assert length(kept, "chest") > 2 * length(asked, "chest")


def test_the_advice_hangs_on_a_reading_only_where_it_is_another_with_it_and_without_it():
    asked, kept, aside = slip(), slip(confirmed=True), slip(set_aside="slipped")
    assert isinstance(asked.recommendation, Advice)
    assert isinstance(kept.recommendation, Advice)
    assert isinstance(aside.recommendation, Advice)
    assert kept.recommendation.action != aside.recommendation.action
    assert asked.recommendation.hangs is True
    # The same at a length that lies far inside what is allowed with the reading and without it.
    data = json.loads(DEMO.read_bytes())
    make = next(one for one in data["makes"] if one["id"] == "moss_pullover_slip")
    laid = make["pieces"][0]["stages"][0]["readings"]
    laid["chest"][2]["text"] = "54,9 cm"
    laid["to_underarm"][2]["text"] = "42,0 cm"
    found = report(data, make="moss_pullover_slip")
    assert isinstance(found.recommendation, Advice)
    assert (found.recommendation.reason, found.recommendation.about) == ("wild_reading", "to_underarm")
    plans = []
    for change in ({"confirmed": True}, {"set_aside": "slipped"}):
        told = deepcopy(data)
        of = next(one for one in told["makes"] if one["id"] == "moss_pullover_slip")
        of["pieces"][0]["stages"][0]["readings"]["to_underarm"][2].update(change)
        plans.append(report(told, make="moss_pullover_slip").recommendation.action)
    assert found.recommendation.hangs is (plans[0] != plans[1])


def test_where_piece_and_garment_are_equally_unsure_both_are_read_again():
    found = report(DEMO.with_name("six_numbers.json"))
    assert isinstance(found.recommendation, Advice)
    assert (found.recommendation.action, found.recommendation.side) == ("measure_again", "both")


def test_swatches_tell_the_seam_stitch_of_a_piece_that_is_not_blocked():
    found = report_of("grey_unwashed")
    assert "seam_stitch" not in {one.code for one in found.assumed}


def planned(**changes: Any) -> Report:
    """The demo's grey pullover before anything of it is knitted, some of its make changed; None takes a field away."""
    data = json.loads(DEMO.read_text())
    make = next(one for one in data["makes"] if one["id"] == "grey_pullover")
    make |= {"pieces": [], **changes}
    data["makes"] = [{name: value for name, value in make.items() if value is not None}]
    return report(data)


def test_what_is_planned_and_has_no_piece_says_what_to_knit_first():
    """Size 3 has 120 stitches at the chest of its back; of the swatched dials 7 comes nearest to its gauge.

    In that fabric its chest comes out 1.6 cm narrow, so other counts are knitted; its rows stay.
    """
    first = planned().first
    assert first is not None
    assert (first.kind, first.size, first.dial) == ("back", None, "7")
    assert first.not_this is not None
    assert (first.not_this.size, first.not_this.key, first.not_this.count) == ("3", "chest", 120)
    assert first.counts["chest"] == first.not_this.instead == 124
    own = planned(planned={"back": {"chest": 114}}).first
    assert own is not None
    assert own.not_this is not None
    assert (own.not_this.size, own.not_this.count, own.counts["chest"]) == (None, 114, 124)
    assert report(LEAST).first is None


def test_before_a_size_is_chosen_the_first_counts_are_the_best_at_the_swatched_dial_that_comes_nearest():
    found = planned(size=None, planned={})
    assert found.sizes is not None
    assert [at.dial for at in found.sizes.dials] == ["6", "7", "8"]
    assert found.first is not None
    assert found.sizes.dial_written == found.first.dial == "7"
    assert len({at.best for at in found.sizes.dials}) > 1
    # At dial 8 alone no size is likely to fit, and counts bound to none are.
    loose = planned(size=None, planned={}, swatches=["grey_at_8"])
    assert loose.sizes is not None
    assert loose.first is not None
    assert not isinstance(loose.sizes.free_counts, CannotSay)
    free = {one.key: one.count for one in loose.sizes.free_counts.counts if one.piece == "back"}
    assert (loose.first.counts, loose.first.size) == (free, None)


def test_before_the_first_piece_what_helps_is_what_is_missing():
    codes = [one.code for one in planned().helps]
    assert codes == ["read_first"]
    bare = planned(size=None, size_table=None, planned={}, swatches=[], fits={})
    assert [one.code for one in bare.helps] == ["say_fits", "swatches", "say_counts"]


def test_the_demo_plans_the_cuff_that_its_size_has():
    data = json.loads(DEMO.read_text())
    make = next(one for one in data["makes"] if one["id"] == "grey_pullover")
    size = next(one for one in data["size_tables"][0]["sizes"] if one["name"] == make["size"])
    assert make["planned"]["sleeve"]["cuff"] == size["pieces"]["sleeve"]["cuff"]["count"]


def test_what_is_still_to_be_knitted_leaves_out_what_was_read():
    assert "front" not in report_of("grey_pulled_long").head.to_knit
    assert "front" in report_of("grey_pullover").head.to_knit


def test_a_count_that_is_asked_about_feeds_neither_the_explanation_nor_the_plan_nor_the_fabric():
    records = json.loads(DEMO.read_text())
    make = next(one for one in records["makes"] if one["id"] == "grey_pullover")
    make["pieces"][0]["counts"]["chest"] = {"counted": 12}
    found = report(records, make="grey_pullover")
    (question,) = found.questions
    # 55.2 cm were read, and the swatches make a stitch of 4.5 mm: about 123 stitches, and 12 is that without its 3.
    assert question.read == "12 stitches"
    assert 120 <= int(question.meant) <= 126
    assert found.explanation.code == "one_gauge"
    at_the_chest = [one for way in found.actions for one in way.alterations if one.point == "chest"]
    assert at_the_chest
    assert all(one.stitches is None and one.count is None for one in at_the_chest)
    assert LeftOut("back", "count_in_doubt", "chest") in found.fabric.left_out
    assert found.fabric.gauge == uncounted("grey_pullover").gauge


def test_a_report_from_the_door_writes_itself_as_json_and_data():
    import fitcheck
    from fitcheck.words.data import as_data, json_text

    found = fitcheck.report(Path(demo_garments.__path__[0]) / "household.json", make="grey_pullover")
    assert found.to_json() == json_text(found)
    assert found.to_json(indent=2) == json_text(found, indent=2)
    assert found.to_data() == as_data(found)


def narrow(fibres: list[dict[str, Any]]) -> dict[str, Any]:
    """A back that falls short of its sweater, in a yarn of these fibres."""
    overhangs = {"shoulder_width": "-2.0", "chest": "-3.5", "armhole_depth": "level"}
    piece = {"id": "back", "piece": "back", "stages": [{"kind": "blocked", "overhangs": overhangs}]}
    return {
        "fitcheck": 1,
        "unit": "cm",
        "yarns": [{"id": "yarn", "name": "Yarn", "fibres": fibres}],
        "makes": [{"id": "make", "name": "Make", "yarn": "yarn", "pieces": [piece]}],
    }


def test_what_would_help_most_is_as_many_readings_as_the_advice_asks_for():
    found = report(by_chance(35), make="jumper")
    assert (found.recommendation.reason, found.recommendation.readings) == ("worth_measuring", ROUND_LAYINGS)
    (more,) = (
        help_ for help_ in found.helps if (help_.code, help_.point) == ("read_again", found.recommendation.about)
    )
    assert more.readings == ROUND_LAYINGS


def test_where_a_stretch_would_help_the_fibre_is_asked_for_as_long_as_it_is_unsaid():
    asked = "say_fibre"
    assert asked in [help_.code for help_ in report(narrow([])).helps]
    assert asked not in [help_.code for help_ in report(narrow([{"fibre": "wool", "percent": 100}])).helps]


def test_the_halves_of_an_open_front_share_what_is_changed_across_both():
    records = by_chance(68)
    (make,) = (make for make in records["makes"] if make["id"] == "jumper")
    make["fits"]["as_read"] = True  # its garment is a rib
    found = report(records, make="jumper")
    assert isinstance(found.recommendation, Advice)
    advised = next(way for way in found.actions if way.code == found.recommendation.action)
    (chest,) = (one for one in advised.alterations if one.point == "chest" and one.by == "other_body_piece")
    assert chest.stitches
    halves = [count for piece in found.rest.pieces for count in piece.counts if count.key == "chest"]
    assert len(halves) == 2
    assert sum(count.step for count in halves) == chest.stitches
    assert sum(count.now or 0 for count in halves) == chest.count


def test_a_front_that_is_knitted_already_is_not_knitted_otherwise():
    records = by_chance(62)
    fronts = [piece for make in records["makes"] if make["id"] == "jumper" for piece in make["pieces"]]
    assert [piece["piece"] for piece in fronts] == ["back", "front"]
    found = report(records, make="jumper", piece="back")
    assert not [one for way in found.actions for one in way.alterations if one.by == "other_body_piece"]


def test_a_width_that_only_the_front_has_a_count_for_is_altered_in_its_stitches():
    found = report(by_chance(43), make="jumper")
    (front,) = (piece for piece in found.rest.pieces if piece.kind == "front")
    hem, chest = (next(count for count in front.counts if count.key == key) for key in ("hem", "chest"))
    assert (hem.before, hem.step, hem.now) == (174, 6, 180)
    assert hem.gives_mm / 180 == pytest.approx(chest.gives_mm / 172)


def test_what_was_taken_of_an_armhole_is_not_taken_off_again():
    """Two rows too many in back and plan: the front gets a row less in its armhole, once, however often one asks."""
    counts = {**BODY, "armhole_depth": BODY["armhole_depth"] + 2}
    front = {**FRONT, "armhole_depth": counts["armhole_depth"]}
    data = worked_household(
        [worked_piece("back", counted(counts), lengths(counts))],
        fits=PLAIN_SWEATER, planned={"front": dict(front), "sleeve": SLEEVE}, swatches=[swatch()],
        choices={"armhole_rows": "down"},
    )  # fmt: skip
    told = report(data)
    # The length over all goes with its armhole.
    assert [(taken.piece, taken.point) for taken in told.to_take] == [
        ("front", "armhole_depth"), ("front", "body_length"),
    ]  # fmt: skip
    assert all(taken.instead_of == front[taken.point] and taken.count < taken.instead_of for taken in told.to_take)
    make = data["makes"][0]
    make["planned"]["front"] |= {taken.point: taken.count for taken in told.to_take}
    make["taken"] = [
        {
            "piece": taken.piece, "point": taken.point, "count": taken.count, "instead_of": taken.instead_of,
            "at": "2026-11-01T10:00:00Z", "report": told.digest,
        }
        for taken in told.to_take
    ]  # fmt: skip
    again = report(data)
    assert again.to_take == ()
    assert again.rest is not None
    (front,) = (piece for piece in again.rest.pieces if piece.kind == "front")
    now = {count.key: count.now for count in front.counts}
    assert all(now[taken.point] == taken.count for taken in told.to_take)


@pytest.mark.parametrize(("knitted", "read", "taken"), [(66, 62, 65), (62, 66, 63), (66, 66, 67)])
def test_a_front_armhole_gets_the_same_rows_whatever_was_taken_of_it_before(knitted, read, taken):
    """The other way from what is asked now, by a tape that read otherwise then: all of it is taken back, and once.

    read  the rows of the right size that the back measures
    """
    counts = {**BODY, "armhole_depth": knitted}

    def rows(planned: int, of_make: dict[str, Any]) -> int:
        data = worked_household(
            [worked_piece("back", counted(counts), lengths({**counts, "armhole_depth": read}))],
            fits=PLAIN_SWEATER, planned={"front": {**FRONT, "armhole_depth": planned}, "sleeve": SLEEVE},
            swatches=[swatch()], choices={"armhole_rows": "down"}, **of_make,
        )  # fmt: skip
        rest = report(data).rest
        assert rest is not None
        (front,) = (piece for piece in rest.pieces if piece.kind == "front")
        return next(count.now for count in front.counts if count.key == "armhole_depth")

    before = {
        "piece": "front", "point": "armhole_depth", "count": taken, "instead_of": knitted,
        "at": "2026-11-01T10:00:00Z", "report": "0123456789abcdef" * 4,
    }  # fmt: skip
    now = rows(knitted, {})
    assert (now - knitted) * (BODY["armhole_depth"] - read) > 0, "the front answers to what the back lacks"
    assert rows(taken, {"taken": [before]}) == now


def test_a_piece_that_was_weighed_and_not_read_is_read_first_instead_of_being_compared() -> None:
    weighed, elsewhere = deepcopy(LEAST), deepcopy(LEAST)
    weighed["makes"][0]["pieces"][0]["stages"] = [{"kind": "blocked", "grams": 128}]
    elsewhere["makes"][0]["pieces"][0]["stages"] = [{"kind": "blocked", "readings": {"hem": "47"}}]
    for household, code in ((weighed, "not_read"), (elsewhere, "nothing_to_compare")):
        told = report(json.dumps(household).encode()).recommendation
        assert isinstance(told, CannotSay)
        assert told.code == code
