"""The recommendation where something is to be measured, counted or looked at first."""

from __future__ import annotations

from fitcheck.records.questions.question import Question
from fitcheck.reports.shapes import Advice, PointReport, Report
from fitcheck.words.changes import plan
from fitcheck.words.copied import copied_first
from fitcheck.words.explanation import out_of_shape
from fitcheck.words.figures import Tape
from fitcheck.words.names import action_of, at_point, deed_name, direction_of, piece_name, point_name, reference_name
from fitcheck.words.odd import odd_said
from fitcheck.words.phrases import capital, listed, measure_word, side_word, small_first, times_words
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
    if advice.reason == "as_read":
        told = copied_first(advice.as_read, reference_name(report.head))
        return [*told, f"{if_answered(report, advice)}{then}."] if then else told
    if advice.reason == "miscount":
        told = _count_first(report, advice)
        if_so = if_answered(report, advice)
        counted = point_of(report, about)
        if if_so and then and counted is not None:
            thing = measure_word(counted.direction)
            return [*told, f"{if_so}{then}.", f"If it is {counted.count}, read the {thing} there again."]
        return [*told, *until]
    if advice.reason == "another_dial":
        told = [f"Did the dial stand at {advice.dial}?", "Widths and lengths both are what it makes there."]
        return [*told, f"{if_answered(report, advice)}{then}."] if then else told
    if advice.reason == "out_of_shape":
        told = [f"Wet {piece}, pat it to size without pulling, let it dry, and read it again."]
        return [*told, f"{capital(out_of_shape(report, advice.pulled_percent))}."]
    point = point_of(report, about)
    if advice.reason == "wash_and_block":
        known = (
            [f"As far as is known now: washed, {small_first(it_is(report, [point], tape))}."]
            if point is not None
            else []
        )
        return [f"Wash and block {piece} first, let it dry, and read it again.", *known, *until]
    if advice.reason == "two_layings":
        return _lay_again(report, advice, point, tape)
    few = advice.readings if advice.readings and advice.readings <= MANY_READINGS else None
    more = times_words(few) if few else "a few times"
    anew = lay_anew(report, advice.side)
    if advice.side == "reference":
        sweater = side_name(report, "reference")
        at = _at(report, advice, sides=True)
        first = f"Measure {at} of {sweater} {more} more, not of {piece}{anew}."
    elif point is not None and point.overhang is not None and advice.side == "piece":
        first = f"Lay {piece} on its garment {more} more, and read {_at(report, advice)} each time."
    else:
        first = f"Measure {_at(report, advice)} of {side_name(report, advice.side)} {more} more{anew}."
    if point is None:
        return [first, "What it says can change the plan.", *until]
    known_now = f"{it_is(report, [point], tape)}, and {_is_allowed(point, tape)}"
    leads = leads_to(report, advice, tape)
    return [first, f"{known_now}: what is true there decides what to do.", *(leads or until)]


def _at(report: Report, advice: Advice, *, sides: bool = False) -> str:
    """The points that a round reads: "the shoulder and the chest"; the one that it is about first."""
    if not advice.about:
        return "it"
    keys = [advice.about, *(key for key in advice.round if key != advice.about)]
    names = [point_name(key) if sides else at_point(report, key) for key in keys]
    return listed([f"the {name}" for name in names])


def _lay_again(report: Report, advice: Advice, point: PointReport | None, tape: Tape) -> list[str]:
    """Before knitting is undone, another laying; with the deed named, if it still shows the same."""
    if point is not None and point.overhang is not None and advice.side == "piece":
        piece, name = piece_name(report.head), at_point(report, point.key)
        first = f"Lay {piece} on its garment anew, and read the {name} once more."
    else:
        at, side = _at(report, advice), side_name(report, advice.side)
        first = f"Measure {at} of {side} once more{lay_anew(report, advice.side)}."
    known = [f"{it_is(report, [point], tape)}."] if point is not None else []
    deed = f"If it still shows that, {plan_words(report, advice, tape)}."
    return [first, *known, deed]


MANY_OUTCOMES = 3
"""Above this what a round can lead to is named without where each begins: nobody keeps five limits in mind [1]."""


def leads_to(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """What each outcome of a round leads to, said beforehand: "0.6 cm narrow or less: carry on; more: rip back"."""
    if len(advice.outcomes) < 2 or not advice.about:
        return []
    direction = direction_of(advice.about)
    if len(advice.outcomes) > MANY_OUTCOMES:
        ways = dict.fromkeys(_deed_name(report, outcome.action) for outcome in advice.outcomes)
        return [f"By what it then shows: {listed(list(ways), 'or')}."]
    told = []
    for outcome in advice.outcomes:
        name = _deed_name(report, outcome.action)
        low, high = outcome.low_mm, outcome.high_mm
        if low is None and high is not None:
            told.append(f"{_off(direction, high, tape, from_below=True)}: {name}")
        elif high is None and low is not None:
            told.append(f"{_off(direction, low, tape, from_below=False)}: {name}")
        elif low is not None and high is not None:
            between = f"from {_side(direction, low, tape)} to {_side(direction, high, tape)}"
            told.append(f"{between}: {name}")
    return [f"{capital('; '.join(told))}."]


def _deed_name(report: Report, code: str) -> str:
    """What an outcome leads to; carrying on with what is then best for the rest."""
    return "carry on" if code == "carry_on" else deed_name(report, code)


def _side(direction: str, mm: float, tape: Tape) -> str:
    return f"{tape.length(mm)} {side_word(direction, mm)}"


def _off(direction: str, mm: float, tape: Tape, *, from_below: bool) -> str:
    """ "1.2 cm narrow or more": a difference and all beyond it, on its own side or towards nothing."""
    beyond = from_below == (mm < 0)
    return f"{_side(direction, mm, tape)} or {'more' if beyond else 'less'}"


def offered_round(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """A round that is worth its while though the plan is likely enough: an offer, and what it leads to."""
    if advice.action == "measure_again" or not advice.round or not advice.about:
        return []
    offer = f"Surer still: measure {_at(report, advice)} three times more first."
    return [offer, *leads_to(report, advice, tape)]


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
    return deed_name(report, advice.then)


def if_answered(report: Report, advice: Advice) -> str:
    """ "If it is 119, ": the answer, count or dial that the plan goes with; empty where none can be named."""
    if advice.reason == "as_read":
        return "If it is copied, " if advice.as_read == "worn" else "If they are copied, "
    if advice.reason == "another_dial":
        return f"If it stood at {advice.dial}, "
    point = point_of(report, advice.about) if advice.reason == "miscount" else None
    return f"If it is {advice.instead}, " if point is not None and point.count and advice.instead else ""


def _is_allowed(point: PointReport, tape: Tape) -> str:
    """What is allowed, with its unit: "1.0 cm is allowed"."""
    return f"{allowed_amount(point, tape, tape.length) or 'anything'} is allowed"


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


def _count_first(report: Report, advice: Advice) -> list[str]:
    """ "Count the chest row first: 118 or 120?" """
    key = advice.about or ""
    point, direction = point_of(report, key), direction_of(key)
    if direction == "along":
        thing = f"the rows of the {point_name(key)}"
    else:
        thing = f"the {point_name(key)} row" if key else "the stitches"
    if point is not None and point.count and advice.instead:
        low, high = sorted((point.count, advice.instead))
        return [f"Count {thing} first: {low} or {high}?"]
    return [f"Count {thing} first: the count and the {measure_word(direction)} do not go together."]
