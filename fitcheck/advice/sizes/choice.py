"""Choosing among sizes: the best, two side by side, and a mix that keeps armhole and sleeve together."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.advice.sizes.answers import NO_WANTED_WIDTH, Mixed, SideBySide, SizeAnswer, WidthAt
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import ROUND_THE_BODY, PieceKind
from fitcheck.records.size_tables import Size

HARDLY_ANY = 0.05
"""Where no size reaches this chance, distances rank the sizes: chances tell them apart no longer."""
WITHIN = 0.10
"""Two chances this near leave the choice to what decides: a tenth is what can be told apart in words."""
LIKELY_ENOUGH = 0.25
"""A size that fits less often than one time in four is no choice to be offered, only the nearest (ours, assumed)."""
BODY_WIDTHS = (*ROUND_THE_BODY, "panel_width")
"""Widths that one size can give while another gives the rest; all else belongs to the block of shoulder, neck,
armhole and sleeve (fit rule 9: cap, armhole and upper arm are one block)."""
TRIED = 3
"""Pairs of sizes whose chance is worked out in full, the likeliest by their single chances."""

ONE_SIZE = CannotSay("one_size")


def best_size(sizes: Sequence[SizeAnswer]) -> str | CannotSay:
    """Name of the size likeliest to fit at all widths; the nearest where none is likely or none can be said.

    Sizes that do not go on the bed are left out. CannotSay: no_wanted_width, or why the first is impossible.
    """
    possible = [size for size in sizes if size.impossible is None]
    if not possible:
        whys = (size.impossible for size in sizes if size.impossible is not None)
        return next(whys, CannotSay("no_size"))
    if all(size.distance is None for size in possible):
        return NO_WANTED_WIDTH
    return ranked(possible)[0].name


def ranked(sizes: Sequence[SizeAnswer]) -> list[SizeAnswer]:
    """Sizes that can be knitted, the best first."""
    possible = [size for size in sizes if size.impossible is None and size.distance is not None]
    told = [size.all_fit for size in possible if not isinstance(size.all_fit, CannotSay)]
    by_chance = bool(told) and max(told) >= HARDLY_ANY

    def place(size: SizeAnswer) -> tuple[float, float]:
        distance = size.distance if size.distance is not None else float("inf")
        chance = 0.0 if isinstance(size.all_fit, CannotSay) else size.all_fit
        return (-chance if by_chance else 0.0, distance)

    return sorted(possible, key=place)


def side_by_side(
    sizes: Sequence[SizeAnswer], best: str, chosen: str | None, weights: Mapping[str, float]
) -> SideBySide | CannotSay:
    """The best size beside the one that the make names, or beside the runner-up."""
    order = ranked(sizes)
    first = next(size for size in order if size.name == best)
    other = next((size for size in sizes if size.name == chosen and chosen != best), None)
    second = other if other is not None else next((size for size in order if size.name != best), None)
    if second is None:
        return ONE_SIZE
    gaps: dict[str, float] = {}
    for width in first.widths:
        twin = second.width(width.key)
        if twin is not None:
            gap = _gap(width, twin, weights[width.key])
            if gap is not None:
                gaps[width.key] = gap
    # Chances that are all nil tell nothing apart; the distances do.
    if gaps and max(map(abs, gaps.values())) < 1e-3:
        gaps = {
            width.key: weights[width.key] * (_distance(twin) - _distance(width))
            for width in first.widths
            if (twin := second.width(width.key)) is not None and width.key in gaps
        }
    decides = max(gaps, key=lambda key: abs(gaps[key]), default=None)
    favours = None if decides is None else first.name if gaps[decides] >= 0 else second.name
    a, b = first.all_fit, second.all_fit
    close = (
        not isinstance(a, CannotSay)
        and not isinstance(b, CannotSay)
        and abs(a - b) <= WITHIN
        and min(a, b) >= LIKELY_ENOUGH
    )
    return SideBySide(
        first.name,
        second.name,
        "chosen" if other is not None else "runner_up",
        decides,
        favours,
        close and second.impossible is None,
    )


def _gap(first: WidthAt, second: WidthAt, weight: float) -> float | None:
    """How much the first is ahead at a width: weight x chance, or weight x distance without chances."""
    if not isinstance(first.chance, CannotSay) and not isinstance(second.chance, CannotSay):
        return weight * (first.chance - second.chance)
    if isinstance(first.difference, CannotSay) or isinstance(second.difference, CannotSay):
        return None
    return weight * (_distance(second) - _distance(first))


def _distance(width: WidthAt) -> float:
    """|difference| over what is allowed on its side."""
    assert not isinstance(width.difference, CannotSay)
    off = width.difference.value
    allowed = width.allowed_smaller_mm if off < 0 else width.allowed_larger_mm
    return abs(off) / allowed if allowed else 0.0


def mixed(
    plan: SizePlan, table_sizes: Sequence[Size], sizes: Sequence[SizeAnswer], best: str | CannotSay
) -> Mixed | CannotSay:
    """The best mix of two sizes: body widths from one; shoulder, neck, armhole and sleeve from another.

    Pairs are tried in the order of the product of their single chances, the three likeliest in full; a pair
    of which one single chance is under what the best size reaches cannot beat it. Where the shoulder would be
    wider than the body there is nothing to take off at the armhole: such a pair is left out.
    CannotSay: one_size, the reason where chances cannot be said, nothing_to_mix where one of the two parts
    has no wanted width, no_better_mix.
    """
    if isinstance(best, CannotSay):
        return best
    possible = [size for size in sizes if size.impossible is None]
    if len(possible) < 2:
        return ONE_SIZE
    if plan.why_no_chance is not None:
        return plan.why_no_chance
    if any(_product(size, body=part) is None for size in possible for part in (True, False)):
        return CannotSay("nothing_to_mix")
    single = next(size.all_fit for size in sizes if size.name == best)
    assert not isinstance(single, CannotSay)
    by_name = {size.name: size for size in table_sizes}
    better = []
    for a, b in _likeliest_pairs(possible, by_name, single)[:TRIED]:
        chance = plan.chance(plan.lines(_taken(by_name[a], by_name[b])))
        if not isinstance(chance, CannotSay) and chance.all_fit > single:
            better.append((chance.all_fit, a, b, chance.limiting))
    if not better:
        return CannotSay("no_better_mix", size=best)
    chance_all, a, b, limiting = max(better)
    counts = _taken(by_name[a], by_name[b])
    lines = plan.lines(counts)
    keys = [asked.key for asked in plan.asked.points if asked.key in lines]
    return Mixed(
        body=a,
        block=b,
        lengths=_lengths_from(possible, plan.weights, {asked.key: asked.tolerance for asked in plan.asked.points}),
        body_keys=tuple(key for key in keys if key in BODY_WIDTHS),
        block_keys=tuple(key for key in keys if key not in BODY_WIDTHS),
        all_fit=chance_all,
        gain=chance_all - single,
        limiting=limiting,
        widths=plan.widths(counts, {}, lines, plan.chance(lines)),
        armhole_stitches=_armhole(by_name[a], by_name[b]),
        own_armhole_stitches=_armhole(by_name[b], by_name[b]),
    )


def _likeliest_pairs(
    possible: Sequence[SizeAnswer], by_name: Mapping[str, Size], single: float
) -> list[tuple[str, str]]:
    """Sizes of body and block that may fit better than the best size alone [1], the likeliest pair first."""
    pairs = []
    for body in possible:
        for block in possible:
            take = _armhole(by_name[body.name], by_name[block.name])
            can_win = min(_least(body, body=True), _least(block, body=False)) > single
            if body is not block and can_win and (take is None or take > 0):
                product = (_product(body, body=True) or 0.0) * (_product(block, body=False) or 0.0)
                pairs.append((product, body.name, block.name))
    pairs.sort(key=lambda pair: -pair[0])
    return [(body, block) for _, body, block in pairs]


def _told(size: SizeAnswer, *, body: bool) -> list[float]:
    """The single chances of one part's widths."""
    return [
        width.chance
        for width in size.widths
        if (width.key in BODY_WIDTHS) == body and not isinstance(width.chance, CannotSay)
    ]


def _product(size: SizeAnswer, *, body: bool) -> float | None:
    """Product of the single chances of one part's widths; None where nothing is wanted of it."""
    told = _told(size, body=body)
    return math.prod(told) if told else None


def _least(size: SizeAnswer, *, body: bool) -> float:
    """The least of them: no mix that takes this part is likelier to fit."""
    return min(_told(size, body=body), default=0.0)


def _taken(body: Size, block: Size) -> dict[str, dict[PieceKind, int]]:
    """Counts with the body's widths from one size and everything else from another."""
    counts: dict[str, dict[PieceKind, int]] = {}
    for size, wanted in ((body, True), (block, False)):
        for kind, cells in size.pieces.items():
            for key, cell in cells.items():
                if cell.count is not None and (key in BODY_WIDTHS) == wanted:
                    counts.setdefault(key, {})[kind] = cell.count
    return counts


def _armhole(body: Size, block: Size) -> float | None:
    """Stitches to take off at each side between underarm and shoulder of the back."""
    chest = body.pieces.get("back", {}).get("chest")
    shoulder = block.pieces.get("back", {}).get("shoulder_width")
    if chest is None or shoulder is None or chest.count is None or shoulder.count is None:
        return None
    return (chest.count - shoulder.count) / 2


def _lengths_from(
    sizes: Sequence[SizeAnswer], weights: Mapping[str, float], allowed: Mapping[str, tuple[float, float]]
) -> str | None:
    """The size whose printed body and sleeve lengths lie nearest to what is wanted."""
    distance: dict[str, float] = {}
    for size in sizes:
        told = [
            weights[length.key] * abs(length.difference.value) / allowed[length.key][length.difference.value > 0]
            for length in size.lengths
            if length.key in ("to_underarm", "body_length", "centre_back", "sleeve_length", "sleeve_to_underarm")
            and not isinstance(length.difference, CannotSay)
        ]
        if told:
            distance[size.name] = sum(told)
    return min(distance, key=distance.__getitem__, default=None)
