"""Counts for what is still to knit: every piece with its planned and its new counts, and what they measure.

A width is count x stitch width, a length is rows x row height and the band that the piece has: as it lies, washed and
blocked, seams included, bands that come later not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from fitcheck import words
from fitcheck.advice.rest.planned import REPEATED, planned_counts, repeat_of, size_table_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.households import Household
from fitcheck.records.machines import Machine
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, FRONTS, KNITTED, POINTS, SLEEVES, PieceKind
from fitcheck.reports.shapes import ActionReport, AlterationReport, Report
from fitcheck.words import Mark, Unit
from webui.pages.make import told as make_told
from webui.pages.readings import standing

TWINS: Mapping[str, PieceKind] = {
    "left_front": "right_front",
    "right_front": "left_front",
    "left_sleeve": "right_sleeve",
    "right_sleeve": "left_sleeve",
}
"""Pieces that are the same, the other way round."""
FIRST_ASKED = {"sleeve": "upper_arm", "left_sleeve": "upper_arm", "right_sleeve": "upper_arm"}
"""The count to ask for where none was given; the chest's elsewhere."""
PARTS = {
    "armhole_seam": "the armhole seams",
    "neck_band": "the neck band",
    "front_rows_and_cap": "the armholes, and the sleeve cap drawn anew",
    "hem": "the lower end",
    "cuff_band": "the cuff",
}
"""What answers for a point, where it is no count of a piece."""
AT_THE_END = ("hem", "cuff_band")
LAYERS_ON_PIECE = {"knitted_on": 1.0, "added_later": 0.0, "turned": 2.0}
"""Depths of a band in the length of a piece as it lies: a turned one has both its layers there."""


@dataclass(frozen=True, slots=True)
class Row:
    """One count of a piece.

    key, point   point of measure and its name
    before, told the count before, and what it was taken from where nobody gave it
    step         change in stitches or rows
    now          the count to knit; None where none is known
    change       the change in words
    changed      whether there is one
    gives        what it measures
    band         the band in it ("6.0 cm band"), where the piece is knitted on to one: as what is wanted has it
    """

    key: str
    point: str
    before: int | None
    told: str
    step: int
    now: int | None
    change: str
    changed: bool
    gives: str
    band: str = ""

    @property
    def across(self) -> bool:
        """Whether it counts stitches."""
        return POINTS[self.key].direction != "along"


@dataclass(frozen=True, slots=True)
class Block:
    """One piece: its title, what its counts were before ("planned" or "knitted"), rows, notes, and what is asked.

    asked  point whose count is missing, with the question; None where nothing is
    anew   it is the piece on the table, knitted again
    """

    kind: PieceKind
    title: str
    before: str
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    asked: tuple[str, str] | None = None
    anew: bool = False

    @property
    def changed(self) -> bool:
        """Whether any of its counts is another than before, or it is knitted anew."""
        return any(row.changed for row in self.rows) or self.anew


@dataclass(frozen=True, slots=True)
class Rest:
    """What is still to knit and to change.

    parts  changes that are no counts of a piece: point, what is altered, by how much
    notes  demands that all of it keeps
    open   that nothing is decided yet
    """

    blocks: tuple[Block, ...] = ()
    parts: tuple[tuple[str, str, str], ...] = ()
    notes: tuple[str, ...] = ()
    open: str = ""

    @property
    def changes(self) -> bool:
        """Whether anything is to be knitted otherwise than it was planned."""
        return bool(self.parts) or any(row.changed for one in self.blocks for row in one.rows)

    @property
    def title(self) -> str:
        """What the list is called: counts where there are any."""
        return "Counts for the rest" if any(one.rows or one.asked for one in self.blocks) else "What changes"

    @property
    def any(self) -> bool:
        """Whether there is anything to show."""
        return bool(self.blocks or self.parts)


@dataclass
class _Table:
    """What the rows are made from."""

    found: Report
    make: Make
    household: Household
    unit: Unit
    mark: Mark
    plan: ActionReport
    used: set[tuple[str, str]] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.sizes = {way: self._size(way) for way in ("across", "along")}
        self.piece = next((one for one in self.make.pieces if one.id == self.found.head.piece), None)

    def _size(self, direction: str) -> float | None:
        """Stitch width or row height of what is knitted next [mm]; the piece's own, unless that is in doubt."""
        advice, fabric = self.found.recommendation, self.found.fabric
        doubted = self.found.head.carried or (
            not isinstance(advice, CannotSay) and advice.reason in ("miscount", "miscount_across")
        )
        again = make_told.again_at(self.found)
        if not (doubted or again):
            own = next((one.size.value for one in self.found.gauge if one.direction == direction), None)
            if own is not None:
                return own
        if fabric is None:
            return None
        click = make_told.click_at(fabric, make_told.dial_ahead(self.found, fabric))
        gauges = () if isinstance(fabric.gauge, CannotSay) else fabric.gauge
        listed = (click.across, click.along) if click else gauges
        known = next((one for one in listed if (one.stage, one.direction) == ("blocked", direction)), None)
        return known.size.value if known is not None and known.size.basis != "assumed" else None

    def row(self, key: str, before: int | None, change: int, *, told: str = "", amount_mm: float = 0.0) -> Row:
        """One count with its change.

        told  what the count was taken from, where nobody gave it;  amount_mm  change where no count is known
        """
        along = POINTS[key].direction == "along"
        noun = "row" if along else "stitch"
        now = before + change if before is not None else None
        size = self.sizes["along" if along else "across"]
        band_mm = self.band(key) if now and size else 0.0
        gives = self.length(now * size + band_mm) if now and size else ""
        if change:
            said = f"{_counted(abs(change), noun)} {'more' if change > 0 else 'fewer'}"
        elif amount_mm:
            way = ("longer" if amount_mm > 0 else "shorter") if along else ("wider" if amount_mm > 0 else "narrower")
            said = f"{words.figure(abs(amount_mm), self.unit, mark=self.mark)} {self.unit} {way}"
        else:
            said = "unchanged"
        band = f"with {self.length(band_mm)} band" if band_mm else ""
        return Row(key, words.point_name(key), before, told, change, now, said, bool(change or amount_mm), gives, band)

    def length(self, mm: float) -> str:
        """A length with its unit."""
        return f"{words.figure(mm, self.unit, mark=self.mark)} {self.unit}"

    def band(self, key: str) -> float:
        """How much of the piece's length is a band and no plain rows [mm]."""
        point = POINTS[key]
        if point.direction != "along" or not point.band:
            return 0.0
        return sum(
            LAYERS_ON_PIECE[band.how] * band.depth.value_mm for band in self.make.bands if band.edge == point.band
        )

    def rows(self, alteration: AlterationReport) -> int:
        """The change of an alteration in stitches or rows; rows reckoned from the row height where none are said."""
        if alteration.stitches:
            return alteration.stitches
        size = self.sizes["along"]
        return round(alteration.mm / size) if size and POINTS[alteration.point].direction == "along" else 0

    def altered(self, kind: str, key: str) -> AlterationReport | None:
        """What the advice changes at a point of a piece that is still to be knitted."""
        own = self.found.head.piece_kind
        for one in self.plan.alterations:
            if one.point != key or one.by == "this_piece":
                continue
            partner = own in BODY and kind in BODY and (own == "back") != (kind == "back")
            ends = (one.by == "hem" and own in BODY and kind in BODY) or (
                one.by == "cuff_band" and own in SLEEVES and kind in SLEEVES
            )
            if ends or (one.by in ("other_body_piece", "front_rows_and_cap") and partner):
                return one
        return None

    def to_knit(self, kind: PieceKind) -> Block:
        """The counts of a piece that is still to be knitted."""
        planned: dict[str, int] = dict(planned_counts(self.make, self.household, kind))
        name = kind.replace("_", " ")
        told: dict[str, str] = {}
        notes: list[str] = []
        like = self._like(kind)
        wait = self.plan.code == "knit_again" and not self.plan.dial
        if like is not None:
            twin = TWINS.get(like.piece) == kind
            for key, counts in like.counts.items():
                if counts.best and key not in planned and kind in POINTS[key].pieces:
                    planned[key] = counts.best
                    told[key] = f"as the {like.piece.replace('_', ' ')}"
            if told and not twin:
                notes.append(f"Nobody gave every count of the {name}: the others are taken as they were knitted.")
        rows = []
        lacks = CONSTRUCTIONS[self.make.construction].lacks
        changed = [one.point for one in self.plan.alterations if self.altered(kind, one.point)]
        for key in sorted({*planned, *changed} - set(lacks), key=lambda key: KNITTED.get(key, 99)):
            one = self.altered(kind, key)
            change = self.rows(one) if one else 0
            before = planned.get(key)
            if before is None and one and one.count is not None:
                before, told[key] = one.count - change, f"as {words.piece_name(self.found.head)}"
            if one:
                self.used.add((one.point, one.by))
            rows.append(self.row(key, before, change, told=told.get(key, ""), amount_mm=one.mm if one else 0.0))
            if one and one.by == "front_rows_and_cap":
                notes.append("Draw the sleeve cap anew to match the armholes.")
        if wait and rows:
            notes.append(f"Wait with the {name} until the new piece is read: then its counts can be said.")
        asked = FIRST_ASKED.get(kind, "panel_width" if kind == "side_panel" else "chest")
        question = None
        if asked not in planned or (told.get(asked) and like is not None and kind not in TWINS):
            question = (asked, f"How many stitches across the {name}’s {words.point_name(asked)}?")
        return Block(kind, f"The {name}", "planned", tuple(rows), tuple(notes), question)

    def _like(self, kind: PieceKind) -> Piece | None:
        """The piece whose counts a piece takes where it has none of its own: its twin, a front its back."""
        pieces = standing(self.make)
        for one in reversed(pieces):
            if TWINS.get(kind) == one.piece:
                return one
        if kind in ("front", "back") and self.piece is not None and self.piece.piece in ("front", "back"):
            return self.piece if self.piece.piece != kind else None
        return None

    def this_piece(self) -> Block | None:
        """The piece on the table, where it is knitted again or altered at its end."""
        if self.piece is None:
            return None
        kind, name = self.piece.piece, self.piece.piece.replace("_", " ")
        if self.plan.code == "knit_again" and self.plan.dial:
            own = {key: one.planned for key, one in self.piece.counts.items() if one.planned}
            planned = {**own, **planned_counts(self.make, self.household, kind)}
            rows = [self.row(key, count, 0) for key, count in _in_order(planned)]
            self.used |= {(one.point, one.by) for one in self.plan.alterations if one.by == "this_piece"}
            note = f"At dial {self.plan.dial}, with the planned counts: the dial changes, the counts do not."
            return (
                Block(kind, f"The {name}, knitted again", "planned", tuple(rows), (note,), anew=True) if rows else None
            )
        rows = []
        for one in sorted(self.plan.alterations, key=lambda one: KNITTED.get(one.point, 99)):
            if one.by not in ("this_piece", *AT_THE_END):
                continue
            counts = self.piece.counts.get(one.point)
            before = counts.best if counts else None
            rows.append(self.row(one.point, before, self.rows(one), amount_mm=one.mm))
            self.used.add((one.point, one.by))
        if not rows:
            return None
        how = {"rip_back": "from the underarm upward", "knit_again": "knitted again"}
        title = f"The {name}, {how.get(self.plan.code, 'at its lower end')}"
        return Block(kind, title, "knitted", tuple(rows))

    def parts(self) -> tuple[tuple[str, str, str], ...]:
        """What is altered that is no count of any piece above."""
        told = []
        for one in self.plan.alterations:
            if (one.point, one.by) in self.used:
                continue
            along = POINTS[one.point].direction == "along"
            way = ("longer" if one.mm > 0 else "shorter") if along else ("wider" if one.mm > 0 else "narrower")
            amount = f"{words.figure(abs(one.mm), self.unit, mark=self.mark)} {self.unit} {way}"
            told.append((words.point_name(one.point), PARTS.get(one.by, one.by.replace("_", " ")), amount))
        return tuple(told)


def rest_of(found: Report, make: Make, household: Household, unit: Unit, mark: Mark) -> Rest:
    """What is still to knit by the advice; nothing before an answer, and nothing of a sweater that is finished."""
    advice = found.recommendation
    if isinstance(advice, CannotSay) or make.finished is not None:
        return Rest()
    plan = words.action_of(found, advice.action)
    if plan is None:
        return Rest()
    table = _Table(found, make, household, unit, mark, plan)
    blocks = [one for one in (table.this_piece(), *(table.to_knit(kind) for kind in pieces_left(found, make))) if one]
    waits = advice.action == "measure_again" and any(one.rows for one in blocks)
    every = next((one for one in household.machines if one.id == make.machine), None)
    return Rest(
        tuple(one for one in blocks if one.rows or one.asked),
        table.parts(),
        tuple(demands(repeat_of(make, size_table_of(make, household)), every, blocks)),
        "Nothing is decided yet: so far every count stays as planned."
        if waits and any(one.rows for one in blocks)
        else "",
    )


def pieces_left(found: Report, make: Make) -> list[PieceKind]:
    """Kinds of pieces that are still to be knitted: of a half that is there, its twin."""
    there = {one.piece for one in standing(make) if one.stages}
    left: list[PieceKind] = []
    for kind in CONSTRUCTIONS[make.construction].pieces:
        if kind not in found.head.to_knit and kind not in ("front", "sleeve"):
            continue
        halves: tuple[PieceKind, ...] = ()
        if kind == "front" and (make.front_band or there & {"left_front", "right_front"}):
            halves = FRONTS[1:]
        elif kind == "sleeve" and there & {"left_sleeve", "right_sleeve"}:
            halves = SLEEVES[1:]
        if halves:
            left += [one for one in halves if one not in there]
        elif kind in found.head.to_knit and kind not in there:
            left.append(kind)
    return left


def demands(repeat: tuple[int, int], machine: Machine | None, blocks: Iterable[Block]) -> list[str]:
    """What the counts keep, and where one does not: even steps, whole repeats, needles on the bed."""
    stitches = [(one.title, row) for one in blocks for row in one.rows if row.now is not None and row.across]
    if not stitches:
        return []
    multiple, balance = repeat
    told = []
    steps = [row.step for _, row in stitches if row.step]
    if steps and all(step % 2 == 0 for step in steps):
        told.append("Changes across are even, so the middle of every piece stays its middle.")
    if multiple > 1:
        over = f" and {balance} over" if balance else ""
        off = [
            (title, row.point, row.now, (row.now - balance) % multiple)
            for title, row in stitches
            if row.now is not None and row.key in REPEATED and (row.now - balance) % multiple
        ]
        for title, point, count, rest in off:
            low = count - rest
            told.append(
                f"{title}’s {point}: {count} is no whole number of repeats of {multiple}{over}; "
                f"{low} and {low + multiple} are."
            )
        if not off:
            told.append(f"Chest and hem are whole repeats of {multiple}{over}.")
    if machine is not None:
        wide = [(title, row) for title, row in stitches if (row.now or 0) > machine.needles]
        told += [f"{title}’s {row.point}: {row.now} is more than the {machine.needles} needles." for title, row in wide]
        if not wide:
            told.append(f"All of it fits the {machine.needles} needles of the bed.")
    return told


def _in_order(counts: Mapping[str, int]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda one: KNITTED.get(one[0], 99))


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {'stitches' if noun == 'stitch' else 'rows'}"
