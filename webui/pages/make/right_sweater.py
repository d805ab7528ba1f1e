"""Whether a piece was laid beside the sweater that it is to fit: asked where it is far off at every point."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fitcheck import words
from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make
from fitcheck.records.readings import Reading
from fitcheck.reports.shapes import Report
from webui.pages import ground, views

FAR = 0.25
"""How far the piece may be off at every point, as a share of what is wanted, before the sweater is asked about
(assumed): blocking, another dial or another size bring hardly more."""
FEWEST = 2
"""Points that must say so: one alone is a reading to look at, not a sweater."""


def other_sweater(found: Report, make: Make) -> str:
    """The question whether it is the right sweater; empty where the piece is near it somewhere, or it was kept."""
    against = [one for one in found.points if one.source == "garment" and one.measured and one.wanted]
    if len(against) < FEWEST or all(one.confirmed for one in _readings(found, make)):
        return ""
    shares = [one.difference.value / one.wanted.value for one in against if one.wanted]
    smaller = all(share < -FAR for share in shares)
    if not smaller and not all(share > FAR for share in shares):
        return ""
    figures = [
        f"{words.point_name(one.key)} {ground.figure(one.measured.value)} against {ground.length(one.wanted.value)}"
        for one in against[:3]
        if one.measured and one.wanted
    ]
    piece, sweater = words.piece_name(found.head), words.reference_name(found.head)
    return (
        f"Is this the right sweater? {ground.capital(piece)} is more than a quarter "
        f"{'smaller' if smaller else 'larger'} than {sweater} makes it at every point that was read: "
        f"{views.listed(figures)}."
    )


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


def _readings(found: Report, make: Make) -> Iterator[Reading]:
    piece = by_key(make.pieces, found.head.piece)
    at = stage_of(piece) if piece else None
    if piece is not None and at is not None:
        for listed in piece.stages[at].readings.values():
            yield from (one for one in listed if one.counts)
