"""The forms of a garment: what is written of it, and one measuring with its readings."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.points import DECIDING_FIRST, POINTS
from webui.forms.fields import NOWHERE, Field, Form, named
from webui.forms.typed import PERCENT

BUILT = tuple((construction.key, construction.name) for construction in CONSTRUCTIONS.values())
STATES = (
    ("washed_flat", "washed, dried flat, not worn since"),
    ("worn", "worn"),
    ("unsaid", "not said"),
)
NEXT_POINTS = ("body_length", "to_underarm", "hem", "neck_width", "sleeve_length", "upper_arm", "cuff")
"""Points that a form asks for after the three that decide; the others stand folded."""

SETTINGS = Form(
    (
        Field(
            "name",
            "Name",
            hint="for example brown pullover",
            group="first",
            needed="A name that tells it from the others: brown pullover.",
            required=True,
        ),
        Field("wearer", "For", "choice", choices=named("wearers", "not said"), group="first"),
        Field("construction", "Built with", "choice", choices=BUILT, group="first"),
        Field("fabric", "Fabric", hint="for example plain, wool", group="fabric"),
        Field("thickness", "Thickness of the fabric", "thickness", "for example 3 mm", group="fabric"),
        Field(
            "growth_along_percent",
            "Grows in length when worn",
            "decimal",
            group="fabric",
            after="%",
            own=PERCENT,
        ),
        Field(
            "growth_across_percent",
            "Grows in width when worn",
            "decimal",
            group="fabric",
            after="%",
            own=PERCENT,
        ),
        Field("rib", "It is a rib", "check", group="worn"),
        Field("negative_ease", "It is worn stretched", "check", group="worn"),
        Field("open_front", "The front is open", "check", group="worn"),
        Field("notes", "Notes", "lines"),
    )
)


def point_heading(key: str) -> str:
    """What a point is called in a form, with "flat" where it is half of a round measure."""
    point = POINTS[key]
    return f"{point.name[:1].upper()}{point.name[1:]}{', flat' if point.flat else ''}"


MEASURING = Form(
    (
        Field("on", "Measured on", "day", group="measuring"),
        Field("state", "The garment was", "choice", choices=STATES, group="measuring", begin="washed_flat"),
        Field(
            "washes",
            "Washed before, times",
            "count",
            group="measuring",
            own=("wash", "washes"),
        ),
        Field("by", "Who measures", place=NOWHERE),
        Field(
            "anew",
            "Lifted and laid anew before each reading",
            "check",
            "Then the readings tell how steady the laying is, not only the tape.",
            place=NOWHERE,
            begin="yes",
        ),
        *(
            Field(f"at_{key}", point_heading(key), "readings", point.tape, place=("readings", key))
            for key, point in POINTS.items()
        ),
        Field("occasion_notes", "Notes", "lines", place=("notes",), rows=2),
    )
)
"""One measuring: when, in what state, and one field a point with one laying a reading."""
MORE = Form(tuple(field for field in MEASURING if field.kind == "readings" or field.place == NOWHERE))
"""More readings of a measuring that is there."""
NEW = Form((*SETTINGS.parts, *(field for field in MEASURING if field.name != "occasion_notes")))
"""All of a new garment, as its page draws it: SETTINGS reads the garment and MEASURING its first occasion."""


def point_fields(construction: str) -> dict[str, list[str]]:
    """The points that a form asks for: the deciding ones first, then the usual ones, then the rest."""
    lacks = CONSTRUCTIONS[construction].lacks if construction in CONSTRUCTIONS else {}

    def asked(keys: Iterable[str]) -> list[str]:
        return [f"at_{key}" for key in keys if key not in lacks]

    rest = [key for key in POINTS if key not in (*DECIDING_FIRST, *NEXT_POINTS)]
    return {"first": asked(DECIDING_FIRST), "next": asked(NEXT_POINTS), "rest": asked(rest)}
