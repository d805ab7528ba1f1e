"""A sweater with side panels to its end: what nobody typed of a panel, its sleeves over the panels, its hem band."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.knitting.joins import Join
from fitcheck.knitting.lines import Sheet
from fitcheck.reports.the_rest import TheRest, the_rest
from fitcheck.words.figures import CM
from fitcheck.words.seams import SeamSaid, seams_said
from tests.advice.to_come.test_picked_up import bands, picked
from tests.worked.truth import BODY, FRONT, PLAIN, SLEEVE, counted, household, lengths, piece

NARROWER = {"hem": 92, "chest": 96}
"""Widths of back and front beside panels of 18 stitches, two of them in the seams."""
BACK, FRONT_BESIDE = {**BODY, **NARROWER}, {**FRONT, **NARROWER}


def panelled(stitches: int, *pieces: dict[str, Any], **make: Any) -> TheRest:
    """The back is knitted; front, panels and sleeves are planned, of a panel its stitches alone."""
    planned = {"front": FRONT_BESIDE, "sleeve": SLEEVE, "side_panel": {"panel_width": stitches}}
    beside = {"construction": "side_panels", "panel_width": "7.4 cm", **make}
    return the_rest(
        household([*pieces, piece("back", counted(BACK), lengths(BACK))], fits=PLAIN, planned=planned, **beside)
    )


def joined(told: TheRest, key: str) -> Join:
    join = next(seam.join for seam in told.answer.seams if seam.key == key)
    assert isinstance(join, Join)
    return join


def over_the_panels(told: TheRest) -> SeamSaid:
    return next(seam for seam in seams_said(told.answer, CM).seams if "over the panels" in seam.title)


def test_a_panel_has_the_rows_of_the_back_that_it_is_sewn_to_where_nobody_planned_them() -> None:
    told = panelled(18)
    panel = next(made for made in told.answer.pieces if made.kind == "side_panel")
    assert (panel.asks, panel.count("panel_length")) == (None, BACK["to_underarm"])
    assert isinstance(told.sheet("side_panel"), Sheet)


def test_sleeves_over_panels_cast_off_what_the_panel_and_both_underarms_have() -> None:
    told = panelled(18)
    assert {joined(told, seam.key).verdict for seam in told.answer.seams} <= {"fits", "eases"}
    top = joined(told, "panel_top")
    assert (top.verdict, top.edge.stitches) == ("fits", top.partner.stitches)
    assert top.edge.stitches > 18


def test_a_panel_of_odd_stitches_has_one_of_them_taken_along() -> None:
    told = panelled(19)
    top = joined(told, "panel_top")
    assert (top.verdict, top.edge.stitches - top.partner.stitches) == ("eases", 1)
    assert over_the_panels(told).told == "Stitch to stitch, with 1 stitch of the longer side taken along."


def test_a_sleeve_that_was_knitted_before_its_body_is_drawn_for_the_armholes_to_come() -> None:
    sleeve = piece("left_sleeve", counted(SLEEVE), lengths(SLEEVE))
    assert joined(panelled(18, sleeve), "panel_top").verdict == "fits"


@pytest.mark.parametrize("how", ["added_later", "knitted_on"])
def test_a_band_at_the_hem_goes_round_the_panels_too(how: str) -> None:
    told = panelled(18, bands=[{"edge": "hem", "depth": "5 cm", "how": how}])
    if how == "added_later":
        runs = {run.key: run.stitches for run in picked(bands(told)["hem"]).runs}
        assert list(runs) == ["hem_back", "hem_front", "hem_right_panel", "hem_left_panel"]
        assert runs["hem_left_panel"] == 18
        assert isinstance(told.sheet("hem_band"), Sheet)
        titles = [seam.title for seam in seams_said(told.answer, CM).seams]
        assert titles.index("Hem band") + 1 == titles.index("Two panels to the back")
        return
    seam = next(seam for seam in told.answer.seams if seam.key == "panel_back")
    assert [rib.mm if rib else None for rib in seam.ribs] == [50.0, 50.0]


def test_a_sleeves_seam_over_a_panel_goes_on_into_no_side_seam() -> None:
    (told,) = (seam.told for seam in seams_said(panelled(18).answer, CM).seams if seam.title == "Two sleeve seams")
    assert told.startswith("Row to row")
    assert "side seam" not in told
