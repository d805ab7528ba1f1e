"""Household files of earlier formats: one step a format turns a document into that of the next.

A step takes a document that nobody has checked yet, changes what it knows, and leaves what is wrong where the
models will find it. A released step is never changed again: the steps of the tables take them too.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fitcheck.records.households import FORMAT
from fitcheck.records.places import Path

Document = dict[str, Any]

_USUAL_OF_1 = {"rip_back": 0.40, "knit_again": 1.05, "other_counts": 0.05}
"""What format 1 took where a make said nothing [works of the piece on the table]."""
_SHARES_OF_1 = {"rip_back": ("rip_extra", 1.0 / 3.0), "knit_again": ("knit_extra", 1.0)}
"""The field that each goes over to, and the share of the work of a back that it held already (assumed)."""


def make_of_2(make: Any) -> Any:
    """A make of format 1 as format 2 writes it: what ripping and knitting again cost *beyond* the piece's own share.

    A cost that somebody had set is taken over as extra = old - share of a back, where that is not below 0, and
    dropped otherwise; the cost of other counts becomes that of printed counts as it stands. What stood there is
    kept in ``costs.before`` until somebody has seen it. A cost that stood at the usual value was never set.
    """
    costs = make.get("costs") if isinstance(make, dict) else None
    if not isinstance(costs, dict) or not _USUAL_OF_1.keys() & costs.keys():
        return make
    after = {name: value for name, value in costs.items() if name not in _USUAL_OF_1}
    before = {name: costs[name] for name, usual in _USUAL_OF_1.items() if name in costs and costs[name] != usual}
    for name, old in before.items():
        if not isinstance(old, int | float):
            continue
        if name == "other_counts":
            after.setdefault("printed_counts", old)
        else:
            extra, share = _SHARES_OF_1[name]
            if old >= share:
                after.setdefault(extra, round(old - share, 3))
    return {**make, "costs": {**after, "before": before} if before else after}


def _household_of_2(document: Document) -> Document:
    makes = document.get("makes")
    return {**document, "makes": [make_of_2(make) for make in makes]} if isinstance(makes, list) else document


def _household_of_3(document: Document) -> Document:
    """Format 3 has deeds done, rows of a band, what a make became, counts kept and photographs, unknown to format 2."""
    return document


def make_of_4(make: Any) -> Any:
    """A make of format 3 as format 4 writes it: the rows of a piece's band are those of its rib."""
    pieces = make.get("pieces") if isinstance(make, dict) else None
    if not isinstance(pieces, list) or not any(isinstance(piece, dict) and "band_rows" in piece for piece in pieces):
        return make
    return {**make, "pieces": [_piece_of_4(piece) for piece in pieces]}


def _piece_of_4(piece: Any) -> Any:
    if not isinstance(piece, dict) or "band_rows" not in piece:
        return piece
    return {("rib" if name == "band_rows" else name): _rib(name, value) for name, value in piece.items()}


def _rib(name: str, value: Any) -> Any:
    return {"rows": value} if name == "band_rows" and value is not None else value


def _household_of_4(document: Document) -> Document:
    """Format 4 has choices, shaping, ribs, open fronts, begun sheets with their taps, and how a garment was knitted."""
    makes = document.get("makes")
    return {**document, "makes": [make_of_4(make) for make in makes]} if isinstance(makes, list) else document


_STEPS: dict[int, Callable[[Document], Document]] = {1: _household_of_2, 2: _household_of_3, 3: _household_of_4}
"""From each earlier format to the next one."""

EARLIEST = min(_STEPS)
"""The earliest format that is read."""


def newest(document: Document) -> Document:
    """The document of a format that is read, as the newest writes it."""
    for number in range(document["fitcheck"], FORMAT):
        document = {**_STEPS[number](document), "fitcheck": number + 1}
    return document


def written_as(path: Path) -> Path:
    """The place where a file of an earlier format has what the newest has at a path."""
    if path[:1] == ("makes",) and path[2:4] == ("costs", "before"):
        return (*path[:3], *path[4:])
    if path[:1] == ("makes",) and path[2:3] == ("pieces",) and path[4:6] == ("rib", "rows"):
        return (*path[:4], "band_rows")
    return path
