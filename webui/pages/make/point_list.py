"""The points of a make's page: what is not settled stands open, what matches is one line each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from markupsafe import Markup

from fitcheck import words
from fitcheck.drawing.rulers import rulers, span_of
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.reports.shapes import PointReport, Report
from fitcheck.words import pages as say
from fitcheck.words.point_lines import PointLine, point_line, said_of_all
from fitcheck.words.points import more_tape_is_vain, worst_first
from webui.pages import views
from webui.pages.reading_lines import ReadingLine, lines_of
from webui.pages.views import svg_markup

MOST_OPEN = 2
"""Points that stand open at once."""
SOURCES = {
    "garment": "the sweater that it must fit",
    "numbers": "the numbers that were given",
    "ease": "body and ease",
    "size_table": "the chosen size of the pattern",
    "overhang": "the overhang alone: the piece was laid on the sweater",
}


@frozen
class ListedPoint:
    """One point.

    key, figure   of the catalogue, and its number on every drawing
    code, off_mm  its verdict, and how far off it is [mm]
    told          its figures in words
    ruler         drawn
    readings      behind it, grouped by what they were read on
    source        where what is wanted comes from, and what was read where another figure is taken
    """

    key: str
    figure: int
    code: str
    off_mm: float
    told: PointLine
    ruler: Markup
    readings: tuple[tuple[str, tuple[ReadingLine, ...]], ...]
    source: str


@frozen
class PointList:
    """The points: those to look at and those that match, with their headings; those that could not be compared.

    to_look_at   stand open;  in_lines: are to be looked at too, a line each
    same          what would repeat at every open point, said once; empty where it is not the same
    not_compared  the heading of the points that could not be compared
    """

    to_look_at: tuple[ListedPoint, ...]
    in_lines: tuple[ListedPoint, ...]
    matching: tuple[ListedPoint, ...]
    looked_at: str
    matched: str
    same: str
    refused: tuple[str, ...]
    not_compared: str


def points_of(report: Report, record: Make, household: Household) -> PointList:
    """List the points of a report in the order of their numbers."""
    tape = views.tape()
    figures = key_figures(point.key for point in report.points)
    span, lines = span_of(report.points, tape.unit), lines_of(report, record, household)
    same = said_of_all(report, tape)
    ordered = sorted(report.points, key=lambda point: figures[point.key])
    points = [
        ListedPoint(
            point.key,
            figures[point.key],
            point.code,
            point.difference.value,
            point_line(report, point, tape, above=same),
            svg_markup(drawn),
            _grouped(point, lines),
            say.read_from(SOURCES.get(point.source, ""), words.read_and_taken(point, tape)),
        )
        for point, drawn in zip(ordered, rulers(ordered, tape.unit, span, ids="axis"), strict=True)
    ]
    unsettled = tuple(point for point in points if point.code != "matches")
    first = _opened_first(report)
    to_look_at = tuple(point for point in unsettled if point.key in first)
    in_lines = tuple(point for point in unsettled if point.key not in first)
    matching = tuple(point for point in points if point.code == "matches")
    return PointList(
        to_look_at,
        in_lines,
        matching,
        say.to_look_at(len(unsettled)),
        say.matching(len(matching), alone=not unsettled),
        " ".join(same),
        tuple(words.refused_sentence(key, why) for key, why in report.refused.items()),
        say.points_not_compared(len(report.refused)),
    )


def _opened_first(report: Report) -> frozenset[str]:
    """The points that stand open of those that do not match: those on which the deed hangs, then the worst.

    Each that stands open takes a quarter of a phone's screen; where they are many, one that is less far out is a line,
    and so is the second where nothing hangs on it and more tape would hardly settle it.
    """
    unsettled = worst_first(point for point in report.points if point.code != "matches")
    unsettled.sort(key=lambda point: not point.decides)
    first = unsettled[:MOST_OPEN]
    if len(unsettled) > MOST_OPEN:
        first[1:] = [point for point in first[1:] if point.code == "differs" or not _is_idle(report, point)]
    return frozenset(point.key for point in first)


def _is_idle(report: Report, point: PointReport) -> bool:
    """Whether nothing is to be done about an open point: the deed does not hang on it, nor would tape settle it."""
    return not point.decides and more_tape_is_vain(report, point)


def _grouped(
    point: PointReport, lines: Mapping[str, list[ReadingLine]]
) -> tuple[tuple[str, tuple[ReadingLine, ...]], ...]:
    """Readings under what they were read on; the reference's say so where another source came before them."""
    groups: dict[tuple[str, Place], list[ReadingLine]] = {}
    for line in lines.get(point.key, []):
        if point.source not in ("garment", "overhang") and line.place.kind == "garments":
            line = replace(line, told="not used: what is wanted comes from elsewhere")
        groups.setdefault((line.whose, line.place), []).append(line)
    return tuple((whose, tuple(listed)) for (whose, _), listed in groups.items())
