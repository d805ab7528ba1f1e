"""What a make's page says in short of its fabric and its sizes; their own pages begin with the same sentences."""

from __future__ import annotations

from fitcheck import words
from fitcheck.advice.fabric.answer import FabricAnswer, NextSwatchReport
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import Report
from fitcheck.words import Mark, Unit
from fitcheck.words import fabric as words_fabric
from fitcheck.words import sizes as words_sizes
from fitcheck.words.phrases import spaced


def again_at(found: Report) -> str:
    """The dial at which the advice has the piece knitted again; empty where it has not."""
    advice = found.recommendation
    plan = None if isinstance(advice, CannotSay) else words.action_of(found, advice.action)
    return plan.dial or "" if plan is not None and plan.code == "knit_again" else ""


def makes_up(found: Report) -> str:
    """The body piece whose other counts make up a width, by the advice; empty where none does."""
    advice = found.recommendation
    plan = None if isinstance(advice, CannotSay) else words.action_of(found, advice.action)
    made = plan is not None and any(
        one.by == "other_body_piece" and POINTS[one.point].direction == "across" for one in plan.alterations
    )
    return words.other_piece(found.head) if made else ""


def fabric_head(found: Report, unit: Unit, mark: Mark, *, finished: bool = False) -> str:
    """Which dial, or where to swatch next, in one sentence; what stands in for a fabric that nobody swatched.

    finished  nothing is knitted next: it says what was learned of the fabric
    """
    answer = found.fabric
    if answer is not None and finished:
        return words_fabric.gauge_headline(answer, unit, mark=mark)
    if answer is not None:
        return words_fabric.next_dial_headline(
            answer,
            unit,
            again=again_at(found),
            piece=words.piece_name(found.head),
            makes_up=makes_up(found),
            mark=mark,
        )
    return words_fabric.no_swatch_headline(found)


def fabric_told(found: Report, unit: Unit, mark: Mark, *, finished: bool = False) -> list[str]:
    """Two or three sentences of the fabric."""
    answer = found.fabric
    head = fabric_head(found, unit, mark, finished=finished)
    if answer is None or finished:
        return [head]
    told = [head, words_fabric.gauge_headline(answer, unit, mark=mark)]
    if next_swatch_asked(found, answer, unit, mark):
        told.append(words_fabric.next_swatch_sentence(answer.next_swatch, unit, mark=mark))
    return [one for one in told if one]


def knitted(found: Report) -> str:
    """The piece that is knitted and stays, as a sentence names it; empty where there is none."""
    if found.head.piece is None or not found.head.readings:
        return ""
    advice = found.recommendation
    if not isinstance(advice, CannotSay) and advice.action == "knit_again":
        return ""
    return words.piece_name(found.head)


def sizes_head(found: Report, unit: Unit, mark: Mark) -> str:
    """Which size; once a piece is knitted, how the sizes look beside it."""
    if found.sizes is None:
        return "No sizes of a pattern were typed yet."
    return words_sizes.sizes_headline(found.sizes, unit, knitted=knitted(found), mark=mark)


def sizes_told(found: Report, unit: Unit, mark: Mark) -> list[str]:
    """A sentence of the sizes, and what decides between two while that is open."""
    if found.sizes is None:
        return []
    pair = found.sizes.side_by_side
    told = [sizes_head(found, unit, mark)]
    if not knitted(found) or (not isinstance(pair, CannotSay) and pair.close):
        told.append(words_sizes.side_by_side_sentence(found.sizes, unit, mark=mark))
    told.append(words_sizes.advised_sentence(found.sizes))
    return [one for one in told if one]


def lots_told(make: Make, lots: dict[str, str]) -> str:
    """That swatches and pieces are of several lots; empty where they are of one, or nobody said.

    lots  lot of each swatch that the make names, by what it is called
    """
    pieces = {f"the {spaced(one.id)}": one.lot for one in make.pieces if one.lot}
    return words_fabric.lots_sentence({**lots, **pieces})


def next_swatch_asked(found: Report, answer: FabricAnswer, unit: Unit, mark: Mark) -> bool:
    """Whether another swatch is asked for: not once pieces keep a dial, nor where the dial's own sentence asks."""
    best, following = answer.dials.best, answer.next_swatch
    return (
        answer.dials.keeps is None
        and not again_at(found)
        and not (isinstance(best, CannotSay) and best.code == "one_dial")
        and isinstance(following, NextSwatchReport)
        and not words_fabric.hardly_narrows(following, unit, mark=mark)
    )
