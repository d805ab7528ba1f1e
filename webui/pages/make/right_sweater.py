"""Is this the right sweater? The make's document once it is answered."""

from __future__ import annotations

from typing import Any

from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report


def kept(report: Report, make: Make, document: dict[str, Any]) -> dict[str, Any]:
    """The make's document with every reading of the piece confirmed: the sweater is the right one."""
    piece = next(knitted for knitted in make.pieces if knitted.id == report.head.piece)
    written = next(entry for entry in document["pieces"] if entry["id"] == piece.id)
    at = stage_of(piece)
    if at is not None:
        for listed in written["stages"][at].get("readings", {}).values():
            for number, reading in enumerate(listed):
                listed[number] = {**(reading if isinstance(reading, dict) else {"text": reading}), "confirmed": True}
    return document
