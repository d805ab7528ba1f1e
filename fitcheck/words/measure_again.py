"""The recommendation where something is to be measured, counted or looked at first."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from fitcheck.advice.decide.ways import NECK
from fitcheck.records.questions.question import OddApart, Question
from fitcheck.reports.shapes import Advice, PointReport, Report
from fitcheck.words.bed import needles_asked
from fitcheck.words.changes import plan
from fitcheck.words.copied import copied_first
from fitcheck.words.explanation import out_of_shape
from fitcheck.words.figures import Tape
from fitcheck.words.names import (
    action_of,
    at_point,
    deed_name,
    direction_of,
    piece_name,
    point_name,
    reference_name,
    rip_words,
)
from fitcheck.words.odd import odd_said
from fitcheck.words.phrases import capital, few, listed, measure_word, side_word, small_first, times_words
from fitcheck.words.points import MANY_READINGS, allowed_amount, it_is, of_one_laying, point_of, side_name, tape_at
from fitcheck.words.questions import shortened, slip_asked
from fitcheck.words.said import MOST_HEAD, MOST_PARAGRAPH, MOST_REASON, heading, reason


class _AsItStands(NamedTuple):
    """What is done as things stand, in a sentence's words and in few; both empty where that is not known."""

    then: str
    in_short: str

    def after(self, begin: str, most: int = MOST_PARAGRAPH) -> list[str]:
        """The plan as a sentence, in few words where it is too much for one.

        begin  what it hangs on: "If it is 119, "
        most   words that the sentence may have
        """
        return [reason(f"{begin}{self.then}.", f"{begin}{self.in_short}.", most=most)] if self.then else []

    @property
    def said(self) -> list[str]:
        """The plan where nothing is said of what it hangs on."""
        return self.after("As it stands, the plan is: ")


def measure_again(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """What to measure, count, wash or look at first, why, and what the plan is as it stands; a sentence each."""
    piece = piece_name(report.head)
    then = plan_words(report, advice, tape)
    stands = _AsItStands(then, deed_name(report, advice.then) if then else "")
    match advice.reason:
        case "wild_reading":
            return _look_at_the_odd_one(report, advice, stands)
        case "as_read":
            told = copied_first(advice.as_read, reference_name(report.head))
            return told + stands.after(if_answered(report, advice))
        case "miscount":
            return _count_and_then(report, advice, stands)
        case "another_dial":
            told = [f"Did the dial stand at {advice.dial}?", "Widths and lengths both are what it makes there."]
            return told + stands.after(if_answered(report, advice))
        case "felted":
            return [*felted_first(report, advice), *stands.after(if_answered(report, advice))]
        case "needles":
            return needles_asked(advice.on_bed or 0) + stands.after(if_answered(report, advice))
        case "out_of_shape":
            told = [f"Wet {piece}, pat it to size, and read it again once it is dry."]
            return [*told, f"{capital(out_of_shape(report, advice.pulled_percent))}.", "Pat it without pulling."]
        case "wash_and_block":
            point = point_of(report, advice.about or None)
            told = [f"Wash and block {piece} first, let it dry, and read it again."]
            if point is not None:
                told.append(f"As far as is known now: washed, {small_first(it_is(report, [point], tape))}.")
            return told + stands.said
        case "two_layings":
            return _lay_again(report, advice, stands, tape)
    return _read_again(report, advice, stands, tape)


def felted_first(report: Report, advice: Advice) -> list[str]:
    """How the piece was washed is asked: smaller both ways it felted, or stood at a tighter dial."""
    piece = piece_name(report.head)
    smaller = f"{advice.smaller_percent or 0:.0f} % smaller both ways than it should be"
    return [
        f"How was {piece} washed: did it felt?",
        f"It is {smaller}: as wool is after a hot or rough wash, or at a tighter dial.",
        "Felted, it is thick, its stitches hardly show, and nothing blocks it out.",
        f"If it did not: did the dial stand at {advice.dial}?" if advice.dial else "",
    ]


def _look_at_the_odd_one(report: Report, advice: Advice, stands: _AsItStands) -> list[str]:
    """A reading that lies far from the others: asked about, or read again."""
    piece, about = piece_name(report.head), advice.about or None
    # A plan made with what is hardly true would only frighten.
    until = stands.after("The plan stays the same either way: ") if advice.hangs is False else []
    asked = asked_about(report, about)
    if asked is not None:
        return [*_look_first(report, asked, point_name(about) if about else piece), *until]
    where = f"the {at_point(report, about)} of {piece}" if about else piece
    return [
        f"Measure {where} again first.",
        "One reading there lies far from the others.",
        "Lay the tape anew and type what it says, or keep the reading as it is.",
        *until,
    ]


def _count_and_then(report: Report, advice: Advice, stands: _AsItStands) -> list[str]:
    """A count that hardly goes with the tape: what to count, and what is done if it is what the tape has."""
    told, if_so = _count_first(report, advice), if_answered(report, advice)
    uneven, counted = uneven_asked(report, advice.about or None), point_of(report, advice.about or None)
    if uneven is not None:
        return [*told, odd_said(uneven).whole, *stands.after(if_so, MOST_REASON)]
    if if_so and stands.then and counted is not None:
        # Counted, it is no suspect any more: no other reading is asked for, its stitch is its own.
        if_not = f"If it is {counted.count}, the plan goes by the tape there."
        return [*told, *stands.after(if_so, MOST_REASON), if_not]
    return told + stands.said


def _read_again(report: Report, advice: Advice, stands: _AsItStands, tape: Tape) -> list[str]:
    """The point that decides, read some times more."""
    point = point_of(report, advice.about or None)
    countable = advice.readings if advice.readings and advice.readings <= MANY_READINGS else None
    more = times_words(countable) if countable else "a few times"
    told = _round(report, advice, point, f"{more} more")
    if point is None:
        return [*told, "What it says can change the stands.", *stands.said]
    first, *how = told
    return [first, _what_decides(report, point, tape), *how, *(leads_to(report, advice, tape) or stands.said)]


def _what_decides(report: Report, point: PointReport, tape: Tape) -> str:
    """What is known of the point that decides: how far it is off, and what is allowed there."""
    tape = tape_at(point, tape)
    allowed = f", and {_is_allowed(point, tape)}"
    known, barely = it_is(report, [point], tape), it_is(report, [point], tape, likely=False)
    return reason(
        f"{known}{allowed}: what is true there decides what to do.", f"{known}{allowed}.", f"{barely}{allowed}."
    )


ONCE_MORE = "once more"
"""How often a point is read again for a second laying."""


def _round(report: Report, advice: Advice, point: PointReport | None, more: str) -> list[str]:
    """What is read again and how often, as a heading; then at which points where it does not bear them, and how.

    more  how often: "3 times more"
    """
    keys = [advice.about, *(key for key in advice.round if key != advice.about)] if advice.about else []
    if point is not None and point.overhang is not None and advice.side == "piece":
        names, piece = listed([f"the {at_point(report, key)}" for key in keys]), piece_name(report.head)
        if more == ONCE_MORE:
            anew = f"Lay {piece} on its garment anew"
            whole = f"{anew}, and read {names} once more."
            return [whole] if len(whole) <= MOST_HEAD else [f"{anew}.", f"Read {names} once more."]
        return [f"Lay {piece} on its garment {more}.", f"Read {names} each time."]
    apart = advice.side == "reference"
    names = listed([f"the {point_name(key) if apart else at_point(report, key)}" for key in keys]) if keys else "it"
    number = f"{few(len(keys))} points" if len(keys) > 1 else names
    not_it = f", not of {piece_name(report.head)}" if apart else ""
    ways = [
        (what, named, end) for end in dict.fromkeys((not_it, "")) for what, named in ((names, True), (number, True))
    ]
    ways.append((number, False, ""))

    def measure(way: tuple[str, bool, str]) -> str:
        what, named, end = way
        return f"Measure {what} of {side_name(report, advice.side, named=named)} {more}{end}."

    way = next((way for way in ways if len(measure(way)) <= MOST_HEAD), ways[-1])
    which = [] if way[0] == names else [f"Measure {names}."]
    whose = [] if way[1] or advice.side == "piece" else [f"Its garment is {reference_name(report.head)}."]
    spared = [f"{capital(piece_name(report.head))} need not be read again."] if not_it and not way[2] else []
    return [measure(way), *which, *whose, *spared, *_laid_anew(report, advice.side)]


def _laid_anew(report: Report, side: str | None) -> list[str]:
    """What to do between readings that were all of one laying."""
    return ["Lift, shake and lay it again in between."] if of_one_laying(report, side) else []


def _lay_again(report: Report, advice: Advice, stands: _AsItStands, tape: Tape) -> list[str]:
    """Before knitting is undone, another laying; with the deed named, if it still shows the same."""
    point = point_of(report, advice.about or None)
    first, *how = _round(report, advice, point, ONCE_MORE)
    known = [f"{it_is(report, [point], tape)}."] if point is not None else []
    return [first, *known, *how, *stands.after("If it still shows that, ")]


MANY_OUTCOMES = 3
"""Above this what a round can lead to is named without where each begins: nobody keeps five limits in mind [1]."""


def leads_to(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """What each outcome of a round leads to, said beforehand: "0.6 cm narrow or less: carry on; more: rip back"."""
    if len(advice.outcomes) < 2 or not advice.about:
        return []
    direction = direction_of(advice.about)
    if len(advice.outcomes) > MANY_OUTCOMES:
        ways = dict.fromkeys(_outcome_name(report, outcome.action, advice.about) for outcome in advice.outcomes)
        return [f"By what it then shows: {listed(list(ways), 'or')}."]
    told = []
    for place, outcome in enumerate(advice.outcomes):
        name = _outcome_name(report, outcome.action, advice.about)
        low, high = outcome.low_mm, outcome.high_mm
        if low is None and high is not None:
            told.append(f"{_off(direction, high, tape, from_below=True)}: {name}")
        elif high is None and low is not None:
            # Of two, the other side of the same edge.
            beyond = _beyond(low, from_below=False) if place == 1 else _off(direction, low, tape, from_below=False)
            told.append(f"{beyond}: {name}")
        elif low is not None and high is not None:
            between = f"from {_side(direction, low, tape)} to {_side(direction, high, tape)}"
            told.append(f"{between}: {name}")
    several = len({advice.about, *advice.round}) > 1
    which = f"with the {at_point(report, advice.about)} " if several else ""
    return [f"{capital(which + '; '.join(told))}."]


def _outcome_name(report: Report, code: str, about: str) -> str:
    """What an outcome leads to: carrying on as planned, or with what is then best for the rest.

    Ripping out mends only what lies above the row: the neck alone as things stand, all the armhole for another point.
    """
    ripped = action_of(report, code) if code == "rip_back" else None
    if ripped is not None and ripped.rip == "neck" and about not in NECK:
        return rip_words(report.head, replace(ripped, rip="armhole", row=None))
    return "carry on" if code == "carry_on" else deed_name(report, code)


def _side(direction: str, mm: float, tape: Tape) -> str:
    return f"{tape.length(mm)} {side_word(direction, mm)}"


def _off(direction: str, mm: float, tape: Tape, *, from_below: bool) -> str:
    """ "1.2 cm narrow or more": a difference and all beyond it, on its own side or towards nothing."""
    return f"{_side(direction, mm, tape)} or {_beyond(mm, from_below=from_below)}"


def _beyond(mm: float, *, from_below: bool) -> str:
    """Whether what lies beyond an edge is more on the edge's own side, or less."""
    return "more" if from_below == (mm < 0) else "less"


def offered_round(report: Report, advice: Advice, tape: Tape) -> list[str]:
    """A round that is worth its while though the plan is likely enough: an offer, and what it leads to."""
    if advice.action == "measure_again" or not advice.round or not advice.about:
        return []
    names = listed([f"the {at_point(report, key)}" for key in dict.fromkeys((advice.about, *advice.round))])
    offer = f"Surer still: measure {names} three times more first."
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
    """ "If it is 119, ": the answer, count, dial or bed that the plan goes with; empty where none can be named."""
    if advice.reason == "as_read":
        return "If it is copied, " if advice.as_read == "worn" else "If they are copied, "
    if advice.reason == "another_dial":
        return f"If it stood at {advice.dial}, "
    if advice.reason == "felted":
        return "If it felted, "
    if advice.reason == "needles":
        return "If it has as many, "
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


def uneven_asked(report: Report, key: str | None) -> Question | None:
    """The open question that a count at a point is none that the pattern makes, or an odd number from another."""

    def about(question: Question) -> bool:
        other = question.odd.other if isinstance(question.odd, OddApart) else None
        return question.by_the_way and key in (question.place.point, other)

    return next((question for question in report.questions if key is not None and about(question)), None)


def swatch_asked(report: Report) -> Question | None:
    """The open question about a swatch where nothing is known of the fabric before it is answered."""
    first = report.first
    if first is None or first.swatch is None or first.swatch.reason != "no_swatch":
        return None
    return next((question for question in report.questions if question.place.kind == "swatches"), None)


def look_at_swatch(question: Question) -> list[str]:
    """ "Look at the swatch first: 7 1/4 cm? It makes 1.8 mm a stitch; ... As inches it would be 18.4 cm." """
    odd, slip = odd_said(question), slip_asked(question)
    return [f"Look at the swatch first: {shortened(question.read)}?", odd.because, *odd.more, slip or ""]


def _look_first(report: Report, question: Question, name: str) -> list[str]:
    """ "Look at the sleeve length first: 200 cm? It is mostly 12.0 to 90.0 cm. 20.0 cm?" """
    of = f" of {reference_name(report.head)}" if question.place.kind == "garments" else ""
    read = shortened(question.read)
    head = heading(f"Look at the {name}{of} first: {read}?", f"Look at the {name} first: {read}?")
    slip = slip_asked(question)
    odd = odd_said(question)
    return [head, odd.because, *odd.more, *([slip] if slip else [])]


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
