"""The rest of the sweater: counts, seams and yarn as one answer, and the sheet of a piece when it is asked for.

It is worked out from the steps of the report when a page or a command asks: plans and caps are drawn only then.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Literal, TypeGuard

from fitcheck.advice.rest.demands import Unmet
from fitcheck.advice.rest.pieces import AS_PLANNED
from fitcheck.advice.rest.still_to_knit import Rest
from fitcheck.advice.to_come.as_planned import as_planned
from fitcheck.advice.to_come.band_plans import sheet_of_band
from fitcheck.advice.to_come.counted_rest import counted_rest
from fitcheck.advice.to_come.making_up import ArmholeSaid, armholes_said, made_up
from fitcheck.advice.to_come.notches import notches_of
from fitcheck.advice.to_come.picked_up import BandUp, bands_up
from fitcheck.advice.to_come.plans_of import AssumedShape, PlannedPiece, plans_of, rib_rows
from fitcheck.advice.to_come.seams import Seam
from fitcheck.advice.to_come.standing import or_else, or_why
from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.advice.to_come.ways_out import Refused, refused_of
from fitcheck.advice.to_come.yarn_left import YarnLeft, yarn_left
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.lines import Head, Sheet
from fitcheck.knitting.plan import Plan
from fitcheck.knitting.sheet import sheet
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import MOST_NEEDLES
from fitcheck.records.makes import BAND_KIND
from fitcheck.records.points import PieceKind
from fitcheck.records.sheet_kinds import BAND_KINDS, BandKind, SheetKind
from fitcheck.reports.choose import chosen
from fitcheck.reports.digest import digest_of
from fitcheck.reports.granted import cautions_of_wearer
from fitcheck.reports.shapes import NO_ANSWER
from fitcheck.reports.steps import Steps, steps

SCHEMA = "fitcheck-rest/1"
"""Number of the shape of this answer."""
FINISHED = CannotSay("finished")
NOTHING_LEFT = CannotSay("nothing_left")
KNITTED = CannotSay("knitted")
NOT_OF_THIS_MAKE = CannotSay("no_such_piece")
NOT_CLEAN = CannotSay("sheet_faults")


Waits = Literal["undecided", "again"]
First = Literal["block_again", "rip_back"]
FIRST_THE_ANSWER = CannotSay("no_counts", of="undecided")
KNITTED_AGAIN = CannotSay("no_counts", of="again")
_WAITS: Mapping[Waits, CannotSay] = {"undecided": FIRST_THE_ANSWER, "again": KNITTED_AGAIN}


@frozen
class DrawnPiece:
    """What a plan comes to: of a knitted piece as well as of one to come.

    kind, id  which; no id where it is to come
    why       why there is no sheet of it; None where there is
    rows      rows that are knitted, and loops in them; 0 without a plan
    assumed   what of its shape nobody said
    """

    kind: PieceKind
    id: str | None
    why: CannotSay | None
    rows: int = 0
    loops: int = 0
    assumed: tuple[AssumedShape, ...] = ()


@frozen
class RestAnswer:
    """The rest of one make.

    next    the piece to cast on next; None where nothing is left, or nothing can be said
    pieces  those still to knit, with every count
    drawn   every piece of the make as it is drawn
    seams   in the order of making up
    bands   those that are picked up along the edges of the pieces
    armholes  how those of the knitted pieces were shaped, or are drawn
    yarn    whether it lasts, or why that cannot be said
    why     why nothing can be said of the rest; None where something can
    waits   why no piece is cast on yet: undecided (the answer comes first), again (a piece is knitted again, and read,
            before its partner); None where one can be
    first   what the advice has done to the piece on the table, which is read again then, before the next is cast on;
            None where nothing is
    refused  the first piece to come that cannot be knitted as it was counted, and the ways out; None where all can
    broken  planned counts of the pieces to come that are no whole repeats, and stay
    cautions  codes of what to mind about who wears it
    """

    schema: str
    digest: str
    make: str
    make_name: str
    next: PieceKind | None
    pieces: tuple[PieceToKnit, ...]
    drawn: tuple[DrawnPiece, ...]
    seams: tuple[Seam, ...]
    yarn: YarnLeft | CannotSay
    why: CannotSay | None = None
    waits: Waits | None = None
    first: First | None = None
    bands: tuple[BandUp, ...] = ()
    armholes: tuple[ArmholeSaid, ...] = ()
    refused: Refused | None = None
    broken: tuple[Unmet, ...] = ()
    cautions: tuple[str, ...] = ()


@frozen
class TheRest:
    """The answer, and the plans behind it, of which sheets are made.

    told     the steps that it goes on from
    planned  every piece that can be drawn, knitted or to come
    counted  the list of the rest, with the counts of the plans; None where nothing is planned
    """

    answer: RestAnswer
    told: Steps
    planned: tuple[PlannedPiece, ...] = ()
    counted: Rest | None = None

    def sheet(self, kind: SheetKind) -> Sheet | CannotSay:
        """The sheet of a piece or a band that is still to knit; none is shown that the replay has not passed."""
        written = self._sheet_of_band if is_band(kind) else self._sheet_of_piece
        return or_why(partial(written, kind), f"sheet of the {kind}")

    def band(self, kind: SheetKind) -> BandUp | None:
        """A band that is picked up; None where there is none of its kind."""
        return next((band for band in self.answer.bands if BAND_KIND[band.edge] == kind), None)

    def _sheet_of_piece(self, kind: SheetKind) -> Sheet | CannotSay:
        piece = next((piece for piece in self.planned if piece.id is None and piece.kind == kind), None)
        if piece is None:
            knitted = any(drawn.kind == kind for drawn in self.answer.drawn)
            return KNITTED if knitted else NOT_OF_THIS_MAKE if self.answer.why is None else self.answer.why
        if self.answer.waits is not None:
            return _WAITS[self.answer.waits]
        if not isinstance(piece.plan, Plan):
            return piece.plan
        make = self.told.given.make
        notches = notches_of(piece, self.planned, make.construction)
        open_loops = make.choices.cast_on == "waste_yarn"
        written = sheet(piece.plan, rib_rows=rib_rows(make, piece), notches=notches, on_waste_yarn=open_loops)
        return _knitted_through(written, _above(self.told, written.head, self.answer.yarn))

    def _sheet_of_band(self, kind: SheetKind) -> Sheet | CannotSay:
        band = self.band(kind)
        if band is None:
            return NOT_OF_THIS_MAKE if self.answer.why is None else self.answer.why
        if self.answer.waits is not None:
            return _WAITS[self.answer.waits]
        written = sheet_of_band(band)
        if isinstance(written, CannotSay):
            return written
        head = _above(self.told, written.head, self.answer.yarn)
        return _knitted_through(written, replace(head, dial=_dial_of_rib(self.told)))


def is_band(kind: SheetKind) -> TypeGuard[BandKind]:
    """Whether a sheet is that of a band that is picked up."""
    return kind in BAND_KINDS


def _knitted_through(written: Sheet, head: Head) -> Sheet | CannotSay:
    """The sheet under its whole head, once the replay has passed it."""
    from fitcheck.knitting.replay import replay  # only where a sheet is asked for: a report starts faster without

    done = replay(written, needles=head.bed or MOST_NEEDLES)
    return NOT_CLEAN if done.faults else replace(written, head=head)


def _dial_of_rib(told: Steps) -> str:
    """The dial of the swatch that tells the bands; empty where none does: a rib is knitted tighter than plain."""
    if not told.given.swatches:
        return ""
    from fitcheck.advice.fabric.rib import rib_swatch  # only where something was swatched: it starts faster without

    swatched = rib_swatch(told.given.swatches, told.given.household)
    return swatched[0].dial.written() if swatched is not None and swatched[0].dial is not None else ""


def _above(told: Steps, head: Head, yarn: YarnLeft | CannotSay) -> Head:
    """What stands above the lines of a sheet: whose it is, and at what it is knitted."""
    given = told.given
    machine = by_key(given.household.machines, given.make.machine)
    named = by_key(given.household.yarns, given.make.yarn)
    knitted = [piece for piece in given.make.standing if piece.dial is not None]
    dial = knitted[-1].dial if knitted else None
    lots = yarn.lots.lots if isinstance(yarn, YarnLeft) and yarn.lots is not None else {}
    return replace(
        head,
        make=given.make.name,
        dial=dial.written() if dial is not None else "",
        yarn=named.name if named is not None else "",
        lot=lots.get(head.piece, ""),
        bed=machine.needles if machine is not None else None,
    )


def the_rest(source: str | Path | bytes | Mapping[str, Any] | Household, *, make: str | None = None) -> TheRest:
    """The rest of the sweater for one make: what to cast on next, every count, seams, yarn, and sheets by `sheet`.

    source  a household file (path, bytes or mapping) or a household already opened
    make    key of the make; None takes the only one

    Raises RecordsError with every fault when the records are wrong, ReportError when the make is unknown.
    """
    from fitcheck.records.files import open_household

    household = source if isinstance(source, Household) else open_household(source)
    return rest_told(steps(chosen(household, make)))


def rest_told(told: Steps) -> TheRest:
    """The rest of the sweater by the steps of one answer."""
    make, household = told.given.make, told.given.household
    rest, counting = told.rest, told.counting
    if rest is None or counting is None:
        why = FINISHED if make.finished else NO_ANSWER if told.judged is None else NOTHING_LEFT
        return TheRest(_answer(told, (), (), (), why, why), told)
    sizes, to_knit = told.sizes, told.to_knit
    if isinstance(to_knit, CannotSay):
        return TheRest(_answer(told, (), (), (), to_knit, to_knit), told)
    planned = plans_of(make, household, rest, to_knit, sizes)
    if not planned:
        why = _no_plans(told)
        return TheRest(_answer(told, (), (), (), why, why), told)
    if to_knit and _waits(rest) is None:
        to_knit = or_else(partial(as_planned, to_knit, planned, counting.chances), "rows of the plans", to_knit)
    seams = made_up(make, to_knit, planned, counting.altered)
    machine = by_key(household.machines, make.machine)
    bands = bands_up(make, rest.bands, planned, bed=machine.needles if machine is not None else None)
    left = partial(yarn_left, make, household, to_knit, planned, seams, bands)
    yarn = or_why(left, "yarn") if to_knit else NOTHING_LEFT
    answer = _answer(told, to_knit, planned, seams, yarn, None if to_knit else NOTHING_LEFT)
    refused = or_else(partial(refused_of, to_knit, planned, make.choices.lifted, counting.worse), "ways out", None)
    none: tuple[ArmholeSaid, ...] = ()
    armholes = or_else(partial(armholes_said, make, planned), "armholes", none)
    broken = tuple(_broken(rest, to_knit))
    answer = replace(answer, bands=bands, armholes=armholes, refused=refused, broken=broken)
    counted = counted_rest(make, household, rest, answer.pieces, by=AS_PLANNED)
    return TheRest(answer, told, planned, counted)


def _no_plans(told: Steps) -> CannotSay:
    """Why no piece can be planned: a count that is in doubt comes first, else the size that nothing tells yet."""
    if told.doubt is not None:
        return FIRST_THE_ANSWER
    if told.sizes.keys() >= {"across", "along"}:
        return NO_ANSWER
    piece = told.given.piece
    if piece is None or not piece.counts:
        return CannotSay("no_counts", of="stitch")
    lacks = "row" if "across" in told.sizes else "width" if "along" in told.sizes else "both"
    return CannotSay("no_counts", of=lacks, piece=piece.piece)


def _answer(
    told: Steps,
    to_knit: tuple[PieceToKnit, ...],
    planned: tuple[PlannedPiece, ...],
    seams: tuple[Seam, ...],
    yarn: YarnLeft | CannotSay,
    why: CannotSay | None,
) -> RestAnswer:
    make = told.given.make
    coming = next((piece.kind for piece in to_knit if piece.asks is None), None)
    waits = _waits(told.rest) if to_knit and not _twins_alone(told, to_knit) else None
    return RestAnswer(
        SCHEMA,
        digest_of(told.given),
        make.id,
        make.name,
        None if waits else coming,
        to_knit,
        tuple(_drawn(piece) for piece in planned),
        seams,
        yarn,
        why,
        waits,
        _first(told, coming) if waits is None and coming is not None else None,
        cautions=cautions_of_wearer(told.given.wearer),
    )


def _first(told: Steps, coming: PieceKind) -> First | None:
    """What is done first to the piece on the table: the next answers to how it comes out where a count is changed."""
    if isinstance(told.decided, CannotSay) or told.rest is None:
        return None
    code = told.decided.advice.action.code
    answers = any(piece.kind == coming and any(count.changed for count in piece.counts) for piece in told.rest.pieces)
    return code if (code == "block_again" or code == "rip_back") and answers else None


def _broken(rest: Rest, to_knit: Iterable[PieceToKnit]) -> Iterator[Unmet]:
    """Counts that are no whole repeats and stay so; not those of which whole repeats are demanded, kept or lifted."""
    for piece in to_knit:
        together = piece.together
        held = (*together.demands, *together.lifted) if together is not None else ()
        demanded = {key for demand in held if demand.code == "repeat" for key in demand.terms}
        for unmet in rest.demands.broken:
            stands = piece.counts.get(unmet.key) if (unmet.piece, unmet.how) == (piece.kind, "planned") else None
            if stands is not None and stands.before is None and unmet.key not in demanded:
                yield unmet


def _waits(rest: Rest | None) -> Waits | None:
    """Why nothing is cast on yet: nothing is decided, or a piece is knitted again before its partner."""
    if rest is None or rest.open:
        return "undecided"
    return "again" if any("wait" in piece.notes for piece in rest.pieces) else None


def _twins_alone(told: Steps, to_knit: Iterable[PieceToKnit]) -> bool:
    """Whether nothing is left but twins of knitted pieces: whatever becomes of another piece, they are as those are."""
    on_table = told.given.piece.piece if told.given.piece is not None else None
    return all(piece.other and piece.kind != on_table for piece in to_knit)


def _drawn(piece: PlannedPiece) -> DrawnPiece:
    if not isinstance(piece.plan, Plan):
        return DrawnPiece(piece.kind, piece.id, piece.plan)
    assert piece.amount is not None
    return DrawnPiece(piece.kind, piece.id, None, *piece.amount, piece.assumed)
