"""What a fault says: plain words, one per place, what was read and what is accepted; a sentence for every code."""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from string import Formatter
from typing import Any

import pytest

from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.files import open_household
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.makes import Make
from fitcheck.records.refusals import LONGEST_READ
from fitcheck.words.faults import SENTENCES, accepted, fault_lines, fault_sentence, written_fault
from tests.records.sample import sample

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


@pytest.mark.parametrize(
    "value",
    [
        pytest.param(value, id=repr(value)[:20], marks=pytest.mark.full if place % 2 else [])
        for place, value in enumerate(ANYTHING)
    ],
)
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
            assert re.match(r"[A-Z0-9−\"]", accepted(fault.accepts)), fault
            assert accepted(fault.accepts)[-1] in ".?", fault
            assert not PROGRAMMERS_WORDS.search(accepted(fault.accepts)), fault
    assert seen > 15


@pytest.mark.parametrize(
    ("path", "value", "read", "accepts"),
    [
        (("machines", 0, "needles"), 5, "5", "A whole number from 10 to 500."),
        (("machines", 0, "needles"), "200", '"200"', "A whole number from 10 to 500, without quotes."),
        (("yarns", 0, "tex"), 0, "0", "A number of grams above 0, 10000 at most."),
        (("makes", 0, "pieces", 0, "stages", 0, "grams"), "6 oz", '"6 oz"', "A number of grams above 0"),
        (("garments", 0, "rib"), "yes", '"yes"', "True or false, written true or false without quotes."),
        (("garments", 0, "construction"), "setin", '"setin"', "drop_shoulder or raglan; did you mean set_in"),
        (("garments", 0, "name"), 5, "5", 'A text in quotes: "5".'),
        (("garments", 0, "name"), "x" * 401, None, "A text of 400 characters at most; this has 401."),
        (("garments", 0, "occasions", 0, "id"), "In January!", '"In January!"', "in-january?"),
        (("garments", 0, "occasions"), [], "[]", "A list in [ ] with at least 1 entry; add it."),
        (("garments", 0, "occasions"), {}, "{}", "A list in [ ] with at least 1 entry; add it."),
        (("garments", 0, "occasions", 0, "date"), "12.1.2025", '"date"', "did you mean on?"),
        (("garments", 0, "occasions", 0, "on"), "12.1.2025", '"12.1.2025"', "A date such as 2025-03-31."),
        (("garments", 0, "occasions", 0, "readings"), 5, "5", 'with its name: {"chest": "52 cm"}'),
        (("garments", 0, "occasions", 0, "readings", "chest"), "51.2.3", '"51.2.3"', "One decimal mark"),
        (("garments", 0, "occasions", 0, "readings", "chest"), [None], "null", "A length with its unit"),
        (("yarns", 0, "fibres", 0, "percent"), 30, None, "Shares that add up to 100 percent; these make 50."),
        (("makes", 0, "pieces", 0, "counts", "chest"), 1.5, "1.5", "A whole number from 1 to 5000"),
        (("makes", 0, "pieces", 0, "counts", "chest"), {"knitted": "19 1/4"}, None, "A whole number of stitches from"),
        (("makes", 0, "pieces", 0, "counts", "to_underarm"), {"knitted": 1.5}, None, "A whole number of rows from 1"),
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
    assert accepts in accepted(fault.accepts)


def test_an_unknown_field_gets_the_nearest_names():
    document = sample()
    document["garments"][0]["occassions"] = []
    (fault,) = faults_of(document)
    assert (fault.place, fault.read) == ("garments[0].occassions", '"occassions"')
    assert accepted(fault.accepts).endswith("did you mean occasions?")


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
    assert accepted(fault.accepts) == f"A point of measure: did you mean {point}?"


@pytest.mark.parametrize(
    ("path", "name", "accepts"),
    [
        (("makes", 0, "pieces", 0), "fits", 'further out, beside "pieces"'),
        (("makes", 0, "pieces", 0), "readings", 'further in: inside "stages"'),
        (("garments", 0), "readings", 'further in: inside "occasions"'),
        (("makes", 0), "counts", 'further in: inside "pieces"'),
        (("yarns", 0), "needles", 'elsewhere: inside "machines"'),
        (("makes", 0, "pieces", 0), "bust", '"chest": it stands inside "readings" or "counts"'),
        (("garments", 0), "colour", 'or 9 more, which "fitcheck schema household" lists'),
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
    assert accepts in accepted(fault.accepts)


def test_an_unknown_field_lists_six_names_at_most():
    document = sample()
    document["makes"][0]["qqq"] = 5
    (fault,) = faults_of(document)
    assert accepted(fault.accepts).startswith("A name that is known here: id, name, ")
    listed = accepted(fault.accepts).removeprefix("A name that is known here: ").split(" or ")[0].split(", ")
    assert len(listed) == 6
    assert set(listed) <= set(Make.model_fields)


def test_a_missing_field_is_named_with_what_belongs_there():
    document = sample()
    del document["machines"][0]["needles"]
    (fault,) = faults_of(document)
    assert (fault.place, fault.read) == ("machines[0].needles", 'a machine without "needles"')
    assert accepted(fault.accepts) == 'Add "needles": a whole number from 10 to 500.'


def test_a_missing_name_is_missed_and_not_limited():
    document = sample()
    del document["makes"][1]["name"]
    del document["makes"][0]["bands"][0]["edge"]
    assert {fault.place: (fault.read, accepted(fault.accepts)) for fault in faults_of(document)} == {
        "makes[1].name": ('a make without "name"', 'Add "name": a text in quotes.'),
        "makes[0].bands[0].edge": ('a band without "edge"', 'Add "edge": one of hem, cuff, neck or front.'),
    }


def test_an_unknown_point_and_an_unknown_piece_get_the_nearest_names():
    document = sample()
    document["garments"][0]["occasions"][0]["readings"]["sholder_width"] = 40
    document["makes"][0]["planned"]["sleev"] = {"cuff": 40}
    accepts = {fault.place: accepted(fault.accepts) for fault in faults_of(document)}
    assert "shoulder_width" in accepts["garments[0].occasions[0].readings.sholder_width"]
    assert "did you mean sleeve" in accepts["makes[0].planned.sleev"]


# text, sentence
LENGTHS = [
    ("", "A length is a number such as 58.7 or 23 1/8."),
    (" \u00a0\n", "A length is a number such as 58.7 or 23 1/8."),
    ("-0.8 cm", "A length has no minus here; did you mean 0.8 cm?"),
    ("− 3/8", "A length has no minus here; did you mean 3/8?"),
    ("–5", "A length has no minus here; did you mean 5?"),
    ("-0", "A length has no minus here; did you mean 0?"),
    ("-5 ft 2 in", "A length has no minus here; did you mean 5 ft 2 in?"),
    ("+5 mm", "A length has no plus here; did you mean 5 mm?"),
    ("58 cm in", "One unit is enough: cm or in."),
    ("23 in 5 cm", "One unit is enough: in or cm."),
    ("2 in 5 ft", "One unit is enough: in or ft."),
    ("58 cm cm", "One unit is enough: cm."),
    ("1 m 20 cm", "One unit is enough: m or cm."),
    ('58 cm"', "One unit is enough: cm or in."),
    ("1 9/8", "The fraction is more than a whole: 2 1/8?"),
    ("1 10/8", "The fraction is more than a whole: 2 1/4?"),
    ("1 8/8", "The fraction is a whole: 2?"),
    ("9/8 in", "The fraction is more than a whole: 1 1/8?"),
    ("231/8", "The fraction is more than a whole: 23 1/8 or 28 7/8?"),
    ("1115/16", "The fraction is more than a whole: 11 15/16 or 69 11/16?"),
    ("5 ft 1 9/8 in", "The fraction is more than a whole: 2 1/8?"),
    ("5 ft 12 in", "The inches are a foot or more: 6 ft 0 in?"),
    ("5 ft 14 1/2 in", "The inches are a foot or more: 6 ft 2 1/2 in?"),
    ("51.2.3", "One decimal mark is enough: 51.2 or 51,2."),
    ("51,2,3 cm", "One decimal mark is enough: 51.2 or 51,2."),
    ("1,234.5", "One decimal mark is enough: 1234.5 or 1234,5."),
    ("1.234,5 mm", "One decimal mark is enough: 1234.5 or 1234,5."),
    ("58..7", "One decimal mark is enough: 58.7 or 58,7."),
    ("58.,", "One decimal mark is enough: 58.0 or 58,0."),
    ("20.5 1/8", "A decimal or a fraction, not both: 20.5 or 20 1/8."),
    ("20,5⅛ in", "A decimal or a fraction, not both: 20,5 or 20 1/8."),
    (".5 1/8", "A decimal or a fraction, not both: .5 or 1/8."),
    ("16.1/2", "Before a fraction stands a space: 16 1/2?"),
    ("16,1/2 in", "Before a fraction stands a space: 16 1/2 in?"),
    ('16. 1 / 2"', 'Before a fraction stands a space: 16 1/2"?'),
    ("16.1/2 kg", "A length is a number such as 58.7 or 23 1/8."),
    ("16.9/8", "A length is a number such as 58.7 or 23 1/8."),
    ("16.1/7", "A length is a number such as 58.7 or 23 1/8."),
    ("20 1/0", "Below the stroke stands 2, 3, 4, 8, 16, 32 or 64, not 0."),
    ("0/0 in", "Below the stroke stands 2, 3, 4, 8, 16, 32 or 64, not 0."),
    ("20 1/5 in", "Below the stroke stands 2, 3, 4, 8, 16, 32 or 64; as a decimal: 20.2."),
    ("20 1/7 in", "Below the stroke stands 2, 3, 4, 8, 16, 32 or 64; as a decimal: 20.143."),
    ("nan", "A length is a number such as 58.7 or 23 1/8."),
    ("-inf cm", "A length is a number such as 58.7 or 23 1/8."),
    ("Infinity", "A length is a number such as 58.7 or 23 1/8."),
    ("260 stitches", "A length is in mm, cm, m, in, ft or yd."),
    ("5 seconds", "A length is in mm, cm, m, in, ft or yd."),
    ("58.", "A digit is missing after the mark: 58 or 58.0?"),
    ("58, cm", "A digit is missing after the mark: 58 or 58.0?"),
    ("58 7 cm", "These are two numbers: 58.7 cm?"),
    ("cm 58", "A length is a number such as 58.7 or 23 1/8."),
    ("about 58", "A length is a number such as 58.7 or 23 1/8."),
    ("level", "A length is a number such as 58.7 or 23 1/8."),
    ("1e3 cm", "A length is a number such as 58.7 or 23 1/8."),
    ("٥٨ cm", "A length is a number such as 58.7 or 23 1/8."),
    ("½½", "A length is a number such as 58.7 or 23 1/8."),
    ("⅓2 in", "A length is a number such as 58.7 or 23 1/8."),
]


@pytest.mark.parametrize(("text", "sentence"), LENGTHS)
def test_what_is_no_length_is_answered_with_what_would_be_taken(text: str, sentence: str):
    with pytest.raises(LengthError) as caught:
        read_length(text, unit="in")
    assert accepted(caught.value.accepts) == sentence


# Codes and sentences

ROOT = Path(__file__).resolve().parent.parent
SHARED = {"names_of": {"names", "more", "meant"}, "_some_of": {"fields", "more"}}
"""Values that several refusals get from one function."""


@cache
def raised() -> tuple[tuple[str, set[str]], ...]:
    """Every code that the product writes, with the names of its values; the product is read once."""
    return tuple(written_out())


def written_out() -> Iterator[tuple[str, set[str]]]:
    """Each code where it is raised."""
    for path in sorted([*(ROOT / "fitcheck").rglob("*.py"), *(ROOT / "webui").rglob("*.py")]):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Accepts"):
                continue
            values: set[str] = set()
            for keyword in node.keywords:
                values |= {keyword.arg} if keyword.arg else SHARED[ast.unparse(keyword.value).split("(")[0]]
            code = node.args[0]
            for text in (code.body, code.orelse) if isinstance(code, ast.IfExp) else (code,):
                assert isinstance(text, ast.Constant), f"{path}: a code is written out where it is raised"
                yield str(text.value), values


def test_each_code_has_a_sentence_and_each_sentence_a_code():
    assert {code for code, _ in raised()} == set(SENTENCES)


def test_each_sentence_names_the_values_of_its_code_and_no_others():
    for code, values in raised():
        words = SENTENCES[code]
        if callable(words):
            parameters = inspect.signature(words).parameters.values()
            named = {one.name for one in parameters if one.kind is not inspect.Parameter.VAR_KEYWORD}
        else:
            named = {re.split(r"[\[.]", field)[0] for _, field, _, _ in Formatter().parse(words) if field}
        assert named - {"in_quotes", "without_quotes", "minus"} == values, code


@pytest.mark.parametrize(
    ("accepts", "sentence"),
    [
        (Accepts("one_unit", meant=("in", "ft", "cm")), "One unit is enough: in or ft or cm."),
        (Accepts("list_of_readings", meant=("56", "57")), 'Several readings go in [ ], each in quotes: ["56", "57"].'),
        (Accepts("number", low=None, above=0, high=10000, quotes=None), "A number above 0, 10000 at most."),
        (Accepts("number", low=1, above=None, high=None, quotes=None), "A number from 1 up."),
        (
            Accepts("whole_number", low=10, above=None, high=500, quotes="none"),
            "A whole number from 10 to 500, without quotes.",
        ),
        (Accepts("dial_setting", such_as=("7", "7.1", "7+")), "A dial setting such as 7, 7.1 or 7+."),
        (
            Accepts("dial_setting_in_quotes", such_as='"7.1"'),
            'A dial setting in quotes: "7.1" is 7 and one mark. A bare number with decimals could be either.',
        ),
        (
            Accepts("overhang", such_as=("−0.8 cm", "+5 mm", "level")),
            "A length with a sign: −0.8 cm, +5 mm, or level.",
        ),
        (
            Accepts("tolerance", such_as=('"1 cm"', '{"smaller": "5 mm"}')),
            'A length with its unit, such as "1 cm", or {"smaller": "5 mm"}.',
        ),
        (Accepts("number_as_a_text", meant='"0"'), 'A text in quotes: "0".'),
        (Accepts("key", meant=""), "Small letters, figures, - and _, 64 at most, the first a letter or a figure."),
        (
            Accepts("key", meant="moss-wool"),
            "Small letters, figures, - and _, 64 at most, the first a letter or a figure: moss-wool?",
        ),
        (Accepts("one_of", names=("cm",), more=None, meant=()), "One of cm."),
        (
            Accepts("one_of", names=("mm", "cm", "in"), more=None, meant=("cm", "mm")),
            "One of mm, cm or in; did you mean cm or mm?",
        ),
        (Accepts("one_of", names=("a", "b"), more=970, meant=()), "One of a, b or 970 more."),
        (Accepts("entries", fields=("grams", "lot"), more=None), "Entries in { }: grams or lot."),
        (
            Accepts("entries", fields=("id", "name"), more=7),
            'Entries in { }: id, name or 7 more, which "fitcheck schema household" lists.',
        ),
        (
            Accepts("known_field", fields=("of", "dof", "ratio"), more=None),
            "A name that is known here: of, dof or ratio.",
        ),
        (
            Accepts("point_of_measure", meant=("neck_width", "neck_depth")),
            "A point of measure: did you mean neck_width or neck_depth?",
        ),
        (Accepts("point_of_the_catalogue", names=("chest", "hem")), "A point of measure: one of chest, hem."),
        (Accepts("shares_of_100_percent", these_make=50.0), "Shares that add up to 100 percent; these make 50."),
        (Accepts("field", name="name", accepts=Accepts("text")), 'Add "name": a text in quotes.'),
        (Accepts("entries_of_a_list", most=5000), "5000 entries at most in one list."),
        (Accepts("parts_of_a_record", most=50_000), "50,000 lists and groups at most in one record."),
        (
            Accepts("records_of_a_file", most=10_000),
            "10,000 records at most in one file; take in the rest with another.",
        ),
        (
            Accepts("entries_of_a_file", most=100_000),
            "100,000 readings and other entries at most in one file; take in the rest with another.",
        ),
        (
            Accepts("rows_of_a_table", most=20_000),
            "20,000 readings at most in one table; take in the rest with another.",
        ),
        (Accepts("readings_of_a_record", most=5000), "5,000 readings at most in one record; begin another."),
        (Accepts("places_told_then"), "Mend what is told first; the rest is told then."),
        (Accepts("known_names"), "No record has those names either; leave them out, too."),
        (Accepts("nothing_of_this_name", name='"colour"'), 'No field "colour" here; leave it out.'),
        (
            Accepts("further_in", inside=("stages", "readings")),
            'It belongs further in: inside "stages", there inside "readings". Move it there.',
        ),
        (Accepts("elsewhere", inside=("machines",)), 'It belongs elsewhere: inside "machines". Move it there.'),
        (
            Accepts("utf_8_letters", after=""),
            "UTF-8 text: this line has the first letter that is none. Save the file again as UTF-8.",
        ),
        (
            Accepts("utf_8_letters", after='"name": "caf'),
            'UTF-8 text: this line has the first letter that is none, after "name": "caf. '
            "Save the file again as UTF-8.",
        ),
        (Accepts("household", format=1), 'A household: {"fitcheck": 1, "unit": "cm"} is the least.'),
        (
            Accepts("rest_of_the_file"),
            "The rest of it: open it where it was saved, or add what is missing; every { and [ is closed.",
        ),
        (
            Accepts("name_in_double_quotes"),
            'A name in double quotes, "name", or the closing bracket }. Look there, and just before it.',
        ),
        (
            Accepts("text_on_one_line"),
            "A text on one line; a new line inside it is written \\n. Look there, and just before it.",
        ),
        (
            Accepts("backslash_written_twice"),
            "A backslash in a text written twice: \\\\. Look there, and just before it.",
        ),
        (
            Accepts("text_or_number"),
            'A text in double quotes, "cm", or a number, 58.7; a list begins with [. Look there, and just before it.',
        ),
        (Accepts("each_name_once", line=2), "Each name once; it stands on line 2 already. Take one out."),
        (Accepts("each_name_once", line=None), "Each name once. Take one out."),
        (Accepts("record", noun="yarn"), "A yarn; there is none yet. Add it, or leave this out."),
        (
            Accepts("record", noun="earlier piece of this make"),
            "An earlier piece of this make; there is none yet. Add it, or leave this out.",
        ),
        (
            Accepts("id_of", noun="wearer", names=("ida",), more=None, meant=("ida",)),
            "The id of a wearer: ida; did you mean ida?",
        ),
        (
            Accepts("point_of_this_piece", piece="sleeve", lacks="chest", has=("cuff", "cap_height")),
            "A sleeve has no chest; it has cuff, cap_height. Put it where it was read.",
        ),
        (
            Accepts("point_of_this_construction", because="a drop shoulder has no armhole seam"),
            "A drop shoulder has no armhole seam. Leave it out, or choose another construction.",
        ),
        (
            Accepts("piece_of_this_construction", pieces=("back", "front", "sleeve")),
            "A piece of this construction: back, front, sleeve. Choose another piece, or another construction.",
        ),
        (
            Accepts("construction_with_side_panels", names=("side_panels",), this_one="set_in"),
            "No side panel in this construction (set_in). Leave it out, or choose side_panels.",
        ),
        (Accepts("characters_of_a_table", most=20000000), "20 million characters at most; cut it in two."),
        (Accepts("columns", names=("key", "place", "text")), "The columns key, place, text; take others out."),
        (Accepts("cells_of_the_first_line", count=14), "14 cells, as in the first line."),
    ],
    ids=lambda value: value.code if isinstance(value, Accepts) else "",
)
def test_a_sentence_is_put_together_from_its_values(accepts: Accepts, sentence: str):
    assert accepted(accepts) == sentence


def test_a_code_without_a_sentence_is_said_in_its_plain_form():
    assert accepted(Accepts("needles_of_a_bed", most=200)) == "Needles of a bed: 200."


def test_a_minus_is_that_of_json_in_a_file_and_a_real_one_on_a_page():
    least = Accepts("number", low=-10, high=20, above=None, quotes=None)
    assert accepted(least) == "A number from -10 to 20."
    assert accepted(least, on_page=True) == "A number from −10 to 20."


def test_on_a_page_nothing_is_asked_for_in_quotes():
    number = Accepts("whole_number", low=10, above=None, high=500, quotes="none")
    assert accepted(number) == "A whole number from 10 to 500, without quotes."
    assert accepted(number, on_page=True) == "A whole number from 10 to 500."
    assert accepted(Accepts("text")) == "A text in quotes."
    assert accepted(Accepts("text"), on_page=True) == "A text."
    missing = Accepts("field", name="name", accepts=Accepts("text"))
    assert accepted(missing, on_page=True) == 'Add "name": a text.'


def test_a_fault_is_said_in_a_sentence_in_a_line_and_as_data():
    bed = Fault("makes[0].pieces[1].counts.chest", "260 stitches", Accepts("stitches_on_this_bed", needles=200), 12)
    said = "This bed has 200 needles. 200 stitches at most, or another machine."
    assert fault_sentence(bed) == f"Line 12, {bed.place}. Not taken: 260 stitches. {said}"
    unit = Fault("unit", " ", Accepts("in_words", text="cm or in"))
    assert fault_sentence(unit) == "At unit. Not taken: nothing typed. cm or in."
    assert fault_lines((bed, unit)) == f"line 12, {bed.place}: read 260 stitches; {said}\nunit: read  ; cm or in"
    assert written_fault(unit) == {"place": "unit", "read": " ", "accepts": "cm or in", "line": None}
