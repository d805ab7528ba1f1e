"""Constructions: which pieces a sweater has, which points they carry, and what divides the round measure.

Each is knitted to its end, with or without an open front; what cannot be compared is refused with the reason (fit rule
12; common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from types import MappingProxyType
from typing import Literal

from fitcheck.records.frozen import frozen
from fitcheck.records.points import PieceKind

ConstructionKey = Literal["set_in", "side_panels", "drop_shoulder", "raglan"]


Armhole = Literal["curved", "straight", "slanting"]
SeamBy = Literal["rows", "stitches", "length"]
"""How two edges are laid to each other: row by row, stitch by stitch, or along their seam lines with ease."""
ROWS_EASE = (-0.02, 0.02)
"""What a seam of rows can take up, the partner shorter or longer (common practice, no source)."""
A_STITCH_OVER = (-0.05, 0.0)
"""What both sides of a sleeve's underarm take together of a panel with an odd stitch (common practice, no source)."""
CAP_EASE = (0.0, 0.05)
"""Shares by which a cap's sewn edge may be longer than its armhole (common practice, no source)."""
MORE_EASE = (0.0, 0.07)
"""The same where the knitter takes it, because no cap fits: small puckers may show (common practice, no source)."""
Part = Literal["back", "front", "sleeve", "side_panel"]
"""A part of the garment; a front in two halves is one part, so are two sleeves."""
JoinKey = Literal[
    "shoulder",
    "side",
    "underarm",
    "armhole",
    "sleeve",
    "panel_back",
    "panel_front",
    "panel_top",
    "raglan_back",
    "raglan_front",
]


@frozen
class EdgeOfPart:
    """An edge of a part, without its side: both sides are alike.

    times  how often it goes into the join: both underarms of a sleeve are twice one
    """

    part: Part
    edge: str
    times: int = 1


@frozen
class JoinOfParts:
    """Edges that are sewn together.

    edges, partners  what lies on the one side of the seam and on the other
    ease             least and most by which the partner may be longer, of the edge (common practice, no source)
    """

    key: JoinKey
    by: SeamBy
    edges: tuple[EdgeOfPart, ...]
    partners: tuple[EdgeOfPart, ...]
    ease: tuple[float, float] = (0.0, 0.0)


def _join(
    key: JoinKey, by: SeamBy, edge: tuple[Part, str], partner: tuple[Part, str], ease: tuple[float, float] = (0.0, 0.0)
) -> JoinOfParts:
    return JoinOfParts(key, by, (EdgeOfPart(*edge),), (EdgeOfPart(*partner),), ease)


_SHOULDER = _join("shoulder", "stitches", ("back", "shoulder"), ("front", "shoulder"))
_SIDE = _join("side", "rows", ("back", "side"), ("front", "side"), ROWS_EASE)
_UNDERARM = _join("underarm", "stitches", ("back", "underarm"), ("sleeve", "underarm"))
_SLEEVE = _join("sleeve", "rows", ("sleeve", "side"), ("sleeve", "side"))
_ARMHOLES = (EdgeOfPart("back", "armhole"), EdgeOfPart("front", "armhole"))
_CAP = JoinOfParts("armhole", "length", _ARMHOLES, (EdgeOfPart("sleeve", "cap"),), CAP_EASE)

USUAL: ConstructionKey = "set_in"
"""How a sweater is built where nobody says it."""


@frozen
class Construction:
    """One way of building a sweater from pieces.

    pieces            pieces in the usual order of knitting
    family            constructions of one family have armholes and sleeves in the same places
    sleeve_starts_at  the garment's width at whose ends its sleeves begin; empty where no width says it
    lacks             points that this construction does not have, each with the reason
    armhole           curved; straight down from a shoulder as wide as the chest; slanting up to the neck
    not_drawn         why body and sleeves cannot be drawn from their points; empty where they can
    panels            whether side panels carry a part of the round measure
    joins             which edges are sewn together
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
    joins: tuple[JoinOfParts, ...] = ()

    @property
    def may_have_panels(self) -> bool:
        """Whether side panels could be added: they end at the stitches that its underarms cast off."""
        return self.armhole == "curved" and not self.panels


_NO_ARMHOLE_SEAM = "has no armhole seam at the shoulder, so there is no shoulder width to compare"
_STRAIGHT = "the armhole of a drop shoulder is straight: use armhole depth"
_CONSTRUCTIONS = (
    Construction(
        "set_in",
        "set-in sleeve",
        ("back", "front", "sleeve"),
        "set_in",
        "shoulder_width",
        joins=(_SHOULDER, _SIDE, _UNDERARM, _CAP, _SLEEVE),
    ),
    Construction(
        "side_panels",
        "side panels",
        ("back", "front", "side_panel", "sleeve"),
        "set_in",
        "shoulder_width",
        panels=True,
        joins=(
            _SHOULDER,
            _join("panel_back", "rows", ("back", "side"), ("side_panel", "side"), ROWS_EASE),
            _join("panel_front", "rows", ("front", "side"), ("side_panel", "side"), ROWS_EASE),
            JoinOfParts(
                "panel_top",
                "stitches",
                (EdgeOfPart("side_panel", "top"), EdgeOfPart("back", "underarm"), EdgeOfPart("front", "underarm")),
                (EdgeOfPart("sleeve", "underarm", 2),),
                A_STITCH_OVER,
            ),
            _CAP,
            _SLEEVE,
        ),
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
        joins=(
            _SHOULDER,
            _SIDE,
            JoinOfParts("armhole", "length", _ARMHOLES, (EdgeOfPart("sleeve", "top"),), ROWS_EASE),
            _SLEEVE,
        ),
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
        armhole="slanting",
        not_drawn="what is measured on a raglan does not say where its slanting edges begin",
        joins=(
            _SIDE,
            _UNDERARM,
            _join("raglan_back", "rows", ("back", "raglan"), ("sleeve", "raglan")),
            _join("raglan_front", "rows", ("front", "raglan"), ("sleeve", "raglan")),
            _SLEEVE,
        ),
    ),
)

CONSTRUCTIONS: Mapping[str, Construction] = MappingProxyType(
    {construction.key: construction for construction in _CONSTRUCTIONS}
)
