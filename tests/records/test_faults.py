"""What a fault is: one per place, with what was read and what is accepted as values, and its plain form."""

from __future__ import annotations

import copy
import pickle
from typing import Any

from fitcheck.records.faults import Accepts, Fault, FitcheckError, RecordsError, wrong_value
from fitcheck.records.files import open_household
from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS
from fitcheck.records.refusals import LONGEST_READ, names_of, shown

from .sample import sample


def faults_of(document: Any) -> tuple[Fault, ...]:
    try:
        open_household(document)
    except RecordsError as error:
        return error.faults
    return ()


def test_a_fault_of_a_shorthand_is_one_fault_at_the_place_that_was_typed():
    document = sample()
    document["makes"][0]["tolerances"]["chest"] = "x"
    document["makes"][0]["pieces"][1]["counts"]["chest"] = 0
    document["garments"][0]["occasions"][0]["readings"]["cuff"] = "10,2,1"
    document["machines"][0]["highest_dial"] = 31
    places = [fault.place for fault in faults_of(document)]
    assert places == [
        "garments[0].occasions[0].readings.cuff",
        "machines[0].highest_dial",
        "makes[0].tolerances.chest",
        "makes[0].pieces[1].counts.chest",
    ]


def test_every_other_name_of_a_point_leads_to_points_of_the_catalogue():
    for names in ALSO_CALLED.values():
        assert set(names) <= set(POINTS)
    assert not set(ALSO_CALLED) & set(POINTS)


def test_a_field_that_is_called_like_the_models_own_mark_is_refused_like_any_other():
    document = sample()
    document["[key]"] = 1
    document["makes"][0]["weights"] = {"[key]": "x"}
    document["garments"][0]["occasions"][0]["readings"]["[key]"] = [5]
    places = [fault.place for fault in faults_of(document)]
    assert places == [
        'garments[0].occasions[0].readings["[key]"]',
        'makes[0].weights["[key]"]',
        'makes[0].weights["[key]"]',
        '["[key]"]',
    ]


def test_an_id_with_half_a_character_does_not_reach_another_fault():
    document = sample()
    document["wearers"][0]["id"] = "\ud800"
    document["garments"][0]["wearer"] = "ida"
    accepts = {fault.place: fault.accepts for fault in faults_of(document)}["garments[0].wearer"]
    assert accepts == Accepts("record", noun="wearer")


def test_what_was_read_is_cut_to_a_sentence():
    assert shown("x" * 1_000_000) == '"' + "x" * (LONGEST_READ - 2) + "…"
    assert shown({"a": [1, None]}) == '{"a": [1, null]}'
    assert shown("\ud800") == '"\\ud800"'
    assert len(shown([list(range(100))] * 100_000)) == LONGEST_READ


def test_names_are_listed_with_the_nearest_one():
    assert names_of(["a"], "b") == {"names": ("a",), "more": None, "meant": ()}
    assert names_of(["chest", "hem"], "chst") == {"names": ("chest", "hem"), "more": None, "meant": ("chest",)}
    listed = names_of([str(number) for number in range(1000)], None)
    assert (listed["names"][-1], listed["more"]) == ("29", 970)


def test_the_error_prints_a_line_for_each_fault():
    one_of = Accepts("one_of", names=("cm", "in"), more=None, meant=())
    number = Accepts("number", low=0, above=None, high=10, quotes=None)
    error = RecordsError((Fault("unit", '"x"', one_of, 3), Fault("level", "11", number)))
    told = 'line 3, unit: read "x", accepted one of: cm or in\nlevel: read 11, accepted number: low 0; high 10'
    assert str(error) == told
    assert isinstance(error, ValueError)
    assert isinstance(error, FitcheckError)


def test_what_a_public_function_refuses_is_written_in_its_own_words():
    error = wrong_value("level", "2", "a number between 0 and 1")
    assert str(error) == "level: read 2, accepted a number between 0 and 1"


def test_a_fault_inside_another_is_written_with_it():
    accepts = Accepts("field", name="name", accepts=Accepts("text"))
    assert str(accepts) == "field: name name; accepts text"


def test_the_error_survives_a_copy_and_a_traceback():
    error = RecordsError((Fault("unit", "x", Accepts("unit", meant=("cm",))),))
    assert pickle.loads(pickle.dumps(error)).faults == copy.copy(error).faults == error.faults
    error.__traceback__ = None  # what a context manager does


def test_the_plain_form_of_a_fault_gives_limits_and_examples():
    machine = {"id": "bed", "name": "Bed", "needles": 5, "lowest_dial": 7.1}
    document = {
        "fitcheck": 1,
        "unit": "cm",
        "machines": [machine],
        "wearers": [{"id": "ida", "name": "Ida", "head": [None]}],
    }
    assert [str(fault) for fault in faults_of(document)] == [
        "machines[0].needles: read 5, accepted whole number: low 10; high 500",
        'machines[0].lowest_dial: read 7.1, accepted dial setting in quotes: "7.1"',
        "wearers[0].head[0]: read null, accepted length with its unit: 58.7 cm or 23 1/8 in",
    ]
