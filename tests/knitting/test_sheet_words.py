"""A sheet in words: the verb first, each repeat with its boxes, each word explained once, no word of a program."""

from __future__ import annotations

from random import Random
from typing import get_args

import pytest

from fitcheck.knitting.lines import Note
from fitcheck.knitting.needles import Span
from fitcheck.knitting.plan import At, Event, Part, Plan, mirrored
from fitcheck.knitting.sheet import Notch, sheet
from fitcheck.records.points import PieceKind
from fitcheck.records.written_sheets import NoteCode, SheetAct
from fitcheck.words.sheet import ACTS, NOTES, LineTold, notes_told, ordinal, sheet_told
from tests.knitting.random_pieces import piece
from tests.knitting.sample_front import front
from tests.outlawed import NEVER, OUTLAWED

TOLD = sheet_told(sheet(front(), rib_rows=20, notches=[Notch("body", 140, "sleeve", 145)]))


def line(part: int, place: int) -> LineTold:
    return TOLD.parts[part].lines[place]


def test_the_parts_have_the_counters_from_one_to_the_next() -> None:
    assert [(part.title, part.counters) for part in TOLD.parts] == [
        ("Rib", "counter from 0 to 20"),
        ("Up to the armholes", "counter from 0 to 108"),
        ("Armholes", "counter from 108 to 152"),
        ("Neck, left half", "counter from 152 to 185"),
        ("Neck, right half", "counter from 152 to 186"),
    ]


def test_what_stands_above_the_lines() -> None:
    assert TOLD.title == "Front"
    assert dict(TOLD.facts) == {
        "needles": "118, at most 126 (L63–R63)",
        "carriage starts": "left",
        "purl side faces you": "your right is the wearer’s right",
        "rows": "20 rib, then 186; 219 with both halves",
    }


@pytest.mark.parametrize(
    ("part", "place", "act", "needles", "stitches"),
    [
        (0, 0, "Cast on 118", "L59–R59", "118"),
        (0, 1, "Set the counter to 0", "L59–R59", "118"),
        (1, 0, "Widen 1, both sides", "L60–R60", "120"),
        (1, 1, "Mark both edges", "L60–R60", "120"),
        (2, 0, "Cast off 5, left", "L58–R63", "121"),
        (2, 2, "Narrow 1, both sides", "L57–R57", "114"),
        (2, 5, "Waste yarn right half, R7–R47", "L47–R6", "53"),
        (3, 4, "Rest 6, left", "L23–L19", "5"),
        (3, 5, "Back to work all 29", "L47–L19", "29"),
        (3, 6, "Waste yarn shoulder, L47–L19", "", ""),
        (4, 0, "Carriage to the left, over the empty bed", "", ""),
        (4, 1, "Set the counter back to 152", "", ""),
        (4, 2, "Hang back right half, 41, R7–R47", "R7–R47", "41"),
        (4, -1, "Weigh the front", "", ""),
    ],
)
def test_an_act_is_said_with_its_verb_first(part: int, place: int, act: str, needles: str, stitches: str) -> None:
    told = line(part, place)
    assert (told.act, told.needles, told.stitches) == (act, needles, stitches)
    assert told.act.startswith(told.verb)
    assert told.verb


def straight_piece(kind: PieceKind, *events: Event, ends: dict[str, int]) -> Plan:
    cast_on = Event("body", 0, "cast_on", "all", 20)
    return Plan(kind, Span(-10, 9), (Part("body", 0, "left", 90, (cast_on, *events)),), ends=ends)


@pytest.mark.parametrize(
    ("kind", "side", "ends", "titles"),
    [
        ("front", "left", {"left_shoulder": 9}, ["Up to the armholes", "Armholes"]),
        ("sleeve", "left", {"top": 9}, ["Up to the underarm", "Above the underarm"]),
        ("back", "left", {"neck": 9}, ["Up to the underarm", "Above the underarm"]),
        ("left_front", "left", {"left_shoulder": 9}, ["Up to the armhole", "Armhole"]),
        ("left_front", "right", {"left_shoulder": 9}, ["Left front"]),
        ("right_front", "left", {"right_shoulder": 9}, ["Right front"]),
    ],
)
def test_a_piece_is_told_by_its_armholes_or_its_underarm_and_a_neck_alone_is_none(
    kind: PieceKind, side: At, ends: dict[str, int], titles: list[str]
) -> None:
    plan = straight_piece(kind, Event("body", 50, "cast_off", side, 3), ends=ends)
    assert [part.title for part in sheet_told(sheet(plan)).parts] == titles


def test_no_sleeve_is_told_to_have_a_cap() -> None:
    # A raglan has none, and a sheet does not say of which construction it is (fit rule 29).
    plan = straight_piece("sleeve", Event("body", 50, "cast_off", "left", 3), ends={"top": 17})
    told = sheet_told(sheet(plan))
    assert not any("cap" in f"{part.title} {line.act}".lower() for part in told.parts for line in part.lines)


def test_halves_are_named_by_the_side_of_the_bed_that_they_lie_on() -> None:
    mirror = sheet_told(sheet(mirrored(front())))
    assert [part.title for part in mirror.parts][2:] == ["Neck, right half", "Neck, left half"]
    waste = [told.act for told in mirror.parts[1].lines if told.verb == "Waste yarn"]
    assert waste == ["Waste yarn left half, L47–L7", "Waste yarn neck, L6–R6"]


def test_a_repeat_has_a_box_for_each_time_with_counter_and_stitches() -> None:
    told = line(2, 3)
    assert told.repeat == "at 111, then every 2nd row, 10 times, last at 129"
    assert told.boxes[0] == ("111", "112")
    assert told.boxes[-1] == ("129", "94")
    assert len(told.boxes) == 10
    assert (told.needles, told.stitches) == ("L47–R47", "94")
    assert line(2, 0).repeat == ""


def test_notes_are_sentences() -> None:
    assert line(1, 1).notes == ("Claw weights up.",)
    assert line(1, 6).notes == ("The tape for the chest lies here.",)
    assert line(3, 5).notes == ("No row over them.",)
    assert line(2, 4).notes == ("Meets the sleeve’s 145.",)


def test_pieces_that_are_met_at_one_row_stand_in_one_sentence() -> None:
    at = [
        Note("meets", {"piece": piece, "counter": row}) for piece, row in (("back", 40), ("front", 40), ("sleeve", 38))
    ]
    assert list(notes_told(at)) == ["Meets the back’s and the front’s 40.", "Meets the sleeve’s 38."]


def test_each_word_is_explained_once_and_only_where_it_stands_on_the_sheet() -> None:
    names = [word for word, _ in TOLD.words]
    assert names == [
        "Counter", "Mark", "Widen 1", "Narrow 1", "Cast off", "Rest", "Waste yarn", "Hang back", "Weigh", "L63, R63",
    ]  # fmt: skip
    assert dict(TOLD.words)["Narrow 1"] == ("Move the three outer loops one needle in; push the empty needle back.")
    assert dict(TOLD.words)["L63, R63"] == "The 63rd needle left, right of the middle of the bed."


def test_a_rib_whose_rows_nobody_said_is_a_question_and_a_line_for_a_pencil() -> None:
    told = sheet_told(sheet(front(), rib_rows=None)).parts[0].lines[1]
    assert told.counter == ""
    assert told.notes == (
        "How many rows has the rib? Nobody said: write them in here. "
        "Begin a rib of an odd number with the carriage at the other side.",
    )
    assert dict(sheet_told(sheet(front(), rib_rows=None)).facts)["rows"] == "rib, then 186; 219 with both halves"


def test_every_act_and_every_note_has_its_words() -> None:
    assert set(ACTS) == set(get_args(SheetAct))
    assert {*NOTES, "meets"} == set(get_args(NoteCode))


def test_no_sheet_has_a_word_of_a_program() -> None:
    random = Random(7)
    for _ in range(40):
        told = sheet_told(sheet(piece(random)))
        text = [line.act for part in told.parts for line in part.lines]
        text += [note for part in told.parts for line in part.lines for note in line.notes]
        text += [part.title for part in told.parts] + [meaning for _, meaning in told.words]
        assert not any(OUTLAWED.search(said) for said in text)
        assert not any(word in said.lower().split() for said in text for word in (*NEVER, "none"))
        assert not any("_" in said.replace("____", "") for said in text)


@pytest.mark.parametrize(
    ("number", "said"), [(2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (21, "21st"), (112, "112th")]
)
def test_ordinals(number: int, said: str) -> None:
    assert ordinal(number) == said
