"""Knitted counts against the pattern: whole repeats, and the two sides shaped alike. All figures are invented."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.records.questions.shaping import repeat_said, shaping_questions
from fitcheck.records.size_tables import SizeTable

PLACE = Place("makes", "m", ("pieces", 0, "counts"))


def asked(
    counts: dict[str, Any], already: tuple[str, ...] = (), kind: str = "back", **more: Any
) -> list[tuple[Any, str]]:
    """Points and codes of what is asked about the counts of a piece."""
    make = Make.model_validate(
        {"id": "m", "name": "M", "pieces": [{"id": "p", "piece": kind, "counts": counts}], **more}
    )
    questions = shaping_questions(make.pieces[0], make, None, PLACE, already)
    return [(question.place.point, question.code) for question in questions]


def test_a_count_that_is_no_whole_repeats_is_asked_about_with_the_nearest_that_are():
    make = Make.model_validate(
        {
            "id": "m",
            "name": "M",
            "multiple": 6,
            "balance": 1,
            "pieces": [{"id": "p", "piece": "back", "counts": {"chest": 112, "hem": 115, "shoulder_width": 86}}],
        }
    )
    (question,) = shaping_questions(make.pieces[0], make, None, PLACE, ())
    assert (question.place.point, question.code, question.read) == ("chest", "count_breaks_repeat", "112 stitches")
    assert (question.odd.multiple, question.odd.below, question.odd.above) == (6, 109, 115)
    assert question.by_the_way


@pytest.mark.parametrize("kind", ["back", "front"])
def test_an_odd_difference_of_chest_and_shoulders_is_asked_about(kind):
    assert asked({"chest": 112, "shoulder_width": 87}, kind=kind) == [("shoulder_width", "counts_odd_apart")]
    assert asked({"chest": 112, "shoulder_width": 88}, kind=kind) == []


def test_half_a_front_is_shaped_at_one_side_only():
    assert asked({"chest": 56, "shoulder_width": 43}, kind="left_front") == []


@pytest.mark.parametrize(
    "count",
    [
        {"knitted": 112, "counted": 112},
        {"knitted": 112, "confirmed": True},
        {"planned": 112},
    ],
    ids=["counted", "kept", "not knitted yet"],
)
def test_a_count_that_is_sure_or_of_nothing_knitted_is_not_asked_about(count):
    assert asked({"chest": count, "shoulder_width": 87}, multiple=6) == []


def test_what_the_make_plans_so_or_is_asked_about_already_is_not_asked_about():
    assert asked({"chest": 112}, multiple=6, planned={"back": {"chest": 112}}) == []
    assert asked({"chest": 112}, ("chest",), multiple=6) == []
    assert asked({"chest": 112}, multiple=6) == [("chest", "count_breaks_repeat")]


def test_a_count_of_a_size_that_was_kept_before_the_piece_is_not_asked_about_once_it_is_knitted():
    """The counts of a chosen size are no plan of the make's own."""
    assert asked({"chest": 112}, multiple=6, planned_kept={"back": {"chest": 112}}) == []
    assert asked({"chest": 112}, multiple=6, planned_kept={"back": {"chest": 110}}) != []
    assert asked({"chest": 112}, multiple=6, planned_kept={"front": {"chest": 112}}) != []


def test_the_repeat_is_the_makes_own_else_that_of_its_sizes_and_two_of_a_table_is_none():
    def table(multiple: int) -> SizeTable:
        return SizeTable.model_validate(
            {
                "id": "t",
                "name": "T",
                "multiple": multiple,
                "sizes": [{"name": "M", "pieces": {"back": {"chest": {"count": 112}}}}],
            }
        )

    plain, of_eight = (Make.model_validate({"id": "m", "name": "M", "multiple": multiple}) for multiple in (1, 8))
    assert repeat_said(plain, None) == (1, 0)
    assert repeat_said(plain, table(2)) == (1, 0)
    assert repeat_said(plain, table(6)) == (6, 0)
    assert repeat_said(of_eight, table(6)) == (8, 0)
