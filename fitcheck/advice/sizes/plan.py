"""What every size is looked at with: this fabric, what is wanted, and how counts come to widths and rows."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import field, replace

import numpy as np

from fitcheck.advice.chance import FitPoint, StitchSize, chance_together
from fitcheck.advice.sizes.answers import (
    NO_WANTED_WIDTH,
    AgainstPattern,
    Agreement,
    LengthAt,
    RowCounted,
    SizeAnswer,
    SizeTableCheck,
    WidthAt,
)
from fitcheck.advice.sizes.fabric import KnownSize, pattern_size
from fitcheck.advice.sizes.points import AskedPoint, AskedPoints, WidthLine
from fitcheck.advice.sizes.table import printed_gauge_mm
from fitcheck.estimates.fabric.fit import LEVEL
from fitcheck.estimates.numbers import Assumed, Basis, CannotSay, Estimate, Quantity, quantity
from fitcheck.estimates.student import normal_cdf
from fitcheck.records.frozen import frozen
from fitcheck.records.machines import Machine
from fitcheck.records.points import BODY, POINTS, SLEEVES, PieceKind
from fitcheck.records.size_tables import Cell, Size, SizeTable

NIL = 1e-4
"""A joint chance this small is not worked out further."""
_Z = 1.6448536269514722
"""Normal quantile at 0.95: the ends of a 90 % interval."""


@frozen
class WidthChances:
    """Chance that all widths fit, of each on its own by its key, and the least likely one."""

    all_fit: float
    alone: Mapping[str, float]
    limiting: str


@frozen
class SizePlan:
    """What every size is looked at with.

    stitch, row      of this fabric; the pattern's own where that is not known; None where neither is
    why_no_chance    why no chance can be said; None where it can
    pattern_stitch_mm, pattern_row_mm   what the counts were made for [mm]
    """

    table: SizeTable | None
    machine: Machine | None
    asked: AskedPoints
    stitch: KnownSize | None
    row: KnownSize | None
    why_no_chance: CannotSay | None
    why_no_rows: CannotSay | None
    pattern_stitch_mm: float | None
    pattern_row_mm: float | None
    half_alone: list[str] = field(default_factory=list)

    @staticmethod
    def of(
        table: SizeTable | None,
        machine: Machine | None,
        asked: AskedPoints,
        check: SizeTableCheck | CannotSay,
        across: KnownSize | CannotSay,
        along: KnownSize | CannotSay,
    ) -> SizePlan:
        """Put together; what the counts were made for stands in for a fabric that is not known."""
        gauge = table.gauge if table is not None else None
        if isinstance(check, CannotSay):
            made = printed_gauge_mm(gauge, "across"), printed_gauge_mm(gauge, "along")
        else:
            # Cells that disagree leave the printed gauge as the only word.
            made = (
                check.stitch_mm or printed_gauge_mm(gauge, "across"),
                check.row_mm or printed_gauge_mm(gauge, "along"),
            )
        known = isinstance(across, KnownSize)
        return SizePlan(
            table,
            machine,
            asked,
            across if isinstance(across, KnownSize) else pattern_size(made[0]),
            along if isinstance(along, KnownSize) else (None if known else pattern_size(made[1])),
            None if isinstance(across, KnownSize) else across,
            None if isinstance(along, KnownSize) else along,
            *made,
        )

    @property
    def weights(self) -> Mapping[str, float]:
        """Loss per point."""
        return {asked.key: asked.weight for asked in self.asked.points}

    def assumed(self) -> tuple[Assumed, ...]:
        """What was taken for granted."""
        listed = list(self.asked.assumed)
        known = [size for size in (self.stitch, self.row) if size is not None]
        codes = dict.fromkeys(code for size in known for code in size.assumed)
        listed += [Assumed(code) for code in codes]
        listed += [Assumed("other_half_alike", key) for key in dict.fromkeys(self.half_alone)]
        return tuple(listed)

    # ---- widths --------------------------------------------------------------------------------------------

    def _stitches_printed(self, size: Size) -> dict[str, dict[PieceKind, float]]:
        """Stitches that the pattern's gauge makes of a size's printed widths, where it counts none of them.

        They are not rounded to whole ones: nobody has said them.
        """
        counted = any(POINTS[key].direction == "across" for key in counts_of(size))
        if self.why_no_chance is not None or self.pattern_stitch_mm is None or self.table is None or counted:
            return {}
        made: dict[str, dict[PieceKind, float]] = {}
        for asked in self.asked.points:
            if asked.point.direction != "across":
                continue
            for kind, on in asked.on_piece.items():
                cell = size.pieces.get(kind, {}).get(asked.key)
                if cell is None or cell.measure is None:
                    continue
                flat = asked.flat_of(kind, cell.measure.value_mm, self.table.measures, self.pattern_stitch_mm)
                stitches = on.plain(flat) / self.pattern_stitch_mm + on.swallowed
                if stitches > max(on.swallowed, 0.0):
                    made.setdefault(asked.key, {})[kind] = stitches
        return made

    def lines(self, counts: Mapping[str, Mapping[PieceKind, float]]) -> dict[str, WidthLine]:
        """The flat width at every point that has a count, as a function of the stitch width."""
        lines = {}
        for asked in self.asked.points:
            if asked.point.direction != "across" or asked.key not in counts:
                continue
            line = asked.line(counts[asked.key])
            if line is not None and line.c > 0:
                lines[asked.key] = line
                halves = {kind for kind in counts[asked.key] if kind in BODY}
                if asked.point.flat and halves and ("back" not in halves or halves == {"back"}):
                    self.half_alone.append(asked.key)
        return lines

    def chance(self, lines: Mapping[str, WidthLine], *, at_least: float = 0.0) -> WidthChances | CannotSay:
        """Chance that the widths fit, averaged over how much pieces of this fabric may differ.

        Alone: Phi over the normal of width and tape. Together: ``chance_together``, for which a piece's own
        deviation is halved as where back and front share a width; what a width of one piece has more than
        that joins its tape. Under NIL, or under what it must reach at least, the joint chance is the product: no more
        than the least.
        """
        if self.why_no_chance is not None:
            return self.why_no_chance
        assert self.stitch is not None
        aims = [
            (key, asked, asked.wanted)
            for key in lines
            if (asked := self.asked.get(key)) is not None and isinstance(asked.wanted, Estimate)
        ]
        if not aims:
            return NO_WANTED_WIDTH
        alone = self._alone([(lines[key], asked, wanted) for key, asked, wanted in aims])
        keys = [key for key, _, _ in aims]
        least = min(range(len(keys)), key=alone.__getitem__)
        if len(keys) == 1 or alone[least] < max(NIL, at_least):
            together = math.prod(alone)
        else:
            together = min(alone[least], self._together([(lines[key], asked, wanted) for key, asked, wanted in aims]))
        return WidthChances(together, dict(zip(keys, alone, strict=True)), keys[least])

    def _alone(self, aims: Sequence[tuple[WidthLine, AskedPoint, Estimate]]) -> list[float]:
        assert self.stitch is not None
        spreads, local = self.stitch.spreads, self.stitch.local_sd
        c, k, share, wanted, u, smaller, larger = np.array(
            [(n.c, n.k, n.share, t.value, t.u, *asked.tolerance) for n, asked, t in aims]
        ).T[:, :, None]
        weight, w, common, piece = np.array(
            [(spread.weight, spread.mm, spread.common_sd, spread.piece_sd) for spread in spreads]
        ).T
        off = c * w + k - wanted
        s = np.sqrt(u**2 + (c * w) ** 2 * (common**2 + share * (piece**2 + local**2)))
        return [float(p) for p in (normal_cdf((larger - off) / s) - normal_cdf((-smaller - off) / s)) @ weight]

    def _together(self, aims: Sequence[tuple[WidthLine, AskedPoint, Estimate]]) -> float:
        assert self.stitch is not None
        half, local = math.sqrt(0.5), self.stitch.local_sd
        total = 0.0
        for spread in self.stitch.spreads:
            points = []
            for line, asked, wanted in aims:
                rest = (line.c * spread.mm) ** 2 * max(line.share - 0.5, 0.0) * (spread.piece_sd**2 + local**2)
                aim = Estimate(wanted.value - line.k, math.sqrt(wanted.u**2 + rest))
                points.append(FitPoint(_belongs(asked), "across", line.c, aim, asked.tolerance))
            size = StitchSize(spread.mm, spread.common_sd, spread.piece_sd * half)
            total += spread.weight * chance_together(points, size, local_sd=local * half)
        return total

    def widths(
        self,
        counts: Mapping[str, Mapping[PieceKind, int]],
        printed: Mapping[str, float],
        lines: Mapping[str, WidthLine],
        width_chances: WidthChances | CannotSay,
    ) -> tuple[WidthAt, ...]:
        """Every width with a count or a printed measure."""
        chances = {} if isinstance(width_chances, CannotSay) else width_chances.alone
        made = []
        for asked in self.asked.points:
            if asked.point.direction != "across" or (asked.key not in counts and asked.key not in printed):
                continue
            line = lines.get(asked.key)
            finished = self._finished(asked, line, printed.get(asked.key))
            wanted = asked.wanted if isinstance(asked.wanted, CannotSay) else quantity(asked.wanted, "mm")
            chance: float | CannotSay
            if asked.key in chances:
                chance = chances[asked.key]
            elif isinstance(asked.wanted, CannotSay):
                chance = asked.wanted
            elif isinstance(finished, CannotSay):
                chance = finished
            else:
                chance = no_count(asked) if self.why_no_chance is None else self.why_no_chance
            smaller, larger = asked.tolerance
            made.append(
                WidthAt(
                    key=asked.key,
                    counts={str(kind): n for kind, n in counts.get(asked.key, {}).items()},
                    printed_mm=printed.get(asked.key),
                    finished=finished,
                    wanted=wanted,
                    difference=less(finished, asked.wanted),
                    allowed_smaller_mm=smaller if math.isfinite(smaller) else None,
                    allowed_larger_mm=larger if math.isfinite(larger) else None,
                    chance=chance,
                )
            )
        return tuple(made)

    def _finished(self, asked: AskedPoint, line: WidthLine | None, printed: float | None) -> Quantity | CannotSay:
        if line is None:
            if self.why_no_chance is not None and printed is not None:
                return Quantity(printed, printed, printed, LEVEL, 0.0, None, "mm", "assumed")
            return no_count(asked)
        if self.stitch is None:
            if printed is not None:
                return Quantity(printed, printed, printed, LEVEL, 0.0, None, "mm", "assumed")
            assert self.why_no_chance is not None
            return self.why_no_chance
        w = self.stitch
        low, high = w.ends(line.share)
        u = line.c * w.mm * w.relative_sd(line.share)
        value, low, high = (line.c * mm + line.k for mm in (w.mm, low, high))
        return Quantity(value, low, high, LEVEL, u, None, "mm", w.basis)

    # ---- one size ------------------------------------------------------------------------------------------

    def size(self, size: Size) -> SizeAnswer:
        """One size in this fabric."""
        printed = self._printed(size)
        across = self.size_across(size, printed)
        return replace(across, lengths=self._lengths(size, printed), row_counted=self._row_counted(size))

    def size_across(
        self, size: Size, printed: Mapping[str, float] | None = None, *, at_least: float = 0.0
    ) -> SizeAnswer:
        """The same by its widths alone: what ranks it, and no length.

        printed   what the pattern promises, where that is known already
        at_least  a chance under this is not worked out further, only said to be under it [1]
        """
        counts = counts_of(size)
        lines = self.lines({**self._stitches_printed(size), **counts})
        chance = self.chance(lines, at_least=at_least)
        widths = self.widths(counts, self._printed(size) if printed is None else printed, lines, chance)
        return SizeAnswer(
            size.name,
            widths,
            (),
            (),
            self._impossible(size),
            chance if isinstance(chance, CannotSay) else chance.all_fit,
            None if isinstance(chance, CannotSay) else chance.limiting,
            self.distance(widths),
        )

    def distance(self, widths: tuple[WidthAt, ...]) -> float | None:
        """Sum of weight x |difference| / allowed over the widths that anything is wanted of."""
        total, any_wanted, weights = 0.0, False, self.weights
        for width in widths:
            if isinstance(width.difference, CannotSay):
                continue
            any_wanted = True
            off = width.difference.value
            allowed = width.allowed_smaller_mm if off < 0 else width.allowed_larger_mm
            total += weights[width.key] * abs(off) / allowed if allowed else 0.0
        return total if any_wanted else None

    def _impossible(self, size: Size) -> CannotSay | None:
        if self.machine is None:
            return None
        widest = max(
            (
                (n, asked.key, kind)
                for asked in self.asked.points
                if asked.point.direction == "across"
                for kind, n in counts_of(size).get(asked.key, {}).items()
            ),
            key=lambda counted: counted[0],
            default=None,
        )
        if widest is None or widest[0] <= self.machine.needles:
            return None
        n, key, kind = widest
        return CannotSay("needles", piece=kind, point=key, stitches=n, needles=self.machine.needles)

    def _printed(self, size: Size) -> dict[str, float]:
        """What the pattern promises, flat [mm]: the mean of back and front where both are printed."""
        assert self.table is not None
        promised: dict[str, float] = {}
        for asked in self.asked.points:
            cells = {
                kind: cell.measure.value_mm
                for kind, of in size.pieces.items()
                if (cell := of.get(asked.key)) is not None and cell.measure is not None and kind in asked.on_piece
            }
            if not cells:
                continue
            gauge = self.pattern_stitch_mm if asked.point.direction == "across" else self.pattern_row_mm
            flat = {kind: asked.flat_of(kind, mm, self.table.measures, gauge) for kind, mm in cells.items()}
            both = [flat[kind] for kind in ("back", "front") if kind in flat]
            if asked.point.flat and len(both) == 2:
                promised[asked.key] = sum(both) / 2
            else:
                kind = asked.first(flat)
                assert kind is not None
                promised[asked.key] = flat[kind]
        return promised

    # ---- rows ----------------------------------------------------------------------------------------------

    def _lengths(self, size: Size, printed: Mapping[str, float]) -> tuple[LengthAt, ...]:
        made = []
        for asked in self.asked.points:
            if asked.point.direction != "along" or asked.key not in printed:
                continue
            kind = asked.first([kind for kind in size.pieces if asked.key in size.pieces[kind]])
            assert kind is not None
            flat = printed[asked.key]
            wanted: Quantity | CannotSay
            difference: Quantity | CannotSay
            instead: Quantity | CannotSay
            if isinstance(asked.wanted, CannotSay):
                wanted = difference = instead = asked.wanted
            else:
                wanted = quantity(asked.wanted, "mm")
                difference = less(_exact(flat), asked.wanted)
                instead = self._rows(asked, kind, asked.wanted)
            rows = self._rows(asked, kind, Estimate(flat))
            made.append(LengthAt(asked.key, kind, flat, rows, wanted, difference, instead))
        return tuple(made)

    def _rows(self, asked: AskedPoint, kind: PieceKind, flat: Estimate) -> Quantity | CannotSay:
        """Rows of plain fabric for a flat length: (length - bands) / h + seam rows."""
        if self.row is None:
            assert self.why_no_rows is not None
            return self.why_no_rows
        on, h = asked.on_piece[kind], self.row
        plain = on.plain(flat.value)
        if plain <= 0:
            return CannotSay("all_band", point=asked.key)
        value = plain / h.mm
        low, high = h.ends(1.0)
        tape = _Z * flat.u * on.scale / h.mm
        rows = value + on.swallowed
        return Quantity(
            rows,
            rows - math.hypot(value - plain / high, tape),
            rows + math.hypot(plain / low - value, tape),
            LEVEL,
            value * math.hypot(h.relative_sd(1.0), flat.u * on.scale / plain),
            None,
            "1",
            _mixed(h.basis, flat.basis),
        )

    def _row_counted(self, size: Size) -> tuple[RowCounted, ...]:
        """Shaping counted in rows: count x h beside count x the pattern's h (or the printed measure)."""
        assert self.table is not None
        made = []
        for key in self.table.row_counted:
            asked = self.asked.get(key)
            if asked is None or asked.point.direction != "along":
                continue
            for kind in asked.on_piece:
                cell = size.pieces.get(kind, {}).get(key)
                if cell is not None and cell.count is not None:
                    made.append(self._counted_in_rows(asked, kind, cell))
        return tuple(row_counted for row_counted in made if row_counted is not None)

    def _counted_in_rows(self, asked: AskedPoint, kind: PieceKind, cell: Cell) -> RowCounted | None:
        rows, on = cell.count, asked.on_piece[kind]
        assert rows is not None
        assert self.table is not None
        if self.pattern_row_mm is not None:
            meant = rows * self.pattern_row_mm
        elif cell.measure is not None:
            meant = on.plain(asked.flat_of(kind, cell.measure.value_mm, self.table.measures, None))
        else:
            return None
        if self.row is None or self.why_no_rows is not None:
            why = self.why_no_rows
            assert why is not None
            return RowCounted(asked.key, kind, rows, meant, why, why, None, False)
        h = self.row
        low, high = h.ends(1.0)
        u = rows * h.mm * h.relative_sd(1.0)
        height = Quantity(rows * h.mm, rows * low, rows * high, LEVEL, u, None, "mm", h.basis)
        error = Quantity(height.value - meant, height.low - meant, height.high - meant, LEVEL, u, None, "mm", h.basis)
        side = asked.tolerance[0] if error.value < 0 else asked.tolerance[1]
        return RowCounted(
            asked.key,
            kind,
            rows,
            meant,
            height,
            error,
            round(meant / h.mm),
            abs(error.value) > side * on.scale,
        )

    # ---- against the pattern -------------------------------------------------------------------------------

    def against(self, sizes: tuple[SizeAnswer, ...]) -> AgainstPattern:
        """This fabric against what the counts were made for; the code comes from finished measures alone."""
        stitch = _percent(self.stitch, self.pattern_stitch_mm, self.why_no_chance)
        row = _percent(self.row, self.pattern_row_mm, self.why_no_rows)
        off: set[Agreement] = set()
        for size in sizes:
            for width in size.widths:
                if width.printed_mm is None or isinstance(width.finished, CannotSay):
                    continue
                low = width.finished.low - width.printed_mm
                high = width.finished.high - width.printed_mm
                least = -math.inf if width.allowed_smaller_mm is None else -width.allowed_smaller_mm
                most = math.inf if width.allowed_larger_mm is None else width.allowed_larger_mm
                inside = least <= low and high <= most
                beyond: Agreement = "wide" if low > most else "narrow" if high < least else "too_close"
                off.add("met" if inside else beyond)
        if not off or self.why_no_chance is not None:
            return AgainstPattern(stitch, row, None)
        clear = off & {"wide", "narrow"}
        if len(clear) == 1:
            return AgainstPattern(stitch, row, clear.pop())
        return AgainstPattern(stitch, row, "met" if off == {"met"} else "too_close")


def counts_of(size: Size) -> dict[str, dict[PieceKind, int]]:
    """Counts of a size per point and piece."""
    counts: dict[str, dict[PieceKind, int]] = {}
    for kind, cells in size.pieces.items():
        for key, cell in cells.items():
            if cell.count is not None:
                counts.setdefault(key, {})[kind] = cell.count
    return counts


def no_count(asked: AskedPoint) -> CannotSay:
    """A width without a count has no finished measure in this fabric."""
    return CannotSay("no_count", point=asked.key)


def less(finished: Quantity | CannotSay, wanted: Estimate | CannotSay) -> Quantity | CannotSay:
    """Finished less wanted, each end of the interval from both [mm]."""
    if isinstance(finished, CannotSay):
        return finished
    if isinstance(wanted, CannotSay):
        return wanted
    tape = wanted.value - wanted.interval(LEVEL).low
    value = finished.value - wanted.value
    return Quantity(
        value,
        value - math.hypot(finished.value - finished.low, tape),
        value + math.hypot(finished.high - finished.value, tape),
        LEVEL,
        math.hypot(finished.u, wanted.u),
        None,
        "mm",
        _mixed(finished.basis, wanted.basis),
    )


def _exact(mm: float) -> Quantity:
    return Quantity(mm, mm, mm, LEVEL, 0.0, None, "mm")


def _mixed(*bases: Basis) -> Basis:
    return bases[0] if len(set(bases)) == 1 else "mixed"


def _belongs(asked: AskedPoint) -> str:
    """The piece whose own deviation the point shares."""
    kinds = set(asked.on_piece)
    return "body" if kinds & set(BODY) else "sleeve" if kinds & set(SLEEVES) else "side_panel"


def _percent(size: KnownSize | None, pattern_mm: float | None, why: CannotSay | None) -> Quantity | CannotSay:
    if why is not None:
        return why
    assert size is not None
    if pattern_mm is None:
        return CannotSay("pattern_gauge_unsaid")
    value, low, high = (100 * (mm / pattern_mm - 1) for mm in (size.mm, size.low, size.high))
    u = 100 * size.mm / pattern_mm * math.hypot(size.common_sd, size.piece_sd)
    return Quantity(value, low, high, LEVEL, u, None, "percent", size.basis)
