"""A make is finished: its points again, sewn, what hangs with it, and the next one like it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from flask import Blueprint, Response
from markupsafe import Markup

from fitcheck.advice.left import PAIRED, kinds_left, pair_there, pieces_left
from fitcheck.advice.rounds import every_piece_read
from fitcheck.drawing.garments import two_over_one_another
from fitcheck.drawing.rulers import rulers, span_of
from fitcheck.estimates.numbers import Quantity
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import PieceKind
from fitcheck.reports.finished import Finished, FinishedPoint, finished
from fitcheck.reports.next_make import next_of
from fitcheck.words import deeds
from fitcheck.words import finished as say_finished
from fitcheck.words.dates import no_day, read_day, write_day
from fitcheck.words.finished import FinishedSaid, HangsWith, PointSaid
from fitcheck.words.points import shown_measured_mm
from webui.finishing import SewnRead, finish
from webui.forms.drafts import Draft
from webui.forms.fields import Filled, Form, called
from webui.forms.finished import FINISHED, READ, refuse_unread
from webui.pages import given_back, ground, notices, views
from webui.pages.asked import Asked, asked_about
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.path import FINISHED_TICK, Tick, path_of
from webui.said_then import said_then
from webui.service import service

pages = Blueprint("finish", __name__)
ALONE, MEASURE, HANG = "alone", "measure", "hang"
"""Which button was pressed: finished and hung nowhere; finished, hung up, and measured with the long form; hung up."""


@frozen
class SewnPoint:
    """One point of the sewn garment as the page lists it.

    field   name of its field;  figure: its number on the drawing, None where it has none
    off_mm  how far off it is [mm]
    """

    key: str
    field: str
    figure: int | None
    code: str
    off_mm: float
    told: PointSaid
    ruler: Markup


@shown_by("finish.html", "makes")
class FinishPage(Page):
    """How a finished make came out.

    garment  that it hangs in the wardrobe as;  None where it does not
    svg      what was wanted, and over it what was measured, else what the pieces came to
    unread, off, matching  the points: what is still to be read first, and what matches last
    hangs    what hangs with it
    questions  what was typed of the garment and is unlikely: left out until it is answered
    asked    the button that was pressed before it was asked whether it is finished; empty where that is not asked
    """

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled
    garment: Garment | None
    said: FinishedSaid
    svg: Markup
    unread: Sequence[SewnPoint]
    off: Sequence[SewnPoint]
    matching: Sequence[SewnPoint]
    hangs: Sequence[HangsWith]
    questions: Sequence[Asked]
    asked: str


@pages.get("/makes/<key>/finish")
@given_back.draws_form
def ask(key: str) -> Response:
    """How it came out; before that, when it was finished: today is preset."""
    make = make_of(key)
    return _page(make, ground.begun({"finished": write_day(make.finished or date.today())}))


@pages.post("/makes/<key>/finish")
def keep(key: str) -> Response:
    """Keep the day, hang the sweater in the wardrobe and keep its readings; sent twice it is once."""
    make, draft = make_of(key), ground.draft()
    day, do = read_day(draft.text("finished")), draft.text("left") or draft.text("do") or HANG
    if day is None:
        draft.refuse("finished", no_day(draft.text("finished")))
    refuse_unread(draft, ground.unit())
    if not draft.fits:
        return _page(make, draft, 422)
    if not draft.text("left") and (left := _left(make)):
        one_there = [kind for kind in PAIRED if pair_there(make, kind)]
        return _page(make, draft, said=say_finished.still_to_knit(left, one_there), asked=do)
    before, read = views.store().get("makes", key), SewnRead(draft, ground.unit())
    wardrobe = do != ALONE or read.count > 0 or make.became is not None
    try:
        done = finish(service(), key, day, wardrobe=wardrobe, read=read)
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return _page(make, draft, 422)
    hung, changed = done.record.became, done if done.revision != before.revision else None
    if make.became is not None and read.count:
        kept = read.added(service(), make.became)
        if kept is None:
            return _page(make_of(key), draft, 422)
        return ground.go(f"/makes/{key}/finish", deeds.readings_kept(read.count), kept)
    to = f"/wardrobe/{hung}/measure" if do == MEASURE and hung else f"/makes/{key}"
    to = f"/makes/{key}/finish" if read.count else to
    return ground.go(to, deeds.finished(make.name, hung=hung is not None, readings=read.count), changed)


def _left(make: Make) -> list[PieceKind]:
    """The pieces of a make that is not finished yet of which nothing says that they were knitted.

    One sleeve speaks for both, as on the path, whose last tick is *Finished* then.
    """
    done = make.finished is not None or every_piece_read(make)
    return [] if done else pieces_left(make, kinds_left(make, None))


@pages.post("/makes/<key>/next")
def begin_next(key: str) -> Response:
    """Begin the next make like this one: its fabric, dial, counts and fit; the same form sent again begins one."""
    make, household, draft = make_of(key), ground.household(), ground.draft()
    name = say_finished.next_name(make.name, [other.name for other in household.makes])
    document = {**next_of(make, household), "name": name, "started": date.today().isoformat()}
    kept = draft.keep_new(views.store(), "makes", name, document)
    if kept is None:
        return notices.go(f"/makes/{key}", "; ".join(refusal.accepts for refusal in draft.refusals.values()))
    return notices.go(f"/makes/{kept.key}", say_finished.begun_from(make.name), kept)


def _page(
    make: Make, draft: Draft, status: int = 200, *, said: FinishedSaid | None = None, asked: str = ""
) -> Response:
    household = ground.household()
    answer, report = finished(household, make.id), report_or_404(make.id, None)
    garment = by_key(household.garments, make.became)
    svg, figures = _drawing(make, answer)
    points = _listed(answer, figures)
    knitted = garment.knitted if garment is not None else None
    questions = asked_about("garments", garment, household) if garment is not None else []
    page = FinishPage(
        make,
        path_of(make, report, here=FINISHED_TICK),
        ground.filled(Form((*FINISHED, *READ)), draft),
        garment,
        said or say_finished.first_answered(say_finished.finished_said(answer, ground.tape()), len(questions)),
        ground.svg_markup(svg),
        [point for point in points if point.code == "not_measured"],
        [point for point in points if point.code not in ("not_measured", "matches")],
        [point for point in points if point.code == "matches"],
        (
            *(say_finished.said_and_came(answer, said_then(service(), make)) if answer.readings else ()),
            *say_finished.hangs_with(answer, make, knitted, _yarn(make, household), ground.tape()),
        ),
        questions,
        asked,
    )
    return views.show(page, status)


def _yarn(make: Make, household: Household) -> str:
    return called(household.yarns, make.yarn)


def _drawing(make: Make, answer: Finished) -> tuple[str, dict[str, int]]:
    """What was wanted (dashed), and over it what was measured, else what the pieces came to (full)."""
    wanted = {told.point.key: told.point.wanted for told in answer.points if told.point.wanted is not None}
    over = {told.point.key: mm for told in answer.points if (mm := _came_to(told)) is not None}
    return two_over_one_another(
        wanted,
        over,
        ground.unit(),
        say_finished.drawn(make.name),
        constructions=(make.construction, make.construction),
        mark=ground.mark(),
    )


def _came_to(told: FinishedPoint) -> Quantity | None:
    """What a point measures as it stands in the list, else what the plan came to."""
    measured = told.point.measured
    if measured is not None:
        shown_mm = shown_measured_mm(told.point, ground.tape())
        return measured if shown_mm is None else replace(measured, value=shown_mm)
    if told.planned_mm is None:
        return None
    return Quantity(told.planned_mm, told.planned_mm, told.planned_mm, 0.9, 0.0, None, "mm")


def _listed(answer: Finished, figures: Mapping[str, int]) -> list[SewnPoint]:
    """The points in the order of their numbers, each with its ruler."""
    tape, told = ground.tape(), sorted(answer.points, key=lambda told: figures.get(told.point.key, len(figures) + 1))
    read = [point.point for point in told if point.point.measured is not None]
    # The first that is shown has the axis of all: what is off stands above what matches.
    read.sort(key=lambda point: point.code == "matches")
    drawn = rulers(read, tape.unit, span_of(read, tape.unit), ids="axis")
    ruler = dict(zip((point.key for point in read), drawn, strict=True))
    return [
        SewnPoint(
            point.point.key,
            f"at_{point.point.key}",
            figures.get(point.point.key),
            point.point.code,
            point.point.difference.value,
            say_finished.point_said(point, tape),
            ground.svg_markup(ruler.get(point.point.key, "")),
        )
        for point in told
    ]
