"""Widths of a piece that hold together or do not: held against every combination; each way out leads to counts."""

from __future__ import annotations

import itertools
import math
from random import Random

import pytest

from fitcheck.advice.rest.programme import Choice
from fitcheck.advice.to_come.held_together import STAY, Together, Widths, held_together, is_lifted
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.plan import Plan
from fitcheck.records.choices import Lifted
from fitcheck.records.makes import Make
from fitcheck.reports.choose import chosen
from fitcheck.reports.steps import steps
from fitcheck.reports.the_rest import TheRest, rest_told
from tests.invented import household

BACK = {"chest": 120, "shoulder_width": 94, "neck_width": 36}
REPEAT = {"multiple": 6, "balance": 1}


def front(chest: int, **more) -> Widths:
    table = Choice("chest", {count: 0.05 * abs(count - chest) for count in range(chest - 8, chest + 9)})
    widths = {"chest": chest, "shoulder_width": 94, "neck_width": 36}
    return Widths("front", widths, {"chest": table}, "shoulder_width", back=BACK, **more)


def grey(**changed) -> TheRest:
    """The rest of the grey pullover with other fields."""
    given = household()
    makes = [
        Make.model_validate({**make.model_dump(), **changed}) if make.id == "grey_pullover" else make
        for make in given.makes
    ]
    return rest_told(steps(chosen(given.model_copy(update={"makes": makes}), "grey_pullover")))


def of(rest: TheRest, kind: str = "front") -> tuple[PieceToKnit, Plan | object]:
    piece = next(piece for piece in rest.answer.pieces if piece.kind == kind)
    return piece, next(planned.plan for planned in rest.planned if planned.id is None and planned.kind == kind)


def lifted(together: Together, way: int) -> dict:
    return {
        "lifted": [
            {"piece": "front", "demand": demand.code, "points": list(demand.terms)}
            for demand in together.ways[way].lifted
        ]
    }


def test_counts_that_hold_stay_as_they_are():
    assert held_together(front(126)).counts == {"chest": 126, "shoulder_width": 94, "neck_width": 36}


def test_a_chest_that_cannot_be_shaped_alike_on_both_sides_moves_by_one():
    together = held_together(front(127))
    assert together.counts["chest"] in (126, 128)
    assert together.counts["shoulder_width"] == 94
    assert not together.conflict


def test_even_counts_repeats_of_6_and_1_and_equal_shoulders_cannot_hold_together():
    together = held_together(front(126, repeat=(6, 1)))
    assert not together.counts
    assert {demand.code for demand in together.conflict} == {"repeat", "parity", "shoulders", "neck"}
    assert [[demand.code for demand in way.lifted] for way in together.ways] == [["repeat"], ["parity"], ["neck"]]
    assert [way.counts["chest"] for way in together.ways] == [126, 127, 127]
    assert together.ways[2].counts == {"chest": 127, "shoulder_width": 95, "neck_width": 37}
    assert together.ways[0].worse == 0 < together.ways[1].worse < together.ways[2].worse


def test_a_count_that_was_kept_as_it_is_holds_no_whole_repeats():
    together = held_together(front(126, repeat=(6, 1), free_of_repeats=frozenset({"chest"})))
    assert together.counts["chest"] == 126


@pytest.mark.parametrize(("code", "points"), [("repeat", ["chest"]), ("parity", ["shoulder_width", "chest"])])
def test_a_lifted_demand_is_asked_no_more_and_named(code, points):
    together = held_together(front(126, repeat=(6, 1), lifted=[Lifted(piece="front", demand=code, points=points)]))
    assert together.counts
    assert [demand.code for demand in together.lifted] == [code]
    assert code not in {demand.code for demand in together.demands}


def test_a_demand_lifted_of_another_piece_is_still_asked():
    together = held_together(
        front(126, repeat=(6, 1), lifted=[Lifted(piece="back", demand="repeat", points=["chest"])])
    )
    assert together.conflict


def test_what_binds_is_named_with_what_it_costs():
    table = {count: 0.1 * abs(count - 127) for count in range(119, 136)}
    together = held_together(
        Widths(
            "front",
            {"chest": 126, "shoulder_width": 94, "neck_width": 36},
            {"chest": Choice("chest", table)},
            "shoulder_width",
            back=BACK,
        )
    )
    assert [(demand.code, round(by, 6)) for demand, by in together.binds][:1] == [("parity", 0.1)]


@pytest.mark.parametrize("seed", range(60))
def test_chance_widths_hold_together_exactly_where_some_combination_does(seed):
    chance = Random(seed)
    chest, across, neck = chance.randint(110, 130), chance.randint(88, 98), chance.randint(32, 40)
    multiple = chance.choice([1, 2, 3, 4, 6])
    ideal = chest + chance.uniform(-2, 2)
    table = {count: 0.01 * (count - ideal) ** 2 for count in range(chest - 8, chest + 9)}
    widths = Widths(
        "front",
        {"chest": chest, "shoulder_width": across, "neck_width": neck},
        {"chest": Choice("chest", table)},
        "shoulder_width",
        (multiple, chance.randrange(multiple)),
        back={"shoulder_width": chance.randint(88, 98), "neck_width": chance.randint(32, 40)},
    )
    together = held_together(widths)
    least = math.inf
    for c, a, n in itertools.product(table, range(across - 8, across + 9), range(neck - 8, neck + 9)):
        counts = {"chest": c, "shoulder_width": a, "neck_width": n}
        if all(demand.keeps(sum(k * counts[key] for key, k in demand.terms.items())) for demand in together.demands):
            least = min(least, table[c] + STAY * (abs(a - across) + abs(n - neck)))
    assert bool(together.counts) == (least < math.inf)
    assert bool(together.conflict) == (least == math.inf)
    if together.counts:
        for demand in together.demands:
            assert demand.keeps(sum(k * together.counts[key] for key, k in demand.terms.items()))


def test_nothing_is_cast_on_where_a_piece_does_not_hold_together():
    rest = grey(**REPEAT)
    piece, plan = of(rest)
    assert piece.together.conflict
    assert plan.code == "do_not_hold_together"
    assert rest.sheet("front").code == "do_not_hold_together"


@pytest.mark.parametrize("way", range(3))
def test_each_way_out_leads_to_a_sheet_with_its_counts(way):
    together = of(grey(**REPEAT))[0].together
    rest = grey(**REPEAT, choices=lifted(together, way))
    piece, plan = of(rest)
    assert {key: piece.counts[key].count for key in together.ways[way].counts} == together.ways[way].counts
    assert isinstance(plan, Plan)
    assert isinstance(rest.sheet("front"), Sheet)
    assert (piece.counts["chest"].count - piece.counts["hem"].count) % 2 == 0


def test_sides_that_are_not_alike_differ_by_one_stitch_at_the_left_underarm():
    together = of(grey(**REPEAT))[0].together
    _, plan = of(grey(**REPEAT, choices=lifted(together, 1)))
    left, right = (sum(run.stitches for run in plan.edges[f"{side}_underarm"]) for side in ("left", "right"))
    assert left == right + 1
    assert plan.points["shoulder_width"][1] == 94


def test_a_lifted_demand_is_found_whatever_the_order_of_its_points():
    demand = held_together(front(126)).demands[0]
    assert is_lifted(demand, "front", [Lifted(piece="front", demand="parity", points=["shoulder_width", "chest"])])
    assert not is_lifted(demand, "front", [Lifted(piece="front", demand="parity", points=["chest"])])
