"""One grammar of places: what is written is read back, and a place knows what stands there."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.records.places import WHOLE, Place, read_address, read_path, write_address, write_path

NAMES = st.from_regex(r"[a-z_][a-z0-9_-]{0,30}", fullmatch=True)
NUMBERS = st.integers(0, 99_999)
ANY_NAMES = NAMES | st.text(st.characters(codec="utf-8"), max_size=40)
PATHS = st.lists(ANY_NAMES | NUMBERS, max_size=8).map(tuple)
IN_ADDRESSES = st.one_of(
    st.tuples(st.just("pieces"), NAMES, st.just("stages"), NUMBERS, st.just("readings"), NAMES),
    st.tuples(st.just("occasions"), NAMES | st.just("2024"), st.just("readings"), NAMES),
    st.tuples(st.just("stages"), NUMBERS, st.sampled_from(("across", "along"))),
    st.just(("head",)),
)
BACK = Place("makes", "grey", ("pieces", 0))


@given(PATHS.filter(lambda path: path != (WHOLE,)))
def test_a_path_is_read_as_it_was_written(path):
    assert read_path(write_path(path)) == path


@given(IN_ADDRESSES)
def test_an_address_is_read_as_it_was_written(path):
    assert read_address(write_address(path)) == path


@given(PATHS, PATHS)
def test_a_place_is_within_the_places_that_it_was_reached_from(path, more):
    outer = Place("makes", "grey", path)
    assert outer.at(*more).within(outer)
    assert outer.within(outer.at(*more)) == (not more)
    assert not outer.at(*more).within(Place("makes", "blue", path))


def test_places_are_written_as_people_read_them():
    assert write_path(()) == "file"
    assert write_path(("makes", 0, "pieces", 1, "counts", "chest")) == "makes[0].pieces[1].counts.chest"
    assert write_path(("garments", 0, "a b")) == 'garments[0]["a b"]'
    assert len(write_path(("x" * 10_000,))) < 60
    reading = BACK.at("stages", 0, "readings", "chest", 2)
    assert str(reading) == "makes[grey].pieces[0].stages[0].readings.chest[2]"
    assert reading.inside == "pieces[0].stages[0].readings.chest[2]"
    assert str(Place("makes", "grey")) == "makes[grey]"


def test_the_tenth_reading_does_not_stand_within_the_first():
    assert not BACK.at("readings", "chest", 10).within(BACK.at("readings", "chest", 1))


@pytest.mark.parametrize(
    ("path", "point", "reading"),
    [
        (("pieces", 0, "stages", 0, "readings", "chest", 2), "chest", 2),
        (("pieces", 0, "stages", 1, "overhangs", "hem", 0), "hem", 0),
        (("pieces", 0, "counts", "chest"), "chest", None),
        (("fits", "numbers", "chest"), "chest", None),
        (("body", "waist", 0), "waist", 0),
        (("occasions", "readings", "readings", "hem", 1), "hem", 1),
        (("head", 1), None, 1),
        (("stages", 0, "across", 3), None, 3),
        (("gauge",), None, None),
        (("pieces", 0), None, None),
        ((), None, None),
    ],
)
def test_a_place_knows_its_point_and_its_reading(path, point, reading):
    place = Place("makes", "grey", path)
    assert (place.point, place.reading) == (point, reading)


def test_a_piece_named_by_its_id_is_numbered_in_its_document():
    document = {"pieces": [{"id": "back"}, {"id": "front"}]}
    by_id = Place("makes", "grey", ("pieces", "front", "stages", 0, "readings", "chest"))
    assert by_id.numbered(document).path == ("pieces", 1, "stages", 0, "readings", "chest")
    assert BACK.numbered(document) == BACK
    head = Place("wearers", "ada", ("head",))
    assert head.numbered({"head": []}) == head
