"""Counts against lengths: the size of a stitch, and rows against stitches, of swatches and printed gauges."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from statistics import median
from typing import Literal

from fitcheck.records.makes import Piece
from fitcheck.records.places import Place
from fitcheck.records.questions.figures import Figure, figures_of
from fitcheck.records.questions.lengths_of_a_point import far_from_neighbours
from fitcheck.records.questions.question import Question, RowsToStitches, SideInOtherUnit, Slip, StitchSize
from fitcheck.records.questions.slips import UNIT_SLIPS, likeliest, mm_of, slips
from fitcheck.records.questions.usual import NEAR_WANTED, PLAIN, USUAL_RATIO, usual_size
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch


def is_plain(knitted: Swatch | Piece) -> bool:
    """Whether it is knitted in a pattern that has the usual ratio of rows to stitches."""
    return knitted.stitch_pattern.casefold() in PLAIN


def rows_to_stitches(
    place: Place, read: str, ratio: float, swapped: float, *, meant: str = "", count: int | None = None
) -> Question | None:
    """Ask about rows over stitches on one length that plain knitting does not have.

    ratio, swapped  as counted, and with the two counts in each other's place [1]
    meant           the two counts swapped, as they would be said
    """
    low, high = USUAL_RATIO
    ratio, swapped = round(ratio, 9), round(swapped, 9)  # 57 rows to 30 stitches are 1.9, not a hair more
    if low <= ratio <= high:
        return None
    odd = RowsToStitches(ratio)
    if low <= swapped <= high:
        return Question(place, read, "", "counts_swapped", odd, Slip("counts_swapped", meant), count)
    return Question(place, read, "", "rows_to_stitches", odd, count=count)


def size_of_stitch(
    figure: Figure,
    mm: float,
    count: int,
    *,
    row: bool,
    usual: tuple[float, float] = (0.0, math.inf),
    wanted: float | None = None,
    place: Place | None = None,
) -> Question | None:
    """Ask about a stitch or row that hardly any machine knits.

    usual   what the length may be after a slip [mm]
    wanted  what the length should be [mm]; a length near it is left alone
    place   place of the count, where it stands by itself: it is asked about where no slip of the tape fits
    """
    low, high = usual_size(row=row)
    if low <= mm / count <= high or figure.confirmed:
        return None
    odd = StitchSize(count, figure.read, row, mm / count, low, high)
    near = wanted is not None and 1 / NEAR_WANTED < mm / wanted < NEAR_WANTED
    possible = (slip for slip in slips(figure, flat=False) if usual[0] <= mm_of(slip) <= usual[1])
    fitting = [slip for slip in possible if low <= mm_of(slip) / count <= high]
    slip = None if near else likeliest(fitting, wanted)
    if slip is None and place is not None:
        return Question(place, counted(count, row=row), figure.unit, "stitch_size", odd, count=count)
    return figure.question("stitch_size", odd, slip)


def counted(count: int, *, row: bool) -> str:
    """A count as it was typed, with what it is of."""
    return f"{count} {'rows' if row else 'stitches'}"


def swatch_questions(swatch: Swatch, place: Place) -> Iterator[Question]:
    """Ask about a swatch: single readings, the size of a stitch, and rows against stitches."""
    ratio_asked = False
    for number, stage in enumerate(swatch.stages):
        at = place.at("stages", number)
        across, along = figures_of(stage.across, at.at("across")), figures_of(stage.along, at.at("along"))
        asked: list[Question] = []
        for figures, span, row in ((across, swatch.stitches, False), (along, swatch.rows, True)):
            if span is not None and not _all_usual(figures, span.between, row=row):
                sizes = (size_of_stitch(figure, figure.mm, span.between, row=row) for figure in figures)
                asked += [question for question in sizes if question is not None]
            odd = {question.place for question in asked}
            far = far_from_neighbours([figure for figure in figures if figure.place not in odd] if odd else figures)
            if far is not None:
                asked.append(far)
        yield from asked
        hung = stage.kind == "hung"  # a load pulls the rows long: no ratio to go by
        if ratio_asked or asked or hung or not across or not along or swatch.rows is None or not is_plain(swatch):
            continue
        if along[0].confirmed or across[0].confirmed:
            continue
        of_ratio = list(_sides(across, along, swatch.stitches.between, swatch.rows.between))
        ratio_asked = bool(of_ratio)
        yield from of_ratio


def _all_usual(figures: Sequence[Figure], count: int, *, row: bool) -> bool:
    """Whether no reading of a side makes a stitch or row that is asked about."""
    low, high = usual_size(row=row)
    lengths = [figure.mm for figure in figures]
    return not lengths or (low <= min(lengths) / count and max(lengths) / count <= high)


def _sides(across: Sequence[Figure], along: Sequence[Figure], stitches: int, rows: int) -> Iterator[Question]:
    """Ask about rows against stitches: a side in another unit, else the counts swapped."""
    width, height = (median([figure.mm for figure in figures]) for figures in (across, along))
    in_other_unit = list(_side_in_other_unit((across, width, stitches), (along, height, rows)))
    if in_other_unit:
        yield from in_other_unit
        return
    question = rows_to_stitches(
        along[0].place,
        f"{stitches} stitches, {rows} rows",
        (width / stitches) / (height / rows),
        (width / rows) / (height / stitches),
        meant=f"{rows} stitches, {stitches} rows",
    )
    if question is not None:
        yield question


def _side_in_other_unit(
    of_width: tuple[Sequence[Figure], float, int], of_height: tuple[Sequence[Figure], float, int]
) -> Iterator[Question]:
    """Ask about the side of a swatch that was read in another unit than it was typed in.

    Taken in that unit, plain knitting has its usual ratio of rows to stitches again, stitch and row are of a usual
    size, and what was read is nearer to a square: nobody reads a swatch 16 cm wide over 53 cm of its height.

    of_width, of_height  the readings of each side, their median [mm], and its stitches or rows
    """

    (across, width, stitches), (along, height, rows) = of_width, of_height

    def ratio(width: float, height: float) -> float:
        return round(width / stitches / (height / rows), 9)

    def usual(width: float, height: float) -> bool:
        low, high = USUAL_RATIO
        sizes = (width / stitches, usual_size(row=False)), (height / rows, usual_size(row=True))
        return low <= ratio(width, height) <= high and all(least <= mm <= most for mm, (least, most) in sizes)

    if USUAL_RATIO[0] <= ratio(width, height) <= USUAL_RATIO[1]:
        return
    sides: tuple[tuple[Sequence[Figure], Literal["height", "width"]], ...] = ((along, "height"), (across, "width"))
    for figures, side in sides:
        if len({figure.unit for figure in figures}) > 1:
            continue
        for slip in slips(figures[0], flat=False):
            if slip.code not in UNIT_SLIPS.values():
                continue
            factor = mm_of(slip) / figures[0].mm
            wide, high = (width, height * factor) if side == "height" else (width * factor, height)
            if not usual(wide, high) or abs(math.log(wide / high)) >= abs(math.log(width / height)):
                continue
            for figure in figures:
                own = next((other for other in slips(figure, flat=False) if other.code == slip.code), None)
                if own is not None and not figure.confirmed:
                    yield figure.question(own.code, SideInOtherUnit(side, ratio(width, height)), own)
            return


def printed_gauge_questions(table: SizeTable, place: Place) -> Iterator[Question]:
    """Ask about a printed gauge; a pattern stitch may well have it, so it is only asked."""
    gauge = table.gauge
    if gauge is None or gauge.stitches is None or gauge.rows is None:
        return
    question = rows_to_stitches(
        place.at("gauge"),
        f"{gauge.stitches:g} stitches, {gauge.rows:g} rows",
        gauge.rows / gauge.stitches,
        gauge.stitches / gauge.rows,
        meant=f"{gauge.rows:g} stitches, {gauge.stitches:g} rows",
    )
    if question is not None:
        yield question
