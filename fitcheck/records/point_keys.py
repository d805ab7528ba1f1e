"""The key of a point of measure as it is typed: what people call a point, and the nearest names of an unknown one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated

from pydantic import AfterValidator

from fitcheck.records.base import refused
from fitcheck.records.faults import Accepts
from fitcheck.records.points import POINTS

ALSO_CALLED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "bust": ("chest",),
        "chest_width": ("chest",),
        "width": ("chest",),
        "shoulder": ("shoulder_width",),
        "shoulders": ("shoulder_width",),
        "back_width": ("shoulder_width",),
        "cross_back": ("shoulder_width",),
        "armhole": ("armhole_depth",),
        "scye": ("armhole_depth",),
        "neck": ("neck_width",),
        "neckline": ("neck_width", "neck_depth"),
        "neck_drop": ("back_neck_drop", "neck_depth"),
        "length": ("body_length",),
        "back_length": ("body_length", "centre_back"),
        "total_length": ("body_length",),
        "side_length": ("to_underarm",),
        "side_seam": ("to_underarm",),
        "hip": ("hem",),
        "hips": ("hem",),
        "bottom": ("hem",),
        "sleeve": ("sleeve_length",),
        "sleeve_seam": ("sleeve_to_underarm",),
        "arm": ("upper_arm",),
        "bicep": ("upper_arm",),
        "biceps": ("upper_arm",),
        "sleeve_width": ("upper_arm",),
        "wrist": ("cuff",),
        "cap": ("cap_height",),
        "sleeve_cap": ("cap_height",),
    }
)
"""What people call points, and the points that they mean by it (common practice, no source)."""


def known_point(key: str) -> str:
    """Return the key of a point of the catalogue; a fault that names the nearest ones otherwise."""
    if key in POINTS:
        return key
    simple = "_".join(key.lower().replace("-", " ").replace("_", " ").split())
    near: tuple[str, ...] = (simple,) if simple in POINTS else ALSO_CALLED.get(simple, ())
    if not near:
        from difflib import get_close_matches

        near = tuple(get_close_matches(simple, POINTS, n=3, cutoff=0.5))
    if near:
        raise refused(Accepts("point_of_measure", meant=near))
    raise refused(Accepts("point_of_the_catalogue", names=tuple(POINTS)))


PointKey = Annotated[str, AfterValidator(known_point)]
"""Key of a point of measure."""
