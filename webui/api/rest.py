"""The rest of the sweater over the API: what to cast on next, seams, yarn, and the sheet of a piece."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from flask import Response

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import KINDS
from fitcheck.records.refusals import shown
from fitcheck.reports.the_rest import TheRest
from fitcheck.words.data import as_data
from webui.answers import Text
from webui.api.calls import CSV, Call, refuse, tagged
from webui.service import service


def rest(call: Call) -> Response:
    """What to cast on next, and every count, with seams and yarn."""
    return tagged(_text(call, "rest", lambda found: as_data(found.answer)))


def seams(call: Call) -> Response:
    """Which edges are sewn together, and whether they fit."""
    return tagged(_text(call, "seams", _seams))


def yarn(call: Call) -> Response:
    """Whether the yarn lasts, and what each piece takes."""
    return tagged(_text(call, "yarn", lambda found: _part(found, found.answer.yarn)))


def sheet(call: Call) -> Response:
    """The sheet of a piece that is still to knit; the reason where there is none."""
    kind = _kind(call)
    return tagged(_text(call, f"sheet {kind}", lambda found: _part(found, _written(found, kind))))


def sheet_table(call: Call) -> Response:
    """The sheet as a table; the reason is the first line where there is none."""
    kind = _kind(call)

    def rows(found: TheRest) -> str:
        written = found.sheet(kind)
        return f"{as_data(written)['why']}\r\n" if isinstance(written, CannotSay) else written.to_csv()

    text = json.loads(_text(call, f"sheet {kind} csv", rows).raw)
    return Response(text, 200, {"Content-Disposition": f'attachment; filename="{kind}.csv"'}, mimetype=CSV)


def _text(call: Call, name: str, make: Callable[[TheRest], Any]) -> Text:
    """A part of the rest of the make in the address, made once of each answer."""
    key, answers = call.path["key"], service().answers
    return answers.of(key).text(name, lambda _: make(answers.rest_of(key)))


def _seams(found: TheRest) -> dict[str, Any]:
    """Seams, or why there are none yet; what is picked up, and how the armholes of knitted pieces were shaped."""
    answer = found.answer
    told = _part(found, answer.seams or answer.why or ())
    return {**told, "bands": as_data(answer.bands), "armholes": as_data(answer.armholes)}


def _kind(call: Call) -> Any:
    """The kind of piece in the address."""
    kind = call.path["piece"]
    if kind not in KINDS:
        refuse("piece", shown(kind), f"One of {', '.join(KINDS)}.")
    return kind


def _written(found: TheRest, kind: Any) -> Any:
    written = found.sheet(kind)
    return written if isinstance(written, CannotSay) else json.loads(written.to_json())


def _part(found: TheRest, answer: Any) -> dict[str, Any]:
    return {"make": found.answer.make, "digest": found.answer.digest, "answer": as_data(answer)}
