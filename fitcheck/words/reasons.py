"""What stands beside the recommendation: why, what it costs, its chance, and the other ways in a line each."""

from __future__ import annotations

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import FRONTS
from fitcheck.records.questions.lengths_of_a_point import FAR_FROM_NEIGHBOURS
from fitcheck.reports.shapes import ActionReport, Advice, ExplanationReport, PointReport, Report
from fitcheck.words.cannot_say import WHY_NOT
from fitcheck.words.changes import both_twins, changes, new_counts
from fitcheck.words.explanation import explanation_sentences
from fitcheck.words.figures import CM, Tape, chance_words, is_nil, work_words
from fitcheck.words.measure_again import asked_about, if_answered, unanswered, uneven_asked
from fitcheck.words.names import (
    action_name,
    action_of,
    deed_name,
    direction_of,
    piece_kind,
    piece_name,
    point_name,
    reference_name,
    unit_of_work,
)
from fitcheck.words.odd import odd_said
from fitcheck.words.phrases import capital, count_words, listed, sentence, side_word, small_first, spaced
from fitcheck.words.points import MANY_READINGS, off_by, side_name, tape_at, worst_first
from fitcheck.words.why_not import why_not

REASONS = {
    "finished": "It is finished: what was read tells the next one what to expect.",
    "wild_reading": "One reading lies far from the others, and the advice hangs on which of them is right.",
    "wild_reading_same": "One reading lies far from the others; the plan stays the same with it and without it.",
    "open_question": "Something that was typed is unlikely, and the advice hangs on it.",
    "open_question_same": "Something that was typed is unlikely; the plan stays the same with it and without it.",
    "as_read": "It is narrower as it lies than as it is worn, and the advice hangs on its widths.",
    "as_read_worn": "What hangs grows longer, and the advice hangs on figures that were read so.",
    "miscount": "The lengths and the counts do not go together, and counting is quick.",
    "miscount_across": "The widths and the counts do not go together, and counting is quick.",
    "felted": "What felted is knitted again as it was planned; what did not, at another dial or with other counts.",
    "another_dial": "What to do hangs on it.",
    "needles": "A narrower bed does not hold what is advised.",
    "out_of_shape": "Nothing is unravelled for a piece that was only pulled as it was laid.",
    "wash_and_block": "Washing changes a piece, and how much is known only roughly before it is done.",
    "two_layings": "An evening of knitting hangs on one laying of the tape, and laying it again takes ten minutes.",
    "worth_measuring": "What the tape would still tell can change the plan.",
    "worth_measuring_counts": "The counts for the rest hang on what the tape would still tell.",
}


def why(report: Report, tape: Tape = CM) -> str:
    """The reason for this sweater: what is off or matches, by how much, and the next best way."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return sentence(WHY_NOT.get(advice.code) or why_not(advice))
    told = [reason_of(report, advice, tape)]
    if isinstance(report.explanation, ExplanationReport) and report.explanation.code in ODD:
        told += explanation_sentences(report, tape)[:1]
    return " ".join(told)


KEPT = {"carry_on", "other_counts"}
"""Deeds that keep the piece as it is."""
ODD = ("miscount", "zone", "cast_on", "two_gauges", "another_dial", "out_of_shape")
"""Explanations that are a reason to look again; one gauge is what is usual."""


def reason_of(report: Report, advice: Advice, tape: Tape) -> str:
    """The reason of an advice in a sentence or two."""
    code = advice.reason
    if code in ("least_loss", "less_work"):
        return _of_this_sweater(report, advice, tape)
    if code == "worth_measuring":
        if advice.outcomes and {outcome.action for outcome in advice.outcomes} <= KEPT:
            return REASONS["worth_measuring_counts"]
        return _between_two(report) or REASONS[code]
    asked = asked_about(report, advice.about) if code == "wild_reading" else None
    if asked is not None and asked.code != FAR_FROM_NEIGHBOURS:
        code = "open_question"
    if code in ("wild_reading", "open_question") and advice.hangs is False:
        code += "_same"
    if code == "as_read" and advice.as_read == "worn":
        code = "as_read_worn"
    if code == "miscount":
        uneven = uneven_asked(report, advice.about)
        if uneven is not None:
            return odd_said(uneven).whole
        code = "miscount_across" if direction_of(advice.about or "") == "across" else code
    return REASONS.get(code) or sentence(spaced(code))


def _of_this_sweater(report: Report, advice: Advice, tape: Tape) -> str:
    """What is off by how much, or what matches, and the next best way with its chance and its work."""
    judged = worst_first(point for point in report.points if point.code != "held_at")
    told = [_nearest(judged[0], tape, alone=len(judged) == 1)] if judged else []
    others = [
        (action.expected_loss, action)
        for action in report.actions
        if action.impossible is None
        and action.expected_loss is not None
        and action.code not in (advice.action, "carry_on")
    ]
    if not others:
        told.append("Nothing else can be done that would gain anything.")
        return " ".join(told)
    least, best = min(others, key=lambda pair: pair[0])
    work = work_words(best.cost, unit_of_work(report.head))
    sure = f"{chance_words(best.chance)}, {work}" if best.chance is not None else work
    name = deed_name(report, best.code)
    if advice.reason == "less_work" and least < _loss(report, advice.action):
        kept, chance = action_of(report, advice.action), best.chance or 0.0
        oftener = kept is not None and kept.chance is not None and chance >= kept.chance + FITS_OFTENER
        gains = "save hardly more than its work" if oftener else "come out hardly better, for more work"
        told.append(f"{capital(name)} ({sure}) would {gains}.")
    elif advice.action == "carry_on":
        shorter = action_name(best.code, best) if best.code == "rip_back" else name  # from which row is not asked
        told.append(f"To {shorter} ({sure}) would gain less than it costs.")
    else:
        told.append(f"Next best: {name}, {sure}.")
    return " ".join(told)


FITS_OFTENER = 0.10
"""Chances further apart are seen to be: who fits so much oftener comes out better [1]."""


def _loss(report: Report, code: str) -> float:
    """Expected loss of a way [works of a back]; nil where it has none."""
    action = action_of(report, code)
    return action.expected_loss or 0.0 if action is not None else 0.0


def _nearest(point: PointReport, tape: Tape, *, alone: bool) -> str:
    """The point that is furthest off against what is allowed: by how much past it, or how near to it."""
    d, tape = point.difference.value, tape_at(point, tape)
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    name = f"The {point_name(point.key)}"
    if allowed is None:
        return f"{name} may be as it is."
    past = tape.steps(d) * (-1 if d < 0 else 1) - tape.steps(allowed)
    if past > 0:
        over = tape.length(past * tape.step_mm)
        return (
            f"{name} is {over} {side_word(point.direction, d, comparative=True)} than allowed ({tape.length(allowed)})."
        )
    if is_nil(d, tape):
        return f"{name} is as wanted." if alone else "Every point that was read is as wanted."
    nearest = name if alone else f"Furthest off is the {point_name(point.key)}"
    verb = "is" if alone else "with"
    sep = " " if alone else ", "
    return f"{nearest}{sep}{verb} {off_by(point, tape)} of {tape.length(allowed)} allowed."


def _between_two(report: Report) -> str:
    """The two ways that lie nearest to each other, between which the tape decides; empty where there is only one."""
    known = sorted(
        (
            (action.expected_loss, action)
            for action in report.actions
            if action.impossible is None and action.expected_loss is not None
        ),
        key=lambda pair: pair[0],
    )
    if len(known) < 2:
        return ""
    unit = unit_of_work(report.head)
    first, other = (
        f"{deed_name(report, way.code)} ({chance_words(way.chance or 0.0)}, {work_words(way.cost, unit)})"
        for _, way in known[:2]
    )
    best = f"{capital(first)} and {other} are the two best as it stands"
    return f"{best}; what the tape would still tell can decide between them."


def cost(report: Report, tape: Tape = CM) -> str:
    """What the recommended way costs in work and yarn."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Nothing is decided, so nothing is spent yet."
    if report.head.finished:
        return "Nothing is left to do."
    if advice.action == "measure_again":
        if advice.reason == "wash_and_block":
            return "A wash, and a few minutes with the tape measure. Nothing is unravelled."
        if advice.reason == "out_of_shape":
            return "Wetting it and a few minutes with the tape measure. Nothing is unravelled."
        if advice.reason in ("as_read", "felted", "another_dial", "needles"):
            return "An answer. Nothing is unravelled."
        with_what = "counting" if advice.reason == "miscount" else "with the tape measure"
        return f"A few minutes {with_what}. Nothing is unravelled."
    action = action_of(report, advice.action)
    if action is None:
        return "Not known."
    work = sentence(work_words(action.cost, unit_of_work(report.head)))
    return " ".join(part for part in (work, comes_off(action, tape), yarn_words(action)) if part)


UNRAVELS = ("knit_again", "rip_back")
"""Ways that unravel knitting, beside rows at a lower end."""


def yarn_words(action: ActionReport) -> str:
    """How much more or less yarn a way takes, or how much can be unravelled; empty where nobody weighed it."""
    grams = round(action.grams or 0.0)
    if action.code not in UNRAVELS:
        return f"About {abs(grams)} g {'more' if grams > 0 else 'less'} yarn." if grams else ""
    return f"About {grams} g to unravel; it can be knitted again." if action.code == "rip_back" and grams > 0 else ""


def comes_off(action: ActionReport, tape: Tape) -> str:
    """What is unravelled of the piece: nothing, the rows at its lower end, or more; empty where its weight says so."""
    if action.code in UNRAVELS:
        return (
            "" if yarn_words(action) else "What is unravelled can be knitted again; felted wool cannot be unravelled."
        )
    off = next(
        (
            alteration
            for alteration in action.alterations
            if alteration.by in ("hem", "cuff_band") and alteration.mm < 0
        ),
        None,
    )
    if off is None:
        return "Nothing is unravelled."
    rows = count_words(abs(off.stitches), "row") if off.stitches else tape.amount(off.mm)
    end = "hem" if off.by == "hem" else "cuff"
    return f"Nothing is unravelled but the {rows} at the {end}."


def loss_in_all(report: Report, action: ActionReport, tape: Tape = CM) -> str:
    """Cost and what stays off, up to the work of the whole sweater: beyond it a figure says nothing more."""
    advice = report.recommendation
    sweater = None if isinstance(advice, CannotSay) else advice.sweater
    if action.expected_loss is None:
        return ""
    if sweater is not None and action.expected_loss > sweater:
        return "more than the whole sweater"
    return tape.number(action.expected_loss, 2)


def about_costs(report: Report, tape: Tape = CM) -> str:
    """What stands beside each way to go on, its chance and its loss, with the loss of the way that is advised."""
    told = (
        f"Chance: that every point that {judged_so_far(report)} fits. In all: the cost and what stays off would cost "
        f"on average, {tape.number(1.0, 2)} being the work of knitting a back; less is better."
    )
    advice = report.recommendation
    chosen = None if isinstance(advice, CannotSay) else action_of(report, advice.then)
    if chosen is not None and chosen.expected_loss is not None:
        name = capital(action_name(chosen.code, chosen))
        told += f" {name}, as the plan stands: {loss_in_all(report, chosen, tape)}."
    return told


def judged_so_far(report: Report) -> str:
    """What a chance is about: what "was read", or where a point was refused what "could be judged" (fit rule 31)."""
    return "could be judged" if report.refused else "was read"


def chance(report: Report) -> str:
    """The chance that every point fits, and what it would be if nothing were changed."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Cannot say yet."
    if unanswered(report):
        return "Not said before the question is answered."
    if advice.reason == "felted":
        return "Not said before it is known whether it felted."
    if advice.reason == "out_of_shape":
        return "Not said before it was wetted and read again."
    plan = action_of(report, advice.then if advice.action == "measure_again" else advice.action)
    unchanged = action_of(report, "carry_on")
    if plan is None or plan.chance is None:
        return "Not known."
    of_twins = f" on {both}" if (both := both_twins(report)) else ""
    told = f"{capital(chance_words(plan.chance))} that every point that {judged_so_far(report)} fits{of_twins}."
    if advice.action == "measure_again":
        begin = if_answered(report, advice) or "As it stands, "
        told = f"{begin}{deed_name(report, plan.code)}: {chance_words(plan.chance)} that every point fits."
    elif plan.code == "knit_again" and (whose := _still_to_come(report)):
        told += f" What {whose} counts and the hem can then still make up is counted in."
    if unchanged is not None and unchanged.chance is not None and plan.code != "carry_on":
        told += f" With nothing changed: {chance_words(unchanged.chance)}."
    return told


def _still_to_come(report: Report) -> str:
    """Whose counts can answer for a piece that is knitted again: "the front's", "both fronts'"; empty: no one's."""
    coming = [piece.kind for piece in report.to_knit if piece.kind in FRONTS and piece.kind != report.head.piece_kind]
    return "both fronts’" if len(coming) > 1 else f"the {spaced(coming[0])}’s" if coming else ""


def action_line(report: Report, action: ActionReport, tape: Tape = CM) -> str:
    """What a way would bring, in a few words; for one that is left out, why."""
    if action.impossible is not None:
        return f"left out, {because_left_out(report, action)}"
    return "; ".join(brought(report, action, tape))


def brought(report: Report, action: ActionReport, tape: Tape = CM) -> list[str]:
    """What a way that can be gone would bring, one thing after the other."""
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
        counts = new_counts(report, action, tape, most=2)
        told.append("the part above the underarm knitted again" + (f": {counts}" if counts else ""))
    elif action.code == "knit_again":
        counts = new_counts(report, action, tape, most=2)
        if action.dial:
            counts = f"at dial {action.dial}, with the planned counts"
        told.append(f"a new {piece_kind(report.head)}" + (f": {counts}" if counts else ""))
    begin = "as things stand " if action.code == "knit_again" else ""
    told += [f"{begin}{small_first(change)}" for change in changes(report, action, tape, name_points=True)]
    return told or [action_name(action.code)]


def because_left_out(report: Report, action: ActionReport) -> str:
    """Why a way cannot be gone: "because the yarn is felted"; empty for one that can."""
    if action.impossible is None:
        return ""
    if action.impossible.code == "tape_cannot_settle":
        return f"because {_tape_settles_elsewhere(report)}"
    reason = WHY_NOT.get(action.impossible.code) or why_not(action.impossible)
    return f"because {small_first(reason.strip().rstrip('.'))}"


def _tape_settles_elsewhere(report: Report) -> str:
    """Why no readings are advised where what decides lies right at the edge, and what they would settle beside it."""
    settled = [
        point
        for point in report.points
        if point.code == "too_close"
        and not point.decides
        and point.readings_needed
        and point.readings_needed <= MANY_READINGS
    ]
    deciding = [point for point in report.points if point.decides]
    names = listed([f"the {point_name(point.key)}" for point in deciding]) if deciding else "what decides"
    told = f"more tape would hardly settle {names}"
    if not settled:
        return told
    others = listed([f"the {point_name(point.key)}" for point in settled])
    return f"{told}; it would settle {others}, where the advice is the same either way"


def _line_measure(report: Report) -> str:
    advice = report.recommendation
    if not isinstance(advice, Advice) or advice.action != "measure_again":
        return "a surer figure, the same piece"
    if advice.reason == "miscount":
        return "a surer count"
    if advice.reason == "as_read":
        return f"an answer about {reference_name(report.head)}"
    if advice.reason == "felted":
        return "an answer about the wash"
    if advice.reason == "another_dial":
        return "an answer about the dial"
    if advice.reason == "needles":
        return "an answer about the bed"
    if advice.reason == "out_of_shape":
        return f"{piece_name(report.head)} as it lies by itself"
    if advice.reason == "wild_reading":
        return "an answer to what was typed"
    if advice.reason == "wash_and_block":
        return f"{piece_name(report.head)} as it will be worn: washed, blocked and read again"
    at = f" at the {point_name(advice.about)}" if advice.about else ""
    more = count_words(advice.readings, "reading") if advice.readings else "some readings"
    return f"{more} more of {side_name(report, advice.side)}{at}"
