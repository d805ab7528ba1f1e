"""The form of a person: name, and the readings on the body."""

from __future__ import annotations

from fitcheck.records.points import POINTS
from fitcheck.words import point_name
from fitcheck.words.phrases import capital
from webui.forms.fields import NOWHERE, Field, Form, group

BODY = ("chest", "waist", "hem", "shoulder_width", "upper_arm", "cuff", "sleeve_to_underarm", "armhole_depth")
"""Points that are read on a body; chest, waist, hem, upper arm and cuff round the body."""
HEAD = "Head, round"
_ON_A_BODY = {"hem": "hips", "cuff": "wrist", "sleeve_to_underarm": "arm to underarm"}


def body_heading(key: str) -> str:
    """What a point is called on a body, with "round" where it goes round."""
    name = capital(_ON_A_BODY.get(key, point_name(key)))
    return f"{name}, round" if POINTS[key].flat else name


WEARER = Form(
    (
        *group(
            "first",
            Field("name", "Name", needed="A name: the first name is enough.", required=True),
            Field("measured", "Measured on", "day"),
            Field("by", "Who measures", place=NOWHERE, short=True),
        ),
        Field("child", "A child", "check"),
        *(Field(f"at_{key}", body_heading(key), "readings", place=("body", key)) for key in POINTS),
        Field("head", HEAD, "readings"),
        Field("notes", "Notes", "lines"),
    )
)
