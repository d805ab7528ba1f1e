"""The answer in three figures, as a page sets them large: the chance that all fits, what it costs, and why."""

from __future__ import annotations

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import ActionReport, Advice, PointReport, Report
from fitcheck.words.figures import CM, Tape, chance_words, is_nil, nearest_share
from fitcheck.words.measure_again import if_answered, unanswered
from fitcheck.words.names import action_of, deed_name, piece_name, point_name, unit_of_work
from fitcheck.words.phrases import side_word, small_first
from fitcheck.words.points import tape_at, worst_first
from fitcheck.words.reasons import comes_off, reason_of, yarn_words


@frozen
class InFigures:
    """One cell of the answer.

    label   what it is about
    figure  what is set large: "19 in 20", "a twentieth", "0.5 cm"; empty where there is none
    then    what belongs to it, in a few words
    beside  a figure that ends those words: "less than 1 in 20"; empty where there is none
    share   the chance [1], or the work [works of a back]; None where the figure is neither
    """

    label: str
    figure: str
    then: str
    beside: str = ""
    share: float | None = None


UNSURE = ("out_of_shape", "felted", "another_dial", "as_read")
"""What is asked or laid anew before any chance is said."""


def chance_in_figures(report: Report) -> InFigures | None:
    """The chance of the advised plan, beside that of changing nothing; None where it is not said yet."""
    advice = report.recommendation
    if isinstance(advice, CannotSay) or unanswered(report) or advice.reason in UNSURE:
        return None
    waits = advice.action == "measure_again"
    plan, unchanged = action_of(report, advice.then if waits else advice.action), action_of(report, "carry_on")
    if plan is None or plan.chance is None:
        return None
    then = ""
    if waits:
        begin = if_answered(report, advice) or "As it stands, "
        then = f"{small_first(begin)}{deed_name(report, plan.code)}"
    beside = ""
    if unchanged is not None and unchanged.chance is not None and plan.code != "carry_on":
        then = f"{then}; with nothing changed" if then else "with nothing changed"
        beside = chance_words(unchanged.chance)
    label = "Chance that all that could be judged fits" if report.refused else "Chance that all fits"
    return InFigures(label, chance_words(plan.chance), then, beside, plan.chance)


FEW_MINUTES = "a few minutes"
MEASURED_AGAIN = {
    "wash_and_block": ("a wash", "and a few minutes with the tape measure. Nothing is unravelled."),
    "out_of_shape": (FEW_MINUTES, "to wet it, and again with the tape measure. Nothing is unravelled."),
    "as_read": ("an answer", "Nothing is unravelled."),
    "felted": ("an answer", "Nothing is unravelled."),
    "another_dial": ("an answer", "Nothing is unravelled."),
    "needles": ("an answer", "Nothing is unravelled."),
    "miscount": (FEW_MINUTES, "counting. Nothing is unravelled."),
}
"""What it costs to find out, per reason."""
WITH_THE_TAPE = (FEW_MINUTES, "with the tape measure. Nothing is unravelled.")


def cost_in_figures(report: Report, tape: Tape = CM) -> InFigures | None:
    """What the advised plan costs, as a share of the work of a back; None where nothing is decided."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return None
    if advice.action == "measure_again":
        return InFigures("Cost", *MEASURED_AGAIN.get(advice.reason, WITH_THE_TAPE))
    action = action_of(report, advice.action)
    if action is None:
        return None
    told = _beside_the_work(action, tape)
    return InFigures(
        f"Cost: of {unit_of_work(report.head)}’s work", nearest_share(action.cost), told, share=action.cost
    )


def _beside_the_work(action: ActionReport, tape: Tape) -> str:
    """What is unravelled, and how much yarn it takes."""
    return " ".join(part for part in (yarn_words(action), comes_off(action, tape)) if part)


def why_in_figures(report: Report, tape: Tape = CM) -> InFigures | None:
    """The figure that the advice rests on: how far past what is allowed, or how sure a point is; None without one."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return None
    if advice.reason in ("least_loss", "less_work"):
        judged = worst_first(point for point in report.points if point.code != "held_at")
        if not judged:
            return None
        if advice.action == "carry_on" and _past(judged[0], tape_at(judged[0], tape)) > 0:
            # What is past speaks against carrying on; why it is the best all the same takes a sentence.
            return InFigures("Why", "", reason_of(report, advice, tape))
        return _furthest_off(judged, tape)
    if advice.reason == "worth_measuring":
        return _open_point(report, advice)
    return InFigures("Why", "", reason_of(report, advice, tape))


def _past(point: PointReport, tape: Tape) -> int:
    """How far a point is past what is allowed, within it below 0 [steps of the tape]; 0 where any amount may be."""
    d = point.difference.value
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    return 0 if allowed is None else tape.steps(d) * (-1 if d < 0 else 1) - tape.steps(allowed)


def _furthest_off(judged: list[PointReport], tape: Tape) -> InFigures:
    """The point that is furthest off against what is allowed: how far past it, or how far within."""
    point, *others = judged
    d, tape = point.difference.value, tape_at(point, tape)
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    name = point_name(point.key)
    if allowed is None:
        return InFigures(
            "Why", tape.length(d), f"{side_word(point.direction, d)} at the {name}, where any amount may be."
        )
    past = _past(point, tape)
    if past > 0:
        more = len([other for other in others if other.code == "differs"])
        also = f", and {more} more {'point is' if more == 1 else 'points are'} past it" if more else ""
        side = side_word(point.direction, d, comparative=True)
        return InFigures("Why", tape.length(past * tape.step_mm), f"{side} than is allowed at the {name}{also}.")
    if is_nil(d, tape):
        where = f"at the {name}" if not others else "at every point that was read"
        return InFigures("Why", "as wanted", f"{where}.")
    side = side_word(point.direction, d)
    far = "" if not others else ", the furthest off of all points"
    return InFigures("Why", tape.length(d), f"{side} at the {name}{far}; {tape.length(allowed)} is allowed.")


def _open_point(report: Report, advice: Advice) -> InFigures:
    """How sure the point is that the readings would settle."""
    points = [point for point in report.points if point.key in advice.deciding] or list(report.points)
    point = min(points, key=lambda point: abs(point.chance_within - 0.5))
    where = f"that the {point_name(point.key)} of {piece_name(report.head)} is within what is allowed"
    return InFigures("Why", chance_words(point.chance_within), f"{where}; the plan hangs on it.")
