"""The sentences for terminal, page and API: a calm colleague at the next machine.

Domain code carries codes and numbers; here they become words. Every function is pure: parts of a report in,
text out. Lengths are written in `unit` (cm, in or mm) with the decimal mark that the person uses; a minus is
a real minus. "likely a to b" is the interval that the label used. A code without words of its own gets a
plain sentence made from its name, so that an answer never breaks on a new one.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Literal

from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.faults import Fault, Question
from fitcheck.records.lengths import write_bare, write_length
from fitcheck.records.plausibility import FAR_FROM_NEIGHBOURS
from fitcheck.records.points import POINTS
from fitcheck.report import (
    ActionReport,
    Advice,
    AlterationReport,
    DirectionReport,
    EaseReport,
    ExplanationReport,
    GaugeReport,
    Head,
    Help,
    PointReport,
    Report,
)

Unit = Literal["cm", "in", "mm"]
Mark = Literal[".", ","]

MANY_READINGS = 6
"""Further readings beyond which no number is said: more tape would hardly settle it."""

MOST_READ = 60
"""Characters of something typed that are repeated in a message."""

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
    "on_the_line": "on the line",
    "held_at": "held by its pins",
    "not_measured": "not measured",
    "cannot_say": "cannot say",
}
REASONS = {
    "least_loss": "Of all that can still be done, this costs least, its work and possible misfits counted together.",
    "less_work": "Another way would gain less than its extra work.",
    "wild_reading": "One reading lies far from the others, and the advice hangs on which of them is right.",
    "open_question": "Something that was typed is unlikely, and the advice hangs on it.",
    "miscount": "The lengths and the counts do not go together, and counting is quick.",
    "miscount_across": "The widths and the counts do not go together, and counting is quick.",
    "wash_and_block": "Washing changes a piece, and how much is known only roughly before it is done.",
    "worth_measuring": "What the tape would still tell can change the plan.",
}
CAUTIONS = {
    "felting": "Wool felts with heat and agitation: wash it cool and keep it still.",
    "steam_acrylic": "Steam ruins acrylic: no iron, no steamer.",
    "steamed_acrylic": "This piece was steamed, and steam ruins acrylic: if it hangs limp or shines, it stays so; "
    "steam no other piece.",
    "care_label": "Follow the care label of the yarn.",
    "wash_alike": "Wash the garment the way the swatches and this piece were washed.",
    "children": "Children's wear: keep the local rules on cords and buttons; the neck must pass the head.",
    "small_sample": "A swatch is a small sample; a whole piece may come out a little differently.",
    "advice_only": "Advice from a tape, not a promise.",
    "reference_rib": "The sweater that it must fit is a rib and stretches: are its widths to be copied?",
    "reference_negative_ease": "The sweater that it must fit is worn stretched: are its widths to be copied?",
    "count_at_that_row": "Count the stitches 2.5 cm (1 in) below the underarm, not at the widest row.",
    "wish_beside_figure": "A wish beside a plain number does not count: the number is what is wanted.",
}
STAGES = {
    "off_machine": "off the machine",
    "rested": "rested",
    "blocked": "blocked and dry",
    "hung": "hung",
}
SAVING = {
    "kept": "kept",
    "on_this_phone": "on this phone so far",
    "not_kept": "not kept: the disk is full; it stays in this field",
}
EASE = {
    "very_close": "very close",
    "close": "close",
    "standard": "standard",
    "loose": "loose",
    "oversized": "oversized",
}

_SHORT = {
    "shoulder_width": "shoulder",
    "hem": "hem",
    "armhole_depth": "armhole depth",
    "neck_width": "neck width",
    "neck_inside": "neck width inside the band",
    "neck_depth": "neck depth",
    "back_neck_drop": "neck drop",
    "armhole_diagonal": "diagonal of the armhole",
    "armhole_edge": "armhole edge",
}
_OF_ITS_PIECE = {
    "sleeve_length": "length",
    "sleeve_to_underarm": "length to underarm",
    "panel_width": "width",
    "panel_length": "length",
}
"""Names of points beside the name of their piece: "the length of the left sleeve"."""
_MONTHS = (
    "Jan",
    "Feb",
    "Mar",
    "Apr",
    "May",
    "June",
    "July",
    "Aug",
    "Sept",
    "Oct",
    "Nov",
    "Dec",
)
_NO_COUNTS = {"armhole_seam": "seams", "neck_band": "bands"}
"""What answers for a misfit without another count."""
_SHARES = (
    (1 / 30, "a thirtieth"),
    (1 / 20, "a twentieth"),
    (1 / 10, "a tenth"),
    (1 / 8, "an eighth"),
    (1 / 7, "a seventh"),
    (1 / 6, "a sixth"),
    (1 / 5, "a fifth"),
    (1 / 4, "a quarter"),
    (1 / 3, "a third"),
    (2 / 5, "two fifths"),
    (1 / 2, "half"),
    (3 / 5, "three fifths"),
    (2 / 3, "two thirds"),
    (3 / 4, "three quarters"),
    (9 / 10, "nine tenths"),
)
_CANNOT = {
    "prior_needed": "too few swatches were measured to tell how they scatter",
    "no_such_stage": "no swatch of this fabric was read at that stage",
    "dial_too_far": "that dial lies too far from the swatches",
    "line_not_determined": "the swatches scatter too much to tell one dial from the next",
    "too_few_points": "three swatches at different dials are needed to see how they scatter",
    "one_place_only": "all swatches were knitted at the same dial",
    "pinned": "pins held the piece while it was read, so the tape measured the pins",
}
_ABOUT_COUNTS = ("counts_swapped", "rows_to_stitches")
"""Questions whose place is a reading while what was read is a count."""
_CANNOT_HELP = {"prior_needed": "Measure more swatches before and after finishing."}


# Figures


@dataclass(frozen=True, slots=True)
class _Tape:
    """How lengths are written: unit and decimal mark."""

    unit: Unit
    mark: Mark

    def bare(self, mm: float, *, signed: bool = False) -> str:
        return write_bare(mm, self.unit, signed=signed).replace(".", self.mark)

    @property
    def step_mm(self) -> float:
        """What lengths are written to [mm]: 1 mm, 1/8 in."""
        return 3.175 if self.unit == "in" else 1.0

    def steps(self, mm: float) -> int:
        """Whole steps of a length as it is written, halves away from zero."""
        count = math.floor(abs(mm) / self.step_mm + 0.5 + 1e-9)
        return -count if mm < 0 else count

    def size(self, mm: float) -> str:
        """A length without its sign, without the unit."""
        return self.bare(abs(mm))

    def length(self, mm: float) -> str:
        return write_length(abs(mm), self.unit).replace(".", self.mark)

    def amount(self, mm: float) -> str:
        """A change without its sign: finer than the tape's marks where it is smaller than one."""
        return self.small(abs(mm)) if self.bare(mm) == "0" else self.length(mm)

    def small(self, mm: float) -> str:
        """A length too small for eighths: in mm, or in hundredths of an inch."""
        text = f"{mm / 25.4:.2f} in" if self.unit == "in" else f"{mm:.1f}".removesuffix(".0") + " mm"
        return text.replace(".", self.mark).replace("-", "−")

    def number(self, value: float, decimals: int) -> str:
        """A plain number with a real minus; a zero has no sign."""
        text = f"{value:.{decimals}f}"
        if not text.strip("-0."):
            text = text.lstrip("-")
        return text.replace(".", self.mark).replace("-", "−")

    def percent(self, value: float) -> str:
        text = self.number(abs(value), 1)
        return text.removesuffix(f"{self.mark}0") + " %"


def figure(mm: float, unit: Unit = "cm", *, mark: Mark = ".", signed: bool = False) -> str:
    """A length without its unit, to 1 mm or 1/8 in: "52.9", "−1.1", "+3/8"."""
    return _Tape(unit, mark).bare(mm, signed=signed)


def decimal(value: float, decimals: int, *, mark: Mark = ".") -> str:
    """A plain number with the person's decimal mark and a real minus."""
    return _Tape("cm", mark).number(value, decimals)


def chance_words(p: float) -> str:
    """A chance [1] as people say it: "9 in 10"; over 95 % "19 in 20", under 5 % "less than 1 in 20"."""
    if p > 0.95:
        return "19 in 20"
    if p < 0.05:
        return "less than 1 in 20"
    return f"{min(9, max(1, int(10 * p + 0.5)))} in 10"


def work_words(cost: float, piece: str = "the piece") -> str:
    """A cost [work of knitting the piece once] in words: "about a twentieth of the work of the back"."""
    if cost < 0.005:
        return "no work"
    if cost < 0.95:
        nearest = min(_SHARES, key=lambda share: abs(share[0] - cost))[1]
        return f"about {nearest} of the work of {piece}"
    if cost < 1.25:
        return f"as much work as knitting {piece} once"
    return f"{cost:.1f} times the work of {piece}"


def share_words(cost: float, piece: str = "a piece") -> str:
    """A cost [work of knitting the piece once] in a few words: "no work", "a twentieth of a back"."""
    if cost < 0.005:
        return "no work"
    if cost < 0.95:
        return f"{min(_SHARES, key=lambda share: abs(share[0] - cost))[1]} of {piece}"
    return f"a whole {piece.removeprefix('a ')}" if cost < 1.25 else f"{cost:.1f} times {piece}"


# Names


def piece_name(head: Head) -> str:
    """The piece on the table: "the back", "the left front"."""
    return f"the {_spaced(head.piece_kind)}" if head.piece_kind else "the piece"


def reference_name(head: Head | None) -> str:
    """The garment that it must fit: "the brown pullover", or what stands in for its name."""
    if head is None or not head.reference:
        return "the sweater that it must fit"
    name = head.reference[:1].lower() + head.reference[1:]
    return name if name.startswith(("the ", "my ", "our ", "a ", "an ")) else f"the {name}"


def a_piece(head: Head) -> str:
    """One of its kind, as a measure of work: "a back", "a left sleeve"."""
    return f"a {piece_name(head).removeprefix('the ')}"


def other_piece(head: Head) -> str:
    """The body piece that answers for it: the front for a back, the back for a front."""
    return "the back" if head.piece_kind in ("front", "left_front", "right_front") else "the front"


def point_name(key: str) -> str:
    """Name of a point inside a sentence: "chest", "armhole depth"."""
    if key in _SHORT:
        return _SHORT[key]
    return POINTS[key].name if key in POINTS else _spaced(key)


def point_title(point: PointReport) -> str:
    """Name of a point as a heading, with "flat" where a garment's figure is half of a round one."""
    known = POINTS.get(point.key)
    # A sleeve is measured opened out: its piece carries the whole round, so "flat" would mislead.
    flat = point.flat and (known is None or known.per_piece == 1)
    return _capital(point.name) + (", flat" if flat else "")


def action_name(code: str, action: ActionReport | None = None) -> str:
    """Name of a way to go on; `other_counts` is named by what it changes where no count is among it."""
    if action is not None and action.code == "other_counts":
        makers = {one.by for one in action.alterations}
        if makers and makers <= _NO_COUNTS.keys():
            changed = _listed([name for by, name in _NO_COUNTS.items() if by in makers])
            return f"{changed} for the rest"
    return ACTIONS.get(code, _spaced(code))


def _at_point(report: Report, key: str) -> str:
    """A point of the piece on the table without saying the piece twice: "length" of a sleeve."""
    return _OF_ITS_PIECE.get(key, point_name(key)) if report.head.piece_kind else point_name(key)


def zone_word(code: str) -> str:
    """The word of a verdict."""
    return ZONES.get(code, _spaced(code))


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
    """What the answer is about: make, for whom, piece, stage, readings, day."""
    # Many people put the name into the make's own: "pullover for Nora" needs no second one.
    named = not head.wearer or head.wearer in head.make_name
    of = _capital(head.make_name) + ("" if named else f", for {head.wearer}")
    piece = _capital(piece_name(head).removeprefix("the ")) if head.piece else "No piece yet"
    stage = f", {STAGES.get(head.stage, _spaced(head.stage))}" if head.stage else ""
    parts = [of, piece + stage]
    if head.readings:
        on = f", {_day(head.read_on)}" if head.read_on else ""
        round_ = f", round {head.looks}" if head.looks > 1 else ""
        parts.append(f"From {_count(head.readings, 'reading')}{round_}{on}")
    if head.invented:
        parts.append("Invented figures, to look round")
    return ". ".join(parts) + "."


def _day(iso: str) -> str:
    try:
        at = datetime.fromisoformat(iso)
    except ValueError:
        return iso
    day = f"{at.day} {_MONTHS[at.month - 1]} {at.year}"
    return f"{day}, {at.hour}:{at.minute:02d}" if len(iso) > len("2025-03-31") else day


def _spaced(code: str) -> str:
    return code.replace("_", " ")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _small_first(text: str) -> str:
    first = text.split(" ", 1)[0]
    return text if first.isupper() and len(first) > 1 else text[:1].lower() + text[1:]


def _sentence(text: str) -> str:
    text = _capital(text.strip())
    return text if not text or text[-1] in ".?!" else text + "."


def _listed(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _count(number: int, noun: str) -> str:
    if number != 1:
        noun += "es" if noun.endswith("ch") else "s"
    return f"{number} {noun}"


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def _counted(direction: str, number: int) -> str:
    return _count(number, "row" if direction == "along" else "stitch")


def _direction(key: str) -> str:
    return POINTS[key].direction if key in POINTS else "edge"


def _side_word(direction: str, difference: float, *, comparative: bool = False) -> str:
    across = direction == "across"
    if comparative:
        word = ("narrower", "wider") if across else ("shorter", "longer")
    else:
        word = ("narrow", "wide") if across else ("short", "long")
    return word[difference >= 0]


# One point


def _is_nil(mm: float, tape: _Tape) -> bool:
    return tape.bare(mm) == "0"


def _off(point: PointReport, tape: _Tape, *, comparative: bool = False) -> str:
    d = point.difference.value
    if _is_nil(d, tape):
        return "as wanted"
    return f"{tape.length(d)} {_side_word(point.direction, d, comparative=comparative)}"


@dataclass(frozen=True, slots=True)
class Row:
    """A point's figures as they are written: wanted + difference = measured, to the last place."""

    wanted: str
    measured: str
    difference: str


def row_figures(point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> Row:
    """Figures of a point without their unit, empty where there is none; the difference with its sign.

    Wanted and difference are rounded, and measured is what they make: three rounded figures need not add up.
    A point held by its pins has no difference to add: its measured figure is rounded itself.
    """
    tape = _Tape(unit, mark)
    wanted = tape.bare(point.wanted.value) if point.wanted else ""
    if point.code == "held_at":
        return Row(wanted, tape.bare(point.measured.value) if point.measured else "", "")
    shown = _shown_measured_mm(point, tape)
    return Row(
        wanted,
        "" if shown is None else tape.bare(shown),
        tape.bare(point.difference.value, signed=True),
    )


def _shown_measured_mm(point: PointReport, tape: _Tape) -> float | None:
    if point.measured is None:
        return None
    if point.wanted is None or point.code == "held_at":
        return tape.steps(point.measured.value) * tape.step_mm
    return (tape.steps(point.wanted.value) + tape.steps(point.difference.value)) * tape.step_mm


def likely_words(point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The interval that the label used: "likely 0.7 to 1.5"; with both words where it spans 0."""
    tape = _Tape(unit, mark)
    low, high = point.difference.low, point.difference.high
    if _is_nil(low, tape) and _is_nil(high, tape):
        return "likely 0"
    if low < 0 < high and not _is_nil(low, tape) and not _is_nil(high, tape):
        return (
            f"likely {tape.size(low)} {_side_word(point.direction, low)} "
            f"to {tape.size(high)} {_side_word(point.direction, high)}"
        )
    near, far = sorted((low, high), key=abs)
    if tape.size(near) == tape.size(far):
        return f"likely {tape.size(far)}"
    return f"likely {tape.size(near)} to {tape.size(far)}"


def allowed_words(point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What is allowed at a point: "allowed 1.0", or each side where they differ."""
    tape = _Tape(unit, mark)
    smaller, larger = point.allowed_smaller_mm, point.allowed_larger_mm
    if smaller is None and larger is None:
        return "anything is allowed"
    if smaller is not None and larger is not None and tape.size(smaller) == tape.size(larger):
        return f"allowed {tape.size(smaller)}"
    sides = [
        f"{'any amount' if mm is None else tape.size(mm)} {_side_word(point.direction, way, comparative=True)}"
        for mm, way in ((smaller, -1.0), (larger, 1.0))
    ]
    return f"allowed {' and '.join(sides)}"


def point_sentence(point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """A point whole, as it is read aloud: name, verdict, wanted, measured, difference, likely, allowed."""
    tape = _Tape(unit, mark)
    begin = f"{point_title(point)}: {zone_word(point.code)}."
    allowed = allowed_words(point, unit, mark=mark)
    if point.code == "held_at":
        at = f" It lies at {tape.length(point.measured.value)}" if point.measured else " It lies as pinned"
        wanted = f", wanted {tape.size(point.wanted.value)}" if point.wanted and point.measured else ""
        return f"{begin}{at}{wanted}. Take the pins out and read it again, dry."
    likely = likely_words(point, unit, mark=mark)
    off = _off(point, tape, comparative=True)
    if point.wanted is not None and point.measured is not None:
        row = row_figures(point, unit, mark=mark)
        figures = f"Wanted {row.wanted}, measured {row.measured} {unit}, {off}"
    elif point.wanted is not None:
        figures = f"Wanted {tape.length(point.wanted.value)}, {off}"
    elif off == "as wanted":
        figures = "Laid on the garment, level with it"
    else:
        figures = f"Laid on the garment, {off}"
    return f"{begin} {figures}, {likely}, {allowed}."


def signs_sentence() -> str:
    """The signs of the verdicts, explained once."""
    return "Signs: [ o ] matches; <[   ] and [   ]> differ, smaller and larger; o on a bracket is too close to call."


def likely_sentence() -> str:
    """What "likely" means."""
    return "Likely: 9 in 10, even when the piece is judged three times."


def wanted_sentence(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What "wanted" is, with one point as the example; empty where nothing has a wanted figure."""
    spoken = [one for one in report.points if one.wanted is not None]
    if not spoken:
        return ""
    tape = _Tape(unit, mark)
    half = report.head.piece_kind in ("left_front", "right_front")
    shown = []
    for point in report.points:
        known = POINTS.get(point.key)
        if point.wanted is None or point.garment_mm is None or known is None or known.seam_ends < 1:
            continue
        if known.direction != "across" or (half and known.flat):
            continue
        times = known.per_piece
        figure, wanted = tape.steps(times * point.garment_mm), tape.steps(point.wanted.value)
        if figure < wanted:
            shown.append((point, times, figure, wanted))
    told = (
        f"Wanted is what the piece must measure as it lies: {_wanted_from(shown[0][0] if shown else spoken[0])}, "
        "with what the seams swallow and any wish or band counted in"
    )
    if not shown:
        return f"{told}."
    point, times, figure, wanted = shown[0]
    terms = [tape.bare(steps * tape.step_mm) for steps in (figure, wanted - figure, wanted)]
    doubled = ""
    if times == 2:
        doubled = ". A sleeve lies opened out, so a flat figure of the garment is doubled first"
    return f"{told} ({terms[0]} + {terms[1]} = {terms[2]} at the {point_name(point.key)}){doubled}."


def _wanted_from(point: PointReport) -> str:
    """What a wanted figure starts from."""
    match point.source:
        case "numbers":
            return "the number that was given"
        case "ease":
            return "body and ease"
        case "size_table":
            return "the size table's figure"
        case _:
            return "the garment's figure"


def tape_alone_sentence(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Where measured is not what the tape alone says, why and what it says; empty where they agree."""
    tape = _Tape(unit, mark)
    apart = []
    for point in report.points:
        shown = _shown_measured_mm(point, tape)
        if shown is None or point.measured is None or point.read is None:
            continue
        # Equal to the eye needs no explanation, whatever lies behind it.
        alike = tape.bare(shown) == tape.bare(point.read.value)
        if not alike and abs(point.read.value - point.measured.value) >= tape.step_mm - 1e-9:
            apart.append(f"{tape.bare(point.read.value)} at the {point_name(point.key)}")
    if not apart:
        return ""
    if report.head.carried:
        return (
            "Measured is what the piece will measure, washed and blocked, as the swatches tell; "
            f"on the table now the tape says {_listed(apart)}."
        )
    return (
        "Measured is what the readings and counts of the whole piece say together; "
        f"the tape alone says {_listed(apart)}."
    )


def too_close_sentence(report: Report, point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Why a point is open and what settles it; empty for a settled point."""
    if point.code not in ("too_close", "on_the_line"):
        return ""
    piece = piece_name(report.head)
    same = ""
    if isinstance(report.recommendation, Advice) and not point.decides:
        same = " The advice is the same either way."
    needed = point.readings_needed
    on_the_line = point.code == "on_the_line" or point.reason == "on_the_line"
    if on_the_line or (needed is not None and needed > MANY_READINGS):
        edge = "Too close to call, and more tape would hardly settle it"
        if on_the_line:
            edge = "It lies right at the edge of what is allowed; more tape would hardly settle it"
        if point.decides and isinstance(report.recommendation, Advice):
            return f"{edge}, so choose by what it costs: {_cheapest_two(report)}."
        return f"{edge}.{same}"
    anew = _lay_anew(report, point.side) if needed else ""
    if point.reason == "tolerance_below_tape":
        tape = _Tape(unit, mark)
        sides = [mm for mm in (point.allowed_smaller_mm, point.allowed_larger_mm) if mm is not None]
        allowed = f"{tape.length(min(sides))} is allowed here" if sides else "What is allowed here"
        begin = f"Too close to call: {_small_first(allowed)}, finer than these readings can tell"
        if needed is None:
            return f"{begin}. Allow more, or read both sides a few times more.{same}"
        side = _side(report, point.side)
        return f"{begin}. Allow more, or read {side} {_times(needed)} more{anew}.{same}"
    if point.reason == "wanted_value_too_uncertain" or point.side == "reference":
        read = point.reference_readings
        how = f"was read only {_times(read)} here" if read else "is not known well enough here"
        more = "a few times" if needed is None else _times(needed)
        it = _capital(_side(report, "reference"))
        return f"Too close to call. {it} {how}: read it {more} more, not {piece}{anew}.{same}"
    if needed is None:
        return f"Too close to call: a few more readings of {piece} may settle it.{same}"
    settle = "settles" if needed == 1 else "settle"
    return f"Too close to call: {_count(needed, 'more reading')} of {piece} {settle} it{anew}.{same}"


def _one_laying(report: Report, side: str | None) -> bool:
    """Whether the readings of a side are, as far as is known, all of one laying."""
    own = report.head.piece
    laid = [one.about for one in report.assumed if one.code == "one_laying"]
    if side == "reference":
        return any(about and about != own for about in laid)
    return own in laid or any(one.code == "lay_again" for one in report.helps)


def _lay_anew(report: Report, side: str | None) -> str:
    """What to do between readings that were all of one laying; more of the same laying would settle nothing."""
    return "; lift, shake and lay it again in between" if _one_laying(report, side) else ""


def _side(report: Report, side: str | None) -> str:
    if side == "both":
        return f"{piece_name(report.head)} and of {reference_name(report.head)}"
    return reference_name(report.head) if side == "reference" else piece_name(report.head)


def _cheapest_two(report: Report) -> str:
    known = [(one.expected_loss, one) for one in report.actions if one.expected_loss is not None]
    best = [one for _, one in sorted(known, key=lambda pair: pair[0])[:2]]
    piece = piece_name(report.head)
    if not best:
        return "carry on where nothing speaks against it"
    return ", or ".join(f"{action_name(one.code, one)} ({work_words(one.cost, piece)})" for one in best)


def so_far_sentence(point: PointReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The verdict while readings still come in: "So far: chest about 1.1 cm narrow, 8 in 10 that ..."."""
    tape = _Tape(unit, mark)
    name = point_name(point.key)
    read = "one reading" if point.readings == 1 else f"{point.readings} readings"
    nil = _is_nil(point.difference.value, tape)
    off = "as wanted" if nil else f"about {_off(point, tape)}"
    if point.chance_within >= 0.5:
        chance = f"{chance_words(point.chance_within)} that it is within what is allowed"
    else:
        chance = f"{chance_words(1 - point.chance_within)} that it is more than allowed"
    hand = " and a usual tape hand" if point.difference.basis != "measured" else ""
    return f"So far: {name} {off}, {chance}. From {read}{hand}."


def changed_sentence(before: str, after: str, because: str) -> str:
    """What a change did to a verdict: "Was: too close to call. Now: matches. (chest, third reading)"."""
    return f"Was: {zone_word(before)}. Now: {zone_word(after)}. ({because})"


# The recommendation


def headline(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The recommendation: imperative first, then the reason with figures."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return cannot_say_sentence(advice)
    tape = _Tape(unit, mark)
    if advice.action == "measure_again":
        return _measure_again(report, advice, tape)
    action = action_of(report, advice.action)
    if action is None:
        return _sentence(action_name(advice.action))
    match action.code:
        case "carry_on":
            return _carry_on(report, tape)
        case "other_counts" | "alter_hem":
            return _carry_on_with_changes(report, action, tape)
        case "block_again":
            return _block_again(report, action, tape)
        case "rip_back":
            return _rip_back(report, action, tape)
        case "knit_again":
            return _knit_again(report, action, tape)
        case _:
            return _sentence(action_name(action.code))


def action_of(report: Report, code: str) -> ActionReport | None:
    """The action of that code, None where the report has none."""
    return next((one for one in report.actions if one.code == code), None)


def _point(report: Report, key: str | None) -> PointReport | None:
    return next((one for one in report.points if one.key == key), None)


def _judged(report: Report) -> list[PointReport]:
    return [one for one in report.points if one.code != "held_at"]


def _worst(points: Iterable[PointReport]) -> list[PointReport]:
    """Points by how far they are off against what is allowed on that side, the furthest first."""

    def reach(point: PointReport) -> tuple[float, float]:
        allowed = point.allowed_smaller_mm if point.difference.value < 0 else point.allowed_larger_mm
        return (abs(point.difference.value) / allowed if allowed else 0.0, point.weight)

    return sorted(points, key=reach, reverse=True)


def _it_is(report: Report, points: Sequence[PointReport], tape: _Tape) -> str:
    """What a piece is at some points, as subject: "The back's chest is 1.1 cm narrow (likely 0.7 to 1.5)"."""
    piece = piece_name(report.head)

    def likely(point: PointReport) -> str:
        return f"({likely_words(point, tape.unit, mark=tape.mark)})"

    if len(points) == 1:
        one = points[0]
        return f"{_capital(piece)}'s {_at_point(report, one.key)} is {_off(one, tape)} {likely(one)}"
    each = [f"{_off(one, tape)} at the {point_name(one.key)} {likely(one)}" for one in points]
    return f"{_capital(piece)} is {_listed(each)}"


def _before(report: Report) -> str:
    """What comes after this piece."""
    kind = report.head.piece_kind
    return other_piece(report.head) if kind == "back" else "the next piece"


def _carry_on(report: Report, tape: _Tape) -> str:
    piece = piece_name(report.head)
    begin = "Carry on as planned."
    judged = _judged(report)
    differs = [one for one in judged if one.code == "differs"]
    unsettled = [one for one in judged if one.code in ("too_close", "on_the_line")]
    if not judged:
        return f"{begin} Nothing that was read speaks against it."
    if not differs and not unsettled:
        held = len(judged) < len(report.points)
        where = "every point that was read without pins" if held else "every point that was read"
        return f"{begin} {_capital(piece)} matches at {where}. Nothing to change before {_before(report)}."
    if differs:
        return (
            f"{begin} {_it_is(report, _worst(differs)[:3], tape)}, "
            "and nothing else that can be done would pay for its work."
        )
    deciding = [one for one in judged if one.decides]
    if deciding and all(one.code == "matches" for one in deciding):
        return (
            f"{begin} {_capital(piece)} matches at every point that decides. "
            f"Nothing to change before {_before(report)}."
        )
    names = _listed([f"the {point_name(one.key)}" for one in unsettled])
    verb = "is" if len(unsettled) == 1 else "are"
    if any(one.decides for one in unsettled):
        best = "carrying on is the best plan as it stands"
        return f"{begin} {_capital(names)} {verb} too close to call, and {best}."
    return f"{begin} {_capital(names)} {verb} too close to call, and the advice is the same either way."


def _carry_on_with_changes(report: Report, action: ActionReport, tape: _Tape) -> str:
    done = [_sentence(change) for change in _changes(report, action, tape)]
    told = ["Carry on.", *done]
    keys = [one.point for one in action.alterations]
    off = [one for one in report.points if one.key in keys and not _is_nil(one.difference.value, tape)]
    if off:
        told.append(f"{_it_is(report, _worst(off)[:3], tape)}, and {_makes_up(report, action)}.")
    return " ".join(told)


def _makes_up(report: Report, action: ActionReport) -> str:
    makers = {one.by for one in action.alterations}
    larger = sum(one.mm for one in action.alterations) > 0
    if makers == {"other_body_piece"}:
        other = other_piece(report.head).removeprefix("the ")
        return f"a {'wider' if larger else 'narrower'} {other} makes that up"
    if makers == {"hem"}:
        return "the hem is where that can still be mended"
    if makers == {"cuff_band"}:
        return "the cuff is where that can still be mended"
    return "this makes that up"


def _changes(report: Report, action: ActionReport, tape: _Tape, *, name_points: bool = False) -> list[str]:
    """What an action changes on the rest of the garment, as imperatives without the full stop.

    name_points  name the point even where only one is altered: nothing else in the text does
    """
    rest = [one for one in action.alterations if one.by != "this_piece"]
    told: list[str] = []
    for by, group in groupby(sorted(rest, key=lambda one: one.by), key=lambda one: one.by):
        altered = list(group)
        if by == "other_body_piece":
            told.append(_other_body_piece(report, altered, tape, name_points or len(altered) > 1))
        elif by in ("hem", "cuff_band"):
            told.append(_lower_end(report, by, altered, tape))
        else:
            told.extend(_part(report, by, one, tape) for one in altered)
    # The counts of the other piece first: they are cast on before anything else is done.
    return sorted(told, key=lambda text: not text.startswith("Knit"))


def _other_body_piece(report: Report, altered: Sequence[AlterationReport], tape: _Tape, name_points: bool) -> str:
    other = other_piece(report.head)
    altered = sorted(altered, key=lambda one: -abs(one.mm))
    ways = {one.mm > 0 for one in altered}
    word = ("wider" if ways == {True} else "narrower") if len(ways) == 1 else ""
    steps = {one.stitches for one in altered}
    one_step = steps.pop() if len(steps) == 1 else None
    with_counts = all(one.count is not None and one.stitches is not None for one in altered)
    if not with_counts:
        each = [
            f"{tape.amount(one.mm)} {_side_word('across', one.mm, comparative=True)}"
            + (f" at the {point_name(one.point)}" if name_points else "")
            for one in altered
        ]
        return f"Knit {other} {_listed(each)} than planned"
    each = [
        f"{one.count} instead of {(one.count or 0) - (one.stitches or 0)}"
        + (f" at the {point_name(one.point)}" if len(altered) > 1 else "")
        for one in altered
    ]
    if word and one_step is not None:
        return f"Knit {other} {_count(abs(one_step), 'stitch')} {word}: {', '.join(each)}"
    each[0] = each[0].replace(" instead", " stitches instead", 1)
    return f"Knit {other} {word or 'with other counts'}: {', '.join(each)}"


def _lower_end(report: Report, by: str, altered: Sequence[AlterationReport], tape: _Tape) -> str:
    def weight(one: AlterationReport) -> float:
        known = _point(report, one.point)
        return known.weight if known else 0.0

    one = max(altered, key=weight)
    end = "hem" if by == "hem" else "cuff"
    amount = tape.amount(one.mm)
    if one.stitches:
        amount = f"{_count(abs(one.stitches), 'row')} ({amount})"
    alike = f"and {_alike(report, by)} {amount.split(' (')[0]} {'shorter' if one.mm < 0 else 'longer'}"
    if one.mm < 0:
        return f"At the {end} take off {amount}: from a waste-yarn start, or with a shallower band; {alike}"
    return f"At the {end} add {amount}: from a waste-yarn start, or with a deeper band; {alike}"


def _alike(report: Report, by: str) -> str:
    """Every piece that ends at an altered end is altered alike, or the seams do not meet."""
    kind = report.head.piece_kind
    if by == "hem" and kind == "back" and "front" in report.head.to_knit:
        return "knit the front"
    if by == "cuff_band" and kind in ("sleeve", "left_sleeve", "right_sleeve"):
        return "knit the other sleeve"
    return "make every other piece that ends there"


def _part(report: Report, by: str, one: AlterationReport, tape: _Tape) -> str:
    larger = one.mm > 0
    if by == "armhole_seam":
        each = tape.amount(one.mm / 2)
        return f"Sew the armhole seams {each} {'shallower' if larger else 'deeper'} at each side"
    if by == "front_rows_and_cap":
        rows = f"{_count(abs(one.stitches), 'row')} " if one.stitches else ""
        amount = f"{rows}({tape.amount(one.mm)}) " if rows else f"{tape.amount(one.mm)} "
        deeper = "deeper" if larger else "shallower"
        other = other_piece(report.head)
        return f"Knit the armholes of {other} {amount}{deeper}, and draw the sleeve cap anew to match"
    if by == "neck_band":
        if larger:
            return f"Let the neck band give {tape.amount(one.mm)} of neck width"
        return f"Let the neck band take up {tape.amount(one.mm)} of neck width"
    way = "larger" if larger else "smaller"
    return f"Make the {point_name(one.point)} {tape.amount(one.mm)} {way}: {_spaced(by)}"


def _block_again(report: Report, action: ActionReport, tape: _Tape) -> str:
    piece = piece_name(report.head)
    direction = action.stretch_direction or "across"
    share = action.stretch_percent or 0.0
    amount = tape.percent(share)
    told: list[str] = []
    small = _worst(
        one
        for one in report.points
        if one.direction == direction and one.difference.value < 0 and not _is_nil(one.difference.value, tape)
    )
    larger = _side_word(direction, 1, comparative=True)
    if small and small[0].measured is not None:
        target = tape.length(small[0].measured.value * (1 + share / 100))
        told.append(f"Block {piece} again, to {target} at the {point_name(small[0].key)}: {amount} {larger}.")
    else:
        told.append(f"Block {piece} again, {amount} {larger}.")
    if small:
        told.append(f"{_it_is(report, small[:2], tape)}, and {amount} is a stretch that can hold.")
    pays = "length" if direction == "across" else "width"
    off = tape.percent(share / 2)
    told.append(f"It takes about {off} off the {pays}, and a part goes again at the next wash.")
    if "steam_acrylic" in report.cautions:
        told.append("Do not steam acrylic.")
    told += [_sentence(change) for change in _changes(report, action, tape)]
    return " ".join(told)


def _new_counts(report: Report, action: ActionReport, most: int = 3) -> str:
    """ "102 stitches at the shoulder width instead of 98", the points that are furthest off first."""
    order = {one.key: place for place, one in enumerate(_worst(report.points))}
    new = [one for one in action.alterations if one.by == "this_piece" and one.stitches and one.count is not None]
    new.sort(key=lambda one: order.get(one.point, len(order)))
    each = [
        f"{_counted(_direction(one.point), one.count or 0)} at the {point_name(one.point)} "
        f"instead of {(one.count or 0) - (one.stitches or 0)}"
        for one in new[:most]
    ]
    return _listed(each) if each else ""


def _rip_back(report: Report, action: ActionReport, tape: _Tape) -> str:
    piece = piece_name(report.head)
    underarm = _point(report, "to_underarm")
    row = f" (row {underarm.count})" if underarm is not None and underarm.count else ""
    counts = _new_counts(report, action)
    begin = f"Rip {piece} out down to the underarm{row} and knit upward from there"
    told = [f"{begin} with {counts}." if counts else f"{begin}."]
    anew = {one.point for one in action.alterations if one.by == "this_piece"}
    off = _worst(one for one in report.points if one.key in anew and one.code != "matches")
    if off:
        told.append(f"{_it_is(report, off[:2], tape)}, and below the underarm it can stay as it is.")
    told += [_sentence(change) for change in _changes(report, action, tape)]
    return " ".join(told)


def _knit_again(report: Report, action: ActionReport, tape: _Tape) -> str:
    piece = piece_name(report.head)
    counts = _new_counts(report, action)
    if action.dial:
        told = [f"Knit {piece} again at dial {action.dial}, with the planned counts."]
    else:
        told = [f"Knit {piece} again, with {counts}." if counts else f"Knit {piece} again."]
    off = _worst(one for one in report.points if one.code != "matches" and one.code != "held_at")
    if off:
        told.append(f"{_it_is(report, off[:1], tape)}, {_no_other_way(off[0])}.")
    if action.grams and action.grams > 0:
        told.append(f"{action.grams:.0f} g can be unravelled.")
    if action.chance is not None:
        sure = chance_words(action.chance)
        told.append(f"What {piece} taught goes into the next one: {sure} that all of it fits.")
    return " ".join(told)


def _no_other_way(point: PointReport) -> str:
    known = POINTS.get(point.key)
    make_up = known.make_up if known else None
    if make_up is None:
        return "and no other piece can give it back"
    d = point.difference.value
    limit = make_up.too_small_mm if d < 0 else make_up.too_large_mm
    allowed = point.allowed_smaller_mm if d < 0 else point.allowed_larger_mm
    if point.measured is not None and make_up.share:
        limit = min(limit, make_up.share * abs(point.measured.value))
    if allowed is not None and abs(d) > limit + allowed:
        return "more than the rest of the sweater can make up"
    return "and mending it elsewhere would cost more in the end"


def _doubt(report: Report, about: str | None) -> DirectionReport | None:
    """The direction whose count is doubted; the one of that point where both are."""
    if not isinstance(report.explanation, ExplanationReport):
        return None
    odd = [one for one in report.explanation.directions if one.code in ("miscount", "cast_on", "two_gauges")]
    of_point = [one for one in odd if about and one.direction == _direction(about)]
    return next(iter(of_point or odd), None)


def _measure_again(report: Report, advice: Advice, tape: _Tape) -> str:
    piece = piece_name(report.head)
    about = advice.about or None
    name = _at_point(report, about) if about else ""
    until = ""
    if advice.then and advice.then != "measure_again":
        until = f" As it stands, the plan is: {action_name(advice.then, action_of(report, advice.then))}."
    if advice.reason == "wild_reading":
        asked = _asked_about(report, about)
        if asked is not None:
            return f"{_look_first(report, asked, point_name(about) if about else piece)}{until}"
        where = f"the {name} of {piece}" if name else piece
        return (
            f"Measure {where} again first. One reading there lies far from the others: lay the tape anew and "
            f"type what it says, or keep the reading as it is.{until}"
        )
    if advice.reason == "miscount":
        return _count_first(report, _doubt(report, about), about) + until
    if advice.reason == "wash_and_block":
        point = _point(report, about)
        known = f" Carried to there, {_small_first(_it_is(report, [point], tape))}." if point is not None else ""
        return f"Wash and block {piece} first, let it dry, and read it again.{known}{until}"
    few = advice.readings if advice.readings and advice.readings <= MANY_READINGS else None
    more = _times(few) if few else "a few times"
    at = f"the {name}" if name else "it"
    anew = _lay_anew(report, advice.side)
    if advice.side == "reference":
        sweater = _side(report, "reference")
        at = f"the {point_name(about)}" if about else "it"
        first = f"Measure {at} of {sweater} {more} more, not of {piece}{anew}."
    else:
        first = f"Measure {at} of {_side(report, advice.side)} {more} more{anew}."
    point = _point(report, about)
    if point is None:
        return f"{first} What it says can change the plan.{until}"
    known = _it_is(report, [point], tape)
    return f"{first} {known}, and {_is_allowed(point, tape)}: what is true there decides what to do.{until}"


def _is_allowed(point: PointReport, tape: _Tape) -> str:
    """What is allowed, with its unit: "1.0 cm is allowed"."""
    smaller, larger = point.allowed_smaller_mm, point.allowed_larger_mm
    if smaller is None and larger is None:
        return "anything is allowed"
    if smaller is not None and larger is not None and tape.size(smaller) == tape.size(larger):
        return f"{tape.length(smaller)} is allowed"
    sides = [
        f"{'any amount' if mm is None else tape.length(mm)} {_side_word(point.direction, way, comparative=True)}"
        for mm, way in ((smaller, -1.0), (larger, 1.0))
    ]
    return f"{' and '.join(sides)} is allowed"


def _asked_about(report: Report, key: str | None) -> Question | None:
    """The open question about a point, one about the piece before one about its garment."""
    if key is None:
        return None
    about = re.compile(rf"\.{re.escape(key)}\b")
    found = [one for one in report.questions if about.search(one.place)]
    return min(found, key=lambda one: not one.place.startswith("makes"), default=None)


def _look_first(report: Report, question: Question, name: str) -> str:
    """ "Look at the sleeve length first: 200 cm? It is mostly 12.0 to 90.0 cm. 20.0 cm?" """
    of = f" of {reference_name(report.head)}" if question.place.startswith("garments") else ""
    odd = question.odd.strip()
    begin = re.match(rf"{re.escape(question.read)}[^.?]*\?\s*", odd)
    told = [f"Look at the {name}{of} first: {_short(question.read)}?"]
    odd = odd[begin.end() :] if begin else odd
    if odd:
        told.append(_sentence(odd))
    slip = _slip(question)
    if slip:
        told.append(slip)
    return " ".join(told)


def _count_first(report: Report, doubt: DirectionReport | None, about: str | None) -> str:
    """ "Count the chest row first: 118 or 120?" """
    if doubt is not None and doubt.code == "two_gauges":
        return f"{_two_gauges(doubt)} Look there first, before anything is decided."
    key = (doubt.point if doubt is not None and doubt.point else about) or ""
    point = _point(report, key)
    direction = doubt.direction if doubt is not None else _direction(key)
    name = point_name(key) if key else ""
    if doubt is not None and doubt.code == "cast_on":
        thing = "the rows from the cast-on up" if direction == "along" else "the cast-on stitches"
        by = f": every {_thing(direction)} is off by the same {_counted(direction, abs(doubt.stitches or 0))}"
        return f"Count {thing} first{by if doubt.stitches else ''}."
    if direction == "along":
        thing = f"the rows of the {name}" if name else "the rows"
    else:
        thing = f"the {name} row" if name else "the stitches"
    if point is not None and point.count and doubt is not None and doubt.stitches:
        return f"Count {thing} first: {point.count} or {point.count + doubt.stitches}?"
    return f"Count {thing} first: the count and the {_thing(direction)} do not go together."


def _thing(direction: str) -> str:
    return "length" if direction == "along" else "width"


def why(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The reason: why this way, and what explains what was measured."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return _sentence(_CANNOT.get(advice.code, advice.why))
    told = [_reason(report, advice)]
    told += explanation_sentences(report, unit, mark=mark)[:1]
    return " ".join(told)


def _reason(report: Report, advice: Advice) -> str:
    code = advice.reason
    asked = _asked_about(report, advice.about) if code == "wild_reading" else None
    if asked is not None and asked.code != FAR_FROM_NEIGHBOURS:
        code = "open_question"
    if code == "miscount":
        doubt = _doubt(report, advice.about)
        direction = doubt.direction if doubt is not None else _direction(advice.about or "")
        code = "miscount_across" if direction == "across" else code
    return REASONS.get(code) or _sentence(_spaced(code))


def cost(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What the recommended way costs in work and yarn."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Nothing is decided, so nothing is spent yet."
    if advice.action == "measure_again":
        if advice.reason == "wash_and_block":
            return "A wash, and a few minutes with the tape measure. Nothing is unravelled."
        with_what = "counting" if advice.reason == "miscount" else "with the tape measure"
        return f"A few minutes {with_what}. Nothing is unravelled."
    action = action_of(report, advice.action)
    if action is None:
        return "Not known."
    piece = piece_name(report.head)
    told = [_sentence(work_words(action.cost, piece))]
    unravels = action.code in ("knit_again", "rip_back")
    if not unravels:
        told.append("Nothing is unravelled.")
        if action.grams and round(action.grams):
            more = "more" if action.grams > 0 else "less"
            told.append(f"About {abs(action.grams):.0f} g {more} yarn.")
    elif action.grams and action.grams > 0:
        told.append(f"About {action.grams:.0f} g to unravel; it can be knitted again.")
    else:
        told.append("What is unravelled can be knitted again; felted wool cannot be unravelled.")
    return " ".join(told)


def chance(report: Report) -> str:
    """The chance that every point fits, and what it would be if nothing were changed."""
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return "Cannot say yet."
    plan = action_of(report, advice.then if advice.action == "measure_again" else advice.action)
    unchanged = action_of(report, "carry_on")
    if plan is None or plan.chance is None:
        return "Not known."
    told = f"{_capital(chance_words(plan.chance))} that every point that was read fits."
    if advice.action == "measure_again":
        told = f"As it stands, {action_name(plan.code, plan)}: {chance_words(plan.chance)} that every point fits."
    if unchanged is not None and unchanged.chance is not None and plan.code != "carry_on":
        told += f" Carried on unchanged: {chance_words(unchanged.chance)}."
    return told


def action_line(report: Report, action: ActionReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What a way would bring, in a few words; for one that is left out, why."""
    tape = _Tape(unit, mark)
    if action.impossible is not None:
        reason = _CANNOT.get(action.impossible.code, action.impossible.why)
        return f"left out, because {_small_first(reason.strip().rstrip('.'))}"
    told: list[str] = []
    if action.code == "carry_on":
        told.append("everything as it is")
    elif action.code == "measure_again":
        told.append(_line_measure(report))
    elif action.code == "block_again":
        direction = action.stretch_direction or "across"
        more, less = ("wider", "shorter") if direction == "across" else ("longer", "narrower")
        share = action.stretch_percent or 0.0
        told.append(f"{tape.percent(share)} {more}, about {tape.percent(share / 2)} {less}")
    elif action.code == "rip_back":
        counts = _new_counts(report, action, most=2)
        told.append("the part above the underarm knitted again" + (f": {counts}" if counts else ""))
    elif action.code == "knit_again":
        counts = _new_counts(report, action, most=2)
        if action.dial:
            counts = f"at dial {action.dial}, with the planned counts"
        piece = piece_name(report.head).removeprefix("the ")
        told.append(f"a new {piece}" + (f": {counts}" if counts else ""))
    told += [_small_first(change) for change in _changes(report, action, tape, name_points=True)]
    return "; ".join(told) if told else action_name(action.code)


def _line_measure(report: Report) -> str:
    advice = report.recommendation
    if not isinstance(advice, Advice) or advice.action != "measure_again":
        return "a surer figure, the same piece"
    if advice.reason == "miscount":
        return "a surer count"
    if advice.reason == "wild_reading":
        return "an answer to what was typed"
    at = f" at the {point_name(advice.about)}" if advice.about else ""
    more = _count(advice.readings, "reading") if advice.readings else "some readings"
    return f"{more} more of {_side(report, advice.side)}{at}"


# What explains it


def explanation_sentences(report: Report, unit: Unit = "cm", *, mark: Mark = ".") -> tuple[str, ...]:
    """What explains the differences, a sentence or two per direction; the doubted direction first."""
    if isinstance(report.explanation, CannotSay):
        return (cannot_say_sentence(report.explanation),)
    tape = _Tape(unit, mark)
    lead = report.explanation.direction
    directions = sorted(report.explanation.directions, key=lambda one: one.direction != lead)
    told = tuple(_explained(report, one, tape) for one in directions)
    return told or ("Cannot say what explains it: no counts were given.",)


def _explained(report: Report, found: DirectionReport, tape: _Tape) -> str:
    thing = _thing(found.direction)
    noun = "row" if found.direction == "along" else "stitch"
    match found.code:
        case "one_gauge":
            counted = [one for one in report.points if one.direction == found.direction and one.count]
            size = _size_words(found, tape)
            if size is None:
                return f"One {noun} size explains every {thing}. No miscount."
            if len(counted) < 2:
                return f"The one {thing} with a count makes {size}."
            return f"One {noun} size explains every {thing}: {size}. No miscount."
        case "miscount":
            point = _point(report, found.point)
            name = point_name(found.point) if found.point else "one point"
            how_sure = chance_words(found.weights["miscount"]) if "miscount" in found.weights else ""
            told = f"The {name} does not go with the other {thing}s"
            if point is not None and point.count and found.stitches:
                likely = ""
                if found.stitches_low is not None and found.stitches_high is not None:
                    low, high = point.count + found.stitches_low, point.count + found.stitches_high
                    likely = f" (likely {low} to {high})" if low != high else ""
                told += f": it is as if {_counted(found.direction, point.count + found.stitches)} were there"
                told += f"{likely}, not {point.count}"
            return f"{told}. {how_sure} that it is a miscount." if how_sure else f"{told}."
        case "cast_on":
            begin = f"Every {thing} is off by the same"
            if not found.stitches:
                return f"{begin}, as after a wrong cast-on. Count the cast-on."
            more = "more" if found.stitches > 0 else "fewer"
            many = _counted(found.direction, abs(found.stitches))
            return f"{begin}: as if {many} {more} had been cast on. Count the cast-on."
        case "two_gauges":
            return _two_gauges(found)
        case _:
            return f"Cannot say what explains the {thing}s: {_lacks(report, found.direction)}."


def _lacks(report: Report, direction: str) -> str:
    """What is missing before a direction can be explained: two points with a tape reading and a count."""
    thing, piece = _thing(direction), piece_name(report.head)
    noun = "rows" if direction == "along" else "stitches"
    points = [one for one in report.points if one.direction == direction]
    if report.head.carried:
        return f"{piece} is not washed and blocked yet"
    if not points:
        return f"none was read; read two of them, and count their {noun}"
    if all(one.code == "held_at" for one in points):
        return "pins held them; take the pins out, and read them lying free"
    taped = [one for one in points if one.read is not None]
    counted = f", and count their {noun}" if sum(one.count is not None for one in points) < 2 else ""
    if not taped:
        return f"only overhangs were read; read two {thing}s of {piece} with the tape{counted}"
    if len(taped) < 2:
        return f"only the {point_name(taped[0].key)} was read with the tape; read another {thing} too{counted}"
    return f"count the {noun} at two of them"


def _size_words(found: DirectionReport, tape: _Tape) -> str | None:
    """Stitch or row size with its interval: in mm, or stitches in 4 inches."""
    if found.size is None:
        return None
    q = found.size
    if tape.unit == "in":
        noun = "rows" if found.direction == "along" else "stitches"
        value, low, high = (tape.number(101.6 / mm, 1) for mm in (q.value, q.high, q.low))
        return f"{value} {noun} in 4 in (likely {low} to {high})"
    value, low, high = (tape.number(mm, 2) for mm in (q.value, q.low, q.high))
    return f"{value} mm (likely {low} to {high})"


def _two_gauges(found: DirectionReport) -> str:
    noun = "row" if found.direction == "along" else "stitch"
    begin = f"From above the {point_name(found.point)} on" if found.point else "From some row on"
    if found.percent is None:
        return f"{begin} the {noun} has another size. Was the dial, the lot or the weight changed there?"
    larger = "larger" if found.percent > 0 else "smaller"
    return (
        f"{begin} the {noun} is {abs(found.percent):.0f} % {larger}. Was the dial, the lot or the weight changed there?"
    )


def gauge_sentence(gauge: GaugeReport, head: Head, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Gauge at one stage: "The back, blocked and dry: 23.5 stitches in 10 cm (likely 23.3 to 23.7)."."""
    tape = _Tape(unit, mark)
    q: Quantity = gauge.per_4in if unit == "in" else gauge.per_10cm
    span = "4 in" if unit == "in" else "10 cm"
    noun = "rows" if gauge.direction == "along" else "stitches"
    value, low, high = (tape.number(one, 1) for one in (q.value, q.low, q.high))
    stage = STAGES.get(gauge.stage, _spaced(gauge.stage))
    of = _capital(piece_name(head) if gauge.of == head.piece else _spaced(gauge.of)) or "This fabric"
    return f"{of}, {stage}: {value} {noun} in {span} (likely {low} to {high})."


def ease_sentence(ease: EaseReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Ease at a point: "Ease at the chest: 8.0 cm (likely 6.9 to 9.1), standard."."""
    tape = _Tape(unit, mark)
    q = ease.ease
    how = f", {EASE.get(ease.ease_class, _spaced(ease.ease_class))}" if ease.ease_class else ""
    value, low, high = tape.bare(q.value), tape.bare(q.low), tape.bare(q.high)
    return f"Ease at the {point_name(ease.key)}: {value} {unit} (likely {low} to {high}){how}."


# What was taken for granted, and what would help


def assumed_sentence(
    assumed: Assumed,
    unit: Unit = "cm",
    *,
    mark: Mark = ".",
    head: Head | None = None,
    points: Sequence[PointReport] = (),
) -> str:
    """Something taken for granted, with its figure and what it costs in certainty.

    head    the report's, for the names of piece, garment and wearer
    points  the report's, to tell a body that was read from a garment
    """
    told = _taken(assumed, _Tape(unit, mark), head, points)
    # A share of 1 is what the whole doubt comes from; there is nothing to weigh it against.
    if 0.005 <= assumed.share < 0.995:
        told += f" Up to {max(1, round(100 * assumed.share))} % of the doubt at a point comes from this."
    return told


def _of_a_person(about: str, head: Head, points: Sequence[PointReport]) -> bool:
    """Whether readings that are not the piece's were taken on a body: no garment, or ease at every such point."""
    if about == head.piece:
        return False
    read = [one for one in points if one.reference_readings]
    return not head.reference or bool(read and all(one.source == "ease" for one in read))


def _one_laying_words(about: str, at: str, head: Head | None, points: Sequence[PointReport]) -> str:
    if about not in POINTS and head is not None:
        if _of_a_person(about, head, points):
            whose = f" of {head.wearer}" if head.wearer else ""
            return f"The body measures{whose} were read once, in one go: nobody said that the tape was laid anew."
        if about:
            at = f" of {piece_name(head) if about == head.piece else reference_name(head)}"
    return f"The readings{at} are all of one laying: nobody said that it was lifted between them."


def _taken(assumed: Assumed, tape: _Tape, head: Head | None, points: Sequence[PointReport]) -> str:
    about = assumed.about
    at = f" at the {point_name(about)}" if about in POINTS else ""
    size = _assumed_figure(assumed, tape)
    share = _share(assumed, tape)
    match assumed.code:
        case "seam_stitch":
            return f"A seam swallows one stitch at each edge{at}{_as(size)}."
        case "seam_row":
            return f"A seam across the rows swallows one row{_as(size)}."
        case "row_height":
            return f"The height of a row{at}{_as(size) or ' is the usual one'}; no rows were counted."
        case "stitch_size_from_piece":
            return f"A stitch in the seams is as wide as the piece itself tells{_as(size)}."
        case "one_laying":
            return _one_laying_words(about, at, head, points)
        case "tape_hand":
            return (
                f"One reading of the tape is taken to be right to {size or '3 mm'}, more or less; "
                "repeated readings tell how steady your own are."
            )
        case "overhang_hand":
            return (
                f"One overhang is taken to be right to {size or '2 mm'}, more or less; "
                "repeated ones tell how steady your own are."
            )
        case "laid_on_as_wanted":
            return (
                f"{_capital(reference_name(head))}, laid under the piece, is taken to be{at} as the numbers say: "
                "nobody measured it."
            )
        case "overhang_folded":
            return f"The overhang{at} was read on the piece folded in half, as it lies on the garment."
        case "piece_to_piece":
            return f"The next piece comes out as this one, give or take {share or '1.5 %'}."
        case "local_spread":
            return f"Inside a piece the stitch varies by {share or 'the usual amount'} from place to place."
        case "state_unsaid" | "reference_state":
            return f"{_capital(reference_name(head))} was washed, dried flat and not worn since: nobody said."
        case "growth_along" | "growth_across":
            way = "longer" if assumed.code == "growth_along" else "wider"
            return f"A worn sweater hangs {share + ' ' if share else ''}{way} than a washed one."
        case "springs_back":
            return f"Of a stretch {share or 'a part'} goes again at the next wash."
        case "level":
            return "Where only an overhang was read, the usual size of the point stands in for its length."
        case "other_as_planned":
            return "The other pieces are knitted as planned, with the gauge of this piece."
        case "no_band_to_come":
            return f"No band is added later at the {about or 'edge'}: none was named."
        case "half_size_step":
            return f"No more is allowed{at} than half the step between two sizes{_as(size)}."
        case "armhole_curve":
            of = f" for the {point_name(about)}" if about in POINTS else ""
            return f"The armhole has the usual curve{of}."
        case "converted":
            return f"The {point_name(about) or 'figure'} was reckoned from another way of measuring it."
    if assumed.code.startswith("converted_"):
        name = point_name(about or assumed.code.removeprefix("converted_"))
        return f"The {name} was reckoned from another way of measuring it{_as(size)}."
    if not at and about:
        at = f" ({_spaced(about)})"
    return f"Taken as usual: {_spaced(assumed.code)}{at}{_as(size)}."


def _as(size: str) -> str:
    return f", {size}" if size else ""


def _is_share(assumed: Assumed) -> bool:
    return assumed.unit in ("", "1", "%", "percent")


def _share(assumed: Assumed, tape: _Tape) -> str:
    """An assumed share in percent, its uncertainty beside it; empty where there is none."""
    if assumed.value is None or not _is_share(assumed):
        return ""
    scale = 1.0 if assumed.unit in ("%", "percent") else 100.0
    value = tape.percent(scale * assumed.value)
    if assumed.value < 0:
        value = f"−{value}"
    return f"{value} (give or take {tape.percent(scale * assumed.u)})" if assumed.u else value


def _assumed_figure(assumed: Assumed, tape: _Tape) -> str:
    if assumed.value is None:
        return ""
    if assumed.unit == "mm":
        value = tape.small(assumed.value)
        if abs(assumed.value) >= 30:
            value = f"{tape.bare(assumed.value)} {tape.unit}"
        return f"{value} (give or take {tape.small(assumed.u)})" if assumed.u else value
    if _is_share(assumed):
        return _share(assumed, tape)
    value = f"{tape.number(assumed.value, 1)} {assumed.unit}"
    return f"{value} (give or take {tape.number(assumed.u, 1)})" if assumed.u else value


def help_sentences(report: Report) -> tuple[str, ...]:
    """What would help most, as imperatives, most useful first."""
    return tuple(
        help_sentence(one, report.head, lay_anew=one.code == "read_again" and _one_laying(report, one.side))
        for one in report.helps
    )


def help_sentence(help_: Help, head: Head | None = None, *, lay_anew: bool = False) -> str:
    """What would help, as an imperative.

    lay_anew  the readings so far are of one laying: say that the next are to be of others
    """
    name = point_name(help_.point) if help_.point else ""
    piece = piece_name(head) if head is not None else "the piece"
    match help_.code:
        case "read_again":
            side = reference_name(head) if help_.side == "reference" else piece
            if help_.side == "both":
                side = f"{piece} and of {reference_name(head)}"
            own = name if help_.side == "reference" else _OF_ITS_PIECE.get(help_.point or "", name)
            more = "again"
            if help_.readings:
                more = f"{_times(help_.readings)} more" if help_.readings <= MANY_READINGS else "a few times more"
            anew = "; lift, shake and lay it again in between" if lay_anew else ""
            return f"Read the {own} of {side} {more}{anew}." if name else f"Read {side} {more}{anew}."
        case "read_point":
            own = _OF_ITS_PIECE.get(help_.point or "", name)
            return f"Read the {own} of {piece} too." if name else "Read one more point."
        case "count_stitches":
            return f"Count the stitches at the {name}." if name else "Count the stitches of the piece."
        case "count_rows":
            return f"Count the rows of the {name}." if name else "Count the rows of the piece."
        case "say_fibre":
            return "Say the yarn's fibres: they tell whether a piece can be blocked larger."
        case "lay_again":
            at = f" at the {name}" if name else ""
            return f"Lift, shake and lay {piece} again between readings{at}, and say which laying each is of."
        case "reference_state":
            return f"Say whether {reference_name(head)} was washed and dried flat, or worn, when it was read."
        case "swatches":
            return "Measure a swatch of this yarn, washed and blocked like the garment."
        case "wash_and_block":
            return f"Wash and block {piece}, let it dry, and read it again."
        case "answer_question":
            at = f" about the {name}" if name else ""
            return f"Answer the question{at}: keep what was typed, or type it again."
    at = f" at the {name}" if name else ""
    return _sentence(_spaced(help_.code) + at)


def cannot_say_sentence(reason: CannotSay) -> str:
    """Why it cannot be said, and what would help: "Cannot say: ... Say ..."."""
    why_not = _CANNOT.get(reason.code, reason.why).strip()
    told = f"Cannot say: {_small_first(_sentence(why_not))}" if why_not else "Cannot say."
    help_ = _CANNOT_HELP.get(reason.code, reason.what_would_help)
    return f"{told} {_sentence(help_)}" if help_ else told


def refused_sentence(key: str, reason: CannotSay) -> str:
    """A point that could not be compared, with the reason."""
    told = _small_first(cannot_say_sentence(reason))
    if key in POINTS:
        # The catalogue's name may be a heading ("armhole depth, straight"); in a sentence it is a noun.
        name = POINTS[key].name
        noun = point_name(key) if "," in name else name
        told = re.sub(rf"\b(its |no |the )?{re.escape(name)}", lambda found: f"{found[1] or 'the '}{noun}", told)
    return f"{_capital(point_name(key))}: {told}"


def caution_sentence(code: str) -> str:
    """A usual caution."""
    return CAUTIONS.get(code) or _sentence(f"mind this: {_spaced(code)}")


# What was typed


def question_asked(question: Question) -> str:
    """What was read and why it is odd, without the likely slip."""
    read = _short(question.read)
    told = [] if question.odd.startswith(read) else [f"{read}?"]
    if question.odd:
        told.append(_sentence(question.odd))
    return " ".join(told)


def question_sentence(question: Question) -> str:
    """A question: what was read, why it is odd, the likely slip."""
    return " ".join(part for part in (question_asked(question), _slip(question)) if part)


def _slip(question: Question) -> str:
    """The likely slip, asked; empty where none is likely or the reason asks it already."""
    slip, meant = question.slip.strip().rstrip("."), question.meant.strip()
    number = meant.split(" ", 1)[0]
    if slip and f"{_capital(slip)}?" in question.odd:
        return ""
    if slip and meant and number not in slip:
        return f"{_capital(slip)}: {meant}?"
    return f"{_capital(slip or meant)}?" if slip or meant else ""


def question_answers(question: Question) -> tuple[str, ...]:
    """How to answer in the file: what to type if it was the likely slip, and how to keep what was typed."""
    told = []
    slip, meant = question.slip.strip().rstrip("."), question.meant.strip()
    if question.code in ("counts_swapped", "counts_swapped_points"):
        told.append("If they are swapped, swap the two counts.")
    elif meant:
        so = f"it {slip[3:].split(':')[0]}" if slip.startswith("It ") else f"{meant} was meant"
        told.append(f"If {so}, type {_quoted(meant)} instead.")
    elif question.code != FAR_FROM_NEIGHBOURS:
        told.append("If it is a slip, type what the tape says instead.")
    for part, field in ((".counts.", "knitted"), (".numbers.", "length")):
        if part in question.place:
            read = question.read.split()[0] if field == "knitted" else _quoted(question.read)
            return (*told, "To keep it:", f'{{"{field}": {read}, "confirmed": true}}')
    if not question.place.endswith("]"):
        told.append("If it is so, leave it as it is.")
        return tuple(told)
    keep = 'To keep it, add "confirmed": true to that reading'
    if question.code in _ABOUT_COUNTS:
        return (*told, f"{keep}.")
    # By itself and without a full stop: it is copied into the file.
    return (*told, f"{keep}:", f'{{"text": {_quoted(question.read)}, "confirmed": true}}')


def _quoted(text: str) -> str:
    """A text as it stands in the file."""
    return json.dumps(text, ensure_ascii=False)


def question_buttons(question: Question) -> tuple[str, ...]:
    """What can be answered: the likely slip, type again, keep."""
    slip = (_capital(question.slip.strip()),) if question.slip.strip() else ()
    return (*slip, "Type again", f"Keep {_short(question.read)}")


def fault_sentence(fault: Fault) -> str:
    """A refusal: where, what was read, and what is taken."""
    where = f"Line {fault.line}, {fault.place}." if fault.line else f"At {fault.place}."
    read = _short(fault.read).rstrip(".") or "nothing typed"
    # Names of fields and units keep their small letters: they are to be typed so.
    stop = "" if fault.accepts.endswith((".", "?", "!")) else "."
    return f"{where} Not taken: {read}. {fault.accepts}{stop}"


def _short(read: str) -> str:
    one_line = " ".join(read.split())
    return one_line if len(one_line) <= MOST_READ else one_line[: MOST_READ - 1] + "…"
