"""The fields of a piece that lies on the table: what the tape says of it, and of what it must fit."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import field
from typing import Any

from fitcheck import words
from fitcheck.records.frozen import frozen
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.points import DECIDING_FIRST, POINTS
from fitcheck.words import point_name, wants
from fitcheck.words.names import STAGE_CHOICES
from fitcheck.words.pages import piece_at_point
from webui.forms.drafts import Draft
from webui.forms.fields import NOWHERE, Document, Field, put

WAYS = (
    ("laid", "Lay the piece on a sweater"),
    ("both", "Measure both"),
    ("wardrobe", "One from the wardrobe"),
    ("numbers", "Numbers I have"),
    ("ease", "A body, and ease"),
)
NOTES = {
    "laid": "The overhang, one number a point.",
    "both": "The tape goes over sweater and piece.",
    "wardrobe": "A sweater that was measured before.",
    "numbers": "From a pattern, or from a note.",
    "ease": "Round measures, and how loose.",
}
"""What each way asks for."""
LIES = (("out", "sticks out"), ("short", "falls short"), ("level", "level"))
FIRST: Mapping[str, tuple[str, ...]] = {
    "back": DECIDING_FIRST,
    "front": DECIDING_FIRST,
    "sleeve": ("upper_arm", "sleeve_to_underarm", "cuff"),
}
"""The three points asked for first: what no later piece or band can mend, and the chest, which sets the next piece."""
THEN: Mapping[str, tuple[str, ...]] = {
    "back": ("to_underarm", "hem", "neck_width"),
    "front": ("to_underarm", "hem", "neck_width"),
    "sleeve": ("sleeve_length", "cap_height"),
}
"""The points asked for once there is an answer."""
DIAL = Field("dial", "Dial", hint="as it was set: 7, or 7.1 for one mark more; left empty: not said")
"""The dial that a piece was knitted at, where a piece is added."""
STAGES = tuple((kind, name) for kind, name in STAGE_CHOICES.items() if kind != "hung")
"""How a piece may be that lies on the table."""
STAGE = ("pieces", 0, "stages", 0)
"""Where the one stage of the piece stands in the make."""
_SIGNED = {"overhangs", "ease"}
_MM = re.compile(r"[2-9]\d\d")
_EIGHTHS = re.compile(r"(\d\d)([0-7])")


def tape_fields(key: str, way: str, piece: str) -> tuple[Field, ...]:
    """The fields of one point, which are typed together or not at all.

    way    laid: the overhang of the piece;  both, numbers, ease: what it must fit first;  wardrobe: the piece alone
    piece  what the piece is called
    """
    flat, around = (", flat", ", round") if POINTS[key].flat else ("", "")
    own = Field(f"own_{key}", piece, "readings", place=(*STAGE, "readings", key))
    match way:
        case "laid":
            lies = Field(f"way_{key}", piece_at_point(piece, point_name(key)), "pick", choices=LIES, place=NOWHERE)
            return Field(f"own_{key}", "overhang", "readings", place=(*STAGE, "overhangs", key)), lies
        case "both":
            return Field(f"ref_{key}", "sweater", "readings", place=("occasions", 0, "readings", key)), own
        case "numbers":
            return Field(f"ref_{key}", f"wanted{flat}", "length", place=("fits", "numbers", key)), own
        case "ease":
            body = Field(f"ref_{key}", f"body{around}", "readings", place=("body", key))
            return body, Field(f"ease_{key}", f"ease{around}", "length", place=("fits", "ease", key)), own
        case _:
            return (own,)


@frozen
class TypedPoints:
    """What the fields of some points say.

    stage      readings and overhangs of the piece's stage
    reference  readings of the sweater or the body
    make       what goes into the make itself: numbers or ease
    """

    stage: Document = field(default_factory=dict)
    reference: Document = field(default_factory=dict)
    make: Document = field(default_factory=dict)


def read_taped(draft: Draft, keys: Sequence[str], way: str, piece: str, unit: str) -> TypedPoints:
    """Read the fields of some points; way and piece as in `tape_fields`, unit: of a bare figure."""
    taped = TypedPoints()
    for key in keys:
        fields = [field for field in tape_fields(key, way, piece) if field.path]
        laid = overhang_text(draft, key, unit) if way == "laid" else ""
        texts = {field.name: laid if way == "laid" else draft.text(field.name) for field in fields}
        if not any(texts.values()):
            continue
        for name in [name for name, text in texts.items() if not text]:
            draft.refuse(name, wants.all_or_none(key))
        if not all(texts.values()):
            continue
        for spec in fields:
            reading = reading_at(draft, spec.name, texts[spec.name], unit, signed=bool(_SIGNED & {*spec.path}))
            draft.at(spec.path, spec.name)
            if spec.kind == "length":
                put(taped.make, spec.path, _typed_again(reading))
            elif spec.path[:-2] == STAGE:
                put(taped.stage, spec.path[-2:], [reading])
            else:
                taped.reference[key] = [reading]
    return taped


def stage_kind(text: str) -> str:
    """The stage that was chosen; washed, blocked and dry where none was."""
    return text if text in dict(STAGES) else "blocked"


def overhang_text(draft: Draft, key: str, unit: str) -> str:
    """An overhang with its sign, from the figure and from which of the three was tapped; empty where none was read."""
    text, way = draft.text(f"own_{key}"), draft.text(f"way_{key}")
    if not text:
        return "level" if way == "level" else ""
    if text[0] in "+-−–" or text.lower() == "level":
        return text
    if way in ("out", "short"):
        return f"{'+' if way == 'out' else '−'}{text}"
    try:
        if read_length(text, unit=unit, signed=True).value_mm == 0:
            return "level"
    except LengthError:
        return text
    draft.refuse(f"own_{key}", wants.WHICH_WAY)
    return ""


def reading_at(draft: Draft, field: str, text: str, unit: str, *, signed: bool = False) -> dict[str, Any]:
    """A reading with its unit, refused beside its field where it is no length.

    A whole number of hundreds is millimetres where centimetres are typed: nobody's chest lies 5 m wide. Where inches
    are typed it is inches and eighths, for the same reason: six numbers with their eighths would take 44 keys.
    """
    used = "mm" if unit == "cm" and not signed and _MM.fullmatch(text) else unit
    if unit == "in" and not signed and (eighths := _EIGHTHS.fullmatch(text)):
        text = f"{eighths[1].lstrip('0') or '0'} {eighths[2]}/8"
    try:
        read_length(text, unit=used, signed=signed)
    except LengthError as error:
        draft.refuse(field, words.accepted(error.accepts))
    return {"text": text, "unit": used}


def _typed_again(reading: Mapping[str, str]) -> str:
    """A reading as one text with its unit, for a place that keeps a length alone."""
    return f"{reading['text']} {reading['unit']}" if reading["text"][-1:].isnumeric() else reading["text"]
