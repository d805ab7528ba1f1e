"""What a fault says: plain words, one per place, what was read and what is accepted."""

from __future__ import annotations

import copy
import pickle
import re
from typing import Any

import pytest

from fitcheck.records.faults import Fault, FitcheckError, RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.makes import Make
from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS
from fitcheck.records.refusals import LONGEST_READ, one_of, shown

from .sample import sample

PROGRAMMERS_WORDS = re.compile(
    r"input should|value error|valid|union|literal|tagged|pydantic|dict|instance|nonetype|\bstr\b|\bint\b|"
    r"\bfloat\b|\bbool\b|type=|traceback|\bnull\b|error|fail|please|oops|parsing|discriminator|function-|\bobject\b|\[key\]",
    re.IGNORECASE,
)
ANYTHING: tuple[Any, ...] = (
    None, True, 0, -1, 5, 10**30, 0.5, 1e300, "", " ", "x", "7.1.2", "−3 cm", "A B", "chst", [], [None], [[]],
    {}, {"text": None}, {"text": 5, "unit": 3}, {"x": 1}, {"number": "7"}, "2025-02-30",
)  # fmt: skip


def every_place(inside: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    entries = inside.items() if isinstance(inside, dict) else enumerate(inside) if isinstance(inside, list) else ()
    return [path] + [deeper for step, value in entries for deeper in every_place(value, (*path, step))]


def faults_of(document: Any) -> tuple[Fault, ...]:
    try:
        open_household(document)
    except RecordsError as error:
        return error.faults
    return ()


def one_place_of_each_shape() -> list[tuple[Any, ...]]:
    shapes = {tuple(0 if isinstance(step, int) else step for step in path): path for path in every_place(sample())}
    return [path for path in shapes.values() if path]


PLACES = [path for path in one_place_of_each_shape() if path != ("fitcheck",)]
TURNS = 6


def put_everywhere(value: Any, turn: int) -> dict[str, Any]:
    """Put a value at every sixth place, as far as it is still there."""
    document = sample()
    for path in PLACES[turn::TURNS]:
        inside: Any = document
        try:
            for step in path[:-1]:
                inside = inside[step]
            inside[path[-1]] = value
        except (TypeError, KeyError, IndexError):
            continue
    return document


@pytest.mark.parametrize("value", ANYTHING, ids=[repr(value)[:20] for value in ANYTHING])
def test_no_fault_speaks_in_a_programmers_words(value: Any):
    seen = 0
    for turn in range(TURNS):
        faults = faults_of(put_everywhere(value, turn))
        seen += len(faults)
        places = [fault.place for fault in faults]
        assert len(set(places)) == len(places), faults
        for fault in faults:
            assert fault.place
            assert fault.read
            assert len(fault.read) <= LONGEST_READ
            assert re.match(r"[A-Z0-9−\"]", fault.accepts), fault
            assert fault.accepts[-1] in ".?", fault
            assert not PROGRAMMERS_WORDS.search(fault.accepts), fault
    assert seen > 15


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


@pytest.mark.parametrize(
    ("path", "value", "read", "accepts"),
    [
        (("machines", 0, "needles"), 5, "5", "A whole number from 10 to 500."),
        (("machines", 0, "needles"), "200", '"200"', "A whole number from 10 to 500, without quotes."),
        (("yarns", 0, "tex"), 0, "0", "A number above 0, 10000 at most."),
        (("garments", 0, "rib"), "yes", '"yes"', "True or false, written true or false without quotes."),
        (("garments", 0, "construction"), "setin", '"setin"', "drop_shoulder or raglan; did you mean set_in"),
        (("garments", 0, "name"), 5, "5", 'A text in quotes: "5".'),
        (("garments", 0, "name"), "x" * 401, None, "A text of 400 characters at most; this has 401."),
        (("garments", 0, "occasions", 0, "id"), "In January!", '"In January!"', "in-january?"),
        (("garments", 0, "occasions"), [], "[]", "A list in [ ] with at least 1 entry; add it."),
        (("garments", 0, "occasions"), {}, "{}", "A list in [ ] with at least 1 entry; add it."),
        (("garments", 0, "occasions", 0, "on"), "12.1.2025", '"12.1.2025"', "A date such as 2025-03-31."),
        (("garments", 0, "occasions", 0, "readings"), 5, "5", 'with its name: {"chest": "52 cm"}'),
        (("garments", 0, "occasions", 0, "readings", "chest"), "51.2.3", '"51.2.3"', "One decimal mark"),
        (("garments", 0, "occasions", 0, "readings", "chest"), [None], "null", "A length with its unit"),
        (("yarns", 0, "fibres", 0, "percent"), 30, None, "Shares that add up to 100 percent; these make 50."),
        (("makes", 0, "pieces", 0, "counts", "chest"), 1.5, "1.5", "A whole number from 1 to 5000"),
        (("makes", 0, "pieces", 0, "piece"), "bakc", '"bakc"', "did you mean back?"),
        (("size_tables", 0, "sizes", 1, "name"), "M", None, 'One name per size: two are called "M".'),
        (("wearers", 0, "head"), ["56, 57"], None, 'go in [ ], each in quotes: ["56", "57"]'),
        (("makes", 0, "bands", 0, "depth"), "2.5, 2.6", None, "One length alone: 2.5 or 2.6?"),
        (("makes", 0, "pieces", 0, "stages", 1, "overhangs", "chest"), "+1.1, +1.0", None, '["+1.1", "+1.0"]'),
        (("makes", 0, "pieces", 0, "stages", 1, "overhangs", "chest"), "evenn", None, "+0.8 cm or −5 mm, or level."),
        (("makes", 0, "pieces", 0, "counts", "chest"), "many", None, '{"planned": 118, "counted": 120}'),
        (("makes", 0, "weights"), 5, "5", 'Entries in { }, each with its name: {"chest": 2}.'),
        (("makes", 0, "planned"), 5, "5", '{"back": {"chest": 120}}'),
        (("makes", 0, "seams"), 5, "5", '{"side": "mattress"}'),
        (("makes", 0, "wishes"), 5, "5", '{"chest": "+1 cm"}'),
        (("makes", 0, "bands", 0), 5, "5", "Entries in { }: edge, depth or how."),
        (("size_tables", 0, "sizes", 0, "pieces", "back", "chest"), {}, "{}", "A measure, a count, or both"),
    ],
)  # fmt: skip
def test_a_fault_says_what_is_accepted(path: tuple[Any, ...], value: Any, read: str | None, accepts: str):
    document: Any = sample()
    inside = document
    for step in path[:-1]:
        inside = inside[step]
    inside[path[-1]] = value
    (fault,) = faults_of(document)
    assert read is None or fault.read == read
    assert accepts in fault.accepts


def test_an_unknown_field_gets_the_nearest_names():
    document = sample()
    document["garments"][0]["occassions"] = []
    (fault,) = faults_of(document)
    assert (fault.place, fault.read) == ("garments[0].occassions", '"occassions"')
    assert fault.accepts.endswith("did you mean occasions?")


@pytest.mark.parametrize(
    ("called", "point"),
    [
        ("bust", "chest"), ("Chest", "chest"), ("back width", "shoulder_width"), ("length", "body_length"),
        ("sleeve", "sleeve_length"), ("armhole", "armhole_depth"), ("neck", "neck_width"), ("width", "chest"),
        ("shoulder", "shoulder_width"), ("body-length", "body_length"),
    ],
)  # fmt: skip
def test_a_point_under_another_name_of_the_trade_is_understood(called: str, point: str):
    document = sample()
    document["garments"][0]["occasions"][0]["readings"][called] = 40
    (fault,) = faults_of(document)
    assert fault.accepts == f"A point of measure: did you mean {point}?"


def test_every_other_name_of_a_point_leads_to_points_of_the_catalogue():
    for names in ALSO_CALLED.values():
        assert set(names) <= set(POINTS)
    assert not set(ALSO_CALLED) & set(POINTS)


@pytest.mark.parametrize(
    ("path", "name", "accepts"),
    [
        (("makes", 0, "pieces", 0), "fits", 'further out, beside "pieces"'),
        (("makes", 0, "pieces", 0), "readings", 'further in: inside "stages"'),
        (("garments", 0), "readings", 'further in: inside "occasions"'),
        (("makes", 0), "counts", 'further in: inside "pieces"'),
        (("yarns", 0), "needles", 'elsewhere: inside "machines"'),
        (("makes", 0, "pieces", 0), "bust", '"chest": it stands inside "readings" or "counts"'),
        (("garments", 0), "colour", 'or 7 more, which "fitcheck schema household" lists'),
        (("garments", 0), "Fabric", "did you mean fabric?"),
    ],
)
def test_a_field_that_stands_elsewhere_is_sent_there(path: tuple[Any, ...], name: str, accepts: str):
    document: Any = sample()
    inside = document
    for step in path:
        inside = inside[step]
    inside[name] = 5
    (fault,) = faults_of(document)
    assert accepts in fault.accepts


def test_an_unknown_field_lists_six_names_at_most():
    document = sample()
    document["makes"][0]["qqq"] = 5
    (fault,) = faults_of(document)
    assert fault.accepts.startswith("A name that is known here: id, name, ")
    listed = fault.accepts.removeprefix("A name that is known here: ").split(" or ")[0].split(", ")
    assert len(listed) == 6
    assert set(listed) <= set(Make.model_fields)


def test_a_missing_field_is_named_with_what_belongs_there():
    document = sample()
    del document["machines"][0]["needles"]
    (fault,) = faults_of(document)
    assert (fault.place, fault.read) == ("machines[0].needles", 'a machine without "needles"')
    assert fault.accepts == 'Add "needles": a whole number from 10 to 500.'


def test_a_missing_name_is_missed_and_not_limited():
    document = sample()
    del document["makes"][1]["name"]
    del document["makes"][0]["bands"][0]["edge"]
    assert {fault.place: (fault.read, fault.accepts) for fault in faults_of(document)} == {
        "makes[1].name": ('a make without "name"', 'Add "name": a text in quotes.'),
        "makes[0].bands[0].edge": ('a band without "edge"', 'Add "edge": one of hem, cuff, neck or front.'),
    }


def test_an_unknown_point_and_an_unknown_piece_get_the_nearest_names():
    document = sample()
    document["garments"][0]["occasions"][0]["readings"]["sholder_width"] = 40
    document["makes"][0]["planned"]["sleev"] = {"cuff": 40}
    accepts = {fault.place: fault.accepts for fault in faults_of(document)}
    assert "shoulder_width" in accepts["garments[0].occasions[0].readings.sholder_width"]
    assert "did you mean sleeve" in accepts["makes[0].planned.sleev"]


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
    assert accepts == "A wearer; there is none yet. Add it, or leave this out."


def test_what_was_read_is_cut_to_a_sentence():
    assert shown("x" * 1_000_000) == '"' + "x" * (LONGEST_READ - 2) + "…"
    assert shown({"a": [1, None]}) == '{"a": [1, null]}'
    assert shown("\ud800") == '"\\ud800"'
    assert len(shown([list(range(100))] * 100_000)) == LONGEST_READ


def test_names_are_listed_with_the_nearest_one():
    assert one_of(["a"], "b") == "a."
    assert one_of(["chest", "hem"], "chst") == "chest or hem; did you mean chest?"
    assert one_of([str(number) for number in range(1000)], None).endswith("29 or 970 more.")


def test_the_error_prints_a_line_for_each_fault():
    error = RecordsError((Fault("unit", '"x"', "One of cm or in.", 3), Fault("file", "nothing", "A household.")))
    assert str(error) == 'line 3, unit: read "x"; One of cm or in.\nfile: read nothing; A household.'
    assert isinstance(error, ValueError)
    assert isinstance(error, FitcheckError)


def test_the_error_survives_a_copy_and_a_traceback():
    error = RecordsError((Fault("unit", "x", "cm."),))
    assert pickle.loads(pickle.dumps(error)).faults == copy.copy(error).faults == error.faults
    error.__traceback__ = None  # what a context manager does
