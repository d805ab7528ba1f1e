"""Marks that meet marks of the piece that it is sewn to: every 40 rows of a seam, the middle of an armhole."""

from __future__ import annotations

from pathlib import Path

import pytest

from fitcheck.advice.to_come.notches import notches_of
from fitcheck.advice.to_come.plans_of import PlannedPiece
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.counts import BodyCounts, Choices, Fabric, PanelCounts, RaglanCounts, SleeveCounts
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.pieces import plan_piece
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.sheet import Notch
from fitcheck.records.constructions import ConstructionKey
from fitcheck.records.files import open_household
from fitcheck.records.points import PieceKind
from fitcheck.reports.choose import chosen
from fitcheck.reports.steps import steps
from fitcheck.reports.the_rest import rest_told
from fitcheck.words.sheet import sheet_told

FABRIC = Fabric(4.48, 3.15)


def planned(
    kind: PieceKind, counts: BodyCounts | SleeveCounts | RaglanCounts | PanelCounts, of: ConstructionKey
) -> PlannedPiece:
    plan = plan_piece(kind, counts, Choices(), of)
    assert isinstance(plan, Plan), plan
    return PlannedPiece(kind, None, plan, FABRIC)


def body(kind: PieceKind, to_underarm: int, of: ConstructionKey = "set_in", *, neck_rows: int = 0) -> PlannedPiece:
    off = 0 if of == "drop_shoulder" else 26
    return planned(kind, BodyCounts(118, 120, to_underarm, 120 - off, 69, 36, neck_rows, 5, FABRIC), of)


BACK, FRONT = body("back", 108), body("front", 110, neck_rows=33)
SLEEVE = planned("sleeve", SleeveCounts(52, 82, 116, FABRIC, 6, 470.0), "set_in")
SET_IN = (BACK, FRONT, SLEEVE)


def meeting(piece: PlannedPiece, pieces: tuple[PlannedPiece, ...], of: ConstructionKey) -> dict[tuple[str, int], int]:
    return {(notch.partner, notch.counter): notch.meets for notch in notches_of(piece, pieces, of)}


def test_a_side_is_marked_every_40_rows_and_meets_the_same_share_of_the_others() -> None:
    assert meeting(FRONT, (BACK, FRONT), "set_in") == {("back", 40): 39, ("back", 80): 79}
    assert meeting(BACK, (BACK, FRONT), "set_in") == {("front", 40): 41, ("front", 80): 81}


def test_the_middle_of_an_armhole_meets_the_middle_of_half_a_cap_and_the_other_way_round() -> None:
    of_front = {key: row for key, row in meeting(FRONT, SET_IN, "set_in").items() if key[0] == "sleeve"}
    of_sleeve = meeting(SLEEVE, SET_IN, "set_in")
    ((_, counter),) = of_front
    assert 110 < counter < 110 + 69
    assert of_sleeve[("front", of_front[("sleeve", counter)])] == counter
    assert {partner for partner, _ in of_sleeve} == {"back", "front"}


def test_the_middle_lies_half_way_along_the_edge_that_is_sewn() -> None:
    # Up to the shoulder the edge goes 13 stitches in and 69 rows up, the curve within its first third.
    ((_, counter),) = [key for key in meeting(FRONT, SET_IN, "set_in") if key[0] == "sleeve"]
    assert isinstance(FRONT.plan, Plan)
    runs = FRONT.plan.edges["left_armhole"]
    lengths = [(run.rows, ((run.stitches * 4.48) ** 2 + (run.rows * 3.15) ** 2) ** 0.5) for run in runs]
    below = sum(length * min(1.0, max(0.0, counter - 110 - before) / rows) for (rows, length), before in zip(
        lengths, [sum(rows for rows, _ in lengths[:place]) for place in range(len(lengths))], strict=True))  # fmt: skip
    assert below == pytest.approx(sum(length for _, length in lengths) / 2, abs=3.15)  # a row more or less


def test_raglan_edges_are_marked_from_the_underarm_and_meet_row_by_row() -> None:
    back = planned("back", RaglanCounts(118, 120, 108, 5, 84, 38, FABRIC), "raglan")
    sleeve = planned("sleeve", RaglanCounts(52, 82, 116, 5, 84, 16, FABRIC), "raglan")
    assert meeting(sleeve, (back, sleeve), "raglan") == {("back", 156): 148, ("back", 196): 188}


def test_panels_meet_back_and_front() -> None:
    panel = planned("side_panel", PanelCounts(16, 12, 110, FABRIC), "side_panels")
    found = meeting(panel, (BACK, FRONT, panel), "side_panels")
    assert found == {("back", 40): 39, ("back", 80): 79, ("front", 40): 40, ("front", 80): 80}


def test_what_is_cast_off_or_lies_on_one_half_or_has_no_plan_is_not_marked() -> None:
    back, front = body("back", 108, "drop_shoulder"), body("front", 108, "drop_shoulder")
    sleeve = planned("sleeve", SleeveCounts(52, 92, 116, FABRIC), "drop_shoulder")
    assert meeting(sleeve, (back, front, sleeve), "drop_shoulder") == {}
    assert {partner for partner, _ in meeting(front, (back, front, sleeve), "drop_shoulder")} == {"back"}
    unknown = PlannedPiece("back", None, CannotSay("no_counts", "", ""), FABRIC)
    assert notches_of(FRONT, (unknown, FRONT), "set_in") == ()
    assert notches_of(FRONT, (unknown, BACK, FRONT), "set_in") == notches_of(FRONT, (BACK, FRONT), "set_in")
    deep = body("front", 110, neck_rows=60)
    assert {partner for partner, _ in meeting(deep, (BACK, deep, SLEEVE), "set_in")} == {"back"}
    assert notches_of(FRONT, (FRONT,), "set_in") == ()


def test_each_mark_stands_once_and_in_the_order_of_knitting() -> None:
    found = notches_of(SLEEVE, SET_IN, "set_in")
    assert list(found) == sorted(found, key=lambda notch: (notch.counter, notch.partner))
    assert len(set(found)) == len(found) == 2
    assert all(isinstance(notch, Notch) and notch.part == "body" for notch in found)


def test_the_demos_front_says_which_rows_of_back_and_sleeve_it_meets() -> None:
    household = open_household(Path("demo_garments/household.json"))
    written = rest_told(steps(chosen(household, "grey_pullover"))).sheet("front")
    assert isinstance(written, Sheet)
    notes = [note for part in sheet_told(written).parts for line in part.lines for note in line.notes]
    assert "Meets the back’s 40." in notes
    assert any(note.startswith("Meets the sleeve’s ") for note in notes)
