"""The measuring walk: a tape in one hand, the phone in the other; and the pencil form, for a hand without one.

Every page works without JavaScript: one form per point. With it all points come with the first load, and nothing
that happens on the way needs the network.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, jsonify, request

from fitcheck.advice.target.wanted import stage_of
from fitcheck.drawing.laid_tape import form_picture, picture
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import FitcheckError, Question, RecordsError
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place, read_address, read_path
from fitcheck.records.points import HALF_FRONTS, SLEEVES
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import NotFound
from fitcheck.store.places import list_at
from fitcheck.words import point_name, question_asked
from fitcheck.words.names import short_stage
from webui.checks import check
from webui.forms.drafts import Refusal
from webui.pages import ground, notices, views
from webui.pages.walk.steps import (
    EIGHTHS,
    HOWS,
    How,
    Round,
    Step,
    carried_on,
    check_of,
    fitting_how,
    needs_sign,
    open_points,
    points_to_read,
    round_of,
    rules_for_phone,
    spread_words,
    steps_of,
    times_of,
    title_of,
    typed_text,
    wanted_mm,
    where_sentence,
)

pages = Blueprint("walk", __name__)

ROUNDS = {1: "first round", 2: "second round", 3: "third round"}
BACK_REASON = "taken back while measuring"
BLANKS = 3
"""Blanks of a point on the pencil form: three layings."""
LONGEST = 60


@dataclass(frozen=True, slots=True)
class Walk:
    """A piece being read: the records behind it, its steps, and the round that is read."""

    make: Make
    piece: Piece
    stage: int
    garment: Garment | None
    how: How
    steps: tuple[Step, ...]
    round: Round
    report: Report | None
    unit: str

    @property
    def name(self) -> str:
        """The piece in words."""
        return self.piece.piece.replace("_", " ")

    @property
    def order(self) -> list[Step]:
        """The steps of this round."""
        return [step for step in self.steps if step.id in self.round.steps]

    def step(self, step_id: str | None) -> Step | None:
        """A step by its id."""
        return by_key(self.steps, step_id)

    def is_done(self, step: Step) -> bool:
        """Whether the round has read it as often as it asks."""
        return self.round.is_done(step)

    @property
    def more(self) -> str:
        """What the pages of a round carry along whose point is read several times."""
        return next((f"{key}:{self.round.look}:{times}" for key, times in self.round.times.items()), "")

    def reading_of(self, step: Step) -> str:
        """Which of several readings of a step comes next: "reading 2 of 3"; empty where there is one."""
        times = self.round.times.get(step.id, 1)
        return f"reading {min(self.round.read(step) + 1, times)} of {times}" if times > 1 else ""

    def url(self, name: str = "", **query: str | None) -> str:
        """A page of this walk."""
        said = {"piece": self.piece.id, "how": self.how, **query}
        return f"/makes/{self.make.id}/walk{name}?{urlencode({key: one for key, one in said.items() if one})}"


def _records(make_key: str) -> tuple[Make, Piece | None]:
    """The make, and the piece that is asked for or was last begun; a page that is not there otherwise."""
    try:
        make: Make = views.store().get("makes", make_key).record
    except NotFound:
        abort(404)
    asked = request.args.get("piece")
    if asked is not None:
        found = by_key(make.pieces, asked)
        if found is None:
            abort(404)
        return make, found
    every = make.standing
    return make, every[-1] if every else None


def _walk(make_key: str) -> Walk | None:
    """The walk that a request is about; None where the piece has no stage to read it at."""
    make, piece = _records(make_key)
    stage = stage_of(piece) if piece is not None else None
    if piece is None or stage is None:
        return None
    garment = _garment(make)
    how = fitting_how(request.args.get("how"), make, piece, stage)
    points = points_to_read(make, piece, stage, garment)
    only = request.args.get("points", "").split(",")
    if asked := [key for key in points if key in only]:
        points = asked
    steps = steps_of(make, piece, stage, garment, how, points)
    found = _report(make, piece)
    next_one = request.args.get("round") == "next"
    round_ = round_of(steps, open_points(found), leave_unread=next_one)
    more = request.args.get("more", "")
    round_ = carried_on(round_, more, steps) if more else replace(round_, times=times_of(found, round_, steps))
    return Walk(make, piece, stage, garment, how, tuple(steps), round_, found, _unit())


def _unit() -> str:
    return "mm" if request.args.get("unit") == "mm" else views.unit()


def _garment(make: Make) -> Garment | None:
    if make.fits.garment is None:
        return None
    try:
        found: Garment = views.store().get("garments", make.fits.garment).record
    except NotFound:
        return None
    return found


def _report(make: Make, piece: Piece) -> Report | None:
    try:
        return views.report_of(make.id, piece.id)
    except FitcheckError:
        return None


# The walk


@pages.get("/makes/<make>/walk")
def walk(make: str) -> Response:
    """The walk, at the point that is next or asked for."""
    found = _walk(make)
    if found is None or request.args.get("begin"):
        return _begin(make)
    step = found.step(request.args.get("point"))
    if step is None and request.args.get("done") is None:
        step = next((one for one in found.order if not found.is_done(one)), None)
    text = ""
    if step is not None and (again := request.args.get("again")):
        text = _read_again(found, step, again)
    return _page(found, step, typed={"reading": text})


def _read_again(found: Walk, step: Step, reading_id: str) -> str:
    """The text of a reading that was taken back, to be typed anew."""
    document = views.store().get(step.where.kind, step.where.key).doc
    return next((str(one["text"]) for one in list_at(step.where, document) if one["id"] == reading_id), "")


@pages.post("/makes/<make>/walk")
def keep(make: str) -> Response:
    """Keep one reading; ask first where it is unlikely. The form carries its id, so sent twice it is one reading."""
    found = _walk(make)
    step = found.step(request.form.get("step")) if found else None
    if found is None or step is None:
        abort(404)
    form = request.form
    typed = {name: form.get(name, "")[:LONGEST] for name in ("reading", "eighths", "sign", "id")}
    answer = form.get("do", "")
    if answer == "again":
        return _page(found, step, typed={**typed, "reading": ""})
    try:
        text = form["meant"] if answer == "meant" and "meant" in form else _typed(found, typed)
        read_length(text, unit=found.unit, signed=found.how == "overhang")
    except LengthError as error:
        return _page(found, step, typed=typed, refusal=Refusal(error.read.strip(), error.accepts), status=422)
    reading: dict[str, Any] = {
        "id": typed["id"] or _new_id(),
        "text": text[:LONGEST],
        "unit": found.unit,
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        **_marks(found, step),
    }
    if by := ground.measurer():
        reading["by"] = by
    if answer == "keep":
        reading["confirmed"] = True
    try:
        question = None if answer == "keep" else _asked(step, reading)
        if question is not None:
            return _page(found, step, typed=typed, question=question)
        # A form sent twice carries another time: what is there already stays as it is.
        new = not _is_there(step, reading["id"])
        if new:
            views.store().add_reading(step.where, reading)
    except RecordsError as error:
        fault = error.faults[0]
        return _page(found, step, typed=typed, refusal=Refusal(fault.read.strip('"'), fault.accepts), status=422)
    after = [one.id for one in found.order]
    place = after.index(step.id) if step.id in after else -1
    later = [one.id for one in found.order[place + 1 :] if not found.is_done(one)]
    # A point that is read several times comes round again, after the others.
    read = found.round.read(step) + new
    if not later and step.id in found.round.times and read < found.round.times[step.id]:
        later = [step.id]
    to = {"point": later[0]} if later else {"done": "1"}
    if request.args.get("round"):
        to["round"] = "next"
    if found.more:
        to["more"] = found.more
    return notices.go(found.url(kept=reading["id"], at=step.id, **to))


def _typed(found: Walk, typed: Mapping[str, str]) -> str:
    text = typed_text(typed["reading"], typed["eighths"], typed["sign"])
    if not text:
        raise LengthError("empty", "nothing typed", "Type what the tape says, or skip the point.")
    if found.how == "overhang" and needs_sign(text, found.unit):
        raise LengthError("not_a_length", text, "Say which: it sticks out, falls short, or lies level.")
    return text


def _marks(found: Walk, step: Step) -> dict[str, int]:
    look = found.round.look or min(step.looks, 2) + 1
    return {"look": look, "laying": found.round.laying(step, look)}


def _is_there(step: Step, reading_id: str) -> bool:
    document = views.store().get(step.where.kind, step.where.key).doc
    return any(one.get("id") == reading_id for one in list_at(step.where, document))


def _asked(step: Step, reading: Mapping[str, Any]) -> Question | None:
    """The question that a reading raises if it is kept. Raises RecordsError where it is refused."""
    document = views.store().get(step.where.kind, step.where.key).doc
    readings = list_at(step.where, document)
    if any(one.get("id") == reading["id"] for one in readings):
        return None
    readings.append(dict(reading))
    found = check(views.store(), step.where.kind, step.where.key, document)
    if found.faults:
        raise RecordsError(found.faults)
    last = _place(step, document).at(len(readings) - 1)
    return next((question for question in found.questions if question.place == last), None)


def _place(step: Step, document: Mapping[str, Any]) -> Place:
    """The list of readings of a step, as questions name it."""
    kind, key, address = step.where
    return Place(kind, key, read_address(address)).numbered(document)


def _new_id() -> str:
    return f"w{secrets.token_hex(16)}"


@pages.post("/makes/<make>/walk/back")
def take_back(make: str) -> Response:
    """Take a reading back: it is set aside, and its text comes back into the field."""
    found = _walk(make)
    step = found.step(request.form.get("step")) if found else None
    if found is None or step is None:
        abort(404)
    reading_id = request.form.get("id", "")
    try:
        views.store().set_aside(step.where, reading_id, BACK_REASON)
    except NotFound:
        abort(404)
    return notices.go(found.url(point=step.id, again=reading_id))


@pages.get("/makes/<make>/walk/standing")
def standing_now(make: str) -> Response:
    """What is to be read next, for the page that is open on a phone: the round to come, and the answer so far."""
    found = _walk(make)
    if found is None:
        abort(404)
    round_ = round_of(found.steps, open_points(found.report), leave_unread=True)
    times = times_of(found.report, round_, found.steps)
    said = "" if found.report is None else views.answer_of(found.report, views.unit()).head
    return jsonify({"look": round_.look, "steps": list(round_.steps), "times": times, "headline": said})


def _page(
    found: Walk,
    step: Step | None,
    *,
    typed: Mapping[str, str],
    refusal: Refusal | None = None,
    question: Question | None = None,
    status: int = 200,
) -> Response:
    drawn = _picture(found)
    order = found.order
    number = next((at for at, one in enumerate(order, 1) if step is not None and one.id == step.id), 0)
    skipped = [one for one in order if not found.is_done(one)]
    next_round = round_of(found.steps, open_points(found.report), leave_unread=True)
    at = found.step(request.args.get("at"))
    kept = by_key(at.readings, request.args.get("kept")) if at else None
    later = [one for one in order[number:] if not found.is_done(one)] if number else []
    return views.page(
        "walk.html",
        status,
        room="makes",
        walk=found,
        step=step,
        number=number,
        picture=drawn,
        laid=drawn.tapes.get(step.point) if step else None,
        typed=typed,
        form_id=typed.get("id") or _new_id(),
        refusal=refusal,
        question=question,
        asked=views.marked(question_asked(question), question.read) if question else "",
        kept=kept,
        kept_step=at if kept else None,
        spread=spread_words(at.readings, ground.parts()) if kept and at else "",
        skipped=skipped,
        skip_to=found.url(point=later[0].id) if later else found.url(done="1"),
        next_round=next_round,
        rounds=ROUNDS,
        stage_words=short_stage(found.piece.stages[found.stage].kind),
        headline=views.answer_of(found.report, views.unit()).head if found.report else "",
        title_of=title_of,
        how_of=lambda one: how_sentence(found, one),
        said_of=lambda one: said_of(found, one),
        label_of=lambda one: tape_label(found, one),
        eighths=EIGHTHS,
        data=phone_data(found, drawn),
        sweater=sweater_name(found),
    )


def how_sentence(found: Walk, step: Step) -> str:
    """Where the tape goes; for an overhang, how the piece is laid."""
    where = where_sentence(step.point, found.piece)
    return f"{where} Level at A; how far off at B?" if found.how == "overhang" else where


def said_of(found: Walk, step: Step) -> str:
    """Whose the point is, where two things lie on the table."""
    if found.how != "both":
        return ""
    return "sweater" if step.side == "garment" else found.name


def sweater_name(found: Walk) -> str:
    """The sweater in words."""
    return found.garment.name if found.garment else "sweater"


def tape_label(found: Walk, step: Step) -> str:
    """The drawing in words."""
    return f"The {found.name}. The tape lies from A to B: {where_sentence(step.point, found.piece)}"


def _picture(found: Walk) -> Any:
    references = wanted_mm(found.make, found.piece, found.garment)
    keys = list(dict.fromkeys(step.point for step in found.steps))
    return picture(found.piece.piece, references, keys, found.unit, construction=found.make.construction)


def phone_data(found: Walk, drawn: Any) -> dict[str, Any]:
    """Everything that the walk on a phone needs, so that no step of it needs the network."""
    references = wanted_mm(found.make, found.piece, found.garment)
    return {
        "scope": f"{found.make.id}/{found.piece.id}/{found.stage}/{found.how}",
        "unit": found.unit,
        "how": found.how,
        "mark": ground.mark(),
        "parts": ground.parts(),
        "thumb": "left" if request.cookies.get("thumb") == "left" else "right",
        "by": ground.measurer(),
        "piece": found.name,
        "stage": short_stage(found.piece.stages[found.stage].kind),
        "garment_shares": found.how == "both",
        "look": found.round.look,
        "order": list(found.round.steps),
        "times": dict(found.round.times),
        "start": request.args.get("point") or "",
        "standing": found.url("/standing"),
        "rules": rules_for_phone(found.unit),
        "steps": [
            {
                "id": step.id,
                "point": step.point,
                "side": step.side,
                "title": title_of(step.point),
                "short": point_name(step.point),
                "how": how_sentence(found, step),
                "whose": said_of(found, step),
                "label": tape_label(found, step),
                "lies": drawn.tapes[step.point].lies if step.point in drawn.tapes else "",
                "near": drawn.tapes[step.point].near if step.point in drawn.tapes else "",
                "place": step.where.place,
                "readings": f"/api/v1/{step.where.kind}/{step.where.key}/readings/",
                "check": check_of(step, found.piece, references, found.how),
                "kept": [
                    {
                        "id": one.id,
                        "text": one.text,
                        "unit": one.length.unit,
                        "mm": one.length.value_mm,
                        "look": one.look,
                        "laying": one.laying,
                        "at": one.at.isoformat() if one.at else "",
                    }
                    for one in step.readings
                ],
            }
            for step in found.steps
        ],
    }


# Before the first reading


def _kinds(make: Make) -> list[str]:
    """The pieces that can lie on the table: those of the construction, and halves where the front is open."""
    kinds: list[str] = list(CONSTRUCTIONS[make.construction].pieces)
    there = {one.piece for one in make.pieces}
    opened = make.front_band is not None or any(band.edge == "front" for band in make.bands)
    for whole, halves, apart in (("front", HALF_FRONTS, opened), ("sleeve", SLEEVES[1:], False)):
        if whole in kinds and (apart or there.intersection(halves)):
            at = kinds.index(whole)
            kinds[at : at + 1] = halves
    return kinds


def _begin(make_key: str) -> Response:
    """Ask what lies on the table, or with a piece named how it was finished since."""
    make, piece = _records(make_key)
    named = piece if "piece" in request.args else None
    there = {one.id for one in make.pieces if one.stages}
    kinds = _kinds(make)
    return views.page(
        "walk_begin.html",
        room="makes",
        make=make,
        piece=named,
        kinds=[(kind, kind.replace("_", " ")) for kind in kinds],
        chosen=next((kind for kind in kinds if kind not in there), kinds[0]),
    )


@pages.post("/makes/<make>/walk/begin")
def begin(make: str) -> Response:
    """Say what lies on the table and whether it is washed, blocked and dry; then the walk begins."""
    record, named = _records(make)
    kind = "blocked" if request.form.get("dry", "yes") == "yes" else "rested"
    stored = views.store().get("makes", make)
    document = stored.doc
    pieces = document.setdefault("pieces", [])
    anew = "piece" in request.args and named is not None
    name = request.args["piece"] if anew else request.form.get("piece", "")
    if not anew and name not in _kinds(record):
        abort(400)
    piece = next((one for one in pieces if one["id"] == name), None)
    if piece is None:
        piece = {"id": name, "piece": name}
        pieces.append(piece)
    stages = piece.setdefault("stages", [])
    if anew or all(one["kind"] != kind for one in stages):
        stages.append({"kind": kind, "on": date.today().isoformat()})
        views.store().put("makes", make, document, stored.revision)
    how = request.form.get("how")
    return notices.go(f"/makes/{make}/walk?{urlencode({'piece': name, **({'how': how} if how in HOWS else {})})}")


# The pencil form


@pages.get("/makes/<make>/pencil")
def pencil(make: str) -> Response:
    """A sheet to print: the drawing with its tapes, and three blanks a point."""
    found = _walk(make)
    if found is None:
        return _begin(make)
    return _pencil(found, typing=False)


@pages.get("/makes/<make>/pencil/typed")
def pencil_grid(make: str) -> Response:
    """The grid in which a filled pencil form is typed."""
    found = _walk(make)
    if found is None:
        return _begin(make)
    return _pencil(found, typing=True)


@dataclass(frozen=True, slots=True)
class Blank:
    """One field of the grid that was typed: the reading that it becomes."""

    name: str
    step: Step
    reading: dict[str, Any]


@pages.post("/makes/<make>/pencil/typed")
def pencil_typed(make: str) -> Response:
    """Keep a typed pencil form: everything, or nothing and each refusal or question beside its field."""
    found = _walk(make)
    if found is None:
        abort(404)
    typed = {name: value[:LONGEST] for name, value in request.form.items()}
    base = typed.get("id") or _new_id()
    refusals: dict[str, Refusal] = {}
    blanks: list[Blank] = []
    signed = found.how == "overhang"
    now = datetime.now(UTC).isoformat(timespec="seconds")
    for step in found.steps:
        look = found.round.look or min(step.looks, 2) + 1
        for column in range(BLANKS):
            name = f"{step.id}-{column}"
            text = typed.get(name, "").strip()
            if not text:
                continue
            try:
                read_length(text, unit=found.unit, signed=signed)
            except LengthError as error:
                refusals[name] = Refusal(text, error.accepts)
                continue
            reading = {
                "id": f"{base}-{step.id.replace('.', '-')}-{column}"[:64],
                "text": text,
                "unit": found.unit,
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
        first = f"{found.steps[0].id}-0"
        refusals[first] = Refusal("nothing typed", "One figure at least, in any of the fields.")
    questions: dict[str, Question] = {}
    if not refusals:
        questions = _check_blanks(blanks, refusals)
    if refusals or questions:
        return _pencil(found, typing=True, typed={**typed, "id": base}, refusals=refusals, questions=questions)
    for blank in blanks:
        if not _is_there(blank.step, blank.reading["id"]):
            views.store().add_reading(blank.step.where, blank.reading)
    many = f"{len(blanks)} readings" if len(blanks) != 1 else "1 reading"
    return notices.go(f"/makes/{make}", f"Kept {many} of the {found.name}.")


def _check_blanks(blanks: list[Blank], refusals: dict[str, Refusal]) -> dict[str, Question]:
    """Ask about all fields together, record by record; what the records refuse goes into `refusals`."""
    questions: dict[str, Question] = {}
    for record in dict.fromkeys((blank.step.where.kind, blank.step.where.key) for blank in blanks):
        document = views.store().get(*record).doc
        fields: dict[Place, str] = {}
        for blank in blanks:
            if (blank.step.where.kind, blank.step.where.key) != record:
                continue
            readings = list_at(blank.step.where, document)
            if any(one.get("id") == blank.reading["id"] for one in readings):
                continue
            fields[_place(blank.step, document).at(len(readings))] = blank.name
            readings.append(dict(blank.reading))
        found = check(views.store(), *record, document)
        for fault in found.faults:
            refused = Place(*record, read_path(fault.place))
            own = [name for place, name in fields.items() if refused.within(place)]
            name = own[0] if own else next(iter(fields.values()))
            refusals.setdefault(name, Refusal(fault.read.strip('"'), fault.accepts))
        questions |= {fields[one.place]: one for one in found.questions if one.place in fields}
    return questions


def _pencil(
    found: Walk,
    *,
    typing: bool,
    typed: Mapping[str, str] | None = None,
    refusals: Mapping[str, Refusal] | None = None,
    questions: Mapping[str, Question] | None = None,
) -> Response:
    keys = list(dict.fromkeys(step.point for step in found.steps))
    references = wanted_mm(found.make, found.piece, found.garment)
    box, inside = form_picture(found.piece.piece, references, keys, construction=found.make.construction)
    figures = key_figures(keys)
    return views.page(
        "pencil_typed.html" if typing else "pencil.html",
        422 if refusals else 200,
        room="makes",
        walk=found,
        rows=sorted(found.steps, key=lambda step: (figures[step.point], step.side)),
        figures=figures,
        box=box,
        inside=inside,
        blanks=range(BLANKS),
        half=found.piece.piece in HALF_FRONTS,
        stage_words=short_stage(found.piece.stages[found.stage].kind),
        title_of=title_of,
        how_of=lambda one: how_sentence(found, one),
        said_of=lambda one: said_of(found, one),
        typed=typed or {"id": _new_id()},
        refusals=refusals or {},
        questions=questions or {},
        question_asked=lambda one: views.marked(question_asked(one), one.read),
        sweater=sweater_name(found),
        unit=found.unit,
    )
