"""The sentences about a fabric: gauge, change in finishing, the dial, the next swatch.

Same voice as ``fitcheck.words``, which does not load this module by itself: parts of an answer in, text out.
"likely" = 9 in 10. Gauge is written to 10 cm, with unit `in` to 4 in: "21.5 in 4 in" reads as a length.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fitcheck.advice.fabric.of_make import LeftOut
from fitcheck.advice.fabric.shapes import (
    ChangeReport,
    ClickReport,
    DialReport,
    FabricAnswer,
    FabricGauge,
    LineReport,
    NextSwatchReport,
    SlopeReport,
    SpecimenReport,
    WantedGauge,
)
from fitcheck.advice.groups import SwatchGroup
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.reports.shapes import Report
from fitcheck.words.cannot_say import cannot_say_first, cannot_say_sentence
from fitcheck.words.figures import CM, Tape, chance_words
from fitcheck.words.first_piece import RECORDS, group_asked_told, setting_value
from fitcheck.words.names import NO_NAMES, Names, called, piece_name, point_name, stage_name
from fitcheck.words.phrases import capital, count_words, key_words, listed, small_first, spaced
from fitcheck.words.said import Said, heading, said
from fitcheck.words.why_not import what_would_help, why_not

LEFT_OUT = {
    "other_yarn": "it is another yarn",
    "other_machine": "it was knitted on another machine",
    "other_carriage": "it was knitted with another carriage",
    "other_strands": "it has another number of strands",
    "other_tension": "its mast tension is another",
    "other_weights": "it hung on other weights",
    "other_needles": "its needles are arranged otherwise",
    "other_pattern": "it is another stitch pattern",
    "other_treatment": "it was washed in another way",
    "other_blocking": "it was blocked in another way",
}
_RECORDS = {"other_yarn": "yarns", "other_machine": "machines"}
"""What is a record of its own, of which a swatch knows the key."""
TABLE_CODES = {
    "printed_gauge_off": "The pattern’s counts were made for another gauge than the one that it prints.",
    "four_inches_or_ten_cm": "The printed gauge and the stitches differ as 4 in do from 10 cm.",
    "cell_off": "One figure of the size table does not go with the others.",
    "one_of_several_off": "One figure of the size table does not go with the others.",
    "more_than_one_off": "Several figures of the size table do not go together.",
    "looks_like_bodies": "The size table’s widths may be of bodies and not of finished sweaters.",
}
MOST_NAMED = 3
"""Swatches of a group that are named; of more it is said how many there are."""
HARDLY_MM = 1.0
"""A swatch that narrows the chest by less narrows nothing that a tape could tell."""
HARDLY_SHARE = 0.1
"""Nor is one asked for that takes less than this share off what is likely: an evening for nothing (ours, assumed)."""
PARTS_OF_A_NUMBER = (
    (1 / 4, "a quarter"),
    (1 / 3, "a third"),
    (1 / 2, "half"),
    (2 / 3, "two thirds"),
    (3 / 4, "three quarters"),
)
"""How far a place between two dial numbers lies, as people say it."""


def fabric_stamp(answer: FabricAnswer) -> str:
    """What the answer is about: make, and how many swatches and pieces it is from."""
    pieces = sum(specimen.piece for specimen in answer.pooled)
    swatches = len(answer.pooled) - pieces
    parts = [capital(answer.make_name), f"From {count_words(swatches, 'swatch')} and {count_words(pieces, 'piece')}"]
    if answer.invented:
        parts.append("Invented figures, to look round")
    return ". ".join(parts) + "."


def groups_sentences(answer: FabricAnswer, names: Names = NO_NAMES) -> tuple[str, ...]:
    """The fabrics among the swatches, where there is more than one, a sentence each: the one that is taken first."""
    if len(answer.groups) < 2:
        return ()
    told = []
    for group in answer.groups:
        named = [called("swatches", key, names) for key in group.swatches[:MOST_NAMED]]
        more = len(group.swatches) - MOST_NAMED
        mark = ";" if any("," in name for name in named) else ","
        swatches = listed([*named, f"{more} more"] if more > 0 else named, mark=mark)
        differ = _settings_apart(group, answer.groups, names)
        end = ", taken here" if group.taken else ""
        told.append(f"{capital(swatches)}: {listed(differ) if differ else 'nothing said'}{end}.")
    return tuple(told)


def _settings_apart(group: SwatchGroup, groups: Sequence[SwatchGroup], names: Names) -> list[str]:
    """The settings in which a group of swatches is another fabric than the others: "two strands"."""
    return [
        setting_value(setting, called(f"{setting}s", said, names) if setting in RECORDS else said, whole=True)
        for setting, said in group.settings.items()
        if any(other.settings.get(setting, said) != said for other in groups)
    ]


def group_name(name: str, group: SwatchGroup, groups: Sequence[SwatchGroup], names: Names = NO_NAMES) -> str:
    """What a fabric is called of whose yarn and machine there are several: "grey wool, two strands"."""
    return ", ".join([name, *_settings_apart(group, groups, names)])


def swatched_heading(name: str, answer: FabricAnswer) -> str:
    """The heading over the clicks of a fabric: "Grey wool in oil: swatched at dials 6, 7 and 8." """
    dials = answer.dials.swatched
    at = (
        f"swatched at dial{'s' if len(dials) > 1 else ''} {listed(list(dials))}"
        if dials
        else "no swatch of it is blocked"
    )
    return heading(f"{capital(name)}: {at}.", f"{capital(at)}.")


def group_asked_sentence(answer: FabricAnswer) -> str:
    """Which fabric it is, where nothing tells; else empty."""
    return " ".join(group_asked_told(answer.asked)) if answer.asked is not None else ""


def gauge_headline(answer: FabricAnswer, tape: Tape = CM) -> str:
    """The gauge in a sentence: "The next piece at dial 7, blocked and dry: 22.4 stitches to 10 cm (likely ...)"."""
    if isinstance(answer.gauge, CannotSay):
        return cannot_say_sentence(answer.gauge)
    blocked = {gauge.direction: gauge for gauge in answer.gauge if gauge.stage == "blocked"}
    at = f"The next piece{f' at dial {answer.dial}' if answer.dial else ''}, {stage_name('blocked')}"
    told = [_in_span(gauge, tape) for gauge in blocked.values() if gauge.size.basis != "assumed"]
    return f"{at}: {' and '.join(told)}." if told else "Cannot say: nothing was measured."


def gauge_said(answer: FabricAnswer, tape: Tape = CM) -> Said:
    """The same as a heading: "At dial 7: 22.4 stitches and 31.5 rows to 10 cm." - and what is likely."""
    if isinstance(answer.gauge, CannotSay):
        return said(cannot_say_first(answer.gauge))
    span = tape.span
    blocked = {gauge.direction: gauge for gauge in answer.gauge if gauge.stage == "blocked"}
    known = [
        (gauge_figure(gauge, span, tape), "rows" if gauge.direction == "along" else "stitches")
        for gauge in blocked.values()
        if gauge.size.basis != "assumed"
    ]
    if not known:
        return Said("Cannot say: nothing was measured.")
    at = f"At dial {answer.dial}: " if answer.dial else ""
    figures = listed([f"{value} {things}" for (value, _), things in known])
    likely = listed([between for (_, between), _ in known])
    return Said(f"{at}{figures} to {span}.", f"Of the next piece, {stage_name('blocked')}; likely {likely}.")


def gauge_figure(gauge: FabricGauge, span: str, tape: Tape = CM) -> tuple[str, str]:
    """Stitches or rows in a span ("10 cm" or "4 in"), and what is likely: ("22.4", "22.2 to 22.7")."""
    q = gauge.per_4in if span == "4 in" else gauge.per_10cm
    return tape.number(q.value, 1), _to(q, 1, tape)


def dial_headline(dials: DialReport, tape: Tape = CM) -> str:
    """Which dial: "Dial 7.1 meets the wanted gauge. ...", or "Cannot say yet which dial. ..."."""
    return " ".join(which_dial(dials, tape))


PATTERN_WIDTHS = "that the pattern’s counts give the pattern’s widths"
"""What the chance of a dial is of."""


def which_dial(dials: DialReport, tape: Tape = CM) -> list[str]:
    """The same, sentence by sentence."""
    best = dials.best
    if isinstance(best, CannotSay):
        return [
            "Cannot say yet which dial.",
            f"{capital(why_not(best))}.",
            *([help_] if (help_ := what_would_help(best)) else []),
        ]
    told = _dial_meets(best, dials.wanted, tape)
    told.append(f"{capital(chance_words(best.chance or 0.0))} {PATTERN_WIDTHS}.")
    return [*told, "No swatch was knitted that far out: knit one first."] if best.outside else told


def _dial_meets(best: ClickReport, wanted: WantedGauge | CannotSay, tape: Tape) -> list[str]:
    """How near a dial comes to the wanted gauge."""
    assert not isinstance(wanted, CannotSay)
    told = "meets" if best.good else "comes nearest to"
    makes_up = "" if best.good else ", so the counts must make up the rest"
    return [
        f"Dial {best.dial} {told} the wanted gauge.",
        f"There it is {_in_span(best.across, tape)}, and "
        f"{tape.number(tape.span_mm / wanted.stitch_mm, 1)} are wanted{makes_up}.",
    ]


def next_dial(
    answer: FabricAnswer, tape: Tape = CM, *, again: str = "", piece: str = "the piece", makes_up: str = ""
) -> Said:
    """What to knit at next: which dial, else where to swatch next, else why neither can be said.

    again  dial at which the advice has the piece knitted again: it comes before the dial of the pieces so far
    piece  the piece on the table ("the back")
    makes_up  the piece whose other counts make up what the width lacks or has over ("the front"), if any does
    """
    dials, following = answer.dials, answer.next_swatch
    if again:
        return Said(f"Knit {piece} again at dial {again}.", "There the planned counts come out as wanted.")
    if dials.keeps is not None:
        end = f", and {makes_up}’s counts make up the width" if makes_up else ""
        return Said(f"Stay at dial {dials.keeps} for the rest.", f"What is seamed to {piece} keeps its dial{end}.")
    if at_unsaid_dial(answer):
        why = "Nobody said which, so that no swatch speaks for it."
        return Said(f"Stay at the dial of {piece} for the rest.", why)
    if isinstance(dials.best, ClickReport):
        return said([*_dial_meets(dials.best, dials.wanted, tape), swatched_dial_sentence(dials)])
    if len(answer.pooled) == 1:
        other = f"at another dial than {answer.dial}" if answer.dial else "at another dial"
        return Said(f"One swatch so far: a second, {other}, tells most.")
    if (
        dials.best.code != "one_dial"
        and isinstance(following, NextSwatchReport)
        and not hardly_narrows(following, tape)
    ):
        with_ = f"with {following.stitches} stitches between the marks"
        return Said(f"Swatch next at dial {following.dial}, {with_}.")
    return said(which_dial(dials, tape))


def no_swatch_headline(report: Report) -> str:
    """What stands in for a fabric that nobody swatched, in one sentence."""
    if any(gauge.direction == "across" for gauge in report.gauge):
        return f"No swatch yet: {piece_name(report.head)} alone tells what its stitch is."
    if report.sizes is not None and not isinstance(report.sizes.stitch, CannotSay):
        return "No swatch yet: the width is assumed from the pattern."
    return "No swatch yet: nothing is known of the fabric."


def known_dial_sentence(dials: DialReport, tape: Tape = CM) -> str:
    """What the one dial that was knitted would give, where nothing can be said of the others; else empty."""
    knitted = [click for click in dials.clicks if not click.outside]
    if not isinstance(dials.best, CannotSay) or dials.best.code != "one_dial" or len(knitted) != 1:
        return ""
    click = knitted[0]
    if click.chance is None:
        return ""
    return f"At {click.dial} itself: {_in_span(click.across, tape)}; {chance_words(click.chance)} {PATTERN_WIDTHS}."


def swatched_dial_sentence(dials: DialReport) -> str:
    """Which swatched dial the first piece is knitted at, where another click comes nearer; else empty."""
    best = dials.best
    if dials.keeps is not None or isinstance(best, CannotSay) or dials.knit_at in (None, best.dial):
        return ""
    return f"Of the dials that were swatched {dials.knit_at} comes nearest: sizes and counts are reckoned for it."


def at_unsaid_dial(answer: FabricAnswer) -> bool:
    """Whether the pieces so far were knitted at a dial that nobody said."""
    return answer.dials.keeps is None and any(assumed.code == "piece_dial_unsaid" for assumed in answer.assumed)


def keeps_sentence(answer: FabricAnswer) -> str:
    """Pieces that are seamed together keep one dial, said or not; empty without a knitted piece."""
    dials = answer.dials
    if at_unsaid_dial(answer):
        return (
            "Nobody said at which dial the pieces so far were knitted: what is seamed to them is knitted at the same."
        )
    if dials.keeps is None:
        return ""
    kept = (
        f"The pieces so far were knitted at {dials.keeps}: what is seamed to them keeps it, "
        "and widths are met by the counts."
    )
    click = next((click for click in dials.clicks if click.dial == dials.keeps), None)
    if click is None or click.chance is None or known_dial_sentence(dials):
        return kept
    likely = chance_words(click.chance)
    return f"{kept} At that dial it is {likely} {PATTERN_WIDTHS}."


def wanted_sentence(wanted: WantedGauge | CannotSay, tape: Tape = CM) -> str:
    """Where the wanted gauge comes from, what is allowed about it, and what the size table says of it."""
    if isinstance(wanted, CannotSay):
        return cannot_say_sentence(wanted)
    span = tape.span_mm
    value = tape.number(span / wanted.stitch_mm, 1)
    low = tape.number(span / (wanted.stitch_mm + wanted.tolerance_mm), 1)
    high = tape.number(span / (wanted.stitch_mm - wanted.tolerance_mm), 1)
    whence = "as the pattern prints it" if wanted.source == "printed" else "which its stitches were made for"
    told = f"Wanted: {value} stitches to {tape.span}, {whence}; the chest allows {low} to {high}."
    code = TABLE_CODES.get(wanted.table, "")
    if wanted.source == "counts" and wanted.printed_mm is not None:
        printed = tape.number(span / wanted.printed_mm, 1)
        code = f"The pattern prints {printed}, which its stitches do not bear out: check what was typed."
    return f"{told} {code}".rstrip()


def slope_sentence(slopes: tuple[SlopeReport, ...], tape: Tape = CM) -> str:
    """What one dial number does, and how much of that is data: said once where both directions are known alike."""
    if not slopes:
        return ""
    basis = [_slope_basis(slope.share_from_data) for slope in slopes]
    told = []
    for slope, known in zip(slopes, basis, strict=True):
        noun = "wider" if slope.direction == "across" else "higher"
        what = "a stitch is" if slope.direction == "across" else "a row is"
        percent = _percent(slope.slope, tape)
        told.append(f"{what} {percent} {noun}" + (f", {known}" if len(set(basis)) > 1 else ""))
    if len(set(basis)) > 1:
        return f"One dial number up, {', and '.join(told)}."
    both = "both " if len(slopes) > 1 and basis[0] in ("assumed", "measured") else ""
    return f"One dial number up, {' and '.join(told)}: {both}{basis[0]}."


def _slope_basis(share: float) -> str:
    """How a slope is known, by its share from data [1]."""
    if share < 0.05:
        return "assumed"
    return f"{round(100 * share)} % of it from your knitting" if share < 0.9 else "measured"


def line_sentence(line: LineReport | CannotSay, tape: Tape = CM) -> str:
    """The cross-check: the plain line through the swatches, without anything assumed.

    A place between two dial numbers is told as a part of the way: marks on a dial are no tenths.
    """
    if isinstance(line, CannotSay):
        if line.code == "too_few_points":
            return "No cross-check yet: a line takes three blocked swatches whose dials are known."
        return f"No cross-check: {_small_end(why_not(line))}."
    told = f"Cross-check, a line through {line.swatches} swatches alone: {tape.percent(line.percent.value)} a number"
    if isinstance(line.at, CannotSay):
        if line.at.code == "no_wanted_gauge":
            return told + "."
        return f"{told}. It cannot say which dial: {_small_end(why_not(line.at))}."
    at = f", the wanted gauge {place_words(line.at.value)}, likely {_places(line.at.low, line.at.high)}"
    end = "" if line.agrees is not False else " Not the dial above: swatch once more."
    return f"{told}{at}.{end}"


def place_words(dial: float) -> str:
    """A place on the dial: "at 7", "a third of the way from 7 to 8".

    >>> place_words(7.32)
    'a third of the way from 7 to 8'
    """
    _, said = _place(dial)
    return _place_name(dial) if said else f"at {_place_name(dial)}"


def _place_name(dial: float) -> str:
    """The same without "at": "7"."""
    below, said = _place(dial)
    return f"{said} of the way from {below} to {below + 1}" if said else f"{below}"


def _place(dial: float) -> tuple[int, str]:
    """The dial number below a place, and how far on it lies, as people say it; empty where it is at the number."""
    below = math.floor(dial)
    part, said = min(
        ((0.0, ""), *PARTS_OF_A_NUMBER, (1.0, "")), key=lambda named_part: abs(named_part[0] - (dial - below))
    )
    return (below, said) if said else (below + round(part), "")


def _places(low: float, high: float) -> str:
    """From one place on the dial to another: "a quarter to a third", "between 7 and half of the way from 8 to 9".

    Between parts of two numbers it is told from the number below to the one above.
    """
    (first, near), (second, far) = _place(low), _place(high)
    if near and far and first == second:
        return near if near == far else f"{near} to {far}"
    if near and far:
        return f"between {first} and {second + 1}"
    begin, end = _place_name(low), _place_name(high)
    return f"between {begin} and {end}" if begin != end else f"at {begin}"


def change_sentence(change: ChangeReport, tape: Tape = CM) -> str:
    """What washing and blocking will do to the next piece, or what hanging will do once it is blocked."""
    across, along = change.across, change.along
    if change.stage == "hung":
        across, along = _back(across), _back(along)
        begin = "From blocked to hung"
    else:
        begin = f"From {stage_name(change.stage)} to blocked"
    verb, wide = _changed(across, ("wider", "narrower", "as wide"), tape)
    second, long = _changed(along, ("longer", "shorter", "as long"), tape)
    again = "" if second == verb else f"{second} "
    return f"{begin} the next piece {verb} {wide} and {again}{long}, {change_basis(change)}."


def _changed(q: Quantity, words: tuple[str, str, str], tape: Tape) -> tuple[str, str]:
    """One direction of a change: its verb, and "1.9 % narrower (likely 0.9 to 2.9)", a word for each end apart."""
    more, less, same = words

    def size(percent: float) -> str:
        return tape.share(percent)

    low, high = (bound if size(bound) != "0" else 0.0 for bound in (q.low, q.high))
    if low < 0 < high:
        likely = f"{size(low)} % {less} to {size(high)} % {more}"
    else:
        likely = " to ".join(size(percent) for percent in sorted((low, high), key=abs))
    if size(q.value) == "0":
        return "stays", f"{same} (likely {likely})"
    return "becomes", f"{size(q.value)} % {more if q.value > 0 else less} (likely {likely})"


def change_basis(change: ChangeReport) -> str:
    """How a change is known: "from 3 swatches or pieces", or assumed."""
    number = min(change.specimens_across, change.specimens_along)
    if number:
        return f"from {number} swatches or pieces" if number > 1 else "from one swatch or piece"
    bases = {change.across.basis, change.along.basis}
    return "all of it assumed" if bases == {"assumed"} else "partly assumed"


def next_swatch_sentence(following: NextSwatchReport | CannotSay, tape: Tape = CM) -> str:
    """Where to swatch next, in what is likely of the finished chest, flat as every width on a page is."""
    if isinstance(following, CannotSay):
        return cannot_say_sentence(following)
    now, then = (tape.length(mm / 2) for mm in (following.now_mm, following.then_mm))
    at = f" at dial {following.at}" if following.at is not None else ""
    chest = f"{tape.length(following.chest_mm / 2)} flat"
    if hardly_narrows(following, tape):
        either = tape.length(following.now_mm / 4)
        return (
            f"Enough swatches: a chest of {chest}{f', knitted{at},' if at else ''} comes out within {either} either "
            "way, 9 times in 10."
        )
    return (
        f"Swatch next at dial {following.dial}, with {following.stitches} stitches between the marks. For a chest of "
        f"{chest}{f', knitted{at},' if at else ''} what is likely spans {now} now; then {then}."
    )


def hardly_narrows(following: NextSwatchReport, tape: Tape = CM) -> bool:
    """Whether a next swatch narrows nothing that a tape could tell, that these figures could show, or that pays."""
    alike = tape.bare(following.now_mm / 2) == tape.bare(following.then_mm / 2)
    return alike or following.now_mm - following.then_mm < max(HARDLY_MM, HARDLY_SHARE * following.now_mm)


def specimen_name(specimen: SpecimenReport, names: Names = NO_NAMES) -> str:
    """What a swatch or a piece is called."""
    return key_words(specimen.key) if specimen.piece else called("swatches", specimen.key, names)


def not_known_sentence(specimen: SpecimenReport, names: Names = NO_NAMES) -> str:
    """Why a piece has no gauge of its own; empty where it has."""
    if specimen.cannot is None:
        return ""
    if specimen.cannot.code == "cannot_carry":
        why = "it was read at a stage that no swatch of this fabric was read at"
        help_ = "Wash and block it and read it again, or read a swatch at that stage and again blocked."
    else:
        why, help_ = _small_end(why_not(specimen.cannot)), what_would_help(specimen.cannot)
    return f"{specimen_name(specimen, names)}: cannot say, {why}. {help_}".rstrip()


def left_out_sentence(left_out: LeftOut, names: Names = NO_NAMES) -> str:
    """What was left out, and why: "grey at 9: left out, its mast tension is another (6, not 4)."."""
    return f"{called('swatches', left_out.key, names)}: {left_out_because(left_out, names)}."


def left_out_because(left_out: LeftOut, names: Names = NO_NAMES) -> str:
    """Why it was left out, to be said after its name: "left out, its mast tension is another (6, not 4)"."""
    match left_out.code:
        case "pinned":
            return f"{left_out.detail} it was held by pins, and so it measures its pins"
        case "after_washing":
            return f"read as {stage_name(left_out.detail)} after it was washed, which says nothing of before"
        case "count_in_doubt":
            return f"the count of its {point_name(left_out.detail)} is in doubt, and left out until it is counted"
        case "stretched":
            way = "longer" if left_out.detail == "along" else "wider"
            return f"what it was blocked {way} is taken off, for only what belongs to it is blocked alike"
        case "felted":
            return "it felted, and tells nothing of the fabric"
        case "asked_about":
            of = {"across": " of the width of its stitches", "along": " of the height of its rows"}.get(left_out.detail)
            return f"{f'what is asked about{of}' if of else 'it is asked about, and'} stays out until it is answered"
        case "no_readings":
            return "nothing was read on it that has its stitches or rows"
    kind = _RECORDS.get(left_out.code, "")
    detail, usual = (called(kind, said, names) if kind else spaced(said) for said in (left_out.detail, left_out.usual))
    which = f" ({detail}, not {usual})" if usual else f" ({detail})"
    since = " since it was blocked, for" if left_out.code in ("other_treatment", "other_blocking") else ","
    return f"left out{since} {LEFT_OUT.get(left_out.code, spaced(left_out.code))}{which}"


def assumed_fabric_sentence(assumed: Assumed, tape: Tape = CM) -> str:
    """Something taken for granted about the fabric, with its figure."""
    told = ""
    if assumed.value is not None and assumed.unit == "percent":
        told = f"{tape.signed_share(assumed.value)} %"
        told += f" (give or take {tape.share(assumed.u)})" if assumed.u else ""
    elif assumed.value is not None:
        told = f"{tape.number(assumed.value, 1)} {assumed.unit}"
        told += f" (give or take {tape.number(assumed.u, 1)})" if assumed.u else ""
    match assumed.code:
        case "size":
            what = "width of a stitch" if assumed.about == "across" else "height of a row"
            return f"The {what}: {told}. Nothing was measured."
        case "slope":
            what = "A stitch gets wider" if assumed.about == "across" else "A row gets higher"
            return f"{what} by {told} a dial number: the swatches do not tell."
        case "piece_shift":
            way = "width" if assumed.about == "across" else "length"
            return f"In {way} a piece differs from its swatch by {told}: no piece was measured yet."
        case "change_across" | "change_along":
            way = "width" if assumed.code == "change_across" else "length"
            return f"What is {stage_name(assumed.about)} changes in {way} by {told} when it is washed and blocked."
        case "tape_hand":
            return "One reading of the tape is as right as it usually is."
        case "one_laying":
            return "Readings are of one laying where nobody said that the fabric was lifted between them."
        case "fibre_unsaid":
            return "The usual change in finishing for any fibre: the yarn’s fibre was not said."
        case "piece_dial_unsaid":
            return "Nobody said the dial of a piece: no swatch speaks for it, and the next is knitted at the same."
        case "dial_unsaid":
            return "What has no dial written down was knitted within about one number of the others."
        case "dial_of_swatch":
            return "The pieces will be knitted at the dial of the newest swatch."
        case "dial_range":
            return "The dial goes two numbers beyond the swatches: no machine was named."
        case "chest":
            return f"The finished chest is {tape.length(assumed.value or 0.0)} round."
    return f"Taken as usual: {spaced(assumed.code)}{f', {told}' if told else ''}."


def lots_sentence(lots: Mapping[str, str]) -> str:
    """That swatches and pieces are of several lots; empty where they are of one, or nobody said.

    lots  lot of each swatch and piece, by what it is called; empty where nobody said
    """
    by_lot: dict[str, list[str]] = {}
    for name, lot in lots.items():
        if lot:
            by_lot.setdefault(lot, []).append(name)
    if len(by_lot) < 2:
        return ""
    if len(by_lot) > 2:
        return f"Lots {listed(list(by_lot))} are dye baths of their own: swatch the one that is on the machine."
    each = listed([f"{_first_of(names)} of lot {lot}" for lot, names in by_lot.items()])
    return f"Other lot: {each}. Each is a dye bath of its own: swatch the one that is on the machine."


def _first_of(names: Sequence[str]) -> str:
    """Names of one lot, the first of them where they are many: "grey at 7 and 3 others"."""
    return listed(names) if len(names) < 3 else f"{names[0]} and {len(names) - 1} others"


def learned_sentence(answer: FabricAnswer, names: Names = NO_NAMES) -> str:
    """Which finished makes told how pieces differ from swatches; empty without any."""
    if not answer.learned:
        return ""
    makes = [called("makes", key, names) for key in answer.learned]
    return f"How a piece differs from its swatch is learned from {listed(makes)}."


def click_sign(click: ClickReport) -> str:
    """Signs of a click: o within what is allowed by itself, * outside the dials that were knitted."""
    return f"{'o' if click.good else ' '}{'*' if click.outside else ' '}"


def _in_span(gauge: FabricGauge, tape: Tape) -> str:
    noun = "rows" if gauge.direction == "along" else "stitches"
    value, likely = gauge_figure(gauge, tape.span, tape)
    return f"{value} {noun} to {tape.span} (likely {likely})"


def _percent(q: Quantity, tape: Tape) -> str:
    """ "7 % (likely 2 to 12)": a share as fine as anybody knits; a likely end below nothing has its minus."""
    low, high = (tape.signed_share(end) for end in (q.low, q.high))
    return f"{tape.signed_share(q.value)} % (likely {low} to {high})"


def _to(q: Quantity, decimals: int, tape: Tape) -> str:
    return f"{tape.number(q.low, decimals)} to {tape.number(q.high, decimals)}"


def _back(q: Quantity) -> Quantity:
    """The change the other way round: what hung is so much longer than what is blocked."""

    def turned(percent: float) -> float:
        return 100 * (1 / (1 + percent / 100) - 1)

    return Quantity(turned(q.value), turned(q.high), turned(q.low), q.level, q.u, q.dof, q.unit, q.basis)


def _small_end(text: str) -> str:
    return small_first(text.strip().rstrip("."))
