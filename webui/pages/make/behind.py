"""What stands behind an answer: the ways, what explains it, fabric, size, what was taken for granted."""

from __future__ import annotations

from fitcheck import words
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import ActionReport, Advice, Report
from fitcheck.words import pages as say
from fitcheck.words.phrases import capital
from webui.pages import views
from webui.pages.earlier import PutRightLine, put_right_lines
from webui.pages.make import told as make_told


@frozen
class Way:
    """One way to go on: its code and name, what it would bring, the chance that all fits and what it costs."""

    code: str
    name: str
    brings: tuple[str, ...]
    chance: str
    cost: str


@frozen
class Behind:
    """The parts of the one fold; an empty one is not shown.

    ways      the advised one first;  not_here: those that cannot be gone, each with its reason
    granted   the heading of what was assumed
    put_right figures that were typed otherwise before
    """

    ways: tuple[Way, ...]
    not_here: tuple[str, ...]
    explained: tuple[str, ...]
    gauge: tuple[str, ...]
    fabric: tuple[str, ...]
    sizes: tuple[str, ...]
    wanted: str
    measured: str
    likely: str
    granted: str
    assumed: tuple[str, ...]
    helps: tuple[str, ...]
    cautions: tuple[str, ...]
    put_right: tuple[PutRightLine, ...]


def behind(report: Report, record: Make) -> Behind:
    """Say what stands behind the answer of a report."""
    tape, minded = views.tape(), words.minded(report)
    finished, read = record.finished is not None, bool(report.points)
    settled = isinstance(report.recommendation, Advice) and not finished
    gauge = [words.gauge_sentence(gauge, report.head, tape) for gauge in report.gauge]
    return Behind(
        _ways(report) if settled else (),
        _not_here(report) if settled else (),
        words.explanation_sentences(report, tape) if read and not isinstance(report.explanation, CannotSay) else (),
        (*gauge, *(words.ease_sentence(ease, tape) for ease in report.ease)),
        tuple(make_told.fabric_told(report, tape, finished=finished)),
        tuple(make_told.sizes_told(report, tape)),
        words.wanted_sentence(report, tape) if read else "",
        words.tape_alone_sentence(report, tape, at_points=True) if read else "",
        words.likely_sentence() if read else "",
        say.granted_of_make(len(report.assumed)),
        tuple(
            words.assumed_sentence(assumed, tape, head=report.head, points=report.points) for assumed in report.assumed
        ),
        () if finished or _looked_at(report) else tuple(words.help_sentences(report)),
        (*(words.caution_sentence(code) for code in report.cautions if code not in minded), say.WASH_ALIKE),
        tuple(put_right_lines(record.id)),
    )


def _looked_at(report: Report) -> bool:
    """Whether a reading that lies far off is what the answer itself asks about."""
    return isinstance(report.recommendation, Advice) and report.recommendation.reason == "wild_reading"


def _ways(report: Report) -> tuple[Way, ...]:
    """Every way to go on that can be gone, the advised one first."""
    advice = report.recommendation
    # What hangs on an unanswered question has no counts or chances yet.
    if isinstance(advice, CannotSay) or words.unanswered(report):
        return ()
    here = [action for action in report.actions if action.impossible is None]
    here.sort(key=lambda action: action.code != advice.action)
    return tuple(_way(report, action) for action in here)


def _way(report: Report, action: ActionReport) -> Way:
    return Way(
        action.code,
        capital(words.action_name(action.code, action)),
        tuple(words.brought(report, action, views.tape())),
        words.chance_words(action.chance) if action.chance is not None else "",
        words.work_words(action.cost, words.unit_of_work(report.head)),
    )


def _not_here(report: Report) -> tuple[str, ...]:
    """The ways that cannot be gone, each with its reason."""
    advice = report.recommendation
    if isinstance(advice, CannotSay) or words.unanswered(report):
        return ()
    return tuple(
        say.not_possible(words.action_name(action.code, action), words.because_left_out(report, action))
        for action in report.actions
        if action.code != advice.action and action.impossible is not None
    )
