"""What is computed from the records: report, verdict in words, fabric, sizes, and what would be if."""

from __future__ import annotations

from typing import Any, get_args

from flask import Response

from fitcheck import words
from fitcheck.advice.sizes.table import NO_TABLE
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report
from fitcheck.words.data import as_data
from fitcheck.words.figures import Tape
from webui.answers import Answer, written
from webui.api.calls import Call, tagged
from webui.service import service
from webui.what_if import FIELDS, what_if

UNITS: tuple[words.Unit, ...] = get_args(words.Unit)


def report(call: Call) -> Response:
    """The whole report of a make."""
    return tagged(_answer(call).whole())


def verdict(call: Call) -> Response:
    """The report in sentences."""
    said = call.one_of("unit", UNITS, "cm")
    unit = next(choice for choice in UNITS if choice == said)
    return tagged(_answer(call).text(f"verdict {unit}", lambda of_make: in_words(of_make, unit)))


def fabric(call: Call) -> Response:
    """The fabric of a make."""
    return tagged(_answer(call).text("fabric", lambda of_make: _part(of_make, "fabric")))


def sizes(call: Call) -> Response:
    """Which size's numbers."""
    return tagged(_answer(call).text("sizes", lambda of_make: _part(of_make, "sizes")))


def if_changed(call: Call) -> Response:
    """The report as it would be with other counts or another dial; nothing is kept."""
    changed = what_if(service().store, call.path["key"], call.object(FIELDS))
    return tagged(written(as_data(changed)))


def _answer(call: Call) -> Answer:
    return service().answers.of(call.path["key"], call.key("piece"))


NO_SWATCH = CannotSay("no_swatch", of="make")


def _part(of_make: Report, name: str) -> dict[str, Any]:
    answer = getattr(of_make, name) or (NO_SWATCH if name == "fabric" else NO_TABLE)
    return {"make": of_make.head.make, "digest": of_make.digest, "answer": as_data(answer)}


def in_words(of_make: Report, unit: words.Unit) -> dict[str, Any]:
    """Write a report in sentences."""
    advice = of_make.recommendation
    return {
        "make": of_make.head.make,
        "piece": of_make.head.piece,
        "digest": of_make.digest,
        "action": None if isinstance(advice, CannotSay) else advice.action,
        "headline": words.headline(of_make, Tape(unit, ".")),
        "why": words.why(of_make, Tape(unit, ".")),
        "cost": words.cost(of_make, Tape(unit, ".")),
        "chance": words.chance(of_make),
        "points": [
            {
                "key": point.key,
                "code": point.code,
                "word": words.zone_word(point.code),
                "said": words.point_sentence(point, Tape(unit, ".")),
            }
            for point in of_make.points
        ],
        "questions": [words.question_sentence(question) for question in of_make.questions],
        "cautions": [words.caution_sentence(code) for code in of_make.cautions],
    }
