"""Constructions: which pieces a sweater has, which points they carry, and what divides the round measure.

Set-in sleeve, side panels and drop shoulder are worked out; raglan and open fronts are prepared: their points
are known, and what cannot be compared is refused with the reason (fit rule 12; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from fitcheck.records.points import PieceKind

ConstructionKey = Literal["set_in", "side_panels", "drop_shoulder", "raglan"]


@dataclass(frozen=True, slots=True)
class Construction:
    """One way of building a sweater from pieces.

    pieces    pieces in the usual order of knitting
    lacks     points that this construction does not have, each with the reason
    panels    whether side panels carry a part of the round measure
    """

    key: ConstructionKey
    name: str
    pieces: tuple[PieceKind, ...]
    lacks: Mapping[str, str]
    panels: bool = False


_NO_ARMHOLE_SEAM = "has no armhole seam at the shoulder, so there is no shoulder width to compare"

CONSTRUCTIONS: Mapping[str, Construction] = MappingProxyType(
    {
        one.key: one
        for one in (
            Construction("set_in", "set-in sleeve", ("back", "front", "sleeve"), MappingProxyType({})),
            Construction(
                "side_panels",
                "side panels",
                ("back", "front", "side_panel", "sleeve"),
                MappingProxyType({}),
                panels=True,
            ),
            Construction(
                "drop_shoulder",
                "drop shoulder",
                ("back", "front", "sleeve"),
                MappingProxyType(
                    {
                        "shoulder_width": f"a drop shoulder {_NO_ARMHOLE_SEAM}",
                        "cap_height": "the sleeve of a drop shoulder has no cap",
                        "armhole_diagonal": "the armhole of a drop shoulder is straight: use armhole depth",
                        "armhole_edge": "the armhole of a drop shoulder is straight: use armhole depth",
                    }
                ),
            ),
            Construction(
                "raglan",
                "raglan",
                ("back", "front", "sleeve"),
                MappingProxyType(
                    {
                        "shoulder_width": f"a raglan {_NO_ARMHOLE_SEAM}",
                        "shoulder_seam": "a raglan has no shoulder seam",
                        "cap_height": "the sleeve of a raglan has no cap",
                    }
                ),
            ),
        )
    }
)
