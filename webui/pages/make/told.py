"""What a make's page says in short of fabric and sizes, whose own pages begin so; and what it asks of the garment."""

from __future__ import annotations

from typing import NamedTuple

from fitcheck import words
from fitcheck.advice.fabric.shapes import FabricAnswer, NextSwatchReport
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS
from fitcheck.reports.shapes import Advice, Report
from fitcheck.words import Tape, pages
from fitcheck.words import fabric as words_fabric
from fitcheck.words import sizes as words_sizes
from fitcheck.words.phrases import spaced
from fitcheck.words.said import Said, in_paragraphs


def again_at(report: Report) -> str:
    """The dial at which the advice has the piece knitted again; empty where it has not."""
    advice = report.recommendation
    plan = None if isinstance(advice, CannotSay) else words.action_of(report, advice.action)
    return plan.dial or "" if plan is not None and plan.code == "knit_again" else ""


def makes_up(report: Report) -> str:
    """The body piece whose other counts make up a width, by the advice; empty where none does."""
    advice = report.recommendation
    plan = None if isinstance(advice, CannotSay) else words.action_of(report, advice.action)
    made = plan is not None and any(
        alteration.by == "other_body_piece" and POINTS[alteration.point].direction == "across"
        for alteration in plan.alterations
    )
    return words.other_piece(report.head) if made else ""


def fabric_head(report: Report, tape: Tape, *, finished: bool = False) -> Said:
    """Which dial, or where to swatch next; what stands in for a fabric that nobody swatched.

    finished  nothing is knitted next: it says what was learned of the fabric
    """
    answer = report.fabric
    if answer is not None and finished:
        return words_fabric.gauge_said(answer, tape)
    if answer is not None:
        return words_fabric.next_dial(
            answer,
            tape,
            again=again_at(report),
            piece=words.piece_name(report.head),
            makes_up=makes_up(report),
        )
    return Said(words_fabric.no_swatch_headline(report))


def fabric_told(report: Report, tape: Tape, *, finished: bool = False) -> list[str]:
    """Two or three sentences of the fabric."""
    answer = report.fabric
    head = fabric_head(report, tape, finished=finished)
    paragraphs = in_paragraphs([head.done, head.because, *head.more])
    if answer is None or finished:
        return list(paragraphs)
    told = [*paragraphs, words_fabric.gauge_headline(answer, tape)]
    if next_swatch_asked(report, answer, tape):
        told.append(words_fabric.next_swatch_sentence(answer.next_swatch, tape))
    return [sentence for sentence in told if sentence]


def knitted(report: Report) -> str:
    """The piece that is knitted and stays, as a sentence names it; empty where there is none."""
    if report.head.piece is None or not report.head.readings:
        return ""
    advice = report.recommendation
    if not isinstance(advice, CannotSay) and advice.action == "knit_again":
        return ""
    return words.piece_name(report.head)


NO_SIZES = "No sizes of a pattern were typed yet."
"""What stands in for an answer about sizes."""


def sizes_told(report: Report, tape: Tape) -> list[str]:
    """A sentence of the sizes, and what decides between two while that is open."""
    if report.sizes is None:
        return []
    pair = report.sizes.side_by_side
    head = words_sizes.sizes_said(report.sizes, tape, knitted=knitted(report))
    told = [*in_paragraphs([head.done, head.because, *head.more])]
    if not knitted(report) or (not isinstance(pair, CannotSay) and pair.close):
        told.append(words_sizes.side_by_side_sentence(report.sizes, tape))
    told += words_sizes.asked_sentences(report.sizes, tape)
    return [sentence for sentence in told if sentence]


class AsReadAsked(NamedTuple):
    """Whether the garment is to be copied as it was read, and the answers: what each sends, and its word."""

    asked: str
    answers: tuple[tuple[str, str], ...]


def as_read_asked(report: Report) -> AsReadAsked | None:
    """Asks whether the garment is to be copied as it was read; None where the advice does not hang on it."""
    why = copy_asked(report)
    if why is None:
        return None
    asked = pages.as_read_asked(why, words.reference_name(report.head))
    return AsReadAsked(asked, pages.AS_READ.get(why, pages.AS_READ["widths"]))


def copy_asked(report: Report) -> str | None:
    """Why it is asked first whether the garment is to be copied; None where the advice does not hang on it."""
    advice, first = report.recommendation, report.first
    if isinstance(advice, Advice):
        return advice.as_read
    return first.as_read.why if first is not None and first.as_read is not None else None


def lots_told(make: Make, lots: dict[str, str]) -> str:
    """That swatches and pieces are of several lots; empty where they are of one, or nobody said.

    lots  lot of each swatch that the make names, by what it is called
    """
    pieces = {f"the {spaced(piece.id)}": piece.lot for piece in make.pieces if piece.lot}
    return words_fabric.lots_sentence({**lots, **pieces})


def next_swatch_asked(report: Report, answer: FabricAnswer, tape: Tape) -> bool:
    """Whether another swatch is asked for: not once pieces keep a dial, nor where the dial's own sentence asks."""
    best, following = answer.dials.best, answer.next_swatch
    return (
        answer.dials.keeps is None
        and not again_at(report)
        and not (isinstance(best, CannotSay) and best.code == "one_dial")
        and isinstance(following, NextSwatchReport)
        and not words_fabric.hardly_narrows(following, tape)
    )
