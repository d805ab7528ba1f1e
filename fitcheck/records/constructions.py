"""Constructions: which pieces a sweater has, which points they carry, and what divides the round measure.

Set-in sleeve, side panels and drop shoulder are worked out; raglan and open fronts are prepared: their points
are known, and what cannot be compared is refused with the reason (fit rule 12; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from fitcheck.records.points import PieceKind

ConstructionKey = Literal["set_in", "side_panels", "drop_shoulder", "raglan"]


Armhole = Literal["curved", "straight"]

USUAL: ConstructionKey = "set_in"
"""How a sweater is built where nobody says it."""


@dataclass(frozen=True, slots=True)
class Construction:
    """One way of building a sweater from pieces.

    pieces            pieces in the usual order of knitting
    family            constructions of one family have armholes and sleeves in the same places
    sleeve_starts_at  the garment's width at whose ends its sleeves begin; empty where no width says it
    lacks             points that this construction does not have, each with the reason
    armhole           curved, or straight down from a shoulder as wide as the chest
    not_drawn         why body and sleeves cannot be drawn from their points; empty where they can
    panels            whether side panels carry a part of the round measure
    """

    key: ConstructionKey
    name: str
    pieces: tuple[PieceKind, ...]
    family: str
    sleeve_starts_at: str = ""
    lacks: Mapping[str, str] = field(default_factory=dict)
    armhole: Armhole = "curved"
    not_drawn: str = ""
    panels: bool = False


_NO_ARMHOLE_SEAM = "has no armhole seam at the shoulder, so there is no shoulder width to compare"
_STRAIGHT = "the armhole of a drop shoulder is straight: use armhole depth"
_CONSTRUCTIONS = (
    Construction("set_in", "set-in sleeve", ("back", "front", "sleeve"), "set_in", "shoulder_width"),
    Construction(
        "side_panels",
        "side panels",
        ("back", "front", "side_panel", "sleeve"),
        "set_in",
        "shoulder_width",
        panels=True,
    ),
    Construction(
        "drop_shoulder",
        "drop shoulder",
        ("back", "front", "sleeve"),
        "drop_shoulder",
        "chest",
        lacks=MappingProxyType(
            {
                "shoulder_width": f"a drop shoulder {_NO_ARMHOLE_SEAM}",
                "cap_height": "the sleeve of a drop shoulder has no cap",
                "armhole_diagonal": _STRAIGHT,
                "armhole_edge": _STRAIGHT,
            }
        ),
        armhole="straight",
    ),
    Construction(
        "raglan",
        "raglan",
        ("back", "front", "sleeve"),
        "raglan",
        lacks=MappingProxyType(
            {
                "shoulder_width": f"a raglan {_NO_ARMHOLE_SEAM}",
                "shoulder_seam": "a raglan has no shoulder seam",
                "cap_height": "the sleeve of a raglan has no cap",
            }
        ),
        not_drawn="what is measured on a raglan does not say where its slanting edges begin",
    ),
)

CONSTRUCTIONS: Mapping[str, Construction] = MappingProxyType(
    {construction.key: construction for construction in _CONSTRUCTIONS}
)
