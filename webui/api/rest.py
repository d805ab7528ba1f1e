"""The rest of the sweater over the API: what to cast on next, seams, yarn, and the sheet of a piece."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

from flask import Response

from fitcheck.advice.to_come.plans_of import rib_mm
from fitcheck.drawing.look import SCREEN
from fitcheck.drawing.one_piece import piece_drawing, stitch_levels
from fitcheck.drawing.pieces import pieces_drawing
from fitcheck.drawing.seams import edge_flat
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.plan import Plan
from fitcheck.records.refusals import shown
from fitcheck.records.sheet_kinds import SHEET_KINDS
from fitcheck.reports.pieces_to_draw import pieces_to_draw
from fitcheck.reports.the_rest import TheRest
from fitcheck.store.faults import NotFound
from fitcheck.words import Unit
from fitcheck.words.data import as_data
from fitcheck.words.figures import Tape
from fitcheck.words.picked_up import pick_said
from fitcheck.words.pieces_drawn import NOTHING_DRAWN
from fitcheck.words.sheet_page import HEADS, drawn_label
from webui.answers import Text
from webui.api.calls import CSV, SVG, Call, refuse, tagged
from webui.api.computed import UNITS
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
    kind = kind_of_sheet(call)
    return tagged(_text(call, f"sheet {kind}", lambda found: _part(found, _written(found, kind))))


def sheet_table(call: Call) -> Response:
    """The sheet as a table; the reason is the first line where there is none."""
    kind = kind_of_sheet(call)

    def rows(found: TheRest) -> str:
        written = found.sheet(kind)
        return f"{as_data(written)['why']}\r\n" if isinstance(written, CannotSay) else written.to_csv()

    text = json.loads(_text(call, f"sheet {kind} csv", rows).raw)
    return Response(text, 200, {"Content-Disposition": f'attachment; filename="{kind}.csv"'}, mimetype=CSV)


def drawing(call: Call) -> Response:
    """All pieces to one scale."""
    unit = _unit(call)

    def drawn(found: TheRest) -> str:
        made = pieces_drawing(pieces_to_draw(found), unit, file=True)
        return made.svg if made is not None else ""

    return _svg(call, "rest", _text(call, f"rest drawn {unit}", drawn), NOTHING_DRAWN)


def sheet_drawing(call: Call) -> Response:
    """The piece of a sheet with the rows and the stitches of its points; of a band its edge laid out flat."""
    kind, unit = kind_of_sheet(call), _unit(call)

    def drawn(found: TheRest) -> str:
        band = found.band(kind)
        if band is not None:
            pick = pick_said(band, Tape(unit, "."))
            return edge_flat(pick, look=SCREEN, file=True) if pick.runs else ""
        piece = next((piece for piece in found.planned if piece.kind == kind and piece.id is None), None)
        if piece is None or not isinstance(piece.plan, Plan):
            return ""
        label, rib = drawn_label(kind, stitch_levels(piece.plan)), rib_mm(found.told.given.make, kind)
        return piece_drawing(piece.plan, piece.fabric, unit, label=label, heads=HEADS, rib_mm=rib, file=True)

    return _svg(call, kind, _text(call, f"sheet {kind} drawn {unit}", drawn), NOTHING_DRAWN)


def _svg(call: Call, name: str, text: Text, why: str) -> Response:
    """A drawing as a file; raises NotFound where there is nothing to draw."""
    svg = json.loads(text.raw)
    if not svg:
        raise NotFound("makes", call.path["key"], why)
    return Response(svg, 200, {"Content-Disposition": f'inline; filename="{name}.svg"'}, mimetype=SVG)


def _unit(call: Call) -> Unit:
    said = call.one_of("unit", UNITS, "cm")
    return next(unit for unit in UNITS if unit == said)


def _text(call: Call, name: str, make: Callable[[TheRest], Any]) -> Text:
    """A part of the rest of the make in the address, made once of each answer."""
    key, answers = call.path["key"], service().answers
    return answers.of(key).text(name, lambda _: make(answers.rest_of(key)))


def _seams(found: TheRest) -> dict[str, Any]:
    """Seams, or why there are none yet; what is picked up, and how the armholes of knitted pieces were shaped."""
    answer = found.answer
    told = _part(found, answer.seams or answer.why or ())
    return {**told, "bands": as_data(answer.bands), "armholes": as_data(answer.armholes), "cautions": answer.cautions}


def kind_of_sheet(call: Call) -> Any:
    """The kind of piece or band in the address."""
    kind = call.path["piece"]
    if kind not in SHEET_KINDS:
        refuse("piece", shown(kind), f"One of {', '.join(SHEET_KINDS)}.")
    return kind


def _written(found: TheRest, kind: Any) -> Any:
    written = found.sheet(kind)
    return written if isinstance(written, CannotSay) else json.loads(written.to_json())


def _part(found: TheRest, answer: Any) -> dict[str, Any]:
    return {"make": found.answer.make, "digest": found.answer.digest, "answer": as_data(answer)}
