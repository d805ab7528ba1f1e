"""The measuring walk: a tape in one hand, the phone in the other.

Every page works without JavaScript: one form per point. With it all points come with the first load, and nothing
that happens on the way needs the network.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from flask import Blueprint, Response, abort, jsonify, request

from fitcheck import words
from fitcheck.advice.rounds import Round, Step, round_of
from fitcheck.drawing.laid_tape import LaidTape, Picture, picture
from fitcheck.records.faults import RecordsError, in_words
from fitcheck.records.households import by_key
from fitcheck.records.lengths import LONGEST, Length, LengthError, read_length, write_length
from fitcheck.records.questions.slips import too_fine
from fitcheck.records.readings import Reading
from fitcheck.reports.open_points import open_points, times_of
from fitcheck.store.faults import NotFound
from fitcheck.store.places import list_at
from fitcheck.words import question_asked, wants
from fitcheck.words.phone import LEFTOVER, READING, WALK
from fitcheck.words.questions import WrittenQuestion, written_question
from webui.forms.drafts import Refusal
from webui.pages import given_back, ground, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.unbroken import unbroken
from webui.pages.walk.begin import ask_first
from webui.pages.walk.begun import Walk, walk_of
from webui.pages.walk.keeping import asked_about, is_there, marks, new_id
from webui.pages.walk.phone import phone_data
from webui.pages.walk.steps import (
    EIGHTHS,
    in_other_unit,
    needs_sign,
    spread_words,
    typed_text,
)

pages = Blueprint("walk", __name__)


@shown_by("walk.html", "makes")
class WalkPage(Page):
    """The walk at one of its points, or at the end of a round.

    step, number       the point that is read and its number in the round; None and 0 at the end
    picture, laid      the drawing, and the tape laid on it there
    typed, form_id     what was typed, and the id of the reading that it becomes
    refusal, question, asked   what is refused, or asked about and how
    kept, kept_step, spread    the reading that was kept last, of which step, and how far it is from its fellows
    skipped, skip_to   points left out, and where leaving this one out leads
    next_round         the round to come
    headline           the answer so far
    eighths            the marks of an inch
    data               what the phone needs
    """

    walk: Walk
    step: Step | None
    number: int
    picture: Picture
    laid: LaidTape | None
    typed: Mapping[str, str]
    form_id: str
    refusal: Refusal | None
    question: WrittenQuestion | None
    asked: str
    kept: Reading | None
    kept_step: Step | None
    spread: str
    skipped: Sequence[Step]
    skip_to: str
    next_round: Round
    headline: str
    eighths: Sequence[str]
    data: Mapping[str, Any]


@pages.get("/makes/<make>/walk")
@given_back.draws_form
def show_walk(make: str) -> Response:
    """The walk, at the point that is next or asked for."""
    walk = walk_of(make)
    if walk is None or request.args.get("begin") or (not request.args and walk.may_be_finished_since):
        return ask_first(make)
    given = given_back.typed() or {}
    step = walk.step(given.get("step") or request.args.get("point"))
    if step is None and request.args.get("done") is None:
        step = next((candidate for candidate in walk.order if not walk.is_done(candidate)), None)
    text = ""
    if step is not None and (again := request.args.get("again")):
        text = _read_again(step, again)
    return _page(walk, step, typed=given or {"reading": text})


def _read_again(step: Step, reading_id: str) -> str:
    """The text of a reading that was taken back, to be typed anew."""
    document = views.store().get(step.place.kind, step.place.key).doc
    return next((str(reading["text"]) for reading in list_at(step.place, document) if reading["id"] == reading_id), "")


@pages.post("/makes/<make>/walk")
def keep(make: str) -> Response:
    """Keep one reading; ask first where it is unlikely. The form carries its id, so sent twice it is one reading."""
    walk = walk_of(make)
    step = walk.step(request.form.get("step")) if walk else None
    if walk is None or step is None:
        abort(404)
    form = request.form
    typed = {name: form.get(name, "")[:LONGEST] for name in ("reading", "eighths", "sign", "id")}
    answer = form.get("do", "")
    if answer == "again":
        return _page(walk, step, typed={**typed, "reading": ""})
    if answer == "unit":
        return _in_other_unit(make, walk, step, typed)
    try:
        text = form["meant"] if answer == "meant" and "meant" in form else _typed(walk, typed)
        length = read_length(text, unit=walk.unit, signed=walk.how == "overhang")
    except LengthError as error:
        refusal = Refusal(error.read.strip(), words.accepted(error.accepts))
        return _page(walk, step, typed=typed, refusal=refusal, status=422)
    if not answer and too_fine(length):
        return _page(walk, step, typed=typed, question=_too_fine(length))
    reading = _reading(walk, step, typed["id"], text, confirmed=answer == "keep")
    try:
        question = None if answer == "keep" else asked_about(step, reading)
        if question is not None:
            asked = views.marked(question_asked(question), question.read)
            return _page(walk, step, typed=typed, question=written_question(question), asked=asked)
        # A form sent twice carries another time: what is there already stays as it is.
        new = not is_there(step, reading["id"])
        if new:
            views.store().add_reading(step.place, reading)
    except RecordsError as error:
        fault = error.faults[0]
        refusal = Refusal(fault.read.strip('"'), words.accepted(fault.accepts))
        return _page(walk, step, typed=typed, refusal=refusal, status=422)
    return notices.go(walk.url(kept=reading["id"], at=step.id, **_onward(walk, step, walk.round.read(step) + new)))


def _too_fine(length: Length) -> WrittenQuestion:
    """The question about decimals that no tape tells."""
    meant = write_length(length.value_mm, length.unit)
    return WrittenQuestion("", length.text, READING["too_fine"], meant, meant, "too_fine")


def _in_other_unit(make: str, walk: Walk, step: Step, typed: Mapping[str, str]) -> Response:
    """The same point in the other unit; what was typed stays, with its own unit behind it."""
    after: views.PageUnit = "cm" if walk.unit == "in" else "in"
    try:
        text = typed_text(typed["reading"], typed["eighths"])
    except LengthError:
        text = typed["reading"]
    views.take_unit(after)
    there = walk_of(make)
    assert there is not None  # it was there before the unit was another
    now = {**typed, "eighths": "0", "reading": in_other_unit(text.strip(), walk.unit, after)}
    response = _page(there, step, typed=now)
    response.set_cookie(views.UNIT_COOKIE, after, max_age=views.A_YEAR, httponly=True, samesite="Lax")
    return response


def _reading(walk: Walk, step: Step, reading_id: str, text: str, *, confirmed: bool) -> dict[str, Any]:
    """A reading of a step as it is kept: who read it, when, in which round and laying."""
    reading: dict[str, Any] = {
        "id": reading_id or new_id(),
        "text": text[:LONGEST],
        "unit": walk.unit,
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        **marks(walk, step),
    }
    by = ground.measurer()
    return reading | ({"by": by} if by else {}) | ({"confirmed": True} if confirmed else {})


def _onward(walk: Walk, step: Step, read: int) -> dict[str, str]:
    """Where the walk goes once a step was read; read: how often it was, in this round."""
    order = [step.id for step in walk.order]
    place = order.index(step.id) if step.id in order else -1
    later = [step.id for step in walk.order[place + 1 :] if not walk.is_done(step)]
    # A point that is read several times comes round again, after the others.
    if not later and step.id in walk.round.times and read < walk.round.times[step.id]:
        later = [step.id]
    to = {"point": later[0]} if later else {"done": "1"}
    if request.args.get("round"):
        to["round"] = "next"
    return to | ({"more": walk.more} if walk.more else {})


def _typed(walk: Walk, typed: Mapping[str, str]) -> str:
    text = typed_text(typed["reading"], typed["eighths"], typed["sign"])
    if not text:
        raise LengthError("empty", "nothing typed", in_words(wants.TYPE_OR_SKIP))
    if walk.how == "overhang" and needs_sign(text, walk.unit):
        raise LengthError("not_a_length", text, in_words(WALK["which_way"]))
    return text


@pages.post("/makes/<make>/walk/back")
def take_back(make: str) -> Response:
    """Take a reading back: it is set aside, and its text comes back into the field."""
    walk = walk_of(make)
    step = walk.step(request.form.get("step")) if walk else None
    if walk is None or step is None:
        abort(404)
    reading_id = request.form.get("id", "")
    try:
        views.store().set_aside(step.place, reading_id, WALK["reason_taken_back"])
    except NotFound:
        abort(404)
    return notices.go(walk.url(point=step.id, again=reading_id))


@pages.get("/walk/leftover")
def leftover() -> Response:
    """What any page says of readings that a closed walk left on the phone."""
    return jsonify(LEFTOVER)


@pages.get("/makes/<make>/walk/standing")
def standing_now(make: str) -> Response:
    """What is to be read next, for the page that is open on a phone: the round to come, and the answer so far."""
    walk = walk_of(make)
    if walk is None:
        abort(404)
    round_ = round_of(walk.steps, open_points(walk.report), leave_unread=True)
    times = times_of(walk.report, round_, walk.steps)
    said = "" if walk.report is None else unbroken(views.answer_of(walk.report).head)
    return jsonify({"look": round_.look, "steps": list(round_.steps), "times": times, "headline": said})


def _page(
    walk: Walk,
    step: Step | None,
    *,
    typed: Mapping[str, str],
    refusal: Refusal | None = None,
    question: WrittenQuestion | None = None,
    asked: str = "",
    status: int = 200,
) -> Response:
    drawn = picture(walk.piece.piece, walk.references, walk.points, walk.unit, construction=walk.make.construction)
    order = walk.order
    number = next((at for at, other in enumerate(order, 1) if step is not None and other.id == step.id), 0)
    at = walk.step(request.args.get("at"))
    kept = by_key(at.readings, request.args.get("kept")) if at else None
    later = [other for other in order[number:] if not walk.is_done(other)] if number else []
    page = WalkPage(
        walk=walk,
        step=step,
        number=number,
        picture=drawn,
        laid=drawn.tapes.get(step.point) if step else None,
        typed=typed,
        form_id=typed.get("id") or new_id(),
        refusal=refusal,
        question=question,
        asked=asked or (f"{question.read}? {question.odd}" if question else ""),
        kept=kept,
        kept_step=at if kept else None,
        spread=spread_words(at.readings, ground.parts()) if kept and at else "",
        skipped=[other for other in order if not walk.is_done(other)],
        skip_to=walk.url(point=later[0].id) if later else walk.url(done="1"),
        next_round=round_of(walk.steps, open_points(walk.report), leave_unread=True),
        headline=views.answer_of(walk.report).head if walk.report else "",
        eighths=EIGHTHS,
        data=phone_data(walk, drawn),
    )
    return views.show(page, status)
