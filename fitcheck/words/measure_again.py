"""The recommendation where something is to be measured, counted or looked at first."""

from __future__ import annotations

from fitcheck.records.questions.question import Question
from fitcheck.reports.shapes import Advice, DirectionReport, ExplanationReport, PointReport, Report
from fitcheck.words.changes import plan
from fitcheck.words.explanation import two_gauges
from fitcheck.words.figures import Tape
from fitcheck.words.names import action_name, action_of, at_point, direction_of, piece_name, point_name, reference_name
from fitcheck.words.odd import odd_said
from fitcheck.words.phrases import counted_words, measure_word, small_first, times_words
from fitcheck.words.points import MANY_READINGS, allowed_amount, it_is, lay_anew, point_of, side_name
from fitcheck.words.questions import shortened, slip_asked


def measure_again(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """What to measure, count, wash or look at first, why, and what the plan is as it stands; a sentence each."""
    piece = piece_name(report.head)
    about = advice.about or None
    name = at_point(report, about) if about else ""
    then = plan_words(report, advice, tape)
    until = [f"As it stands, the plan is: {then}."] if then else []
    if advice.reason == "wild_reading":
        # A plan made with what is hardly true would only frighten.
        until = [f"The plan stays the same either way: {then}."] if then and advice.hangs is False else []
        asked = asked_about(report, about)
        if asked is not None:
            return [*_look_first(report, asked, point_name(about) if about else piece), *until]
        where = f"the {name} of {piece}" if name else piece
        return [
            f"Measure {where} again first.",
            "One reading there lies far from the others: lay the tape anew and type what it says, or keep the "
            "reading as it is.",
            *until,
        ]
    if advice.reason == "miscount":
        doubt = doubted(report, about)
        told = _count_first(report, doubt, about)
        if_so = if_counted(report, advice)
        if if_so and doubt is not None:
            point = point_of(report, doubt.point)
            thing, typed = measure_word(doubt.direction), point.count if point is not None else None
            return [*told, f"{if_so}{then}.", f"If it is {typed}, read the {thing} there again."]
        return [*told, *until]
    point = point_of(report, about)
    if advice.reason == "wash_and_block":
        known = [f"Carried to there, {small_first(it_is(report, [point], tape))}."] if point is not None else []
        return [f"Wash and block {piece} first, let it dry, and read it again.", *known, *until]
    few = advice.readings if advice.readings and advice.readings <= MANY_READINGS else None
    more = times_words(few) if few else "a few times"
    at = f"the {name}" if name else "it"
    anew = lay_anew(report, advice.side)
    if advice.side == "reference":
        sweater = side_name(report, "reference")
        at = f"the {point_name(about)}" if about else "it"
        first = f"Measure {at} of {sweater} {more} more, not of {piece}{anew}."
    else:
        first = f"Measure {at} of {side_name(report, advice.side)} {more} more{anew}."
    if point is None:
        return [first, "What it says can change the plan.", *until]
    known_now = f"{it_is(report, [point], tape)}, and {_is_allowed(point, tape)}"
    return [first, f"{known_now}: what is true there decides what to do.", *until]


def unanswered(report: Report) -> bool:
    """Whether what was typed is questioned, and the advice hangs on it: no plan, count or chance is made of it."""
    advice = report.recommendation
    return isinstance(advice, Advice) and advice.reason == "wild_reading" and advice.hangs is not False


def plan_words(report: Report, advice: Advice, tape: Tape) -> str:
    """What is done if nothing more is measured, with what it changes: "knit the front 2 stitches wider: ..."."""
    if not advice.then or advice.then == "measure_again":
        return ""
    action = action_of(report, advice.then)
    if action is not None and action.code in ("other_counts", "alter_hem"):
        parts = plan(report, action, tape).parts
        if parts:
            return "; ".join(small_first(part) for part in parts)
    return action_name(advice.then, action)


def if_counted(report: Report, advice: Advice) -> str:
    """ "If it is 119, ": the count that the plan goes with where one is in doubt; empty where none can be named."""
    if advice.reason != "miscount":
        return ""
    doubt = doubted(report, advice.about)
    if doubt is None or doubt.code != "miscount" or not doubt.stitches:
        return ""
    point = point_of(report, doubt.point)
    return f"If it is {point.count + doubt.stitches}, " if point is not None and point.count else ""


def _is_allowed(point: PointReport, tape: Tape) -> str:
    """What is allowed, with its unit: "1.0 cm is allowed"."""
    return f"{allowed_amount(point, tape, tape.length) or 'anything'} is allowed"


def doubted(report: Report, about: str | None) -> DirectionReport | None:
    """The direction whose count is doubted; the one of that point where both are."""
    if not isinstance(report.explanation, ExplanationReport):
        return None
    odd = [
        direction
        for direction in report.explanation.directions
        if direction.code in ("miscount", "cast_on", "two_gauges")
    ]
    of_point = [direction for direction in odd if about and direction.direction == direction_of(about)]
    return next(iter(of_point or odd), None)


def asked_about(report: Report, key: str | None) -> Question | None:
    """The open question about a point, one about the piece before one about its garment."""
    if key is None:
        return None
    asked = [question for question in report.questions if question.place.point == key]
    return min(asked, key=lambda question: question.place.kind != "makes", default=None)


def _look_first(report: Report, question: Question, name: str) -> list[str]:
    """ "Look at the sleeve length first: 200 cm? It is mostly 12.0 to 90.0 cm. 20.0 cm?" """
    of = f" of {reference_name(report.head)}" if question.place.kind == "garments" else ""
    told = [f"Look at the {name}{of} first: {shortened(question.read)}?", odd_said(question).rest]
    slip = slip_asked(question)
    if slip:
        told.append(slip)
    return told


def _count_first(report: Report, doubt: DirectionReport | None, about: str | None) -> list[str]:
    """ "Count the chest row first: 118 or 120?" """
    if doubt is not None and doubt.code == "two_gauges":
        return [*two_gauges(doubt), "Look there first, before anything is decided."]
    key = (doubt.point if doubt is not None and doubt.point else about) or ""
    point = point_of(report, key)
    direction = doubt.direction if doubt is not None else direction_of(key)
    name = point_name(key) if key else ""
    if doubt is not None and doubt.code == "cast_on":
        thing = "the rows from the cast-on up" if direction == "along" else "the cast-on stitches"
        many = counted_words(direction, abs(doubt.stitches or 0))
        by = f": every {measure_word(direction)} is off by the same {many}"
        return [f"Count {thing} first{by if doubt.stitches else ''}."]
    if direction == "along":
        thing = f"the rows of the {name}" if name else "the rows"
    else:
        thing = f"the {name} row" if name else "the stitches"
    if point is not None and point.count and doubt is not None and doubt.stitches:
        return [f"Count {thing} first: {point.count} or {point.count + doubt.stitches}?"]
    return [f"Count {thing} first: the count and the {measure_word(direction)} do not go together."]
