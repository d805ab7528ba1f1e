"""Points, explanation and gauge as the report has them."""

from __future__ import annotations

import math
from dataclasses import replace

from fitcheck.advice.judge.explanation import Explanation
from fitcheck.advice.judge.verdict import PointVerdict
from fitcheck.estimates.numbers import Estimate, Quantity, quantity
from fitcheck.estimates.student import MANY_DOF
from fitcheck.records.lengths import FOUR_INCHES_MM
from fitcheck.records.points import POINTS
from fitcheck.reports.reads import Read
from fitcheck.reports.shapes import DirectionReport, ExplanationReport, GaugeReport, PointReport


def point_of(
    read: Read, judged: PointVerdict, decides: bool, *, carried: bool, beside: dict[str, float] | None = None
) -> PointReport:
    """One point with its verdict.

    decides  whether its possible truths lead to different advice
    carried  its length is reckoned from a piece that is not washed and blocked yet
    beside   what each piece that is knitted beside this one lacks there [mm]
    """
    target, label = read.target, judged.verdict
    wanted = target.wanted
    measured = None
    if wanted is not None:
        length = judged.measured
        if read.band_mm:
            length = replace(length, value=length.value + read.band_mm)
        measured = quantity(length, "mm")
    difference = Quantity(
        label.difference,
        label.low,
        label.high,
        label.level,
        label.u,
        _finite(label.dof),
        "mm",
        label.estimate.basis,
    )
    return PointReport(
        key=target.key,
        name=POINTS[target.key].name,
        direction=target.direction,
        flat=POINTS[target.key].flat,
        wanted=quantity(wanted, "mm") if wanted is not None else None,
        measured=measured,
        read=quantity(target.measured, "mm") if target.measured is not None else None,
        difference=difference,
        allowed_smaller_mm=_finite(label.tolerance_mm[0]),
        allowed_larger_mm=_finite(label.tolerance_mm[1]),
        code="on_the_line" if label.reason == "on_the_line" else label.code,
        alone=judged.alone.code,
        reason=label.reason,
        side=label.side,
        readings_needed=label.readings_needed,
        chance_within=label.chance_within,
        count=target.count,
        readings=sum(side.readings for side in (target.taped, target.overhang_taped) if side),
        reference_readings=target.reference.readings if target.reference else 0,
        source=target.source,
        garment_mm=target.garment_figure.value if target.garment_figure else None,
        decides=decides,
        weight=target.weight,
        overhang=quantity(target.overhang_taped.estimate, "mm") if target.overhang_taped else None,
        swallowed_mm=math.fsum(
            part.weight * part.estimate.value for part in target.parts if part.code.startswith("seam_")
        ),
        carried=carried,
        beside=beside or {},
    )


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) and value < MANY_DOF else None


def explanation_of(explanation: Explanation) -> ExplanationReport:
    """What explains the differences, per direction."""
    directions = [
        DirectionReport(
            direction=direction,
            code=told.code,
            point=told.point,
            stitches=told.stitches,
            stitches_low=told.stitches_low,
            stitches_high=told.stitches_high,
            percent=told.percent,
            size=quantity(told.size, "mm") if told.size else None,
            weights=dict(told.weights),
            points=told.points,
            dial=told.dial,
        )
        for direction, told in explanation.directions.items()
    ]
    return ExplanationReport(explanation.code, explanation.direction, explanation.point, tuple(directions))


def gauge_of(piece: str, explanation: Explanation) -> tuple[GaugeReport, ...]:
    """Gauge of the piece, in the directions in which it tells one."""
    sizes = [(direction, explanation.sizes.get(direction)) for direction in ("across", "along")]
    return tuple(_gauge(piece, direction, size) for direction, size in sizes if size is not None)


def _gauge(piece: str, direction: str, size: Estimate) -> GaugeReport:
    """Size of a stitch or row [mm] with its interval, and what that makes per 10 cm and per 4 in."""
    mm = quantity(size, "mm")

    def per(span_mm: float) -> Quantity:
        value = span_mm / mm.value
        return Quantity(
            value,
            span_mm / mm.high,
            span_mm / max(mm.low, 1e-9),
            mm.level,
            value * mm.u / mm.value,
            mm.dof,
            "1",
            mm.basis,
        )

    return GaugeReport(piece, "blocked", direction, mm, per(100.0), per(FOUR_INCHES_MM))
