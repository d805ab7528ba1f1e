"""The phone reads and questions what is typed as the service does: walk_reading.js against records/ in Python."""

from __future__ import annotations

import json

import pytest

from fitcheck.records.households import Household
from fitcheck.records.lengths import LengthError, read_length, write_length
from fitcheck.records.questions import questions
from fitcheck.words.faults import accepted
from fitcheck.words.questions import written_question
from tests.webui.walk_household import HOUSEHOLD, POINTS

TEXTS = (
    "51.8", "51,8", " 51.8 ", ".8", ",8", "51.", "0", "0.0", "00", "20 1/8", "20-1/8", "20⅛", "⅛", "20 ⅛ in",
    "20 1/8\"", "20''", "20 9/8", "20 8/8", "9/8", "1/3", "1/5", "1/0", "20 1/128", "51.2.3", "1,234.5",
    "51,2,3", "1.2.3.4", "-0.8", "−0.8", "+5 mm", "- 0.8 cm", "level", "even", "Level", "12 cm", "12cm",
    "12 CM", "12 cm.", "518 mm", "0.52 m", "20 in.", "20 inches", "cm", "", "   ", "abc", "51 8", "5 1/2 1/2",
    "20 1 / 8", "1e3", "nan", "∞", "51.8 kg", "99999999", "51.8 cm cm", "20/8", "1/2", "20 1⁄8", "٥١",
    "16.1/2", "16,1/2 in", "51\u00a0cm", "51.8\u2009cm", "1" * 61, "0.1 mm",
    "2 ft", "1 1/2 yd", "2 feet.", "2'", "5 constructor",
)  # fmt: skip
"""What hands and keyboards bring; feet with inches and units beyond those of the tape are the service's alone."""


@pytest.fixture(scope="module")
def household():
    return json.dumps(HOUSEHOLD).encode()


@pytest.mark.parametrize("unit", ["cm", *(pytest.param(unit, marks=pytest.mark.full) for unit in ("in", "mm"))])
@pytest.mark.parametrize("signed", [False, True], ids=["reading", "overhang"])
def test_phone_and_service_take_and_refuse_the_same_texts(look_at, unit, signed):
    page = look_at("/makes/pullover/walk")
    read = page.evaluate(
        "([texts, unit, signed]) => texts.map(text => WalkReading.read(text, unit, signed))", [TEXTS, unit, signed]
    )
    for text, phone in zip(TEXTS, read, strict=True):
        try:
            service = read_length(text, unit=unit, signed=signed).value_mm
        except LengthError:
            service = None
        if service is not None and (abs(service) > 100_000 or (service == 0 and not signed)):
            service = None  # refused by the record, not by the grammar
        assert ("refused" in phone) == (service is None), (text, phone, service)
        if service is not None:
            assert phone["mm"] == pytest.approx(service, rel=1e-12, abs=1e-12), text


def test_marks_fractions_and_what_is_no_length_are_refused_with_the_same_words(look_at):
    page = look_at("/makes/pullover/walk")
    for text in ("51.2.3", "20 9/8", "16.1/2", "16,3/8 in", '16.1/4"', "16.1/3 kg", "16.9/8", "cm"):
        with pytest.raises(LengthError) as refused:
            read_length(text, unit="cm")
        phone = page.evaluate("text => WalkReading.read(text, 'cm', false)", text)
        assert phone["refused"] == accepted(refused.value.accepts)


def test_phone_and_service_write_lengths_alike(look_at):
    page = look_at("/makes/pullover/walk")
    lengths = [0, 0.4, 0.5, 1, 12.7, 47.6, 99.95, 204.05, 518, 520.5, 525.4625, 1000, 2000.49, -8, -12.7]
    for unit in ("cm", "in", "mm", "m"):
        phone = page.evaluate("([all, unit]) => all.map(mm => WalkReading.written(mm, unit))", [lengths, unit])
        assert phone == [write_length(mm, unit) for mm in lengths]


def asked_by_service(point, earlier, text, unit):
    """The question of records/questions about the last reading of a point, and of no other."""
    data = json.loads(json.dumps(HOUSEHOLD))
    readings = [{"text": one, "unit": unit} for one in (*earlier, text)]
    data["makes"][0]["pieces"][0]["stages"][0]["readings"] = {point: readings}
    household = Household.model_validate_json(json.dumps(data), context={"unit": "cm"})
    place = ("readings", point, len(earlier))
    asked = (question for question in questions(household) if question.place.path[-3:] == place)
    return next(map(written_question, asked), None)


@pytest.mark.full
@pytest.mark.parametrize("unit", ["cm", "in"])
def test_phone_and_service_ask_the_same_questions(look_at, unit):
    page = look_at("/makes/pullover/walk")
    data = json.loads(page.text_content("#walk-data"))
    steps = {step["id"]: step for step in data["steps"]}
    middle = {"shoulder_width": 41.1, "chest": 52.0, "armhole_depth": 21.0, "neck_width": 17.0, "hem": 51.0,
              "to_underarm": 39.0, "body_length": 64.0}  # fmt: skip
    if unit == "in":
        middle = {point: value / 2.54 for point, value in middle.items()}
    cases = []
    for point in POINTS:
        right = middle[point]
        for factor in (
            0.05,
            0.1,
            0.2,
            0.3,
            0.36,
            1 / 2.54,
            0.42,
            0.48,
            0.55,
            0.7,
            0.9,
            0.98,
            1,
            1.02,
            1.2,
            1.5,
            1.8,
            2,
            2.2,
            2.4,
            2.54,
            5,
            10,
            25.4,
        ):
            cases.append((point, [], f"{right * factor:.1f}"))
        for shift in (0.1, 0.5, 0.9, 1.5, 3.0):
            cases.append((point, [f"{right:.1f}"], f"{right + shift:.1f}"))
            cases.append((point, [f"{right:.1f}", f"{right + 0.1:.1f}"], f"{right - shift:.1f}"))
        cases.append((point, [f"{right:.1f}"], f"{right / 2.54:.1f}"))
        if unit == "in":
            cases += [(point, [], f"{int(right)}{eighth}") for eighth in (1, 4, 7, 8)]
            cases.append((point, [], f"{int(right)}4 in"))
    counted = {}
    for point, earlier, text in cases:
        phone = page.evaluate(
            """([step, text, earlier, unit, rules]) => WalkReading.question(step, WalkReading.read(text, unit, false),
               earlier.map(one => WalkReading.read(one, unit, false).mm), {}, rules)""",
            [steps[point], text, earlier, unit, data["rules"]],
        )
        mine = asked_by_service(point, earlier, text, unit)
        case = (point, earlier, text)
        assert (phone is None) == (mine is None), (case, phone, mine)
        if mine is not None:
            assert (phone["code"], phone["slip"], phone["meant"]) == (mine.code, mine.slip, mine.meant), case
            said = f"{phone['read']} {phone['odd']}".strip()
            assert said == mine.odd or phone["odd"] == mine.odd, (case, said, mine.odd)
            counted[mine.code] = counted.get(mine.code, 0) + 1
    # The cases reach every rule that the phone has.
    assert set(counted) >= {
        *(["inches"] if unit == "cm" else ["centimetres", "eighths"]),
        "round_measure",
        "out_of_range",
        "far_from_neighbours",
    }


def test_phone_and_service_ask_alike_about_a_large_overhang(look_at):
    page = look_at("/makes/pullover/walk?how=overhang")
    data = json.loads(page.text_content("#walk-data"))
    step = data["steps"][0]
    for text in ("+0.8", "+3.9", "+4.2", "-15.1", "+140", "-200"):
        household = json.loads(json.dumps(HOUSEHOLD))
        household["makes"][0]["pieces"][0]["stages"][0]["overhangs"] = {"shoulder_width": [text]}
        mine = questions(Household.model_validate_json(json.dumps(household), context={"unit": "cm"}))
        phone = page.evaluate(
            "([step, text, rules]) => WalkReading.question(step, WalkReading.read(text, 'cm', true), [], {}, rules)",
            [step, text, data["rules"]],
        )
        assert (phone is None) == (not mine), (text, phone, mine)
        if mine:
            assert phone["code"] == mine[0].code, text
            assert bool(phone["meant"]) == bool(mine[0].meant), text
