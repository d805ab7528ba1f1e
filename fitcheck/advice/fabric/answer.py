"""What a make's fabric does: gauge at every stage, change in finishing, the dial, and where to swatch next.

Codes and numbers, ready for JSON; every number carries its interval. ``fabric_of`` says what is pooled.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from fitcheck.advice.fabric.knit_at import knit_at
from fitcheck.advice.fabric.of_make import FabricOf, by_itself
from fitcheck.advice.fabric.shapes import (
    SCHEMA,
    ChangeReport,
    ClickReport,
    DialReport,
    FabricAnswer,
    FabricGauge,
    LineReport,
    NextSwatchReport,
    SlopeReport,
    SpecimenReport,
    WantedGauge,
)
from fitcheck.advice.sizes.table import TableLooked, printed_gauge_mm
from fitcheck.advice.swatched import swatched_dials
from fitcheck.advice.target.parts import Notes
from fitcheck.estimates.fabric.answers import Gauge, PercentChange, Slope, StitchSize
from fitcheck.estimates.fabric.assumptions import BLOCKED, DIRECTIONS, Direction
from fitcheck.estimates.line import Line, line_through
from fitcheck.estimates.numbers import Assumed, Basis, CannotSay, Estimate, Quantity, quantity
from fitcheck.records.households import Household
from fitcheck.records.lengths import FOUR_INCHES_MM
from fitcheck.records.machines import Dial, written_dial
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS

SWATCH_STITCHES = (30.0, 40.0, 60.0)
"""Stitches between the markers that a next swatch is offered with (common practice, no source)."""
CHEST_MM = 1000.0
"""Finished round chest where nothing says it [mm] (assumed, no source)."""
DIAL_KEPT = CannotSay("dial_kept")
LEVEL = 0.90
_STAGES = ("blocked", "rested", "off_machine", "hung")
_MEASURED_SHARE, _ASSUMED_SHARE = 0.9, 0.05
"""Share of the slope that is data from which on it counts as measured, and below which as assumed."""


def fabric_answer(
    make: Make, household: Household, known: FabricOf, looked: TableLooked, *, in_short: bool = False
) -> FabricAnswer:
    """Answer what a make's fabric does, from no swatch at all to dozens.

    known     the fitted fabric of this make
    looked    its points and the check of its size table
    in_short  where pieces keep their dial nothing of other clicks and of a next swatch: it is half of the work
    """
    return _MakeFabric(make, household, looked, known).answer(in_short=in_short)


class _MakeFabric:
    """One make's fabric on its way to codes and numbers."""

    def __init__(self, make: Make, household: Household, looked: TableLooked, known: FabricOf) -> None:
        self.make = make
        self.household = household
        self.known = known
        self.fabric = known.fabric
        self.read = [specimen for specimen in known.specimens if specimen.key not in known.fabric.uncarried]
        self.table, self.asked, self.check = looked.table, looked.asked, looked.check
        self.notes = Notes()
        self.leans: dict[tuple[str, Direction], None] = {}

    def answer(self, *, in_short: bool) -> FabricAnswer:
        known, fabric = self.known, self.fabric
        gauge = self._gauge()
        chest = self._chest_mm()
        wanted = self._wanted(chest)
        in_short = in_short and self._keeps() is not None
        clicks = () if in_short else self._clicks(wanted)
        best = DIAL_KEPT if in_short else self._best(wanted, clicks)
        read = [stage for stage in _STAGES if stage in fabric.stages]
        stages = [stage for stage in _STAGES if stage != BLOCKED and (stage in read or stage != "hung")]
        dials = DialReport(
            tuple(_slope(direction, fabric.slope(direction)) for direction in DIRECTIONS),
            wanted,
            clicks,
            best,
            self._keeps(),
            self._line(wanted, best),
            self._keeps() or knit_at(self.make, self.household, self.asked, wanted, clicks, known),
            tuple(written_dial(dial, known.marks) for dial in swatched_dials(self.fabric)),
        )
        return FabricAnswer(
            schema=SCHEMA,
            make=self.make.id,
            make_name=self.make.name,
            invented=self.household.invented,
            dial=known.written,
            gauge=gauge,
            specimens=tuple(self._specimens()),
            change=tuple(self._change(stage) for stage in stages),
            dials=dials,
            next_swatch=DIAL_KEPT if in_short else self._next_swatch(chest, best),
            assumed=self._assumed(),
            left_out=known.left_out,
            learned=known.learned,
            groups=known.groups,
            asked=known.asked,
        )

    # -- gauge and change ------------------------------------------------------------------------------

    def _gauge(self) -> tuple[FabricGauge, ...] | CannotSay:
        listed: list[FabricGauge] = []
        for stage in _STAGES:
            if stage not in self.fabric.stages:
                continue
            gauge = self.fabric.gauge(self.known.dial, stage=stage)
            if isinstance(gauge, CannotSay):
                return gauge
            listed += self._both("", gauge)
        return tuple(listed)

    def _both(self, of: str, gauge: Gauge) -> list[FabricGauge]:
        for direction, size in zip(DIRECTIONS, (gauge.across, gauge.along), strict=True):
            for code in size.assumed:
                self.leans[code, direction] = None
        return [
            _gauge_of(of, gauge.stage, DIRECTIONS[0], _size(gauge.across)),
            _gauge_of(of, gauge.stage, DIRECTIONS[1], _size(gauge.along)),
        ]

    def _specimens(self) -> Iterable[SpecimenReport]:
        pieces = [specimen.key for specimen in self.known.specimens if specimen.piece]
        of_piece = dict(zip(pieces, self.fabric.specimens_themselves(pieces), strict=True))
        for specimen in self.known.specimens:
            dial = self._written(specimen.dial)
            if not specimen.piece:
                sizes = by_itself(self.known.swatches[specimen.key], self.household)
                gauges = [_gauge_of(specimen.key, *which, quantity(size, "mm")) for which, size in sizes.items()]
                yield SpecimenReport(specimen.key, False, dial, tuple(gauges))
                continue
            own = of_piece[specimen.key]
            if isinstance(own, CannotSay):
                yield SpecimenReport(specimen.key, True, dial, (), own)
            else:
                yield SpecimenReport(specimen.key, True, dial, tuple(self._both(specimen.key, own)))
        pooled = {specimen.key for specimen in self.known.specimens}
        for key, swatch in self.known.swatches.items():
            sizes = by_itself(swatch, self.household) if key not in pooled else {}
            if sizes:
                gauges = [_gauge_of(key, *which, quantity(size, "mm")) for which, size in sizes.items()]
                dial = swatch.dial.written() if swatch.dial else None
                yield SpecimenReport(key, False, dial, tuple(gauges), pooled=False)

    def _change(self, stage: str) -> ChangeReport:
        changes = self.fabric.change(stage)
        for direction, change in zip(DIRECTIONS, (changes.across, changes.along), strict=True):
            if change.basis != "measured":
                self.leans[f"change:{stage}", direction] = None
        return ChangeReport(
            stage,
            _percent(changes.across),
            _percent(changes.along),
            changes.across.specimens,
            changes.along.specimens,
        )

    # -- dial ------------------------------------------------------------------------------------------

    def _settings(self) -> Sequence[Dial]:
        """Every click of the machine; without a machine those of two numbers about what was knitted."""
        if self.known.machine is not None:
            return self.known.machine.clicks()
        dials = self._dials()
        if not dials:
            return []
        self.notes.assume("dial_range", "")
        first, last = max(0, math.floor(min(dials)) - 2), math.ceil(max(dials)) + 2
        marks = self.known.marks
        return [
            dial
            for number in range(first, last + 1)
            for mark in range(marks + 1)
            if (dial := Dial(number=number, marks=mark)).position(marks) <= last
        ]

    def _dials(self) -> list[float]:
        return [specimen.dial for specimen in self.read if specimen.dial is not None]

    def _written(self, position: float | None) -> str | None:
        return None if position is None else written_dial(position, self.known.marks)

    def _wanted(self, chest_mm: float) -> WantedGauge | CannotSay:
        table = self.table
        if table is None:
            return CannotSay("no_wanted_gauge")
        printed, row = (printed_gauge_mm(table.gauge, direction) for direction in DIRECTIONS)
        check = self.check
        made_for, code, low, high = None, "", None, None
        if not isinstance(check, CannotSay):
            made_for, code = check.stitch_mm, check.code
            across = [group for group in check.groups if group.direction == "across"]
            low = max((group.gauge_low_mm for group in across if group.gauge_low_mm is not None), default=None)
            high = min((group.gauge_high_mm for group in across if group.gauge_high_mm is not None), default=None)
        width = made_for or printed
        if width is None:
            return CannotSay("no_wanted_gauge", of="table")
        # A share of the chest is the same share of every stitch in it.
        tolerance = min(width / 2, width * min(self._chest_tolerance()) / (chest_mm / 2))
        return WantedGauge(width, row, tolerance, "printed" if width == printed else "counts", printed, low, high, code)

    def _chest_tolerance(self) -> tuple[float, float]:
        """What is allowed at the chest [mm], flat."""
        chest = self.asked.get("chest")
        return chest.tolerance if chest is not None else POINTS["chest"].tolerance

    def _clicks(self, wanted: WantedGauge | CannotSay) -> tuple[ClickReport, ...]:
        settings = {dial.position(self.known.marks): dial for dial in self._settings()}
        if not settings:
            return ()
        # Without a wanted gauge only the predictions are used, and any size gives the same ones.
        size, tolerance = 1.0, 0.5
        if not isinstance(wanted, CannotSay):
            size, tolerance = wanted.stitch_mm, wanted.tolerance_mm
        predicted = self.fabric.clicks(list(settings), size, tolerance)
        if isinstance(predicted, CannotSay):
            return ()
        told = not isinstance(wanted, CannotSay)
        clicks = []
        for click in predicted:
            across, along = self._both("", click.gauge)
            clicks.append(
                ClickReport(
                    settings[click.dial].written(),
                    click.dial,
                    across,
                    along,
                    click.chance_within if told else None,
                    click.outside,
                    click.good and told,
                )
            )
        return tuple(clicks)

    def _best(self, wanted: WantedGauge | CannotSay, clicks: Sequence[ClickReport]) -> ClickReport | CannotSay:
        if not self.read:
            return CannotSay("no_specimen", of="yarn")
        dials = sorted(set(self._dials()))
        if not dials:
            return CannotSay("no_dial", of="swatches")
        if len(dials) == 1:
            return self._one_dial(dials[0])
        if isinstance(wanted, CannotSay):
            return wanted
        if not clicks:
            return CannotSay("dial_too_far")
        middle = math.fsum(dials) / len(dials)

        def likeliest(click: ClickReport) -> tuple[float, bool, float]:
            # Chances less than one in a thousand apart are equal; then what was swatched goes first.
            return round(click.chance or 0.0, 3), not click.outside, -abs(click.position - middle)

        return max(clicks, key=likeliest)

    def _one_dial(self, dial: float) -> CannotSay:
        """Everything was knitted at one dial: how far the next click goes is only assumed."""
        known = [specimen for specimen in self.read if specimen.dial is not None]
        swatches, pieces = (sum(specimen.piece is is_piece for specimen in known) for is_piece in (False, True))
        machine = self.known.machine
        low = machine.lowest_dial.position(machine.marks) if machine else 0.0
        high = machine.highest_dial.position(machine.marks) if machine else math.inf
        # Whole numbers are easy to set, and a click of 7.1 is told from 8 better than from 7.2.
        around = (math.ceil(dial) - 1, math.floor(dial) + 1)
        near = [number for number in around if low <= number <= high]
        return CannotSay("one_dial", dial=self._written(dial), swatches=swatches, pieces=pieces, near=near)

    def _keeps(self) -> str | None:
        """Dial that the pieces were knitted at and keep; None before any piece, or where nobody said it."""
        last = next((piece for piece in reversed(self.make.standing) if piece.dial or piece.stages), None)
        return last.dial.written() if last and last.dial else None

    def _line(self, wanted: WantedGauge | CannotSay, best: ClickReport | CannotSay) -> LineReport | CannotSay:
        x, y = [], []
        for specimen in self.known.specimens:
            for stage in specimen.stages:
                if stage.stage == BLOCKED and stage.across is not None and specimen.dial is not None:
                    x.append(specimen.dial)
                    y.append(stage.across.value)
        line = line_through(x, y, level=LEVEL)
        if isinstance(line, CannotSay):
            return line
        slope = quantity(Estimate(line.slope, line.u_slope, float(line.dof)), "mm", LEVEL)
        share = 100 / line.y_mean
        percent = quantity(Estimate(share * line.slope, share * line.u_slope, float(line.dof)), "percent", LEVEL)
        at = self._line_at(line, wanted)
        agrees = None
        if isinstance(at, Quantity) and isinstance(best, ClickReport):
            click = 1 / (self.known.marks + 1)
            agrees = at.low - click <= best.position <= at.high + click
        return LineReport(line.n, slope, percent, at, agrees)

    def _line_at(self, line: Line, wanted: WantedGauge | CannotSay) -> Quantity | CannotSay:
        if isinstance(wanted, CannotSay):
            return wanted
        dial = line.x_for(wanted.stitch_mm)
        if isinstance(dial, CannotSay):
            return dial
        return Quantity(dial.value, dial.low, dial.high, dial.level, dial.u, float(line.dof), "dial")

    # -- next swatch -----------------------------------------------------------------------------------

    def _chest_mm(self) -> float:
        """Finished round chest [mm]: from what the make must fit, its size, or assumed."""
        chest = self.asked.get("chest")
        if chest is not None and isinstance(chest.wanted, Estimate) and chest.wanted.value > 0:
            return 2 * chest.wanted.value
        if self.table is not None:
            for size in self.table.sizes:
                cells = [size.pieces.get(kind, {}).get("chest") for kind in ("back", "front")]
                measured = [cell.measure.value_mm for cell in cells if cell and cell.measure]
                if size.name == self.make.size and measured:
                    return measured[0] if self.table.measures == "round" else 2 * measured[0]
        self.notes.assume("chest", "", CHEST_MM, None, "mm")
        return CHEST_MM

    def _next_swatch(self, chest_mm: float, best: ClickReport | CannotSay) -> NextSwatchReport | CannotSay:
        """The swatch that narrows the chest most, among the clicks of one number about what was knitted."""
        marks = self.known.marks
        dials = self._dials()
        settings = [dial.position(marks) for dial in self._settings()]
        if dials:
            first, last = min(dials) - 1.0 - 1e-6, max(dials) + 1.0 + 1e-6
            settings = [setting for setting in settings if first <= setting <= last]
        if not settings:
            return CannotSay("no_dial", of="machine")
        at = self.known.dial if self._keeps() else best.position if isinstance(best, ClickReport) else None
        swatch = self.fabric.next_swatch(settings, chest_mm, SWATCH_STITCHES, at)
        written = self._written(swatch.dial)
        assert written is not None
        return NextSwatchReport(
            written,
            swatch.dial,
            round(swatch.stitches),
            chest_mm,
            swatch.now_mm,
            swatch.interval_mm,
            self._written(at),
        )

    # -- taken for granted -----------------------------------------------------------------------------

    def _assumed(self) -> tuple[Assumed, ...]:
        unsaid = [Assumed(code) for code in self.known.assumed]
        leans = [self._lean(code, direction) for code, direction in sorted(self.leans)]
        first = [assumed for assumed in unsaid if assumed.code == "piece_dial_unsaid"]
        listed = [*first, *leans, *(assumed for assumed in unsaid if assumed not in first)]
        listed += self.notes.assumed.values()
        return tuple(listed)

    def _lean(self, code: str, direction: Direction) -> Assumed:
        """What an answer leaned on, with the figure that was taken."""
        assumptions = self.fabric.assumptions
        code, _, stage = code.partition(":")
        if code == "size":
            prior = assumptions.size(direction)
            value = math.exp(prior.mean)
            return Assumed("size", direction, value, value * prior.sd, "mm")
        if code == "slope":
            prior = assumptions.slope
        elif code == "piece_shift":
            prior = assumptions.shift(direction)
        else:
            prior = assumptions.change(stage, direction)
            percent = 100 * math.expm1(prior.mean)
            return Assumed(f"change_{direction}", stage, percent, 100 * prior.sd, "percent")
        return Assumed(code, direction, 100 * prior.mean, 100 * prior.sd, "percent")


def _size(size: StitchSize) -> Quantity:
    return Quantity(size.value, size.low, size.high, size.level, size.value * size.sd, None, "mm", size.basis)


def _gauge_of(of: str, stage: str, direction: Direction, mm: Quantity) -> FabricGauge:
    def per(span_mm: float) -> Quantity:
        value = span_mm / mm.value
        high = span_mm / mm.low if mm.low > 0 else span_mm / mm.value
        u = value * mm.u / mm.value
        return Quantity(value, span_mm / mm.high, high, mm.level, u, mm.dof, "1", mm.basis)

    return FabricGauge(of, stage, direction, mm, per(100.0), per(FOUR_INCHES_MM))


def _percent(change: PercentChange) -> Quantity:
    # The interval is about 3.29 SD long, its level being 9 in 10; it is not quite symmetric.
    u = (change.high - change.low) / 2 / quantity(Estimate(0.0, 1.0), "1", change.level).high
    return Quantity(change.value, change.low, change.high, change.level, u, None, "percent", change.basis)


def _slope(direction: Direction, slope: Slope) -> SlopeReport:
    share = slope.share_from_data
    basis: Basis = "assumed" if share < _ASSUMED_SHARE else "measured" if share >= _MEASURED_SHARE else "mixed"
    percent = quantity(Estimate(100 * slope.value, 100 * slope.sd, basis=basis), "percent", LEVEL)
    return SlopeReport(direction, percent, share)
