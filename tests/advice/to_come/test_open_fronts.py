"""Cardigans of every construction to their end: nobody planned the halves, and each has its counts, sheet and seams."""

from __future__ import annotations

import pytest

from fitcheck.knitting.joins import Join
from fitcheck.knitting.lines import Sheet
from fitcheck.reports.the_rest import TheRest, the_rest
from fitcheck.words.figures import CM
from fitcheck.words.seams import seams_said
from tests.advice.to_come.test_picked_up import bands, picked
from tests.worked.truth import BODY, LACKS, PLAIN, counted, garment_of, household, lengths, piece

BANDS = [{"edge": edge, "depth": "2.8 cm", "how": "added_later"} for edge in ("front", "neck")]


def cardigan(construction: str) -> TheRest:
    """The back is knitted; two halves, sleeves and their bands are to come, and nobody planned a count of them."""
    lacks = LACKS.get(construction, ())
    back = {key: count for key, count in BODY.items() if key not in lacks}
    if construction == "raglan":  # nothing falls at a shoulder
        back["body_length"] = back["to_underarm"] + back["armhole_depth"]
    worn = {key: mm for key, mm in {**PLAIN, **garment_of(back)}.items() if key not in lacks}
    made = household(
        [piece("back", counted(back), lengths(back))],
        fits=worn,
        garment={"construction": construction},
        construction=construction,
        bands=BANDS,
    )
    return the_rest(made)


@pytest.mark.parametrize("construction", ["set_in", "drop_shoulder", "raglan"])
def test_a_cardigan_is_knitted_and_sewn_to_its_end_from_its_back_alone(construction: str) -> None:
    told = cardigan(construction)
    for kind in ("left_front", "right_front", "sleeve", "neck_band", "front_band"):
        assert isinstance(told.sheet(kind), Sheet), kind
    joins = {seam.key: seam.join for seam in told.answer.seams}
    assert [key for key, join in joins.items() if not isinstance(join, Join)] == []
    halves = [made for made in told.answer.pieces if made.kind.endswith("_front")]
    assert {half.count("to_underarm") for half in halves} == {BODY["to_underarm"]}


def test_the_bands_of_an_open_raglan_are_picked_up_once_it_is_sewn() -> None:
    told = cardigan("raglan")
    titles = [seam.title for seam in seams_said(told.answer, CM).seams]
    assert titles.index("Two raglan seams at the front") + 1 == titles.index("Neck band")
    assert titles.index("Neck band") + 1 == titles.index("Two front bands")
    runs = picked(bands(told)["neck"]).runs
    assert [run.key for run in runs] == [
        "front_right_neck",
        "front_right",
        "sleeve_right",
        "back_neck",
        "sleeve_left",
        "front_left",
        "front_left_neck",
    ]
    assert [run.begins for run in runs if not run.loops] == ["centre", "slant"]
