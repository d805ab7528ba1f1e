"""What a way to go on changes on the rest of the garment, as imperatives."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from fitcheck.report import ActionReport, AlterationReport, Report
from fitcheck.words.figures import Tape
from fitcheck.words.names import direction_of, other_piece, point_name
from fitcheck.words.phrases import count_words, counted_words, listed, side_word, spaced
from fitcheck.words.points import point_of, worst_first


def changes(report: Report, action: ActionReport, tape: Tape, *, name_points: bool = False) -> list[str]:
    """What an action changes on the rest of the garment, as imperatives without the full stop.

    name_points  name the point even where only one is altered: nothing else in the text does
    """
    rest = [one for one in action.alterations if one.by != "this_piece"]
    told: list[str] = []
    for by, group in groupby(sorted(rest, key=lambda one: one.by), key=lambda one: one.by):
        altered = list(group)
        if by == "other_body_piece":
            told.append(_other_body_piece(report, altered, tape, name_points or len(altered) > 1))
        elif by in ("hem", "cuff_band"):
            told.append(_lower_end(report, by, altered, tape))
        else:
            told.extend(_part(report, by, one, tape) for one in altered)
    # The counts of the other piece first: they are cast on before anything else is done.
    return sorted(told, key=lambda text: not text.startswith("Knit"))


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


def _lower_end(report: Report, by: str, altered: Sequence[AlterationReport], tape: Tape) -> str:
    def weight(one: AlterationReport) -> float:
        known = point_of(report, one.point)
        return known.weight if known else 0.0

    one = max(altered, key=weight)
    end = "hem" if by == "hem" else "cuff"
    amount = tape.amount(one.mm)
    if one.stitches:
        amount = f"{count_words(abs(one.stitches), 'row')} ({amount})"
    alike = f"and {_alike(report, by)} {amount.split(' (')[0]} {'shorter' if one.mm < 0 else 'longer'}"
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
        each = tape.amount(one.mm / 2)
        return f"Sew the armhole seams {each} {'shallower' if larger else 'deeper'} at each side"
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
