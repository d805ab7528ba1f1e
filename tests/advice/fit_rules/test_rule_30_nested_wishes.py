"""Fit rule 30: a wish in a length moves the lengths that are nested in it, or that it is nested in."""

import pytest

BODY = {"body_length": "64", "armhole_depth": "21", "to_underarm": "40", "centre_back": "62"}
WISHED = ("body_length", "centre_back", "to_underarm", "armhole_depth")


@pytest.mark.parametrize(
    ("wishes", "moved"),
    [
        ({"body_length": "2"}, (20, 20, 20, 0)),  # below the underarm, unless said
        ({"centre_back": "2"}, (20, 20, 20, 0)),
        ({"body_length": "2", "armhole_depth": "0.5"}, (20, 20, 15, 5)),
        ({"body_length": "2", "to_underarm": "0"}, (20, 20, 0, 0)),
        ({"to_underarm": "-3"}, (-30, -30, -30, 0)),
        ({"to_underarm": "1", "armhole_depth": "1"}, (20, 20, 10, 10)),
        ({"chest": "2"}, (0, 0, 0, 0)),
    ],
)
def test_a_wish_in_a_length_moves_those_it_is_made_of_and_those_made_of_it(answer, wishes, moved):
    plain = answer(garment_reads=BODY)
    got = answer(garment_reads=BODY, wishes=wishes)
    assert [got.wanted(key) - plain.wanted(key) for key in WISHED] == pytest.approx(moved)
    nested = {key for key, mm in zip(WISHED, moved, strict=True) if mm and key not in wishes}
    assert {taken.about for taken in got.all.assumed if taken.code == "wish_nested"} == nested


def test_a_sleeve_wished_longer_is_longer_below_its_cap(answer):
    sleeve = {"sleeve_length": "60", "cap_height": "15", "sleeve_to_underarm": "45"}
    plain = answer(garment_reads=sleeve, piece={"piece": "sleeve"})
    got = answer(garment_reads=sleeve, wishes={"sleeve_length": "2"}, piece={"piece": "sleeve"})
    assert got.wanted("sleeve_to_underarm") - plain.wanted("sleeve_to_underarm") == pytest.approx(20.0)
    assert got.wanted("cap_height") == plain.wanted("cap_height")


def test_a_wish_that_is_refused_moves_nothing(answer):
    got = answer(garment_reads=BODY, wishes={"body_length": {"by": "2", "meant": "round"}})
    assert "body_length" in got.refused
    assert got.wanted("to_underarm") == answer(garment_reads=BODY).wanted("to_underarm")
