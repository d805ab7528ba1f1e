"""No figure of an answer contradicts another, nor the sentence that stands above it: fields against fields.

`test_worked.py` holds each rule on the answer to every worked make that has one to give.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from typing import Any, get_args

from fitcheck.records.points import BODY, POINTS
from fitcheck.terminal.report import printed
from fitcheck.words import Unit
from tests.worked.told import Told

LEAST_WORK = 0.05
"""Within this of the least expected loss the way with less work is advised (model 6.5) [work of a back]."""
SMALLEST, LARGEST = 2.2, 12.0
"""Between these a stitch or row of any worked make lies [mm]."""


Rule = Callable[[Told], Iterator[Any]]
RULES: dict[str, Rule] = {}
"""Per name a rule that gives what breaks it in an answer."""


def held(rule: Rule) -> Rule:
    """Hold a rule on the answer to every worked make."""
    RULES[rule.__name__] = rule
    return rule


@held
def the_plan_is_one_that_is_on_offer_and_none_is_clearly_better(told):
    plan = told.advised
    losses = [action.expected_loss for action in told.report.actions if action.expected_loss is not None]
    if plan.impossible is not None or plan.expected_loss > min(losses) + LEAST_WORK + 1e-9:
        yield plan.code, plan.expected_loss, min(losses)


@held
def no_deed_is_on_offer_after_which_another_is_done_all_the_same(told):
    losses = {action.code: action.expected_loss for action in told.report.actions if action.impossible is None}
    for code in ("block_again", "rip_back"):
        for other in ("rip_back", "knit_again"):
            if None not in (losses.get(code), losses.get(other)) and code != other:
                spared = losses[other] + told.deed(code).cost - losses[code]
                if spared < 0.01:
                    yield code, other, spared


@held
def all_fitting_together_is_no_likelier_than_each(told):
    for action in told.report.actions:
        if action.chance is not None and not 0 <= action.chance <= min(action.chances.values(), default=1) + 1e-9:
            yield action.code, action.chance


BESIDE = 0.06
"""How far the chance of one width, reckoned alone, may lie below that of all points [1]."""


@held
def all_fitting_together_is_no_likelier_than_each_width_of_what_is_still_to_come(told):
    for piece in told.report.to_knit if told.advised.chance is not None else ():
        for count in piece.counts.values():
            of_all = piece.kind in BODY and POINTS[count.key].flat and count.fits is not None
            if of_all and count.fits < told.advised.chance - BESIDE:
                yield piece.kind, count.key, count.fits, told.advised.chance


@held
def carry_on_changes_nothing_and_other_counts_change_something(told):
    # What cannot be shaped as on the piece that it is taken from is a stitch off it, whatever is done.
    as_near = {(made.kind, one.key) for made in told.pieces for one in made.counts if one.like and abs(one.step) == 1}
    # What is sewn to a piece with a slip gets its stitches there, and the answer says so.
    sewn = {(made.kind, one.key) for made in told.pieces for one in made.counts if one.by is None and one.step}
    if told.then == "carry_on" and (told.new_counts.keys() - as_near - sewn or told.advised.alterations):
        yield "carry_on", told.new_counts


@held
def what_the_front_gets_to_be_sewn_to_its_back_is_named(told):
    kept = told.first in ("carry_on", "other_counts", "alter_hem", "block_again") and told.report.head.piece_kind
    for made in told.pieces if kept == "back" else ():
        for one in made.counts if made.kind == "front" and made.how == "planned" else ():
            moved = one.by is None and one.like is None and abs(one.step) > 1
            if moved and POINTS[one.key].direction == "across" and f"{one.now} " not in told.head:
                yield one.key, one.before, one.now
    if told.first == "other_counts" and not (told.new_counts or told.report.rest.parts):
        yield "other_counts"


@held
def a_label_agrees_with_its_interval_and_what_is_allowed(told):
    for point in told.report.points:
        low, high = point.difference.low, point.difference.high
        smaller = -math.inf if point.allowed_smaller_mm is None else -point.allowed_smaller_mm
        larger = math.inf if point.allowed_larger_mm is None else point.allowed_larger_mm
        if point.code == "matches" and not smaller <= low <= high <= larger:
            yield point.key, low, high
        if point.code == "differs" and not (high < smaller or low > larger):
            yield point.key, low, high


@held
def the_difference_is_measured_less_wanted(told):
    for point in told.report.points:
        if point.measured is not None and point.wanted is not None and point.overhang is None:
            away = point.difference.value - (point.measured.value - point.wanted.value)
            # The joint posterior moves piece and garment together, by less than the tape shows.
            if abs(away) > 0.6:
                yield point.key, away


@held
def a_count_that_is_altered_is_the_count_that_is_listed(told):
    listed = {(one.key, one.now) for piece in told.pieces for one in piece.counts if one.step}
    for altered in told.advised.alterations:
        by_counts = altered.by == "other_body_piece" and altered.count is not None
        counts = altered.halves or (altered.count,)
        if by_counts and listed and not {(altered.point, count) for count in counts} <= listed:
            yield altered


@held
def what_a_count_gives_is_the_count_times_its_stitch(told):
    for piece in told.pieces:
        for one in piece.counts:
            if one.gives_mm and one.now and not SMALLEST < (one.gives_mm - one.band_mm) / one.now < LARGEST:
                yield piece.kind, one


@held
def the_report_asks_of_a_piece_what_the_counts_of_the_rest_ask(told):
    asked = {(piece.kind, piece.other): piece.asks for piece in told.report.to_knit}
    for piece in told.report.rest.pieces if told.report.rest else ():
        if piece.how == "planned" and piece.asks != asked.get((piece.kind, piece.other), piece.asks):
            yield piece.kind, piece.asks


@held
def a_deed_says_of_the_other_body_piece_the_counts_that_it_is_knitted_with(told):
    counts = {(piece.kind, key): count.count for piece in told.answer.pieces for key, count in piece.counts.items()}
    # Before something is answered the counts are those as they were written down.
    decided = told.answer.why is None and told.advice.action != "measure_again"
    for change in told.advised.alterations if decided else ():
        if change.by != "other_body_piece" or change.count is None or change.halves:
            continue
        knitted = {counts[kind, change.point] for kind in ("back", "front") if (kind, change.point) in counts}
        if knitted and change.count not in knitted:
            yield change.point, change.count, knitted


@held
def no_carry_on_stands_first_where_less_than_half_would_fit(told):
    if told.advised.chance is not None and told.advised.chance < 0.5 and told.head.startswith("Carry on"):
        yield told.advised.chance


@held
def who_says_that_it_matches_everywhere_has_refused_nothing(told):
    if "matches at every point that was read" in told.head:
        yield from told.report.refused
        yield from (point.key for point in told.report.points if point.code not in ("matches", "held_at"))


FINER = {
    "half a millimetre": r"\d\.\d*[1-46-9]\d* mm\b(?! a (?:stitch|row))",
    "a sixteenth of an inch": r"\d\.\d+ in\b|/(?:32|64)\b",
    "a half percent": r"\d\.[1-46-9]\d* %",
}
"""Figures finer than anybody knits, but for the size of a stitch or row."""
OF_A_STITCH = re.compile(
    "The height of a row.*?; no rows were counted|A stitch in the seams is .*?tells, [^(]*|varies by [0-9.]+ %"
)
"""What is taken for granted of one stitch or row, which a whole piece makes a stitch of."""


@held
def no_figure_is_finer_than_its_use(told):
    for unit in get_args(Unit):
        text = OF_A_STITCH.sub("", " ".join(printed(told.report, unit).split()))
        for finer, figures in FINER.items():
            yield from (
                (unit, finer, text[max(0, found.start() - 40) : found.end()]) for found in re.finditer(figures, text)
            )
