"""Plans of pieces: each can be knitted line by line, ends as planned, and its edges are those of its acts.

The replay reads the lines of a plan's sheet and nothing else; it shares no code with the plans.
"""

from __future__ import annotations

import doctest
from dataclasses import replace
from random import Random

import pytest

from fitcheck.knitting import needles, pieces, raglan
from fitcheck.knitting.counts import (
    USUAL,
    BodyCounts,
    Choices,
    Fabric,
    PanelCounts,
    RaglanCounts,
    Shaping,
    SleeveCounts,
)
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import SIDES, Edge, Part, Plan, mirrored
from fitcheck.knitting.refusals import CannotShape, ShapingError
from fitcheck.knitting.replay import Replay, replay
from fitcheck.knitting.sheet import sheet
from fitcheck.knitting.writing import PartWriter, Turns
from tests.knitting import random_counts

FABRIC = Fabric(4.48, 3.15)
BACK = BodyCounts(118, 120, 108, 94, 69, 36, 0, 5, FABRIC, armhole=Shaping(5, ((2, 1), (6, 2))))
FRONT = BodyCounts(
    118, 126, 108, 94, 69, 36, 33, 5, FABRIC,
    armhole=Shaping(5, ((2, 1), (9, 2))), neck_shaping=Shaping(6, ((2, 1), (6, 2), (2, 4)), (2,)),
)  # fmt: skip
HALF = BodyCounts(60, 64, 108, 47, 69, 18, 33, 5, FABRIC)
SLEEVE = SleeveCounts(52, 82, 116, FABRIC, 5, 470.117)
RAGLAN = RaglanCounts(118, 120, 108, 5, 75, 38, FABRIC)
ANY_BED = 600


def planned(kind, counts, choices=USUAL, construction="set_in") -> Plan:
    made = plan_piece(kind, counts, choices, construction)
    assert isinstance(made, Plan), made
    return made


def knitted(plan: Plan, needles: int = ANY_BED) -> Replay:
    """The plan knitted through: clean, with the ends and drops that it promises."""
    done = replay(sheet(plan), needles=needles, ends=plan.ends, drops=plan.drops)
    assert done.faults == (), (plan, done.faults)
    return done


def test_examples_in_the_docstrings_hold():
    for module in (needles, pieces, raglan):
        assert doctest.testmod(module).failed == 0


def stitches(edge: Edge) -> int:
    return sum(run.stitches for run in edge)


def rows(edge: Edge) -> int:
    return sum(run.rows for run in edge)


# --- what the trade's rules say of one sweater ---


@pytest.mark.parametrize("first", SIDES)
def test_a_front_is_shaped_at_the_counters_of_its_back_from_the_other_side(first):
    back = planned("back", BACK, Choices(first=first))
    front = mirrored(planned("front", replace(FRONT, chest=120, armhole=BACK.armhole), Choices(first=first)))
    edges = [(event.counter, event.do) for event in back.events if event.do in ("cast_off", "narrow")]
    others = [(event.counter, event.do) for event in front.parts[0].events if event.do in ("cast_off", "narrow")]
    assert edges == others
    at = {event.counter: event.at for event in back.events if event.do == "cast_off"}
    assert at == {108: first, 109: {"left": "right", "right": "left"}[first]}
    assert [event.at for event in front.parts[0].events if event.do == "cast_off"] == [at[109], at[108]]


def test_the_half_that_is_knitted_second_does_everything_at_the_carriage_one_row_later():
    front = planned("front", FRONT)
    first, second = (
        [(event.counter, event.do, event.stitches) for event in part.events if event.do in ("cast_off", "rest")]
        for part in front.parts[1:]
    )
    assert second == [(counter + 1, do, stitches) for counter, do, stitches in first]
    assert (front.parts[1].end, front.parts[2].end) == (185, 186)
    assert rows(front.edges["right_neck"]) == rows(front.edges["left_neck"]) + 1 == 34
    assert front.drops == {"left_shoulder": 8, "right_shoulder": 8}


def test_undivided_the_other_shoulder_drops_one_row_less():
    assert planned("back", BACK, Choices(first="right")).drops == {"right_shoulder": 8, "left_shoulder": 7}


def test_a_divided_front_and_an_undivided_back_knit_as_many_rows_as_their_sheets_say():
    assert knitted(planned("back", BACK)).rows == 185
    done = knitted(planned("front", FRONT))
    assert (done.rows, done.ends) == (152 + 33 + 34, {"left_shoulder": 29, "right_shoulder": 29, "neck": 12})


@pytest.mark.parametrize("neck_rows", range(3, 12))
@pytest.mark.parametrize("groups", [4, 5, 8])
def test_a_neck_shallower_than_the_shoulder_keeps_resting_groups_resting_while_they_are_parked(neck_rows, groups):
    back = planned("back", replace(BACK, neck_rows=neck_rows, groups=groups))
    parted = back.parts[0].end
    rested = [event for event in back.parts[0].events if event.do == "rest"]
    assert bool(rested) == (neck_rows <= 2 * (groups - 1))
    assert all(event.counter <= parted for event in rested)
    assert knitted(back).rows == parted + neck_rows + neck_rows + 1


@pytest.mark.parametrize("choices", [Choices(first=side, increase=how) for side in SIDES for how in ("moved", "edge")])
@pytest.mark.parametrize(
    "counts",
    [
        replace(FRONT, groups=1),
        replace(BACK, groups=1),
        replace(BACK, cast_on=119, chest=121, across=95, neck=37),
        replace(BACK, cast_on=119, chest=121, across=95, neck=37, neck_rows=20),
        replace(BACK, waist=(50, 110)),
        replace(BACK, armhole=Shaping(4, ((6, 2),), (3,))),
        replace(FRONT, neck_rows=60, neck_shaping=Shaping(0, ((14, 2), (4, 4)))),  # deep, nothing in its middle
    ],
)
def test_one_group_odd_counts_waists_stepped_armholes_and_deep_necks_can_be_knitted(counts, choices):
    one = planned("front", counts, choices)
    for piece in (one, mirrored(one)):
        knitted(piece)


def test_armhole_rows_that_are_even_are_refused_or_made_odd_as_was_chosen():
    even = replace(BACK, armhole_rows=70)
    refused = plan_piece("back", even)
    assert isinstance(refused, CannotShape)
    assert (refused.code, refused.values["rows"]) == ("armhole_rows_even", (69, 71))
    assert refused.fault is not None
    assert refused.fault.read == "70"
    for choice, end in (("up", 187), ("down", 185)):
        assert planned("back", even, Choices(made_odd=choice)).parts[0].end == end
    # With one group nothing rests, so any number of rows goes.
    assert knitted(planned("back", replace(even, groups=1))).rows == 178


def test_the_bed_is_a_wall():
    for counts, kind in ((BACK, "back"), (replace(BACK, cast_on=117, chest=119, across=93, neck=35), "back"),
                         (HALF, "left_front"), (HALF, "right_front")):  # fmt: skip
        wide = planned(kind, counts)
        reached = [line.needles for line in sheet(wide).unfolded() if line.needles]
        half = max(-min(span.first for span in reached), max(span.last for span in reached) + 1)
        knitted(planned(kind, counts, Choices(needles=2 * half)), needles=2 * half)
        refused = plan_piece(kind, counts, Choices(needles=2 * half - 2))
        assert isinstance(refused, CannotShape)
        assert (refused.code, refused.values["needed"]) == ("too_few_needles", 2 * half)


def test_half_fronts_are_mirror_images_with_their_armholes_outward():
    left, right = planned("left_front", HALF), planned("right_front", HALF)
    assert mirrored(left) == right
    assert {"left_armhole", "right_neck", "right_front"} <= set(left.edges)
    assert {"right_armhole", "left_neck", "left_front"} <= set(right.edges)
    assert knitted(left).loops == knitted(right).loops
    assert left.ends == {"left_shoulder": 29, "neck": left.edges["neck"][0].stitches}


@pytest.mark.parametrize("counts", [FRONT, replace(BACK, cast_on=119, chest=121, across=95, neck=37)])
def test_a_mirror_image_lies_on_the_mirrored_needles_at_the_same_counters(counts):
    other = {"left": "right", "right": "left"}
    plan = planned("front", counts)
    pairs = zip(sheet(plan).unfolded(), sheet(mirrored(plan)).unfolded(), strict=True)
    shaping = [(line, image) for line, image in pairs if line.act != "park"]
    assert len(shaping) > 20
    for line, image in shaping:
        assert (image.counter, image.act, image.after) == (line.counter, line.act, line.after)
        assert (image.carriage, image.at) == (other[line.carriage], other.get(line.at, line.at))
        if line.needles is not None:
            assert image.needles == (-1 - line.needles.last, -1 - line.needles.first)


def test_what_is_done_alike_at_both_ends_of_a_half_is_one_act():
    """A raglan front: where its slanting edge and its neck are narrowed at one counter, both sides are named once."""
    front = planned("front", replace(RAGLAN, top=10, neck=28, neck_rows=20), construction="raglan")
    for part in front.parts[1:]:
        counters = [event.counter for event in part.events if event.do == "narrow"]
        assert len(set(counters)) == len(counters)
    assert sum(event.at == "both" for event in front.parts[2].events) >= 4
    knitted(front)


@pytest.mark.parametrize(("side", "least"), [("both", 8), ("left", 4)])
def test_a_transfer_needs_its_loops_and_those_that_they_are_hung_on(side, least):
    """Three loops move on each side: with one stitch fewer neither the plan nor the replay goes on."""
    for stitches in (least, least - 1):
        writer = PartWriter("body", 0, Turns("left", 0), USUAL)
        writer.act(0, "cast_on", "all", stitches)
        writer.act(2, "narrow", side, 1)
        left = stitches - (2 if side == "both" else 1)
        writer.act(4, "cast_off_all", "all", left, "top")
        if stitches < least:
            with pytest.raises(ShapingError):
                writer.part(4)
            part = Part("body", 0, "left", 4, tuple(writer.events))
            assert replay(sheet(Plan("back", span_of(stitches), (part,), ends={"top": left})), needles=20).faults
        else:
            knitted(Plan("back", span_of(stitches), (writer.part(4),), ends={"top": left}))


def test_a_neck_that_is_cast_off_leaves_no_stitches_in_its_middle():
    for kind, counts in (("front", FRONT), ("left_front", HALF)):
        plan = planned(kind, counts, Choices(neck="cast_off"))
        assert "neck" not in plan.ends
        assert "neck" in plan.edges
        knitted(plan)
    back = planned("back", BACK, Choices(neck="cast_off"))
    assert [event.do for event in back.events if event.name == "neck"] == ["cast_off_all"]
    knitted(back)


def test_a_drop_shoulder_marks_its_armhole_on_a_straight_edge():
    counts = replace(BACK, chest=118, across=118, armhole=None, neck=40, armhole_rows=70)
    back = planned("back", counts, construction="drop_shoulder")
    marks = {(event.counter, event.name) for event in back.events if event.do == "mark"}
    assert marks == {(100, "chest"), (108, "to_underarm")}
    assert not [event for event in back.events if event.do in ("narrow", "cast_off")]
    assert "left_underarm" not in back.edges
    assert stitches(back.edges["left_armhole"]) == 0
    knitted(back)


@pytest.mark.parametrize(
    ("rule", "rows"),
    [("last", (25, 50, 75, 100)), ("inside", (20, 40, 60, 80)), ("half", (12, 37, 62, 87)), ("ends", (0, 33, 67, 100))],
)
def test_a_side_is_spaced_by_the_rule_that_was_chosen(rule, rows):
    """118 to 126 stitches over 108 rows, the last eight of them plain."""
    front = planned("front", FRONT, Choices(side_rule=rule))
    assert tuple(event.counter for event in front.events if event.do == "widen") == rows
    knitted(front)


def test_a_side_that_turns_at_the_waist_is_never_shaped_twice_at_one_row():
    front = planned("front", replace(FRONT, waist=(50, 112)), Choices(side_rule="ends"))
    narrowed = [event.counter for event in front.events if event.do == "narrow" and event.counter < 108]
    widened = [event.counter for event in front.events if event.do == "widen"]
    assert (narrowed, widened[0] > 50, len(widened)) == ([0, 25, 50], True, 7)
    knitted(front)


def test_a_sleeve_takes_the_fairest_cap():
    plan = planned("sleeve", SLEEVE)
    done = knitted(plan)
    assert (done.rows, done.ends) == (116 + 50, {"top": 18})
    assert plan.points["cap_height"] == (166, 18)
    widened = [event.counter for event in plan.events if event.do == "widen"]
    assert (len(widened), widened[-1]) == (15, 116 - round(40 / 3.15))  # 4 cm plain
    assert rows(plan.edges["left_cap"]) == rows(plan.edges["right_cap"]) + 1 == 50


def test_the_sleeve_of_a_drop_shoulder_is_cast_off_straight_across():
    straight = SleeveCounts(52, 90, 130, FABRIC)
    plan = planned("sleeve", straight, construction="drop_shoulder")
    assert knitted(plan).ends == {"top": 90}
    assert [event.counter for event in plan.events if event.do == "widen"][-1] == 130 - round(40 / 3.15)
    assert "left_cap" not in plan.edges


def test_a_sleeve_without_a_cap_that_fits_is_refused_with_the_nearest_ease():
    refused = plan_piece("sleeve", replace(SLEEVE, armhole_mm=250.0))
    assert isinstance(refused, CannotShape)
    assert refused.code == "no_cap"
    assert refused.values["nearest"] > 0.05


def test_the_raglan_edges_of_all_pieces_take_the_same_rows():
    back = planned("back", RAGLAN, construction="raglan")
    sleeve = planned("sleeve", replace(RAGLAN, cast_on=52, widest=90, top=20), construction="raglan")
    front = planned("front", replace(RAGLAN, top=10, neck=28, neck_rows=20), construction="raglan")
    for plan in (back, sleeve, front):
        assert plan.parts[0].end in (183, 163)
        assert rows(plan.edges["left_raglan"]) == 75
        knitted(plan)
    assert front.ends == {"left_tip": 5, "right_tip": 5, "neck": front.edges["neck"][0].stitches}
    assert len({event.counter for event in back.events if event.do == "narrow"}) == 36


def test_more_raglan_decreases_than_rows_are_refused():
    refused = plan_piece("back", replace(RAGLAN, widest=220, cast_on=220), construction="raglan")
    assert isinstance(refused, CannotShape)
    assert (refused.code, refused.values["most"]) == ("steps_do_not_fit", 74)


def test_a_side_panel_is_cast_off_together():
    plan = planned("side_panel", PanelCounts(20, 26, 100, FABRIC), construction="side_panels")
    assert knitted(plan).ends == {"top": 26}


@pytest.mark.parametrize(
    ("kind", "counts", "construction"),
    [
        ("sleeve", replace(SLEEVE, armhole_mm=0.0), "set_in"),
        ("sleeve", SLEEVE, "drop_shoulder"),
        ("sleeve", BACK, "set_in"),
        ("back", SLEEVE, "set_in"),
        ("back", BACK, "raglan"),
        ("back", RAGLAN, "set_in"),
    ],
)
def test_counts_of_another_kind_of_piece_are_an_error(kind, counts, construction):
    with pytest.raises(ShapingError, match="counts"):
        plan_piece(kind, counts, construction=construction)


@pytest.mark.parametrize(
    ("changes", "place"),
    [
        ({"chest": 121, "cast_on": 119}, "across"),
        ({"cast_on": 119}, "stitches"),
        ({"neck": 37}, "neck"),
        ({"groups": 40}, "k"),
        ({"armhole": Shaping(5, ((9, 2),))}, "armhole"),
    ],
)
def test_counts_that_both_sides_cannot_share_are_refused_by_name(changes, place):
    refused = plan_piece("back", replace(BACK, **changes))
    assert isinstance(refused, CannotShape)
    assert refused.fault is not None
    assert (refused.code, refused.fault.place) == ("steps_do_not_fit", place)


def test_the_right_sleeve_is_the_mirror_image_of_the_left_one():
    left, right = planned("left_sleeve", SLEEVE), planned("right_sleeve", SLEEVE)
    assert right == mirrored(left)
    assert right.piece == "right_sleeve"
    raglans = [planned(kind, replace(RAGLAN, cast_on=52, widest=90, top=20), construction="raglan") for kind in
               ("left_sleeve", "right_sleeve")]  # fmt: skip
    assert raglans[1] == mirrored(raglans[0])


NOTHING_CAST_OFF = 3
"""A seed of which the front has nothing to cast off at its underarm, so no stitch more at one side of it either."""


@pytest.mark.parametrize("seed", range(40))
def test_sides_that_are_not_alike_are_knitted_clean_with_one_stitch_more_off_at_the_left(seed):
    chance = Random(seed)
    counts = random_counts.body(chance)
    odd = replace(counts, cast_on=counts.cast_on + 1, chest=counts.chest + 1, waist=None, unlike=True)
    first = chance.choice(SIDES)
    plan = plan_piece("front", odd, Choices(first=first, made_odd="up"), "set_in")
    if seed == NOTHING_CAST_OFF:
        assert isinstance(plan, CannotShape)
        assert plan.values["text"] == "a cast-off at the underarm"
        return
    assert knitted(plan).loops > 0
    left, right = (sum(run.stitches for run in plan.edges[f"{side}_underarm"]) for side in SIDES)
    assert left == right + 1
    assert plan.points["shoulder_width"][1] == counts.across
    knitted(mirrored(plan))


def test_an_odd_difference_is_still_refused_where_nobody_takes_sides_that_are_not_alike():
    refused = plan_piece("front", replace(FRONT, chest=127, cast_on=119, armhole=None), USUAL, "set_in")
    assert isinstance(refused, CannotShape)
    assert refused.fault.place == "across"
