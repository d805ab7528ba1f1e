"""Sentences of the measuring walk and the pencil form, which the templates call ``walking``."""

from __future__ import annotations

from fitcheck.records.constructions import Construction
from fitcheck.records.points import FRONTS, POINTS, PieceKind
from fitcheck.words.phone import WALK
from fitcheck.words.phrases import capital, count_words


def walk(key: str, **values: object) -> str:
    """What the page says in the same words as its script: a sentence of `phone.WALK` with its values."""
    return WALK[key].format(**values)


def where_in_walk(number: int, count: int, look: int, reading: str) -> str:
    """Which step of the walk it is, and which reading of its point."""
    where = "where_again" if reading else "where"
    return walk(where, number=number, count=count, round=WALK[f"round_{look}"], reading=reading)


def spoken_field(title: str, whose: str, unit: str) -> str:
    """The name of the walk's field."""
    said_unit = WALK["inches"] if unit == "in" else unit
    return walk("field_of" if whose else "field", title=title, whose=whose, unit=said_unit)


def how_it_lies(piece: str) -> str:
    """What is asked beside an overhang."""
    return f"How the {piece} lies at B"


def walk_end(skipped: int, following: int | None, *, kept: bool) -> str:
    """The heading at the end of a round; following: the round that comes next."""
    if skipped:
        return walk("left_out", count=skipped)
    if following:
        return f"{capital(WALK[f'round_{following}'])}?"
    return WALK["round_is_read" if kept else "nothing_to_read"]


def lay_down(piece: str) -> str:
    """How a piece is laid between rounds."""
    return f"Lay the {piece} down anew before each round: smooth it, do not pull."


def how_finished(piece: str) -> str:
    """What is asked before a piece is read."""
    return f"How was the {piece} finished?"


def pencil_form(name: str) -> str:
    """The pencil form of a make or a piece."""
    return f"Pencil form: {name}"


def typing_pencil_form(make: str) -> str:
    """The title of the page where it is typed."""
    return f"Typing the pencil form: {make}"


def pencil_hint(piece: str) -> str:
    """How the pencil form is filled in."""
    return (
        "Print it, fill it in beside the table, and type it here later. Each column is one laying: lay the "
        f"{piece} down anew before the next."
    )


def pencil_drawing(piece: str) -> str:
    """What the drawing of the pencil form shows."""
    return f"The {piece} with a tape for each point of the list"


def pencil_figure(title: str, whose: str, laying: int, unit: str) -> str:
    """The name of a field of the typed pencil form."""
    return ", ".join(part for part in (title, whose, f"laying {laying}", unit) if part)


def pencil_refused(refused: int, asked: int) -> str:
    """Why a pencil form was not kept yet."""
    if refused:
        told = f"{'One field wants' if refused == 1 else f'{refused} fields want'} another look"
    else:
        figures = "One figure is" if asked == 1 else f"{asked} figures are"
        it = "it" if asked == 1 else "them"
        told = f"{figures} unlikely: type {it} again, or tick {it} to keep {it}"
    return f"{told}. Everything typed is still here."


def kept(text: str, spread: str) -> str:
    """A reading that was kept, and how far its neighbours lie apart."""
    return f"{walk('kept', text=text)}{f': {spread}' if spread else ''}."


def take_back(text: str) -> str:
    """The button that takes a reading back."""
    return f"Take {text} back"


def then_type(slip: str, meant: str) -> str:
    """What to type where it was the likely slip."""
    return f"{slip}: then type {meant}."


def readings_kept(count: int, piece: str) -> str:
    """That a typed pencil form was kept."""
    return f"Kept {count_words(count, 'reading')} of the {piece}." if count else f"Kept how the {piece} was knitted."


def how_overhang(where: str) -> str:
    """Where the tape goes for an overhang, and how the piece is laid."""
    return f"{where} Level at A; how far off at B?"


def tape_drawn(piece: str, where: str) -> str:
    """The drawing of a step, for who does not see it."""
    return f"The {piece}. The tape lies from A to B: {where}"


_UP_TO_THE_NECK = {
    "neck_width": "Straight across at the neck, from one slanting seam to the other.",
    "armhole_depth": "From the upper end of the slanting seam straight down to the level of the underarm.",
    "body_length": "From the upper end of the slanting seam, at the neck, straight down to the lower edge.",
    "sleeve_length": "Along the middle of the sleeve, from its end at the neck to the end of the cuff.",
}
"""Where the tape goes on a sweater without shoulders, whose armholes slant up to the neck."""


def where_the_tape_lies(point: str, built: Construction, piece: PieceKind | None = None) -> str:
    """Where the tape goes on a garment, or on a piece of one, one sentence."""
    if built.armhole == "slanting" and point in _UP_TO_THE_NECK:
        return _UP_TO_THE_NECK[point]
    if point == "neck_depth" and piece in FRONTS:
        return "From the level of the neck points straight down to the lowest point of the neck edge."
    return POINTS[point].tape
