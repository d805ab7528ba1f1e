"""A make begun for another person has its fabric and its counts, and nothing of what was wanted for the first."""

from __future__ import annotations

from datetime import date

from fitcheck.advice.rest.for_another import KEPT, for_another
from fitcheck.records.households import Household
from fitcheck.records.makes import Make

ASKED_ANEW = {"wearer", "fits", "wishes", "tolerances", "weights", "size"}
OF_THE_FIRST = {"id", "name", "started", "finished", "became", "notes", "pieces", "taken", "done", "planned", "sheets"}
"""What a make has of its own; the counts of its pieces and its plan go into the new plan."""


def household(**make):
    table = {
        "id": "sizes",
        "name": "sizes",
        "sizes": [
            {"name": "M", "pieces": {"back": {"chest": {"count": 120}}, "sleeve": {"upper_arm": {"count": 80}}}},
            {"name": "L", "pieces": {"back": {"chest": {"count": 130}}}},
        ],
    }
    makes = [{"id": "grey", "name": "grey", "size_table": "sizes", "size": "M", **make}]
    people = [{"id": "ida", "name": "Ida"}]
    yarns = [{"id": "wool", "name": "wool"}]
    document = {"fitcheck": 4, "unit": "cm", "wearers": people, "yarns": yarns, "size_tables": [table], "makes": makes}
    return Household.model_validate(document, context={"unit": "cm"}, strict=False)


def copied(**make):
    home = household(**make)
    return for_another(home.makes[0], home)


def test_every_field_of_a_make_is_kept_asked_anew_or_of_the_first_alone():
    assert set(Make.model_fields) == KEPT | ASKED_ANEW | OF_THE_FIRST


def test_fabric_and_counts_stay_and_what_it_must_fit_is_asked_anew():
    document = copied(
        wearer="ida",
        yarn="wool",
        fits={"numbers": {"chest": "52"}},
        wishes={"chest": "1"},
        tolerances={"chest": "1"},
        weights={"chest": 2.0},
        bands=[{"edge": "hem", "depth": "6", "how": "knitted_on"}],
        notes="mine",
    )
    assert set(document) == {"yarn", "bands", "size_table", "planned"}
    assert (document["yarn"], document["size_table"]) == ("wool", "sizes")
    assert document["planned"] == {"back": {"chest": 120}, "sleeve": {"upper_arm": 80}}


def test_the_counts_of_the_pieces_that_stand_win_over_the_plan():
    pieces = [
        {"id": "first", "piece": "back", "counts": {"chest": 116, "hem": 116}},
        {"id": "again", "piece": "back", "replaces": "first", "counts": {"chest": {"knitted": 126, "counted": 124}}},
        {"id": "front", "piece": "front", "counts": {"chest": 128}},
    ]
    planned = {"back": {"chest": 122, "shoulder_width": 98}}
    assert copied(pieces=pieces, planned=planned)["planned"] == {
        "back": {"chest": 124, "shoulder_width": 98},
        "sleeve": {"upper_arm": 80},
        "front": {"chest": 128},
    }


def test_it_learns_from_a_make_that_is_finished():
    assert "learns_from" not in copied()
    assert copied(finished=date(2026, 11, 1))["learns_from"] == ["grey"]
