"""What is computed from the records: report, verdict in words, fabric, sizes, and what would be if."""

from __future__ import annotations

from typing import Any, get_args

from flask import Response

from fitcheck import words
from fitcheck.advice.sizes.table import NO_TABLE
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report
from fitcheck.words.data import as_data
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
    unit = next(one for one in UNITS if one == said)
    return tagged(_answer(call).text(f"verdict {unit}", lambda found: in_words(found, unit)))


def fabric(call: Call) -> Response:
    """The fabric of a make."""
    return tagged(_answer(call).text("fabric", lambda found: _part(found, "fabric")))


def sizes(call: Call) -> Response:
    """Which size's numbers."""
    return tagged(_answer(call).text("sizes", lambda found: _part(found, "sizes")))


def if_changed(call: Call) -> Response:
    """The report as it would be with other counts or another dial; nothing is kept."""
    found = what_if(service().store, call.path["key"], call.object(FIELDS))
    return tagged(written(as_data(found)))


def _answer(call: Call) -> Answer:
    return service().answers.of(call.path["key"], call.key("piece"))


NO_SWATCH = CannotSay("no_swatch", "The make names no swatch.", "Wash and block a swatch, and name it in the make.")


def _part(found: Report, name: str) -> dict[str, Any]:
    answer = getattr(found, name) or (NO_SWATCH if name == "fabric" else NO_TABLE)
    return {"make": found.head.make, "digest": found.digest, "answer": as_data(answer)}


def in_words(found: Report, unit: words.Unit) -> dict[str, Any]:
    """Write a report in sentences."""
    advice = found.recommendation
    return {
        "make": found.head.make,
        "piece": found.head.piece,
        "digest": found.digest,
        "action": None if isinstance(advice, CannotSay) else advice.action,
        "headline": words.headline(found, unit),
        "why": words.why(found, unit),
        "cost": words.cost(found, unit),
        "chance": words.chance(found),
        "points": [
            {
                "key": one.key,
                "code": one.code,
                "word": words.zone_word(one.code),
                "said": words.point_sentence(one, unit),
            }
            for one in found.points
        ],
        "questions": [words.question_sentence(one) for one in found.questions],
        "cautions": [words.caution_sentence(code) for code in found.cautions],
    }
