"""What a page shows of an answer about sizes: sentences, a ruler per point, two sizes side by side, a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.advice.sizes.answers import SizeAnswer, SizesAnswer, WidthAt
from fitcheck.drawing.sizes_rulers import sizes_at_points, sizes_ruler, sizes_span
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.records.points import ORDER
from fitcheck.words import fabric as words_fabric
from fitcheck.words import sizes as words_sizes
from fitcheck.words.names import size_name
from fitcheck.words.said import in_paragraphs, reason
from webui.forms.garments import point_heading
from webui.pages import ground

FIRST_RULERS = 3
"""Rulers that are shown at once: those of the points that are nearest to their limits."""


@frozen
class Click:
    """One click of the strip.

    dial, whole      as it is written; a number of the dial, no mark between
    here, to         the page is reckoned for it; where it is for another one, empty where it cannot be
    stitches, swatched   to 10 cm or 4 in, and whether a swatch was knitted there
    best, chance     the size that comes nearest, and in how many of ten sweaters every width fits
    free, free_chance    counts of one's own, and the same of them
    """

    dial: str
    whole: bool
    here: bool
    to: str
    stitches: str
    swatched: bool
    best: str
    chance: str
    free: str
    free_chance: str


@frozen
class RulerOf:
    """The ruler of a point: its title, the drawing, what it says read out, and the sizes that it does not reach."""

    title: str
    svg: Markup
    spoken: str
    beyond: str


@frozen
class Column:
    """A size in the table.

    name, called  as the table has it, and as a heading has room for it
    near          its place by nearness: 0 is the best
    best, chosen  it is the one that is advised, and the one that is knitted
    chance        that every width fits; empty where nothing says it
    knit          the button that makes it the one that is knitted
    """

    name: str
    called: str
    near: int
    best: bool
    chosen: bool
    chance: str
    knit: str


@frozen
class OwnCounts:
    """Counts of your own: their button, what it sends and where, and whether they are the planned ones already."""

    word: str
    at: str
    sends: Mapping[str, str]
    planned: bool


@frozen
class SizeParts:
    """What a page shows of an answer about sizes.

    headline, because   the sentence of the page, and the one under it
    asked, why          what is asked back, and what explains the answer
    best                the size that is advised; empty where none is
    clicks, clicks_words, at    the strip of clicks, what stands over it, and which click the figures are for
    span                what figures of gauge are to: 10 cm or 4 in
    rulers              a ruler per point, those that are nearest to their limits first
    pair, beside_words, names   two sizes side by side, what decides between them, and the sizes to choose from
    beside_asked        a size was asked for beside the best
    advised             the best size is the one to knit; else its counts are not to be knitted as they are
    in_fabric           the figures are of a fabric that was swatched or knitted; else as the pattern's gauge has it
    columns, widths, lengths    the table: a column a size, a row a point
    row_counted, impossible     what the sentences under the table say
    mixed, free         a mix of sizes, and counts of your own
    table_words         the size table against itself
    lacks, assumed      what was not compared, and what was taken for granted
    knit_at             where a size is made the one that is knitted; empty where it is not asked
    own                 the button of counts of your own; None where it is not asked
    """

    headline: str
    because: Sequence[str]
    asked: Sequence[str]
    why: Sequence[str]
    best: str
    clicks: Sequence[Click]
    clicks_words: str
    at: int
    span: str
    beside_asked: bool
    advised: bool
    in_fabric: bool
    knit_at: str
    beside_words: str
    pair: Mapping[str, Any] | None
    names: Sequence[tuple[str, str]]
    rulers: Sequence[RulerOf]
    columns: Sequence[Column]
    widths: Sequence[Mapping[str, Any]]
    lengths: Sequence[Mapping[str, Any]]
    row_counted: Sequence[str]
    mixed: str
    free: str
    impossible: Sequence[str]
    table_words: Sequence[str]
    lacks: Sequence[str]
    assumed: Sequence[str]
    own: OwnCounts | None = None


def size_parts(
    answer: SizesAnswer,
    fabric: FabricAnswer | None = None,
    *,
    dials_at: str = "",
    knit_at: str = "",
    knitted: str = "",
    beside_asked: bool = False,
) -> SizeParts:
    """What a page shows of an answer about sizes: sentences, the clicks, a ruler per point, a table.

    fabric    what the swatches answer
    dials_at  where the same is answered for another dial; empty where it is not
    knit_at   where a size is made the one that is knitted; empty where it is not asked
    knitted   the piece that is knitted already ("the back")
    beside_asked  a size was asked for beside the best
    """
    tape = ground.tape()
    best = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
    clicks = _clicks(answer, fabric, dials_at) if fabric is not None else []
    head = words_sizes.sizes_said(answer, tape, knitted=knitted)
    limit = words_sizes.limit_sentence(best, tape) if best is not None else ""
    because = in_paragraphs([head.because, *head.more])
    with_limit = f"{head.rest} {limit}".strip()
    if limit and reason(with_limit, head.rest) == with_limit:
        because = (with_limit,)
    return SizeParts(
        headline=head.head,
        because=because,
        asked=words_sizes.asked_sentences(answer, tape),
        why=[
            said
            for said in (limit if limit not in " ".join(because) else "", *words_sizes.against_sentences(answer, tape))
            if said
        ],
        best=best.name if best is not None else "",
        clicks=clicks,
        clicks_words=words_sizes.clicks_sentence(answer, fabric, tape, tapped=bool(dials_at))
        if fabric is not None and clicks
        else "",
        at=next((place for place, click in enumerate(clicks) if click.here), 0),
        span=tape.span,
        beside_asked=beside_asked,
        advised=answer.first is None or answer.first.not_this is None,
        in_fabric=not isinstance(answer.stitch, CannotSay) and answer.stitch.basis != "assumed",
        knit_at=knit_at,
        beside_words=words_sizes.side_by_side_sentence(answer, tape),
        pair=_pair(answer),
        names=[(size.name, size.name) for size in answer.sizes if size.name != answer.best],
        rulers=_rulers(answer, best),
        columns=_columns(answer),
        widths=_width_rows(answer),
        lengths=_length_rows(answer),
        row_counted=_row_counted(answer),
        mixed=words_sizes.mixed_sentence(answer),
        free=words_sizes.free_counts_sentence(answer),
        impossible=[said for said in (words_sizes.refused_size_sentence(size) for size in answer.sizes) if said],
        table_words=words_sizes.table_sentences(answer, tape),
        lacks=words_sizes.lacks_sentences(answer),
        assumed=[words_sizes.size_assumed_sentence(taken, tape) for taken in answer.assumed],
    )


def _rulers(answer: SizesAnswer, best: SizeAnswer | None) -> list[RulerOf]:
    """The rulers in the points' order, those at which the best size is least likely to fit before the others."""
    unit = ground.unit()
    points = sorted(sizes_at_points(answer), key=lambda point: ORDER[point.key])
    span = sizes_span(points, unit)

    def chance(key: str) -> float:
        width = best.width(key) if best is not None else None
        return 1.0 if width is None or isinstance(width.chance, CannotSay) else width.chance

    first = {point.key for point in sorted(points, key=lambda point: chance(point.key))[:FIRST_RULERS]}
    return [
        RulerOf(
            point_heading(point.key),
            ground.svg_markup(sizes_ruler(point, unit, span, best.name if best is not None else None)),
            _spoken(answer, point.key, best),
            words_sizes.beyond_sentence(*point.beyond(span)),
        )
        for point in sorted(points, key=lambda point: point.key not in first)
    ]


def _clicks(answer: SizesAnswer, fabric: FabricAnswer, dials_at: str) -> list[Click]:
    """The strip of clicks; nothing where there is but one."""
    known = {click.dial: click for click in fabric.dials.clicks}
    clicks = []
    for row in words_sizes.dial_rows(answer):
        click = known.get(row.dial)
        clicks.append(
            Click(
                row.dial,
                row.dial.isdecimal(),
                row.here,
                f"{dials_at}?dial={row.dial}" if dials_at and not row.here else "",
                words_fabric.gauge_figure(click.across, ground.tape().span, ground.tape())[0] if click else "",
                row.dial in fabric.dials.swatched,
                row.best,
                row.in_ten,
                row.free,
                row.free_in_ten,
            )
        )
    return clicks


def _columns(answer: SizesAnswer) -> list[Column]:
    """The sizes in the table's order, each with its place by nearness: likeliest first, then nearest in the table."""
    order = [size.name for size in answer.sizes]
    best = order.index(answer.best) if isinstance(answer.best, str) else 0

    def far(size: SizeAnswer) -> tuple[float, int]:
        chance = 0.0 if isinstance(size.all_fit, CannotSay) or size.impossible is not None else size.all_fit
        return -chance, abs(order.index(size.name) - best)

    ranked = sorted(answer.sizes, key=lambda size: (size.name != answer.best, *far(size)))
    near = {size.name: place for place, size in enumerate(ranked)}
    return [
        Column(
            size.name,
            size_name(size.name),
            near[size.name],
            size.name == answer.best,
            size.name == answer.chosen,
            _chance(size),
            words_sizes.knit_size(size.name),
        )
        for size in answer.sizes
    ]


def _chance(size: SizeAnswer) -> str:
    return "" if isinstance(size.all_fit, CannotSay) else words.chance_words(size.all_fit)


def _cell(width: WidthAt | None) -> dict[str, str]:
    if width is None:
        return {}
    counts = " / ".join(str(count) for count in dict.fromkeys(width.counts.values()))
    finished = "" if isinstance(width.finished, CannotSay) else ground.figure(width.finished.value)
    off = "" if isinstance(width.difference, CannotSay) else ground.figure(width.difference.value, signed=True)
    return {"finished": finished, "off": off, "counts": f"{counts} st" if counts else ""}


def _width_rows(answer: SizesAnswer) -> list[dict[str, Any]]:
    keys = sorted({width.key for size in answer.sizes for width in size.widths}, key=ORDER.__getitem__)
    rows = []
    for key in keys:
        widths = [size.width(key) for size in answer.sizes]
        if all(width is None or isinstance(width.finished, CannotSay) for width in widths):
            continue
        wanted = next((width.wanted for width in widths if width and not isinstance(width.wanted, CannotSay)), None)
        rows.append(
            {
                "name": point_heading(key),
                "wanted": ground.figure(wanted.value) if wanted is not None else "",
                "cells": [_cell(width) for width in widths],
            }
        )
    return rows


def _length_rows(answer: SizesAnswer) -> list[dict[str, Any]]:
    # Of one point the pieces stand in the answer's order; in a set they would change places from start to start.
    listed = dict.fromkeys((length.key, length.piece) for size in answer.sizes for length in size.lengths)
    rows = []
    for key, piece in sorted(listed, key=lambda of: ORDER[of[0]]):
        cells: list[dict[str, str]] = []
        wanted = ""
        for size in answer.sizes:
            length = next((length for length in size.lengths if (length.key, length.piece) == (key, piece)), None)
            if length is None:
                cells.append({})
                continue
            count = "" if isinstance(length.rows, CannotSay) else f"{round(length.rows.value)} rows"
            off = (
                "" if isinstance(length.difference, CannotSay) else ground.figure(length.difference.value, signed=True)
            )
            if not isinstance(length.wanted, CannotSay):
                wanted = ground.figure(length.wanted.value)
            cells.append({"finished": ground.figure(length.printed_mm), "off": off, "counts": count})
        rows.append({"name": point_heading(key), "wanted": wanted, "cells": cells})
    return rows


def _row_counted(answer: SizesAnswer) -> list[str]:
    size = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
    if size is None:
        return []
    return [words_sizes.row_counted_sentence(row, ground.tape()) for row in size.row_counted]


def _spoken(answer: SizesAnswer, key: str, best: SizeAnswer | None) -> str:
    """A ruler read out: what the size in question does at a point, and the two beside it; the table has the others."""
    told = []
    for size in answer.sizes:
        width = size.width(key)
        if width is not None and not isinstance(width.difference, CannotSay):
            told.append((size.name, words_sizes.off_words(width, ground.tape())))
    middle = next((place for place, (name, _) in enumerate(told) if best is not None and name == best.name), 1)
    near = told[max(0, middle - 1) : middle + 2]
    return "; ".join(f"size {name}: {off}" for name, off in near)


def _pair(answer: SizesAnswer) -> dict[str, Any] | None:
    """Two sizes side by side: every width."""
    pair = answer.side_by_side
    if isinstance(pair, CannotSay):
        return None
    first, second = answer.size(pair.first), answer.size(pair.second)
    assert first is not None
    assert second is not None
    keys = sorted({width.key for size in (first, second) for width in size.widths}, key=ORDER.__getitem__)
    rows = [
        {
            "name": point_heading(key),
            "first": _off(first.width(key)),
            "second": _off(second.width(key)),
        }
        for key in keys
        if _off(first.width(key))[0] or _off(second.width(key))[0]
    ]
    return {
        "first": size_name(first.name),
        "second": size_name(second.name),
        "chances": [_chance(size) for size in (first, second)],
        "rows": rows,
    }


def _off(width: WidthAt | None) -> tuple[str, str]:
    if width is None:
        return "", ""
    if isinstance(width.difference, CannotSay):
        return ("" if isinstance(width.finished, CannotSay) else ground.length(width.finished.value)), ""
    chance = "" if isinstance(width.chance, CannotSay) else words.chance_words(width.chance)
    return words_sizes.off_side(width, ground.tape()), chance
