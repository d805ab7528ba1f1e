"""The sentences about sizes, in the voice of ``fitcheck.words``, which does not load this module by itself."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.advice.sizes.answers import (
    Agreement,
    FreeCounts,
    GroupCheck,
    NamedCell,
    RowCounted,
    ShouldersAsked,
    SizeAnswer,
    SizesAnswer,
    SleeveAsked,
    WidthAt,
)
from fitcheck.advice.sizes.choice import HARDLY_ANY, LIKELY_ENOUGH
from fitcheck.advice.sizes.slips import ChestSlip, CountSlip
from fitcheck.estimates.numbers import Assumed, CannotSay, Quantity
from fitcheck.records.frozen import frozen
from fitcheck.words.bed import needles_asked
from fitcheck.words.cannot_say import cannot_say_first, cannot_say_sentence, refused_sentence
from fitcheck.words.figures import CM, Tape, chance_figure, chance_words
from fitcheck.words.first_piece import comes_before, hardly_fits_words
from fitcheck.words.granted import assumed_sentence
from fitcheck.words.names import point_name, size_name, stage_name
from fitcheck.words.phrases import capital, count_words, listed, small_first, spaced
from fitcheck.words.said import Said, said
from fitcheck.words.why_not import what_would_help, why_not

SHORT_NAME = 12
"""Characters of a size's name on a button."""
MOST_LISTED = 3
"""Things of one kind that a sentence names; the table has the rest."""
FEW_COUNTS = 2
"""Counts that a headline bears; of more it says only that there are some."""


def sizes_headline(answer: SizesAnswer, tape: Tape = CM) -> str:
    """The answer in one go: which size, or why none can be said."""
    return sizes_said(answer, tape).whole


def sizes_said(answer: SizesAnswer, tape: Tape = CM, *, knitted: str = "") -> Said:
    """The answer: which size, or why none can be said; the first sentence as a heading.

    knitted  the piece that is knitted already ("the back"): then it says how the sizes look, not which to knit
    """
    if knitted and isinstance(answer.best, str):
        return said(_with_a_piece(answer, answer.best, knitted))
    first = answer.first
    before = comes_before(first, tape) if first is not None else []
    if first is not None and first.not_this is not None:
        return said(before)
    return said([*before, *_sizes(answer, tape, then=bool(before))])


def _sizes(answer: SizesAnswer, tape: Tape, *, then: bool) -> list[str]:
    """The sizes themselves; `then` where a swatch comes before them: then they are as far as is known."""
    if answer.free_planned and not isinstance(answer.free_counts, CannotSay):
        planned = f"Counts of your own are planned{_at(answer.dial_written)}: {_counts_text(answer)}."
        return [planned, f"{capital(chance_words(answer.free_counts.all_fit))} that every width fits."]
    if isinstance(answer.best, CannotSay):
        free = answer.free_counts
        if answer.sizes or isinstance(free, CannotSay):
            return cannot_say_first(answer.best)
        return _of_your_own(free, answer.dial_written)
    best = answer.size(answer.best)
    assert best is not None
    name, at = size_name(best.name), _at(answer.dial_written)
    if isinstance(best.all_fit, CannotSay):
        if then:
            return [f"If the pattern’s gauge is met, size {name} comes nearest to what is wanted."]
        return [f"Knit size {name}, if the pattern’s gauge is met.", "Its widths come nearest to what is wanted."]
    pair = answer.side_by_side
    if best.all_fit < LIKELY_ENOUGH:
        return _none_fits(answer, best, name, tape)
    if not isinstance(pair, CannotSay) and pair.close:
        return [f"Size {name} or {size_name(pair.second)}{at}.", "They are within 1 in 10 of each other."]
    fits = f"{chance_words(best.all_fit)} that every width fits"
    return [f"So far size {name} is best{at}: {fits}."] if then else [f"Knit size {name}{at}.", f"{capital(fits)}."]


def _of_your_own(free: FreeCounts, dial: str | None) -> list[str]:
    """ "Knit 138 stitches at the chest, at dial 6. No size table was typed: nearest to what is wanted are ..." """
    first = next((count for count in free.counts if count.key == "chest"), free.counts[0])
    at = _at(dial)
    head = f"Knit {count_words(first.count, 'stitch')} at the {point_name(first.key)}{f',{at}' if at else ''}."
    others = any(count.key != first.key for count in free.counts)
    nearest = f": nearest to what is wanted are {_free_text(free)}" if others else ""
    return [head, f"No size table was typed{nearest}."]


def _none_fits(answer: SizesAnswer, best: SizeAnswer, name: str, tape: Tape) -> list[str]:
    """ "At dial 8 neither size is likely to fit at every width. Size M comes nearest, 1 in 10. Or ...: 8 in 10." """
    many = len(answer.sizes)
    chance = best.all_fit if isinstance(best.all_fit, float) else 0.0
    fits = "fits" if chance < HARDLY_ANY else "is likely to fit"
    none = f"{'neither' if many == 2 else 'no'} size {fits}"
    if many == 1:
        none = f"size {name} does not fit" if chance < HARDLY_ANY else f"size {name} is not likely to fit"
    begin = _at(answer.dial_written).strip()
    told = [f"{capital(f'{begin} {none}'.strip())} at every width."]
    if many > 1:
        told.append(f"Size {name} comes nearest{f', {chance_words(chance)}' if chance >= HARDLY_ANY else ''}.")
    free = answer.free_counts
    limit = answer.first.hardly_fits if answer.first is not None else None
    if limit is not None and limit.limit != "bed":
        return [*told, f"With the best counts it is {hardly_fits_words(limit, tape)}."]
    if isinstance(free, CannotSay) or free.all_fit < LIKELY_ENOUGH:
        return told
    counts = "counts of your own"
    if len(free.counts) <= FEW_COUNTS:
        counts = f"{counts}, {_counts_text(answer)}"
    return [*told, f"Or {counts}: {chance_words(free.all_fit)}."]


def _at(dial: str | None) -> str:
    """ " at dial 8": which dial the figures are for; empty where none was written down."""
    return f" at dial {dial}" if dial else ""


@frozen
class DialRow:
    """The sizes at one dial, for a table: the best of them and counts bound to none, each with its chance.

    here  the other figures are for this dial
    in_ten, free_in_ten  the same chances as figures of a column: in how many of ten sweaters every width fits
    """

    dial: str
    here: bool
    best: str
    chance: str
    free: str
    free_chance: str
    in_ten: str
    free_in_ten: str


def dial_rows(answer: SizesAnswer) -> tuple[DialRow, ...]:
    """A row for the dial that the answer is for and for each swatched one beside it; nothing where there is none."""
    rows = []
    for there in answer.dials:
        free = there.free_counts
        rows.append(
            DialRow(
                there.dial,
                there.dial == answer.dial_written,
                "-" if isinstance(there.best, CannotSay) else size_name(there.best),
                "-" if isinstance(there.all_fit, CannotSay) else chance_words(there.all_fit),
                "-" if isinstance(free, CannotSay) else _free_text(free),
                "-" if isinstance(free, CannotSay) else chance_words(free.all_fit),
                "-" if isinstance(there.all_fit, CannotSay) else chance_figure(there.all_fit),
                "-" if isinstance(free, CannotSay) else chance_figure(free.all_fit),
            )
        )
    return tuple(rows)


def dials_sentence(answer: SizesAnswer) -> str:
    """Which dial the figures are for, where others stand beside it; empty where none does."""
    if not answer.dials or answer.dial_written is None:
        return ""
    return f"All the other figures are for dial {answer.dial_written}."


def clicks_sentence(answer: SizesAnswer, fabric: FabricAnswer, tape: Tape = CM, *, tapped: bool) -> str:
    """What stands over the strip of clicks: which the figures are for, and what the pattern means.

    tapped  a click that is tapped is the one that the figures are for
    """
    told = [f"{dials_sentence(answer)}{' Tap another to see it there.' if tapped else ''}"]
    if not isinstance(wanted := fabric.dials.wanted, CannotSay):
        told.append(f"The pattern means {tape.number(tape.span_mm / wanted.stitch_mm, 1)} stitches to {tape.span}.")
    return " ".join(told).strip()


def beyond_sentence(narrower: Sequence[str], wider: Sequence[str]) -> str:
    """The sizes that a ruler does not reach: "XS and S narrower still; 2XL wider still."; empty where it has all."""
    sides = ((narrower, "narrower"), (wider, "wider"))
    told = [f"{listed([size_name(name) for name in names])} {side} still" for names, side in sides if names]
    return f"{'; '.join(told)}." if told else ""


def knit_size(name: str) -> str:
    """The button that makes a size the one that is knitted."""
    return f"Knit size {size_name(name, SHORT_NAME)}"


def asked_sentences(answer: SizesAnswer, tape: Tape = CM) -> tuple[str, ...]:
    """What the sizes ask back."""
    first = answer.first
    told = []
    if first is not None and first.ask_needles is not None:
        told.append(" ".join(needles_asked(first.ask_needles)))
    if answer.sleeve is not None:
        told.append(_sleeve_asked(answer.sleeve, tape))
    if answer.shoulders is not None:
        told.append(_shoulders_asked(answer.shoulders, tape))
    return tuple(told)


def _sleeve_asked(sleeve: SleeveAsked, tape: Tape) -> str:
    """ "Every size's sleeve is 12.5 to 14.5 cm short: does the pattern measure it to the underarm?" """
    low, high = tape.bare(sleeve.low_mm), tape.length(sleeve.high_mm)
    off = high if tape.length(sleeve.low_mm) == high else f"{low} to {high}"
    whose = "The size’s sleeve" if sleeve.sizes == 1 else "Every size’s sleeve"
    wanted, other = "to the top of the cap", "to the underarm"
    if sleeve.key == "sleeve_to_underarm":
        wanted, other = other, wanted
    side = "short" if sleeve.shorter else "long"
    return f"{whose} is {off} {side}: does the pattern measure it {other}? It is wanted {wanted}."


def _shoulders_asked(asked: ShouldersAsked, tape: Tape) -> str:
    """ "Size M: neck 16.6 and twice a shoulder of 14.0 make 44.2 cm across; its shoulder width says 39.6 cm." """
    return (
        f"Size {size_name(asked.size)}: neck {tape.bare(asked.neck_mm)} and twice a shoulder of "
        f"{tape.bare(asked.seam_mm)} make {tape.length(asked.parts_mm)} across; its shoulder width says "
        f"{tape.length(asked.shoulder_mm)}. One of them is off, or measured another way."
    )


def _with_a_piece(answer: SizesAnswer, best: str, knitted: str) -> list[str]:
    """How the sizes look once a piece of one of them is knitted."""
    size, chosen = answer.size(best), answer.size(answer.chosen) if answer.chosen else None
    assert size is not None
    name = size_name(best)
    begin = f"{capital(knitted)} is knitted" + (f" in size {size_name(chosen.name)}." if chosen else ".")
    it = "that size" if chosen is size else f"size {name}"
    if isinstance(size.all_fit, CannotSay):
        return [begin, f"If the pattern’s gauge is met, {it} comes nearest to what is wanted."]
    if size.all_fit < HARDLY_ANY:
        return [begin, f"As the table has them no size fits at every width; {it} comes nearest."]
    told = f"{chance_words(size.all_fit)} that every width fits"
    if chosen is None or chosen is size or isinstance(chosen.all_fit, CannotSay):
        return [begin, f"As the table has it {it} comes nearest: {told}."]
    return [begin, f"As the table has it {it} comes nearer: {told}, against {chance_words(chosen.all_fit)}."]


def limit_sentence(size: SizeAnswer, tape: Tape = CM) -> str:
    """What fits worst in a size: its width, how far it is off and the chance there."""
    width = size.width(size.limiting) if size.limiting else None
    if width is None or isinstance(width.chance, CannotSay):
        return ""
    return (
        f"In size {size_name(size.name)} the {point_name(width.key)} fits worst: "
        f"{off_words(width, tape)}, {chance_words(width.chance)} that it is within what is allowed."
    )


def off_words(width: WidthAt, tape: Tape = CM) -> str:
    """How far a width is off: "1.6 cm narrow (likely 0 to 3.1)"."""
    off, side = width.difference, off_side(width, tape)
    return side if isinstance(off, CannotSay) or off.u == 0 else f"{side} ({_likely(off, tape)})"


def off_side(width: WidthAt, tape: Tape = CM) -> str:
    """The same without what is likely: "1.6 cm narrow"."""
    off = width.difference
    if isinstance(off, CannotSay):
        return cannot_say_sentence(off)
    shown = tape.bare(abs(off.value))
    return "as wanted" if shown == "0" else f"{shown} {tape.unit} {'narrow' if off.value < 0 else 'wide'}"


def _likely(off: Quantity, tape: Tape) -> str:
    """What is likely of a difference, a word beside each end where they lie on two sides: no sign beside a word."""
    low, high = (tape.bare(abs(mm)) for mm in (off.low, off.high))
    if low == high == "0":
        return f"likely within {'1/8' if tape.unit == 'in' else '0.1'.replace('.', tape.mark)}"
    if off.low < 0 < off.high and "0" not in (low, high):
        return f"likely {low} narrow to {high} wide"
    near, far = (low, high) if abs(off.low) <= abs(off.high) else (high, low)
    return f"likely {near} to {far}" if near != far else f"likely {near}"


def side_by_side_sentence(answer: SizesAnswer, tape: Tape = CM) -> str:
    """Two sizes, and what decides between them."""
    pair = answer.side_by_side
    if isinstance(pair, CannotSay):
        return ""
    first, second = answer.size(pair.first), answer.size(pair.second)
    assert first is not None
    assert second is not None
    a, b = size_name(first.name), size_name(second.name)
    if second.impossible is not None:
        return f"Size {b} cannot be knitted here: {small_first(why_not(second.impossible))}"
    begin = f"Size {a} beside size {b}"
    if not isinstance(first.all_fit, CannotSay) and not isinstance(second.all_fit, CannotSay):
        begin += f": {chance_words(first.all_fit)} against {chance_words(second.all_fit)}"
    if pair.decides is None:
        return f"{begin}; no width tells them apart."
    width, other = first.width(pair.decides), second.width(pair.decides)
    assert width is not None
    assert other is not None
    assert pair.favours is not None
    return (
        f"{begin}. The {point_name(pair.decides)} decides between them, for size {size_name(pair.favours)}: "
        f"{off_side(width, tape)} in size {a}, {off_side(other, tape)} in size {b}."
    )


def mixed_sentence(answer: SizesAnswer) -> str:
    """A mix of two sizes, where one is better than any size alone."""
    mix = answer.mixed
    if isinstance(mix, CannotSay):
        return why_not(mix) if mix.code == "no_better_mix" else ""
    body = listed([point_name(key) for key in mix.body_keys])
    block = listed([point_name(key) for key in mix.block_keys])
    told = (
        f"Mixed: {body} from size {size_name(mix.body)}; armhole, cap and {block} together from size "
        f"{size_name(mix.block)}: {chance_words(mix.all_fit)} that every width fits."
    )
    if mix.lengths is not None:
        told += f" Lengths lie nearest in size {size_name(mix.lengths)}."
    if mix.armhole_stitches is not None:
        told += f" That takes {mix.armhole_stitches:g} stitches off at each armhole"
        if mix.own_armhole_stitches is not None:
            told += f", where size {size_name(mix.block)} takes {mix.own_armhole_stitches:g}"
        told += "."
    return told


def free_counts_sentence(answer: SizesAnswer) -> str:
    """Counts of one's own, of no size, with their chance."""
    free = answer.free_counts
    if isinstance(free, CannotSay):
        return cannot_say_sentence(free) if free.code == "no_counts" else ""
    return f"Counts of your own: {_counts_text(answer)}. {capital(chance_words(free.all_fit))} that every width fits."


KNIT_OWN = "Knit counts of your own"
DECIDE_LATER = "decide later"


def size_to_keep(size: SizeAnswer) -> str:
    """A size as it is chosen for a plan: "size M, 3 in 10"."""
    chance = "" if isinstance(size.all_fit, CannotSay) else f", {chance_words(size.all_fit)}"
    return f"size {size_name(size.name)}{chance}"


def own_to_keep(free: FreeCounts) -> str:
    """The same of counts of one's own: "counts of your own, 5 in 10"."""
    return f"counts of your own, {chance_words(free.all_fit)}"


def _counts_text(answer: SizesAnswer) -> str:
    """ "chest 124, hem 120, upper arm 82 stitches"; pieces are named only where they differ."""
    free = answer.free_counts
    assert not isinstance(free, CannotSay)
    return _free_text(free)


def _free_text(free: FreeCounts) -> str:
    """The same of counts themselves."""
    by_point: dict[str, dict[str, int]] = {}
    for count in free.counts:
        by_point.setdefault(count.key, {})[count.piece] = count.count
    parts = []
    for key, per in by_point.items():
        if len(set(per.values())) == 1:
            parts.append(f"{point_name(key)} {next(iter(per.values()))}")
        else:
            each = ", ".join(f"{spaced(piece)} {n}" for piece, n in per.items())
            parts.append(f"{point_name(key)} {each}")
    return ", ".join(parts) + " stitches"


def against_sentences(answer: SizesAnswer, tape: Tape = CM) -> tuple[str, ...]:
    """This fabric against what the counts were made for. The verdict is the finished measures', not the gauge's."""
    against = answer.against
    told = []
    if isinstance(against.stitch_percent, Quantity) and against.code is not None:
        told.append(_in_width(against.stitch_percent, against.code, answer, tape))
    if isinstance(against.row_percent, Quantity):
        q = against.row_percent
        if tape.share(q.value) != "0":
            higher = "higher" if q.value > 0 else "lower"
            told.append(
                f"A row is {_percent(q, tape)} {higher} than the pattern’s: rows are reckoned anew from its lengths."
            )
    return tuple(told)


def _in_width(share: Quantity, code: Agreement, answer: SizesAnswer, tape: Tape) -> str:
    """The finished widths against the printed ones; one of them may be off where the fabric is not."""
    signed = f"{_percent(share, tape, signed=True)} in width"
    if code == "met":
        return "The printed widths come out in this fabric: every one is within what is allowed."
    if code == "too_close":
        limit = _allowed_share(answer, tape)
        return f"Whether the printed widths come out in this fabric is too close to call: {signed}{limit}."
    if share.low <= 0 if code == "wide" else share.high >= 0:
        return (
            f"Knitted as printed, not every width comes out: one is too {code}. This fabric does not say why: it is "
            f"{signed} beside the one that the counts were made for."
        )
    than = "wider" if code == "wide" else "narrower"
    return (
        f"Knitted as printed, the pieces come out {_percent(share, tape)} {code}: this fabric is {than} than the one "
        "that the counts were made for."
    )


def _allowed_share(answer: SizesAnswer, tape: Tape) -> str:
    """ "; 1.9 % is allowed at the chest": what is allowed in width, at the best size's chest or first width [%]."""
    size = answer.size(answer.best) if isinstance(answer.best, str) else None
    size = size or next(iter(answer.sizes), None)
    known = [width for width in size.widths if width.printed_mm and width.counts] if size is not None else []
    width = next((width for width in known if width.key == "chest"), next(iter(known), None))
    if width is None or not width.printed_mm:
        return ""
    ways = [(width.allowed_smaller_mm, "narrower"), (width.allowed_larger_mm, "wider")]
    if width.allowed_smaller_mm == width.allowed_larger_mm:
        ways = [(width.allowed_smaller_mm, "either way")]
    sides = [f"{tape.percent(100 * mm / width.printed_mm)} {way}" for mm, way in ways if mm is not None]
    return f"; at the {point_name(width.key)} {listed(sides)} is allowed" if sides else ""


def row_counted_sentence(shaping: RowCounted, tape: Tape = CM) -> str:
    """Shaping that the pattern counts in rows, and what it comes to here."""
    name = point_name(shaping.key)
    if isinstance(shaping.height, CannotSay) or isinstance(shaping.error, CannotSay):
        why = small_first(_why(shaping))
        return f"The {name} is counted in rows ({shaping.rows}); its height here cannot be said: {why}"
    height = tape.length(shaping.height.value)
    off = tape.bare(abs(shaping.error.value))
    side = (
        "as the pattern has it" if off == "0" else (f"{off} {tape.unit} {'low' if shaping.error.value < 0 else 'high'}")
    )
    told = f"The {name} is counted in rows: {shaping.rows} rows are {height} here, {side}."
    if shaping.flagged and shaping.rows_instead is not None:
        told += f" {shaping.rows_instead} rows keep the pattern’s height; draw the shaping anew over them."
    return told


def _why(shaping: RowCounted) -> str:
    assert isinstance(shaping.height, CannotSay)
    return why_not(shaping.height)


def table_sentences(answer: SizesAnswer, tape: Tape = CM) -> tuple[str, ...]:
    """The size table against itself; nothing where it agrees."""
    table = answer.table
    if isinstance(table, CannotSay):
        return ()
    told = []
    for cell in table.off[:MOST_LISTED]:
        told.append(
            f"Look again at {_cell(cell)}: its count and its measure do not go together, and all the others do."
        )
    if len(table.off) > MOST_LISTED:
        told.append(f"{len(table.off) - MOST_LISTED} more cells are off in the same way.")
    for group in table.groups:
        told += _group_sentences(group, tape)
    return tuple(dict.fromkeys(told))


def _group_sentences(group: GroupCheck, tape: Tape) -> list[str]:
    thing = "stitches" if group.direction == "across" else "rows"
    told = []
    if group.candidates and not group.off:
        named = listed([_cell(cell) for cell in group.candidates[:MOST_LISTED]], "or")
        told.append(f"One of these is off, and the table does not tell which: {named}.")
    elif group.code == "more_than_one_off":
        told.append(f"The {thing} and measures of the table do not go together, in more than one place.")
    if group.looks_like_bodies:
        told.append("The printed widths look like bodies, not like finished garments. Which are they in the pattern?")
    percent = group.printed_gauge_percent
    if group.disagrees and percent is not None:
        wider = "more" if percent > 0 else "less"
        told.append(
            f"The printed gauge disagrees with the table’s {thing}: by it they would measure "
            f"{tape.percent(percent)} {wider} than printed."
        )
    elif group.code == "four_inches_or_ten_cm" and percent is not None:
        told.append(
            f"The printed gauge is {tape.percent(percent)} off what the {thing} were made for: "
            "rounding may be it, or 4 in was meant where 10 cm stands, or the other way round."
        )
    return told


def refused_size_sentence(size: SizeAnswer) -> str:
    """Why a size cannot be knitted; empty where it can."""
    return "" if size.impossible is None else f"Size {size_name(size.name)}: {_reason(size.impossible)}"


def lacks_sentences(answer: SizesAnswer) -> tuple[str, ...]:
    """Points that were typed or wanted but cannot be compared, each once, with what would help."""
    told = [refused_sentence(key, why) for key, why in answer.refused.items()]
    for size in answer.sizes:
        for width in size.widths:
            for compared in (width.wanted, width.finished):
                if isinstance(compared, CannotSay) and width.key not in answer.refused:
                    told.append(f"{capital(point_name(width.key))}: {_reason(compared)}")
                    break
    return tuple(dict.fromkeys(told))


def _reason(unsaid: CannotSay) -> str:
    return f"{small_first(why_not(unsaid))} {what_would_help(unsaid)}".strip()


def size_assumed_sentence(assumed: Assumed, tape: Tape = CM) -> str:
    """One thing taken for granted."""
    match assumed.code:
        case "piece_shift":
            share = tape.number(1.5, 1)
            return (
                f"A piece comes out as its swatch did, within {share} %: no finished sweater of yours says otherwise."
            )
        case "slope":
            return "How much a click of the dial changes a stitch: 7 % a number, as usual."
        case "pattern_gauge":
            return "The pattern’s gauge is met exactly: no swatch of this fabric was measured."
        case "other_half_alike":
            return f"Back and front have the same {point_name(assumed.about)}: the table has only one of them."
        case code if code.startswith("change:"):
            stage = stage_name(code.removeprefix("change:"))
            return f"How much a swatch that was only read {stage} changes in washing: as usual for its fibre."
        case _:
            return assumed_sentence(assumed, tape)


def _cell(cell: NamedCell) -> str:
    piece = spaced(cell.piece)
    return f"size {size_name(cell.size)}, {piece}, {point_name(cell.point)}"


def _percent(q: Quantity, tape: Tape, *, signed: bool = False) -> str:
    """ "13 % (likely 12 to 15)", without a sign where the word after it has one."""

    def text(value: float) -> str:
        if signed:
            return tape.signed_share(value, plus=True)
        return tape.signed_share(value if q.value >= 0 else -value)

    low, high = (q.low, q.high) if signed or q.value >= 0 else (q.high, q.low)
    value = text(q.value)
    return f"{value} %" if q.u == 0 else f"{value} % (likely {text(low)} to {text(high)})"


@frozen
class SlipAsked:
    """A question about a likely slip: what is odd, what it likely was (empty where nothing is), what was read."""

    odd: str
    slip: str
    read: str


def chest_slip_asked(slip: ChestSlip, tape: Tape) -> SlipAsked:
    """Ask about a chest that is twice or half as wide as every size."""
    come_out = "The size comes out" if slip.sizes == 1 else "The sizes come out"
    widths = " and ".join(tape.length(mm) for mm in slip.finished_mm)
    if slip.meant == "flat":
        read = tape.length(slip.wanted_mm)
        odd = f"{read} for the chest, flat? {come_out} at {widths} in this fabric."
        return SlipAsked(odd, f"It is the round measure: {tape.length(slip.wanted_mm / 2)} flat", read)
    read = tape.length(2 * slip.wanted_mm)
    return SlipAsked(
        f"{read} for the chest, round? {come_out} at {widths} flat in this fabric.", f"It is flat: {read}", read
    )


def count_slip_asked(slip: CountSlip, tape: Tape) -> SlipAsked:
    """Ask about a count far from the chest."""
    at = f"They come out at {tape.length(slip.finished_mm)}; {tape.length(slip.wanted_mm)} is wanted."
    meant = f"{slip.meant} stitches" if slip.meant is not None else ""
    return SlipAsked(f"{slip.count} stitches at the chest? {at}", meant, f"{slip.count} stitches")
