"""Whether the yarn lasts, in words: the chance, what each piece takes, what is decided before each, the ways out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fitcheck.advice.to_come.lots import LotPlan
from fitcheck.advice.to_come.yarn_left import RELIED_UPON, PieceYarn, WeighNext, YarnLeft, YarnWay
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.points import SLEEVES
from fitcheck.reports.on_the_needles import OnTheNeedles, YarnBegun, yarn_begun
from fitcheck.reports.the_rest import FINISHED, NOTHING_LEFT, RestAnswer
from fitcheck.words.cannot_say import ALL_KNITTED, IS_FINISHED, TO_SEW, cannot_say_parts
from fitcheck.words.figures import Tape, chance_words
from fitcheck.words.phrases import capital, count_words, key_words, listed, spaced
from fitcheck.words.picked_up import BAND_NAMES, BANDS

HARDLY = 0.05
"""Chance below which yarn is said not to be enough."""


@frozen
class YarnRow:
    """What a piece takes: loops, grams, "weighed" or the likely range, its lot."""

    piece: str
    loops: str
    grams: str
    likely: str
    lot: str


@frozen
class YarnWaySaid:
    """A way out: its heading, the chance that the yarn then lasts, what is done, and which it is."""

    code: str
    head: str
    chance: str
    told: str


@frozen
class YarnSaid:
    """The yarn of a make.

    facts   (label, figure) pairs
    rows    every piece, then what is sewn, then the sum
    decide  what is decided before each piece: when, and what
    ways    ways out where it may not last;  ways_head: before what
    notes   what was taken for granted, what is asked, which lot
    ruler   what the drawing shows, in a sentence;  on_hand: the words at its bracket
    """

    head: str
    because: str
    facts: tuple[tuple[str, str], ...] = ()
    rows: tuple[YarnRow, ...] = ()
    decide: tuple[tuple[str, str], ...] = ()
    ways: tuple[YarnWaySaid, ...] = ()
    ways_head: str = ""
    notes: tuple[str, ...] = ()
    ruler: str = ""
    on_hand: str = ""


def yarn_said(answer: RestAnswer, tape: Tape, on_the_needles: Sequence[OnTheNeedles] = ()) -> YarnSaid:
    """Whether the yarn lasts for the rest, and what is decided before each piece.

    on_the_needles  pieces that are begun
    """
    if answer.yarn == FINISHED:
        return YarnSaid(ALL_KNITTED, IS_FINISHED)
    if isinstance(answer.yarn, CannotSay):
        if answer.yarn == NOTHING_LEFT:
            return YarnSaid(ALL_KNITTED, TO_SEW)
        why_not, help_ = cannot_say_parts(answer.yarn)
        return YarnSaid(help_ or why_not, why_not if help_ else "")
    yarn = answer.yarn
    return YarnSaid(
        _head(yarn),
        _because(yarn),
        (*_facts(yarn, tape), *_begun(yarn_begun(yarn, on_the_needles))),
        tuple(_rows(yarn, tape)),
        tuple(_decide(yarn)),
        tuple(_way(way, yarn, tape) for way in yarn.ways),
        f"Ways out, before the {_coming(yarn)}" if yarn.ways else "",
        tuple(_notes(yarn)),
        f"{_need_words(yarn)}{f'; on hand {round(yarn.hand)} g' if yarn.hand is not None else ''}.",
        f"on hand {round(yarn.hand)}" if yarn.hand is not None else "",
    )


def _need_words(yarn: YarnLeft) -> str:
    return f"Needed {round(yarn.need)} g, likely {round(yarn.low)} to {round(yarn.high)}"


def _head(yarn: YarnLeft) -> str:
    """ "The yarn lasts, 9 in 10: 348 g to knit, 362 g on hand." """
    need = f"{round(yarn.need)} g to knit"
    if yarn.hand is None or yarn.lasts is None:
        return f"{need}. How much is on hand?"
    hand = f"{round(yarn.hand)} g on hand"
    if yarn.lasts >= RELIED_UPON:
        return f"The yarn lasts, {chance_words(yarn.lasts)}: {need}, {hand}."
    if yarn.lasts < HARDLY:
        return f"Not enough yarn: by {round(yarn.need - yarn.hand)} g."
    return f"It may not last, {chance_words(yarn.lasts)}: {need}, {hand}."


def _coming(yarn: YarnLeft) -> str:
    """The piece that is knitted next, or both sleeves: "front", "sleeves"."""
    piece = next(piece for piece in yarn.pieces if piece.times)
    return _named(piece)


def _named(piece: PieceYarn) -> str:
    return f"{spaced(piece.kind)}s" if piece.times > 1 else spaced(piece.kind)


def _because(yarn: YarnLeft) -> str:
    """What to do before the next piece is begun."""
    if yarn.per_stitch.basis == "assumed" and yarn.weigh_next is not None:
        return f"Nothing of this yarn was weighed. {_weigh(yarn.weigh_next)}"
    if yarn.lasts is None:
        return "Weigh what is on hand, and type it below."
    if yarn.lots is not None and yarn.lots.alternate:
        return "No lot lasts for whole pieces: alternate two rows of each, and hold both to daylight first."
    if yarn.lasts >= RELIED_UPON:
        weigh = _weigh(yarn.weigh_next) if yarn.weigh_next is not None else ""
        return f"Carry on with the {_coming(yarn)}. {weigh}".strip()
    if yarn.ways and yarn.ways[0].code == "sleeves_last":
        return "Knit both sleeves last and at once, from waste yarn, cuffs last: what is short is short at both alike."
    return f"Decide before the {_coming(yarn)}: what is knitted cannot be knitted of another yarn."


def _weigh(next_: WeighNext) -> str:
    """ "Weigh it when it comes off: then the rest is known within 9 g instead of 18." """
    within = f"then what is left is known within {round(next_.within_then)} g instead of {round(next_.within_now)}"
    if next_.knitted:
        return f"Weigh the {spaced(next_.kind)}: {within}."
    return f"Weigh the {spaced(next_.kind)} when it comes off: {within}."


def _facts(yarn: YarnLeft, tape: Tape) -> Iterator[tuple[str, str]]:
    weighed = list(dict.fromkeys(spaced(piece.kind) for piece in yarn.pieces if piece.weighed is not None))
    by = f"by the {listed(weighed)}, weighed" if weighed else "by yarn and gauge alone: assumed"
    yield "A stitch", f"{tape.number(1000 * yarn.per_stitch.grams, 1)} mg, {by}"


def _begun(begun: YarnBegun | None) -> Iterator[tuple[str, str]]:
    """ "About 116 g: the front up to row 131", and what the cone is still to give."""
    if begun is None:
        return
    names = [
        f"the {spaced(piece.kind)} {'whole' if piece.off or piece.row is None else f'up to row {piece.row}'}"
        for piece in begun.pieces
    ]
    yield "Of that on the machine", f"about {round(begun.grams)} g: {listed(names)}"
    yield "Still to come off the cone", f"about {round(begun.left)} g"


def _rows(yarn: YarnLeft, tape: Tape) -> Iterator[YarnRow]:
    lots = yarn.lots.lots if yarn.lots is not None else {}
    for piece in yarn.pieces:
        yield _row(piece, lots.get(piece.kind, "") if piece.times else piece.lot, tape)
    sewn = yarn.extra
    for band in yarn.bands:
        sewn -= band.grams
        name = BAND_NAMES[band.edge]
        yield YarnRow(name, str(band.loops), f"{round(band.grams)}", "assumed", "")
    yield YarnRow("seams and tails" if yarn.bands else "seams, tails and bands", "", f"{round(sewn)}", "assumed", "")
    yield YarnRow("still to knit", "", f"{round(yarn.need)}", f"{round(yarn.low)} to {round(yarn.high)}", "")


def _row(piece: PieceYarn, lot: str, tape: Tape) -> YarnRow:
    name = spaced(piece.kind) if piece.times < 2 else f"{piece.times} {spaced(piece.kind)}s, each"
    loops = f"about {round(piece.loops, -2)}" if piece.assumed else str(piece.loops)
    if piece.weighed is not None:
        return YarnRow(name, loops, tape.short(piece.weighed), "weighed", lot)
    return YarnRow(name, loops, f"{round(piece.grams)}", f"{round(piece.low)} to {round(piece.high)}", lot)


def _decide(yarn: YarnLeft) -> Iterator[tuple[str, str]]:
    """What is decided now, after the next piece, and before the sleeves; nothing where there are ways out to choose."""
    if yarn.ways or yarn.lasts is None:
        return
    coming = [piece for piece in yarn.pieces if piece.times]
    turns = yarn.lots is not None and yarn.lots.alternate
    now = "Two rows from each lot by turns" if turns else "It lasts"
    yield f"Before the {_named(coming[0])}: carry on.", f"{now}, {chance_words(yarn.lasts)}."
    if yarn.weigh_next is not None and not yarn.weigh_next.knitted:
        within = f"known within {round(yarn.weigh_next.within_then)} g instead of {round(yarn.weigh_next.within_now)}."
        yield f"After the {spaced(coming[0].kind)}: weigh it.", f"What is left to knit is then {within}"
    sleeves = [piece for piece in coming[1:] if piece.kind in SLEEVES]
    if sleeves:
        yield "Before the sleeves: look here again.", "Under 9 in 10, knit both at once from waste yarn, cuffs last."
    if yarn.lots is not None and yarn.lots.lots:
        yield "A lot for each piece.", _lots(yarn.lots, coming)


def _lots(lots: LotPlan, coming: Sequence[PieceYarn]) -> str:
    """Which piece is knitted from which lot, and how surely the scarcest lasts."""
    chance = chance_words(lots.chance)
    if len(set(lots.lots.values())) == 1:
        return f"All from lot {lots.lots[coming[0].kind]}: it lasts, {chance}."
    each = [f"{_named(piece)} from lot {lots.lots[piece.kind]}" for piece in coming]
    return f"{capital(listed(each))}: every lot lasts, {chance}. Hold both to daylight."


def _way(way: YarnWay, yarn: YarnLeft, tape: Tape) -> YarnWaySaid:
    chance = chance_words(way.chance)
    if way.code == "buy":
        return YarnWaySaid(
            way.code, "Buy now", chance, f"{round(way.grams)} g of the same lot, while it can still be had."
        )
    if way.code == "bands_other":
        bands = listed([BANDS[band.edge] for band in yarn.bands])
        told = f"{capital(bands)} last, in another lot or a colour: frees {round(way.grams)} g."
        return YarnWaySaid(way.code, "Bands in another yarn", chance, told)
    if way.code == "sleeves_other":
        told = f"Both alike, from another lot or in a colour: frees {round(way.grams)} g. Hold it to daylight first."
        return YarnWaySaid(way.code, "Sleeves in another yarn", chance, told)
    rows = f"{count_words(way.rows, 'row')} ({tape.length(way.mm)})"
    if way.code == "leave_out":
        told = f"Leave out up to {rows} of the {_last(yarn)}: {round(way.grams)} g."
        return YarnWaySaid(way.code, "A shorter last piece", chance, told)
    told = f"From waste yarn above the cuff, by turns. If it runs low leave out up to {rows}: both stay alike."
    return YarnWaySaid(way.code, "Both sleeves at once, cuffs last", chance, told)


def _last(yarn: YarnLeft) -> str:
    return _named([piece for piece in yarn.pieces if piece.times][-1])


def _notes(yarn: YarnLeft) -> Iterator[str]:
    yield (
        "Stitches are those of the sheets, ribs and bands reckoned like plain. Seams take 3 times their length, and 10 "
        "tails 20 cm each: taken for granted."
    )
    assumed = [_named(piece) for piece in yarn.pieces if piece.assumed]
    if assumed:
        yield f"The {listed(assumed)} have no counts yet: a share of the back’s stitches is taken, assumed."
    if yarn.asks and yarn.per_stitch.off_prior is not None:
        off = round(100 * abs(yarn.per_stitch.off_prior))
        more = "more" if yarn.per_stitch.off_prior > 0 else "less"
        yield f"The pieces weigh {off} % {more} than yarn and gauge tell. Are yarn and weight as written?"


def piece_to_weigh(kind: str, key: str) -> str:
    """What the weight of a knitted piece is called: "back"; "back (back_2)" where its key says more."""
    name, own = spaced(kind), key_words(key)
    return capital(own) if own in (name, f"other {name}") else f"{capital(name)} ({own})"


def off_the_machine(kind: str, *, other: bool = False) -> str:
    """What the weight of the piece that is knitted next is called; other: it is the other one of two."""
    return f"{capital(f'other {spaced(kind)}' if other else spaced(kind))}, once it is off the machine"


def far_off(grams: float) -> str:
    """What would be taken of a piece whose weight is far off.

    grams  what it would weigh by the other pieces [g]
    """
    return f"By what the other pieces weigh it would be about {round(grams)} g. Put right the one that is wrong."


def lot_name(lot: str, *, many: bool) -> str:
    """What a lot's weight is called."""
    return f"Lot {lot}" if lot else "Lot without a name" if many else "On hand"


def as_the_cone(*, oiled: bool) -> str:
    """As what a piece is weighed."""
    if oiled:
        return "Before washing, as the cone is: oil in. One that is washed is reckoned back."
    return (
        "Off the machine or blocked, without pins and combs. One that came off just now begins with its sheet’s counts."
    )


def weighed(kinds: Sequence[str], before: YarnLeft | CannotSay, after: YarnLeft | CannotSay) -> str:
    """Said once after pieces were weighed: "The front is weighed. Was: lasts, 9 in 10. Now: 6 in 10." """
    names = listed([spaced(kind) for kind in kinds])
    return f"The {names} {'are' if len(kinds) > 1 else 'is'} weighed. {_was_and_is(before, after)}".strip()


def left_of_the_lot(lot: str, grams: float) -> str:
    """Said with it where the piece came off just now: what it took is off what is on hand."""
    name = f"lot {lot}" if lot else "what is on hand"
    return f"It is taken off {name}: {grams:g} g are left. Weigh that too, to be sure."


def band_ended(lot: str, left: float | None) -> str:
    """Said once after the sheet of a band was ended; left: of the lot that it is off [g], None where none is known."""
    told = "Ended: that band is on."
    return told if left is None else f"{told} {left_of_the_lot(lot, left)}"


def on_hand(before: YarnLeft | CannotSay, after: YarnLeft | CannotSay) -> str:
    """Said once after what is on hand was typed."""
    return f"What is on hand is kept with the yarn. {_was_and_is(before, after)}".strip()


def _was_and_is(before: YarnLeft | CannotSay, after: YarnLeft | CannotSay) -> str:
    """What a weight did to the chance; empty where there is none now."""
    was, now = (yarn.lasts if isinstance(yarn, YarnLeft) else None for yarn in (before, after))
    if now is None:
        return ""
    told = chance_words(now)
    if was is None:
        return f"It lasts: {told}."
    return (
        f"It lasts as before: {told}."
        if chance_words(was) == told
        else f"Was: lasts, {chance_words(was)}. Now: {told}."
    )
