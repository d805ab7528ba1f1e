"""No cap goes into the armholes: ways out that are offered, what each leads to, and that it can be taken back."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.joins import Join
from fitcheck.knitting.lines import Sheet
from fitcheck.records.files import open_household
from fitcheck.reports.shaped import worked_out
from fitcheck.reports.shapes import Report
from fitcheck.reports.the_rest import TheRest

DEMO = Path("demo_garments/household.json")
MAKE = "blue_cotton_pullover"


def with_upper_arm(cm: str, *lifted: dict[str, Any], **changed: Any) -> tuple[TheRest, Report]:
    """The rest of a make of the demo (an invented household) whose upper arm is wanted so wide."""
    raw = json.loads(DEMO.read_bytes())
    make = next(make for make in raw["makes"] if make["id"] == MAKE)
    make["fits"]["numbers"] = {"upper_arm": cm}
    make["choices"] = {"lifted": list(lifted)}
    make.update(changed)
    return worked_out(open_household(json.dumps(raw).encode()), MAKE)


def sleeve_of(rest: TheRest) -> Any:
    return next(piece for piece in rest.answer.pieces if piece.kind == "sleeve")


def front_of(rest: TheRest) -> Any:
    return next(piece for piece in rest.answer.pieces if piece.kind == "front")


def test_a_cap_that_is_too_long_has_three_ways_out_with_their_counts_and_costs() -> None:
    rest, _ = with_upper_arm("22.6 cm")
    assert sleeve_of(rest).count("upper_arm") == 102
    assert rest.answer.refused is not None
    ways = {way.code: way for way in rest.answer.refused.ways}
    assert list(ways) == ["upper_arm", "ease", "front_rows"]
    assert (ways["upper_arm"].counts, ways["front_rows"].counts) == ({"upper_arm": 100}, {"armhole_depth": 67})
    assert (ways["ease"].ease, ways["front_rows"].piece) == (0.07, "front")


@pytest.mark.parametrize(
    ("wanted", "way", "upper", "armhole", "verdict", "chosen"),
    [
        ("22.6 cm", 0, 100, 65, "eases", ("sleeve", "upper_arm")),
        ("22.6 cm", 1, 102, 65, "eases", None),
        ("22.6 cm", 2, 102, 67, "eases", ("front", "armhole_depth")),
        ("11.4 cm", 0, 54, 65, "fits", ("sleeve", "upper_arm")),
        ("11.4 cm", 1, 52, 63, "eases", ("front", "armhole_depth")),
    ],
)
def test_each_way_leads_to_a_sleeve_that_is_sewn_in(
    wanted: str, way: int, upper: int, armhole: int, verdict: str, chosen: tuple[str, str] | None
) -> None:
    refused = with_upper_arm(wanted)[0].answer.refused
    assert refused is not None
    lifted = [lift.model_dump(mode="json") for lift in refused.ways[way].lifts]
    rest, report = with_upper_arm(wanted, *lifted)
    assert rest.answer.refused is None
    assert (sleeve_of(rest).count("upper_arm"), front_of(rest).count("armhole_depth")) == (upper, armhole)
    assert isinstance(rest.sheet("sleeve"), Sheet)
    (seam,) = (seam for seam in rest.answer.seams if seam.key == "armhole")
    assert isinstance(seam.join, Join)
    assert seam.join.verdict == verdict
    to_take = {(take.piece, take.point) for take in report.to_take}
    assert chosen not in to_take, "what the knitter chose is not there to be taken on top"


def test_a_cap_that_is_too_short_asks_for_stitches_or_a_shallower_armhole_of_the_front_and_for_no_ease() -> None:
    refused = with_upper_arm("11.4 cm")[0].answer.refused
    assert refused is not None
    stitches, rows = refused.ways
    assert (stitches.code, stitches.counts) == ("upper_arm", {"upper_arm": 54})
    assert (rows.code, rows.piece, rows.counts) == ("front_rows", "front", {"armhole_depth": 63})
    assert (stitches.worse or 0.0) < (rows.worse or 0.0), "the armhole of the front is wanted, too"


def test_where_the_front_is_knitted_its_armhole_is_no_way() -> None:
    raw = json.loads(DEMO.read_bytes())
    make = next(make for make in raw["makes"] if make["id"] == MAKE)
    front = {**make["pieces"][0], "id": "front", "piece": "front"}
    rest, _ = with_upper_arm("11.4 cm", pieces=[make["pieces"][0], front])
    assert rest.answer.refused is None or "front_rows" not in [way.code for way in rest.answer.refused.ways]


@pytest.mark.parametrize(
    ("wanted", "ways"),
    [
        pytest.param("24.0 cm", [{"upper_arm": 100}, {"armhole_depth": 77}], marks=pytest.mark.full),
        pytest.param("9.0 cm", [{"upper_arm": 54}], marks=pytest.mark.full),
        ("28.0 cm", [{"upper_arm": 106, "armhole_depth": 71}]),
        ("32.0 cm", []),
    ],
)
def test_the_nearest_counts_with_which_a_cap_fits_are_looked_for_up_to_ten_steps_away_then_together(
    wanted: str, ways: list[dict[str, int]]
) -> None:
    refused = with_upper_arm(wanted)[0].answer.refused
    assert refused is not None
    assert [way.counts for way in refused.ways] == ways
    for way in refused.ways:
        lifted = [lift.model_dump(mode="json") for lift in way.lifts]
        rest = with_upper_arm(wanted, *lifted)[0]
        assert rest.answer.refused is None
        assert isinstance(rest.sheet("sleeve"), Sheet)
        for lift in lifted:
            if lift["times"] > 1:
                fewer = {**lift, "times": lift["times"] - 1}
                others = [fewer if other == lift else other for other in lifted]
                assert with_upper_arm(wanted, *others)[0].answer.refused is not None, "a step fewer is not enough"


def test_stitches_are_offered_on_top_of_those_that_were_taken_but_never_more_than_ten_times() -> None:
    taken = {"piece": "sleeve", "demand": "narrower_arm", "times": 3}
    refused = with_upper_arm("24.0 cm", taken)[0].answer.refused
    assert refused is not None
    assert refused.ways[0].lifts[0].times == 1
    rest, _ = with_upper_arm("8.0 cm", {**taken, "demand": "wider_arm", "times": 3})
    assert [way.code for way in rest.answer.refused.ways if rest.answer.refused] == ["upper_arm"]
    rest, _ = with_upper_arm("26.0 cm", {**taken, "times": 3}, {**taken, "demand": "wider_arm", "times": 10})
    assert rest.answer.refused is not None
    assert "upper_arm" not in [way.code for way in rest.answer.refused.ways]
    assert isinstance(rest.sheet("sleeve"), CannotSay)
