"""What is knitted first, and the three questions before it (model 8b): other counts, a swatch, or hardly a chance.

They are asked of the count that would be knitted, whether it was typed, planned, chosen as a size or is advised:

1. Does another size, or another count on the bed, lose less by `CLEARLY` or more? Then not this one; where the second
   question asks for a swatch, only if the width is likely off as it is, for the swatch may tell otherwise.
2. Was no blocked swatch knitted at that dial, nor on both sides of it; or do the swatches contradict each other? Then a
   swatch comes first.
3. Are the widths hardly likely to fit with the best counts? Then a swatch comes first where knowing the stitch would
   change that; else the piece does, and the answer says what limits it.

Where the piece comes first, a count that the pattern does not make is asked about, and then how many needles a bed has
that nobody named (fit rules 24 and 25).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

import numpy as np

from fitcheck.advice.groups import GroupAsked
from fitcheck.advice.loss import expected_loss
from fitcheck.advice.rest.planned import planned_counts, repeat_of
from fitcheck.advice.sizes.answers import (
    FirstCode,
    FirstPiece,
    FreeCounts,
    HardlyFits,
    NotThis,
    SizeAnswer,
    SwatchFirst,
    Uneven,
    WidthAt,
)
from fitcheck.advice.sizes.choice import LIKELY_ENOUGH
from fitcheck.advice.sizes.fabric import KnownSize
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.advice.sizes.points import WidthLine
from fitcheck.advice.swatched import blocked_swatches, contradiction, swatched, swatched_dials
from fitcheck.estimates.fabric.fit import Fabric
from fitcheck.estimates.numbers import CannotSay, Estimate
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import NARROWEST_BED
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.records.questions.shaping import breaks_repeat, odd_apart, repeat_said

CLEARLY = 0.10
"""Another count or size is taken only if it loses less by this [works of a back] (model 8b, assumed)."""
TOLD_APART = 0.10
"""A swatch must raise the chance by this to come first: a tenth is what words tell apart (model 8b, assumed)."""


def first_piece(
    make: Make,
    household: Household,
    plan: SizePlan,
    sizes: Sequence[SizeAnswer],
    best: str | CannotSay,
    free: FreeCounts | CannotSay,
    fabric: Fabric | None,
    dial: tuple[float, str] | None,
    which_fabric: GroupAsked | None = None,
) -> FirstPiece:
    """What to knit first of a make that has no piece, and what comes before it.

    plan, sizes, best, free   the sizes at the dial at which it would be knitted
    dial   that dial as a number and as it is written; None where nobody says one
    which_fabric   the groups of swatches that nothing tells apart; the fabric is the largest
    """
    kind = CONSTRUCTIONS[make.construction].pieces[0]
    would = _would_knit(make, household, plan, sizes, best, free, kind)
    swatch = _swatch_asked(fabric, dial, household)
    not_this, knit = None, would
    looked_at = swatch is None or swatch.reason != "labels_changed"
    if would is not None and looked_at and not _knitted_so(make, household, dial):
        not_this, knit = _asked_of_the_count(would, plan, sizes, free, kind, sure=swatch is not None)
    if knit is not None and not any(width.counts for width in knit.widths) and not isinstance(free, CannotSay):
        knit = _free(free)  # a size that prints only its measures says no stitches
    hardly = None
    if swatch is None:
        swatch, hardly = _hardly_fits(plan, make, knit, free, fabric, dial)
    counts = _counts_on(knit, would, make, household, kind) if knit is not None else {}
    widest = max((count for key, count in counts.items() if POINTS[key].direction == "across"), default=0)
    ask_needles = widest if plan.machine is None and widest > NARROWEST_BED else None
    code: FirstCode = "which_fabric" if which_fabric is not None else _code(not_this, swatch, hardly)
    uneven = None
    if code == "knit":
        # Counts bound to no size are whole repeats and even, unless nothing else lies on the bed.
        typed = knit is not None and knit.free is None
        uneven = _uneven(make, kind, counts, repeat_said(make, plan.table)) if typed else None
        code = "uneven" if uneven is not None else "needles" if ask_needles is not None else "knit"
    return FirstPiece(
        code=code,
        kind=kind,
        counts=counts,
        size=knit.size if knit is not None else None,
        likely=knit is not None and (knit.chosen or knit.likely),
        dial=dial[1] if dial is not None else None,
        not_this=not_this,
        swatch=swatch,
        hardly_fits=hardly,
        ask_needles=ask_needles,
        which_fabric=which_fabric,
        uneven=uneven,
    )


def _code(
    not_this: NotThis | None, swatch: SwatchFirst | None, hardly: HardlyFits | None
) -> Literal["not_this", "labels_changed", "swatch", "bed", "knit"]:
    """What comes first by the three questions."""
    if not_this is not None:
        return "not_this"
    if swatch is not None:
        return "labels_changed" if swatch.reason == "labels_changed" else "swatch"
    return "bed" if hardly is not None and hardly.limit == "bed" else "knit"


def _uneven(make: Make, kind: PieceKind, counts: Mapping[str, int], repeat: tuple[int, int]) -> Uneven | None:
    """The first of the counts that is no whole repeats; else the shoulders where they differ from the chest by odd.

    What was asked about and kept is asked about no more.
    """
    for key, count in counts.items():
        broken = breaks_repeat(key, count, *repeat)
        if broken is not None and not make.keeps(kind, key, count):
            return Uneven(key, count, broken.below, broken.above, multiple=broken.multiple)
    apart = odd_apart(kind, counts)
    if apart is None or make.keeps(kind, "shoulder_width", counts["shoulder_width"]):
        return None
    count = counts["shoulder_width"]
    return Uneven("shoulder_width", count, count - 1, count + 1, apart=apart.count)


# The count that would be knitted


@frozen
class _Knit:
    """Counts that would be knitted.

    size    that they are of; None = the make's own plan, or bound to no size
    chosen  the make names or plans them
    widths  what they come out at;  chance  that all of them fit [1], None where it cannot be said
    free    counts bound to no size, where it is these
    """

    size: str | None
    chosen: bool
    widths: tuple[WidthAt, ...]
    chance: float | None
    free: FreeCounts | None = None

    @property
    def likely(self) -> bool:
        return self.chance is not None and self.chance >= LIKELY_ENOUGH

    def width(self, key: str) -> WidthAt:
        return next(width for width in self.widths if width.key == key)


def _would_knit(
    make: Make,
    household: Household,
    plan: SizePlan,
    sizes: Sequence[SizeAnswer],
    best: str | CannotSay,
    free: FreeCounts | CannotSay,
    kind: PieceKind,
) -> _Knit | None:
    """What is planned, else the chosen size, else the best one, else counts bound to no size; None without any."""
    if make.planned:
        return _planned(make, household, plan, kind)
    chosen = next((size for size in sizes if size.name == make.size), None)
    if chosen is not None:
        return _of_size(chosen, chosen=True)
    nearest = next((size for size in sizes if size.name == best), None)
    if nearest is not None:
        return _of_size(nearest, chosen=False)
    return None if isinstance(free, CannotSay) else _free(free)


def _planned(make: Make, household: Household, plan: SizePlan, first: PieceKind) -> _Knit:
    counts: dict[str, dict[PieceKind, int]] = {}
    kinds = dict.fromkeys(kind for asked in plan.asked.points for kind in asked.on_piece)
    for kind in kinds:
        for key, count in planned_counts(make, household, kind).items():
            counts.setdefault(key, {})[kind] = count
    lines = plan.lines(counts)
    chance = plan.chance(lines)
    widths = plan.widths(counts, {}, lines, chance)
    size = None if make.planned.get(first) else make.size
    return _Knit(size, True, widths, None if isinstance(chance, CannotSay) else chance.all_fit)


def _of_size(size: SizeAnswer, *, chosen: bool) -> _Knit:
    return _Knit(size.name, chosen, size.widths, None if isinstance(size.all_fit, CannotSay) else size.all_fit)


def _free(free: FreeCounts) -> _Knit:
    return _Knit(None, False, free.widths, free.all_fit, free)


def _counts_on(knit: _Knit, would: _Knit | None, make: Make, household: Household, kind: PieceKind) -> dict[str, int]:
    """Stitches and rows of the first piece: rows stay as planned, for lengths are met by rows of their own."""
    if knit.free is None:
        size = knit.size or make.size
        counts = planned_counts(make.model_copy(update={"size": size}), household, kind)
        return counts if knit is would else {**counts, **_rows(make, household, kind)}
    own = {count.key: count.count for count in knit.free.counts if count.piece == kind}
    return own if knit is would else {**own, **_rows(make, household, kind)}


def _rows(make: Make, household: Household, kind: PieceKind) -> dict[str, int]:
    planned = planned_counts(make, household, kind)
    return {key: count for key, count in planned.items() if POINTS[key].direction == "along"}


# First question: other counts


def _knitted_so(make: Make, household: Household, dial: tuple[float, str] | None) -> bool:
    """Whether the garment that it must fit is one it learns from, of this yarn, by these counts and at this dial.

    Then it comes out as that did, and no reckoning speaks against its counts.
    """
    garment = by_key(household.garments, make.fits.garment)
    first = next((other for other in household.makes if garment is not None and other.became == garment.id), None)
    before = garment.knitted if garment is not None else None
    if before is None or first is None or first.yarn != make.yarn or make.wishes or make.fits.numbers:
        return False
    at_the_same = dial is not None and before.dial is not None and before.dial.written() == dial[1]
    return at_the_same and bool(make.planned) and before.counts == make.planned


def _asked_of_the_count(
    would: _Knit,
    plan: SizePlan,
    sizes: Sequence[SizeAnswer],
    free: FreeCounts | CannotSay,
    kind: PieceKind,
    *,
    sure: bool,
) -> tuple[NotThis | None, _Knit]:
    """What speaks against the counts that would be knitted, and what to knit instead; nothing, and they themselves.

    sure  only a width that is likely off speaks against them
    """
    others = [_of_size(size, chosen=False) for size in sizes if size.impossible is None and size.name != would.size]
    loose = [] if isinstance(free, CannotSay) or would.free is free else [_free(free)]
    mine, *theirs = _losses([would, *others, *loose], plan)
    ways = [_Way(knit, own, _saves(mine, own)) for knit, own in zip([*others, *loose], theirs, strict=True)]
    clear = [way for way in ways if way.saves >= CLEARLY]
    nearest = max((way for way in clear if way.knit.free is None), key=lambda way: way.saves, default=None)
    unbound = next((way for way in clear if way.knit.free is not None), None)
    instead = unbound or nearest
    if unbound is not None and nearest is not None and nearest.saves > unbound.saves + CLEARLY:
        instead = nearest
    if instead is None:
        return None, would
    worst = max((key for key in mine if key in instead.losses), key=lambda key: mine[key] - instead.losses[key])
    width = would.width(worst)
    assert not isinstance(width.difference, CannotSay)
    assert not isinstance(width.finished, CannotSay)
    assert not isinstance(width.wanted, CannotSay)
    if sure and width.difference.low <= 0 <= width.difference.high:
        return None, would
    there = unbound.knit.width(worst) if unbound is not None else None
    told = NotThis(
        size=would.size,
        chosen=would.chosen,
        sizes=len(sizes),
        key=worst,
        count=_count_at(width, kind),
        finished_mm=width.finished.value,
        wanted_mm=width.wanted.value,
        instead=_count_at(there, kind) if there is not None else None,
        instead_mm=there.finished.value if there is not None and not isinstance(there.finished, CannotSay) else None,
        nearest=nearest.knit.size if nearest is not None else None,
        saves=max(way.saves for way in clear),
    )
    return told, instead.knit


@frozen
class _Way:
    """Other counts: their expected loss per width, and how much less it is than that of what would be knitted."""

    knit: _Knit
    losses: Mapping[str, float]
    saves: float


def _count_at(width: WidthAt, kind: PieceKind) -> int | None:
    """Stitches on a piece, else on the one that carries the point."""
    return width.counts.get(kind, next(iter(width.counts.values()), None))


def _saves(mine: Mapping[str, float], theirs: Mapping[str, float]) -> float:
    """Expected loss of one less that of another, over the widths that both have [works of a back]."""
    return sum(mine[key] - theirs[key] for key in mine if key in theirs)


def _losses(knits: Sequence[_Knit], plan: SizePlan) -> list[dict[str, float]]:
    """Expected loss of each at every width of which anything is known and wanted [works of a back]."""
    known = [
        (place, width.key, off, width)
        for place, knit in enumerate(knits)
        for width in knit.widths
        if not isinstance(off := width.difference, CannotSay)
    ]
    losses: list[dict[str, float]] = [{} for _ in knits]
    if not known:
        return losses
    weights = plan.weights
    off_mm, u, smaller, larger, weight = np.array(
        [
            (
                off.value,
                off.u,
                math.inf if width.allowed_smaller_mm is None else width.allowed_smaller_mm,
                math.inf if width.allowed_larger_mm is None else width.allowed_larger_mm,
                weights[key],
            )
            for _, key, off, width in known
        ]
    ).T
    for (place, key, _, _), loss in zip(known, expected_loss(off_mm, u, smaller, larger, weight).tolist(), strict=True):
        losses[place][key] = loss
    return losses


# Second question: a swatch at that dial


def _swatch_asked(fabric: Fabric | None, dial: tuple[float, str] | None, household: Household) -> SwatchFirst | None:
    """The swatch that is missing at this dial, or that contradicts another."""
    blocked = blocked_swatches(fabric)
    written = dial[1] if dial is not None else None
    if not blocked:
        return SwatchFirst("no_swatch", written)
    if (pair := contradiction(blocked)) is not None:
        labels = {swatch.id: swatch.dial.written() for swatch in household.swatches if swatch.dial is not None}
        tighter, looser = (labels[key] for key in pair)
        return SwatchFirst("labels_changed", written, tighter, looser)
    dials = swatched_dials(fabric)
    if dial is None or not dials or swatched(dial[0], dials):
        return None
    return SwatchFirst("not_at_dial", written)


# Third question: hardly a chance


def _hardly_fits(
    plan: SizePlan,
    make: Make,
    knit: _Knit | None,
    free: FreeCounts | CannotSay,
    fabric: Fabric | None,
    dial: tuple[float, str] | None,
) -> tuple[SwatchFirst | None, HardlyFits | None]:
    """A swatch, where it would turn hardly any chance into one; else what limits it."""
    if isinstance(free, CannotSay) or fabric is None or plan.stitch is None:
        return None, None
    now = max(free.all_fit, knit.chance or 0.0 if knit is not None else 0.0)
    if now >= LIKELY_ENOUGH:
        return None, None
    sure = replace(plan, stitch=stitch_known(plan.stitch, fabric), half_alone=[])
    counts: dict[str, dict[PieceKind, int]] = {}
    for count in free.counts:
        counts.setdefault(count.key, {})[count.piece] = count.count
    lines = sure.lines(counts)
    chance = sure.chance(lines)
    then = 0.0 if isinstance(chance, CannotSay) else chance.all_fit
    if then >= max(LIKELY_ENOUGH, now + TOLD_APART):
        written = dial[1] if dial is not None else None
        return SwatchFirst("would_tell", written, chance_now=now, chance_then=then), None
    return None, _limit(sure, make, free, lines[free.limiting], now)


def stitch_known(stitch: KnownSize, fabric: Fabric) -> KnownSize:
    """The stitch of the pieces to come if more swatches had told all they can: size and slope exactly known.

    What all pieces have more or less than their swatches stays, and what each has of its own.
    """
    shift = fabric.assumptions.shift("across").sd
    spreads = tuple(replace(spread, mm=stitch.mm, common_sd=shift) for spread in stitch.spreads)
    return replace(stitch, common_sd=shift, spreads=spreads)


def _limit(plan: SizePlan, make: Make, free: FreeCounts, line: WidthLine, chance: float) -> HardlyFits:
    """What keeps the best counts from fitting, at the width that limits them.

    plan  as if the stitch were known, for no swatch would help;  line: the width's own, in the stitch
    """
    asked = plan.asked.get(free.limiting)
    width = next(width for width in free.widths if width.key == free.limiting)
    assert asked is not None
    assert plan.stitch is not None
    assert isinstance(asked.wanted, Estimate)
    allowed = min(asked.tolerance)
    if plan.machine is not None:
        needed = [
            on.plain(asked.wanted.value) / plan.stitch.mm + on.swallowed
            for kind, on in asked.on_piece.items()
            if kind in width.counts
        ]
        if needed and max(needed) > plan.machine.needles:
            stitches = math.ceil(max(needed))
            return HardlyFits(chance, "bed", asked.key, allowed, plan.machine.needles, stitches, make.construction)
    off = 0.0 if isinstance(width.difference, CannotSay) else width.difference.value
    if repeat_of(make, plan.table)[0] > 1 and abs(off) > asked.tolerance[off > 0]:
        return HardlyFits(chance, "repeat", asked.key, allowed)
    own = line.c * plan.stitch.mm * plan.stitch.relative_sd(line.share)
    return HardlyFits(chance, "tape" if asked.wanted.u > own else "fabric", asked.key, allowed)
