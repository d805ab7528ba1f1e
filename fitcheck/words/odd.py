"""Why something that was typed is odd: the sentences of a question about it."""

from __future__ import annotations

from typing import assert_never

from fitcheck.records.lengths import write_bare, write_length
from fitcheck.records.points import POINTS
from fitcheck.records.questions.gauge import counted
from fitcheck.records.questions.question import (
    Against,
    BeyondOtherOverhangs,
    BreaksRepeat,
    CountOff,
    FarFromNeighbours,
    FarFromPiece,
    Folded,
    KnownFrom,
    LargeOverhang,
    LengthsDoNotAddUp,
    LooksLikeSlip,
    OddApart,
    OutOfRange,
    OverhangAgainstTape,
    PointsSwapped,
    Question,
    RowsToStitches,
    ShouldersDoNotAddUp,
    SideInOtherUnit,
    SizeInOtherUnit,
    Slip,
    StitchSize,
    WiderThanAround,
)
from fitcheck.words.phone import READING
from fitcheck.words.phrases import capital
from fitcheck.words.said import Said

AGAINST: dict[Against, str] = {
    "garment": "The garment says otherwise.",
    "piece": "The piece was read otherwise.",
    "readings": READING["others_say"],
    "newborn": "All of these are as small as a newborn’s.",
}
"""What speaks against a reading that may be a slip."""

_KNOWN_FROM: dict[KnownFrom, str] = {
    "swatch": "the swatch makes it",
    "swatches": "the swatches make it",
    "printed_gauge": "the printed gauge makes it",
    "other_counts": "the other counts of the piece make it",
}


def odd_said(question: Question) -> Said:
    """What was read, asked, where the sentence asks it; and why it is odd."""
    match question.odd:
        case LooksLikeSlip() | OutOfRange() | FarFromNeighbours() | FarFromPiece() | Folded() as odd:
            return _one_reading(odd, question)
        case LengthsDoNotAddUp() | ShouldersDoNotAddUp() | WiderThanAround() | PointsSwapped() as odd:
            return _points_together(odd, question.unit)
        case RowsToStitches() | StitchSize() | SideInOtherUnit() | SizeInOtherUnit() | CountOff() as odd:
            return _gauge(odd, question)
        case BreaksRepeat() | OddApart() as odd:
            return _shaping(odd, _name_at(question))
        case BeyondOtherOverhangs() | LargeOverhang() | OverhangAgainstTape() as odd:
            return _overhang(odd, question)
        case never:
            assert_never(never)


def _one_reading(
    odd: LooksLikeSlip | OutOfRange | FarFromNeighbours | FarFromPiece | Folded, question: Question
) -> Said:
    read, unit, name = question.read, question.unit, _name_at(question)
    match odd:
        case LooksLikeSlip() if question.code == "round_measure":
            return Said(_read_at(read, name), READING["twice_the_half"])
        case LooksLikeSlip(against, near):
            why = _neighbour(*near) if near else AGAINST[against] if against else ""
            return Said(_read_at(read, name), _joined(why, _as_slip(question)))
        case OutOfRange(low, high):
            unit = "cm" if unit == "m" else unit
            usual = READING["mostly"].format(low=write_length(low, unit), high=write_length(high, unit))
            return Said(_read_at(read, name), usual)
        case FarFromNeighbours(away, others):
            far = READING["far_from_one" if others == 1 else "far_from_many"]
            return Said("", far.format(apart=write_length(away, unit)))
        case FarFromPiece(piece):
            return Said(_read_at(read, name), f"The piece was read {write_length(piece, unit)}.")
        case Folded(garment):
            laid_open = f"Laid open it would be about twice the garment’s flat {write_bare(garment, unit)}."
            return Said(f"{read} across the {name} of the sleeve?", f"{laid_open} Read folded?")


def _points_together(odd: LengthsDoNotAddUp | ShouldersDoNotAddUp | WiderThanAround | PointsSwapped, unit: str) -> Said:
    match odd:
        case LengthsDoNotAddUp():
            return _do_not_add_up(odd, unit)
        case ShouldersDoNotAddUp(neck, seam, drop, whole):
            made = (
                f"Neck {write_bare(neck, unit)} and twice {write_bare(odd.across_mm, unit)} of shoulder make "
                f"{write_length(odd.parts_mm, unit)}; shoulder width says {write_bare(whole, unit)}."
            )
            along = f"The shoulder is {write_length(seam, unit)} along its seam and {write_bare(drop, unit)} down."
            return Said("", made, (along, "One of them is off."))
        case WiderThanAround(inner, small, outer, large):
            both = (
                f"{POINTS[inner].name.capitalize()} {write_length(small, unit)}, "
                f"{POINTS[outer].name} {write_length(large, unit)}"
            )
            return Said("", f"{both}: it is mostly the other way round. Is one of them at the wrong point?")
        case PointsSwapped():
            return Said("", _points_swapped(odd))


def _gauge(odd: RowsToStitches | StitchSize | SideInOtherUnit | SizeInOtherUnit | CountOff, question: Question) -> Said:
    match odd:
        case RowsToStitches(ratio):
            swapped = " Counts swapped?" if question.slip else ""
            return Said("", f"Rows {ratio:.1f} times the stitches; plain knitting is about 1.2 to 1.7.{swapped}")
        case StitchSize(count, measured, row, size, low, high):
            makes = f"{counted(count, row=row)} over {measured} make {size:.1f} mm {_one(row=row)}"
            return Said("", _joined(f"{makes}; it is mostly {low:g} to {high:g}.", _as_slip(question)))
        case SideInOtherUnit(side, ratio):
            wide = f"A stitch would be {ratio:.1f} times as wide as a row is high; in plain knitting it is 1.2 to 1.7."
            return Said(f"{question.read} for the {side} of the swatch?", _joined(wide, _as_slip(question)))
        case SizeInOtherUnit(row, size, known):
            here = f"It makes {size:.1f} mm {_one(row=row)}; pieces, plan or other swatches make it {known:.1f}."
            of = "height" if row else "width"
            return Said(f"{question.read} for the {of} of the swatch?", _joined(here, _as_slip(question)))
        case CountOff(count, over, row, size, known_from, known):
            length = write_length(over, question.unit)
            makes = f"{counted(count, row=row)} over {length} make {size:.1f} mm {_one(row=row)}"
            return Said("", _joined(f"{makes}; {_KNOWN_FROM[known_from]} {known:.1f}.", _as_slip(question)))


def _shaping(odd: BreaksRepeat | OddApart, name: str) -> Said:
    match odd:
        case BreaksRepeat(multiple, below, above):
            return Said("", f"Whole repeats of {multiple} make {below} or {above} at the {name}.")
        case OddApart(other, count):
            apart = f"With {count} at the {_short(other)} the two sides are not shaped alike"
            return Said("", f"{apart}: one of the two counts is off by one.")


def _overhang(odd: BeyondOtherOverhangs | LargeOverhang | OverhangAgainstTape, question: Question) -> Said:
    name = _name_at(question)
    asked = READING["overhang_at"].format(read=question.read, name=name)
    match odd:
        case BeyondOtherOverhangs(below):
            assert question.slip is not None
            assert question.slip.tape_mm is not None
            meant = write_length(question.slip.tape_mm, "cm", signed=True)
            rest = f"The other overhangs are below {write_length(below, 'cm')}."
            return Said(asked, f"{rest} As millimetres it would be {meant}.")
        case LargeOverhang():
            return Said(asked, READING["far_off"])
        case OverhangAgainstTape(piece, garment):
            unit = "in" if question.unit == "in" else "cm"
            by_tape = (
                f"By the tape it would be {write_length(piece - garment, unit, signed=True)} at the {name}: "
                f"{write_length(piece, unit)} on the piece, {write_length(garment, unit)} on the garment, the seam "
                "stitches left on."
            )
            return Said("", by_tape, ("Lay it on again and type what sticks out.",))


def asked_where(question: Question, read: str) -> str:
    """Ask what was read where the sentence does not: "65.9 cm for the body length?"; of a swatch "16.9 cm?"."""
    at_point = isinstance(question.odd, FarFromNeighbours) and question.place.kind != "swatches"
    return _read_at(read, _name_at(question)) if at_point else READING["read"].format(read=read)


def points_swapped_meant(odd: PointsSwapped) -> str:
    """Two counts in each other's place: "118 at the hem, 122 at the chest"."""
    here, other = odd.counts
    return f"{other} at the {_short(odd.here)}, {here} at the {_short(odd.other)}"


def _name_at(question: Question) -> str:
    point = question.place.point
    return POINTS[point].name if point else "head"


def _read_at(read: str, name: str) -> str:
    return READING["read_at"].format(read=read, name=name)


def _neighbour(point: str, said: str) -> str:
    return READING["neighbour"].format(name=POINTS[point].name, said=said)


def _short(point: str) -> str:
    return POINTS[point].name.split(",")[0]


def _joined(*sentences: str) -> str:
    return " ".join(sentence for sentence in sentences if sentence)


def _one(*, row: bool) -> str:
    return "a row" if row else "a stitch"


def _as_slip(question: Question) -> str:
    """What the figure would be with the likely slip of the unit; empty for any other."""
    slip = question.slip
    match slip:
        case Slip(code="inches" | "centimetres" | "millimetres", tape_mm=float(mm)):
            length = write_length(mm, "in" if question.unit == "in" else "cm")
            return READING[f"as_{slip.code}"].format(length=length)
        case Slip(code="eighths"):
            return READING["as_eighths"].format(meant=slip.meant)
    return ""


def _do_not_add_up(odd: LengthsDoNotAddUp, unit: str) -> Said:
    parts = capital(", ".join(f"{_short(point)} {write_bare(mm, unit)}" for point, mm in odd.parts))
    total, whole = write_length(odd.parts_mm, unit), write_bare(odd.whole_mm, unit)
    off = f"One of them is {write_length(odd.away_mm, unit)} off."
    return Said("", f"{parts} make {total}; {_short(odd.whole)} says {whole}.", (off,))


def _points_swapped(odd: PointsSwapped) -> str:
    """ "The chest is wider than the hem and has fewer stitches, 92 against 120; swapped, the two agree." """
    shorter = odd.other if odd.longer == odd.here else odd.here
    count_of = dict(zip((odd.here, odd.other), odd.counts, strict=True))
    across = POINTS[odd.here].direction == "across"
    against = f"{count_of[odd.longer]} against {count_of[shorter]}"
    return (
        f"The {_short(odd.longer)} is {'wider' if across else 'longer'} than the {_short(shorter)} and has fewer "
        f"{'stitches' if across else 'rows'}, {against}; swapped, the two agree."
    )
