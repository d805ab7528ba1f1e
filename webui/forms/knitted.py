"""The form of how a piece was knitted: its stitches and rows, dial and yarn; and the stage that it was read at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field, replace
from typing import Any

from fitcheck.advice.rest.nested import PARTS
from fitcheck.records.constructions import Construction
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Piece
from fitcheck.records.places import Path
from fitcheck.records.points import POINTS, PieceKind
from fitcheck.words import point_name, wants
from fitcheck.words.knitted import dial_advised
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, group
from webui.forms.pieces import STAGES
from webui.forms.swatches import BLOCKINGS, KNITTED
from webui.forms.typed import BEHIND, HOURS, ROWS, STITCHES

_LEFT_OUT = ("neck_inside", "waist")
"""Widths whose stitches are asked for only where they are known or planned."""
_OF_SHOULDERS = ("shoulder_drop",)
"""Rows that are asked for only where a piece has a shoulder."""
_UNLIKE = ("yarn", "machine", "carriage", "mast_tension", "weights", "strands", "needle_arrangement", "stitch_pattern")
"""What is said only where it is unlike that of the swatches."""
STAGE = Form(
    (
        Field("kind", "Stage", "pick", choices=STAGES),
        *group(
            "stage",
            Field("blocking", "blocked", "choice", choices=BLOCKINGS, alone="How it was blocked"),
            Field("on", "on", "day", alone="Day of the stage"),
            Field("hours", "dried, hours", "decimal", own=HOURS, alone="Hours that it dried"),
            Field("grams", "grams", "decimal", own=BEHIND["g"], alone="Weight of the piece in grams"),
        ),
    )
)
"""The stage at which a piece was read, and what it weighs then."""


def count_points(
    kind: PieceKind, piece: Piece | None, planned: Document, built: Construction
) -> tuple[list[str], list[str]]:
    """The points whose stitches and whose rows are asked for, from the lower end up; planned: counts of the plan."""
    lacks = {*built.lacks, *(_OF_SHOULDERS if built.armhole == "slanting" else ())}
    zoned = {"panel_length", *(part for parts in PARTS.values() for part in parts)}
    zoned |= {whole for whole, parts in PARTS.items() if built.lacks.keys() & {*parts}}
    known = {*(piece.counts if piece else ()), *planned}
    keys = [
        key
        for key, point in POINTS.items()
        if kind in point.pieces
        and (key not in lacks or key in known)
        and (key in known or (point.direction == "across" and key not in _LEFT_OUT) or key in zoned)
        and point.direction != "edge"
    ]
    keys.sort(key=lambda key: POINTS[key].knitted)
    return (
        [key for key in keys if POINTS[key].direction == "across"],
        [key for key in keys if POINTS[key].direction == "along"],
    )


@frozen
class KnittedForm(Form):
    """How a piece was knitted. A count that is put right is asked about anew, and so is its dial.

    planned  the planned counts, by field: what a field holds that nobody filled yet
    """

    planned: Mapping[str, int] = field(default_factory=dict)

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: tuple[Any, ...] = ()) -> Document:
        """As of every form."""
        document = {} if document is None else document
        before = {key: dict(counts) for key, counts in document.get("counts", {}).items()}
        dial = document.get("dial")
        Form.read(self, draft, unit, document, under)
        for key, counts in document.get("counts", {}).items():
            if counts != before.get(key):
                counts.pop("confirmed", None)
        if document.get("dial") != _written(dial):
            document.pop("dial_confirmed", None)
        return document

    def overruled(self, document: Document) -> Iterator[tuple[str, Path, Any]]:
        """What was said to be knitted, where the piece was counted and has another number."""
        for key, counts in document.get("counts", {}).items():
            if counts.get("counted") and counts.get("knitted") not in (None, counts["counted"]):
                yield f"count-{key}", ("counts", key, "knitted"), counts["knitted"]


def _written(dial: Document | None) -> str | None:
    """A dial of a document as its field has it."""
    if dial is None:
        return None
    return f"{dial['number']}.{dial['marks']}" if dial.get("marks") else str(dial["number"])


def knitted_form(
    kind: PieceKind, piece: Piece | None, planned: Document, built: Construction, dial: str = ""
) -> KnittedForm:
    """The form of a piece: what was counted on it is put right as counted, all else is as knitted.

    planned  what is planned for such a piece; a piece that has a planned count of its own was knitted by that one
    dial     the one that was advised; empty where none was
    """
    own_planned = {key: count.planned for key, count in piece.counts.items() if count.planned} if piece else {}
    planned = {**planned, **own_planned}
    across, along = count_points(kind, piece, planned, built)

    def count(key: str, name: str) -> Field:
        own = piece.counts.get(key) if piece else None
        said = "counted" if own is not None and own.counted else "knitted"
        rows = name == "rows"
        return Field(
            f"count-{key}",
            point_name(key),
            "count",
            f"planned {planned[key]}" if key in planned else "",
            place=("counts", key, said),
            own=ROWS if rows else STITCHES,
            alone=wants.counted_at(key, rows=rows),
        )

    like = {field.name: field for field in KNITTED}
    band = Field("rib_rows", "in the rib", "count", place=("rib", "rows"), own=ROWS, alone="Rows in the rib")
    return KnittedForm(
        (
            *group("stitches", *(count(key, "stitches") for key in across)),
            *group("rows", band, *(count(key, "rows") for key in along)),
            *group(
                "yarn", replace(like["dial"], label="dial", hint=dial_advised(dial)), replace(like["lot"], label="lot")
            ),
            *group("unlike", *(like[name] for name in _UNLIKE)),
        ),
        {f"count-{key}": planned[key] for key in (*across, *along) if key in planned},
    )
