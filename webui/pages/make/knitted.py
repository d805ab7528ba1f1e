"""How a piece was knitted and at which stage it was read; and what the tape said, to be put right in its place."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, get_args

from flask import Blueprint, Response, abort, request

from fitcheck.advice.rest.nested import PARTS
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.wanted import stage_of
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.constructions import CONSTRUCTIONS, Construction
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.places import Place
from fitcheck.records.points import ORDER, PieceKind
from fitcheck.reports.shapes import Report
from fitcheck.words import deeds, wants
from fitcheck.words import knitted as say_knitted
from fitcheck.words.dates import write_day
from fitcheck.words.points import shown_measured_mm, tape_at
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Filled, Form
from webui.forms.garments import point_heading
from webui.forms.knitted import STAGE, KnittedForm, count_points, knitted_form
from webui.forms.pieces import STAGES
from webui.forms.typed import whole_number
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.figures import Figures, PutRight
from webui.pages.make.dials import next_dial
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.photographs import Beside, beside
from webui.pages.shelves import shelf
from webui.pages.strip import Strip, strip_of

pages = Blueprint("knitted", __name__)


@frozen
class ReadPoint:
    """What the tape said at one point: its number on every drawing, its name, its figures, what they are taken as."""

    key: str
    figure: int
    name: str
    figures: Figures
    taken: str


@shown_by("knitted.html", "makes")
class KnittedPage(Page):
    """How a piece was knitted.

    piece    its key, its kind where there is none yet;  kind: what it is
    stage    number of the stage that the form and the readings are of; None: there is none
    stages   of several: where each is shown, what it is called, whether it is this one
    beside   the photographs of the stage
    rows     how they add up, where all are known
    """

    make: Make
    ticks: tuple[Tick, ...]
    piece: str
    kind: str
    heading: str
    strip: Strip
    form: Filled
    stage_form: Filled
    stage: int | None
    stages: list[tuple[str, str, bool]]
    kinds: tuple[tuple[str, str], ...]
    rows: tuple[str, str] | None
    read: list[ReadPoint]
    read_at: str
    beside: Beside | None


@pages.get("/makes/<key>/pieces/<piece>")
@given_back.draws_form
def ask(key: str, piece: str) -> Response:
    """The form of a piece, of one that was never written down too, and what the tape said of it."""
    make, known, kind = _piece(key, piece)
    report = report_or_404(key, known.id if known else None)
    form, number = _form_of(make, known, kind, report), _stage_number(known)
    stored = views.store().get("makes", key)
    typed = {"revision": str(stored.revision)}
    if known is not None:
        typed |= form.write(known, views.unit())
        if number is not None:
            typed |= STAGE.write(known.stages[number], views.unit())
    for name, count in form.planned.items():
        typed[name] = typed.get(name) or str(count)
    if not typed.get("dial"):
        typed["dial"] = next_dial(report)
    return _show(make, piece, form, ground.begun(typed), report)


@pages.post("/makes/<key>/pieces/<piece>")
def keep(key: str, piece: str) -> Response:
    """Keep how the piece was knitted, and how and when its stage was."""
    make, known, kind = _piece(key, piece)
    before = report_or_404(key, known.id if known else None)
    form, number = _form_of(make, known, kind, before), _stage_number(known)
    stored, draft = views.store().get("makes", key), ground.draft()
    document = draft.before(views.store(), stored)
    _read(draft, form, document, piece, kind, number)

    def told(changed: bool) -> Any:
        if not changed:
            return ""
        return views.changed(before, views.report_of(key, piece), say_knitted.BECAUSE)

    def again() -> Response:
        return _show(make, piece, form, draft, before, 422)

    to = f"/makes/{key}/pieces/{piece}" + (f"?stage={number}" if request.args.get("stage") else "")
    return shelf.keep(stored, draft, document, Form((*form.parts, *STAGE.parts)), again, to, "makes", told)


def _piece(key: str, piece: str) -> tuple[Make, Piece | None, PieceKind]:
    """A make, and the piece that an address names: one that is there, or a kind that nobody has written down yet."""
    make = make_of(key)
    known = by_key(make.pieces, piece)
    if known is None and piece not in get_args(PieceKind):
        abort(404, deeds.NO_SUCH_PIECE)
    return make, known, known.piece if known is not None else piece  # type: ignore[return-value]


def _form_of(make: Make, known: Piece | None, kind: PieceKind, report: Report) -> KnittedForm:
    planned, built = planned_counts(make, views.household_of(make.id), kind), CONSTRUCTIONS[make.construction]
    return knitted_form(kind, known, planned, built, next_dial(report))


def _stage_number(piece: Piece | None) -> int | None:
    """The stage that is asked for, else the one that is judged."""
    if piece is None:
        return None
    asked = whole_number(request.args.get("stage", ""), 0, len(piece.stages) - 1)
    return asked if asked is not None else stage_of(piece)


def _read(draft: Draft, form: Form, document: Document, piece: str, kind: PieceKind, number: int | None) -> None:
    """Put what was typed into the document of the make; a stage is begun where one was tapped."""
    listed = document.setdefault("pieces", [])
    entry = next((entry for entry in listed if entry["id"] == piece), None)
    if entry is None:
        entry = {"id": piece, "piece": kind}
        listed.append(entry)
    at = ("pieces", listed.index(entry))
    form.read(draft, views.unit(), entry, at)
    stages = entry.setdefault("stages", [])
    if number is None and not draft.text("kind"):
        if any(draft.text(field.name) for field in STAGE if field.kind != "choice"):
            draft.refuse("kind", wants.WHICH_STAGE)
    else:
        number = len(stages) if number is None else number
        stages[number : number + 1] = [
            STAGE.read(
                draft, views.unit(), dict(stages[number]) if number < len(stages) else {}, (*at, "stages", number)
            )
        ]


def _show(make: Make, piece: str, form: KnittedForm, draft: Draft, report: Report, status: int = 200) -> Response:
    known = by_key(make.pieces, piece)
    number, kind = _stage_number(known), known.piece if known else piece
    at, of = f"/makes/{make.id}/pieces/{piece}", Place("makes", make.id, ("pieces", piece))
    page = KnittedPage(
        make=make,
        ticks=path_of(make, report),
        piece=piece,
        kind=kind,
        heading=say_knitted.how_knitted(kind),
        strip=_strip(form, make, kind),
        form=ground.filled(form, draft, of if known is not None else None),
        stage_form=ground.filled(STAGE, draft, of.at("stages", number) if number is not None else None),
        stage=number,
        stages=_stages(known, number, at),
        kinds=STAGES,
        rows=_rows(known, CONSTRUCTIONS[make.construction]),
        read=_read_points(make, known, number, report),
        read_at=_read_at(known, number),
        beside=_beside(make, known, number),
    )
    return views.show(page, status)


def _strip(form: KnittedForm, make: Make, kind: str) -> Strip:
    """The outline beside the fields, in which the tape of the count in hand lights up."""
    keys = [str(field.path[1]) for field in form if field.path[0] == "counts"]
    strip = strip_of(keys, piece=kind, construction=make.construction, figures={})
    return replace(strip, says=[(key, point_heading(key), say_knitted.counted(key)) for key in keys])


def _stages(piece: Piece | None, number: int | None, at: str) -> list[tuple[str, str, bool]]:
    """The stages of a piece that has several."""
    if piece is None or len(piece.stages) < 2:
        return []
    return [
        (f"{at}?stage={other}", say_knitted.stage_button(stage.kind, write_day(stage.on)), other == number)
        for other, stage in enumerate(piece.stages)
    ]


def _rows(piece: Piece | None, built: Construction) -> tuple[str, str] | None:
    """How the rows above the band add up, from the lower end up; None where not all of them are known."""
    if piece is None:
        return None
    _, along = count_points(piece.piece, piece, {}, built)
    parts = [key for key in along if key not in PARTS]
    counts = [count for key in parts if key in piece.counts and (count := piece.counts[key].best)]
    return say_knitted.rows_above(counts) if len(counts) == len(parts) > 1 else None


def _read_at(piece: Piece | None, number: int | None) -> str:
    if piece is None or number is None:
        return ""
    stage = piece.stages[number]
    return say_knitted.stage_of_figures(stage.kind, write_day(stage.on), views.unit())


def _beside(make: Make, piece: Piece | None, number: int | None) -> Beside | None:
    """The photographs beside a stage; None where there is none yet."""
    if piece is None or number is None:
        return None
    return beside("makes", make.id, piece.stages[number].photographs, piece=piece.id, stage=number)


def _read_points(make: Make, piece: Piece | None, number: int | None, report: Report) -> list[ReadPoint]:
    """The points of a stage that were read, in the order of their numbers on every drawing."""
    if piece is None or number is None:
        return []
    stage = piece.stages[number]
    put_right = PutRight("makes", make.id, f"/makes/{make.id}/pieces/{piece.id}")
    place = Place("makes", make.id, ("pieces", piece.id, "stages", number))
    figures = key_figures([*stage.readings, *stage.overhangs])
    judged = {point.key: point for point in report.points} if number == stage_of(piece) else {}
    asked = {question.place.point for question in report.questions if question.place.within(place)}
    listed = []
    for name, points in (("readings", stage.readings), ("overhangs", stage.overhangs)):
        for key, readings in points.items():
            point = judged.get(key)
            tape = tape_at(point, views.tape()) if point else views.tape()
            mm = shown_measured_mm(point, tape) if point and name == "readings" else None
            taken = say_knitted.taken_as(tape.bare(mm)) if mm is not None else ""
            listed.append(
                ReadPoint(
                    key,
                    figures[key],
                    point_heading(key),
                    put_right.of(place.at(name, key), readings),
                    say_knitted.ASKED_ABOUT if key in asked else taken,
                )
            )
    return sorted(listed, key=lambda entry: (entry.figure, ORDER[entry.key]))
