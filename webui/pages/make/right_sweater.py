"""Is this the right sweater? What a report says of it, and the make's document once it is answered."""

from __future__ import annotations

from typing import Any

from fitcheck.advice.rest.right_sweater import BesideGarment, RightSweater, right_sweater
from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report


def asked_of(found: Report, make: Make) -> RightSweater | None:
    """The question whether it is the right sweater; None where it need not be asked."""
    piece = by_key(make.pieces, found.head.piece)
    at = stage_of(piece) if piece else None
    if piece is None or at is None or make.finished is not None:
        return None
    beside = [
        BesideGarment(one.key, one.measured.value, one.wanted.value, one.difference.value)
        for one in found.points
        if one.source == "garment" and one.measured and one.wanted
    ]
    return right_sweater(beside, (one for listed in piece.stages[at].readings.values() for one in listed))


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
