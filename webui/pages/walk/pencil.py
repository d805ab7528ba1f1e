"""The pencil form, for a hand without a phone: a sheet to print, and the grid in which it is typed later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.rounds import Step
from fitcheck.drawing.laid_tape import form_picture
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.lengths import LONGEST, LengthError, read_length
from fitcheck.records.places import Place, read_path
from fitcheck.records.questions.question import Question
from fitcheck.store.places import list_at
from fitcheck.words import question_asked, wants
from fitcheck.words.questions import WrittenQuestion, written_question
from fitcheck.words.walking import readings_kept
from webui.checks import check
from webui.forms.drafts import Refusal
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.walk.begin import ask_first
from webui.pages.walk.begun import Walk, walk_of
from webui.pages.walk.keeping import is_there, new_id

pages = Blueprint("pencil", __name__)

BLANKS = 3
"""Blanks of a point: three layings."""


@shown_by("pencil.html", "makes")
class FormPage(Page):
    """The sheet to print.

    rows     steps in the order of the drawing;  figures: the figure of each point
    blanks   columns of a row
    box, inside   view box and inside of the drawing
    """

    walk: Walk
    rows: Sequence[Step]
    figures: Mapping[str, int]
    blanks: range
    box: str
    inside: Markup


@shown_by("pencil_typed.html", "makes")
class GridPage(Page):
    """The grid to type.

    typed, refusals, questions, asked   what was typed, what is refused or asked about, and how it is asked, by field
    """

    walk: Walk
    rows: Sequence[Step]
    figures: Mapping[str, int]
    blanks: range
    typed: Mapping[str, str]
    refusals: Mapping[str, Refusal]
    questions: Mapping[str, WrittenQuestion]
    asked: Mapping[str, str]


@pages.get("/makes/<make>/pencil", defaults={"typing": False})
@pages.get("/makes/<make>/pencil/typed", endpoint="pencil_grid", defaults={"typing": True})
@given_back.draws_form
def pencil(make: str, *, typing: bool) -> Response:
    """A sheet to print, with three blanks a point; or the grid in which a filled one is typed."""
    walk = walk_of(make)
    return ask_first(make) if walk is None else _pencil(walk, typing=typing, typed=given_back.typed())


@dataclass(frozen=True, slots=True)
class Blank:
    """One field of the grid that was typed: the reading that it becomes."""

    name: str
    step: Step
    reading: dict[str, Any]


@pages.post("/makes/<make>/pencil/typed")
def pencil_typed(make: str) -> Response:
    """Keep a typed pencil form: everything, or nothing and each refusal or question beside its field."""
    walk = walk_of(make)
    if walk is None:
        abort(404)
    typed = {name: value[:LONGEST] for name, value in request.form.items()}
    base = typed.get("id") or new_id()
    refusals: dict[str, Refusal] = {}
    blanks: list[Blank] = []
    signed = walk.how == "overhang"
    now = datetime.now(UTC).isoformat(timespec="seconds")
    for step in walk.steps:
        look = walk.round.look or min(step.looks, 2) + 1
        for column in range(BLANKS):
            name = f"{step.id}-{column}"
            text = typed.get(name, "").strip()
            if not text:
                continue
            try:
                read_length(text, unit=walk.unit, signed=signed)
            except LengthError as error:
                refusals[name] = Refusal(text, words.accepted(error.accepts))
                continue
            reading = {
                "id": f"{base}-{step.id.replace('.', '-')}-{column}"[:64],
                "text": text,
                "unit": walk.unit,
                "at": now,
                "look": look,
                "laying": step.laying(look) + column,
            }
            if typed.get(f"keep-{name}") == text:
                reading["confirmed"] = True
            if by := ground.measurer():
                reading["by"] = by
            blanks.append(Blank(name, step, reading))
    if not blanks and not refusals:
        first = f"{walk.steps[0].id}-0"
        refusals[first] = Refusal("nothing typed", wants.ONE_FIGURE)
    questions: dict[str, Question] = {}
    if not refusals:
        questions = _check_blanks(blanks, refusals)
    if refusals or questions:
        return _pencil(walk, typing=True, typed={**typed, "id": base}, refusals=refusals, questions=questions)
    for blank in blanks:
        if not is_there(blank.step, blank.reading["id"]):
            views.store().add_reading(blank.step.place, blank.reading)
    return notices.go(f"/makes/{make}", readings_kept(len(blanks), walk.name))


def _check_blanks(blanks: list[Blank], refusals: dict[str, Refusal]) -> dict[str, Question]:
    """Ask about all fields together, record by record; what the records refuse goes into `refusals`."""
    questions: dict[str, Question] = {}
    for record in dict.fromkeys((blank.step.place.kind, blank.step.place.key) for blank in blanks):
        document = views.store().get(*record).doc
        fields: dict[Place, str] = {}
        for blank in blanks:
            if (blank.step.place.kind, blank.step.place.key) != record:
                continue
            readings = list_at(blank.step.place, document)
            if any(reading.get("id") == blank.reading["id"] for reading in readings):
                continue
            fields[blank.step.place.numbered(document).at(len(readings))] = blank.name
            readings.append(dict(blank.reading))
        checked = check(views.store(), *record, document)
        for fault in checked.faults:
            refused = Place(*record, read_path(fault.place))
            own = [name for place, name in fields.items() if refused.within(place)]
            name = own[0] if own else next(iter(fields.values()))
            refusals.setdefault(name, Refusal(fault.read.strip('"'), words.accepted(fault.accepts)))
        questions |= {fields[question.place]: question for question in checked.questions if question.place in fields}
    return questions


def _pencil(
    walk: Walk,
    *,
    typing: bool,
    typed: Mapping[str, str] | None = None,
    refusals: Mapping[str, Refusal] | None = None,
    questions: Mapping[str, Question] | None = None,
) -> Response:
    box, inside = form_picture(walk.piece.piece, walk.references, walk.points, construction=walk.make.construction)
    figures = key_figures(walk.points)
    rows = sorted(walk.steps, key=lambda step: (figures[step.point], step.side))
    if typing:
        asked = {name: views.marked(question_asked(about), about.read) for name, about in (questions or {}).items()}
        typed = typed or {"id": new_id()}
        written = {name: written_question(about) for name, about in (questions or {}).items()}
        grid = GridPage(walk, rows, figures, range(BLANKS), typed, refusals or {}, written, asked)
        return views.show(grid, 422 if refusals else 200)
    return views.show(FormPage(walk, rows, figures, range(BLANKS), box, views.svg_markup(inside)))
