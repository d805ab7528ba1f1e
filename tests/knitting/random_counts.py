"""Counts of pieces made by chance, of whatever a knitter may want: with what was chosen, and how it is sewn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from fitcheck.knitting.counts import BodyCounts, Choices, Counts, Fabric, PanelCounts, RaglanCounts, SleeveCounts
from fitcheck.records.constructions import ConstructionKey
from fitcheck.records.points import PieceKind


@dataclass(frozen=True)
class Made:
    """A piece to plan."""

    kind: PieceKind
    counts: Counts
    choices: Choices
    construction: ConstructionKey


def fabric(random: Random) -> Fabric:
    w = random.uniform(2.2, 7.0)
    return Fabric(w, w * random.uniform(0.6, 0.85))


def body(random: Random, *, half: bool = False, drop: bool = False) -> BodyCounts:
    """A back or front: odd and even, one group to eight, necks straight, shallower than the shoulder and deep."""
    made = fabric(random)
    groups = random.choice([1, 1, 2, 3, 4, 5, 6, 8])
    shoulder = max(groups, round(random.uniform(80, 150) / made.w))
    neck = round(random.uniform(130, 200) / made.w)
    depths = [random.randint(1, 14), round(random.uniform(50, 120) / made.h)]
    if half:
        neck //= 2
        across, off = shoulder + neck, round(random.uniform(0, 80) / made.w)
    else:
        across, off = 2 * shoulder + neck, 2 * round(random.uniform(0, 80) / made.w)
        depths.append(0)
    chest = across if drop else across + off
    sides = 1 if half else 2
    cast_on = chest + sides * random.randint(-8, 8)
    underarm = random.randint(60, 160)
    waist = (
        (random.randint(20, underarm // 2), cast_on - sides * random.randint(0, 5)) if random.random() < 0.2 else None
    )
    rows = round(random.uniform(170, 260) / made.h)
    return BodyCounts(cast_on, chest, underarm, across, rows, neck, random.choice(depths), groups, made, waist)


def half_front(random: Random) -> BodyCounts:
    return body(random, half=True)


def dropped(random: Random) -> BodyCounts:
    return body(random, drop=True)


def straight_sleeve(random: Random) -> SleeveCounts:
    return sleeve(random, capped=False)


def sleeve(random: Random, *, capped: bool = True) -> SleeveCounts:
    """With a cap, or straight across its top."""
    made = fabric(random)
    upper = round(random.uniform(280, 460) / made.w)
    cast_on = max(upper - 2 * random.randint(0, 20), 10 + upper % 2)
    armhole = upper * made.w * random.uniform(1.05, 1.5) if capped else 0.0
    underarm = round(random.uniform(15, 30) / made.w) if capped else 0
    return SleeveCounts(cast_on, upper, random.randint(80, 180), made, underarm, armhole)


def raglan_sleeve(random: Random) -> RaglanCounts:
    return raglan(random, divided=0.0)


def raglan(random: Random, divided: float = 0.5) -> RaglanCounts:
    """Straight across its neck, or divided there with a tip at either side."""
    made = fabric(random)
    widest = round(random.uniform(350, 600) / made.w)
    top = round(random.uniform(60, 160) / made.w)
    neck, neck_rows = 0, 0
    if random.random() < divided:
        neck, top, neck_rows = top, 2 * random.randint(4, 7), random.randint(8, 40)
        neck += (widest - top - neck) % 2
    else:
        top += (widest - top) % 2
    rows, underarm = round(random.uniform(180, 280) / made.h), round(random.uniform(0, 30) / made.w)
    cast_on = widest + 2 * random.randint(-6, 6)
    return RaglanCounts(cast_on, widest, random.randint(60, 150), underarm, rows, top, made, neck_rows, neck)


def raglan_half(random: Random) -> RaglanCounts:
    """Half a front: a slanting edge at one side, and its half of the neck beside a tip."""
    made = fabric(random)
    widest = round(random.uniform(180, 300) / made.w)
    neck, tip, neck_rows = round(random.uniform(30, 80) / made.w), random.randint(4, 7), random.randint(8, 40)
    rows, underarm = round(random.uniform(180, 280) / made.h), round(random.uniform(0, 30) / made.w)
    cast_on = widest + random.randint(-6, 6)
    return RaglanCounts(cast_on, widest, random.randint(60, 150), underarm, rows, tip, made, neck_rows, neck)


def panel(random: Random) -> PanelCounts:
    made = fabric(random)
    top = round(random.uniform(40, 120) / made.w) + 1
    return PanelCounts(max(4 + top % 2, top + 2 * random.randint(-3, 6)), top, random.randint(60, 160), made)


_KINDS: tuple[tuple[tuple[PieceKind, ...], ConstructionKey, Callable[[Random], Counts]], ...] = (
    (("back", "front"), "set_in", body),
    (("left_front", "right_front"), "set_in", half_front),
    (("back", "front"), "drop_shoulder", dropped),
    (("sleeve", "left_sleeve", "right_sleeve"), "set_in", sleeve),
    (("sleeve", "right_sleeve"), "drop_shoulder", straight_sleeve),
    (("back", "front"), "raglan", raglan),
    (("sleeve",), "raglan", raglan_sleeve),
    (("left_front", "right_front"), "raglan", raglan_half),
    (("side_panel",), "side_panels", panel),
)


def made(random: Random) -> Made:
    """A piece of any kind; bodies most of all."""
    kinds, construction, counted = random.choices(_KINDS, (4, 3, 1, 2, 1, 1, 1, 1, 1))[0]
    choices = Choices(
        first=random.choice(["left", "right"]),
        inset=random.choice([2, 3]),
        increase=random.choice(["moved", "moved", "edge"]),
        side_rule=random.choice(["last", "last", "last", "inside", "half", "ends"]),
        neck=random.choice(["parked", "parked", "cast_off"]),
        made_odd=random.choice(["up", "down"]),
    )
    return Made(random.choice(kinds), counted(random), choices, construction)
