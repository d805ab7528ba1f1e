"""What would help most: before the first piece, before the wash, and once there is an answer."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

from fitcheck.advice.bed import sure_of_the_bed
from fitcheck.advice.decide.decision import MOST_READINGS, ROUND_LAYINGS, Recommendation
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make
from fitcheck.records.points import DECIDING_FIRST, HALF_FRONTS, POINTS, ROUND_THE_BODY
from fitcheck.records.readings import MAX_LOOKS
from fitcheck.reports.copied import copies_unasked
from fitcheck.reports.decided import Decided
from fitcheck.reports.given import Given
from fitcheck.reports.shapes import Help
from fitcheck.reports.steps import Steps

if TYPE_CHECKING:
    from fitcheck.advice.sizes.answers import FirstPiece

COARSE_MM = 5.0
"""Readings to this or coarser hide what a sweater is judged by: "read to the millimetre or 1/8 in" (fit rule 32)."""
MOST = 3
"""More is not said."""


def helps_of(told: Steps, first: FirstPiece | None) -> tuple[Help, ...]:
    """What would help, most useful first; three at most.

    first  what to knit first, while no piece is there
    """
    if first is not None:
        return tuple(islice(_to_begin(told.given, first), MOST))
    if told.given.make.finished:
        return ()
    unwashed = told.targets is None or told.targets.state not in (None, "blocked")
    if unwashed or isinstance(told.decided, CannotSay):
        # Until it is washed nothing else would tell as much.
        return (Help("wash_and_block"),) if unwashed else ()
    return tuple(dict.fromkeys(_to_be_surer(told, told.decided)))[:MOST]


def _bed_unsaid(given: Given) -> bool:
    """Whether more stitches are planned across a piece than lie on the bed for sure, and no machine is named."""
    make = given.make
    sure = sure_of_the_bed(make)
    if sure is None:
        return False
    planned = [
        *((key, counts.planned or 0) for piece in make.pieces for key, counts in piece.counts.items()),
        *(
            (key, count)
            for kind in CONSTRUCTIONS[make.construction].pieces
            for key, count in planned_counts(make, given.household, kind).items()
        ),
    ]
    return any(count > sure and POINTS[key].direction == "across" for key, count in planned)


def _to_begin(given: Given, first: FirstPiece) -> Iterator[Help]:
    """Before the first piece: what it shall fit, a swatch, counts; then reading it."""
    if not given.make.fits.is_said:
        yield Help("say_fits")
    if first.as_read is None and copies_unasked(given):
        yield Help("say_as_read")
    if not given.swatches:
        yield Help("swatches")
    if first.ask_needles is not None:
        yield Help("say_machine")
    if not first.counts:
        yield Help("say_counts")
    yield Help("read_first")


def _to_be_surer(told: Steps, decided: Decided) -> Iterator[Help]:
    """What the advice asks for first, then counts and readings that are missing, then what is only assumed."""
    advice, state, given = decided.advice, decided.state, told.given
    assert told.judged is not None
    assert told.targets is not None
    labels = {label.key: label.verdict for label in told.judged.points}
    yield from _asked_first(advice)
    yield from _of_an_open_front(given.make)
    if max(point.step_mm for point in state.points) >= COARSE_MM:
        yield Help("read_finer")
    if advice.reason == "worth_measuring":
        asked = next(point for point in state.points if point.key == advice.about)
        yield Help("read_again", advice.about, asked.side, ROUND_LAYINGS)
    if _bed_unsaid(given):
        yield Help("say_machine")
    uncounted = [read.key for read in told.points if read.target.count is None and read.key in ROUND_THE_BODY]
    if uncounted:
        off = [key for key in uncounted if labels[key].code != "matches"]
        yield Help("count_stitches", (off or uncounted)[0])
    blocked = next((action for action in advice.actions if action.code == "block_again"), None)
    small = any(label.code != "matches" and label.difference < 0 for label in labels.values())
    if blocked and blocked.impossible is not None and blocked.impossible.code == "fibre_unsaid" and small:
        yield Help("say_fibre")
    for key in advice.deciding:
        label = labels[key]
        few = label.readings_needed is not None and label.readings_needed <= MOST_READINGS
        if label.code == "too_close" and few and key != advice.about and state.looks < MAX_LOOKS:
            yield Help("read_again", key, label.side, label.readings_needed)
    for key in _unread(told):
        yield Help("read_point", key)
    codes = {assumed.code for assumed in told.targets.assumed}
    if any(read.target.taped and read.target.taped.layings < 2 for read in told.points):
        yield Help("lay_again")
    if "reference_state" in codes:
        yield Help("reference_state")
    elif advice.reason != "as_read" and any(code.startswith("growth") for code in codes):
        yield Help("read_washed")
    if not given.swatches:
        yield Help("swatches")


def _of_an_open_front(make: Make) -> Iterator[Help]:
    """What the halves of an open front lack while one is to come: their band, and counts that are theirs."""
    if make.opens and not {*HALF_FRONTS} <= {piece.piece for piece in make.standing if piece.stages}:
        if make.front_band is None and all(band.edge != "front" for band in make.bands):
            yield Help("say_front_band")
        if "front" in make.planned and not make.planned.keys() & {*HALF_FRONTS}:
            yield Help("plan_halves")


def _asked_first(advice: Recommendation) -> Iterator[Help]:
    """What the advice itself waits for: an answer, a count, the dial."""
    match advice.reason:
        case "wild_reading":
            yield Help("answer_question", advice.about)
        case "as_read":
            yield Help("say_as_read")
        case "felted":
            yield Help("say_felted")
        case "miscount":
            along = POINTS[advice.about].direction == "along"
            yield Help("count_rows" if along else "count_stitches", advice.about)
        case "another_dial":
            yield Help("say_dial")
        case "needles":
            yield Help("say_machine")


def _unread(told: Steps) -> list[str]:
    """Points of the piece that decide and were not read; what lacks something else is asked for where it stands."""
    piece = told.given.piece
    lacks = CONSTRUCTIONS[told.given.make.construction].lacks
    known = {point.key for point in told.points} | {key for key, _ in (told.targets.refused if told.targets else ())}
    return [
        key
        for key in DECIDING_FIRST
        if key not in known and piece is not None and piece.piece in POINTS[key].pieces and key not in lacks
    ]
