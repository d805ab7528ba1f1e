"""The fabric of a make: which dial, or where to swatch next, with everything that the swatches and pieces tell."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from flask import Blueprint, Response, request

from fitcheck import words
from fitcheck.advice.fabric.shapes import ClickReport, FabricAnswer, WantedGauge
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.households import Household
from fitcheck.records.lengths import FOUR_INCHES_MM
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report
from fitcheck.words import fabric as words_fabric
from fitcheck.words import pages as say
from fitcheck.words.names import told_apart
from fitcheck.words.phrases import count_words
from fitcheck.words.said import Said, in_paragraphs
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make import told as make_told
from webui.pages.make.found import make_of, report_or_404, swatch_url
from webui.pages.make.path import Tick, path_of
from webui.pages.shelves.fabrics import FabricParts, fabric_parts, size_of

pages = Blueprint("make_fabric", __name__)

ASSUMED_SLOPE = 0.05
"""Below this share of data in the slope of the dial its line is not determined."""


@shown_by("make_fabric.html", "makes")
class MakeFabricPage(Page):
    """The fabric of a make.

    head, told      the sentence of the page, and those under it
    lots            swatches and pieces of different lots
    count, pieces   how many swatches and pieces it is known from;  others: swatches of its yarn that it does not name
    add             where a swatch of it is added
    parts           what is known; None without a swatch
    undetermined    the line of the dial is not determined by what was swatched
    asks            whether the next swatch is asked for
    """

    make: Make
    ticks: tuple[Tick, ...]
    head: str
    told: Sequence[str]
    lots: str
    count: str
    pieces: int
    others: Sequence[str]
    add: str
    parts: FabricParts | None
    undetermined: bool
    asks: bool


@pages.get("/makes/<key>/fabric")
def fabric(key: str) -> Response:
    """Which dial, or where to swatch next; what washing will do; gauge beside the pattern's."""
    record = make_of(key)
    report = report_or_404(key, request.args.get("piece") or None)
    household = ground.household()
    tape = ground.tape()
    head = make_told.fabric_head(report, tape, finished=record.finished is not None)
    parts, undetermined, asks = None, False, False
    if report.fabric is not None:
        answer = report.fabric
        parts = fabric_parts(answer, household, of_make=key)
        parts = replace(parts, gauges=_beside_the_pattern(parts.gauges, answer))
        undetermined = max((slope.share_from_data for slope in answer.dials.slopes), default=0.0) < ASSUMED_SLOPE
        asks = record.finished is None and make_told.next_swatch_asked(report, answer, tape)
        told = [head.because, *head.paragraphs] if record.finished else _told(report, answer, head)
    else:
        told = [words.gauge_sentence(gauge, report.head, tape) for gauge in report.gauge]
    names = told_apart(household.swatches)
    lots = {names[swatch.id]: swatch.lot for swatch in household.swatches if swatch.id in record.swatches}
    page = MakeFabricPage(
        make=record,
        ticks=path_of(record, report, "Fabric"),
        head=head.head,
        told=told,
        lots=make_told.lots_told(record, lots),
        count=count_words(len(record.swatches), "swatch"),
        pieces=sum(specimen.piece for specimen in report.fabric.pooled) if report.fabric else 0,
        others=_others(record, household),
        add=swatch_url(record),
        parts=parts,
        undetermined=undetermined,
        asks=asks,
    )
    return views.show(page)


def _told(report: Report, answer: FabricAnswer, head: Said) -> list[str]:
    """Below the heading: what the wanted gauge would ask, and where the next swatch tells most.

    The gauge stands in its table; only where there is none it is said why.
    """
    tape = ground.tape()
    dials = answer.dials
    told = [words_fabric.gauge_headline(answer, tape)] if isinstance(answer.gauge, CannotSay) else []
    if isinstance(dials.wanted, WantedGauge):
        first, *more = words_fabric.which_dial(dials, tape)
        kept = dials.keeps is not None or words_fabric.at_unsaid_dial(answer)
        begun = kept and isinstance(dials.best, ClickReport)
        told += in_paragraphs([say.for_another_of_pattern(first) if begun else first, *more])
    elif dials.keeps is None and not make_told.again_at(report):
        told.append(words_fabric.known_dial_sentence(dials, tape))
    told.append(_next_swatch(report, answer))
    return [paragraph for paragraph in (head.because, *head.paragraphs, *told) if paragraph and paragraph != head.whole]


def _next_swatch(report: Report, answer: FabricAnswer) -> str:
    """Where the next swatch tells most; nothing where the sentence about the dial has said it, or for no gain."""
    tape = ground.tape()
    best, following = answer.dials.best, answer.next_swatch
    said = words_fabric.next_swatch_sentence(following, tape)
    if isinstance(best, CannotSay) and best.code == "one_dial" and answer.dials.keeps is None:
        return ""
    if isinstance(following, CannotSay) or words_fabric.hardly_narrows(following, tape):
        return said
    if make_told.again_at(report):
        return say.to_be_surer(said)
    # The pieces keep their dial whatever is swatched.
    return say.for_another_sweater(said) if answer.dials.keeps is not None else said


def _beside_the_pattern(gauges: Sequence[Mapping[str, Any]], answer: FabricAnswer) -> Sequence[Mapping[str, Any]]:
    """The table of gauges, with the pattern's own under what is blocked."""
    wanted = answer.dials.wanted
    if not isinstance(wanted, WantedGauge):
        return gauges
    whence = "as the pattern prints" if wanted.source == "printed" else "as the pattern’s counts have it"
    rows = list(gauges)
    for what, size in (("stitches", wanted.stitch_mm), ("rows", wanted.row_mm)):
        if size:
            cm, inch = (ground.decimal(span / size, 1) for span in (100.0, FOUR_INCHES_MM))
            at = next((place for place, row in enumerate(rows, start=1) if row["what"] == what), len(rows))
            rows.insert(
                at,
                {
                    "what": what,
                    "stage": whence,
                    "cm": (cm, ""),
                    "inch": (inch, ""),
                    "mm": size_of(size),
                    "assumed": False,
                    "before": False,
                },
            )
    return rows


def _others(make: Make, household: Household) -> list[str]:
    """Swatches of the same yarn that the make does not name."""
    if make.yarn is None:
        return []
    names = told_apart(household.swatches)
    return [
        names[swatch.id] for swatch in household.swatches if swatch.yarn == make.yarn and swatch.id not in make.swatches
    ]
