"""The answer of a make's page: the sentence, its three figures, the deeds, and the next act as a button."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import field

from markupsafe import Markup

from fitcheck import words
from fitcheck.drawing.answer import teeth, work_bar
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.reports.plans import plan_of
from fitcheck.reports.shapes import Advice, Report
from fitcheck.words import pages as say
from fitcheck.words.in_figures import InFigures, chance_in_figures, cost_in_figures, why_in_figures
from fitcheck.words.measure_again import swatch_asked
from fitcheck.words.rest import rest_heading, rest_title
from fitcheck.words.said import Deed, Said, in_paragraphs
from webui.pages import views
from webui.pages.make import told as make_told
from webui.pages.make.found import measure_url, swatch_url
from webui.pages.views import svg_markup
from webui.taking import as_counts

UNDOES = ("rip_back", "knit_again", "block_again", "alter_hem")
"""Ways of which everything is read before they are gone: they change the piece on the table."""


@frozen
class Cell:
    """One figure of the answer with its drawing; empty where there is none."""

    told: InFigures
    drawn: Markup


@frozen
class Act:
    """A button under the answer: a link, or a form that sends something at once.

    sends  what the form sends; None: it is a link
    """

    word: str
    to: str
    main: bool = False
    sends: Mapping[str, str] | None = field(default=None)


@frozen
class Answer:
    """The answer.

    said    the heading and the sentence under it
    first_read, then_read  what else there is to say: before anything is undone, with what to mind; behind the answer
    so_far  the verdict while readings still come in; empty later
    stamp   what it is about, when and from how much
    deeds   what to do, where it is more than one thing, or no count for the rest
    done    the numbers of those that are ticked
    chance, cost, why  the three figures
    acts    the buttons, the next act first
    """

    said: Said
    first_read: tuple[str, ...]
    then_read: tuple[str, ...]
    so_far: str
    stamp: tuple[str, ...]
    deeds: tuple[Deed, ...]
    done: frozenset[int]
    chance: Cell | None
    cost: Cell | None
    why: Cell | None
    acts: tuple[Act, ...]


def answer_of(report: Report, record: Make, piece: str) -> Answer:
    """Say the answer of a report.

    piece  the piece that the address asks for; empty for the latest
    """
    tape = views.tape()
    finished = record.finished is not None
    said = words.finished_words(report) if finished else views.answer_of(report)
    told = (
        (None, None, None)
        if finished
        else (
            chance_in_figures(report),
            cost_in_figures(report, tape),
            why_in_figures(report, tape),
        )
    )
    chance, cost, why = told
    undoes = isinstance(report.recommendation, Advice) and report.recommendation.action in UNDOES
    return Answer(
        said,
        (*(said.paragraphs if undoes else ()), *in_paragraphs(said.mind)),
        () if undoes else said.paragraphs,
        "" if finished else _so_far(report),
        words.stamp_parts(report.head),
        said.all_deeds if len(said.all_deeds) > 1 or report.rest is None else (),
        record.deeds_done(report.head.piece, plan_of(report)),
        Cell(chance, svg_markup(teeth(chance.share or 0.0))) if chance else None,
        Cell(cost, _work(report, record, cost)) if cost else None,
        Cell(why, Markup()) if why else None,
        acts_of(report, record, piece),
    )


def _work(report: Report, record: Make, cost: InFigures) -> Markup:
    """The piece with the share of the work dark: from the top for what is ripped, from the hem for what is added."""
    if cost.share is None:
        return Markup()
    ripped = isinstance(report.recommendation, Advice) and report.recommendation.action == "rip_back"
    return svg_markup(work_bar(report, cost.share, from_top=ripped, construction=record.construction))


def _so_far(report: Report) -> str:
    """The verdict at the open point that decides most, while every point was read only once or so."""
    if report.head.looks > 1 or report.head.readings > 2 * max(1, len(report.points)):
        return ""
    advice = report.recommendation
    still = [point for point in report.points if point.code == "too_close"]
    # Before a wash it is the wash that tells, not one more reading of a point.
    if not still or (isinstance(advice, Advice) and advice.reason == "wash_and_block"):
        return ""
    decides = max(still, key=lambda point: point.weight * (1 - point.chance_within))
    return words.so_far_sentence(decides, views.tape())


def acts_of(report: Report, record: Make, piece: str) -> tuple[Act, ...]:
    """The next act as the one main button, and what else is near."""
    measure, advice = measure_url(record), report.recommendation
    if record.finished is not None:
        word = say.HOW_IT_CAME_OUT if record.became is not None else say.HANG_IT_UP
        return Act(word, f"/makes/{record.id}/finish"), Act("Read a piece again", measure)
    if (why := make_told.copy_asked(report)) is not None:
        return _to_copy(report, record, why)
    if isinstance(advice, CannotSay):
        return _to_begin(report, record, advice)
    if advice.action == "measure_again":
        return _to_find_out(report, record, advice)
    again = Act("Read a point again", measure)
    if advice.round and advice.about:
        again = Act(say.ROUND_OFFERED, measure_url(record, ",".join(advice.round), report.head.piece))
    if advice.action == "block_again":
        anew = measure_url(record, piece=report.head.piece, another=True)
        return (Act("Read it again once it is dry", anew, True),)
    if report.rest and advice.action == "knit_again" and not report.to_take:
        return Act(rest_heading(report.rest), "#rest", True), again
    return _to_go_on(report, record, piece, again)


def _to_go_on(report: Report, record: Make, piece: str, again: Act) -> tuple[Act, ...]:
    """The counts for the rest, where a piece is still to knit; what is advised can be taken beside it at once."""
    rest = report.rest
    to_come = rest is not None and any(coming.how == "planned" for coming in rest.pieces)
    counts = [Act(say.COUNTS_FOR_THE_REST, f"/makes/{record.id}/rest", True)] if to_come else []
    if report.to_take:
        shown = {"counts": json.dumps(as_counts(report.to_take)), "report": report.digest, "of": piece}
        take = Act(say.TAKE_COUNTS, f"/makes/{record.id}/take-counts", not counts, shown)
        # Reading a point again is behind the tick of the piece; a round that is offered is not.
        return (*counts, take) if counts and again.word != say.ROUND_OFFERED else (*counts, take, again)
    if rest and rest.changes:
        return *(counts or [Act(rest_title(rest), "#rest", True)]), again
    return *counts, Act("Read the next piece", measure_url(record, another=True), not counts), again


def _to_copy(report: Report, record: Make, why: str) -> tuple[Act, ...]:
    """The question whether the garment is copied as it was read, and the way round it."""
    other = _read_garment(report, record) if why == "worn" else Act("What it must fit", f"/makes/{record.id}/fits")
    return Act(say.ANSWER, "#as-read", True), other


def _read_garment(report: Report, record: Make) -> Act:
    """Read the garment again that it must fit, as it is now."""
    return Act(say.read_again(words.reference_name(report.head)), f"/wardrobe/{record.fits.garment}/measure")


def _read_garment_more(report: Report, record: Make) -> Act:
    """Read the garment more often at the measuring that the make fits: one of today does not count for it."""
    to = f"/wardrobe/{record.fits.garment}/measure?occasion={record.fits.occasion}"
    return Act(say.read_again(words.reference_name(report.head)), to, True)


def _to_begin(report: Report, record: Make, reason: CannotSay) -> tuple[Act, ...]:
    """What is missing for any answer: a piece, or what it must fit."""
    measure, fits = measure_url(record), f"/makes/{record.id}/fits"
    first = Act(say.read_it(words.piece_name(report.head)), measure, True)
    if report.first is not None and report.first.code == "needles":
        return _name_machine(record), Act("Read a piece", measure)
    if swatch_asked(report) is not None:
        return Act("Look at what was typed", "#questions", True), Act("Read a piece", measure)
    if report.first is not None and report.first.code == "swatch":
        return Act("Measure a swatch", swatch_url(record), True), Act("Read a piece", measure)
    if report.first is not None and report.first.code == "which_fabric":
        return Act(say.NAME_SWATCHES, f"/makes/{record.id}/settings#swatches", True), Act("Read a piece", measure)
    if report.first is not None and report.first.uneven is not None:
        asked = report.first.uneven
        shown = {"kind": report.first.kind, "point": asked.key, "count": str(asked.count)}
        keep = Act(say.yes_count(asked.count), f"/makes/{record.id}/planned/keep", True, shown)
        return keep, Act("Read a piece", measure)
    if reason.code == "no_piece":
        first = Act("Read a piece", measure, True)
    elif reason.code == "nothing_to_compare" and not record.fits.is_said:
        first = Act("Say what it must fit", fits, True)
    elif reason.code == "not_copied":
        first = Act(say.GIVE_NUMBERS, fits, True)
    return (first,) if first.to == fits else (first, Act("What it must fit", fits))


def _name_machine(record: Make) -> Act:
    """Where a make names its machine, whose needles say how many stitches lie on it."""
    return Act(say.NAME_MACHINE, f"/makes/{record.id}/settings#machine", True)


def _to_find_out(report: Report, record: Make, advice: Advice) -> tuple[Act, ...]:
    """What settles it first: the tape, an answer, a count, a wash."""
    again = Act("Read a point again", measure_url(record))
    # What is finished anew is read at a stage of its own, so that nothing is averaged over two shapes of the piece.
    anew = measure_url(record, piece=report.head.piece, another=True)
    match advice.reason:
        case "wash_and_block":
            return (Act("Read it again once it is washed and dry", anew, True),)
        case "wild_reading":
            return Act("Look at what was typed", "#questions", True), again
        case "felted":
            return Act(say.ANSWER, "#felted", True), again
        case "another_dial":
            return Act("Say where the dial stood", "#dial-asked", True), again
        case "needles":
            return _name_machine(record), again
        case "out_of_shape":
            return (Act("Read it again once it is dry", anew, True),)
        case "miscount" if advice.about:
            return Act("Type what you count", "#count", True), again
    if advice.side == "reference" and report.head.reference and record.fits.garment:
        return _read_garment_more(report, record), again
    what = f"the {words.point_name(advice.about)}" if advice.about else "it"
    return (Act(say.read_again(what), measure_url(record, advice.about, report.head.piece), True),)
