"""How much work a piece is, and the part of it above a row, in works of a back.

A piece's share is its widest count x its rows over the back's; counts are taken as they were knitted, planned, or
printed. Where those of one of the two are not known, its wanted width x length over the back's; else the usual share.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.advice.decide.state import DecisionPoint, RipTo, Work
from fitcheck.advice.rest.planned import planned_counts
from fitcheck.advice.target.to_come import to_come
from fitcheck.advice.target.wanted import targets
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, POINTS, SLEEVES, PieceKind

LENGTHS = ("body_length", "centre_back", "sleeve_length", "panel_length")
"""Lengths over all, whose rows are those of the piece."""
ABOVE: Mapping[RipTo, float] = {"armhole": 1 / 3, "neck": 0.1, "sleeve_underarm": 0.25}
"""Share of a piece above a row where its lengths do not say it (common practice, no source)."""


def work_of(make: Make, household: Household, piece: Piece, points: Sequence[DecisionPoint]) -> Work:
    """Say how much work a piece is, the part of it above each row that it can be ripped back to, and the sweater."""
    above, row = _above(piece, points)
    return Work(_share(make, household, piece.piece), above, _sweater(make, household), row)


def _share(make: Make, household: Household, kind: PieceKind) -> float:
    if kind == "back":
        return 1.0
    mine, back = (_stitches(make, household, one) for one in (kind, "back"))
    if not (mine and back):
        mine, back = (_size(make, household, one) for one in (kind, "back"))
    return mine / back if mine and back else make.costs.shares.of(kind)


def _stitches(make: Make, household: Household, kind: PieceKind) -> float:
    """Widest count x rows of a piece [stitches]; 0 where one is not known."""
    counts: dict[str, int] = dict(planned_counts(make, household, kind))
    for piece in make.standing:
        if piece.piece == kind:
            counts |= {key: own.best for key, own in piece.counts.items() if own.best}
    return _area({key: float(count) for key, count in counts.items()})


def _size(make: Make, household: Household, kind: PieceKind) -> float:
    """Wanted width x length of a piece [mm^2]; 0 where one is not known."""
    wanted = targets(make, to_come(kind), household)
    return _area({target.key: target.wanted.value for target in wanted.points if target.wanted is not None})


def _area(of: Mapping[str, float]) -> float:
    widest = max((value for key, value in of.items() if POINTS[key].direction == "across"), default=0.0)
    longest = next((of[key] for key in LENGTHS if key in of), 0.0)
    return widest * longest


def _sweater(make: Make, household: Household) -> float:
    """Work of all pieces of the make [works of a back]: of sleeves and panels two; the usual shares without counts."""
    back = _stitches(make, household, "back")
    work = 0.0
    for kind in CONSTRUCTIONS[make.construction].pieces:
        mine = _stitches(make, household, kind) if back else 0.0
        share = mine / back if mine else make.costs.shares.of(kind)
        work += (2 if kind in ("sleeve", "side_panel") else 1) * share
    return work


def _above(piece: Piece, points: Sequence[DecisionPoint]) -> tuple[dict[RipTo, float], dict[RipTo, int]]:
    """Share of the piece above each row that it can be ripped back to, and the row counter there."""
    rows = {key: own.best for key, own in piece.counts.items() if own.best}
    length = {point.key: point.piece_mm for point in points}
    kind = piece.piece
    above: dict[RipTo, float] = {}
    row: dict[RipTo, int] = {}
    if kind in BODY:
        whole = next((key for key in ("body_length", "centre_back") if key in rows or key in length), "")
        above["armhole"] = _part(rows, length, "to_underarm", whole, ABOVE["armhole"], rest=True)
        neck = "back_neck_drop" if kind == "back" else "neck_depth"
        above["neck"] = min(above["armhole"], _part(rows, length, neck, whole, ABOVE["neck"]))
        if "to_underarm" in rows:
            row["armhole"] = rows["to_underarm"]
        if whole in rows and neck in rows:
            row["neck"] = rows[whole] - rows[neck]
    elif kind in SLEEVES:
        above["sleeve_underarm"] = _part(rows, length, "cap_height", "sleeve_length", ABOVE["sleeve_underarm"])
        if "sleeve_to_underarm" in rows:
            row["sleeve_underarm"] = rows["sleeve_to_underarm"]
    return above, row


def _part(
    rows: Mapping[str, int], length: Mapping[str, float], part: str, whole: str, usual: float, *, rest: bool = False
) -> float:
    """One length of a piece over another [1], in rows where they were counted, else by the tape; rest: what is left."""
    for of in (rows, length):
        if of.get(part) and of.get(whole):
            share = of[part] / of[whole]
            return min(1.0, max(0.0, 1 - share if rest else share))
    return usual
