"""The pieces beside the one on the table: those that are knitted, as constants, and those that are still to come.

Round the body lie back, front or two halves of it with their band, and side panels: a flat width of the garment is the
mean of back and front, and one panel more. An armhole is as deep as the mean of back and front, once both are knitted,
and what ends at the hem as long.
What is sewn together must agree (fit rule 27): a seam with a knitted piece is a point of the garment of its own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from fitcheck.advice.decide.altered_end import altered_end
from fitcheck.advice.decide.state import PIECE_TO_PIECE, Other, Seam
from fitcheck.advice.left import TWINS, kinds_left, pieces_left
from fitcheck.advice.rest.planned import counts_to_come, knitted_half, taken_rows
from fitcheck.advice.target.to_come import ToCome
from fitcheck.advice.target.wanted import Target
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, FRONTS, HALF_FRONTS, POINTS, SLEEVES, PieceKind

EASED, MOST_EASED = 0.01, 0.02
"""Of a seam, what is eased in unseen, and what at most, relative (fit rule 27; common practice, no source)."""
ROW_MM = 3.2
"""Row height where none is known [mm]; assumed."""
OF_A_ROW = 0.3
"""Rows of two pieces that were counted agree to this share of a row (assumed)."""
NINE_IN_TEN = 1.6449
"""Half width of the interval that holds nine in ten [standard uncertainties]."""


@frozen
class Knitted:
    """Another piece of the make that lies there blocked, as its own answer has it.

    points  what it must measure beside what it measures, per point
    off     how far it is off what is wanted, per point that was judged [mm]
    """

    points: Mapping[str, Target]
    off: Mapping[str, Estimate]


@frozen
class Beside:
    """What lies beside the piece on the table.

    others  per point, the pieces that have a share in it;  shares  this piece's own share in it [mm per mm]
    seams   with pieces that are knitted
    moved   what a knitted piece moves of what is wanted, with its standard uncertainty, per point [mm]
    twin    the same piece the other way round, still to be knitted; None where there is none
    knitted  the body piece on the other side is knitted, so none of its rows answers
    """

    others: Mapping[str, tuple[Other, ...]] = field(default_factory=dict)
    shares: Mapping[str, float] = field(default_factory=dict)
    seams: tuple[Seam, ...] = ()
    moved: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    twin: PieceKind | None = None
    knitted: bool = False


def beside(
    make: Make,
    household: Household,
    piece: Piece,
    points: Sequence[Target],
    *,
    knitted: Mapping[str, Knitted],
    coming: ToCome,
    without: frozenset[str] = frozenset(),
) -> Beside:
    """Say what lies beside a piece.

    points   what is wanted and measured of the piece, at every point
    knitted  the other pieces that are blocked and read, by their ids
    coming   what the pieces that are still to come must measure
    without  points whose planned counts are not trusted
    """
    return _Beside(make, household, piece, {target.key: target for target in points}, knitted, coming, without).all()


@dataclass
class _Beside:
    """The pieces of one make; the fields are the parameters of `beside`."""

    make: Make
    household: Household
    piece: Piece
    points: Mapping[str, Target]
    knitted: Mapping[str, Knitted]
    coming: ToCome
    without: frozenset[str]

    def __post_init__(self) -> None:
        self.marked = CONSTRUCTIONS[self.make.construction].armhole == "straight"
        self.left = pieces_left(self.make, kinds_left(self.make, self.piece))
        self.known: dict[PieceKind, Knitted] = {}
        self.counts: dict[PieceKind, Mapping[str, int]] = {}
        self.unread: dict[PieceKind, Mapping[str, int]] = {}
        self.rows: dict[PieceKind, Mapping[str, tuple[int, int]]] = {}
        for other in self.make.standing:
            if other is self.piece or other.id == self.piece.id:
                continue
            counted = {key: counts.best for key, counts in other.counts.items() if counts.best}
            if other.id in self.knitted:
                rows = taken_rows(self.make, other)
                self.known[other.piece], self.rows[other.piece] = self.knitted[other.id], rows
                self.counts[other.piece] = counted | {key: now for key, (_, now) in rows.items()}
            elif other.dial == self.piece.dial:
                self.unread[other.piece] = counted

    def all(self) -> Beside:
        kind = self.piece.piece
        twin = TWINS.get(kind)
        others, shares = {}, {}
        for key in self.points:
            found = tuple(self._others(key))
            if found:
                others[key] = found
                # Half a front has its own armhole, and the rest together with the other half.
                quarter = kind in HALF_FRONTS and key != "armhole_depth"
                shares[key] = 0.25 if quarter else 1.0 if kind == "side_panel" else 0.5
        partners: tuple[PieceKind, ...] = ("back",) if kind in FRONTS else FRONTS
        knitted = kind in BODY and not any(partner in self.left for partner in partners)
        return Beside(others, shares, tuple(self._seams()), self._cap(), twin if twin in self.left else None, knitted)

    # Widths round the body

    def _others(self, key: str) -> Iterator[Other]:
        kind, point = self.piece.piece, POINTS[key]
        round_ = point.make_up is not None and point.make_up.by == "other_body_piece"
        if kind == "side_panel" and key == "panel_width":
            # The panel takes what the knitted body pieces lack.
            for other in ("back", *FRONTS):
                if other in self.known and "chest" in self.known[other].off:
                    yield from self._knitted(other, "chest", 0.5)
            return
        if key == "armhole_depth":
            yield from self._armhole()
        if key == "to_underarm" or (point.make_up is not None and point.make_up.by == "hem"):
            yield from self._lower_end(key)
        if not round_:
            return
        if kind in HALF_FRONTS:
            yield from self._one("back", key, 0.25)
            yield from self._one(TWINS[kind], key, 0.25)
        elif kind == "front":
            yield from self._one("back", key, 0.5)
        elif kind == "back":
            yield from self._front(key)
        if CONSTRUCTIONS[self.make.construction].panels:
            yield from self._one("side_panel", key, 0.5 if kind in HALF_FRONTS else 1.0)

    def _armhole(self) -> Iterator[Other]:
        """The armhole of the knitted piece on the other side of the body, or of both halves of it.

        Shoulder and side seam join both ends of the two. One that is still to come has its planned rows, else those of
        this one, in its own row height. A mark on a straight edge is set on each piece by itself.
        """
        kind = self.piece.piece
        if kind not in ("back", *FRONTS) or self.marked:
            return
        halves = tuple(half for half in HALF_FRONTS if half in self.known or half in self.left)
        partners: tuple[PieceKind, ...] = ("back",) if kind in FRONTS else halves or ("front",)
        if all(partner in self.known for partner in partners):
            for partner in partners:
                yield from self._knitted(partner, "armhole_depth", 0.5 / len(partners))
        elif all(partner in self.left for partner in partners):
            for partner in partners:
                rows = self._planned(partner, "armhole_depth")
                yield Other(partner, 0.5 / len(partners), math.nan, planned=rows)

    def _lower_end(self, key: str) -> Iterator[Other]:
        """A length of the knitted piece on the other side that ends at the hem: the garment has the mean of both.

        The other half of a front has its part in it, as it is or as this one comes out. On a straight edge the length
        to the underarm ends at a mark, which is set on each piece by itself.
        """
        kind = self.piece.piece
        if kind not in ("back", *FRONTS) or (self.marked and key == "to_underarm"):
            return
        sides: tuple[PieceKind, ...] = FRONTS if kind == "back" else ("back",)
        partners = [side for side in sides if self._off(side, key)]
        pair = [TWINS[kind]] if partners and kind in HALF_FRONTS else []
        for part in (*partners, *pair):
            share = 0.25 if part in pair else 0.5 / len(partners)
            if off := self._off(part, key):
                yield Other(part, share, 0.0, (off.value - self.altered[part], off.u))
            else:
                yield Other(part, share, math.nan)

    @cached_property
    def altered(self) -> Mapping[PieceKind, float]:
        """Rows off (+) at the lower end of knitted body pieces since they were read [mm]."""
        return {kind: self._altered(kind, knitted) for kind, knitted in self.known.items() if kind in BODY}

    def _altered(self, kind: PieceKind, knitted: Knitted) -> float:
        for key, (before, now) in self.rows[kind].items():
            target, off = knitted.points.get(key), knitted.off.get(key)
            if off is not None and target is not None and target.measured is not None:
                taken = (before - now) * target.measured.value / before
                # Where they would take it further from what is wanted, it was read again since.
                return taken if abs(off.value - taken) < abs(off.value) else 0.0
        # A front was judged with its back.
        return altered_end(knitted.points, knitted.off, 1.0 if kind == "back" else 0.5, self.make.costs.alter_hem)

    def _off(self, kind: PieceKind, key: str) -> Estimate | None:
        """How far a knitted piece is off there; None where it is not judged."""
        return self.known[kind].off.get(key) if kind in self.known else None

    def _front(self, key: str) -> Iterator[Other]:
        """The front, or its two halves: one width where both are still to come."""
        halves = [half for half in HALF_FRONTS if half in self.known or half in self.unread or half in self.left]
        if not halves:
            yield from self._one("front", key, 0.5)
            return
        coming = [half for half in halves if half not in self.known and half not in self.unread]
        for half in halves:
            if half in self.known:
                yield from self._knitted(half, key, 0.5)
            elif half in self.unread:
                yield from self._as_counted(half, key, key, 0.5)
        wanted = [mm for half in coming if (mm := self._wanted_mm(half, key)) is not None]
        if coming and len(wanted) == len(coming):
            planned = [count for half in coming if (count := self._planned(half, key)) is not None]
            whole = sum(planned) if len(planned) == len(coming) else None
            both = (planned[0], planned[1]) if len(planned) == 2 else None
            beside = any(knitted_half(self.make, half) for half in coming) and whole is not None
            yield Other("front", 0.5, math.fsum(wanted), None, whole, like=False, halves=both, paired=beside)

    def _one(self, kind: PieceKind, key: str, share: float) -> Iterator[Other]:
        if kind in self.known:
            yield from self._knitted(kind, "panel_width" if kind == "side_panel" else key, share)
            return
        there = "panel_width" if kind == "side_panel" else key
        if kind in self.unread:
            yield from self._as_counted(kind, there, key, share)
            return
        if kind not in self.left:
            return
        own = self.points[key].wanted
        same = kind in ("back", "front") and self.piece.piece in ("back", "front")
        wanted = (own.value if own is not None else None) if same else self._wanted_mm(kind, there)
        planned = self._planned(kind, there)
        like = kind != "side_panel" and (same or kind == TWINS.get(self.piece.piece))
        if wanted is not None or like:
            # Where only an overhang was read nothing says the width: both are as they are wanted alike.
            yield Other(kind, share, math.nan if wanted is None else wanted, None, planned, like)

    def _knitted(self, kind: PieceKind, key: str, share: float) -> Iterator[Other]:
        if off := self._off(kind, key):
            yield Other(kind, share, 0.0, (off.value, off.u))

    def _as_counted(self, kind: PieceKind, there: str, key: str, share: float) -> Iterator[Other]:
        """A piece that is knitted and not yet blocked and read: as wide as its stitches are at this piece's.

        there  its point;  key: this piece's
        """
        count, own, mine = self.unread[kind].get(there), self.points[key], self._rows(key)
        same = kind in ("back", "front") and self.piece.piece in ("back", "front")
        wanted = (own.wanted.value if own.wanted is not None else None) if same else self._wanted_mm(kind, there)
        if count is None or mine is None or own.measured is None or wanted is None:
            return
        mm = count * own.measured.value / mine
        u = mm * math.hypot(PIECE_TO_PIECE, own.measured.u / own.measured.value)
        yield Other(kind, share, 0.0, (mm - wanted, u))

    def _planned(self, kind: PieceKind, key: str) -> int | None:
        return None if key in self.without else counts_to_come(self.make, self.household, kind).get(key)

    def _wanted_mm(self, kind: PieceKind, key: str) -> float | None:
        """What a piece that is still to come must measure [mm]."""
        target = self.coming.of(kind).get(key)
        return target.wanted.value if target is not None and target.wanted is not None else None

    # Seams

    def _seams(self) -> Iterator[Seam]:
        kind = self.piece.piece
        if kind == "side_panel":
            pairs = [(other, "panel_length", "to_underarm") for other in ("back", *FRONTS)]
        elif kind in SLEEVES:
            pairs = [(TWINS[kind], "sleeve_length", "sleeve_length")] if kind in TWINS else []
        else:
            beside_it: tuple[PieceKind, ...] = ("back",) if kind in FRONTS else FRONTS
            if kind in HALF_FRONTS:
                beside_it += (TWINS[kind],)
            # On a straight edge the side ends at a mark, which can be moved; the shoulder seam cannot.
            sewn = "body_length" if self.marked else "to_underarm"
            pairs = [(other, sewn, sewn) for other in beside_it]
            pairs.append(("side_panel", "to_underarm", "panel_length"))
        for other, mine, theirs in pairs:
            if other in self.known:
                yield from self._seam(other, mine, theirs)

    def _seam(self, kind: PieceKind, mine: str, theirs: str) -> Iterator[Seam]:
        own, other = self.points.get(mine), self.known[kind].points.get(theirs)
        if own is None or own.measured is None or other is None or other.measured is None:
            return
        length = own.measured.value
        rows, their_rows = self._rows(mine), self.counts[kind].get(theirs)
        row = length / rows if rows else ROW_MM
        if rows and their_rows:
            # Seams are sewn row by row.
            u = OF_A_ROW * row
            eased, most = max(EASED * length, row), max(MOST_EASED * length, row)
            yield Seam(mine, kind, (rows - their_rows) * row, u, u, eased, most, (rows, their_rows))
            return
        apart = length - other.measured.value
        u = math.hypot(own.measured.u, other.measured.u)
        if abs(apart) > NINE_IN_TEN * u:
            most = max(MOST_EASED * length, row)
            yield Seam(mine, kind, apart, u, other.measured.u, max(EASED * length, row), most)

    def _cap(self) -> dict[str, tuple[float, float]]:
        """A cap is as much higher as the armholes are deeper that are there, where the tape can tell (fit rule 27)."""
        if self.piece.piece not in SLEEVES or "cap_height" not in self.points:
            return {}
        body = [
            off
            for kind in ("back", *FRONTS)
            if kind in self.known and (off := self.known[kind].off.get("armhole_depth")) is not None
        ]
        if not body:
            return {}
        deeper, u = math.fsum(off.value for off in body) / len(body), max(off.u for off in body)
        return {"cap_height": (deeper, u)} if abs(deeper) > NINE_IN_TEN * u else {}

    def _rows(self, key: str) -> int | None:
        counts = self.piece.counts.get(key)
        return counts.best if counts is not None else None
