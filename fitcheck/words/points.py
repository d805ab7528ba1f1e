"""One point of the piece: its figures, its verdict, and what settles it where it is too close to call."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from fitcheck.advice.decide.ways import NECK
from fitcheck.advice.judge.verdict import ALPHA
from fitcheck.records.frozen import frozen
from fitcheck.records.points import HALF_FRONTS, POINTS
from fitcheck.reports.shapes import ActionReport, Advice, PointReport, Report
from fitcheck.words.figures import CM, Tape, chance_words, is_nil, share_words
from fitcheck.words.names import (
    action_name,
    at_point,
    deed_name,
    piece_name,
    point_name,
    point_title,
    reference_name,
    zone_word,
)
from fitcheck.words.phrases import capital, count_words, listed, side_word, small_first, times_words
from fitcheck.words.said import reason

SURE = chance_words(1 - ALPHA)
"""How sure a verdict is: what ``judge.verdict.ALPHA`` leaves on either side, said as every chance is; three rounds
together leave as much."""
MANY_READINGS = 6
"""Further readings beyond which no number is said: more tape would hardly settle it."""


def tape_at(point: PointReport, tape: Tape) -> Tape:
    """How a point's figures are written: in sixteenths where eighths of an inch would lose the side of a limit.

    So it is where the difference, or an end of what is likely, lies beyond what is allowed and would be written as
    within it, or the other way round, and sixteenths tell them apart.
    """
    if tape.unit != "in":
        return tape
    q = point.difference
    for mm in (q.value, q.low, q.high):
        allowed = point.allowed_smaller_mm if mm < 0 else point.allowed_larger_mm
        if allowed is None:
            continue
        eighths, sixteenths = (abs(each.steps(mm)) > each.steps(allowed) for each in (tape, tape.finer))
        if eighths != sixteenths and sixteenths == (abs(mm) > allowed):
            return tape.finer
    return tape


def off_by(point: PointReport, tape: Tape, *, comparative: bool = False) -> str:
    """How far a point is off: "1.1 cm narrow", "as wanted"."""
    d, tape = point.difference.value, tape_at(point, tape)
    if is_nil(d, tape):
        return "as wanted"
    return f"{tape.length(d)} {side_word(point.direction, d, comparative=comparative)}"


@frozen
class Row:
    """A point's figures as they are written: wanted + difference = measured, to the last place."""

    wanted: str
    measured: str
    difference: str


def row_figures(point: PointReport, tape: Tape = CM) -> Row:
    """Figures of a point without their unit, empty where there is none; the difference with its sign.

    Wanted and difference are rounded, and measured is what they make: three rounded figures need not add up.
    A point held by its pins has no difference to add: its measured figure is rounded itself.
    """
    tape = tape_at(point, tape)
    wanted = tape.bare(point.wanted.value) if point.wanted else ""
    if point.code == "held_at":
        return Row(wanted, tape.bare(point.measured.value) if point.measured else "", "")
    shown = shown_measured_mm(point, tape)
    return Row(
        wanted,
        "" if shown is None else tape.bare(shown),
        tape.bare(point.difference.value, signed=True),
    )


def shown_measured_mm(point: PointReport, tape: Tape) -> float | None:
    """What a point measures as it is shown [mm]: to the step of the tape, beside what is wanted; None: not measured."""
    if point.measured is None:
        return None
    if point.wanted is None or point.code == "held_at":
        return tape.steps(point.measured.value) * tape.step_mm
    return (tape.steps(point.wanted.value) + tape.steps(point.difference.value)) * tape.step_mm


def likely_words(point: PointReport, tape: Tape = CM) -> str:
    """The interval that the label used: "likely 0.7 to 1.5"; with both words where it spans 0."""
    low, high, tape = point.difference.low, point.difference.high, tape_at(point, tape)
    if is_nil(low, tape) and is_nil(high, tape):
        return f"likely within {tape.size(tape.step_mm)}"
    if low < 0 < high and not is_nil(low, tape) and not is_nil(high, tape):
        return (
            f"likely {tape.size(low)} {side_word(point.direction, low)} "
            f"to {tape.size(high)} {side_word(point.direction, high)}"
        )
    near, far = sorted((low, high), key=abs)
    if tape.size(near) == tape.size(far):
        return f"likely {tape.size(far)}"
    return f"likely {tape.size(near)} to {tape.size(far)}"


def allowed_words(point: PointReport, tape: Tape = CM) -> str:
    """What is allowed at a point: "allowed 1.0", or each side where they differ."""
    tape = tape_at(point, tape)
    amount = allowed_amount(point, tape, tape.size)
    return f"allowed {amount}" if amount else "anything is allowed"


def allowed_amount(point: PointReport, tape: Tape, written: Callable[[float], str]) -> str:
    """The amount that is allowed at a point, or one for each side where they differ; empty where anything is.

    written  how a length stands: with its unit or without
    """
    smaller, larger = point.allowed_smaller_mm, point.allowed_larger_mm
    if smaller is None and larger is None:
        return ""
    if smaller is not None and larger is not None and tape.size(smaller) == tape.size(larger):
        return written(smaller)
    return " and ".join(
        f"{'any amount' if mm is None else written(mm)} {side_word(point.direction, way, comparative=True)}"
        for mm, way in ((smaller, -1.0), (larger, 1.0))
    )


def point_sentence(point: PointReport, tape: Tape = CM) -> str:
    """A point whole, as it is read aloud: name, verdict, wanted, measured, difference, likely, allowed."""
    return f"{point_title(point)}: {zone_word(point.code)}. {point_figures(point, tape)}"


def point_figures(point: PointReport, tape: Tape = CM) -> str:
    """The figures of a point, where its name and its verdict stand above: wanted, measured, difference and so on."""
    tape = tape_at(point, tape)
    allowed = allowed_words(point, tape)
    if point.code == "held_at":
        at = f"It lies at {tape.length(point.measured.value)}" if point.measured else "It lies as pinned"
        wanted = f", wanted {tape.size(point.wanted.value)}" if point.wanted and point.measured else ""
        return f"{at}{wanted}. {TAKE_PINS_OUT}"
    likely = likely_words(point, tape)
    off = off_by(point, tape, comparative=True)
    if point.wanted is not None and point.measured is not None:
        row = row_figures(point, tape)
        figures = f"Wanted {row.wanted}, measured {row.measured} {tape.unit}, {off}"
    elif point.wanted is not None:
        figures = f"Wanted {tape.length(point.wanted.value)}, {off}"
    else:
        figures = _laid_on(point, off, tape)
    return f"{figures}, {likely}, {allowed}."


def _laid_on(point: PointReport, off: str, tape: Tape) -> str:
    """An overhang as it was read, what the seams take, and what that makes of the piece.

    "Laid on the garment, 0.8 cm short of it, and 0.9 for the seams: 1.7 cm narrower"
    """
    laid = laid_words(point, tape)
    if not laid:
        return "Laid on the garment, level with it" if off == "as wanted" else f"Laid on the garment, {off}"
    level = tape.steps(point.overhang.value) == 0 if point.overhang else True
    told = f"Laid on the garment, {laid}"
    return told if level and off == "as wanted" else f"{told}: {off}"


def laid_words(point: PointReport, tape: Tape) -> str:
    """An overhang as it was read, and what the seams take: "0.8 cm short of it, and 0.9 for the seams"; empty where
    its piece lies double or none was read."""
    known = POINTS.get(point.key)
    if point.overhang is None or (known is not None and known.per_piece > 1):
        return ""
    laid, made = tape.steps(point.overhang.value), tape.steps(point.difference.value)
    read = "level with it"
    if laid:
        read = f"{tape.length(laid * tape.step_mm)} {'over it' if laid > 0 else 'short of it'}"
    rest = made - laid
    if not rest:
        return read
    seams = abs(rest * tape.step_mm + point.swallowed_mm) < 1.5 * tape.step_mm
    what = "the seams" if seams else "seams, bands and the garment’s wear"
    joined = "and" if laid == 0 or (rest > 0) == (laid > 0) else "less"
    return f"{read}, {joined} {tape.size(rest * tape.step_mm)} for {what}"


def signs_sentence() -> str:
    """The signs of the verdicts, explained once."""
    return "Signs: [ o ] matches; <[   ] and [   ]> differ, smaller and larger; o on a bracket is too close to call."


def likely_sentence() -> str:
    """What "likely" means."""
    return (
        "Likely: 9 times in 10 the true figure lies there, after a second and a third round of readings too. "
        f"Matches and differs are said only when {SURE} sure; short of that it is too close to call."
    )


def wanted_sentence(report: Report, tape: Tape = CM) -> str:
    """What "wanted" is, with one point as the example; empty where nothing has a wanted figure."""
    spoken = [point for point in report.points if point.wanted is not None]
    if not spoken:
        return ""
    half = report.head.piece_kind in HALF_FRONTS
    shown = []
    for point in report.points:
        known = POINTS.get(point.key)
        if point.wanted is None or point.garment_mm is None or known is None or known.seam_ends < 1:
            continue
        if known.direction != "across" or (half and known.flat):
            continue
        times, written = known.per_piece, tape_at(point, tape)
        figure, wanted = written.steps(times * point.garment_mm), written.steps(point.wanted.value)
        if figure < wanted:
            shown.append((point, times, figure, wanted))
    told = f"Wanted is what the piece must measure as it lies: {_wanted_from(shown[0][0] if shown else spoken[0])}"
    counted_in = "with what the seams swallow and any wish or band counted in"
    if not shown:
        return f"{told}, {counted_in}."
    point, times, figure, wanted = shown[0]
    tape = tape_at(point, tape)
    terms = [tape.bare(steps * tape.step_mm) for steps in (figure, wanted - figure, wanted)]
    if times == 2:
        counted_in = "doubled as a sleeve lies open, with seams, wishes and bands counted in"
    return f"{told}, {counted_in} ({terms[0]} + {terms[1]} = {terms[2]} at the {point_name(point.key)})."


def _wanted_from(point: PointReport) -> str:
    """What a wanted figure starts from."""
    match point.source:
        case "numbers":
            return "the number that was given"
        case "ease":
            return "body and ease"
        case "size_table":
            return "the size table’s figure"
        case _:
            return "the garment’s figure"


def read_and_taken(point: PointReport, tape: Tape = CM) -> str:
    """ "read 22.1, taken as 22.2" where measured is not what the tape alone says; empty where they agree."""
    written = tape_at(point, tape)
    shown = shown_measured_mm(point, written)
    if shown is None or point.measured is None or point.read is None:
        return ""
    read, taken = written.bare(point.read.value), written.bare(shown)
    # Equal to the eye needs no explanation, whatever lies behind it.
    if read == taken or abs(point.read.value - point.measured.value) < tape.step_mm - 1e-9:
        return ""
    return f"read {read}, taken as {taken}"


def tape_alone_sentence(report: Report, tape: Tape = CM, *, at_points: bool = False) -> str:
    """Where measured is not what the tape alone says, why and what it says; empty where they agree.

    at_points  each point has its two figures with its readings: where they are many they are not listed here
    """
    told = {point.key: read_and_taken(point, tape) for point in report.points}
    apart = [f"{figures} at the {point_name(key)}" for key, figures in told.items() if figures]
    if not apart:
        return ""
    laid = any(point.overhang is not None for point in report.points)
    what = "readings, overhangs and counts" if laid else "readings and counts"
    measured = f"Measured is what the {what} of the whole piece say together"
    if report.head.carried:
        measured = "Measured is what the piece will measure, washed and blocked, as the swatches tell"
    if at_points and len(apart) > MOST_APART:
        return f"{measured}. What was read stands with the readings of each point."
    return f"{measured}: {listed(apart)}."


MOST_APART = 2
"""Points of which a sentence still tells what was read and what is taken."""


TAKE_PINS_OUT = "Take the pins out and read it again, dry."
OPEN = ("too_close", "on_the_line")
"""Codes of points whose verdict is open."""


def too_close_sentence(report: Report, point: PointReport, tape: Tape = CM) -> str:
    """Why a point is open or what it is held by, and what settles it; empty for a settled point."""
    if point.code == "held_at":
        return TAKE_PINS_OUT
    if point.code not in OPEN:
        return ""
    settles = what_settles(report, point, tape)
    if report.head.carried:
        told = f"Too close to call before the wash: {small_first(settles)}"
    elif at_the_edge(point):
        told = f"It lies right at the edge of what is allowed; {small_first(settles)}"
    elif more_tape_is_vain(report, point):
        told = f"Too close to call, and {small_first(settles)}"
    else:
        told = (
            f"Too close to call. {settles}" if _by_its_garment(point) else f"Too close to call: {small_first(settles)}"
        )
    return " ".join(part for part in (told, same_either_way(report, point)) if part)


def same_either_way(report: Report, point: PointReport) -> str:
    """That the advice does not hang on an open point, or would hardly pay for its readings; empty otherwise."""
    if not report.head.carried and point.decides and _no_tape(report) == "no_gain":
        said = at_the_edge(point) or more_tape_is_vain(report, point)
        return "" if said else "They would change the plan too little to pay."
    if isinstance(report.recommendation, Advice) and not point.decides:
        return SAME
    return ""


SAME = "The advice is the same either way."


def at_the_edge(point: PointReport) -> bool:
    """Whether a point lies right at the edge of what is allowed."""
    return point.code == "on_the_line" or point.reason == "on_the_line"


def more_tape_is_vain(report: Report, point: PointReport) -> bool:
    """Whether more tape would hardly settle an open point."""
    needed = point.readings_needed
    return at_the_edge(point) or _no_tape(report) == "three_looks" or (needed is not None and needed > MANY_READINGS)


def _by_its_garment(point: PointReport) -> bool:
    """Whether it is the garment that was read too little."""
    if point.reason == "tolerance_below_tape":
        return False
    return point.reason == "wanted_value_too_uncertain" or point.side == "reference"


def what_settles(report: Report, point: PointReport, tape: Tape = CM) -> str:
    """What settles an open point, where its verdict stands beside; empty for a settled one."""
    if point.code not in OPEN:
        return ""
    piece, needed = piece_name(report.head), point.readings_needed
    if report.head.carried:
        return f"Wash and block {piece}, let it dry, then read it."
    if more_tape_is_vain(report, point):
        if point.decides and isinstance(report.recommendation, Advice):
            return f"More tape would hardly settle it, so choose by what it costs: {_cheapest_two(report)}."
        return "More tape would hardly settle it."
    anew = lay_anew(report, point.side) if needed else ""
    if point.reason == "tolerance_below_tape":
        sides = [mm for mm in (point.allowed_smaller_mm, point.allowed_larger_mm) if mm is not None]
        allowed = f"{tape.length(min(sides))} is allowed here" if sides else "What is allowed here"
        begin = f"{capital(allowed)}, finer than these readings can tell"
        if needed is None:
            return f"{begin}. Allow more, or read both sides a few times more."
        side = side_name(report, point.side)
        return f"{begin}. Allow more, or read {side} {times_words(needed)} more{anew}."
    if _by_its_garment(point):
        read = point.reference_readings
        how = f"was read only {times_words(read)} here" if read else "is not known well enough here"
        more = "a few times" if needed is None else times_words(needed)
        it = capital(side_name(report, "reference"))
        return f"{it} {how}: read it {more} more, not {piece}{anew}."
    if needed is None:
        return f"A few more readings of {piece} may settle it."
    settle = "settles" if needed == 1 else "settle"
    return f"{capital(count_words(needed, 'more reading'))} of {piece} {settle} it{anew}."


def _no_tape(report: Report) -> str:
    """Why more tape is not on offer, as a code; empty where it is: a point tells the same story as the ways do."""
    measure = next((action for action in report.actions if action.code == "measure_again"), None)
    return measure.impossible.code if measure is not None and measure.impossible is not None else ""


def of_one_laying(report: Report, side: str | None) -> bool:
    """Whether the readings of a side are, as far as is known, all of one laying."""
    own = report.head.piece
    laid = [assumed.about for assumed in report.assumed if assumed.code == "one_laying"]
    if side == "reference":
        return any(about and about != own for about in laid)
    return own in laid or any(help_.code == "lay_again" for help_ in report.helps)


def lay_anew(report: Report, side: str | None) -> str:
    """What to do between readings that were all of one laying; more of the same laying would settle nothing."""
    return "; lift, shake and lay it again in between" if of_one_laying(report, side) else ""


def side_name(report: Report, side: str | None, *, named: bool = True) -> str:
    """What is to be read again: the piece, the garment that it must fit, or both.

    named  the garment is called by its name
    """
    garment = reference_name(report.head) if named else "its garment"
    if side == "both":
        return f"{piece_name(report.head)} and of {garment}"
    return garment if side == "reference" else piece_name(report.head)


def _cheapest_two(report: Report) -> str:
    known = [(action.expected_loss, action) for action in report.actions if action.expected_loss is not None]
    best = [action for _, action in sorted(known, key=lambda pair: pair[0])[:2]]
    if not best:
        return "carry on where nothing speaks against it"
    return ", or ".join(f"{_deed_in_short(report, action)} ({share_words(action.cost)})" for action in best)


def _deed_in_short(report: Report, action: ActionReport) -> str:
    return action_name(action.code, action) if action.code == "rip_back" else deed_name(report, action.code)


def so_far_sentence(point: PointReport, tape: Tape = CM) -> str:
    """The verdict while readings still come in: "So far: chest about 1.1 cm narrow, 8 in 10 that ...".

    Empty where no reading is to come before the wash.
    """
    if point.carried:
        return ""
    name = point_name(point.key)
    read = "one reading" if point.readings == 1 else f"{point.readings} readings"
    nil = is_nil(point.difference.value, tape)
    off = "as wanted" if nil else f"about {off_by(point, tape)}"
    if point.chance_within >= 0.5:
        chance = f"{chance_words(point.chance_within)} that it is within what is allowed"
    else:
        chance = f"{chance_words(1 - point.chance_within)} that it is more than allowed"
    hand = " and a usual tape hand" if point.difference.basis != "measured" else ""
    return f"So far: {name} {off}, {chance}. From {read}{hand}."


def changed_sentence(before: str, after: str, because: str) -> str:
    """What a change did to a verdict: "Was: too close to call. Now: matches. (chest, third reading)"."""
    return f"Was: {zone_word(before)}. Now: {zone_word(after)}. ({because})"


def point_of(report: Report, key: str | None) -> PointReport | None:
    """The point of that key, None where the report has none."""
    return next((point for point in report.points if point.key == key), None)


class Pinned(NamedTuple):
    """A point that a piece is pinned out at, and what it measures there [mm]."""

    key: str
    value: float


def pinned_at(report: Report, small: Sequence[PointReport], direction: str) -> Pinned | None:
    """Where the size to pin to is named: no neck, which has an edge of its own and is no place to stretch.

    What is too small comes first, else the longest that was read there; None where nothing was.
    """
    there = [point for point in report.points if point.direction == direction and point.measured is not None]
    longest = sorted(there, key=lambda point: -point.measured.value if point.measured else 0.0)
    for point in (*small, *longest):
        if point.key not in NECK and point.measured is not None:
            return Pinned(point.key, point.measured.value)
    return None


def worst_first(points: Iterable[PointReport]) -> list[PointReport]:
    """Points by how far they are off against what is allowed on that side, the furthest first."""

    def reach(point: PointReport) -> tuple[float, float]:
        allowed = point.allowed_smaller_mm if point.difference.value < 0 else point.allowed_larger_mm
        return (abs(point.difference.value) / allowed if allowed else 0.0, point.weight)

    return sorted(points, key=reach, reverse=True)


def it_is(report: Report, points: Sequence[PointReport], tape: Tape, *, likely: bool = True) -> str:
    """What a piece is at some points: "The back's chest is 1.1 cm narrow (likely 0.7 to 1.5), the hem 0.9 cm".

    likely  what is likely is said too, of the first
    """
    first, *others = points
    side = first.difference.value < 0
    told = f"{capital(piece_name(report.head))}’s {at_point(report, first.key)} is {off_by(first, tape)}"
    if likely:
        told += f" ({likely_words(first, tape)})"
    if not others:
        return told
    each = []
    for point in others:
        alike = point.difference.value < 0 if side else point.difference.value > 0
        same = alike and point.direction == first.direction and not is_nil(point.difference.value, tape)
        off = tape.length(point.difference.value) if same else off_by(point, tape)
        each.append(f"the {point_name(point.key)} {off}")
    return f"{told}, {listed(each)}"


def because_it_is(report: Report, points: Sequence[PointReport], tape: Tape, end: str) -> str:
    """What a piece is at some points and what comes of that, as the reason under a heading: of as many as it bears.

    end  how the sentence goes on: ", and a wider front makes that up"
    """
    fewer = [points[:number] for number in range(len(points), 0, -1)]
    ways = [it_is(report, some, tape) for some in fewer] + [it_is(report, some, tape, likely=False) for some in fewer]
    return reason(*(f"{way}{end}." for way in ways))
