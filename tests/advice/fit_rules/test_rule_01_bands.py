"""Fit rule 1: piece wanted = garment - depth of every band still to come + swallowed edges."""

import pytest

LINKED = {"shoulder": "linked"}  # a linked shoulder swallows no row, so the figures are the rule's own


def test_a_64_cm_body_with_a_6_cm_rib_to_be_added_wants_a_58_cm_piece(answer):
    got = answer(
        garment_reads={"body_length": "64.0"},
        seams=LINKED,
        bands=[{"edge": "hem", "depth": "6", "how": "added_later"}],
    )
    assert got.wanted("body_length") == pytest.approx(580.0, abs=1e-9)


@pytest.mark.parametrize(
    ("how", "piece", "not_plain_mm"),
    [("knitted_on", "64.0", 60.0), ("added_later", "58.0", 0.0), ("turned", "70.0", 120.0)],
)
def test_rib_knitted_on_rib_added_later_and_turned_hem_of_one_garment_all_match(answer, how, piece, not_plain_mm):
    got = answer(
        garment_reads={"body_length": "64.0"},
        piece_reads={"body_length": piece},
        seams=LINKED,
        bands=[{"edge": "hem", "depth": "6", "how": how}],
    )
    assert got.difference("body_length") == pytest.approx(0.0, abs=1e-9)
    # the rib's own rows never enter the plain fabric's row height
    assert got.at("body_length").not_plain_mm == not_plain_mm


def test_the_cuff_band_comes_off_the_sleeve_and_not_off_the_body(answer):
    bands = [{"edge": "cuff", "depth": "5", "how": "added_later"}]
    sleeve = answer(
        garment_reads={"sleeve_length": "52"},
        piece={"piece": "sleeve"},
        bands=bands,
        seams={"armhole": "linked"},
    )
    body = answer(garment_reads={"body_length": "64"}, bands=bands, seams=LINKED)
    assert sleeve.wanted("sleeve_length") == pytest.approx(470.0)
    assert body.wanted("body_length") == pytest.approx(640.0)


def test_that_no_band_is_still_to_come_is_named_as_taken_for_granted(answer):
    said = answer(garment_reads={"body_length": "64"}, bands=[{"edge": "hem", "depth": "6", "how": "knitted_on"}])
    assert "no_band_to_come" in answer(garment_reads={"body_length": "64"}).assumed
    assert "no_band_to_come" not in said.assumed


def test_a_band_changes_no_width(answer):
    bands = [{"edge": "hem", "depth": "6", "how": "added_later"}]
    assert answer(garment_reads={"chest": "52"}, bands=bands).wanted("chest") == pytest.approx(528.8)
