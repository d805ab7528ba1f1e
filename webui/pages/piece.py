"""A piece is on my table: an answer from three points, no names, no make and no swatches asked.

What was typed is kept as a make dated today, and a sweater that was measured beside it joins the wardrobe.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import count
from typing import Any, ClassVar

from flask import Blueprint, Response, request

from fitcheck.drawing.laid_tape import form_picture
from fitcheck.drawing.tapes import key_figures
from fitcheck.records.households import by_key
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.points import DECIDING_FIRST, POINTS, Point
from fitcheck.words import point_name
from fitcheck.words.dates import day_and_month
from webui.forms.drafts import Draft, Refusal, free_key
from webui.pages import notices, views
from webui.pages.context import Page
from webui.pages.shelves.wardrobe_measures import latest

pages = Blueprint("piece", __name__)

PIECES = (("back", "back"), ("front", "front"), ("sleeve", "sleeve"))
WAYS = (
    ("laid", "a sweater lying here, the piece laid on it"),
    ("both", "a sweater lying here, both measured"),
    ("wardrobe", "one from the wardrobe"),
    ("numbers", "numbers I have"),
    ("ease", "body and ease"),
)
FIRST: Mapping[str, tuple[str, ...]] = {
    "back": DECIDING_FIRST,
    "front": DECIDING_FIRST,
    "sleeve": ("upper_arm", "sleeve_to_underarm", "cuff"),
}
"""The three points asked for first: what no later piece or band can mend, and the chest, which sets the next piece."""
MENDS: Mapping[str, str] = {
    "back": "Shoulder and armhole no later piece or band can mend; what the chest lacks, the front can make up.",
    "front": "Shoulder and armhole no later piece or band can mend; what the chest lacks, a back still to come can.",
    "sleeve": "The upper arm no other piece can mend; length and cuff can be altered at the lower end.",
}
"""Why these three come first."""
THEN: Mapping[str, tuple[str, ...]] = {
    "back": ("to_underarm", "hem", "neck_width"),
    "front": ("to_underarm", "hem", "neck_width"),
    "sleeve": ("sleeve_length", "cap_height"),
}
"""The points asked for once there is an answer."""

STAGE = ("pieces", 0, "stages", 0)
"""Where the one stage of the piece stands in the make."""
_MM = re.compile(r"[2-9]\d\d")
_EIGHTHS = re.compile(r"(\d\d)([0-7])")


@pages.get("/piece")
def ask() -> Response:
    """The form, with back, dry and laid on a sweater preset; or another set of fields, with everything typed kept.

    The choices come as a GET, so that the browser's Back returns to the form and never asks to send it anew.
    """
    typed = {"dry": "yes", **_typed(request.args)}
    piece, way = _chosen(typed)
    asked = typed.pop("show", "")
    if asked in FIRST:
        piece = asked
    elif asked in dict(WAYS):
        typed, way = _crossed(typed, way, asked), asked
    return _form(typed, piece=piece, way=way)


@pages.post("/piece")
def take() -> Response:
    """Keep what was typed and go to its answer."""
    typed = _typed(request.form)
    piece, way = _chosen(typed)
    draft = Draft(typed)
    make = _keep(draft, piece, way)
    if make is None:
        return _form(typed, piece=piece, way=way, draft=draft)
    return notices.go(f"/makes/{make}", "Kept with today's date, so that you can come back to it.")


def _typed(values: Mapping[str, str]) -> dict[str, str]:
    return {name: value for name, value in values.items() if len(value) <= 400}


def _chosen(typed: Mapping[str, str]) -> tuple[str, str]:
    """The piece and the way of a form, or those that are preset."""
    piece, way = typed.get("piece", ""), typed.get("way", "")
    return piece if piece in FIRST else "back", way if way in dict(WAYS) else "laid"


def _crossed(typed: Mapping[str, str], before: str, after: str) -> dict[str, str]:
    """The fields under another way: an overhang is no width, so each kind of figure waits aside for its own way."""
    if (before == "laid") == (after == "laid"):
        return dict(typed)
    aside, back = ("laid:", "flat:") if before == "laid" else ("flat:", "laid:")
    moved = {}
    for name, value in typed.items():
        if name.startswith(back):
            moved[name.removeprefix(back)] = value
        else:
            moved[aside + name if name.startswith(("own_", "way_")) else name] = value
    return moved


@dataclass(frozen=True, slots=True)
class PiecePage(Page):
    """A piece on the table: its three points, and what it shall fit."""

    template: ClassVar[str] = "piece.html"
    room: ClassVar[str] = "table"
    typed: Mapping[str, str]
    waiting: dict[str, str]
    refusals: dict[str, Refusal]
    piece: str
    way: str
    pieces: tuple[tuple[str, str], ...]
    ways: tuple[tuple[str, str], ...]
    mends: str
    points: list[Point]
    figures: dict[str, int]
    box: str
    inside: str
    garments: list[tuple[str, str]]


def _form(typed: Mapping[str, str], *, piece: str, way: str, draft: Draft | None = None) -> Response:
    garments = [one for one in views.store().household().garments if any(o.readings for o in one.occasions)]
    figures = key_figures(FIRST[piece])
    box, inside = form_picture(piece, {}, FIRST[piece], figures=figures)
    return views.show(
        PiecePage(
            typed=typed,
            waiting={name: value for name, value in typed.items() if ":" in name and value},
            refusals=draft.refusals if draft else {},
            piece=piece,
            way=way,
            pieces=PIECES,
            ways=WAYS,
            mends=MENDS[piece],
            points=[POINTS[key] for key in figures],
            figures=figures,
            box=box,
            inside=inside,
            garments=[("", "which sweater?"), *((one.id, one.name) for one in reversed(garments))] if garments else [],
        ),
        422 if draft else 200,
    )


def _keep(draft: Draft, piece: str, way: str) -> str | None:
    """Write what was typed; return the key of the make, None where something was refused."""
    store, today = views.store(), date.today()
    day = day_and_month(today)
    taken = {one.name for one in store.household().makes}
    alike = (f"{piece} of {day}{f', number {number}' if number > 1 else ''}" for number in count(1))
    name = next(one for one in alike if one not in taken)
    read = read_points(draft, FIRST[piece], way, piece)
    make: dict[str, Any] = {"name": name, "started": today.isoformat(), **read.make}
    stage: dict[str, Any] = {
        "kind": "blocked" if draft.typed.get("dry", "yes") == "yes" else "rested",
        "on": today.isoformat(),
        **read.stage,
    }
    make["pieces"] = [{"id": piece, "piece": piece, "stages": [stage]}]
    if way == "wardrobe":
        garment = by_key(store.household().garments, draft.text("garment"))
        if garment is None:
            draft.refuse("garment", "One of the wardrobe's sweaters.")
        else:
            make["fits"] = {"garment": garment.id, "occasion": latest(garment).id}
    if not read.any and draft.fits:
        draft.refuse(f"own_{FIRST[piece][0]}", "One point at least; from the first one on there is an answer.")
    if not draft.fits:
        return None
    written: list[tuple[str, str]] = []
    if way == "both":
        key = free_key(store, "garments", f"sweater of {day}")
        occasion = {"id": today.isoformat(), "on": today.isoformat(), "readings": read.reference}
        garment_doc = {"name": f"sweater of {day}", "occasions": [occasion]}
        if draft.keep(store, "garments", key, garment_doc, 0) is not None:
            written.append(("garments", key))
            make["fits"] = {"garment": key, "occasion": today.isoformat()}
    elif way == "ease":
        key = free_key(store, "wearers", f"body of {day}")
        wearer = {"name": f"body of {day}", "measured": today.isoformat(), "body": read.reference}
        if draft.keep(store, "wearers", key, wearer, 0) is not None:
            written.append(("wearers", key))
            make["wearer"] = key
    kept = draft.keep_new(store, "makes", name, make)
    if kept is None:
        for kind, key in written:
            store.delete(kind, key, store.get(kind, key).revision)
        return None
    return kept.key


class Read:
    """What the fields of some points say.

    stage      readings and overhangs of the piece's stage
    reference  readings of the sweater or the body
    make       what goes into the make itself: numbers or ease
    """

    def __init__(self) -> None:
        self.stage: dict[str, dict[str, Any]] = {}
        self.reference: dict[str, Any] = {}
        self.make: dict[str, Any] = {}

    @property
    def any(self) -> bool:
        """Whether anything of the piece was read."""
        return bool(self.stage)


def read_points(draft: Draft, keys: Sequence[str], way: str, piece: str) -> Read:
    """Read the fields of some points: `own_chest` of the piece, `ref_chest` of what it must fit, and so on.

    way  laid: overhangs;  both, numbers, ease: what it must fit stands beside;  wardrobe: only the piece
    """
    read = Read()
    for key in keys:
        own = f"own_{key}"
        if way == "laid":
            text = overhang_text(draft, key)
            if text:
                read.stage.setdefault("overhangs", {})[key] = [reading_at(draft, own, text, signed=True)]
                draft.at((*STAGE, "overhangs", key), own)
            continue
        ref, ease = f"ref_{key}", f"ease_{key}"
        needed = {"both": (ref,), "numbers": (ref,), "ease": (ref, ease)}.get(way, ())
        said = [field for field in (own, *needed) if draft.text(field)]
        if not said:
            continue
        for field in (own, *needed):
            if not draft.text(field):
                draft.refuse(field, f"This one too, or leave all of the {point_name(key)} empty.")
        if len(said) <= len(needed):
            continue
        read.stage.setdefault("readings", {})[key] = [reading_at(draft, own, draft.text(own))]
        draft.at((*STAGE, "readings", key), own)
        if way in ("both", "ease"):
            read.reference[key] = [reading_at(draft, ref, draft.text(ref))]
            draft.at(("occasions", 0, "readings", key) if way == "both" else ("body", key), ref)
        if way == "numbers":
            one = reading_at(draft, ref, draft.text(ref))
            draft.at(("fits", "numbers", key), ref)
            read.make.setdefault("fits", {}).setdefault("numbers", {})[key] = typed_again(one)
        if way == "ease":
            one = reading_at(draft, ease, draft.text(ease), signed=True)
            draft.at(("fits", "ease", key), ease)
            read.make.setdefault("fits", {}).setdefault("ease", {})[key] = typed_again(one)
    return read


def overhang_text(draft: Draft, key: str) -> str:
    """An overhang with its sign, from the figure and from which of the three was tapped; empty where none was read."""
    text, way = draft.text(f"own_{key}"), draft.text(f"way_{key}")
    if not text:
        return "level" if way == "level" else ""
    if text[0] in "+-−–" or text.lower() == "level":
        return text
    if way in ("out", "short"):
        return f"{'+' if way == 'out' else '-'}{text}"
    try:
        if read_length(text, unit=views.unit(), signed=True).value_mm == 0:
            return "level"
    except LengthError:
        return text
    draft.refuse(f"own_{key}", "Sticks out or falls short? Tap one of them, or type +0.8 or −0.8.")
    return ""


def reading_at(draft: Draft, field: str, text: str, *, signed: bool = False) -> dict[str, Any]:
    """A reading with its unit, refused beside its field where it is no length.

    A whole number of hundreds is millimetres where centimetres are typed: nobody's chest lies 5 m wide. Where inches
    are typed it is inches and eighths, for the same reason: six numbers with their eighths would take 44 keys.
    """
    unit = views.unit()
    used = "mm" if unit == "cm" and not signed and _MM.fullmatch(text) else unit
    if unit == "in" and not signed and (found := _EIGHTHS.fullmatch(text)):
        text = f"{found[1].lstrip('0') or '0'} {found[2]}/8"
    try:
        read_length(text, unit=used, signed=signed)
    except LengthError as error:
        draft.refuse(field, error.accepts)
    return {"text": text, "unit": used}


def typed_again(reading: Mapping[str, str]) -> str:
    """A reading as one text with its unit, for a place that keeps a length alone."""
    return f"{reading['text']} {reading['unit']}" if reading["text"][-1:].isnumeric() else reading["text"]
