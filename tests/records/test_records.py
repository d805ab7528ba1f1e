"""What the records take, what they make of a shorthand, and that what leaves can come back."""

from __future__ import annotations

import json
from typing import Any

import pytest

from fitcheck.records.faults import RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.households import Household
from fitcheck.records.machines import Dial, Machine
from fitcheck.records.makes import Counts
from fitcheck.records.readings import Reading
from fitcheck.records.swatches import Span

from .sample import sample


def with_chest(readings: Any, unit: str = "cm") -> Household:
    garment = {"id": "g", "name": "G", "occasions": [{"id": "o", "readings": {"chest": readings}}]}
    return open_household({"fitcheck": 1, "unit": unit, "garments": [garment]})


def chest(readings: Any, unit: str = "cm") -> list[Reading]:
    return with_chest(readings, unit).garments[0].occasions[0].readings["chest"]


def test_every_kind_of_record_is_in_the_sample():
    household = open_household(sample())
    for kind in ("wearers", "garments", "yarns", "machines", "swatches", "size_tables", "makes"):
        assert getattr(household, kind), kind
    assert household.tape.sets


def test_what_is_written_out_opens_as_the_same_records():
    household = open_household(sample())
    written = household.model_dump_json()
    again = open_household(written.encode())
    assert again == household
    assert again.model_dump_json() == written


def test_a_bare_number_keeps_the_unit_of_its_file_when_the_unit_changes():
    written = json.loads(with_chest([58.7, 20], "in").model_dump_json())
    written["unit"] = "cm"
    moved = open_household(written).garments[0].occasions[0].readings["chest"]
    # 1 in = 25.4 mm exactly (international yard and pound agreement of 1959)
    assert [reading.length.value_mm for reading in moved] == pytest.approx([58.7 * 25.4, 20 * 25.4], rel=1e-12)
    assert [reading.unit for reading in moved] == ["in", "in"]


def test_a_length_given_once_keeps_its_unit_too():
    document = sample()
    document["makes"][0]["bands"][0]["depth"] = 2.5
    written = json.loads(open_household(document).model_dump_json())
    assert written["makes"][0]["bands"][0]["depth"] == "2.5 cm"
    written["unit"] = "in"
    assert open_household(written).makes[0].bands[0].depth.value_mm == 25.0


@pytest.mark.parametrize(
    ("typed", "mm", "resolution_mm"),
    [
        (58.7, 587.0, 1.0),
        ("58,7", 587.0, 1.0),
        ("23 1/8 in", 587.375, 3.175),
        ({"text": "587 mm"}, 587.0, 1.0),
        ({"text": 23.5, "unit": "in"}, 596.9, 2.54),
        (1e-05, 1e-4, 1e-4),
    ],
)
def test_a_bare_reading_stands_for_its_text(typed: Any, mm: float, resolution_mm: float):
    for readings in (chest(typed), chest([typed])):
        assert len(readings) == 1
        assert readings[0].length.value_mm == pytest.approx(mm, rel=1e-12)
        assert readings[0].length.resolution_mm == pytest.approx(resolution_mm, rel=1e-12)


def test_an_overhang_has_a_sign_and_a_reading_has_none():
    stage = open_household(sample()).makes[0].pieces[0].stages[1]
    assert [one.length.value_mm for one in stage.overhangs["shoulder_width"]] == [-8.0, -7.0]
    assert stage.overhangs["chest"][0].length.value_mm == 0.0
    with pytest.raises(RecordsError, match="length without minus: 8 cm"):
        chest("-8 cm")


@pytest.mark.parametrize("typed", [0, "0 cm", 0.0, "-0"])
def test_a_length_of_nothing_is_refused(typed: Any):
    with pytest.raises(RecordsError):
        chest(typed)


def test_a_length_of_101_metres_is_refused_and_one_of_99_is_taken():
    assert chest("99 m")[0].length.value_mm == 99_000.0
    with pytest.raises(RecordsError, match="length at most: 100 m"):
        chest("101 m")


@pytest.mark.parametrize(
    ("typed", "number", "marks"),
    [
        ("7", 7, 0),
        ("7.1", 7, 1),
        ("7,2", 7, 2),
        ("7+", 7, 1),
        ("7++", 7, 2),
        ("7·", 7, 1),
        ("7··", 7, 2),
        (7, 7, 0),
        ({"number": 7, "marks": 2}, 7, 2),
    ],
)
def test_a_dial_is_read_as_knitters_write_it(typed: Any, number: int, marks: int):
    assert Dial.model_validate_json(json.dumps(typed)) == Dial(number=number, marks=marks)


def test_a_bare_dial_with_decimals_is_refused_because_it_could_be_either():
    document = sample()
    document["swatches"][0]["dial"] = 7.1
    with pytest.raises(RecordsError) as refused:
        open_household(document)
    (fault,) = refused.value.faults
    assert (fault.place, fault.read) == ("swatches[0].dial", "7.1")
    assert fault.accepts.code == "dial_setting_in_quotes"


def test_a_mark_is_a_third_of_a_number_with_two_marks_between():
    machine = Machine(id="m", name="M", needles=200, lowest_dial=Dial(number=1), highest_dial=Dial(number=2, marks=1))
    assert [dial.written() for dial in machine.clicks()] == ["1", "1.1", "1.2", "2", "2.1"]
    assert Dial(number=7, marks=2).position(2) == pytest.approx(7 + 2 / 3)


def test_a_bare_count_is_what_was_knitted_and_a_counted_one_wins():
    assert Counts.model_validate(118) == Counts(knitted=118)
    assert Counts(planned=118, knitted=118, counted=116).best == 116
    assert Counts(planned=118, knitted=120).best == 120
    assert Counts(planned=118).best == 118
    assert Counts().best is None


def test_three_ways_of_counting_markers_give_one_number_of_stitches():
    # Fit rule 11: centre to centre of needles a and b spans b - a stitches, edge to edge b - a - 1.
    assert Span(count=40).between == 40
    assert Span(first=-20, last=20, rule="centre_to_centre").between == 40
    assert Span(first=-20, last=21, rule="inner_edge_to_inner_edge").between == 40


@pytest.mark.parametrize(
    "span",
    [
        {"count": 40, "first": 1},
        {"rule": "centre_to_centre", "count": 40},
        {"rule": "centre_to_centre", "first": 3},
        {"rule": "inner_edge_to_inner_edge", "first": 3, "last": 4},
        {"rule": "centre_to_centre", "first": 4, "last": 3},
        {},
    ],
)
def test_a_span_that_leaves_open_what_was_counted_is_refused(span: dict[str, Any]):
    document = sample()
    document["swatches"][0]["stitches"] = span
    with pytest.raises(RecordsError) as refused:
        open_household(document)
    assert [fault.place for fault in refused.value.faults] == ["swatches[0].stitches"]


def test_a_bare_tolerance_is_allowed_on_both_sides_and_two_sides_may_differ():
    tolerances = open_household(sample()).makes[0].tolerances
    assert tolerances["chest"].smaller.value_mm == tolerances["chest"].larger.value_mm == 10.0
    assert tolerances["shoulder_width"].smaller.value_mm == 5.0
    assert tolerances["shoulder_width"].larger.value_mm == 10.0


@pytest.mark.parametrize("tolerance", [0, "-1 cm", {"smaller": 1}, {"smaller": 1, "larger": 0}])
def test_a_tolerance_is_above_zero_on_both_sides(tolerance: Any):
    document = sample()
    document["makes"][0]["tolerances"]["chest"] = tolerance
    with pytest.raises(RecordsError) as refused:
        open_household(document)
    assert all(fault.place.startswith("makes[0].tolerances.chest") for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("machines", 0, "needles"), "200"),
        (("machines", 0, "needles"), 200.0),
        (("garments", 0, "rib"), 1),
        (("garments", 0, "rib"), "true"),
        (("garments", 0, "name"), 5),
        (("yarns", 0, "tex"), "250"),
        (("garments", 0, "occasions", 0, "on"), 20250112),
        (("makes", 0, "planned", "back", "hem"), True),
    ],
)
def test_nothing_is_converted_in_silence(place: tuple[Any, ...], value: Any):
    document: Any = sample()
    inside = document
    for step in place[:-1]:
        inside = inside[step]
    inside[place[-1]] = value
    with pytest.raises(RecordsError):
        open_household(document)


def test_a_record_that_was_taken_cannot_be_changed():
    household = open_household(sample())
    with pytest.raises(ValueError, match="frozen"):
        household.garments[0].name = "another"  # type: ignore[misc]


def test_a_reading_keeps_the_moment_and_the_zone_that_it_was_typed_with():
    reading = open_household(sample()).makes[0].pieces[1].stages[0].readings["chest"][0]
    assert reading.at is not None
    assert reading.at.isoformat() == "2025-03-05T18:52:00+01:00"


def test_a_reading_set_aside_stays_and_does_not_count():
    readings = open_household(sample()).makes[0].pieces[1].stages[0].readings["chest"]
    assert [reading.counts for reading in readings] == [True, True, False]


def test_a_piece_is_looked_at_three_times_at_most():
    # The level of a single look is made for three.
    assert chest([{"text": "51", "look": look} for look in (1, 2, 3)])[-1].look == 3
    with pytest.raises(RecordsError, match="look"):
        chest([{"text": "51", "look": 4}])
