"""What a way to go on changes on the rest of the garment, as imperatives."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from fitcheck.reports.shapes import ActionReport, AlterationReport, Report
from fitcheck.words.figures import Tape
from fitcheck.words.names import action_of, direction_of, other_piece, point_name
from fitcheck.words.phrases import capital, count_words, counted_words, listed, side_word, small_first, spaced
from fitcheck.words.points import point_of, worst_first


def changes(report: Report, action: ActionReport, tape: Tape, *, name_points: bool = False) -> list[str]:
    """What an action changes on the rest of the garment, as imperatives without the full stop; what gains most first.

    name_points  name the point even where only one is altered: nothing else in the text does
    """
    return [text for _, _, text in _told(report, action, tape, name_points=name_points, short=False)]


def plan_parts(report: Report, action: ActionReport, tape: Tape) -> tuple[str, list[str], str]:
    """What an action changes, for the answer itself.

    Returns what is done now, in one imperative, empty where nothing is; what comes at the making-up, an imperative
    each; and how rows come off or go on at a lower end, where any do.
    """
    told = _told(report, action, tape, name_points=False, short=True)
    now = [text for by, _, text in told if by not in AT_MAKING_UP]
    other = f"knit {other_piece(report.head)} "
    ends = [one for one in now if f", and {other}" in one]
    body = next((one for one in now if one.startswith(capital(other))), None)
    if ends and body is not None:
        # One front: what is said of its rows and of its stitches stands together.
        begin, of_rows = ends[0].split(f", and {other}")
        of_front = body.removeprefix(capital(other))
        front = [of_rows, of_front] if now.index(ends[0]) < now.index(body) else [of_front, of_rows]
        if ":" in front[0]:
            front.reverse()
        both = f"{other}{listed(front)}"
        first = now.index(ends[0]) < now.index(body)
        now = [begin, both] if first else [capital(both), small_first(begin)]
        now += [text for by, _, text in told if by == "front_rows_and_cap"]
    joined = "; ".join([*now[:1], *(small_first(one) for one in now[1:])])
    ends_by = [one for one in action.alterations if one.by in ("hem", "cuff_band")]
    how = ""
    if ends_by:
        end = "come off" if ends_by[0].mm < 0 else "go on"
        band = "a shallower band" if ends_by[0].mm < 0 else "a deeper band"
        what = "The rows" if ends_by[0].stitches else "Such rows"
        how = f"{what} {end} at a waste-yarn start, or {band} answers instead"
    return joined, [text for by, _, text in told if by in AT_MAKING_UP], how


AT_MAKING_UP = ("armhole_seam", "neck_band")
"""What answers only when the pieces are sewn together or picked up."""


def _told(
    report: Report, action: ActionReport, tape: Tape, *, name_points: bool, short: bool
) -> list[tuple[str, float, str]]:
    """Every part that changes: what answers, the loss that it saves, and the imperative; what saves most first."""
    rest = [one for one in action.alterations if one.by != "this_piece"]
    found: list[tuple[str, float, str]] = []
    for by, group in groupby(sorted(rest, key=lambda one: one.by), key=lambda one: one.by):
        altered = list(group)
        saved = max(_saved(report, action, one.point) for one in altered)
        if by == "other_body_piece":
            found.append((by, saved, _other_body_piece(report, altered, tape, name_points or len(altered) > 1)))
        elif by in ("hem", "cuff_band"):
            found.append((by, saved, _lower_end(report, by, altered, tape, short=short)))
        else:
            found += [(by, _saved(report, action, one.point), _part(report, by, one, tape)) for one in altered]
    return sorted(found, key=lambda one: -one[1])


def _saved(report: Report, action: ActionReport, key: str) -> float:
    """Loss at a point that an action saves over carrying on unchanged [work of knitting the piece once]."""
    point, unchanged = point_of(report, key), action_of(report, "carry_on")
    if point is None or unchanged is None:
        return 0.0
    return point.weight * (action.chances.get(key, 0.0) - unchanged.chances.get(key, 0.0))


def _other_body_piece(report: Report, altered: Sequence[AlterationReport], tape: Tape, name_points: bool) -> str:
    other = other_piece(report.head)
    altered = sorted(altered, key=lambda one: -abs(one.mm))
    ways = {one.mm > 0 for one in altered}
    word = ("wider" if ways == {True} else "narrower") if len(ways) == 1 else ""
    steps = {one.stitches for one in altered}
    one_step = steps.pop() if len(steps) == 1 else None
    with_counts = all(one.count is not None and one.stitches is not None for one in altered)
    if not with_counts:
        each = [
            f"{tape.amount(one.mm)} {side_word('across', one.mm, comparative=True)}"
            + (f" at the {point_name(one.point)}" if name_points else "")
            for one in altered
        ]
        return f"Knit {other} {listed(each)} than planned"
    each = [
        f"{one.count} instead of {(one.count or 0) - (one.stitches or 0)}"
        + (f" at the {point_name(one.point)}" if len(altered) > 1 else "")
        for one in altered
    ]
    if word and one_step is not None:
        return f"Knit {other} {count_words(abs(one_step), 'stitch')} {word}: {', '.join(each)}"
    each[0] = each[0].replace(" instead", " stitches instead", 1)
    return f"Knit {other} {word or 'with other counts'}: {', '.join(each)}"


def _lower_end(report: Report, by: str, altered: Sequence[AlterationReport], tape: Tape, *, short: bool) -> str:
    def weight(one: AlterationReport) -> float:
        known = point_of(report, one.point)
        return known.weight if known else 0.0

    one = max(altered, key=weight)
    end = "hem" if by == "hem" else "cuff"
    amount = tape.amount(one.mm)
    if one.stitches:
        amount = f"{count_words(abs(one.stitches), 'row')} ({amount})"
    alike = f"and {_alike(report, by)} {amount.split(' (')[0]} {'shorter' if one.mm < 0 else 'longer'}"
    if short:
        way = f"Take {amount} off the {end}" if one.mm < 0 else f"Add {amount} at the {end}"
        return f"{way}, {alike}"
    if one.mm < 0:
        return f"At the {end} take off {amount}: from a waste-yarn start, or with a shallower band; {alike}"
    return f"At the {end} add {amount}: from a waste-yarn start, or with a deeper band; {alike}"


def _alike(report: Report, by: str) -> str:
    """Every piece that ends at an altered end is altered alike, or the seams do not meet."""
    kind = report.head.piece_kind
    if by == "hem" and kind == "back" and "front" in report.head.to_knit:
        return "knit the front"
    if by == "cuff_band" and kind in ("sleeve", "left_sleeve", "right_sleeve"):
        return "knit the other sleeve"
    return "make every other piece that ends there"


def _part(report: Report, by: str, one: AlterationReport, tape: Tape) -> str:
    larger = one.mm > 0
    if by == "armhole_seam":
        way, half = "shallower" if larger else "deeper", tape.steps(one.mm / 2)
        if half and 2 * half == tape.steps(one.mm):
            return f"Sew the armhole seams {tape.amount(one.mm / 2)} {way} at each side"
        # Two rounded halves would make another sum than what is said to change in all.
        return f"Sew the armhole seams {tape.amount(one.mm)} {way} in all, half of it at each side"
    if by == "front_rows_and_cap":
        rows = f"{count_words(abs(one.stitches), 'row')} " if one.stitches else ""
        amount = f"{rows}({tape.amount(one.mm)}) " if rows else f"{tape.amount(one.mm)} "
        deeper = "deeper" if larger else "shallower"
        other = other_piece(report.head)
        return f"Knit the armholes of {other} {amount}{deeper}, and draw the sleeve cap anew to match"
    if by == "neck_band":
        if larger:
            return f"Let the neck band give {tape.amount(one.mm)} of neck width"
        return f"Let the neck band take up {tape.amount(one.mm)} of neck width"
    way = "larger" if larger else "smaller"
    return f"Make the {point_name(one.point)} {tape.amount(one.mm)} {way}: {spaced(by)}"


def new_counts(report: Report, action: ActionReport, most: int = 3) -> str:
    """ "102 stitches at the shoulder width instead of 98", the points that are furthest off first."""
    order = {one.key: place for place, one in enumerate(worst_first(report.points))}
    new = [one for one in action.alterations if one.by == "this_piece" and one.stitches and one.count is not None]
    new.sort(key=lambda one: order.get(one.point, len(order)))
    each = [
        f"{counted_words(direction_of(one.point), one.count or 0)} at the {point_name(one.point)} "
        f"instead of {(one.count or 0) - (one.stitches or 0)}"
        for one in new[:most]
    ]
    return listed(each) if each else ""
