"""What is still to knit by the advice: every piece with its planned and its new counts, and what they measure.

    width = count x stitch width,  length = rows x row height + bands that the piece has

as the piece lies, washed and blocked, seams included, bands that come later not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Protocol

from fitcheck.advice.alteration import LOWER_ENDS, MARK, Alteration, of_halves
from fitcheck.advice.left import PAIRED, TWINS, pair_there, pieces_left
from fitcheck.advice.rest.bands import NOT_SWATCHED, BandStitch, BandToCome, bands_to_come
from fitcheck.advice.rest.count_series import like_planned
from fitcheck.advice.rest.demands import NO_DEMANDS, Demands, demands
from fitcheck.advice.rest.nested import LOWEST, PARTS, above, more_rows
from fitcheck.advice.rest.pieces import How, Note, RestCount, RestPiece, known_by
from fitcheck.advice.rest.planned import counts_to_come, planned_counts, repeat_of, size_table_of, taken_rows
from fitcheck.advice.rest.sizes_ahead import Stretched
from fitcheck.estimates.numbers import CannotSay
from fitcheck.estimates.piece import CountedDirection
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.points import BODY, HALF_FRONTS, POINTS, REPEATED, SLEEVES, PieceKind


class Deed(Protocol):
    """A way to go on: its code, and what changes."""

    @property
    def code(self) -> str: ...  # noqa: D102 - the code

    @property
    def alterations(self) -> Sequence[Alteration]: ...  # noqa: D102 - what changes

    @property
    def alone(self) -> bool: ...  # noqa: D102 - at the lower end this piece alone changes


UNDOES = ("rip_back", "knit_again")
"""What knits this piece or a part of it anew."""
WHOLE_COUNTS = ("this_piece", "like_this_piece")
"""What gives a piece a count, and no change of its planned one."""


@frozen
class Rest:
    """What is still to knit and to change; empty before there is an answer, and once the make is finished.

    pieces   the piece on the table where it changes, then those still to be knitted
    parts    changes that are no count of a piece: seams, bands, or a part without a count
    bands    bands that no piece has yet
    demands  what all the counts keep, and where one does not
    open     nothing is decided yet: the counts are the planned ones
    """

    pieces: tuple[RestPiece, ...] = ()
    parts: tuple[Alteration, ...] = ()
    bands: tuple[BandToCome, ...] = ()
    demands: Demands = NO_DEMANDS
    open: bool = False

    @property
    def changes(self) -> bool:
        """Whether anything is to be knitted otherwise than it was planned."""
        return bool(self.parts) or any(count.changed for piece in self.pieces for count in piece.counts)

    @property
    def any(self) -> bool:
        """Whether there is anything to show."""
        return bool(self.pieces or self.parts or self.bands)


def still_to_knit(
    make: Make,
    household: Household,
    piece: Piece,
    action: Deed,
    *,
    dial: str | None,
    sizes: Mapping[CountedDirection, float],
    kinds: Sequence[PieceKind],
    rib: BandStitch | CannotSay = NOT_SWATCHED,
    stretch: Stretched | None = None,
) -> Rest:
    """List what is still to knit and to change by an action.

    piece   the piece on the table
    action  the advised way to go on
    dial    setting at which it has the piece knitted again; None = as it was
    sizes   stitch width (across) and row height (along) of what is knitted next [mm]
    kinds   kinds of pieces of the construction that are still to be knitted
    rib     stitch of the bands, or why nothing is known of it
    stretch  what the sizes hold of a stretch of the piece on the table
    """
    if make.finished is not None:
        return Rest()
    left = pieces_left(make, kinds)
    work = _Work(make, household, piece, action, dial if action.code == "knit_again" else None, sizes, left)
    to_come = (work.of_kind(kind, stretch).to_come(kind) for kind in left)
    listed = [work.on_the_table(), *work.beside_it(), *to_come]
    pieces = tuple(rest_piece for rest_piece in listed if rest_piece.counts or rest_piece.asks)
    return Rest(
        pieces,
        work.parts(pieces),
        bands_to_come(make, action.alterations, pieces, rib),
        demands(make, household, pieces),
        action.code == "measure_again" and any(rest_piece.counts for rest_piece in pieces),
    )


@frozen
class _Work:
    """What the counts are made from: the parameters of `still_to_knit`, and the pieces that are still to come."""

    make: Make
    household: Household
    piece: Piece
    action: Deed
    dial: str | None
    sizes: Mapping[CountedDirection, float]
    left: Sequence[PieceKind]

    @property
    def _told_whole(self) -> tuple[str, ...]:
        """What answers with a count that the piece to come then has; every other change is one of its planned count."""
        return (*WHOLE_COUNTS, "other_body_piece") if self.action.code == "knit_again" else WHOLE_COUNTS

    def of_kind(self, kind: PieceKind, stretch: Stretched | None) -> _Work:
        """The same with the sizes of a kind of piece."""
        if stretch is None:
            return self
        return replace(self, sizes={way: mm * stretch.share(kind, way) for way, mm in self.sizes.items()})

    def on_the_table(self) -> RestPiece:
        """The piece on the table, with what is knitted again or altered of it."""
        kind = self.piece.piece
        if self.dial:
            own = {key: counts.planned for key, counts in self.piece.counts.items() if counts.planned}
            planned = {**own, **planned_counts(self.make, self.household, kind)}
            again = tuple(self._count(key, planned[key]) for key in _as_knitted(planned))
            return RestPiece(kind, "again_at_dial", again, dial=self.dial)
        altered = {
            alteration.point: alteration
            for alteration in self.action.alterations
            if alteration.by in ("this_piece", *LOWER_ENDS)
        }
        counts = {key: own.best for key, own in self.piece.counts.items() if own.best}
        altered |= self._over_all(altered, counts) | self._marked(altered)
        anew: Mapping[str, How] = {"rip_back": "rip_back", "knit_again": "again"}
        how = anew.get(self.action.code, "at_the_end")
        # All of it is knitted again, so all of its counts are named.
        keys = {**counts, **altered} if how == "again" else altered
        listed = tuple(self._count(key, counts.get(key), altered.get(key)) for key in _as_knitted(keys))
        return RestPiece(kind, how, listed)

    def beside_it(self) -> Iterator[RestPiece]:
        """Knitted pieces whose lower ends are altered as this one's is: they are sewn together row by row."""
        if self.action.alone:
            return
        for other in self.make.standing:
            if other.id == self.piece.id or other.piece in self.left:
                continue
            counts = {key: own.best for key, own in other.counts.items() if own.best}
            counts |= {key: now for key, (_, now) in taken_rows(self.make, other).items()}
            altered = self._at_that_end(other.piece, {}, counts)
            listed = tuple(self._count(key, counts[key], altered[key]) for key in _as_knitted(altered))
            yield RestPiece(other.piece, "at_the_end", listed)

    def to_come(self, kind: PieceKind) -> RestPiece:
        """A piece that is still to be knitted."""
        planned = self._planned(kind)
        said = planned_counts(self.make, self.household, kind)
        like = {key: TWINS[kind] for key, count in planned.items() if count != said[key]}
        model = self._model(kind)
        for key, counts in model.counts.items() if model is not None else ():
            assert model is not None
            half = kind in HALF_FRONTS and TWINS[kind] != model.piece and POINTS[key].direction != "along"
            if counts.best and key not in planned and kind in POINTS[key].pieces and not half:
                planned[key], like[key] = counts.best, model.piece
        deeds = self._altered(kind)
        for key, count in self._of_its_twin(kind, model).items():
            if model is not None and key not in deeds and planned.get(key, count) != count:
                planned[key], like[key] = count, model.piece
        notes: list[Note] = []
        if model and like and TWINS.get(model.piece) != kind:
            notes.append("taken_as_knitted")
        altered = self._as_this_one(deeds | self._at_that_end(kind, deeds, planned), planned)
        for key, alteration in altered.items():
            if key not in planned and alteration.count is not None:
                planned[key], like[key] = alteration.count - self._step(alteration), self.piece.piece
            if alteration.by == "front_rows_and_cap":
                notes.append("cap_anew")
        lacks = CONSTRUCTIONS[self.make.construction].lacks
        keys = [key for key in {**planned, **altered} if key not in lacks]
        altered = {
            key: alteration if alteration.by in LOWER_ENDS else self._still_to_change(kind, alteration)
            for key, alteration in altered.items()
        }
        altered |= self._over_all(altered, planned)
        if kind == "front" and "neck_width" in like:
            altered |= self._neck_between(altered)
        listed = tuple(self._count(key, planned.get(key), altered.get(key), like.get(key)) for key in _as_knitted(keys))
        if self.action.code == "knit_again" and not self.dial and listed:
            notes.append("wait")
        asks = known_by(kind)
        # What a front takes from its back is a guess; of a pair, one is knitted as the other.
        given = asks in planned and (asks not in like or like[asks] in (TWINS.get(kind), kind))
        other = kind in PAIRED and pair_there(self.make, kind) > 0
        return RestPiece(kind, "planned", listed, tuple(notes), None if given else asks, other=other)

    def _of_its_twin(self, kind: PieceKind, model: Piece | None) -> dict[str, int]:
        """The counts of the sleeve that is knitted and stays: the other is knitted like it, whatever was planned.

        A count that was taken from the advice stands; at another dial the planned ones come out right. Half a front
        may have other counts than its twin: it makes up what back and twin lack.
        """
        if model is None or model.piece not in SLEEVES or kind not in SLEEVES:
            return {}
        if self.dial or self.action.code == "measure_again":
            return {}
        taken = {count.point for count in self.make.taken_now if count.piece == kind}
        return {key: counts.best for key, counts in model.counts.items() if counts.best and key not in taken}

    def _at_that_end(
        self, kind: PieceKind, altered: Mapping[str, Alteration], planned: Mapping[str, int]
    ) -> dict[str, Alteration]:
        """Rows at a lower end as changes of every length of a piece that ends there, also of one that nobody read."""
        end = next((alteration for alteration in self.action.alterations if alteration.by in LOWER_ENDS), None)
        pairs = (BODY, (*BODY, "side_panel")), (SLEEVES, SLEEVES), (("side_panel",), ("side_panel",))
        if end is None or self.action.code == "knit_again":
            return {}
        if not any(self.piece.piece in mine and kind in theirs for mine, theirs in pairs):
            return {}
        return {
            key: replace(end, point=key, count=None)
            for key in planned
            if key not in altered and (key == "panel_length" or LOWEST in POINTS[key].zones)
            if POINTS[key].direction == "along"
        }

    def _as_this_one(self, altered: dict[str, Alteration], planned: Mapping[str, int]) -> dict[str, Alteration]:
        """The changes of a piece that is still to come, counted from its own plan.

        What this piece is knitted anew with, the other gets too; at a lower end it gets the rows that this one then
        has, and its mark where this one's then is: they are sewn together row by row.
        """
        alike: dict[str, Alteration] = {}
        marks = self._marks
        for key, alteration in altered.items():
            if alteration.by in self._told_whole and alteration.count is not None and key in planned:
                if alteration.count != planned[key]:
                    alike[key] = replace(alteration, stitches=alteration.count - planned[key])
                continue
            # A panel has the rows of the side that it is sewn to.
            sewn_to = self.piece.counts.get("to_underarm") if key == "panel_length" else None
            own = self.piece.counts.get(key, sewn_to)
            alteration = marks[key] if alteration.by == MARK else alteration
            step = self._step(alteration)
            if alteration.by in (*LOWER_ENDS, MARK) and own is not None and own.best and key in planned and step:
                moved = self._step(marks[key]) if key in marks and alteration.by != MARK else 0
                rows = {part: of.best for part, of in self.piece.counts.items() if of.best and part not in marks}
                left = own.best + step + moved - planned[key] - more_rows(above(key), rows, planned)
                if not left:
                    continue
                alteration = replace(alteration, mm=alteration.mm * left / step, stitches=left)
            alike[key] = alteration
        return alike

    @property
    def _marks(self) -> dict[str, Alteration]:
        """What moves with the mark of a straight armhole, per length that ends at it: as many rows on either side."""
        marks = {change.point: change for change in self.action.alterations if change.by == MARK}
        armhole = marks.pop("armhole_depth", None)
        if armhole is None:
            return marks
        rows = self._step(armhole)
        below = {key: replace(mark, mm=-armhole.mm, stitches=-rows) for key, mark in marks.items()}
        return {**below, "armhole_depth": replace(armhole, stitches=rows)}

    def _marked(self, altered: Mapping[str, Alteration]) -> dict[str, Alteration]:
        """Lengths of this piece that end at a mark that moves, where rows at its lower end move it too."""
        moved: dict[str, Alteration] = {}
        for key, mark in self._marks.items() if altered else ():
            end = altered.get(key)
            if end is not None and end.stitches is not None:
                mark = replace(end, mm=end.mm + mark.mm, stitches=end.stitches + self._step(mark))
            if key in self.piece.counts:
                moved[key] = mark
        return moved

    def _over_all(self, altered: Mapping[str, Alteration], counts: Mapping[str, int]) -> dict[str, Alteration]:
        """Lengths over all of a piece, where a part of it above the underarm gets other rows."""
        steps = {key: self._step(alteration) for key, alteration in altered.items()}
        longer: dict[str, Alteration] = {}
        for key in PARTS:
            changed = [altered[part] for part in above(key) if steps.get(part) and altered[part].by != MARK]
            whole = altered.get(key)
            if key not in counts or not changed or (whole is not None and whole.by in WHOLE_COUNTS):
                continue
            rows = steps.get(key, 0) + sum(steps[part.point] for part in changed)
            mm = math.fsum(part.mm for part in (*changed, *([whole] if whole else ())))
            longer[key] = Alteration(key, (whole or changed[0]).by, mm, rows, counts[key] + rows)
        return longer

    def _neck_between(self, altered: Mapping[str, Alteration]) -> dict[str, Alteration]:
        """The neck of a front as wide at its shoulders as at its chest, where nobody planned it: it takes what the
        chest takes, or the front's shoulders were others than those that they are sewn to."""
        chest = altered.get("chest")
        straight = CONSTRUCTIONS[self.make.construction].armhole == "straight"
        if not straight or chest is None or not chest.stitches or "neck_width" in altered:
            return {}
        return {"neck_width": replace(chest, point="neck_width", count=None)}

    def _still_to_change(self, kind: PieceKind, alteration: Alteration) -> Alteration:
        """What is left of a change where its count was taken before: the piece on the table asks for all of it again.

        The other body piece is weighed with its planned counts, taken ones too, and what this piece is knitted anew
        with is a count; every other change is counted from what stood there before.
        """
        taken = next(
            (count for count in self.make.taken_now if (count.piece, count.point) == (kind, alteration.point)), None
        )
        step = self._step(alteration)
        a_count = alteration.by in ("other_body_piece", *WHOLE_COUNTS)
        if a_count or taken is None or taken.instead_of is None or not step:
            return alteration
        left = step - (taken.count - taken.instead_of)
        return replace(alteration, mm=alteration.mm * left / step, stitches=left)

    def parts(self, pieces: Sequence[RestPiece]) -> tuple[Alteration, ...]:
        """What is altered that is no count of any piece; at another dial the planned counts come out right."""
        if self.dial:
            return ()
        counted = {(count.key, count.by) for piece in pieces for count in piece.counts if count.by != MARK}
        return tuple(
            alteration for alteration in self.action.alterations if (alteration.point, alteration.by) not in counted
        )

    def _count(
        self, key: str, before: int | None, altered: Alteration | None = None, like: PieceKind | None = None
    ) -> RestCount:
        step = self._step(altered, before) if altered else 0
        now = before + step if before is not None else None
        size = self.sizes.get("along" if POINTS[key].direction == "along" else "across")
        gives, band = None, 0.0
        if now and size:
            band = self._band_mm(key)
            gives = now * size + band
        amount = altered.mm if altered else 0.0
        return RestCount(key, before, like, step, now, amount, altered.by if altered else None, gives, band)

    def _step(self, altered: Alteration, before: int | None = None) -> int:
        """A change in stitches or rows; from the size of what is knitted next where the alteration says none.

        before  count that was planned: stitches keep its parity and whole repeats, on the bed
        """
        along = POINTS[altered.point].direction == "along"
        size = self.sizes.get("along" if along else "across")
        if altered.stitches or not size:
            return altered.stitches or 0
        if along:
            return round(altered.mm / size)
        if before is None or not altered.mm:
            return 0
        whole = repeat_of(self.make, size_table_of(self.make, self.household)) if altered.point in REPEATED else (1, 0)
        machine = by_key(self.household.machines, self.make.machine)
        nearest = like_planned(before, whole).nearest(
            before + altered.mm / size, 1, machine.needles if machine else None
        )
        return 0 if nearest is None else nearest - before

    def _band_mm(self, key: str) -> float:
        """How much of a piece's length is a band and no plain rows [mm]."""
        point = POINTS[key]
        if point.direction != "along" or not point.band:
            return 0.0
        return sum(band.mm_in_piece for band in self.make.bands if band.edge == point.band)

    def _altered(self, kind: PieceKind) -> dict[str, Alteration]:
        """What the advice changes on a piece that is still to be knitted, per point."""
        if self.dial:
            # At another dial the planned counts come out right.
            return {}
        own = self.piece.piece
        bodies, sleeves = own in BODY and kind in BODY, own in SLEEVES and kind in SLEEVES
        partner = _partners(own, kind)
        twin = TWINS.get(own) == kind or (own == kind and kind in PAIRED)
        makers = {
            "hem": bodies or (twin and kind == "side_panel"),
            "cuff_band": sleeves,
            "other_body_piece": partner,
            "like_this_piece": partner or kind == "side_panel",
            "front_rows_and_cap": partner,
            MARK: partner,
            "side_panel": kind == "side_panel",
            "sleeve": kind in SLEEVES,
            "twin": twin,
            # A deed that fixes the first fixes its twin for nothing.
            "this_piece": twin,
        }
        altered: dict[str, Alteration] = {}
        # What another piece answers for itself goes before what it gets because this one does; an end moves a mark too.
        for alteration in sorted(
            self.action.alterations, key=lambda change: (change.by == "this_piece", change.by == MARK)
        ):
            alike = alteration.by == "this_piece" and self._alike(kind, alteration)
            if alteration.by == "like_this_piece" and not POINTS[alteration.point].is_on(kind):
                continue
            if makers.get(alteration.by) or alike:
                # Two halves share a change across the front; one beside a knitted half makes all of it.
                both = kind in HALF_FRONTS and TWINS[kind] in self.left
                shared = both and own == "back" and alteration.by == "other_body_piece"
                altered.setdefault(alteration.point, _of_half(alteration, kind) if shared else alteration)
            elif alteration.by == "this_piece" and kind == "side_panel" and alteration.point == "to_underarm":
                # A panel is sewn to it row by row.
                altered.setdefault("panel_length", replace(alteration, point="panel_length"))
        return altered

    def _alike(self, kind: PieceKind, alteration: Alteration) -> bool:
        """Whether the other body piece gets the count with which this one is knitted anew.

        It is sewn to this one above the underarm and row by row below it; and where nobody planned a count of it, it
        is taken from this one.
        """
        if self.action.code not in UNDOES or not _partners(self.piece.piece, kind):
            return False
        point = POINTS[alteration.point]
        sewn = point.above_underarm or point.direction == "along"
        like = kind not in HALF_FRONTS and point.key not in planned_counts(self.make, self.household, kind)
        return point.is_on(kind) and (sewn or like)

    def _planned(self, kind: PieceKind) -> dict[str, int]:
        """What was planned of a piece to come; a count of half a front that was planned is the knitted half's."""
        came = counts_to_come(self.make, self.household, kind)
        return {key: came[key] for key in planned_counts(self.make, self.household, kind)}

    def _model(self, kind: PieceKind) -> Piece | None:
        """The piece whose counts a piece takes where it has none of its own: its twin, a front its back, half of one
        the back's rows."""
        for piece in reversed(self.make.standing):
            if piece.piece in (TWINS.get(kind), kind if kind in PAIRED else None):
                return piece
        if _partners(self.piece.piece, kind) and self.piece.piece not in HALF_FRONTS:
            return self.piece
        return None


def _partners(one: PieceKind, other: PieceKind) -> bool:
    """Whether one is a back and the other a front, whole or half."""
    return one in BODY and other in BODY and (one == "back") != (other == "back")


def _of_half(altered: Alteration, kind: PieceKind) -> Alteration:
    """What one half of an open front takes of a change across both."""
    stitches = altered.stitches
    if stitches is None:
        return replace(altered, mm=altered.mm / 2, count=None)
    mine = of_halves(stitches)[0 if kind == "left_front" else 1]
    return replace(altered, mm=altered.mm * mine / stitches if stitches else 0.0, stitches=mine, count=None)


def _as_knitted(keys: Iterable[str]) -> list[str]:
    """Points in the order in which they are knitted."""
    return sorted(keys, key=lambda key: POINTS[key].knitted)
