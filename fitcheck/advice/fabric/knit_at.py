"""The dial of the first piece: of those that were swatched the one that comes nearest to what the counts need."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.fabric.of_make import FabricOf
from fitcheck.advice.fabric.shapes import ClickReport, WantedGauge
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.sizes.points import AskedPoints
from fitcheck.advice.swatched import swatched_dials
from fitcheck.estimates.fabric.fit import SAME_DIAL
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.households import Household
from fitcheck.records.makes import Make


def knit_at(
    make: Make,
    household: Household,
    asked: AskedPoints,
    wanted: WantedGauge | CannotSay,
    clicks: Sequence[ClickReport],
    known: FabricOf,
) -> str | None:
    """The swatched dial likeliest to meet what is wanted, as it is written; else the one nearest to the fabric's own.

    What is wanted is the pattern's gauge; without one the stitch that the planned counts need.
    """
    if any(piece.stages for piece in make.standing):
        return known.written  # a piece that was read keeps its dial, said or not
    swatched = swatched_dials(known.fabric)
    near = [click for click in clicks if any(abs(click.position - dial) <= SAME_DIAL for dial in swatched)]
    stitch_mm = stitch_of_plan(make, household, asked) if isinstance(wanted, CannotSay) else wanted.stitch_mm
    if not near:
        return known.written
    if stitch_mm is None:
        own = known.dial
        return known.written if own is None else min(near, key=lambda click: abs(click.position - own)).dial

    def likeliest(click: ClickReport) -> tuple[float, float]:
        return round(click.chance or 0.0, 3), -abs(click.across.size.value - stitch_mm)

    return max(near, key=likeliest).dial


def stitch_of_plan(make: Make, household: Household, asked: AskedPoints) -> float | None:
    """Stitch width at which the widest planned count of the first piece comes out as wanted [mm]; None without one."""
    kind = CONSTRUCTIONS[make.construction].pieces[0]
    counts = planned_counts(make, household, kind)
    widest: tuple[int, float] | None = None
    for point in asked.points:
        on, count = point.on_piece.get(kind), counts.get(point.key)
        if point.point.direction != "across" or on is None or count is None or not isinstance(point.wanted, Estimate):
            continue
        net = count - on.swallowed
        plain = on.plain(point.wanted.value)
        if net > 0 and plain > 0 and (widest is None or count > widest[0]):
            widest = count, plain / net
    return widest[1] if widest is not None else None
