"""One make, the page that matters: the answer, the drawing, the points, what explains it, the path."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, get_args
from urllib.parse import urlencode

from flask import Blueprint, Response, abort, jsonify, request
from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.rounds import every_piece_read
from fitcheck.drawing.details import details
from fitcheck.drawing.laid import PLACES, At
from fitcheck.drawing.look import PAGE
from fitcheck.drawing.outline import kind_of
from fitcheck.drawing.overlay import AT_WORDS, overlay
from fitcheck.drawing.rulers import ruler, span_of
from fitcheck.drawing.sheet import sheet
from fitcheck.drawing.tapes import key_figures
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import RecordsError
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.records.questions.question import Question
from fitcheck.reports.choose import ReportError
from fitcheck.reports.granted import DIAL_UNSAID
from fitcheck.reports.shapes import Advice, PointReport, Report
from fitcheck.store.faults import NotFound, StaleWrite, StillNamed
from fitcheck.store.stored import Stored
from fitcheck.words import pages as say
from fitcheck.words.costs import costs_taken_over
from fitcheck.words.measure_again import asked_about
from fitcheck.words.newer import measured_again
from fitcheck.words.phone import STALE
from fitcheck.words.phrases import spaced
from fitcheck.words.rest import RestTold, rest_title, rest_told, right_sweater_question
from fitcheck.words.said import Said
from webui.forms.drafts import Refusal
from webui.forms.fields import Document
from webui.pages import ground, notices, views
from webui.pages.asked import Asked, answered
from webui.pages.context import Page, shown_by
from webui.pages.make import right_sweater
from webui.pages.make import told as make_told
from webui.pages.page_cache import kept
from webui.pages.reading_lines import ReadingLine, lines_of, where_of
from webui.pages.views import svg_markup
from webui.taking import as_counts

pages = Blueprint("makes", __name__)

SOURCES = {
    "garment": "the sweater that it must fit",
    "numbers": "the numbers that were given",
    "ease": "body and ease",
    "size_table": "the chosen size of the pattern",
    "overhang": "the overhang alone: the piece was laid on the sweater",
}


WAITING = ("measure_again", "block_again", "rip_back", "knit_again")
"""Advice after which the piece on the table is not done."""


@pages.get("/makes/<key>")
def make(key: str) -> Response:
    """The answer on a make; `piece` chooses a piece, `at` where the two outlines are lined up."""
    return kept(lambda: show(key))


@shown_by("make.html", "makes")
class MakePage(Page):
    """Render the page of a make, also when a form on it was refused."""

    make: Make
    report: Report
    refusals: dict[str, Any]
    typed: Mapping[str, str]
    answer: Said
    stamp: tuple[str, ...]
    facts: list[tuple[str, str]]
    acts: list[Act]
    ways: list[tuple[str, str, str, str]]
    not_here: str
    other_sweater: str
    costs: str
    newer: str
    rest: RestTold | None
    to_take: str
    so_far: str
    at: At
    places: list[tuple[At, str]]
    overlay: Markup
    not_drawn: str
    windows: list[tuple[Markup, str]]
    sheet: Markup
    points: list[dict[str, object]]
    refused: list[str]
    wanted: str
    tape_alone: str
    likely: str
    explained: tuple[str, ...]
    gauge: list[str]
    fabric: list[str]
    sizes: list[str]
    assumed: list[str]
    helps: Sequence[str]
    questions: list[tuple[Asked, str, Question]]
    cautions: list[str]
    count: dict[str, Any] | None
    dial_asked: str
    why_dial: str
    as_read: make_told.AsReadAsked | None
    steps: list[tuple[str, str, str]]
    pieces: list[tuple[str, str]]


def show(key: str, *, status: int = 200, refusals: dict[str, Any] | None = None) -> Response:
    """Render the page of a make, also when a form on it was refused."""
    record = make_of(key)
    report = report_or_404(key, request.args.get("piece") or None)
    unit, mark, tape = views.unit(), views.mark(), views.tape()
    finished = record.finished is not None
    at: At = next((place for place in PLACES if place == request.args.get("at")), "shoulders")
    figures = key_figures(point.key for point in report.points)
    span = span_of(report.points, unit)
    household = views.household_of(key, request.args.get("piece") or None)
    lines = lines_of(report, record, household)
    advice = report.recommendation if isinstance(report.recommendation, Advice) and not finished else None
    stored = views.store().get("makes", key)
    response = views.show(
        MakePage(
            make=record,
            report=report,
            refusals=refusals or {},
            typed=request.form,
            answer=words.finished_words(report) if finished else views.answer_of(report),
            stamp=words.stamp_parts(report.head),
            facts=_facts(report) if advice else [],
            acts=_acts(report, record),
            ways=_ways(report) if advice else [],
            not_here=_not_here(report) if advice else "",
            other_sweater=right_sweater_question(report.right_sweater, report.head, tape)
            if report.right_sweater
            else "",
            newer=measured_again(report.newer, report.head) if report.newer else "",
            costs=costs_taken_over(record.costs, tape),
            rest=rest_told(report.rest, tape, report.taken) if report.rest else None,
            to_take=json.dumps(as_counts(report.to_take)) if report.to_take else "",
            so_far="" if finished else _so_far(report),
            at=at,
            places=_places(report),
            overlay=svg_markup(overlay(report, unit, at=at, construction=record.construction, mark=mark, look=PAGE)),
            not_drawn=CONSTRUCTIONS[record.construction].not_drawn,
            windows=[
                (svg_markup(svg), told)
                for svg, told in details(report, unit, at=at, construction=record.construction, mark=mark, look=PAGE)
            ],
            sheet=svg_markup(
                sheet(
                    report,
                    unit,
                    at=at,
                    construction=record.construction,
                    dated=date.today().isoformat(),
                    revision=f"revision {stored.revision}",
                    mark=mark,
                )
            ),
            points=[
                {
                    "key": point.key,
                    "figure": figures[point.key],
                    "title": words.point_title(point),
                    "code": point.code,
                    "difference": point.difference.value,
                    "told": words.point_figures(point, tape),
                    "open": words.too_close_sentence(report, point, tape),
                    "ruler": svg_markup(ruler(point, unit, span, look=PAGE)),
                    "read": _grouped(_lines(point, lines.get(point.key, []))),
                    "source": SOURCES.get(point.source, ""),
                }
                for point in sorted(report.points, key=lambda point: figures[point.key])
            ],
            refused=[words.refused_sentence(point, reason) for point, reason in report.refused.items()],
            wanted=words.wanted_sentence(report, tape) if report.points else "",
            tape_alone=words.tape_alone_sentence(report, tape) if report.points else "",
            likely=words.likely_sentence(),
            explained=words.explanation_sentences(report, tape) if report.points else (),
            gauge=[words.gauge_sentence(gauge, report.head, tape) for gauge in report.gauge]
            + [words.ease_sentence(ease, tape) for ease in report.ease],
            fabric=make_told.fabric_told(report, tape, finished=finished),
            sizes=make_told.sizes_told(report, tape),
            assumed=[
                words.assumed_sentence(assumed, tape, head=report.head, points=report.points)
                for assumed in report.assumed
            ],
            helps=[] if finished or _looked_at(report) else words.help_sentences(report),
            questions=[(Asked(question), _asked_words(report, question), question) for question in report.questions],
            cautions=[words.caution_sentence(caution) for caution in report.cautions],
            count=None if finished else _count_asked(report, record),
            dial_asked=_dial_asked(report) if not finished else "",
            why_dial=_why_dial(report),
            as_read=make_told.as_read_asked(report),
            steps=path_of(record, report),
            pieces=[(piece.id, spaced(piece.id)) for piece in record.standing],
        ),
        status,
    )
    return views.looked(response, key, report.digest)


def _places(report: Report) -> list[tuple[At, str]]:
    """Where the two outlines can be lined up, each with its word; a place that another stands for is left out."""
    words_at = AT_WORDS[kind_of(report.head.piece_kind or "back")]
    by_word = {words_at[place]: place for place in reversed(PLACES)}
    return [(place, word) for word, place in reversed(by_word.items())]


@pages.get("/makes/<key>/now")
def now(key: str) -> Response:
    """The digest of the answer as it is now, and what came in last: an open page asks whether it has grown stale."""
    report = report_or_404(key, None)
    record = make_of(key)
    named = [("makes", key), ("garments", record.fits.garment), ("size_tables", record.size_table)]
    named += [("swatches", swatch) for swatch in record.swatches]
    latest = max(views.store().get(kind, named_key).at for kind, named_key in named if named_key)
    return jsonify(digest=report.digest, readings=report.head.readings, at=latest, say=STALE)


def make_of(key: str) -> Make:
    """The record of a make, or a page that says it is not there."""
    try:
        record = views.store().get("makes", key).record
    except NotFound as error:
        abort(404, str(error))
    assert isinstance(record, Make)
    return record


def report_or_404(key: str, piece: str | None) -> Report:
    """The report on a make and piece, or a page that says which there are."""
    try:
        return views.report_of(key, piece)
    except (NotFound, ReportError) as error:
        abort(404, str(error))


def measure_url(record: Make, point: str | None = None, piece: str | None = None, *, another: bool = False) -> str:
    """Where a piece of the make is read: the measuring walk, at one point of it, or at the start of another piece."""
    asked = {"piece": piece, "points": point, "point": point, "begin": "1" if another else None}
    said = urlencode({name: value for name, value in asked.items() if value})
    return f"/makes/{record.id}/walk{'?' if said else ''}{said}"


# The parts of the page


def _facts(report: Report) -> list[tuple[str, str]]:
    return [
        ("Why", words.why(report, views.tape())),
        ("Cost", words.cost(report, views.tape())),
        ("Chance that every point fits", words.chance(report)),
    ]


def _looked_at(report: Report) -> bool:
    """Whether a reading that lies far off is what the answer itself asks about."""
    return isinstance(report.recommendation, Advice) and report.recommendation.reason == "wild_reading"


def _asked_words(report: Report, question: Question) -> str:
    """A question in words; in few where the answer above has asked it in full."""
    whole = views.marked(words.question_asked(question), question.read)
    advice = report.recommendation
    if isinstance(advice, Advice) and advice.reason == "wild_reading" and advice.about:
        asked = asked_about(report, advice.about)
        if asked is not None and asked.place == question.place:
            return say.asked_above(words.point_name(advice.about), question.read)
    return whole


def _lines(point: PointReport, lines: list[ReadingLine]) -> list[ReadingLine]:
    """The readings behind a point; the reference's say so where another source came before them."""
    if point.source in ("garment", "overhang"):
        return lines
    aside = "not used: what is wanted comes from elsewhere"
    return [replace(line, told=aside) if line.place.kind == "garments" else line for line in lines]


def _grouped(lines: list[ReadingLine]) -> list[tuple[str, list[ReadingLine]]]:
    """Readings under what they were read on, which then stands there once."""
    groups: dict[str, list[ReadingLine]] = {}
    for line in lines:
        groups.setdefault(line.whose, []).append(line)
    return list(groups.items())


def _so_far(report: Report) -> str:
    """The verdict at the open point that decides most, while every point was read only once or so."""
    if report.head.looks > 1 or report.head.readings > 2 * max(1, len(report.points)):
        return ""
    advice = report.recommendation
    still = [point for point in report.points if point.code == "too_close"]
    # Before a wash it is the wash that tells, not one more reading of a point.
    if not still or (isinstance(advice, Advice) and advice.reason == "wash_and_block"):
        return ""
    decides = max(still, key=lambda point: point.weight * (1 - point.chance_within))
    return words.so_far_sentence(decides, views.tape())


@dataclass(frozen=True, slots=True)
class Act:
    """A button under the answer."""

    word: str
    to: str
    main: bool = False


def _acts(report: Report, record: Make) -> list[Act]:
    """The next act as the one main button, and what else is near."""
    measure, fits = measure_url(record), f"/makes/{record.id}/fits"
    advice = report.recommendation
    if record.finished is not None:
        return [Act("Read a piece again", measure)]
    if (why := make_told.copy_asked(report)) is not None:
        return _acts_before_copied(report, record, why)
    if isinstance(advice, CannotSay):
        first = Act(say.read_it(words.piece_name(report.head)), measure, True)
        if advice.code == "no_piece":
            first = Act("Read a piece", measure, True)
        elif advice.code == "nothing_to_compare" and not record.fits.is_said:
            first = Act("Say what it must fit", fits, True)
        elif advice.code == "not_copied":
            first = Act(say.GIVE_NUMBERS, fits, True)
        return [first] if first.to == fits else [first, Act("What it must fit", fits)]
    again = Act("Read a point again", measure)
    # What is finished anew is read at a stage of its own, so that nothing is averaged over two shapes of the piece.
    anew = measure_url(record, piece=report.head.piece, another=True)
    if advice.action == "measure_again":
        if advice.reason == "wash_and_block":
            return [Act("Read it again once it is washed and dry", anew, True)]
        if advice.reason == "wild_reading":
            return [Act("Look at what was typed", "#questions", True), again]
        if advice.reason == "another_dial":
            return [Act("Say where the dial stood", "#dial-asked", True), again]
        if advice.reason == "out_of_shape":
            return [Act("Read it again once it is dry", anew, True)]
        if advice.reason == "miscount" and advice.about:
            return [Act("Type what you count", "#count", True), again]
        if advice.side == "reference" and report.head.reference and record.fits.garment:
            to = f"/wardrobe/{record.fits.garment}/measure"
            return [Act(say.read_again(words.reference_name(report.head)), to, True), again]
        what = f"the {words.point_name(advice.about)}" if advice.about else "it"
        to = measure_url(record, advice.about, report.head.piece)
        return [Act(say.read_again(what), to, True)]
    if advice.action == "block_again":
        return [Act("Read it again once it is dry", anew, True)]
    rest = report.rest
    if rest and rest.changes:
        return [Act(rest_title(rest), "#rest", True), again]
    if advice.action == "knit_again" and rest:
        return [Act("Counts for knitting it again", "#rest", True), again]
    following = [Act("Read the next piece", measure_url(record, another=True), True), again]
    return [*following, Act(rest_title(rest), "#rest")] if rest else following


def _acts_before_copied(report: Report, record: Make, why: str) -> list[Act]:
    """The question whether the garment is copied as it was read, and the way round it."""
    if why == "worn":
        other = Act(say.read_again(words.reference_name(report.head)), f"/wardrobe/{record.fits.garment}/measure")
    else:
        other = Act("What it must fit", f"/makes/{record.id}/fits")
    return [Act(say.ANSWER, "#as-read", True), other]


def _ways(report: Report) -> list[tuple[str, str, str, str]]:
    """Every other way to go on that can be gone: its name, what it would bring, the chance and the cost."""
    advice = report.recommendation
    # What hangs on an unanswered question has no counts or chances yet.
    if isinstance(advice, CannotSay) or words.unanswered(report):
        return []
    unit_of_work = words.unit_of_work(report.head)
    rows = []
    for action in report.actions:
        if action.code == advice.action or action.impossible is not None:
            continue
        name = words.action_name(action.code, action)
        chance = words.chance_words(action.chance) if action.chance is not None else ""
        brings = words.action_line(report, action, views.tape())
        rows.append((ground.capital(name), brings, chance, words.work_words(action.cost, unit_of_work)))
    return rows


def _not_here(report: Report) -> str:
    """The ways that cannot be gone, each with its reason, in one line; empty where all can be."""
    advice = report.recommendation
    if isinstance(advice, CannotSay) or words.unanswered(report):
        return ""
    told = []
    for action in report.actions:
        if action.code != advice.action and action.impossible is not None:
            told.append(f"{words.action_name(action.code, action)}, {words.because_left_out(report, action)}")
    return say.not_possible(told)


def _count_asked(report: Report, record: Make) -> dict[str, Any] | None:
    """The count that helps most: the doubted one, else the stitches across the chest where nobody gave them."""
    piece = by_key(record.pieces, report.head.piece)
    advice = report.recommendation
    if piece is None:
        return None
    if isinstance(advice, Advice) and advice.reason == "miscount" and advice.about:
        key, why = advice.about, "doubted"
    elif piece.piece in POINTS["chest"].pieces and "chest" not in piece.counts:
        key, why = "chest", "next_piece"
    elif piece.piece in POINTS["upper_arm"].pieces and "upper_arm" not in piece.counts:
        key, why = "upper_arm", "stitch"
    else:
        return None
    return {"key": key, "asked": say.count_asked(key), "why": say.WHY_COUNT[why], "piece": piece.id}


def dial_doubted(report: Report) -> bool:
    """Whether it is asked first whether the dial stood where it is written."""
    return isinstance(report.recommendation, Advice) and report.recommendation.reason == "another_dial"


def _dial_asked(report: Report) -> str:
    """Asks at which dial the piece was knitted: nobody said it, or another is as likely; empty otherwise."""
    unsaid = any(assumed.code == DIAL_UNSAID for assumed in report.assumed)
    return say.dial_asked(words.piece_name(report.head)) if unsaid or dial_doubted(report) else ""


def _why_dial(report: Report) -> str:
    return say.WHY_DIAL["doubted" if dial_doubted(report) else "unsaid"]


def path_of(record: Make, report: Report) -> list[tuple[str, str, str]]:
    """The order of the work: name, where it is, and done, next or later. Steps are never locked."""
    fits = record.fits
    read = report.head.readings > 0
    here = f"/makes/{record.id}"
    waits = isinstance(report.recommendation, Advice) and report.recommendation.action in WAITING
    steps = [
        ("What it must fit", f"{here}/fits", bool(fits.is_said or read)),
        ("The fabric", f"{here}/fabric", bool(record.swatches)),
        ("Which size", f"{here}/sizes", bool(record.size or record.size_table)),
        ("The test piece", measure_url(record), read and report.head.stage == "blocked" and not waits),
    ]
    if report.rest or len(record.standing) > 1:
        steps.append(("The rest", f"{here}#rest" if report.rest else measure_url(record), every_piece_read(record)))
    if record.yarn:
        steps.append(("The yarn", f"/swatches/yarns/{record.yarn}", True))
    if record.finished:
        # What was never done for a sweater that is finished comes no more.
        steps = [step for step in steps if step[2] or step[0] in ("The test piece", "The rest")]
        steps = [(name, to, True) for name, to, _ in steps]
        steps.append(("Finished", f"/makes/{record.id}/settings", True))
    # Once a piece lies on the table, what comes before it is not waited for.
    begin = 3 if read else 0
    open_at = next((place for place in range(begin, len(steps)) if not steps[place][2]), len(steps))
    return [
        (name, to, "done" if done else "next" if place == open_at else "later")
        for place, (name, to, done) in enumerate(steps)
    ]


# What is done on the page


def _go_back(key: str, before: Report, because: str, done: Stored) -> Response:
    """Go back to the page, which says what a change did to the answer that was there before."""
    piece = _piece_asked()
    to = f"/makes/{key}" + (f"?piece={piece}" if piece else "")
    return notices.go(to, views.changed(before, views.report_of(key, piece), because), done)


def _piece_asked() -> str | None:
    return request.form.get("of") or None


@pages.post("/makes/<key>/aside")
def aside(key: str) -> Response:
    """Set a reading aside with a reason; it stays and does not count any more."""
    before = report_or_404(key, _piece_asked())
    # One button is one field, so place and reading stand in it together.
    place, _, reading = request.form.get("which", "").rpartition(" ")
    reason = request.form.get("reason", "").strip() or ground.NO_REASON
    try:
        done = views.store().set_aside(where_of(place), reading, reason[:400])
    except NotFound as error:
        abort(404, str(error))
    return _go_back(key, before, "a reading set aside", done)


@pages.post("/makes/<key>/answer")
def answer(key: str) -> Response:
    """Answer a question: what was meant, typed again, or kept as it is."""
    before = report_or_404(key, _piece_asked())
    return answered(
        map(Asked, before.questions),
        f"/makes/{key}",
        lambda refusals: show(key, status=422, refusals=refusals),
        lambda done, said: _go_back(key, before, said, done),
    )


@pages.post("/makes/<key>/right-sweater")
def right(key: str) -> Response:
    """Keep the sweater that the piece is far from: its readings count as they stand, and it is not asked again."""
    before = report_or_404(key, _piece_asked())
    store, record = views.store(), make_of(key)
    if before.right_sweater is None:
        return notices.go(f"/makes/{key}", "That question is answered already.")
    stored = store.get("makes", key)
    try:
        done = store.put("makes", key, right_sweater.kept(before, record, stored.doc), stored.revision)
    except StaleWrite:
        return notices.go(f"/makes/{key}", "It was changed on another device just now. Look again.")
    return _go_back(key, before, "the sweater kept", done)


@pages.post("/makes/<key>/count")
def count(key: str) -> Response:
    """Keep a count of stitches or rows of a piece, as counted on it."""
    before = report_or_404(key, _piece_asked())
    stored = views.store().get("makes", key)
    document, point = stored.doc, request.form.get("point", "")
    record = next((piece for piece in document.get("pieces", []) if piece["id"] == before.head.piece), None)
    if record is None or point not in POINTS:
        abort(404, "That piece or point is not there.")
    counts = record.setdefault("counts", {}).setdefault(point, {})
    return _keep_count(before, stored, document, counts, "counted", "count", "counted")


@pages.post("/makes/<key>/planned")
def planned(key: str) -> Response:
    """Keep a planned count of a piece that is still to be knitted."""
    before = report_or_404(key, _piece_asked())
    stored = views.store().get("makes", key)
    document, kind, point = stored.doc, request.form.get("kind", ""), request.form.get("point", "")
    if kind not in get_args(PieceKind) or point not in POINTS or kind not in POINTS[point].pieces:
        abort(404, "That piece or point is not there.")
    counts = document.setdefault("planned", {}).setdefault(kind, {})
    return _keep_count(before, stored, document, counts, point, f"planned-{kind}", f"planned for the {spaced(kind)}")


def _keep_count(
    before: Report, stored: Stored, document: Document, counts: dict[str, Any], name: str, field: str, because: str
) -> Response:
    """Keep the count that was typed; shown again where it is none.

    counts, name  where in the document of the make it goes
    field         of the form, beside which it is refused
    """
    text = request.form.get("count", "").strip()
    if not (text.isdecimal() and text.isascii() and len(text) < 6 and 1 <= int(text) <= 5000):
        return show(stored.key, status=422, refusals={field: Refusal(text, "A whole number, such as 122.")})
    counts[name] = int(text)
    try:
        done = views.store().put("makes", stored.key, document, stored.revision)
    except RecordsError as error:
        return show(stored.key, status=422, refusals={field: Refusal(text, words.accepted(error.faults[0].accepts))})
    return _go_back(stored.key, before, f"{text} {because}", done)


@pages.post("/makes/<key>/delete")
def delete(key: str) -> Response:
    """Delete a make: it is kept, and one button brings it back."""
    store = views.store()
    try:
        stored = store.get("makes", key)
        gone = store.delete("makes", key, stored.revision)
    except NotFound as error:
        abort(404, str(error))
    except StillNamed as error:
        return notices.go(f"/makes/{key}", str(error))
    return notices.go("/makes", f"Deleted: {stored.doc['name']}.", gone)


@pages.post("/makes/<key>/bring-back")
def bring_back(key: str) -> Response:
    """Bring a deleted make back."""
    try:
        views.store().bring_back("makes", key)
    except NotFound as error:
        abort(404, str(error))
    return notices.go(f"/makes/{key}", "It is back.")
