"""Steps spread over rows: at which counters, and in what order of gaps so that few lines say it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise, product

from fitcheck.knitting.refusals import need
from fitcheck.records.choices import EndRule
from fitcheck.records.faults import Accepts, in_words

END_RULES: Mapping[EndRule, tuple[int, int]] = {"last": (2, 0), "inside": (2, 2), "half": (1, 1), "ends": (0, 0)}
"""What stays plain before the first step and after the last, in halves of a gap: the published examples each have a
rule of their own, so it is chosen and said."""
ROWS_MORE: Mapping[EndRule, int] = {"last": 0, "inside": -1, "half": 1, "ends": 1}
"""Rows that may have a step beside the K from the first to the last: row 0, or not the last one."""
LONGEST_PATTERN = 4
"""Gaps in a pattern that is repeated: more are not kept in one's head (common practice, no source)."""

Pattern = tuple[int, ...]
Run = tuple[Pattern, int]
"""A pattern of gaps and how many times it is knitted."""


def spaced_rows(steps: int, over: int, *, multiple: int = 1, plain: int = 0, rule: EndRule = "last") -> tuple[int, ...]:
    """Counters of steps that are spread evenly, counted from where the spreading begins [rows].

    row_i = m ceil((i - 1 + a) K/(n - 1 + a + b) - 1/2), K = floor((N - e)/m), reckoned in whole numbers; (a, b) is
    (1, 0) for last, (1, 1) inside, (1/2, 1/2) half, (0, 0) ends. With last no step lies more than m/2 rows from
    straight, the least that is possible; its gaps are n - r of m q and r of m (q + 1), q, r = divmod(K, n).

    steps     n, how many
    over      N, rows to spread them over [rows]
    multiple  m, steps on every m-th row only: 2 keeps the carriage at one side
    plain     e, rows that stay plain at the end [rows]
    rule      last: the last step on the last row; inside: a gap left after it too; half: half a gap left at both
              ends; ends: a step on the first and on the last row

    Errors: ShapingError where two steps would share a row, and for counts below 0.
    Source: the gaps are the published arithmetic of hand-knitting design handbooks (1991, 2010): 14 steps over 124
    rows are 2 of 8 and 12 of 9 rows.

    >>> spaced_rows(5, 48)
    (10, 19, 29, 38, 48)
    >>> spaced_rows(5, 48, rule="inside")
    (8, 16, 24, 32, 40)
    """
    places = _places(steps, over, multiple, plain)
    before, after = END_RULES[rule]
    parts = 2 * (steps - 1) + before + after
    need(parts > 0 or not steps, "steps", steps, in_words("2 or more where the first and the last row have a step"))
    # ceil(p/q - 1/2) in whole numbers, p/q = (2 (i - 1) + 2 a) K / (2 (n - 1) + 2 a + 2 b)
    rows = tuple(multiple * -((parts - 2 * (2 * i + before) * places) // (2 * parts)) for i in range(steps))
    goes = steps <= _most(over, multiple, plain, rule) and all(row < later for row, later in pairwise(rows))
    need(goes, "steps", steps, _steps_that_fit(steps, over, multiple, plain, rule))
    return rows


def _places(steps: int, over: int, multiple: int, plain: int) -> int:
    """K, how many rows may have a step."""
    need(steps >= 0, "steps", steps, in_words("0 or more"))
    need(multiple >= 1, "multiple", multiple, in_words("1 or more"))
    need(plain >= 0, "plain", plain, in_words("0 rows or more"))
    need(over >= plain, "over", over, in_words(f"{plain} rows or more, which stay plain"))
    return (over - plain) // multiple


def _most(over: int, multiple: int, plain: int, rule: EndRule) -> int:
    """The most steps that go in."""
    return max(0, (over - plain) // multiple + ROWS_MORE[rule])


def _steps_that_fit(steps: int, over: int, multiple: int, plain: int, rule: EndRule) -> Accepts:
    """What would go in instead: fewer steps, or more rows."""
    most = _most(over, multiple, plain, rule)
    rows = max(0, steps - ROWS_MORE[rule]) * multiple + plain
    return Accepts("steps_do_not_fit", most=most, every=multiple, over=over, plain=plain, rows=rows)


@lru_cache(maxsize=512)
def arranged_gaps(steps: int, over: int, *, multiple: int = 1, plain: int = 0, off: float = 1.0) -> tuple[int, ...]:
    """The gaps of evenly spread steps (rule last) in the order that the fewest lines say [rows].

    Of all orders in which no step lies more than `off` steps from straight: the fewest lines, then the shortest
    patterns, then the least farthest distance from straight. A line is a gap or a pattern of up to four gaps, knitted
    some times over; a pattern of several gaps at least twice. Two plain runs, the shorter gap first, where they are
    near enough.

    steps, over, multiple, plain  as for spaced_rows
    off  how far a step may lie from straight [steps: shares of the mean gap]

    Errors: ShapingError as for spaced_rows.
    Source: the arrangement is ours; "2nd and 4th alternately" is published (statistics of the trade, a handbook page).

    >>> gap_lines(arranged_gaps(14, 124))
    (((8,), 2), ((9,), 12))
    >>> gap_lines(arranged_gaps(26, 64, multiple=2))
    (((2,), 2), ((4, 2, 2, 2), 6))
    """
    places = _places(steps, over, multiple, plain)
    need(steps <= places or not steps, "steps", steps, _steps_that_fit(steps, over, multiple, plain, "last"))
    if not steps:
        return ()
    short, longer = divmod(places, steps)
    runs = _fewest_runs(steps - longer, longer, off * places / steps)
    return tuple(multiple * (short + long) for pattern, times in runs for long in pattern * times)


def gap_lines(gaps: Sequence[int]) -> tuple[Run, ...]:
    """Gaps as the fewest lines that say them in their order: (pattern of up to four gaps, times).

    Of as few lines, those with the shorter patterns; a pattern of several gaps is knitted at least twice.

    gaps  rows between steps [rows]

    >>> gap_lines((2, 2, 4, 2, 4, 2, 4))
    (((2,), 1), ((2, 4), 3))
    """
    best: list[tuple[int, int, tuple[Run, ...]]] = [(0, 0, ())]
    for end in range(1, len(gaps) + 1):
        choices = []
        for length in range(1, min(LONGEST_PATTERN, end) + 1):
            pattern = tuple(gaps[end - length : end])
            times = 1
            while True:
                start = end - times * length
                lines, said, runs = best[start]
                if times >= _least_times(length):
                    choices.append((lines + 1, said + length, (*runs, (pattern, times))))
                if start < length or tuple(gaps[start - length : start]) != pattern:
                    break
                times += 1
        best.append(min(choices))
    return best[-1][2]


def _least_times(length: int) -> int:
    return 1 if length == 1 else 2


def _patterns() -> Iterator[Pattern]:
    """Patterns of short (0) and long (1) gaps that are not a shorter one repeated."""
    for length in range(1, LONGEST_PATTERN + 1):
        for pattern in product((0, 1), repeat=length):
            if all(pattern != pattern[:part] * (length // part) for part in range(1, length) if length % part == 0):
                yield pattern


_PATTERNS = tuple(_patterns())
_Runs = tuple[Run, ...]


def _fewest_runs(short: int, long: int, off: float) -> _Runs:
    """Runs of short (0) and long (1) gaps that leave straight by no more than `off` [long gaps' one row more].

    After i gaps, j of them long, the distance from straight is |j - i long/(short + long)|.
    """
    if not short or not long:
        return (((1 if long else 0,), short + long),)
    share = long / (short + long)
    if short * share <= off:
        return (((0,), short), ((1,), long))
    reached: dict[tuple[int, int], tuple[int, float, _Runs]] = {(0, 0): (0, 0.0, ())}
    while True:
        ends = [
            found
            for (zeros, ones), before in reached.items()
            for pattern in _PATTERNS
            if (found := _finished(before, pattern, (zeros, ones), (short, long), off)) is not None
        ]
        if ends:
            return min(ends)[2]
        reached = _one_run_more(reached, (short, long), off)


def _finished(
    before: tuple[int, float, _Runs], pattern: Pattern, at: tuple[int, int], want: tuple[int, int], off: float
) -> tuple[int, float, _Runs] | None:
    """The order finished with one run of a pattern, where that comes out and stays near enough."""
    ones, zeros = sum(pattern), len(pattern) - sum(pattern)
    times, rest = divmod(want[0] + want[1] - sum(at), len(pattern))
    if rest or times < _least_times(len(pattern)) or at != (want[0] - times * zeros, want[1] - times * ones):
        return None
    farthest = _farthest(pattern * times, at, want)
    if farthest > off:
        return None
    said, far, runs = before
    return said + len(pattern), max(far, farthest), (*runs, (pattern, times))


def _one_run_more(
    reached: Mapping[tuple[int, int], tuple[int, float, _Runs]], want: tuple[int, int], off: float
) -> dict[tuple[int, int], tuple[int, float, _Runs]]:
    """Where one run more of some pattern leads, the best way there."""
    further: dict[tuple[int, int], tuple[int, float, _Runs]] = {}
    for start, (said, far, runs) in reached.items():
        for pattern in _PATTERNS:
            ones, zeros = sum(pattern), len(pattern) - sum(pattern)
            at, farthest, times = start, far, 0
            while at[0] + zeros <= want[0] and at[1] + ones <= want[1]:
                farthest = max(farthest, _farthest(pattern, at, want))
                if farthest > off:
                    break
                at, times = (at[0] + zeros, at[1] + ones), times + 1
                if times >= _least_times(len(pattern)):
                    way = (said + len(pattern), farthest, (*runs, (pattern, times)))
                    further[at] = min(further.get(at, way), way)
    return further


def _farthest(gaps: Pattern, at: tuple[int, int], want: tuple[int, int]) -> float:
    """How far from straight the farthest step of some gaps lies, begun after so many short and long ones."""
    share = want[1] / (want[0] + want[1])
    done, longs = sum(at), at[1]
    farthest = 0.0
    for long in gaps:
        done, longs = done + 1, longs + long
        farthest = max(farthest, abs(longs - done * share))
    return farthest
