"""Which size's numbers to knit: every size in this fabric with its chance, the best, a mix, free counts.

Sizes are ranked by their widths. Rows are free on a machine, so lengths are reckoned anew from the printed
measure; shaping that the pattern counts in rows changes height and is listed with its error (fit rule 9).
"""

from __future__ import annotations

from fitcheck.advice.sizes.answers import AtDial, SizesAnswer
from fitcheck.advice.sizes.choice import best_size, mixed, side_by_side
from fitcheck.advice.sizes.fabric import KnownSize, known_sizes
from fitcheck.advice.sizes.free import free_counts
from fitcheck.advice.sizes.plan import SizePlan
from fitcheck.advice.sizes.points import asked_points
from fitcheck.advice.sizes.table import NO_TABLE, TableLooked, look_at_table
from fitcheck.estimates.fabric.fit import Fabric
from fitcheck.estimates.numbers import CannotSay, Quantity
from fitcheck.estimates.readings import Pool
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import Machine, written_dial
from fitcheck.records.makes import Make


def sizes_of(
    make: Make,
    household: Household,
    fabric: Fabric | None,
    *,
    pool: Pool | None = None,
    dial: float | None = None,
    looked: TableLooked | None = None,
    advised: float | None = None,
) -> SizesAnswer:
    """Answer which size's numbers to knit.

    fabric  fitted to the swatches (and pieces) of the make; None or an empty one = the pattern's own gauge is
            taken as met: measures then, and no chances
    pool    the household's repeatability of the tape
    looked  the size table checked already, which no fabric changes
    dial    dial number of the pieces to come; None = that of the make's last piece, else the fabric's centre
    advised dial number that is advised for them: where it is another one, the sizes are told at it too

    The least: one swatch with its width, a wanted chest, two chest counts. A point without a wanted figure, a
    count or a gauge carries CannotSay with what would help. Source of the chance: model 3 (`chance_all_fit`);
    a flat body width is the mean of back and front, whose own deviations halve each other.
    """
    table, _, check = looked or look_at_table(make, household, pool)
    machine = by_key(household.machines, make.machine)
    dial = _dial(make, machine, fabric) if dial is None else dial
    across, along = known_sizes(fabric, dial)
    asked = asked_points(
        make,
        household,
        table,
        across.estimate() if isinstance(across, KnownSize) else None,
        along.estimate() if isinstance(along, KnownSize) else None,
        pool,
    )
    plan = SizePlan.of(table, machine, asked, check, across, along)
    sizes = tuple(plan.size(size) for size in table.sizes) if table is not None else ()
    best = best_size(sizes) if table is not None else NO_TABLE
    chosen = make.size if table is not None else None
    marks = machine.marks if machine is not None else 2
    at_advised = None
    if advised is not None and dial is not None and isinstance(across, KnownSize) and table is not None:
        at = written_dial(advised, marks)
        if at != written_dial(dial, marks):
            at_advised = _at_dial(sizes_of(make, household, fabric, pool=pool, dial=advised, looked=looked), at)
    return SizesAnswer(
        make.id,
        table.id if table is not None else None,
        dial if isinstance(across, KnownSize) else None,
        plan.stitch.quantity() if plan.stitch is not None else _said(across),
        plan.row.quantity() if plan.row is not None else _said(along),
        check,
        plan.against(sizes),
        sizes,
        chosen,
        best,
        side_by_side(sizes, best, chosen, plan.weights) if isinstance(best, str) else best,
        mixed(plan, table.sizes if table is not None else (), sizes, best),
        free_counts(plan, make, table, machine),
        asked.refused,
        plan.assumed(),
        written_dial(dial, marks) if dial is not None and isinstance(across, KnownSize) else None,
        at_advised,
    )


def _at_dial(answer: SizesAnswer, written: str) -> AtDial:
    """The best size of an answer for another dial, and what is bound to no size."""
    best = answer.size(answer.best) if isinstance(answer.best, str) else None
    told = answer.best if isinstance(answer.best, CannotSay) else CannotSay("no_size", "No size has a count.")
    return AtDial(written, answer.best, best.all_fit if best is not None else told, answer.free_counts)


def _said(size: KnownSize | CannotSay) -> Quantity | CannotSay:
    """A size as the answer carries it."""
    return size if isinstance(size, CannotSay) else size.quantity()


def _dial(make: Make, machine: Machine | None, fabric: Fabric | None) -> float | None:
    """Dial of the make's last piece that has one, else the fabric's centre; None without a centre."""
    if fabric is None or fabric.centre is None:
        return None
    marks = machine.marks if machine is not None else 2
    written = [piece.dial.position(marks) for piece in make.pieces if piece.dial is not None]
    return written[-1] if written else fabric.centre
