"""The sentences about a fabric: gauge, change in finishing, the dial, the next swatch.

Same voice as ``fitcheck.words``, which does not load this module by itself: parts of an answer in, text out.
"likely" = 9 in 10. Gauge is written in 10 cm, with unit `in` in 4 in.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.advice.fabric_answer import (
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
from fitcheck.advice.fabric_of import LeftOut
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.report import Report
from fitcheck.words.cannot_say import cannot_say_sentence
from fitcheck.words.figures import Mark, Unit, chance_words, decimal, figure
from fitcheck.words.names import STAGES, piece_name
from fitcheck.words.phrases import count_words, listed

FROM_STAGE = {
    "off_machine": "off the machine",
    "rested": "rested",
    "hung": "hung",
}
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
TABLE_CODES = {
    "printed_gauge_off": "The pattern's counts were made for another gauge than the one that it prints.",
    "four_inches_or_ten_cm": "The printed gauge and the stitches differ as 4 in do from 10 cm.",
    "cell_off": "One figure of the size table does not go with the others.",
    "one_of_several_off": "One figure of the size table does not go with the others.",
    "more_than_one_off": "Several figures of the size table do not go together.",
    "looks_like_bodies": "The size table's widths may be of bodies and not of finished sweaters.",
}
HARDLY_MM = 1.0
"""A swatch that narrows the chest by less narrows nothing that a tape could tell."""


def fabric_stamp(answer: FabricAnswer) -> str:
    """What the answer is about: make, and how many swatches and pieces it is from."""
    pieces = sum(one.piece for one in answer.specimens)
    swatches = len(answer.specimens) - pieces
    parts = [answer.make_name, f"From {count_words(swatches, 'swatch')} and {count_words(pieces, 'piece')}"]
    if answer.invented:
        parts.append("Invented figures, to look round")
    return ". ".join(parts) + "."


def gauge_headline(answer: FabricAnswer, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The gauge in a sentence: "At dial 7, blocked and dry: 22.4 stitches in 10 cm (likely ...)"."""
    if isinstance(answer.gauge, CannotSay):
        return cannot_say_sentence(answer.gauge)
    blocked = {one.direction: one for one in answer.gauge if one.stage == "blocked"}
    at = f"At dial {answer.dial}, {STAGES['blocked']}" if answer.dial else "Blocked and dry"
    told = [_in_span(one, unit, mark) for one in blocked.values() if one.size.basis != "assumed"]
    return f"{at}: {' and '.join(told)}." if told else "Cannot say: nothing was measured."


def gauge_figure(gauge: FabricGauge, span: str, *, mark: Mark = ".") -> tuple[str, str]:
    """Stitches or rows in a span ("10 cm" or "4 in"), and what is likely: ("22.4", "22.2 to 22.7")."""
    q = gauge.per_4in if span == "4 in" else gauge.per_10cm
    return decimal(q.value, 1, mark=mark), _to(q, 1, mark)


def dial_headline(dials: DialReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Which dial: "Dial 7.1 meets the wanted gauge best: ...", or "Cannot say yet which dial: ..."."""
    best = dials.best
    if isinstance(best, CannotSay):
        help_ = f" {best.what_would_help}" if best.what_would_help else ""
        return f"Cannot say yet which dial: {best.why}.{help_}"
    assert not isinstance(dials.wanted, CannotSay)
    told = "meets" if best.good else "comes nearest to"
    wanted = decimal(_span_mm(unit) / dials.wanted.stitch_mm, 1, mark=mark)
    makes_up = "" if best.good else ", so the counts must make up the rest"
    line = (
        f"Dial {best.dial} {told} the wanted gauge: {_in_span(best.across, unit, mark)}, "
        f"and {wanted} are wanted{makes_up}; {chance_words(best.chance or 0.0)} that the width then lies "
        "within what is allowed."
    )
    if best.outside:
        line += " No swatch was knitted that far out: knit one first."
    return line


def click_sentence(click: ClickReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """The gauge at one click of the dial, as in ``gauge_headline``."""
    told = [_in_span(one, unit, mark) for one in (click.across, click.along) if one.size.basis != "assumed"]
    return f"At dial {click.dial}, {STAGES['blocked']}: {' and '.join(told)}." if told else ""


def next_dial_headline(
    answer: FabricAnswer, unit: Unit = "cm", *, again: str = "", piece: str = "the piece", mark: Mark = "."
) -> str:
    """What to knit at next, in one sentence: which dial, else where to swatch next, else why neither can be said.

    again  dial at which the advice has the piece knitted again: it comes before the dial of the pieces so far
    piece  the piece on the table ("the back")
    """
    dials, following = answer.dials, answer.next_swatch
    if again:
        return f"Knit {piece} again at dial {again}: there the planned counts come out as wanted."
    if dials.keeps is not None:
        return f"Stay at dial {dials.keeps}: what is seamed to {piece} keeps it, and the counts meet the widths."
    if isinstance(dials.best, ClickReport):
        return dial_headline(dials, unit, mark=mark).split("; ")[0] + "."
    if len(answer.specimens) == 1:
        other = f"at another dial than {answer.dial}" if answer.dial else "at another dial"
        return f"One swatch so far: a second, {other}, tells most."
    if dials.best.code != "one_dial" and isinstance(following, NextSwatchReport) and not _hardly(following, unit, mark):
        return f"Swatch next at dial {following.dial}, with {following.stitches} stitches between the marks."
    return dial_headline(dials, unit, mark=mark)


def no_swatch_headline(report: Report) -> str:
    """What stands in for a fabric that nobody swatched, in one sentence."""
    if any(one.direction == "across" for one in report.gauge):
        return f"No swatch yet: {piece_name(report.head)} alone tells what its stitch is."
    if report.sizes is not None and not isinstance(report.sizes.stitch, CannotSay):
        return "No swatch yet: the width is assumed from the pattern."
    return "No swatch yet: nothing is known of the fabric."


def known_dial_sentence(dials: DialReport, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """What the one dial that was knitted would give, where nothing can be said of the others; else empty."""
    knitted = [one for one in dials.clicks if not one.outside]
    if not isinstance(dials.best, CannotSay) or dials.best.code != "one_dial" or len(knitted) != 1:
        return ""
    one = knitted[0]
    if one.chance is None:
        return ""
    return (
        f"At {one.dial} itself: {_in_span(one.across, unit, mark)}; {chance_words(one.chance)} that the width "
        "lies within what is allowed."
    )


def keeps_sentence(dials: DialReport, *, mark: Mark = ".") -> str:
    """Pieces that are seamed together keep one dial; empty without a knitted piece."""
    if dials.keeps is None:
        return ""
    kept = (
        f"The pieces so far were knitted at {dials.keeps}: what is seamed to them keeps it, "
        "and widths are met by the counts."
    )
    one = next((click for click in dials.clicks if click.dial == dials.keeps), None)
    if one is None or one.chance is None or known_dial_sentence(dials):
        return kept
    return f"{kept} At that dial it is {chance_words(one.chance)} that the width lies within what is allowed."


def wanted_sentence(wanted: WantedGauge | CannotSay, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Where the wanted gauge comes from, what is allowed about it, and what the size table says of it."""
    if isinstance(wanted, CannotSay):
        return cannot_say_sentence(wanted)
    span = _span_mm(unit)
    value = decimal(span / wanted.stitch_mm, 1, mark=mark)
    low = decimal(span / (wanted.stitch_mm + wanted.tolerance_mm), 1, mark=mark)
    high = decimal(span / (wanted.stitch_mm - wanted.tolerance_mm), 1, mark=mark)
    whence = "as the pattern prints it" if wanted.source == "printed" else "which its stitches were made for"
    told = f"Wanted: {value} stitches in {_span(unit)}, {whence}; the chest allows {low} to {high}."
    code = TABLE_CODES.get(wanted.table, "")
    if wanted.source == "counts" and wanted.printed_mm is not None:
        printed = decimal(span / wanted.printed_mm, 1, mark=mark)
        code = f"The pattern prints {printed}, which its stitches do not bear out: check what was typed."
    return f"{told} {code}".rstrip()


def slope_sentence(slopes: tuple[SlopeReport, ...], *, mark: Mark = ".") -> str:
    """What one dial number does, and how much of that is data."""
    told = []
    for one in slopes:
        noun = "wider" if one.direction == "across" else "higher"
        what = "a stitch is" if one.direction == "across" else "a row is"
        percent = f"{decimal(one.slope.value, 1, mark=mark)} % (likely {_to(one.slope, 1, mark)})"
        told.append(f"{what} {percent} {noun}")
    share = min((one.share_from_data for one in slopes), default=0.0)
    if share < 0.05:
        return f"One dial number up, {' and '.join(told)}: all of that is assumed."
    data = f"{round(100 * share)} % of that is from your own knitting" if share < 0.9 else "measured"
    return f"One dial number up, {' and '.join(told)}: {data}."


def line_sentence(line: LineReport | CannotSay, *, mark: Mark = ".") -> str:
    """The cross-check: the plain line through the swatches, without anything assumed."""
    if isinstance(line, CannotSay):
        return f"No cross-check: {_small_end(line.why)}."
    slope = f"{decimal(line.slope.value, 2, mark=mark)} mm a number (likely {_to(line.slope, 2, mark)})"
    told = f"Cross-check, a straight line through the {line.swatches} swatches alone: {slope}"
    if isinstance(line.at, CannotSay):
        if line.at.code == "no_wanted_gauge":
            return told + "."
        return f"{told}. It cannot say which dial: {_small_end(line.at.why)}."
    number = decimal(line.at.value, 2, mark=mark)
    at = f"; it reaches the wanted gauge at {number} in dial numbers (likely {_to(line.at, 2, mark)})"
    end = "" if line.agrees is not False else " That is not the dial named above: a swatch more would help."
    return f"{told}{at}.{end}"


def change_sentence(change: ChangeReport, *, mark: Mark = ".") -> str:
    """What washing and blocking will do to the next piece, or what hanging will do once it is blocked."""
    across, along = change.across, change.along
    if change.stage == "hung":
        across, along = _back(across), _back(along)
        begin = "From blocked to hung"
    else:
        begin = f"From {FROM_STAGE.get(change.stage, change.stage.replace('_', ' '))} to blocked"
    parts = []
    for more, less, q in (("wider", "narrower", across), ("longer", "shorter", along)):
        size = decimal(abs(q.value), 1, mark=mark)
        way = f"{size} % {more if q.value > 0 else less}" if float(f"{q.value:.1f}") else f"no {more}"
        parts.append(f"{way} (likely {_signed_to(q, mark)} %)")
    return f"{begin} the next piece becomes {' and '.join(parts)}, {change_basis(change)}."


def change_basis(change: ChangeReport) -> str:
    """How a change is known: "from 3 swatches or pieces", or assumed."""
    number = min(change.specimens_across, change.specimens_along)
    if number:
        return f"from {number if number > 1 else 'one'} read before and after"
    bases = {change.across.basis, change.along.basis}
    return "all of it assumed" if bases == {"assumed"} else "partly assumed"


def next_swatch_sentence(found: NextSwatchReport | CannotSay, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Where to swatch next, in what is likely of the finished chest."""
    if isinstance(found, CannotSay):
        return cannot_say_sentence(found)
    now, then = (f"{figure(mm, unit, mark=mark)} {unit}" for mm in (found.now_mm, found.then_mm))
    at = f" at dial {found.at}" if found.at is not None else ""
    chest = f"{figure(found.chest_mm, unit, mark=mark)} {unit} round"
    if _hardly(found, unit, mark):
        return (
            f"Another swatch would hardly narrow it: for a chest of {chest}{f', knitted{at},' if at else ''} "
            f"what is likely spans {now}."
        )
    return (
        f"Swatch next at dial {found.dial}, with {found.stitches} stitches between the marks. For a chest of "
        f"{chest}{f', knitted{at},' if at else ''} what is likely spans {now} now; it would span {then}."
    )


def _hardly(found: NextSwatchReport, unit: Unit, mark: Mark) -> bool:
    """Whether a next swatch narrows nothing that a tape could tell, or that these figures could show."""
    alike = figure(found.now_mm, unit, mark=mark) == figure(found.then_mm, unit, mark=mark)
    return alike or found.now_mm - found.then_mm < HARDLY_MM


def not_known_sentence(one: SpecimenReport) -> str:
    """Why a piece has no gauge of its own; empty where it has."""
    if one.cannot is None:
        return ""
    if one.cannot.code == "cannot_carry":
        why = "it was read at a stage that no swatch of this fabric was read at"
        help_ = "Wash and block it and read it again, or read a swatch at that stage and again blocked."
    else:
        why, help_ = _small_end(one.cannot.why), one.cannot.what_would_help
    return f"{one.key.replace('_', ' ').replace('-', ' ')}: cannot say, {why}. {help_}".rstrip()


def left_out_sentence(one: LeftOut) -> str:
    """What was not pooled, and why: "grey at 9: not pooled, its mast tension is another (6, not 4)."."""
    name = one.key.replace("_", " ").replace("-", " ")
    if one.code == "pinned":
        return f"{name}: {one.detail} it was held by pins, and so it measures its pins."
    if one.code == "after_washing":
        stage = STAGES.get(one.detail, one.detail.replace("_", " "))
        return f"{name}: read as {stage} after it was washed, which says nothing of before."
    if one.code == "no_readings":
        return f"{name}: nothing was read on it that has its stitches or rows."
    detail, usual = one.detail.replace("_", " "), one.usual.replace("_", " ")
    which = f" ({detail}, not {usual})" if usual else f" ({detail})"
    return f"{name}: not pooled, {LEFT_OUT.get(one.code, one.code.replace('_', ' '))}{which}."


def assumed_fabric_sentence(one: Assumed, unit: Unit = "cm", *, mark: Mark = ".") -> str:
    """Something taken for granted about the fabric, with its figure."""
    told = ""
    if one.value is not None and one.unit == "percent":
        told = f"{decimal(one.value, 1, mark=mark)} %"
        told += f" (give or take {decimal(one.u, 1, mark=mark)})" if one.u else ""
    elif one.value is not None:
        told = f"{decimal(one.value, 1, mark=mark)} {one.unit}"
        told += f" (give or take {decimal(one.u, 1, mark=mark)})" if one.u else ""
    match one.code:
        case "size":
            what = "width of a stitch" if one.about == "across" else "height of a row"
            return f"The {what}: {told}. Nothing was measured."
        case "slope":
            what = "A stitch gets wider" if one.about == "across" else "A row gets higher"
            return f"{what} by {told} a dial number: the swatches do not tell."
        case "piece_shift":
            way = "width" if one.about == "across" else "length"
            return f"In {way} a piece differs from its swatch by {told}: no piece was measured yet."
        case "change_across" | "change_along":
            way = "width" if one.code == "change_across" else "length"
            stage = FROM_STAGE.get(one.about, one.about.replace("_", " "))
            return f"What is {stage} changes in {way} by {told} when it is washed and blocked."
        case "tape_hand":
            return "A usual hand with the tape."
        case "one_laying":
            return "Readings are of one laying where nobody said that the fabric was lifted between them."
        case "fibre_unsaid":
            return "The usual change in finishing for any fibre: the yarn's fibre was not said."
        case "dial_unsaid":
            return "What has no dial written down was knitted within about one number of the others."
        case "dial_of_swatch":
            return "The pieces will be knitted at the dial of the newest swatch."
        case "dial_range":
            return "The dial goes two numbers beyond the swatches: no machine was named."
        case "chest":
            return f"The finished chest is {figure(one.value or 0.0, unit, mark=mark)} {unit} round."
    return f"Taken as usual: {one.code.replace('_', ' ')}{f', {told}' if told else ''}."


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
    each = listed([f"{listed(names)} of lot {lot}" for lot, names in by_lot.items()])
    return (
        f"Other lot: {each}. A lot is a dye bath of its own and may come out otherwise: "
        "swatch the one that is on the machine."
    )


def learned_sentence(answer: FabricAnswer) -> str:
    """Which finished makes told how pieces differ from swatches; empty without any."""
    if not answer.learned:
        return ""
    names = [key.replace("_", " ").replace("-", " ") for key in answer.learned]
    return f"How a piece differs from its swatch is learned from {listed(names)}."


def click_sign(click: ClickReport) -> str:
    """Signs of a click: o within what is allowed by itself, * outside the dials that were knitted."""
    return f"{'o' if click.good else ' '}{'*' if click.outside else ' '}"


def _span(unit: Unit) -> str:
    return "4 in" if unit == "in" else "10 cm"


def _span_mm(unit: Unit) -> float:
    return 101.6 if unit == "in" else 100.0


def _in_span(gauge: FabricGauge, unit: Unit, mark: Mark) -> str:
    noun = "rows" if gauge.direction == "along" else "stitches"
    value, likely = gauge_figure(gauge, _span(unit), mark=mark)
    return f"{value} {noun} in {_span(unit)} (likely {likely})"


def _to(q: Quantity, decimals: int, mark: Mark) -> str:
    return f"{decimal(q.low, decimals, mark=mark)} to {decimal(q.high, decimals, mark=mark)}"


def _signed_to(q: Quantity, mark: Mark) -> str:
    low, high = (("+" if value >= 0.05 else "") + decimal(value, 1, mark=mark) for value in (q.low, q.high))
    return f"{low} to {high}"


def _back(q: Quantity) -> Quantity:
    """The change the other way round: what hung is so much longer than what is blocked."""

    def turned(percent: float) -> float:
        return 100 * (1 / (1 + percent / 100) - 1)

    return Quantity(turned(q.value), turned(q.high), turned(q.low), q.level, q.u, q.dof, q.unit, q.basis)


def _small_end(text: str) -> str:
    text = text.strip().rstrip(".")
    return text[:1].lower() + text[1:]
