"""What a make's page asks beside its answer: questions about what was typed, a count, the dial, the sweater."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck import words
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS
from fitcheck.records.questions.question import Question
from fitcheck.reports.granted import DIAL_UNSAID
from fitcheck.reports.shapes import Advice, Report
from fitcheck.words import pages as say
from fitcheck.words.costs import costs_taken_over
from fitcheck.words.measure_again import asked_about
from fitcheck.words.names import called, names_of
from fitcheck.words.newer import measured_again
from fitcheck.words.phrases import spaced
from fitcheck.words.rest import right_sweater_question
from webui.pages import views
from webui.pages.asked import Asked
from webui.pages.make import told as make_told

MOST_ASKED = 50
"""Questions on a page, at most: whoever answers these is asked the rest."""


@frozen
class CountAsked:
    """A count that is asked for: its point, the question, what it is asked for, and what was planned, if anything."""

    key: str
    asked: str
    why: str
    planned: str = ""


@frozen
class Asks:
    """Everything that is asked; what is empty is not.

    other_sweater  whether it is the right sweater;  newer: whether the newer measuring is to be taken
    costs          whether costs of an older file are kept
    questions      what was typed and is unlikely, each with its answers; more: how many more there are, in words
    dial, why_dial  at which dial the piece was knitted
    as_read, felted  whether the garment is copied as it was read; whether the piece felted
    """

    other_sweater: str
    newer: str
    costs: str
    questions: tuple[tuple[Asked, str, Question], ...]
    more: str
    count: CountAsked | None
    dial: str
    why_dial: str
    as_read: make_told.AsReadAsked | None
    felted: str


def asks_of(report: Report, record: Make) -> Asks:
    """Say what a report asks."""
    tape = views.tape()
    finished = record.finished is not None
    other, above = report.right_sweater, _asked_above(report)
    asked = report.questions[:MOST_ASKED]
    return Asks(
        right_sweater_question(other, report.head, tape) if other else "",
        measured_again(report.newer, report.head) if report.newer else "",
        costs_taken_over(record.costs, tape),
        tuple((Asked(about), _asked_words(report, record, about, above), about) for about in asked),
        say.more_asked(len(report.questions) - len(asked)),
        None if finished else _count_asked(report, record),
        "" if finished else _dial_asked(report),
        say.WHY_DIAL["doubted" if dial_doubted(report) else "unsaid"],
        make_told.as_read_asked(report),
        say.felted_asked(words.piece_name(report.head)) if _doubted_first(report, "felted") else "",
    )


def _asked_above(report: Report) -> Question | None:
    """The question that the answer above has asked in full."""
    advice = report.recommendation
    if not isinstance(advice, Advice) or advice.reason != "wild_reading":
        return None
    return asked_about(report, advice.about)


def _asked_words(report: Report, record: Make, question: Question, above: Question | None) -> str:
    """A question in words; in few where it is the one that was asked above."""
    if above is not None and above.place == question.place and above.place.point is not None:
        return say.asked_above(words.point_name(above.place.point), question.read)
    return say.asked_of(_whose(report, record, question), views.marked(words.question_asked(question), question.read))


def _whose(report: Report, record: Make, question: Question) -> str:
    """What a question is about by its name; empty where that is the piece on the table, or the make."""
    place = question.place
    if (place.kind, place.key) != ("makes", record.id):
        return called(place.kind, place.key, names_of(views.household_of(record.id)))
    part, name = (*place.path, "", "")[:2]
    piece = by_key(record.pieces, str(name)) if part == "pieces" and name != report.head.piece else None
    return spaced(piece.piece) if piece is not None else ""


def _count_asked(report: Report, record: Make) -> CountAsked | None:
    """The count that helps most: the doubted one, else the stitches across the chest where nobody gave them."""
    piece = by_key(record.pieces, report.head.piece)
    advice = report.recommendation
    if piece is None:
        return None
    widths: Mapping[str, str] = {"chest": "next_piece", "upper_arm": "stitch"}
    if isinstance(advice, Advice) and advice.reason == "miscount" and advice.about:
        return CountAsked(advice.about, say.count_asked(advice.about), say.WHY_COUNT["doubted"])
    for key, why in widths.items():
        if piece.piece in POINTS[key].pieces and key not in piece.counts:
            planned = planned_counts(record, views.household_of(record.id), piece.piece).get(key)
            if planned is not None:
                return CountAsked(key, say.count_asked(key), say.count_planned(planned), str(planned))
            return CountAsked(key, say.count_asked(key), say.WHY_COUNT[why])
    return None


def _doubted_first(report: Report, code: str) -> bool:
    return isinstance(report.recommendation, Advice) and report.recommendation.reason == code


def dial_doubted(report: Report) -> bool:
    """Whether it is asked first whether the dial stood where it is written."""
    return _doubted_first(report, "another_dial")


def _dial_asked(report: Report) -> str:
    """Asks at which dial the piece was knitted: nobody said it, or another is as likely; empty otherwise."""
    unsaid = any(assumed.code == DIAL_UNSAID for assumed in report.assumed)
    return say.dial_asked(words.piece_name(report.head)) if unsaid or dial_doubted(report) else ""
