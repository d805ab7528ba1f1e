"""Which size's numbers to knit: every size in this fabric with its chance, the best, a mix, free counts.

Sizes are ranked by their widths. Rows are free on a machine, so lengths are reckoned anew from the printed
measure; shaping that the pattern counts in rows changes height and is listed with its error (fit rule 9).
"""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.advice.groups import GroupAsked
from fitcheck.advice.sizes.answers import AtDial, FreeCounts, SizeAnswer, SizesAnswer
from fitcheck.advice.sizes.choice import HARDLY_ANY, best_size, mixed, side_by_side
from fitcheck.advice.sizes.definitions import shoulders_asked, sleeve_asked
from fitcheck.advice.sizes.fabric import KnownSize, known_sizes
from fitcheck.advice.sizes.first_piece import first_piece
from fitcheck.advice.sizes.free import free_counts, free_planned
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.advice.sizes.points import asked_points
from fitcheck.advice.sizes.table import NO_TABLE, TableLooked, look_at_table
from fitcheck.advice.target.to_come import ToCome
from fitcheck.estimates.fabric.fit import Fabric
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.estimates.readings import Pool
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import MARKS, Machine, written_dial
from fitcheck.records.makes import Make
from fitcheck.records.size_tables import Size

COUNTS_KNITTED = CannotSay("counts_knitted")


def sizes_of(
    make: Make,
    household: Household,
    fabric: Fabric | None,
    *,
    pool: Pool | None = None,
    dial: float | None = None,
    looked: TableLooked | None = None,
    beside: Sequence[float] = (),
    begins: bool = False,
    which_fabric: GroupAsked | None = None,
    in_short: bool = False,
) -> SizesAnswer:
    """Answer which size's numbers to knit.

    fabric  fitted to the swatches (and pieces) of the make; None or an empty one = the pattern's own gauge is
            taken as met: measures then, and no chances
    pool    the household's repeatability of the tape
    looked  the size table checked already, which no fabric changes
    dial    dial number of the pieces to come; None = that of the make's last piece, else the fabric's centre
    beside  other dial numbers that the sizes are told at too, in one table
    begins  no piece is there yet: what to knit first is answered too, and what comes before it
    which_fabric  the groups of swatches that nothing tells apart; the fabric is the largest
    in_short  where one is best only how likely each fits: no lengths, no mix, no counts of one's own

    The least: one swatch with its width, a wanted chest, two chest counts. A point without a wanted figure, a
    count or a gauge carries CannotSay with what would help. Source of the chance: model 3 (`chance_all_fit`);
    a flat body width is the mean of back and front, whose own deviations halve each other.
    """
    looked = looked or look_at_table(ToCome(make, household, pool))
    table, check = looked.table, looked.check
    machine = by_key(household.machines, make.machine)
    marks = machine.marks if machine is not None else MARKS
    dial = _dial(make, machine, fabric) if dial is None else dial
    here = _Ahead.of(make, household, fabric, dial, looked, pool, in_short=in_short)
    plan, sizes, best, assumed = here.plan, here.sizes, here.best, here.plan.assumed()
    settled = in_short and isinstance(best, str)
    at_dials = []
    if dial is not None and isinstance(here.across, KnownSize) and table is not None:
        others = {other: _at_dial(here, make, household, fabric, other, looked, pool) for other in beside}
        every = {dial: here.in_short(), **others} if others else {}
        at_dials = [AtDial(written_dial(other, marks), *every[other]) for other in sorted(every)]
    first = None
    if begins:
        at_dial = None if dial is None else (dial, written_dial(dial, marks))
        first = first_piece(make, household, plan, sizes, best, here.free, fabric, at_dial, which_fabric)
    return SizesAnswer(
        make=make.id,
        size_table=table.id if table is not None else None,
        dial=dial if isinstance(here.across, KnownSize) else None,
        stitch=plan.stitch.quantity() if plan.stitch is not None else _said(here.across),
        row=plan.row.quantity() if plan.row is not None else _said(here.along),
        table=check,
        against=plan.against(sizes),
        sizes=sizes,
        chosen=make.size if table is not None else None,
        best=best,
        side_by_side=side_by_side(sizes, best, make.size, plan.weights) if isinstance(best, str) else best,
        mixed=COUNTS_KNITTED if settled else mixed(plan, table.sizes if table is not None else (), sizes, best),
        free_counts=here.free,
        free_planned=free_planned(make, here.free),
        refused=plan.asked.refused,
        assumed=assumed,
        dial_written=written_dial(dial, marks) if dial is not None and isinstance(here.across, KnownSize) else None,
        dials=tuple(at_dials),
        first=first,
        sleeve=sleeve_asked(sizes),
        shoulders=shoulders_asked(table),
    )


@frozen
class _Ahead:
    """What the pieces to come are at one dial: their stitch and row, every size, the best, counts bound to none."""

    across: KnownSize | CannotSay
    along: KnownSize | CannotSay
    plan: SizePlan
    sizes: tuple[SizeAnswer, ...]
    best: str | CannotSay
    free: FreeCounts | CannotSay

    @staticmethod
    def of(
        make: Make,
        household: Household,
        fabric: Fabric | None,
        dial: float | None,
        looked: TableLooked,
        pool: Pool | None,
        *,
        in_short: bool = False,
    ) -> _Ahead:
        table, check = looked.table, looked.check
        machine = by_key(household.machines, make.machine)
        across, along = known_sizes(fabric, dial)
        asked = looked.asked
        if asked.of_fabric or looked.coming.make is not make:
            coming = looked.coming if looked.coming.make is make else ToCome(make, household, pool)
            sizes_mm = (size.estimate() if isinstance(size, KnownSize) else None for size in (across, along))
            asked = asked_points(coming, table, *sizes_mm)
        plan = SizePlan.of(table, machine, asked, check, across, along)
        listed = table.sizes if table is not None else ()
        sizes = tuple(plan.size_across(size) if in_short else plan.size(size) for size in listed)
        best = best_size(sizes) if table is not None else NO_TABLE
        settled = in_short and isinstance(best, str)
        free = COUNTS_KNITTED if settled else free_counts(plan, make, table, machine)
        return _Ahead(across, along, plan, sizes, best, free)

    def in_short(self) -> _InShort:
        """The best size, its chance, and counts bound to none."""
        return _in_short(self.sizes, self.best, self.free)


_InShort = tuple[str | CannotSay, float | CannotSay, FreeCounts | CannotSay]


def _in_short(sizes: Sequence[SizeAnswer], best: str | CannotSay, free: FreeCounts | CannotSay) -> _InShort:
    if isinstance(best, CannotSay):
        return best, best, free
    return best, next(size.all_fit for size in sizes if size.name == best), free


def _at_dial(
    here: _Ahead,
    make: Make,
    household: Household,
    fabric: Fabric | None,
    dial: float,
    looked: TableLooked,
    pool: Pool | None,
) -> _InShort:
    """The same at another dial, no more than a table of dials needs.

    Of what is wanted at a width, a number that is meant of a piece as it lies alone hangs on the stitch: its seams are
    in it, and so many stitches are taken off it. Every other figure is the same at every dial.
    """
    if any(number.meant == "piece" for number in make.fits.numbers.values()):
        return _Ahead.of(make, household, fabric, dial, looked, pool).in_short()
    table, machine = here.plan.table, here.plan.machine
    assert table is not None
    plan = SizePlan.of(table, machine, here.plan.asked, looked.check, *known_sizes(fabric, dial))
    sizes: list[SizeAnswer] = []
    reached = HARDLY_ANY  # below it no chance ranks a size, and all are said to be under it
    for size in _about(table.sizes, here.best):
        sizes.append(plan.size_across(size, at_least=reached))
        chance = sizes[-1].all_fit
        if sizes[-1].impossible is None and isinstance(chance, float):
            reached = max(reached, chance)
    order = {size.name: place for place, size in enumerate(table.sizes)}
    sizes.sort(key=lambda size: order[size.name])
    return _in_short(sizes, best_size(sizes), free_counts(plan, make, table, machine))


def _about(sizes: Sequence[Size], best: str | CannotSay) -> list[Size]:
    """The sizes, those next to the best at another dial first: one of them is likely the best here."""
    place = next((place for place, size in enumerate(sizes) if size.name == best), 0)
    return [size for _, size in sorted(enumerate(sizes), key=lambda entry: abs(entry[0] - place))]


def _said(size: KnownSize | CannotSay) -> Quantity | CannotSay:
    """A size as the answer carries it."""
    return size if isinstance(size, CannotSay) else size.quantity()


def _dial(make: Make, machine: Machine | None, fabric: Fabric | None) -> float | None:
    """Dial of the make's last piece, None where nobody said it; before any piece the fabric's centre, if it has one."""
    if fabric is None or fabric.centre is None:
        return None
    marks = machine.marks if machine is not None else MARKS
    last = next((piece for piece in reversed(make.standing) if piece.dial or piece.stages), None)
    if last is None:
        return fabric.centre
    return last.dial.position(marks) if last.dial else None
