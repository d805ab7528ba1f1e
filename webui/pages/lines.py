"""The line of a make in a list: its deed, since when it waits for it, and its outline at one scale with the others."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from fitcheck.drawing.cards import listed_outlines
from fitcheck.drawing.laid import lay
from fitcheck.drawing.outline import Outline, outline_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.reports.on_the_needles import all_on_the_needles, in_hand
from fitcheck.reports.shapes import Advice, Report
from fitcheck.reports.waits import Waits, waits_for
from fitcheck.words import Said, table
from fitcheck.words.left_out import DRAWINGS
from fitcheck.words.on_the_needles import needles_said
from fitcheck.words.the_rest import rest_said
from webui.beginning import rest_of_make
from webui.pages import invented, left_out, views
from webui.pages.make.path import WAITING
from webui.pages.walk.steps import wanted_mm
from webui.service import service


@frozen
class Line:
    """One make in a list.

    to        the address of its page, at the piece that waits; of the rest, where its deed is to cast on or go on
    answer    on that piece;  deed, beside: what is to be done first, and what stands under it
    cast_on   what is cast on or gone on with, where the make only goes on: its deed then; else empty
    waits     what it waits for, and that in words;  day, since: since when, and that in words
    dated     from when to when it was made
    changed   the answer is another than the one that this device showed last
    invented  it came with the invented household
    outline   the piece as it was measured, dashed as it is wanted; empty where neither can be drawn
    """

    key: str
    to: str
    name: str
    answer: Said
    deed: str
    beside: str
    cast_on: str
    waits: Waits
    waiting: str
    day: date | None
    since: str
    dated: str
    finished: bool
    changed: bool
    invented: bool
    outline: str = ""


@frozen
class Group:
    """Makes that wait for the same."""

    key: Waits
    title: str
    lines: tuple[Line, ...]


def own_first(makes: Sequence[Make]) -> list[Make]:
    """The latest first, and the invented ones after all others."""
    latest = makes[::-1]
    return [make for made_up in (False, True) for make in latest if invented.is_invented(make.id) == made_up]


def line_of(make: Make) -> Line:
    """The line of a make, without its outline."""
    latest = views.listed_report_of(make.id)
    report = latest if make.finished else _waiting(make, latest)
    answer = views.answer_of(report)
    day = _since(make, report)
    piece = f"?piece={report.head.piece}" if report is not latest else ""
    cast_on = _cast_on(make, report) if report is latest else ""
    return Line(
        key=make.id,
        to=f"/makes/{make.id}/rest" if cast_on else f"/makes/{make.id}{piece}",
        name=make.name,
        answer=answer,
        deed=cast_on or table.deed(answer),
        beside="" if cast_on else table.beside(answer),
        cast_on=cast_on,
        waits=(waits := waits_for(report)),
        waiting=table.waiting(waits),
        day=day,
        since=table.since(day, date.today()) if day else "",
        dated=table.dated(make.started, make.finished),
        finished=make.finished is not None,
        changed=views.changed_since_looked(make.id, latest.digest),
        invented=invented.is_invented(make.id),
    )


def lines_of(makes: Sequence[Make]) -> list[Line]:
    """The lines of makes, without those that cannot be worked out: these are named on the page."""
    lines = []
    with service().cache.all_in_turn():
        for make in makes:
            with left_out.named(make.name, f"/makes/{make.id}"):
                lines.append(line_of(make))
    return lines


def drawn(makes: Sequence[Make], garments: Iterable[Garment]) -> list[Line]:
    """The same with their outlines, all at one scale."""
    every, by_id = list(garments), {make.id: make for make in makes}
    lines = lines_of(makes)
    with left_out.named(DRAWINGS, ""):
        outlines = listed_outlines([_outline(by_id[line.key], every) for line in lines])
        return [replace(line, outline=views.svg_markup(svg)) for line, svg in zip(lines, outlines, strict=True)]
    return lines


def grouped(lines: Iterable[Line]) -> list[Group]:
    """Lines by what they wait for, invented ones last, else those first that have waited longest."""
    every = sorted(lines, key=lambda line: (line.invented, line.day or date.max))
    groups = [
        Group(waits, title, tuple(line for line in every if line.waits == waits))
        for waits, title in table.GROUPS.items()
    ]
    return [group for group in groups if group.lines]


def _waiting(make: Make, latest: Report) -> Report:
    """The report on the piece that still waits for something, the last begun first; else on the latest."""
    pieces = [piece for piece in reversed(make.standing) if piece.stages]
    for piece in pieces if len(pieces) > 1 else []:
        report = latest if piece.id == latest.head.piece else views.listed_report_of(make.id, piece.id)
        if isinstance(report.recommendation, Advice) and report.recommendation.action in WAITING:
            return report
    return latest


def _cast_on(make: Make, report: Report) -> str:
    """What to cast on or go on with, as the page of the rest says it, where a make only goes on; else empty."""
    advice = report.recommendation
    goes_on = isinstance(advice, Advice) and advice.action == "carry_on" and report.head.to_knit
    if make.finished is not None or not goes_on:
        return ""
    rest, _ = rest_of_make(service(), make.id)
    answer = rest.answer
    needles = in_hand(all_on_the_needles(rest, make, partial(views.store().taps_on, make.id)), answer.next)
    if needles is not None:
        return needles_said(needles).head
    can = answer.why is None and answer.waits is None and answer.refused is None and answer.next is not None
    return rest_said(answer, views.tape()).head if can else ""


def _since(make: Make, report: Report) -> date | None:
    """The day on which the piece was last read or changed its stage; before that, on which the sweater was begun."""
    return date.fromisoformat(report.head.read_on[:10]) if report.head.read_on else make.started


def _outline(make: Make, garments: Sequence[Garment]) -> tuple[Outline | CannotSay, bool]:
    """The piece that was read last, as it was measured; before that the back as it is wanted."""
    laid = lay(views.listed_report_of(make.id), construction=make.construction)
    if not isinstance(laid, CannotSay):
        return laid.piece, True
    wanted = wanted_mm(make, "back", by_key(garments, make.fits.garment))
    return outline_of(wanted, piece="back", construction=make.construction), False
