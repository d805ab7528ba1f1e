"""A finished sweater in words: how it fits, point by point, and what hangs with it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date

from fitcheck.advice.left import PAIRED
from fitcheck.advice.rest.taking import taken_counts
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import AsKnitted
from fitcheck.records.makes import Make
from fitcheck.records.points import PieceKind
from fitcheck.reports.finished import CameOut, Finished, FinishedPoint
from fitcheck.reports.said_then import SaidThen
from fitcheck.reports.shapes import PointReport
from fitcheck.words.as_knitted import as_knitted
from fitcheck.words.dates import write_day
from fitcheck.words.figures import CM, Tape
from fitcheck.words.names import piece_name, point_name, points_named, zone_word
from fitcheck.words.phrases import capital, count_words, listed, side_word, small_first, spaced
from fitcheck.words.points import allowed_words, off_by, point_figures, row_figures, tape_at
from fitcheck.words.reasons import chance
from fitcheck.words.rest import taken_sentences

OPEN = ("too_close", "on_the_line")
TELLS = 2.0
"""How far off may be likely, either way, for a mean to be said [%]; more tells the next one nothing (assumed)."""
FROM_NOW_ON = "From now on others can be laid over it."


@frozen
class FinishedSaid:
    """The heading of the page, and the sentence under it."""

    head: str
    because: str


@frozen
class PointSaid:
    """One point of the sewn garment in words.

    label       its verdict: matches, narrow, wide, short, long, too close to call, not measured
    difference  the figure with its sign; empty where it was not read
    figures     what was wanted, measured and planned
    """

    title: str
    label: str
    difference: str
    figures: str


@frozen
class HangsWith:
    """One part of what hangs with a finished sweater: its label and its sentences."""

    label: str
    told: tuple[str, ...]


def finished_said(answer: Finished, tape: Tape = CM) -> FinishedSaid:
    """What comes first: finish it, hang it up, lay the tape on it; then how it fits."""
    read = [told.point for told in answer.points if told.point.measured is not None and told.point.wanted is not None]
    if answer.on is None:
        return FinishedSaid(
            "Finish it once everything is sewn.",
            "It hangs in the wardrobe with its counts, dial and fit. The next sweater in this yarn starts from them.",
        )
    if answer.garment is None:
        when = write_day(date.fromisoformat(answer.on))
        return FinishedSaid("Hang it in the wardrobe.", f"Finished on {when}. {FROM_NOW_ON}")
    if not read:
        return FinishedSaid(
            "Lay the tape on it, now that it is sewn.",
            "It hangs in the wardrobe with the points of its pieces, less what the seams take. Measured once more it "
            "is known better.",
        )
    return FinishedSaid(_verdict(read, tape, all_read=len(read) == len(answer.points)), _because(answer, read))


def _verdict(read: Sequence[PointReport], tape: Tape, *, all_read: bool) -> str:
    """How it fits: where it differs, else what is too close to call, else that it fits."""
    off = [point for point in read if point.code == "differs"]
    if len(off) == 1:
        return f"The {point_name(off[0].key)} came out {off_by(off[0], tape)}."
    if off:
        return f"It differs from what was wanted at {points_named([point.key for point in off])}."
    open_ = [point.key for point in read if point.code in OPEN]
    if open_:
        return f"It fits, but for {points_named(open_)}: too close to call."
    return "It fits at every point." if all_read else "It fits at every point that was read."


def _side(point: PointReport) -> str:
    return side_word(point.direction, point.difference.value)


def _because(answer: Finished, read: Sequence[PointReport]) -> str:
    """How many points lie within what is allowed, and what was not read."""
    within = sum(point.code == "matches" for point in read)
    verb = "lies" if within == 1 else "lie"
    told = [f"{capital(count_words(within, 'point'))} {verb} within what is allowed"] if within else []
    unread = [told.point.key for told in answer.points if told.point.measured is None]
    if unread:
        told.append(f"{points_named(unread)} {'was' if len(unread) == 1 else 'were'} not read")
    return f"{capital('; '.join(told))}. {FROM_NOW_ON}" if told else FROM_NOW_ON


def point_said(told: FinishedPoint, tape: Tape = CM) -> PointSaid:
    """One point for the list."""
    point, tape = told.point, tape_at(told.point, tape)
    planned = f"its pieces came to {tape.length(told.planned_mm)}" if told.planned_mm is not None else ""
    title = f"{capital(point.name)}{', flat' if point.flat else ''}"
    if point.measured is None:
        wanted = [f"wanted {tape.length(point.wanted.value)}", allowed_words(point, tape)] if point.wanted else []
        figures = "; ".join(filter(None, (", ".join(wanted), planned)))
        return PointSaid(title, zone_word("not_measured"), "", f"{capital(figures)}." if figures else "")
    if point.wanted is None:
        measured = f"measured {tape.length(point.measured.value)}"
        return PointSaid(title, "nothing was wanted", "", f"{capital('; '.join(filter(None, (measured, planned))))}.")
    label = _side(point) if point.code == "differs" else zone_word(point.code)
    figures = f"{point_figures(point, tape)}{f' {capital(planned)}.' if planned else ''}"
    return PointSaid(title, label, row_figures(point, tape).difference, figures)


def came_out(told: Sequence[CameOut], tape: Tape = CM) -> tuple[str, ...]:
    """How far it came out from its plan, a sentence a direction: "Across it came out 0.8 % wider than ..."."""
    return tuple(_came_out(direction, tape) for direction in told)


def to_count_on(told: Sequence[CameOut], tape: Tape = CM) -> tuple[str, ...]:
    """Of these the directions in which the next one will likely be off as this one was."""
    return tuple(_came_out(direction, tape) for direction in told if _is_off(direction))


def _tells(told: CameOut) -> bool:
    return told.percent.high - told.percent.low <= 2 * TELLS


def _is_off(told: CameOut) -> bool:
    return _tells(told) and not told.percent.low < 0 < told.percent.high


def _came_out(told: CameOut, tape: Tape) -> str:
    share, where = told.percent, capital(told.direction)
    points = count_words(told.points, "point")
    if not _tells(told):
        return f"{where} it tells nothing yet: its {points} came out too far apart."
    near, far = (tape.number(percent, 1) for percent in sorted((abs(share.low), abs(share.high))))
    if not _is_off(told):
        return f"{where} it came out as its pieces had it, within {far} % ({points})."
    side = side_word(told.direction, share.value, comparative=True)
    return (
        f"{where} it came out {tape.number(abs(share.value), 1)} % {side} than its pieces had it, "
        f"likely {near} to {far} ({points}). Count on the same for the next one."
    )


def said_and_came(answer: Finished, then: SaidThen) -> tuple[HangsWith, ...]:
    """What was said of its pieces then, beside what the tape says of it sewn; nothing before it was read."""
    judged = [told.point for told in answer.points if told.point.code not in ("not_measured", "cannot_say")]
    if not judged:
        return ()
    match = sum(point.code == "matches" for point in judged)
    if len(judged) == 1:
        matching = "the one point that was read matches" if match else "the one point that was read does not match"
    else:
        matching = f"{match} of {len(judged)} points {'matches' if match == 1 else 'match'}"
    came = f"By the tape on it sewn: {matching}."
    return (HangsWith("What was said, what came", (_said_then(then), came)),)


def _said_then(then: SaidThen) -> str:
    """ "When its counts were taken, on 14 Nov 2026, by the back: 9 in 10 that every point that was read fits." """
    when = f"When its counts were taken, on {write_day(then.taken_on)}" if then.taken_on else "Before it was finished"
    if then.report is None:
        return f"{when}: what was said cannot be told, for the history here does not have what it rested on."
    if then.report.head.piece is None:
        return f"{when}: no piece was read."
    return f"{when}, by {piece_name(then.report.head)}: {small_first(chance(then.report))}"


def hangs_with(
    answer: Finished, make: Make, knitted: AsKnitted | None, yarn: str, tape: Tape = CM
) -> tuple[HangsWith, ...]:
    """What hangs with a sweater: how it was knitted, its yarn, what changed on the way, what the next one has of it.

    yarn  its name; empty where none was said
    """
    parts = []
    if knitted is not None and (sentences := as_knitted(knitted, tape.unit)):
        parts.append(HangsWith("How it was knitted", sentences))
    if yarn:
        parts.append(HangsWith("The yarn", (_yarn(make, yarn),)))
    if changed := taken_sentences(taken_counts(make)):
        parts.append(HangsWith("What changed on the way", changed))
    if answer.came_out:
        parts.append(HangsWith("What came of the plan", came_out(answer.came_out, tape)))
    if knitted is not None and knitted.counts:
        dial = f"dial {knitted.dial.written()} and " if knitted.dial is not None else ""
        of_yarn = "A sweater in this yarn" if yarn else "The next one like it"
        parts.append(HangsWith("For the next one", (f"{of_yarn} starts with {dial}these counts.",)))
    return tuple(parts)


def _yarn(make: Make, yarn: str) -> str:
    """ "Grey wool: 356 g in its 4 pieces." """
    weights = [[stage.grams for stage in piece.stages if stage.grams is not None] for piece in make.standing]
    weighed = [grams[-1] for grams in weights if grams]
    if not weighed:
        return f"{capital(yarn)}; no piece was weighed."
    pieces = count_words(len(weighed), "piece")
    were = "" if len(weighed) == len(weights) else f" that {'was' if len(weighed) == 1 else 'were'} weighed"
    return f"{capital(yarn)}: {sum(weighed):.0f} g in the {pieces}{were}."


def still_to_knit(left: Sequence[PieceKind], one_there: Collection[PieceKind]) -> FinishedSaid:
    """What is asked where nothing says of pieces that they were knitted: "..., the front and two sleeves are still ..."

    one_there  kinds of which one of two is there
    """
    two = [kind in PAIRED and kind not in one_there for kind in left]
    names = [
        f"two {spaced(kind)}s" if both else f"the {'other ' if kind in PAIRED else ''}{spaced(kind)}"
        for kind, both in zip(left, two, strict=True)
    ]
    are = "are" if len(left) > 1 or two[0] else "is"
    return FinishedSaid("Is it finished?", f"By what was recorded, {listed(names)} {are} still to knit.")


def first_answered(said: FinishedSaid, asked: int) -> FinishedSaid:
    """The same where readings are asked about: they count as soon as that is answered."""
    if not asked:
        return said
    them = "A reading is asked about, and counts" if asked == 1 else f"{asked} readings are asked about, and count"
    return replace(said, because=f"{them} as soon as that is answered. {said.because}".strip())


def next_name(name: str, taken: Sequence[str]) -> str:
    """What the next sweater like one is called: "grey pullover 2", or the first number after it that is free."""
    stem, _, last = name.rpartition(" ")
    stem, number = (stem, int(last)) if stem and last.isdecimal() and len(last) < 4 else (name, 1)
    while f"{stem[:390]} {number + 1}" in taken:
        number += 1
    return f"{stem[:390]} {number + 1}"


def begun_from(name: str) -> str:
    """That the next sweater was begun from one that is finished."""
    return f"Begun like {name}: with its fabric, dial, counts and fit."


def drawn(name: str) -> str:
    """What the drawing of a finished sweater shows, in one sentence."""
    return f"{capital(name)}, full, over what was wanted, dashed; widths are half round."
