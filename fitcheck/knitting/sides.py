"""The sides of a piece below its underarm: from one count to the next, spread over the rows between."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise

from fitcheck.knitting.plan import Edge, Segment, Side
from fitcheck.knitting.refusals import need
from fitcheck.knitting.spacing import arranged_gaps, spaced_rows
from fitcheck.knitting.writing import PartWriter, chain
from fitcheck.records.choices import EndRule
from fitcheck.records.faults import Accepts, in_words
from fitcheck.records.frozen import frozen


@frozen
class SideRun:
    """One run of a side.

    start  counter at which it begins
    rows   that it takes, the plain ones among them
    plain  rows without shaping at its end
    steps  stitches at the side, outward; below 0 inward
    """

    start: int
    rows: int
    plain: int
    steps: int


def side_runs(levels: Sequence[tuple[int, int]], plain: int, *, sides: int = 2) -> tuple[SideRun, ...]:
    """The runs of a side.

    levels  (counter, stitches) from the cast-on up to the underarm
    plain   rows without shaping below the last of them [rows]
    sides   how many sides share a difference: 2, or 1 where the other is straight

    Errors: ShapingError where a difference cannot be shared, or the levels do not rise.
    """
    runs = []
    for place, ((start, stitches), (end, then)) in enumerate(pairwise(levels)):
        steps, odd = divmod(then - stitches, sides)
        need(not odd, "stitches", then, in_words(f"{stitches} and an even number more or less"))
        spared = plain if steps and place == len(levels) - 2 else 0
        need(end - start >= spared, "rows", end - start, Accepts("rows_at_least", least=spared))
        runs.append(SideRun(start, end - start, spared, steps))
    return tuple(runs)


def need_sleeve_rows(to_underarm: int, above: int) -> None:
    """Refuse a sleeve that is shorter than its cap or its slanting edges are high.

    to_underarm  rows below the underarm, what is left of its length;  above: rows above it
    """
    need(to_underarm >= 0, "sleeve_rows", to_underarm + above, Accepts("rows_at_least", least=above))


def write_side(writer: PartWriter, runs: Sequence[SideRun], *, only: Side | None = None) -> None:
    """The steps of a side's runs, at both sides or at one of them.

    Errors: ShapingError where steps do not go into their rows.
    """
    for place, run in enumerate(runs):
        # The other side's edge needle comes a row later.
        later = writer.choices.increase == "edge" and run.steps > 0
        rule = writer.choices.side_rule
        if rule == "ends" and (place or abs(run.steps) == 1):
            rule = "last"  # one step has no two ends, and a run above another begins after the other's last step
        for row in _step_rows(abs(run.steps), run.rows - later, run.plain, rule):
            writer.side_step(run.start + row, 1 if run.steps > 0 else -1, only)


def _step_rows(steps: int, over: int, plain: int, rule: EndRule) -> tuple[int, ...]:
    """Rows of a run's steps; with the usual rule in the order that the fewest lines say."""
    if rule != "last":
        return spaced_rows(steps, over, plain=plain, rule=rule)
    return tuple(accumulate(arranged_gaps(steps, over, plain=plain)))


def side_edge(runs: Sequence[SideRun]) -> Edge:
    """The chain of a side: each run slants up to its plain rows."""
    parts = [(Segment(abs(run.steps), run.rows - run.plain), Segment(0, run.plain)) for run in runs]
    return chain([part for pair in parts for part in pair])
