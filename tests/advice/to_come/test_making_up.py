"""Making up: the order of seams and bands, ribs and marks, armholes as typed, and what makes two edges join."""

from __future__ import annotations

import pytest

from fitcheck.advice.to_come.making_up import Step, steps_of
from fitcheck.advice.to_come.seams import JoinWay, Seam
from fitcheck.knitting.joins import Join
from fitcheck.records.makes import Make, Piece, Taken
from fitcheck.reports.the_rest import TheRest
from tests.advice.to_come.test_the_rest import MAKES, demo, rest, with_make
from tests.invented import in_turn


def order(told: TheRest) -> list[tuple[str, str]]:
    def name(step: Step) -> str:
        return step.seam.key if step.seam is not None else step.band.edge if step.band is not None else ""

    return [(name(step), step.when or step.side) for step in steps_of(told.answer.seams, told.answer.bands)]


def seam(told: TheRest, key: str) -> Seam:
    return next(seam for seam in told.answer.seams if seam.key == key)


def joined(told: TheRest, key: str) -> Join:
    join = seam(told, key).join
    assert isinstance(join, Join)
    return join


def grey() -> Make:
    return next(make for make in demo().makes if make.id == "grey_pullover")


def front_as_the_back(**counts: int) -> Piece:
    """A front of the grey pullover, off the machine, that was knitted as its back, but for some counts."""
    (back,) = grey().pieces
    known = {str(key): count.best for key, count in back.counts.items() if key != "body_length"}
    data = {"id": "front", "piece": "front", "counts": {**known, "neck_depth": 26, **counts}, "stages": OFF}
    return Piece.model_validate(data)


OFF = [{"kind": "off_machine"}]


def with_front(**counts: int) -> TheRest:
    return with_make("grey_pullover", pieces=[*grey().pieces, front_as_the_back(**counts)])


def test_a_closed_neck_is_picked_up_while_the_left_shoulder_is_open() -> None:
    assert order(rest("grey_pullover")) == [
        ("shoulder", "right"),
        ("neck", "one_shoulder_open"),
        ("shoulder", "left"),
        ("armhole", "both"),
        ("underarm", "both"),
        ("side", "both"),
        ("sleeve", "both"),
    ]


def test_the_bands_of_an_open_front_come_after_both_shoulders_the_neck_first() -> None:
    assert order(rest("grey_cardigan"))[:3] == [
        ("shoulder", "both"),
        ("neck", "edge_to_edge"),
        ("front", "after_the_neck"),
    ]


def test_hem_and_cuff_bands_are_picked_up_before_their_seams_are_sewn() -> None:
    told = [name for name, _ in order(rest("blue_cotton_pullover"))]
    assert told.index("hem") == told.index("side") - 1
    assert told.index("cuff") == told.index("sleeve") - 1


def test_side_seams_begin_with_the_rib_that_is_knitted_on_and_no_other_edge_does() -> None:
    told = rest("grey_pullover")
    assert [rib and rib.mm for rib in seam(told, "side").ribs] == [60.0, 60.0]
    assert {seam(told, key).ribs for key in ("shoulder", "armhole", "underarm")} == {(None, None)}
    assert seam(rest("blue_cotton_pullover"), "side").ribs == (None, None), "its ribs are picked up afterwards"


def test_marks_of_a_side_meet_every_40_rows_and_those_of_an_armhole_half_way() -> None:
    told = rest("grey_pullover")
    assert [(mark.counter, mark.meets) for mark in seam(told, "side").marks] == [(40, 40), (80, 80)]
    assert [(mark.part, mark.partner) for mark in seam(told, "armhole").marks] == [
        ("back", "sleeve"),
        ("front", "sleeve"),
    ]


def test_sides_that_do_not_join_say_three_ways_each_of_which_makes_them_join() -> None:
    told = with_front(to_underarm=111)
    assert joined(told, "side").verdict == "does_not_join"
    ways = seam(told, "side").ways
    assert [(way.code, way.piece, way.count, way.change) for way in ways] == [
        ("count_again", "front", 111, 0),
        ("rip_back", "front", 108, -3),
        ("rip_back", "front", 110, -1),
    ]
    assert joined(with_front(to_underarm=ways[1].count), "side").verdict == "fits"
    eased = joined(with_front(to_underarm=ways[2].count), "side")
    assert (eased.verdict, eased.ease) == ("eases", pytest.approx(ways[2].ease))


def test_a_front_that_is_short_is_knitted_on_to_its_back() -> None:
    ways: tuple[JoinWay, ...] = seam(with_front(to_underarm=104), "side").ways
    assert [(way.code, way.count) for way in ways][1:] == [("knit_on", 108), ("knit_on", 106)]


def with_front_like_the_back(key: str, **more: int) -> TheRest:
    """A make of the demo with a front, off the machine, that has its back's counts, and more of some."""
    (back,) = next(make for make in demo().makes if make.id == key).pieces
    known = {str(point): count.best + more.get(point, 0) for point, count in back.counts.items() if count.best}
    data = {"id": "front", "piece": "front", "counts": {**known, "neck_depth": 26}, "stages": OFF}
    return with_make(key, pieces=[back, Piece.model_validate(data)])


def test_a_back_that_only_the_advice_makes_another_may_be_left_as_it_is() -> None:
    told = with_front_like_the_back("blue_cotton_loose")
    assert joined(told, "side").verdict == "does_not_join"
    assert [(way.code, way.piece, way.point, way.count) for way in seam(told, "side").ways] == [
        ("leave", "back", "to_underarm", 101),
        ("count_again", "front", "to_underarm", 101),
        ("rip_back", "front", "to_underarm", 93),
        ("rip_back", "front", "to_underarm", 94),
    ]


def test_a_front_is_altered_at_its_hem_as_its_back_is_and_lengths_over_all_are_counted_too() -> None:
    assert joined(with_front_like_the_back("moss_drop_shoulder"), "side").verdict == "fits"
    told = with_front_like_the_back("moss_drop_shoulder", body_length=6)
    assert joined(told, "side").verdict == "does_not_join"
    assert {way.point for way in seam(told, "side").ways} == {"body_length"}


def test_edges_that_join_have_no_ways() -> None:
    assert all(not seam.ways for make in MAKES for seam in rest(make).answer.seams)


def test_shoulders_are_joined_stitch_to_stitch_so_a_neck_gives_or_takes_two() -> None:
    told = with_front(neck_width=32)
    assert joined(told, "shoulder").verdict == "does_not_join"
    way = seam(told, "shoulder").ways[1]
    assert (way.point, way.count) == ("neck_width", 36)
    assert joined(with_front(neck_width=way.count), "shoulder").verdict == "fits"


def test_once_everything_is_knitted_the_seams_are_still_there() -> None:
    counts = {"cuff": 52, "upper_arm": 82, "sleeve_length": 165}
    sleeves = [
        Piece.model_validate({"id": side, "piece": f"{side}_sleeve", "counts": counts, "stages": OFF})
        for side in ("left", "right")
    ]
    told = with_make("grey_pullover", pieces=[*grey().pieces, front_as_the_back(), *sleeves])
    assert told.answer.why is not None
    assert told.answer.why.code == "nothing_left"
    assert joined(told, "side").verdict == "fits"
    assert told.answer.bands


@pytest.mark.parametrize("make", in_turn(MAKES))
def test_the_line_that_stands_for_an_assumed_armhole_is_that_armhole(make: str) -> None:
    for armhole in rest(make).answer.armholes:
        record = next(record for record in demo().makes if record.id == make)
        pieces = [
            Piece.model_validate({**piece.model_dump(), "shaping": {"armhole": armhole.line}})
            if piece.id == armhole.id
            else piece
            for piece in record.pieces
        ]
        again = with_make(make, pieces=pieces)
        typed = next(each for each in again.answer.armholes if each.id == armhole.id)
        assert (typed.typed, typed.line, typed.stitches) == (True, armhole.line, armhole.stitches)


def test_a_line_that_takes_off_another_number_is_kept_beside_the_curve_that_is_drawn() -> None:
    (back,) = grey().pieces
    odd = Piece.model_validate({**back.model_dump(), "shaping": {"armhole": "5 at once, then 3 every 2nd"}})
    (said,) = with_make("grey_pullover", pieces=[odd]).answer.armholes
    assert (said.typed, said.refused, said.stitches) == (False, "5 at once, then 3 every 2nd", 13)


def test_a_side_joins_by_the_rows_that_were_taken_at_the_hem_of_its_knitted_back() -> None:
    (back,) = grey().pieces
    rows = back.counts["to_underarm"].best
    assert rows is not None
    count = rows + 4
    taken = {"piece": "back", "point": "to_underarm", "count": count, "instead_of": rows, "at": "2026-01-05T10:00:00Z"}
    told = with_make(
        "grey_pullover",
        pieces=[back, front_as_the_back(to_underarm=count)],
        planned={"back": {"to_underarm": count}},
        taken=[Taken.model_validate({**taken, "report": "0" * 64})],
    )
    assert joined(told, "side").verdict == "fits"
