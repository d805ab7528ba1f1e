"""What stands beside the recommendation: why, what it costs, its chance, and the other ways in a line each."""

from __future__ import annotations

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.plausibility import FAR_FROM_NEIGHBOURS
from fitcheck.report import ActionReport, Advice, Report
from fitcheck.words.cannot_say import WHY_NOT
from fitcheck.words.changes import changes, new_counts
from fitcheck.words.explanation import explanation_sentences
from fitcheck.words.figures import Mark, Tape, Unit, chance_words, work_words
from fitcheck.words.measure_again import asked_about, doubted
from fitcheck.words.names import action_name, action_of, direction_of, piece_name, point_name
from fitcheck.words.phrases import capital, count_words, sentence, small_first, spaced
from fitcheck.words.points import side_name

REASONS = {
    "least_loss": "Of all that can still be done, this costs least, its work and possible misfits counted together.",
    "less_work": "Another way would gain less than its extra work.",
    "wild_reading": "One reading lies far from the others, and the advice hangs on which of them is right.",
    "open_question": "Something that was typed is unlikely, and the advice hangs on it.",
    "miscount": "The lengths and the counts do not go together, and counting is quick.",
    "miscount_across": "The widths and the counts do not go together, and counting is quick.",
    "wash_and_block": "Washing changes a piece, and how much is known only roughly before it is done.",
    "worth_measuring": "What the tape would still tell can change the plan.",
}


def why(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The reason: why this way, and what explains what was measured."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return sentence(WHY_NOT.get(advice.code, advice.why))
    told = [_reason(report, advice)]
    told += explanation_sentences(report, unit, mark=mark)[:1]
    return " ".join(told)


def _reason(report: Report, advice: Advice) -> str:
    code = advice.reason
    asked = asked_about(report, advice.about) if code == "wild_reading" else None
    if asked is not None and asked.code != FAR_FROM_NEIGHBOURS:
        code = "open_question"
    if code == "miscount":
        doubt = doubted(report, advice.about)
        direction = doubt.direction if doubt is not None else direction_of(advice.about or "")
        code = "miscount_across" if direction == "across" else code
    return REASONS.get(code) or sentence(spaced(code))


def cost(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What the recommended way costs in work and yarn."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Nothing is decided, so nothing is spent yet."
    if advice.action == "measure_again":
        if advice.reason == "wash_and_block":
            return "A wash, and a few minutes with the tape measure. Nothing is unravelled."
        with_what = "counting" if advice.reason == "miscount" else "with the tape measure"
        return f"A few minutes {with_what}. Nothing is unravelled."
    action = action_of(report, advice.action)
    if action is None:
        return "Not known."
    piece = piece_name(report.head)
    told = [sentence(work_words(action.cost, piece))]
    unravels = action.code in ("knit_again", "rip_back")
    if not unravels:
        told.append("Nothing is unravelled.")
        if action.grams and round(action.grams):
            more = "more" if action.grams > 0 else "less"
            told.append(f"About {abs(action.grams):.0f} g {more} yarn.")
    elif action.grams and action.grams > 0:
        told.append(f"About {action.grams:.0f} g to unravel; it can be knitted again.")
    else:
        told.append("What is unravelled can be knitted again; felted wool cannot be unravelled.")
    return " ".join(told)


def chance(report: Report) -> str:
    """The chance that every point fits, and what it would be if nothing were changed."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Cannot say yet."
    plan = action_of(report, advice.then if advice.action == "measure_again" else advice.action)
    unchanged = action_of(report, "carry_on")
    if plan is None or plan.chance is None:
        return "Not known."
    told = f"{capital(chance_words(plan.chance))} that every point that was read fits."
    if advice.action == "measure_again":
        told = f"As it stands, {action_name(plan.code, plan)}: {chance_words(plan.chance)} that every point fits."
    if unchanged is not None and unchanged.chance is not None and plan.code != "carry_on":
        told += f" Carried on unchanged: {chance_words(unchanged.chance)}."
    return told


def action_line(report: Report, action: ActionReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What a way would bring, in a few words; for one that is left out, why."""
    tape = Tape(unit, mark)
    if action.impossible is not None:
        reason = WHY_NOT.get(action.impossible.code, action.impossible.why)
        return f"left out, because {small_first(reason.strip().rstrip('.'))}"
    told: list[str] = []
    if action.code == "carry_on":
        told.append("everything as it is")
    elif action.code == "measure_again":
        told.append(_line_measure(report))
    elif action.code == "block_again":
        direction = action.stretch_direction or "across"
        more, less = ("wider", "shorter") if direction == "across" else ("longer", "narrower")
        share = action.stretch_percent or 0.0
        told.append(f"{tape.percent(share)} {more}, about {tape.percent(share / 2)} {less}")
    elif action.code == "rip_back":
        counts = new_counts(report, action, most=2)
        told.append("the part above the underarm knitted again" + (f": {counts}" if counts else ""))
    elif action.code == "knit_again":
        counts = new_counts(report, action, most=2)
        if action.dial:
            counts = f"at dial {action.dial}, with the planned counts"
        piece = piece_name(report.head).removeprefix("the ")
        told.append(f"a new {piece}" + (f": {counts}" if counts else ""))
    told += [small_first(change) for change in changes(report, action, tape, name_points=True)]
    return "; ".join(told) if told else action_name(action.code)


def _line_measure(report: Report) -> str:
    advice = report.recommendation
    if not isinstance(advice, Advice) or advice.action != "measure_again":
        return "a surer figure, the same piece"
    if advice.reason == "miscount":
        return "a surer count"
    if advice.reason == "wild_reading":
        return "an answer to what was typed"
    at = f" at the {point_name(advice.about)}" if advice.about else ""
    more = count_words(advice.readings, "reading") if advice.readings else "some readings"
    return f"{more} more of {side_name(report, advice.side)}{at}"
