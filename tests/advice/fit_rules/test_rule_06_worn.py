"""Fit rule 6: a worn reference is another state. Wanted(blocked) = wanted(worn) / (1 + growth)."""

import math

import pytest

READ = {"centre_back": ["64.0", "64.1"], "chest": "52.0"}


def test_the_same_readings_worn_and_washed_flat_differ_by_the_growth(answer):
    flat = answer(garment_reads=READ)
    worn = answer(garment_reads=READ, occasion={"state": "worn"}, garment={"growth_along_percent": 3})
    # 64.05 / 1.03: about 1.9 cm shorter (arithmetic, fit rule 6)
    assert worn.wanted("centre_back") == pytest.approx(640.5 / 1.03, abs=1e-9)
    assert flat.wanted("centre_back") - worn.wanted("centre_back") == pytest.approx(18.66, abs=0.01)


def test_growth_of_each_direction_is_its_own(answer):
    worn = answer(
        garment_reads=READ,
        occasion={"state": "worn"},
        garment={"growth_along_percent": 0, "growth_across_percent": 2},
    )
    assert worn.wanted("centre_back") == pytest.approx(640.5)
    assert worn.wanted("chest") == pytest.approx(520.0 / 1.02 + 8.8)


def test_unknown_growth_widens_the_interval_and_is_named_with_its_share(answer):
    known = answer(garment_reads=READ, occasion={"state": "worn"}, garment={"growth_along_percent": 1.5})
    unknown = answer(garment_reads=READ, occasion={"state": "worn"})
    # assumed 1.5 +- 1.5 % along (common practice, no source)
    assert unknown.wanted("centre_back") == pytest.approx(known.wanted("centre_back"), abs=1e-9)
    more = unknown.at("centre_back").wanted.u ** 2 - known.at("centre_back").wanted.u ** 2
    assert math.sqrt(more) == pytest.approx(640.5 * 0.015 / 1.015**2, rel=1e-9)
    taken = {one.code: one for one in unknown.all.assumed}
    assert (taken["growth_along"].value, taken["growth_along"].u) == (1.5, 1.5)
    assert (taken["growth_across"].value, taken["growth_across"].u) == (0.0, 1.0)
    assert taken["growth_along"].share == pytest.approx(more / unknown.at("centre_back").wanted.u ** 2)
    assert "growth_along" not in known.assumed


def test_growth_says_nothing_about_a_reference_that_was_washed_and_dried_flat(answer):
    got = answer(garment_reads=READ, garment={"growth_along_percent": 3})
    assert got.wanted("centre_back") == pytest.approx(640.5)
    assert "reference_state" not in got.assumed


def test_a_state_that_nobody_said_is_taken_as_washed_flat_and_named(answer):
    got = answer(garment_reads=READ, occasion={"state": "unsaid"}, garment={"growth_along_percent": 3})
    assert got.wanted("centre_back") == pytest.approx(640.5)
    assert ("reference_state", "brown") in {(one.code, one.about) for one in got.all.assumed}


STRETCHES = [("rib", "rib"), ("negative_ease", "stretched")]


@pytest.mark.parametrize(("what", "why"), STRETCHES)
def test_widths_of_a_rib_or_of_what_is_worn_stretched_are_asked_about_until_somebody_says(answer, what, why):
    pinned = {"garment": "brown", "occasion": "first"}
    asked = answer(garment_reads=READ, garment={what: True})
    assert (asked.at("chest").as_read, asked.at("centre_back").as_read) == (why, None)
    assert answer(garment_reads=READ).at("chest").as_read is None
    numbers = {**pinned, "numbers": {"chest": "52"}}
    assert answer(garment_reads=READ, garment={what: True}, fits=numbers).at("chest").as_read is None
    copied = answer(garment_reads=READ, garment={what: True}, fits={**pinned, "as_read": True})
    assert (copied.at("chest").as_read, copied.wanted("chest")) == (None, asked.wanted("chest"))
    refused = answer(garment_reads=READ, garment={what: True}, fits={**pinned, "as_read": False})
    assert [(key, why.code) for key, why in refused.all.refused] == [("chest", "not_copied")]
    assert refused.wanted("centre_back") == asked.wanted("centre_back")


def test_of_a_worn_garment_everything_is_asked_about_whose_growth_is_not_known(answer):
    def why(**garment):
        worn = answer(garment_reads=READ, occasion={"state": "worn"}, garment=garment)
        return worn.at("chest").as_read, worn.at("centre_back").as_read

    assert why() == ("worn", "worn")
    assert why(growth_along_percent=3) == ("worn", None)
    assert why(growth_along_percent=3, growth_across_percent=0) == (None, None)
    fits = {"garment": "brown", "occasion": "first", "as_read": False}
    refused = answer(garment_reads=READ, occasion={"state": "worn"}, garment={"growth_along_percent": 3}, fits=fits)
    assert [key for key, _ in refused.all.refused] == ["chest"]
    assert refused.wanted("centre_back") == pytest.approx(640.5 / 1.03)


def test_an_overhang_over_what_is_not_to_be_copied_is_refused_too(answer):
    over = [{"kind": "blocked", "overhangs": {"chest": "-1.0"}}]
    fits = {"garment": "brown", "occasion": "first", "as_read": False}
    got = answer(garment_reads={}, garment={"rib": True}, stages=over, fits=fits)
    assert got.at("chest").refused.code == "not_copied"
    assert answer(garment_reads={}, garment={"rib": True}, stages=over).at("chest").as_read == "rib"


def test_a_thicker_fabric_gets_the_room_that_it_takes_inside(answer):
    # 2 pi x 2 mm round = pi x 2 mm flat; a sleeve's piece is the whole round
    thin, thick = {"thickness": "2 mm"}, "4 mm"
    body = answer(garment_reads=READ, garment=thin, thickness=thick)
    sleeve = answer(garment_reads={"upper_arm": "18"}, garment=thin, thickness=thick, piece={"piece": "sleeve"})
    assert body.wanted("chest") == pytest.approx(528.8 + 2 * math.pi)
    assert sleeve.wanted("upper_arm") == pytest.approx(360.0 + 8.8 + 4 * math.pi)
    assert body.wanted("centre_back") == pytest.approx(640.5)


def test_an_overhang_over_a_worn_garment_carries_its_growth(answer):
    over = [{"kind": "blocked", "overhangs": {"centre_back": "-1.0"}}]
    got = answer(
        garment_reads={"centre_back": "64.0"},
        occasion={"state": "worn"},
        stages=over,
        garment={"growth_along_percent": 3},
    ).at("centre_back")
    # right would be 64 / 1.03 = 62.14, which is 1.86 shorter than the garment as it lies
    assert got.offset.value == pytest.approx(640 / 1.03 - 640)
    assert got.overhang_difference.value == pytest.approx(-10.0 + 18.64, abs=0.01)
