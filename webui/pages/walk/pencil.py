"""The pencil form, for a hand without a phone: a sheet to print, and the grid in which it is typed later."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.rounds import Step
from fitcheck.drawing.laid_tape import form_picture
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import LONGEST, LengthError, read_length
from fitcheck.records.places import Place, read_path
from fitcheck.records.questions.question import Question
from fitcheck.store.places import list_at
from fitcheck.words import question_asked, wants
from fitcheck.words.questions import WrittenQuestion, written_question
from fitcheck.words.walking import readings_kept
from webui.checks import check
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Field
from webui.forms.knitted import KnittedForm, knitted_form
from webui.forms.pieces import STAGES
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.walk.begin import ask_first
from webui.pages.walk.begun import Walk, walk_of, with_stage
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
    states   how the piece may be, to tick;  knitted: what else is written down of it
    """

    walk: Walk
    rows: Sequence[Step]
    figures: Mapping[str, int]
    blanks: range
    box: str
    inside: Markup
    states: Sequence[str]
    knitted: Sequence[str]


@shown_by("pencil_typed.html", "makes")
class GridPage(Page):
    """The grid to type.

    typed, refusals, questions, asked   what was typed, what is refused or asked about, and how it is asked, by field
    knitted  fields of how the piece was knitted;  stages: how it may have been when it was read
    """

    walk: Walk
    rows: Sequence[Step]
    figures: Mapping[str, int]
    blanks: range
    typed: Mapping[str, str]
    refusals: Mapping[str, Refusal]
    questions: Mapping[str, WrittenQuestion]
    asked: Mapping[str, str]
    knitted: Sequence[Field]
    stages: Sequence[tuple[str, str]]


@pages.get("/makes/<make>/pencil", defaults={"typing": False})
@pages.get("/makes/<make>/pencil/typed", endpoint="pencil_grid", defaults={"typing": True})
@given_back.draws_form
def pencil(make: str, *, typing: bool) -> Response:
    """A sheet to print, with three blanks a point; or the grid in which a filled one is typed."""
    walk = walk_of(make)
    return ask_first(make) if walk is None else _pencil(walk, typing=typing, typed=given_back.typed())


@frozen
class Blank:
    """One field of the grid that was typed: the reading that it becomes."""

    name: str
    step: Step
    reading: dict[str, Any]


@pages.post("/makes/<make>/pencil/typed")
def pencil_typed(make: str) -> Response:
    """Keep a typed pencil form: everything, or nothing and each refusal or question beside its field."""
    typed = {name: value[:LONGEST] for name, value in request.form.items()}
    walk = walk_of(make, typed["stage"] if typed.get("stage") in dict(STAGES) else "")
    if walk is None:
        abort(404)
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
    if not blanks and not refusals and not _knitted(walk, typed).parts:
        first = f"{walk.steps[0].id}-0"
        refusals[first] = Refusal("nothing typed", wants.ONE_FIGURE)
    questions: dict[str, Question] = {}
    if not refusals:
        questions = _check_blanks(walk, blanks, refusals)
    if not refusals and not questions:
        _keep_knitted(walk, typed, refusals)
    if refusals or questions:
        return _pencil(walk, typing=True, typed={**typed, "id": base}, refusals=refusals, questions=questions)
    for blank in blanks:
        if not is_there(blank.step, blank.reading["id"]):
            views.store().add_reading(blank.step.place, blank.reading)
    return notices.go(f"/makes/{make}", readings_kept(len(blanks), walk.name))


def _on_paper(walk: Walk) -> KnittedForm:
    """What is written down of how a piece was knitted, beside its points: dial, stitches and rows."""
    planned = planned_counts(walk.make, ground.household(), walk.piece.piece)
    whole = knitted_form(walk.piece.piece, walk.piece, planned, CONSTRUCTIONS[walk.make.construction])
    return KnittedForm(tuple(field for field in whole if field.group in ("stitches", "rows") or field.name == "dial"))


def _knitted(walk: Walk, typed: Mapping[str, str]) -> KnittedForm:
    """Those of them that say something else than before: an empty field of the paper takes nothing back."""
    whole = _on_paper(walk)
    there = whole.write(walk.piece, walk.unit)
    return KnittedForm(
        tuple(field for field in whole if typed.get(field.name, "").strip() not in ("", there.get(field.name, "")))
    )


def _keep_knitted(walk: Walk, typed: Mapping[str, str], refusals: dict[str, Refusal]) -> None:
    """Keep how the piece was knitted; what is refused of it goes into `refusals`."""
    stored, draft = views.store().get("makes", walk.make.id), Draft(dict(typed))
    document = _begun(walk, stored.doc)
    at = next(place for place, piece in enumerate(document["pieces"]) if piece["id"] == walk.piece.id)
    _knitted(walk, typed).read(draft, walk.unit, document["pieces"][at], ("pieces", at))
    draft.keep(views.store(), "makes", stored.key, document, stored.revision)
    refusals |= draft.refusals


def _begun(walk: Walk, document: dict[str, Any]) -> dict[str, Any]:
    """The document of the make with the stage that the form was read at."""
    return with_stage(document, walk.piece.id, walk.piece.stages[walk.stage].kind)


def _check_blanks(walk: Walk, blanks: list[Blank], refusals: dict[str, Refusal]) -> dict[str, Question]:
    """Ask about all fields together, record by record; what the records refuse goes into `refusals`."""
    questions: dict[str, Question] = {}
    for record in dict.fromkeys((blank.step.place.kind, blank.step.place.key) for blank in blanks):
        document = views.store().get(*record).doc
        document = _begun(walk, document) if record[0] == "makes" else document
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
        on_paper = _on_paper(walk)
        stage = walk.piece.stages[walk.stage].kind
        typed = {"stage": stage, **(typed or {"id": new_id(), **on_paper.write(walk.piece, walk.unit)})}
        written = {name: written_question(about) for name, about in (questions or {}).items()}
        grid = GridPage(
            walk, rows, figures, range(BLANKS), typed, refusals or {}, written, asked, tuple(on_paper), STAGES
        )
        return views.show(grid, 422 if refusals else 200)
    states, knitted = [name for _, name in STAGES], [field.alone or field.label for field in _on_paper(walk)]
    return views.show(FormPage(walk, rows, figures, range(BLANKS), box, views.svg_markup(inside), states, knitted))
