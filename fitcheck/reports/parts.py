"""What the steps tell of the fabric and of the sizes: one figure for report, commands, pages and API."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isclose
from typing import TYPE_CHECKING

from fitcheck.records.machines import Dial
from fitcheck.reports.copied import copied_first
from fitcheck.reports.decided import Decided
from fitcheck.reports.steps import Steps, of_make

if TYPE_CHECKING:
    from fitcheck.advice.fabric.shapes import ClickReport, FabricAnswer
    from fitcheck.advice.sizes.answers import FirstPiece, SizesAnswer
    from fitcheck.advice.sizes.table import TableLooked
    from fitcheck.records.makes import Make


MOST_CLICKS = 7
"""Clicks in a strip: two numbers of a dial with two marks between, as wide as a phone (ours, assumed)."""


def parts_of(
    told: Steps, *, in_short: bool = False
) -> tuple[FabricAnswer | None, SizesAnswer | None, FirstPiece | None]:
    """What the swatches and the size table answer, where the make has them, and what to knit first.

    in_short  of the fabric no more than `fabric_answer` has in short, of sizes beside a piece that stays `sizes_of`
    """
    given = told.given
    begins = _begins(told)
    if not given.swatches and given.make.size_table is None and not begins:
        return None, None, None
    looked = _looked_at(told)
    fabric = fabric_told(told, looked, in_short=in_short) if given.swatches else None
    if given.make.size_table is None and not begins:
        return fabric, None, None
    sizes = sizes_told(told, fabric, looked, in_short=in_short and _stays(told))
    return fabric, sizes if given.make.size_table is not None else None, sizes.first


def _stays(told: Steps) -> bool:
    """Whether a piece was judged and is not knitted again: which size to knit is no question any more."""
    return isinstance(told.decided, Decided) and told.decided.advice.action.code != "knit_again"


def _begins(told: Steps) -> bool:
    """Whether nothing was knitted yet: a piece of which only the setting is written down is one that is planned."""
    make = told.given.make
    knitted = any(count.knitted or count.counted for piece in make.pieces for count in piece.counts.values())
    return make.finished is None and not knitted and not any(piece.stages for piece in make.pieces)


def fabric_told(told: Steps, looked: TableLooked | None = None, *, in_short: bool = False) -> FabricAnswer:
    """What the make's fabric does; a piece that is all there is tells its own, though nothing else by it.

    looked    the size table checked already
    in_short  as of `fabric_answer`
    """
    from fitcheck.advice.fabric.answer import fabric_answer
    from fitcheck.advice.fabric.of_make import fabric_of

    given, looked = told.given, looked or _looked_at(told)
    known = told.ahead or fabric_of(given.make, given.household, told.hands.tape, doubts=told.doubts.counts)
    answer = fabric_answer(given.make, given.household, known, looked, in_short=in_short)
    at = _knit_at(answer)
    if at is None or at.dial == answer.dial:
        return answer
    # Before the first piece what is knitted next is knitted at the likeliest of the dials that were swatched.
    assumed = tuple(code for code in known.assumed if code != "dial_of_swatch")
    known = replace(known, dial=at.position, written=at.dial, assumed=assumed)
    return fabric_answer(given.make, given.household, known, looked)


def _knit_at(answer: FabricAnswer) -> ClickReport | None:
    """The click at which the first piece is knitted; None where pieces keep theirs, or nothing says one."""
    if answer.dials.keeps is not None:
        return None
    return next((click for click in answer.dials.clicks if click.dial == answer.dials.knit_at), None)


def sizes_told(
    told: Steps,
    fabric: FabricAnswer | None,
    looked: TableLooked | None = None,
    *,
    named: Dial | None = None,
    each_click: bool = False,
    in_short: bool = False,
) -> SizesAnswer:
    """Which size's numbers to knit, at the dial of what comes next, beside the dials that were swatched about it.

    fabric  what the swatches answer; None without any
    looked  the size table checked already
    named   a dial that they are asked for, whatever is advised
    each_click  beside every click between the swatched dials, as far as they make a strip (`MOST_CLICKS`), instead of
            the swatched dials next to it
    in_short  as of `sizes_of`
    """
    from fitcheck.advice.sizes.which_size import sizes_of

    given, known = told.given, told.ahead
    # What is seamed to a piece keeps its dial, whatever another would bring.
    at = _knit_at(fabric) if fabric is not None else None
    dial = at.position if at is not None else known.dial if known else None
    if named is not None and known is not None:
        dial = named.position(known.marks)
    looked, begins = looked or _looked_at(told), _begins(told)

    def of(make: Make, beside: Sequence[float] = ()) -> SizesAnswer:
        return sizes_of(
            make,
            given.household,
            known.fabric if known else None,
            pool=told.hands.tape,
            dial=dial,
            looked=looked,
            beside=beside,
            begins=begins,
            which_fabric=known.asked if known else None,
            in_short=in_short,
        )

    beside: list[float] = []
    if fabric is not None and dial is not None and (at or named):
        beside = _clicks_about(fabric, dial) if each_click else _beside(fabric, dial)
    answer = of(given.make, beside)
    if answer.first is None:
        return answer
    return replace(answer, first=copied_first(given, answer.first, lambda make: of(make).first))


def sizes_beside(
    told: Steps, answer: SizesAnswer, size: str, fabric: FabricAnswer | None, *, named: Dial | None = None
) -> SizesAnswer:
    """The answer with another size of the pattern beside its best; the same where the pattern has no such size.

    A size that is only looked at is not the one that would be knitted: what comes first stays the answer's.
    """
    if answer.size(size) is None or size == answer.best:
        return answer
    make = told.given.make.model_copy(update={"size": size})
    beside = sizes_told(of_make(told, make), fabric, named=named)
    return replace(beside, first=answer.first, chosen=answer.chosen)


def _beside(fabric: FabricAnswer, position: float) -> list[float]:
    """The swatched dials next to the one that is knitted at: one tighter, one looser, as far as there are any."""
    dials = fabric.dials
    swatched = [click.position for click in dials.clicks if click.dial in dials.swatched]
    tighter, looser = [dial for dial in swatched if dial < position], [dial for dial in swatched if dial > position]
    return [*([max(tighter)] if tighter else []), *([min(looser)] if looser else [])]


def _clicks_about(fabric: FabricAnswer, position: float) -> list[float]:
    """The other clicks of a strip: those between the tightest and the loosest swatched dial, the nearest first."""
    clicks = [
        click.position for click in fabric.dials.clicks if not click.outside and not isclose(click.position, position)
    ]
    return sorted(clicks, key=lambda click: abs(click - position))[: MOST_CLICKS - 1]


def _looked_at(told: Steps) -> TableLooked:
    from fitcheck.advice.sizes.table import look_at_table

    return look_at_table(told.coming)
