"""A swatch that was read in another unit than it was typed in: its stitch is a usual one, and none of its make's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from statistics import median

from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.records.points import POINTS
from fitcheck.records.questions.figures import Figures, figures_of
from fitcheck.records.questions.known_gauge import Swatched
from fitcheck.records.questions.question import Question, SizeInOtherUnit, SlipCode
from fitcheck.records.questions.slips import slips
from fitcheck.records.questions.usual import READ_IN_INCHES
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch

Sizes = Mapping[bool, Sequence[float]]
"""Sizes of a stitch (False) and of a row (True) that are known elsewhere than from a swatch [mm]."""


def sizes_of_make(make: Make, wanted: Figures, table: SizeTable | None) -> Sizes:
    """What a make says of its stitches and rows without its swatches: its pieces, its plan, the printed gauge.

    wanted  what was read of the garment that it must fit
    A width with a count tells it to a few stitches of seam, which is near enough to tell inches from centimetres.
    """
    sizes: dict[bool, list[float]] = {False: [], True: []}

    def told(key: str, count: int | None, mm: float | None) -> None:
        if count and mm and POINTS[key].direction != "edge":
            sizes[POINTS[key].direction == "along"].append(mm / count)

    for piece in make.pieces:
        for stage in piece.stages:
            for key, readings in stage.readings.items():
                read = [reading.length.value_mm for reading in readings if reading.counts]
                told(key, piece.counts[key].best if key in piece.counts else None, median(read) if read else None)
    for kind, counts in make.planned.items():
        for key, planned in counts.items():
            flat = wanted.middle(key) if key in wanted.points and kind in POINTS[key].pieces else None
            told(key, planned, flat * POINTS[key].on_piece(kind) if flat else None)
    if table is not None and table.gauge is not None:
        over = table.gauge.over.value_mm
        for row, printed in ((False, table.gauge.stitches), (True, table.gauge.rows)):
            sizes[row] += [over / printed] if printed else []
    return sizes


def beside_others(swatch: Swatch, others: Sequence[Swatched], sizes: Sizes) -> Sizes:
    """The same with the other swatches of a make: of its yarn and pattern."""
    pattern = swatch.stitch_pattern.casefold()
    alike = [
        other.mm
        for other in others
        if other.swatch.id != swatch.id
        and other.swatch.yarn == swatch.yarn
        and other.swatch.stitch_pattern.casefold() == pattern
    ]
    return {row: [*sizes[row], *(mm[row] for mm in alike if row in mm)] for row in (False, True)}


def unit_questions(swatch: Swatch, place: Place, sizes: Sizes) -> Iterator[Question]:
    """Ask about every reading of a stage where each side that is known elsewhere is off as inches are from centimetres.

    sizes  of the stitch and row known elsewhere
    """
    expected = {row: median(known) for row, known in sizes.items() if known}
    for number, stage in enumerate(swatch.stages):
        sides = [
            (row, name, counting, span.between)
            for row, name, readings, span in (
                (False, "across", stage.across, swatch.stitches),
                (True, "along", stage.along, swatch.rows),
            )
            if span is not None and row in expected and (counting := [r for r in readings if r.counts])
        ]
        off = [
            median([reading.length.value_mm for reading in counting]) / between / expected[row]
            for row, _, counting, between in sides
        ]
        code = _slip_by(off)
        if code is None or stage.kind == "hung":
            continue
        at = place.at("stages", number)
        for row, name, _, between in sides:
            for figure in figures_of(stage.along if row else stage.across, at.at(name)):
                slip = next((slip for slip in slips(figure, flat=False) if slip.code == code), None)
                if slip is not None and not figure.confirmed:
                    odd = SizeInOtherUnit(row, figure.mm / between, expected[row])
                    yield figure.question(code, odd, slip)


def _slip_by(off: Sequence[float]) -> SlipCode | None:
    """The unit that was meant where every side is as far off as the two units are [1]; None where one is not."""
    low, high = READ_IN_INCHES
    if off and all(low <= ratio <= high for ratio in off):
        return "inches"
    return "centimetres" if off and all(1 / high <= ratio <= 1 / low for ratio in off) else None
