"""What a sheet is of: a piece, or a band that is picked up along edges of pieces and has no points of measure."""

from __future__ import annotations

from typing import Literal

from fitcheck.records.points import KINDS, PieceKind

BandKind = Literal["neck_band", "front_band", "hem_band", "cuff_band"]
SheetKind = PieceKind | BandKind
BAND_KINDS: tuple[BandKind, ...] = ("neck_band", "front_band", "hem_band", "cuff_band")
SHEET_KINDS: tuple[SheetKind, ...] = (*KINDS, *BAND_KINDS)

RunKey = Literal[
    "back_neck",
    "back_right",
    "back_left",
    "front_neck",
    "front_right",
    "front_left",
    "front_right_neck",
    "front_left_neck",
    "sleeve_right",
    "sleeve_left",
    "rib",
    "front",
    "hem_back",
    "hem_front",
    "hem_right",
    "hem_left",
    "hem_right_panel",
    "hem_left_panel",
    "cuff",
]
"""A run of an edge; right and left are the wearer's."""
FRONT_EDGE: RunKey = "front_right_neck"
"""Where a neck band begins that runs from one front edge to the other."""
Begins = Literal["shoulder", "slant", "centre", "hem"]
"""Where the groups of a run begin to be counted."""
