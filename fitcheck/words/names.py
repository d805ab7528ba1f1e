"""The names of pieces, points, verdicts and ways to go on, and their signs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Protocol

from fitcheck.records.cross_checks import KINDS
from fitcheck.records.households import Household
from fitcheck.records.points import FRONTS, POINTS
from fitcheck.records.swatches import Swatch
from fitcheck.reports.shapes import ActionReport, Head, PointReport, Report
from fitcheck.words.dates import day_words, write_day
from fitcheck.words.phrases import capital, count_words, few, key_words, listed, spaced

Names = Mapping[tuple[str, str], str]
"""What records are called, by kind and key."""
NO_NAMES: Names = {}
"""Where only an answer is at hand, without its records."""
MOST_NAMED = 3
"""Points that are named in a sentence; more are counted."""
ACTIONS = {
    "carry_on": "carry on as planned",
    "other_counts": "other counts for the rest",
    "alter_hem": "alter the lower end",
    "block_again": "block again",
    "rip_back": "rip back to the underarm",
    "knit_again": "knit again",
    "measure_again": "measure again",
}
ZONES = {
    "matches": "matches",
    "differs": "differs",
    "too_close": "too close to call",
    "on_the_line": "right at the edge",
    "held_at": "held by its pins",
    "not_measured": "not measured",
    "cannot_say": "cannot say",
}
STAGES = {
    "off_machine": "off the machine",
    "rested": "rested",
    "blocked": "blocked and dry",
    "hung": "hung",
}
STAGE_CHOICES = {**STAGES, "blocked": "washed, blocked and dry"}
"""The same by their whole names, where one stands by itself."""
OUR_NAME = "sweater of "
"""How a garment's name begins where nobody gave it one: "sweater of 25 November 2026"."""
_NO_COUNTS = {"armhole_seam": "seams", "neck_band": "bands"}
"""What answers for a misfit without another count."""

NAME_LENGTH = 24
"""Letters of a size's name that are repeated in a sentence."""


class Named(Protocol):
    """A record with a key and, where somebody gave it one, a name."""

    @property
    def id(self) -> str: ...  # noqa: D102 - the key

    @property
    def name(self) -> str: ...  # noqa: D102 - the name


def record_name(record: Named) -> str:
    """What a record is called: its name as it was typed, else its key as words."""
    return record.name or spaced(record.id)


def told_apart(swatches: Sequence[Swatch]) -> dict[str, str]:
    """What each swatch is called, by its key: those of one name get the day of their last stage, or a number."""
    names = {swatch.id: record_name(swatch) for swatch in swatches}
    for name in {name for name in names.values() if list(names.values()).count(name) > 1}:
        alike = [swatch for swatch in swatches if names[swatch.id] == name]
        days = [max((stage.on for stage in swatch.stages if stage.on), default=None) for swatch in alike]
        apart = None not in days and len(set(days)) == len(days)
        for number, (swatch, day) in enumerate(zip(alike, days, strict=True), start=1):
            names[swatch.id] = f"{name}, {write_day(day)}" if apart and day else f"{name}, no. {number}"
    return names


def names_of(household: Household) -> Names:
    """What the records of a household are called; swatches of one name are told apart."""
    names = {(kind, record.id): record_name(record) for kind in KINDS for record in getattr(household, kind)}
    return names | {("swatches", key): name for key, name in told_apart(household.swatches).items()}


def called(kind: str, key: str, names: Names) -> str:
    """What a record is called; its key as words where nobody says."""
    return names.get((kind, key)) or key_words(key)


def size_name(name: str, most: int = NAME_LENGTH) -> str:
    """A size's name as typed, shortened where it is long."""
    return name if len(name) <= most else name[: most - 1] + "…"


def piece_kind(head: Head) -> str:
    """What the piece on the table is: "back", "left front"."""
    return spaced(head.piece_kind) if head.piece_kind else "piece"


def piece_name(head: Head) -> str:
    """The piece on the table: "the back", "the left front"."""
    return f"the {piece_kind(head)}"


def unit_of_work(head: Head) -> str:
    """The back whose work every cost is told in: this one, or any where another piece lies on the table."""
    return "the back" if head.piece_kind == "back" else "a back"


def reference_name(head: Head | None) -> str:
    """The garment that it must fit, called as it was typed; the one name that is ours takes "the"."""
    return garment_name(head.reference) if head and head.reference else "the sweater that it must fit"


def garment_name(name: str) -> str:
    """A garment of the wardrobe as a sentence calls it."""
    return f"the {name}" if name.startswith(OUR_NAME) else name


def other_piece(head: Head) -> str:
    """The body piece that answers for it: the front for a back, the back for a front."""
    return f"the {other_body(head)}"


def other_body(head: Head) -> str:
    """The same without its article."""
    return "back" if head.piece_kind in FRONTS else "front"


def point_name(key: str) -> str:
    """Name of a point inside a sentence: "chest", "armhole depth"."""
    return POINTS[key].short or POINTS[key].name if key in POINTS else spaced(key)


def points_named(keys: Sequence[str]) -> str:
    """Some points by name, "the chest and the hem", or how many they are."""
    return listed([f"the {point_name(key)}" for key in keys]) if len(keys) <= MOST_NAMED else f"{few(len(keys))} points"


def point_of_its_piece(key: str) -> str:
    """Name of a point beside the name of its piece: "length" of the left sleeve."""
    return (POINTS[key].of_its_piece if key in POINTS else "") or point_name(key)


def point_title(point: PointReport) -> str:
    """Name of a point as a heading, with "flat" where a garment's figure is half of a round one."""
    known = POINTS.get(point.key)
    # A sleeve is measured opened out: its piece carries the whole round, so "flat" would mislead.
    flat = point.flat and (known is None or known.per_piece == 1)
    return capital(point.name) + (", flat" if flat else "")


def at_point(report: Report, key: str) -> str:
    """A point of the piece on the table without saying the piece twice: "length" of a sleeve."""
    return point_of_its_piece(key) if report.head.piece_kind else point_name(key)


def action_name(code: str, action: ActionReport | None = None) -> str:
    """Name of a way to go on; `other_counts` is named by what it changes where no count is among it."""
    if action is not None and action.code == "other_counts":
        makers = {alteration.by for alteration in action.alterations}
        if makers and makers <= _NO_COUNTS.keys():
            changed = listed([name for by, name in _NO_COUNTS.items() if by in makers])
            return f"{changed} for the rest"
    if action is not None and code == "rip_back" and action.rip == "neck":
        return "rip back to the start of the neck"
    return ACTIONS.get(code, spaced(code))


DOWN_TO = {"neck": "the start of the neck", "sleeve_underarm": "the sleeve’s underarm"}
"""How far a piece is ripped out where that is not its underarm."""


def down_to(action: ActionReport) -> str:
    """How far a piece is ripped out: "the underarm"."""
    return DOWN_TO.get(action.rip or "", "the underarm")


def rip_words(head: Head, action: ActionReport) -> str:
    """ "rip the back out down to the underarm (row 108)"."""
    row = f" (row {action.row})" if action.row else ""
    return f"rip {piece_name(head)} out down to {down_to(action)}{row}"


def deed_name(report: Report, code: str) -> str:
    """A way to go on as a whole deed: "knit the back again", "rip the back out down to the underarm (row 108)"."""
    action, piece = action_of(report, code), piece_name(report.head)
    if code == "rip_back" and action is not None:
        return rip_words(report.head, action)
    if code == "other_counts":
        makers = {alteration.by for alteration in action.alterations} if action is not None else set()
        by_hand = [name for by, name in _NO_COUNTS.items() if by in makers]
        return f"carry on with other {listed(by_hand) if makers and makers <= _NO_COUNTS.keys() else 'counts'}"
    if code == "knit_again":
        at = f" at dial {action.dial}" if action is not None and action.dial else ""
        return f"knit {piece} again{at}"
    return f"block {piece} again" if code == "block_again" else action_name(code, action)


def stage_name(kind: str) -> str:
    """What a piece or swatch is at a stage: "off the machine", "blocked and dry"."""
    return STAGES.get(kind, spaced(kind))


def short_stage(kind: str) -> str:
    """The same where there is little room: "blocked"."""
    return "blocked" if kind == "blocked" else stage_name(kind)


def zone_word(code: str) -> str:
    """The word of a verdict."""
    return ZONES.get(code, spaced(code))


def zone_sign(code: str, difference: float = 0.0) -> str:
    """The sign of a verdict: the ruler made small, brackets for what is allowed, the mark where it lies."""
    smaller = difference < 0
    if code == "matches":
        return "[ o ]"
    if code == "differs":
        return "<[   ]" if smaller else "[   ]>"
    if code in ("too_close", "on_the_line"):
        return "o   ]" if smaller else "[   o"
    if code == "not_measured":
        return "[   ]"
    return "- - -"


def point_sign(point: PointReport) -> str:
    """The sign of a point: where it is too close, the ring lies on the bracket that the interval passes further."""
    difference = point.difference
    if point.code not in ("too_close", "on_the_line"):
        return zone_sign(point.code, difference.value)
    smaller, larger = point.allowed_smaller_mm, point.allowed_larger_mm
    below = -math.inf if smaller is None else -difference.low - smaller
    above = -math.inf if larger is None else difference.high - larger
    side = difference.value if below == above else above - below
    return zone_sign(point.code, -1.0 if side < 0 else 1.0)


def stamp(head: Head) -> str:
    """What the answer is about, in one line."""
    return ". ".join(stamp_parts(head)) + "."


def stamp_parts(head: Head) -> tuple[str, ...]:
    """What the answer is about: make, for whom, piece, stage, readings, day."""
    # Many people put the name into the make's own: "pullover for Nora" needs no second one.
    named = not head.wearer or head.wearer in head.make_name
    of = capital(head.make_name) + ("" if named else f", for {head.wearer}")
    piece = capital(piece_kind(head)) if head.piece else "No piece yet"
    stage = f", {stage_name(head.stage)}" if head.stage else ""
    parts = [of, piece + stage]
    if head.readings:
        on = f", {day_words(head.read_on)}" if head.read_on else ""
        round_ = f", round {head.looks}" if head.looks > 1 else ""
        parts.append(f"From {count_words(head.readings, 'reading')}{round_}{on}")
    if head.invented:
        parts.append("Invented figures, to look round")
    return tuple(parts)


def direction_of(key: str) -> str:
    """Which way a point runs: across, along or edge."""
    return POINTS[key].direction if key in POINTS else "edge"


def action_of(report: Report, code: str) -> ActionReport | None:
    """The action of that code, None where the report has none."""
    return next((action for action in report.actions if action.code == code), None)


_KINDS = {
    "wearers": ("person", "people"),
    "garments": ("garment", "garments"),
    "swatches": ("swatch", "swatches"),
    "yarns": ("yarn", "yarns"),
    "machines": ("machine", "machines"),
    "size_tables": ("size table", "size tables"),
    "makes": ("make", "makes"),
}


def kind_name(kind: str) -> str:
    """What one record of a kind is called."""
    return _KINDS.get(kind, (kind,))[0]


def kind_counted(kind: str, number: int) -> str:
    """How many records of a kind there are: "1 person", "3 people"."""
    return f"{number} {_KINDS[kind][number != 1]}"


# Names of what nobody named


def of_day(what: str, day: str, number: int = 1) -> str:
    """The name of what was written down on a day: "back of 3 May, number 2"."""
    return f"{what} of {day}{f', number {number}' if number > 1 else ''}"


def planned_sweater(day: str) -> str:
    """The name of a make that was planned on a day."""
    return f"sweater planned on {day}"


def swatch_for(make: str) -> str:
    """The name of a swatch that came with a plan."""
    return f"swatch for {make}"


def sizes_for(make: str) -> str:
    """The name of a size table that came with a plan."""
    return f"sizes for {make}"
