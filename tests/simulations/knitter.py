"""A knitter who does what the first sentence says, and the sweater that comes of it: truth, tape, deeds, sewing.

Truths simulated, each assumed: a stitch of 4.6 and a row of 3.3 mm at the swatches' dial; from swatch to piece
N(0, 1.5 %), from piece to piece N(0, 0.8 %), inside a piece N(0, 0.5 %); tape and laying as the program assumes them.
One piece of ten is pulled by N(0, 3 %) when it is laid to dry, one of twenty has a slip in its counts, one of ten is
read before it is washed.

The knitter sees nothing but ``fitcheck.report``: of the advice, the counts of the rest, what to count or read again.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np

from tests.simulations.all_knowing import AllKnowing
from tests.simulations.truths import (
    ABOVE_UNDERARM,
    ALIKE,
    ALLOWED,
    AT_THE_HEM,
    COSTS,
    GENUINE,
    MATTERS,
    MOST_ANSWERS,
    OF_BACK,
    ORDER,
    PULLED_SD,
    RIGHT,
    SHARES,
    SINGLE,
    SLEEVES,
    TOGETHER,
    WASHED,
    ZONES,
    loss,
)
from tests.worked.told import Told
from tests.worked.truth import (
    ALONG,
    PLAIN,
    ROUND,
    ROW,
    STITCH,
    SWALLOWED,
    Raw,
    household,
    swatch,
)


@dataclass(frozen=True)
class Cell:
    """What varies between the sweaters of one row of the table.

    swatches      how many tell the gauge from which the counts are planned; 0: the counts are right but for `off`
    off           spread of the fabric about what was planned for, across and along, each
    slips, pulled, unwashed   shares of pieces
    shift         from swatch to piece
    by_tape       counts are planned from her own readings of the garment; else from the true one, which nobody has
    piece, local  from piece to piece, and inside a piece; without a figure the first is drawn as the program assumes
    """

    name: str
    swatches: int = 1
    off: float = 0.0
    slips: float = 0.05
    pulled: float = 0.10
    unwashed: float = 0.10
    shift: float = 0.015
    by_tape: bool = False
    piece: float | None = 0.008
    local: float = 0.005


@dataclass
class Knitted:
    """A piece: what is there, and what the knitter believes. Its name is one of `ORDER`."""

    key: str
    name: str
    kind: str
    counts: dict[str, int]
    believed: dict[str, int]
    size: dict[str, float]
    counted: set[str] = field(default_factory=set)
    stages: list[Raw] = field(default_factory=list)
    pulled: float = 0.0
    stretched: dict[str, float] = field(default_factory=lambda: {"across": 1.0, "along": 1.0})
    replaces: str | None = None
    looks: int = 1
    dial_asked: bool = False
    wash_asked: bool = False

    def true(self, key: str) -> float:
        """What it measures at a point, blocked [mm]."""
        along = key in ALONG
        shape = math.exp(self.pulled if along else -self.pulled)
        return self.counts[key] * self.size[key] * shape * self.stretched["along" if along else "across"]


@dataclass(frozen=True)
class Stated:
    """A deed that was advised on a piece, and the chance that was stated with it."""

    name: str
    deed: str
    chance: float | None
    first: bool


@dataclass
class Sewn:
    """What came of a sweater.

    off       garment less wanted, flat, per point [mm]
    read_off  the same per piece as its answer has it: its own lengths, but for what back and front have together;
              the first sleeve's answer is about both
    first_off that, had the pieces after it been kept as they came off the needles, and this one as it was left
    work      of what was done beside knitting each piece once [works of a back]
    stated    the deeds that were advised
    fronts    stitches by which the front's chest is another than was planned
    slipped   whether a piece had a slip in its counts
    endless   whether a piece was asked about without end
    least     loss of one who knew the back, work included [works of a back]
    """

    off: dict[str, float]
    work: float
    stated: list[Stated]
    fronts: int
    slipped: bool
    endless: bool
    least: float
    read_off: dict[str, dict[str, float]] = field(default_factory=dict)
    first_off: dict[str, dict[str, float]] = field(default_factory=dict)

    @property
    def loss(self) -> float:
        """Work and loss of the whole sweater [works of a back]."""
        return self.work + sum(loss(mm, ALLOWED[key], MATTERS.get(key, 1.0)) for key, mm in self.off.items())

    @property
    def regret(self) -> float:
        """How much more that is, at the points of a body, than what one who knew its back could have had."""
        kept = {key: mm for key, mm in self.off.items() if key in RIGHT["back"]}
        return self.work + sum(loss(mm, ALLOWED[key], MATTERS.get(key, 1.0)) for key, mm in kept.items()) - self.least

    def fits(self, name: str) -> bool:
        """Whether every point fits that was read of a piece."""
        return _inside(self.read_off[name])

    def fits_unmended(self, name: str) -> bool:
        """Whether they had fitted with the pieces after it as they came off the needles."""
        return _inside(self.first_off[name])


def _inside(off: Mapping[str, float]) -> bool:
    return all(abs(mm) <= ALLOWED[key] for key, mm in off.items())


class Knitter:
    """One sweater from its swatch to the last seam."""

    def __init__(self, cell: Cell, seed: int, names: tuple[str, ...] = ORDER) -> None:
        self.cell, self.names = cell, names
        self.chance = np.random.default_rng([20_266, seed])
        drawn = 0.8 * abs(float(self.chance.normal(0, 0.02)))
        self.piece_sd = drawn if cell.piece is None else cell.piece
        draw = self.chance.normal
        self.fabric = {"across": STITCH * math.exp(draw(0, cell.off)), "along": ROW * math.exp(draw(0, cell.off))}
        self.shift = {way: math.exp(draw(0, cell.shift)) for way in self.fabric} if cell.swatches else {}
        self.pieces: list[Knitted] = []
        self.work, self.stated, self.endless, self.slipped = 0.0, list[Stated](), False, False
        self.swatches, gauge = self._swatched()
        self.garment = {key: self._read(mm, range(1, 4)) for key, mm in PLAIN.items()}
        self.planned = self._planned(gauge)
        self.least = 0.0
        self.kept_off: dict[tuple[str, str], float] = {}
        self.blocked_alike: dict[str, list[tuple[str, float]]] = {}
        self.as_they_came: dict[str, dict[str, float]] = {}
        self.as_left: dict[str, dict[str, dict[str, float]]] = {}

    # What is planned, and the pieces

    def _swatched(self) -> tuple[list[Raw], dict[str, float]]:
        """The swatches, and the stitch and row that they tell; without any the right ones [mm]."""
        if not self.cell.swatches:
            return [], dict(zip(("across", "along"), (STITCH, ROW), strict=True))
        made = [
            {way: self.fabric[way] * math.exp(self.chance.normal(0, self.piece_sd / 0.8)) for way in self.fabric}
            for _ in range(self.cell.swatches)
        ]
        swatches = [self._swatch(f"swatch_{number}", one) for number, one in enumerate(made)]
        return swatches, {way: float(np.mean([one[way] for one in made])) for way in self.fabric}

    def _swatch(self, key: str, size: Mapping[str, float]) -> Raw:
        """A swatch of this stitch and row [mm], read as all is: read too evenly, it tells of a steadier hand."""
        made = swatch(key=key)
        (blocked,) = made["stages"]
        for way, counted in (("across", made["stitches"]), ("along", made["rows"])):
            blocked[way] = self._read(counted["count"] * size[way], range(1, 4))
        return made

    def _planned(self, gauge: Mapping[str, float]) -> dict[str, dict[str, int]]:
        """Counts by a gauge, widths even."""
        wanted = dict(PLAIN)
        if self.cell.by_tape:
            wanted = {key: 10 * float(np.mean([float(one["text"]) for one in of])) for key, of in self.garment.items()}
        planned: dict[str, dict[str, int]] = {}
        for kind in dict.fromkeys(kind_of(name) for name in self.names):
            planned[kind] = {}
            for key in RIGHT[kind]:
                flat = wanted[key] * (2 if key in ROUND else 1)
                count = flat / gauge["along" if key in ALONG else "across"] + SWALLOWED.get(key, 0)
                planned[kind][key] = round(count) if key in ALONG else 2 * round(count / 2)
        return planned

    def _size(self, kind: str) -> dict[str, float]:
        """Stitch or row of a new piece at each point [mm]."""
        draw = self.chance.normal
        own = {
            way: self.fabric[way] * self.shift.get(way, 1.0) * math.exp(draw(0, self.piece_sd)) for way in self.fabric
        }
        return {
            key: own["along" if key in ALONG else "across"] * math.exp(draw(0, self.cell.local)) for key in RIGHT[kind]
        }

    def knit(self, name: str, counts: dict[str, int], *, replaces: Knitted | None = None) -> Knitted:
        """Knit a piece, wash it mostly, lay it to dry, read it."""
        kind, real = kind_of(name), dict(counts)
        if self.chance.random() < self.cell.slips and kind != "sleeve":
            self._slip(real)
        key = name if replaces is None else f"{name}_{len(self.pieces)}"
        size, old = self._size(kind), replaces.key if replaces else None
        made = Knitted(key, name, kind, real, dict(counts), size, replaces=old)
        for way, share in self.blocked_alike.get(name, ()):
            self._stretch(made, way, share)
        if self.chance.random() < self.cell.pulled:
            made.pulled = float(self.chance.normal(0, PULLED_SD))
        self.pieces.append(made)
        if self.chance.random() < self.cell.unwashed:
            made.stages.append(self._stage(made, "off_machine"))
        else:
            made.stages.append(self._stage(made, "blocked"))
        return made

    def _slip(self, real: dict[str, int]) -> None:
        """A slip of the counter: at one point, or in a zone."""
        self.slipped = True
        if self.chance.random() < 0.5:
            key, by = SINGLE[self.chance.integers(len(SINGLE))]
            keys: tuple[str, ...] = (key,)
        else:
            keys, by = ZONES[self.chance.integers(len(ZONES))]
        off = int(self.chance.choice(by))
        real.update({key: real[key] + off for key in keys})

    # The tape

    def _read(self, mm: float, layings: Iterable[int], look: int = 1) -> list[Raw]:
        """Readings of a true length, each of a laying of its own, to the millimetre."""
        taken = []
        for laying in layings:
            laid = mm + self.chance.normal(0, 0.004 * mm)
            text = f"{round(laid + self.chance.normal(0, math.hypot(1.5, 0.004 * mm))) / 10:.1f}"
            taken.append({"text": text, "laying": laying, **({"look": look} if look > 1 else {})})
        return taken

    def _stage(self, made: Knitted, kind: str) -> Raw:
        before = {key: WASHED["along" if key in ALONG else "across"] if kind != "blocked" else 1.0 for key in made.size}
        taken = {key: self._read(made.true(key) * before[key], range(1, 4)) for key in made.size}
        return {"kind": kind, **({"blocking": "patted"} if kind == "blocked" else {}), "readings": taken}

    def read_again(self, made: Knitted) -> None:
        """A whole round: every point, three layings, piece and garment."""
        made.looks += 1
        more = range(3 * made.looks - 2, 3 * made.looks + 1)
        for key, taken in made.stages[-1]["readings"].items():
            taken += self._read(made.true(key), more, made.looks)
        for key in made.size:
            self.garment[key] = self.garment[key] + self._read(PLAIN[key], more, made.looks)
        self.work += COSTS["read"]

    # What the program is told

    def file(self) -> Raw:
        home = household(
            [self._record(made) for made in self.pieces], swatches=self.swatches, planned=self.planned, fits={}
        )
        occasion = home["garments"][0]["occasions"][0]
        occasion["readings"] = self.garment
        return home

    def _record(self, made: Knitted) -> Raw:
        counts = {
            key: {
                "planned": self.planned[made.kind][key],
                "knitted": count,
                **({"counted": made.counts[key]} if key in made.counted else {}),
            }
            for key, count in made.believed.items()
        }
        record: Raw = {
            "id": made.key,
            "piece": made.kind,
            "dial": "7",
            "counts": counts,
            "stages": made.stages,
            **({"replaces": made.replaces} if made.replaces else {}),
            **({"dial_confirmed": True} if made.dial_asked else {}),
            **({"felted": False} if made.wash_asked else {}),
        }
        return record

    # What the knitter does

    def sew(self) -> Sewn:
        for name in self.names:
            made = self.knit(name, dict(self.planned[kind_of(name)]))
            self.as_they_came[name] = {key: made.true(key) for key in made.size}
            if name == "back":
                self.least = self._least(made)
            self._follow(made)
            self.as_left[name] = self._lengths()
        return self._sewn()

    def _lengths(self) -> dict[str, dict[str, float]]:
        """What the pieces that are kept so far measure, by their names [mm]."""
        return {made.name: {key: made.true(key) for key in made.size} for made in self.pieces}

    def _least(self, back: Knitted) -> float:
        """The least loss there is with this back."""
        own = {
            way: float(np.mean([back.size[key] for key in back.size if (key in ALONG) == (way == "along")]))
            for way in self.fabric
        }
        following = {way: size * self.shift.get(way, 1.0) for way, size in self.fabric.items()}
        true = {key: back.true(key) for key in back.size}
        return AllKnowing(true, own, following, self.piece_sd, self.cell.local).least()

    def _follow(self, made: Knitted) -> None:
        """Do what comes first until the next piece may be knitted."""
        for answer in range(MOST_ANSWERS):
            told = Told(self.file(), made.key)
            first = told.first
            if told.says and told.then in GENUINE and first in GENUINE:
                self.stated.append(Stated(made.name, str(first), told.deed(told.advice.action).chance, answer == 0))
            match first:
                case "carry_on" | "other_counts":
                    self._take_counts(told, made)
                    return
                case "alter_hem":
                    self._alter_hem(told, made)
                    self._take_counts(told, made)
                    return
                case "rip_back" | "knit_again":
                    made = self._knit_anew(told, made, first)
                case "block_again":
                    self._block_again(told, made)
                case "shape":
                    self._pat(made)
                case "count":
                    self._count(told, made)
                case "dial":
                    made.dial_asked = True
                case "felted":
                    made.wash_asked = True
                case "read":
                    self.read_again(made)
                case "wash" | "say cannot_carry":
                    made.stages.append(self._stage(made, "blocked"))
                case "answer":
                    self._answer(told, made)
                case _:
                    raise AssertionError(f"nobody told this knitter what to do: {first}: {told.head}")
        self.endless = True

    def _take_counts(self, told: Told, made: Knitted) -> None:
        """What is still to be knitted gets the counts that stand there; seams and bands are sewn as it is said."""
        for kind, counts in self.planned.items():
            for key in counts:
                counts[key] = told.count(kind, key) or counts[key]
        for altered in told.advised.alterations:
            if altered.by in ("armhole_seam", "neck_band") and altered.left_mm is not None:
                kept = altered.left_mm - told.point(altered.point).difference.value
                self.kept_off[made.name, altered.point] = kept

    def _alter_hem(self, told: Told, made: Knitted) -> None:
        """Rows on or off at the lower end: what hangs there, all of it, at a knitted back too where it is said."""
        rows = 0
        for altered in told.advised.alterations:
            if altered.by in ("hem", "cuff_band"):
                size = made.size[altered.point]
                rows = altered.stitches if altered.stitches else round(altered.mm / size)
        back = next(piece for piece in reversed(self.pieces) if piece.kind == "back")
        for piece in (made, back) if made.kind == "front" and not told.advised.alone else (made,):
            self.work += COSTS["alter_hem"]
            for key in ("to_underarm", "body_length", "sleeve_to_underarm", "sleeve_length"):
                if key in piece.counts:
                    piece.counts[key] += rows
                    piece.believed[key] += rows

    def _knit_anew(self, told: Told, made: Knitted, deed: str) -> Knitted:
        """Rip back to the underarm or knit the whole piece again, with the counts that stand there."""
        self.work += (COSTS[deed] - 0.05) * SHARES[made.kind] + 0.05
        counts = {key: told.count(made.kind, key) or count for key, count in made.believed.items()}
        if deed == "knit_again":
            return self.knit(made.name, counts, replaces=made)
        fresh = self._size(made.kind)
        own = {
            way: float(np.mean([made.size[key] for key in made.size if (key in ALONG) == (way == "along")]))
            for way in self.fabric
        }
        for whole, part in (("body_length", "armhole_depth"), ("sleeve_length", "cap_height")):
            if whole in made.counts:
                made.believed[whole] += counts[part] - made.believed[part]
                made.counts[whole] += counts[part] - made.counts[part]
        for key in ABOVE_UNDERARM:
            if key in made.size:
                made.counts[key] = made.believed[key] = counts[key]
                made.counted.add(key)
                way = "along" if key in ALONG else "across"
                made.size[key] = (
                    own[way]
                    * fresh[key]
                    / float(np.mean([fresh[other] for other in fresh if (other in ALONG) == (key in ALONG)]))
                )
        made.stages = [*made.stages[:-1], self._stage(made, "blocked")]
        made.looks = 1
        return made

    def _block_again(self, told: Told, made: Knitted) -> None:
        """Stretch it, and what is knitted like it once that is there."""
        self.work += COSTS["block_again"]
        deed = told.deed("block_again")
        stretch = str(deed.stretch_direction), (deed.stretch_percent or 0.0) / 100
        self._stretch(made, *stretch)
        if made.name in ALIKE and f"Block the {ALIKE[made.name].replace('_', ' ')} alike." in told.head:
            self.blocked_alike.setdefault(ALIKE[made.name], []).append(stretch)
        made.stages.append(self._stage(made, "blocked"))
        made.looks = 1

    def _stretch(self, made: Knitted, way: str, share: float) -> None:
        """A third or so goes again; half of what stays is lost the other way."""
        stays = share * (1 - float(np.clip(self.chance.normal(0.33, 0.2), 0, 1)))
        other = "along" if way == "across" else "across"
        made.stretched[way] *= 1 + stays
        made.stretched[other] *= 1 - 0.5 * stays

    def _pat(self, made: Knitted) -> None:
        """Wet it and pat it to size: it lies as the fabric is."""
        self.work += COSTS["shape"]
        made.pulled = 0.0
        made.stages.append(self._stage(made, "blocked"))
        made.looks = 1

    def _count(self, told: Told, made: Knitted) -> None:
        keys = [told.about] if told.about in made.counts else list(made.counts)
        made.counted |= {key for key in keys if key}
        made.believed.update({key: made.counts[key] for key in keys if key})

    def _answer(self, told: Told, made: Knitted) -> None:
        """Lay the tape again where it is asked, or keep what stands there when it is asked again."""
        for taken in (*(stage["readings"] for stage in made.stages), self.garment):
            for reading in taken.get(told.about or "", []):
                reading["confirmed"] = True
        counts = made.believed if told.about in made.believed else {}
        made.counted |= {told.about} & counts.keys() if told.about else set()

    # The garment

    def _sewn(self) -> Sewn:
        """Sew it: the back's own widths and a sleeve's are theirs, all else is the mean of the pieces that have it."""
        last = {made.name: made for made in self.pieces}
        at_last = self._lengths()
        off = self._off(at_last)
        read_off, first_off = {}, {}
        for place, name in enumerate(self.names):
            later = {after: self.as_they_came[after] for after in self.names[place + 1 :]}
            read_off[name] = self._off(at_last, of=name)
            first_off[name] = self._off({**self.as_left[name], **later}, of=name)
        planned = RIGHT["front"]["chest"]
        fronts = abs(last["front"].counts["chest"] - planned)
        return Sewn(off, self.work, self.stated, fronts, self.slipped, self.endless, self.least, read_off, first_off)

    def _off(self, pieces: Mapping[str, Mapping[str, float]], *, of: str = "") -> dict[str, float]:
        """Garment less wanted, flat, per point [mm], of pieces of these lengths; of two sleeves what is further out.

        of  the piece whose points these are: what back and front do not have together is its own, and what is said
            of the first sleeve is said of both; else the garment's
        """

        def carries(name: str, key: str) -> bool:
            if of:
                together = key in TOGETHER or (of == "front" and key in AT_THE_HEM)
                return name == of or (of == SLEEVES[0] and name in SLEEVES) or (together and key in pieces[of])
            return name == "back" or key not in OF_BACK

        off: dict[str, float] = {}
        for key in ALLOWED:
            lengths = [
                mm[key] + self.kept_off.get((name, key), 0.0)
                for name, mm in pieces.items()
                if key in mm and carries(name, key)
            ]
            swallowed = SWALLOWED.get(key, 0) * self.fabric["along" if key in ALONG else "across"]
            together = lengths if key in RIGHT["sleeve"] else [float(np.mean(lengths))] if lengths else []
            worn = [(mm - swallowed) / (2 if key in ROUND else 1) - PLAIN[key] for mm in together]
            if worn:
                off[key] = max(worn, key=abs)
        return off


def kind_of(name: str) -> str:
    """What a piece of this name is: two are sleeves."""
    return SLEEVES[0] if name in SLEEVES else name


def sweaters(cell: Cell, number: int, first: int = 0, names: tuple[str, ...] = ORDER) -> list[Sewn]:
    """So many sweaters of one cell, from their seeds."""
    return [Knitter(cell, seed, names).sew() for seed in range(first, first + number)]


class Came(NamedTuple):
    """How true the chances of a deed are.

    often     how often it was advised on a piece
    stated    mean of the chances that were stated [1]
    unmended  how often all had fitted with the pieces after it as they came off the needles [1]
    happened  how often all fitted in the end, those pieces being judged and mended too [1]
    """

    often: int
    stated: float
    unmended: float
    happened: float


def reliability(sewn: Iterable[Sewn]) -> dict[str, Came]:
    """What was stated and what came of it, per deed."""
    told: dict[str, list[tuple[float, bool, bool]]] = {}
    for sweater in sewn:
        for stated in sweater.stated:
            if stated.chance is not None:
                fits = sweater.fits_unmended(stated.name), sweater.fits(stated.name)
                told.setdefault(stated.deed, []).append((stated.chance, *fits))
    return {deed: Came(len(of), *np.mean(of, axis=0).tolist()) for deed, of in sorted(told.items())}


class ChestOff(NamedTuple):
    """How far the garment's chest is out.

    rms     root mean square [mm];  error: its standard error, s(x^2) / (2 rms sqrt n) [mm]
    within  share within 6 mm [1]
    """

    rms: float
    error: float
    within: float


def chest_of(sewn: Iterable[Sewn]) -> ChestOff:
    """How far the chest of sweaters is out."""
    off = np.array([sweater.off["chest"] for sweater in sewn])
    rms = float(np.sqrt(np.mean(off**2)))
    error = float(np.std(off**2)) / (2 * rms * math.sqrt(len(off)))
    return ChestOff(rms, error, float(np.mean(np.abs(off) <= 6.0)))


def told_of(sewn: Iterable[Sewn], deeds: Iterable[str]) -> int:
    """How many sweaters were told one of these deeds of their back, at any time."""
    listed = set(deeds)
    return sum(any(one.name == "back" and one.deed in listed for one in sweater.stated) for sweater in sewn)


def table(name: str, sewn: list[Sewn]) -> dict[str, Any]:
    """One row of what came of it."""
    chest = chest_of(sewn)
    return {
        "cell": name,
        "n": len(sewn),
        "chest rms mm": round(chest.rms, 2),
        "within 6": round(chest.within, 3),
        "loss": round(float(np.mean([one.loss for one in sewn])), 3),
        "regret": round(float(np.mean([one.regret for one in sewn])), 3),
        "work": round(float(np.mean([one.work for one in sewn])), 3),
        "deed on the back": round(
            told_of(sewn, ("alter_hem", "block_again", "shape", "rip_back", "knit_again")) / len(sewn), 3
        ),
        "endless": sum(one.endless for one in sewn),
    }
