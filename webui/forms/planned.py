"""The form of planned counts: a field for each width and length of each piece that anything plans."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.advice.rest.pieces import known_by
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.points import HALF_FRONTS, POINTS, PieceKind
from fitcheck.words import wants
from fitcheck.words.knitted import planned_label, size_says
from webui.forms.fields import Field, Form, group
from webui.forms.typed import ROWS, STITCHES


def kinds_planned(make: Make) -> list[PieceKind]:
    """The kinds of pieces that a make has counts for, or will have: of its construction; halves where it is open."""
    kinds: list[PieceKind] = []
    for kind in CONSTRUCTIONS[make.construction].pieces:
        kinds += HALF_FRONTS if kind == "front" and make.opens else [kind]
    return [*kinds, *(kind for kind in make.planned if kind not in kinds)]


def planned_form(make: Make, household: Household, asked: Iterable[tuple[PieceKind, str]] = ()) -> Form:
    """The form of a make: what the chosen size says stands under its field, which is empty then.

    asked  pieces, each with the point without whose count it cannot be knitted
    """
    lacking = [*asked]
    of_size = make.model_copy(update={"planned": {}})
    fields: list[Field] = []
    for kind in kinds_planned(make):
        said = planned_counts(of_size, household, kind)
        keys = {known_by(kind), *said, *make.planned.get(kind, {}), *(key for of, key in lacking if of == kind)}
        for key in sorted(keys, key=lambda key: POINTS[key].knitted):
            rows = POINTS[key].direction == "along"
            field = Field(
                f"planned-{kind}-{key}",
                planned_label(key, rows=rows),
                "count",
                size_says(make.size or "", said[key]) if key in said else "",
                place=("planned", kind, key),
                own=ROWS if rows else STITCHES,
                alone=wants.planned_at(kind, key, rows=rows),
            )
            fields += group(kind, field)
    return Form(tuple(fields))
