"""The forms of a garment: what is written of it, and one measuring with its readings."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.points import DECIDING_FIRST, POINTS
from fitcheck.words.phrases import capital
from webui.forms.fields import NOWHERE, Field, Form, group, named

BUILT = tuple((construction.key, construction.name) for construction in CONSTRUCTIONS.values())
STATES = (
    ("washed_flat", "washed, dried flat, not worn since"),
    ("worn", "worn"),
    ("unsaid", "not said"),
)
NEXT_POINTS = ("body_length", "to_underarm", "hem", "neck_width", "sleeve_length", "upper_arm", "cuff")
"""Points that a form asks for after the three that decide; the others stand folded."""

WHICH = "A name that tells it from the others: brown pullover."
STEADY = "Then the readings tell how steady the laying is, not only the tape."

SETTINGS = Form(
    (
        *group(
            "first",
            Field("name", "Name", hint="for example brown pullover", needed=WHICH, required=True),
            Field("wearer", "For", "choice", choices=named("wearers", "not said"), adds="wearers"),
            Field("construction", "Built with", "choice", choices=BUILT),
        ),
        *group(
            "fabric",
            Field("fabric", "Fabric", hint="for example plain, wool"),
            Field("thickness", "Thickness of the fabric", "thickness", "for example 3 mm"),
            Field("growth_along_percent", "Grows in length when worn", "decimal", after="%"),
            Field("growth_across_percent", "Grows in width when worn", "decimal", after="%"),
        ),
        *group(
            "worn",
            Field("rib", "It is a rib", "check"),
            Field("negative_ease", "It is worn stretched", "check"),
            Field("open_front", "The front is open", "check"),
        ),
        Field("notes", "Notes", "lines"),
    )
)


def point_heading(key: str) -> str:
    """What a point is called in a form, with "flat" where it is half of a round measure."""
    return f"{capital(POINTS[key].name)}{', flat' if POINTS[key].flat else ''}"


OCCASION = Form(
    group(
        "measuring",
        Field("on", "Measured on", "day"),
        Field("state", "The garment was", "choice", choices=STATES, begin="washed_flat"),
        Field("washes", "Washed before, times", "count", own=("wash", "washes")),
    )
)
"""When a garment was measured, and in what state."""
MEASURING = Form(
    (
        *OCCASION.parts,
        Field("by", "Who measures", place=NOWHERE, short=True),
        Field("anew", "Lifted and laid anew before each reading", "check", STEADY, place=NOWHERE, begin="yes"),
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
    """The points that a form asks for: three first, the deciding ones if it has them, then the usual ones, the rest."""
    lacks = CONSTRUCTIONS[construction].lacks if construction in CONSTRUCTIONS else {}

    def asked(keys: Iterable[str]) -> list[str]:
        return [f"at_{key}" for key in keys if key not in lacks]

    usual, first = asked((*DECIDING_FIRST, *NEXT_POINTS)), len(DECIDING_FIRST)
    rest = [key for key in POINTS if key not in (*DECIDING_FIRST, *NEXT_POINTS)]
    return {"first": usual[:first], "next": usual[first:], "rest": asked(rest)}
