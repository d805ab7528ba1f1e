"""Whether the yarn lasts, in words: the chance, what each piece takes, what is decided before the next one."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.advice.to_come.yarn_left import RELIED_UPON, PieceYarn, YarnLeft
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.words.cannot_say import cannot_say_parts
from fitcheck.words.figures import Tape, chance_words
from fitcheck.words.phrases import count_words, listed, spaced


@dataclass(frozen=True, slots=True)
class YarnRow:
    """What a piece takes: loops, grams, "weighed" or the likely range, its lot."""

    piece: str
    loops: str
    grams: str
    likely: str
    lot: str


@dataclass(frozen=True, slots=True)
class YarnSaid:
    """The yarn of a make.

    facts  (label, figure) pairs
    rows   every piece, then what is sewn, then the sum
    notes  what was taken for granted, what is asked, which lot
    """

    head: str
    because: str
    facts: tuple[tuple[str, str], ...] = ()
    rows: tuple[YarnRow, ...] = ()
    notes: tuple[str, ...] = ()


def yarn_said(answer: RestAnswer, tape: Tape) -> YarnSaid:
    """Whether the yarn lasts for the rest, and what is decided before the next piece."""
    if isinstance(answer.yarn, CannotSay):
        why_not, help_ = cannot_say_parts(answer.yarn)
        return YarnSaid(help_ or why_not, why_not if help_ else "")
    yarn = answer.yarn
    return YarnSaid(_head(yarn), _decide(yarn, answer), _facts(yarn, tape), tuple(_rows(yarn, tape)), _notes(yarn))


def _head(yarn: YarnLeft) -> str:
    """ "The yarn lasts, 9 in 10: 348 g to knit, 362 g on hand." """
    need = f"{round(yarn.need)} g to knit"
    if yarn.hand is None or yarn.lasts is None:
        return f"{need[0].upper()}{need[1:]}. How much is on hand?"
    hand = f"{round(yarn.hand)} g on hand"
    if yarn.lasts >= RELIED_UPON:
        return f"The yarn lasts, {chance_words(yarn.lasts)}: {need}, {hand}."
    if yarn.lasts < 0.05:
        return f"Not enough yarn: by {round(yarn.need - yarn.hand)} g."
    return f"It may not last, {chance_words(yarn.lasts)}: {need}, {hand}."


def _decide(yarn: YarnLeft, answer: RestAnswer) -> str:
    """What to do before the next piece is begun."""
    coming = spaced(answer.next) if answer.next else "next piece"
    if yarn.per_stitch.basis == "assumed":
        return "Nothing of this yarn was weighed: weigh one piece, and the need is known within about a twentieth."
    if yarn.lasts is None:
        return "Weigh what is on hand, and write it down with the yarn."
    if yarn.lasts >= RELIED_UPON:
        return f"Carry on with the {coming}. Weigh it when it comes off: then the rest is known better."
    if any(piece.times and "sleeve" in piece.kind for piece in yarn.pieces):
        spare = f" If it runs short leave out {count_words(yarn.leave_out, 'row')}." if yarn.leave_out else ""
        return f"Knit both sleeves last and at once, from waste yarn, cuffs last.{spare} Or buy now, of the same lot."
    return (
        f"Leave out {count_words(yarn.leave_out, 'row')}, knit the bands in another yarn, or buy now of the same lot."
    )


def _facts(yarn: YarnLeft, tape: Tape) -> tuple[tuple[str, str], ...]:
    facts = []
    if yarn.lasts is not None:
        facts.append(("Chance that it lasts", chance_words(yarn.lasts)))
    facts.append(("Still to knit", f"{round(yarn.need)} g, likely {round(yarn.low)} to {round(yarn.high)}"))
    weighed = [spaced(piece.kind) for piece in yarn.pieces if piece.weighed is not None]
    by = f"by the {listed(weighed)}, weighed" if weighed else "by yarn and gauge alone: assumed"
    facts.append(("A stitch", f"{tape.number(1000 * yarn.per_stitch.grams, 1)} mg, {by}"))
    return tuple(facts)


def _rows(yarn: YarnLeft, tape: Tape) -> list[YarnRow]:
    lots = yarn.lots.lots if yarn.lots is not None else {}
    rows = [_row(piece, yarn, lots.get(piece.kind, ""), tape) for piece in yarn.pieces]
    rows.append(YarnRow("seams, tails and bands", "", f"{round(yarn.extra)}", "assumed", ""))
    rows.append(YarnRow("still to knit", "", f"{round(yarn.need)}", f"{round(yarn.low)} to {round(yarn.high)}", ""))
    return rows


def _row(piece: PieceYarn, yarn: YarnLeft, lot: str, tape: Tape) -> YarnRow:
    name = spaced(piece.kind) if piece.times < 2 else f"{piece.times} {spaced(piece.kind)}s, each"
    if piece.weighed is not None:
        return YarnRow(name, str(piece.loops), tape.short(piece.weighed), "weighed", lot)
    spread = 1.645 * yarn.per_stitch.piece_sd * piece.grams
    return YarnRow(
        name,
        str(piece.loops),
        f"{round(piece.grams)}",
        f"{round(piece.grams - spread)} to {round(piece.grams + spread)}",
        lot,
    )


def _notes(yarn: YarnLeft) -> tuple[str, ...]:
    notes = ["Stitches are those of the sheets, ribs among them. Seams take 3 times their length, tails 20 cm each."]
    if yarn.asks and yarn.per_stitch.off_prior is not None:
        off = round(100 * abs(yarn.per_stitch.off_prior))
        more = "more" if yarn.per_stitch.off_prior > 0 else "less"
        notes.append(f"The pieces weigh {off} % {more} than yarn and gauge tell. Are yarn and weight as written?")
    if yarn.lots is not None and yarn.lots.alternate:
        notes.append("No lot lasts for whole pieces: alternate two rows of each, and hold both to daylight first.")
    return tuple(notes)
