"""Is this the right sweater? The make's document once it is answered."""

from __future__ import annotations

from typing import Any

from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report


def kept(found: Report, make: Make, document: dict[str, Any]) -> dict[str, Any]:
    """The make's document with every reading of the piece confirmed: the sweater is the right one."""
    piece = next(one for one in make.pieces if one.id == found.head.piece)
    written = next(one for one in document["pieces"] if one["id"] == piece.id)
    at = stage_of(piece)
    if at is not None:
        for listed in written["stages"][at].get("readings", {}).values():
            for number, one in enumerate(listed):
                listed[number] = {**(one if isinstance(one, dict) else {"text": one}), "confirmed": True}
    return document
