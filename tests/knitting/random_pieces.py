"""Pieces made by chance that can be knitted, worked out here act by act: bodies, sleeves, raglans, mirror images."""

from __future__ import annotations

from random import Random

from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Event, Part, Plan, mirrored


class _Part:
    """A part on its way: where the carriage stands, and what was done."""

    def __init__(self, name: str, start: int, carriage: str) -> None:
        self.name, self.start, self.carriage, self.counter = name, start, carriage, start
        self.events: list[Event] = []

    def do(self, act: str, at: str, stitches: int = 0, name: str = "") -> None:
        inset = 3 if act in ("widen", "narrow") else 0
        self.events.append(Event(self.name, self.counter, act, at, stitches, inset, name))  # type: ignore[arg-type]

    def knit(self, rows: int) -> None:
        self.counter += rows

    def knit_to_side(self, side: str) -> None:
        self.counter += self.side() != side

    def side(self) -> str:
        other = {"left": "right", "right": "left"}
        return self.carriage if (self.counter - self.start) % 2 == 0 else other[self.carriage]

    def narrow(self, at: str, gaps: list[int]) -> None:
        for gap in gaps:
            self.knit(gap)
            self.do("narrow", at, 1)

    def done(self, takes_back: str = "") -> Part:
        return Part(self.name, self.start, self.carriage, self.counter, tuple(self.events), takes_back)  # type: ignore[arg-type]


def _slope(random: Random) -> list[int]:
    """Rows from one narrowing to the next: every row, every 2nd, every 4th."""
    return [1] * random.randint(0, 5) + [2] * random.randint(0, 8) + [4] * random.randint(0, 3)


def _to_underarm(random: Random, piece: str, stitches: int) -> tuple[_Part, int]:
    """Cast on, widen or narrow at the sides, cast off or on at both underarms; and how many stitches are left."""
    part = _Part(piece, 0, random.choice(["left", "right"]))
    part.do("cast_on", "all", stitches)
    steps, act = random.randint(0, 9), random.choice(["widen", "narrow"])
    every = random.choice([[4], [6], [7, 7, 8], [5, 4], [random.randint(3, 12) for _ in range(9)]])
    for step in range(steps):
        part.knit(every[step % len(every)])
        part.do(act, "both", 1)
    stitches += (2 if act == "widen" else -2) * steps
    part.knit(random.randint(2, 50))
    for _ in range(2 * random.randint(0, 2)):
        part.do("widen_edge", part.side(), 1)
        part.knit(1)
        stitches += 1
    at_underarm, many = random.choice(["cast_off", "cast_off", "add"]), random.randint(2, 7)
    for _ in range(2):
        part.do(at_underarm, part.side(), many)
        part.knit(1)
    return part, stitches + (2 * many if at_underarm == "add" else -2 * many)


def _shoulder(part: _Part, arm: str, groups: list[int]) -> None:
    """Short rows at the end away from the neck; all groups but the last rest."""
    neck = {"left": "right", "right": "left"}[arm]
    part.knit_to_side(neck)
    for group in groups[:-1]:
        part.do("rest", arm, group)
        part.knit(2)
    if len(groups) > 1:
        part.do("wake", "all", sum(groups[:-1]))
    part.do("park", "all", sum(groups), f"{arm}_shoulder")


def body(random: Random) -> Plan:
    """A front with a divided neck, its first half on the side where the carriage then stands, or on the other."""
    part, stitches = _to_underarm(random, "body", random.randint(110, 190))
    slope = _slope(random)
    part.narrow("both", slope)
    stitches -= 2 * len(slope)
    part.knit(random.randint(4, 40))
    neck_steps = [random.randint(1, 3) for _ in range(2)]
    centre = stitches % 2 + 2 * random.randint(4, 8)
    half = (stitches - centre) // 2
    first = random.choice(["left", "right"])
    second = {"left": "right", "right": "left"}[first]
    part.do("park", second, half, f"{second}_half")
    part.do("park", second, centre, "neck")
    slope = _slope(random)[: half // 3]
    assert half - sum(neck_steps) - len(slope) >= 4
    left_over = half - sum(neck_steps) - len(slope)
    groups = sorted((left_over // 4, left_over // 4, left_over - 2 * (left_over // 4)))[::-1]
    parts = [part.done()]
    for number, (arm, neck) in enumerate(((first, second), (second, first))):
        one = _Part(f"half_{number}", part.counter, part.side())
        if number:
            one.do("take_back", "all", half, f"{second}_half")
        one.knit(1)
        for step in neck_steps:
            one.knit_to_side(neck)
            one.do("cast_off", neck, step)
            one.knit(1)
        one.narrow(neck, slope)
        one.knit(random.randint(2, 9))
        _shoulder(one, arm, groups)
        parts.append(one.done(f"{second}_half" if number else ""))
    ends = {f"{arm}_shoulder": left_over for arm in ("left", "right")} | {"neck": centre}
    return Plan("front", span_of(part.events[0].stitches), tuple(parts), ends=ends, drops=_drops(groups))


def _drops(groups: list[int]) -> dict[str, int]:
    return {f"{arm}_shoulder": 2 * (len(groups) - 1) for arm in ("left", "right")}


def sleeve(random: Random) -> Plan:
    """A sleeve with a cap: narrowed, then stepped cast-offs, the top cast off at once."""
    part, stitches = _to_underarm(random, "sleeve", random.randint(60, 90))
    slope = [1, 1, *[2] * random.randint(2, 8), *[4] * random.randint(0, 3), *[2] * random.randint(0, 4), 1]
    slope = slope[: stitches // 2 - 12]
    part.narrow("both", slope)
    stitches -= 2 * len(slope)
    part.knit(1)
    for _ in range(random.randint(0, 2)):
        for _ in range(2):
            part.do("cast_off", part.side(), 2)
            part.knit(1)
            stitches -= 2
    part.do("cast_off_all", "all", stitches, "top")
    return Plan("sleeve", span_of(part.events[0].stitches), (part.done(),), ends={"top": stitches})


def raglan(random: Random) -> Plan:
    """A raglan back: narrowed on even rows up to the neck, which stays on waste yarn."""
    part, stitches = _to_underarm(random, "body", random.randint(90, 150))
    gaps = [2] * random.randint(5, 20) + [4] * random.randint(0, 8)
    part.narrow("both", gaps)
    stitches -= 2 * len(gaps)
    part.knit(2)
    part.do("park", "all", stitches, "neck")
    part.do("weigh", "all")
    return Plan("back", span_of(part.events[0].stitches), (part.done(),), ends={"neck": stitches})


def piece(random: Random) -> Plan:
    """One of them, or its mirror image."""
    made = random.choice([body, body, sleeve, raglan])(random)
    return mirrored(made) if random.random() < 0.5 else made
