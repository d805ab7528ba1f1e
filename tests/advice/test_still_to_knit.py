"""What is still to knit by an action: counts before and now, what they measure, and what they keep."""

from __future__ import annotations

import pytest

from fitcheck.advice.alteration import Alteration
from fitcheck.advice.decide.decision import Action
from fitcheck.advice.rest.still_to_knit import Rest, pieces_left, still_to_knit
from fitcheck.records.files import open_household
from fitcheck.words.figures import Tape
from fitcheck.words.rest import rest_told

SIZES = {"across": 4.5, "along": 3.0}
WIDER = Alteration("chest", "other_body_piece", 18.0, 4, 124)


def household(*, needles: int = 200, **fields):
    pieces = fields.pop("pieces", [{"id": "back", "piece": "back", "counts": {"chest": 120, "body_length": 200}}])
    for piece in pieces:
        piece.setdefault("stages", [{"kind": "blocked", "readings": {"chest": ["54"]}}])
    make = {"id": "plain", "name": "plain", "machine": "bed", "pieces": pieces, **fields}
    return open_household(
        {
            "fitcheck": 1,
            "unit": "cm",
            "machines": [{"id": "bed", "name": "bed", "needles": needles, "pitch": "4.5 mm"}],
            "makes": [make],
        }
    )


def rest_of(action: Action, kinds=("front",), *, dial=None, sizes=SIZES, needles=200, **fields) -> Rest:
    kept = household(needles=needles, **fields)
    make = kept.makes[0]
    return still_to_knit(make, kept, make.pieces[0], action, dial=dial, sizes=sizes, kinds=kinds)


def test_a_front_gets_the_advised_count_and_takes_the_others_from_its_back():
    (front,) = rest_of(Action("other_counts", 0.05, alterations=(WIDER,)), planned={"front": {"hem": 116}}).pieces
    assert [(one.key, one.before, one.step, one.now, one.like) for one in front.counts] == [
        ("hem", 116, 0, 116, None),
        ("chest", 120, 4, 124, "back"),
        ("body_length", 200, 0, 200, "back"),
    ]
    assert front.notes == ("taken_as_knitted",)
    assert front.asks == "chest"


@pytest.mark.parametrize(("how", "layers"), [("knitted_on", 1.0), ("added_later", 0.0), ("turned", 2.0)])
def test_a_length_is_rows_times_height_and_the_layers_of_its_band(how, layers):
    bands = [{"edge": "hem", "depth": "5 cm", "how": how}]
    (front,) = rest_of(Action("carry_on", 0.0), bands=bands).pieces
    chest, length = front.counts
    assert (chest.gives_mm, chest.band_mm) == (120 * 4.5, 0.0)
    assert (length.gives_mm, length.band_mm) == (200 * 3.0 + layers * 50.0, layers * 50.0)


@pytest.mark.parametrize(
    ("mm", "more", "count"),
    [
        (20.0, {}, 124),  # 4.4 stitches of 4.5 mm: 124 is the nearest even one beside 120
        (20.0, {"multiple": 6, "balance": 0}, 126),  # 120 and 126 are whole repeats; 124.4 lies nearer to 126
        (20.0, {"needles": 122}, 122),
        (3.0, {}, 120),
    ],
)
def test_a_share_is_a_count_where_the_next_stitch_is_known(mm, more, count):
    """Nobody counted the back, so the advice says a share of the front; its own count was planned."""
    share = Alteration("chest", "other_body_piece", mm, percent=100 * mm / 540)
    action = Action("other_counts", 0.05, alterations=(share,))
    (front,) = rest_of(action, planned={"front": {"chest": 120}}, **more).pieces
    assert {one.key: one.now for one in front.counts}["chest"] == count
    (front,) = rest_of(action, planned={"front": {"chest": 120}}, sizes={}, **more).pieces
    assert {one.key: one.now for one in front.counts}["chest"] == 120, "without a stitch the share stays a share"


def test_a_fabric_that_nothing_is_known_of_gives_no_measure():
    (front,) = rest_of(Action("other_counts", 0.05, alterations=(WIDER,)), sizes={}).pieces
    assert [one.gives_mm for one in front.counts] == [None, None]


def test_what_no_count_of_a_piece_answers_is_a_part_and_nothing_is_told_twice():
    seam = Alteration("shoulder_width", "armhole_seam", -8.0)
    rest = rest_of(Action("other_counts", 0.05, alterations=(WIDER, seam)))
    assert rest.parts == (seam,)
    assert rest.changes
    assert [one.change for one in rest_told(rest, Tape("cm", ".")).parts] == ["0.8 cm narrower"]


def test_rows_at_a_lower_end_change_this_piece_and_its_partner_alike():
    end = Alteration("body_length", "hem", -15.0)
    back, front = rest_of(Action("alter_hem", 0.12, alterations=(end,))).pieces
    assert (back.kind, back.how) == ("back", "at_the_end")
    assert [(one.key, one.now) for one in back.counts] == [("body_length", 195)]
    assert {one.key: one.now for one in front.counts} == {"chest": 120, "body_length": 195}


def test_at_another_dial_a_piece_is_knitted_again_with_its_planned_counts():
    pieces = [{"id": "back", "piece": "back", "counts": {"chest": {"planned": 118, "knitted": 120}}}]
    mine = Alteration("chest", "this_piece", -9.0, -2, 118)
    rest = rest_of(Action("knit_again", 1.05, alterations=(mine,)), dial="7.1", pieces=pieces, kinds=())
    (back,) = rest.pieces
    assert (back.how, back.dial, [(one.key, one.now, one.step) for one in back.counts]) == (
        "again_at_dial",
        "7.1",
        [("chest", 118, 0)],
    )
    assert rest.parts == ()
    assert not rest.changes
    assert back.changed


def test_the_rest_waits_for_a_piece_that_is_knitted_again_as_it_was():
    """The new one has all the counts that the old one had, and what changes is read off it first."""
    back, front = rest_of(Action("knit_again", 1.05)).pieces
    assert (back.how, {one.key: one.now for one in back.counts}) == ("again", {"chest": 120, "body_length": 200})
    assert front.notes == ("taken_as_knitted", "wait")


def test_nothing_is_decided_while_something_is_to_be_measured():
    assert rest_of(Action("measure_again", 0.03)).open
    assert not rest_of(Action("carry_on", 0.0)).open


def test_nothing_of_a_finished_make_is_still_to_knit():
    assert rest_of(Action("carry_on", 0.0), finished="2026-01-31") == Rest()


def test_of_half_a_pair_the_other_half_is_left_and_one_knitted_again_leaves_none():
    half = {"id": "left", "piece": "left_front"}
    make = household(pieces=[half]).makes[0]
    assert pieces_left(make, ["back"]) == ["back", "right_front"]
    again = {"id": "left_2", "piece": "left_front", "replaces": "left"}
    assert pieces_left(household(pieces=[half, again]).makes[0], []) == ["right_front"]


def test_counts_keep_repeats_and_the_bed_or_say_where_they_do_not():
    action = Action("other_counts", 0.05, alterations=(WIDER,))
    kept = rest_of(action, multiple=4).demands
    assert (kept.even, kept.broken, kept.too_wide) == (True, (), ())
    broken = rest_of(action, multiple=10, balance=1, needles=123).demands
    assert [(one.key, one.count, one.below, one.above) for one in broken.broken] == [("chest", 124, 121, 131)]
    assert [(one.key, one.count) for one in broken.too_wide] == [("chest", 124)]
    told = rest_told(rest_of(action, multiple=10, balance=1, needles=123), Tape("cm", "."))
    assert told.demands == ("Changes across are even, so the middle of every piece stays its middle.",)
    assert told.unmet == (
        "The front’s chest: 124 is no whole number of repeats of 10 and 1 over; 121 and 131 are.",
        "The front’s chest: 124 is more than the 123 needles.",
    )
