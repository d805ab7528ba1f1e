"""What a page shows of an answer about sizes: sentences, a ruler per point, two sizes side by side, a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fitcheck import words
from fitcheck.advice.sizes.answers import SizeAnswer, SizesAnswer, WidthAt
from fitcheck.drawing.sizes_rulers import sizes_at_points, sizes_ruler, sizes_span
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.points import ORDER
from fitcheck.words import sizes as words_sizes
from fitcheck.words.names import size_name
from webui.forms.garments import point_heading
from webui.pages import ground


@dataclass(frozen=True, slots=True)
class SizeParts:
    """What a page shows of an answer about sizes.

    headline, why       the sentence of the page, and those under it
    rulers, legend      a ruler per point (title, drawing, read out), and which figure is which size
    pair, beside_words, names   two sizes side by side, what decides between them, and the sizes to choose from
    dials, dials_words  the sizes at each dial that was swatched about this one, which the figures are for, and where
                        they are for another
    columns, widths, lengths    the table: a column a size, a row a point
    row_counted, impossible     what the sentences under the table say
    mixed, free         a mix of sizes, and counts of your own
    table_words         the size table against itself
    lacks, assumed      what was not compared, and what was taken for granted
    """

    headline: str
    why: Sequence[str]
    beside_words: str
    pair: Mapping[str, Any] | None
    names: Sequence[tuple[str, str]]
    rulers: Sequence[tuple[str, Markup, str]]
    legend: Sequence[tuple[int, str]]
    dials: Sequence[words_sizes.DialRow]
    dials_words: str
    dials_at: str
    columns: Sequence[Mapping[str, Any]]
    widths: Sequence[Mapping[str, Any]]
    lengths: Sequence[Mapping[str, Any]]
    row_counted: Sequence[str]
    mixed: str
    free: str
    impossible: Sequence[str]
    table_words: Sequence[str]
    lacks: Sequence[str]
    assumed: Sequence[str]


def size_parts(answer: SizesAnswer, *, dials_at: str = "", knitted: str = "") -> SizeParts:
    """What a page shows of an answer about sizes: sentences, a ruler per point, a table.

    knitted   the piece that is knitted already ("the back")
    dials_at  where the same is answered for another dial; empty where it is not
    """
    unit, tape = ground.unit(), ground.tape()
    best = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
    points = sorted(sizes_at_points(answer), key=lambda point: ORDER[point.key])
    span = sizes_span(points, unit)
    head = words_sizes.sizes_said(answer, tape, knitted=knitted)
    why = (
        head.rest,
        *words_sizes.asked_sentences(answer, tape),
        words_sizes.limit_sentence(best, tape) if best is not None else "",
        *words_sizes.against_sentences(answer, tape),
    )
    return SizeParts(
        headline=head.head,
        why=[sentence for sentence in why if sentence],
        beside_words=words_sizes.side_by_side_sentence(answer, tape),
        pair=_pair(answer),
        names=[(size.name, size.name) for size in answer.sizes if size.name != answer.best],
        rulers=[
            (point_heading(point.key), ground.svg_markup(sizes_ruler(point, unit, span)), _spoken(answer, point.key))
            for point in points
        ],
        legend=_legend(answer),
        dials=words_sizes.dial_rows(answer),
        dials_words=words_sizes.dials_sentence(answer),
        dials_at=dials_at,
        columns=[_column(size, answer) for size in answer.sizes],
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


def _legend(answer: SizesAnswer) -> list[tuple[int, str]]:
    """Which figure is which size; nothing where the sizes are called as they are numbered."""
    named = [(place, size_name(size.name)) for place, size in enumerate(answer.sizes, start=1)]
    return [] if all(name == str(place) for place, name in named) else named


def _column(size: SizeAnswer, answer: SizesAnswer) -> dict[str, Any]:
    chance = "" if isinstance(size.all_fit, CannotSay) else words.chance_words(size.all_fit)
    return {"name": size_name(size.name), "best": size.name == answer.best, "chance": chance}


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
    keys = sorted(
        {(length.key, length.piece) for size in answer.sizes for length in size.lengths}, key=lambda k: ORDER[k[0]]
    )
    rows = []
    for key, piece in keys:
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


def _spoken(answer: SizesAnswer, key: str) -> str:
    """A ruler read out: what each size does at a point."""
    told = []
    for size in answer.sizes:
        width = size.width(key)
        if width is not None and not isinstance(width.difference, CannotSay):
            told.append(f"size {size.name}: {words_sizes.off_words(width, ground.tape())}")
    return "; ".join(told)


def _pair(answer: SizesAnswer) -> dict[str, Any] | None:
    """Two sizes side by side: every width, and which of them decides."""
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
            "decides": key == pair.decides,
        }
        for key in keys
        if _off(first.width(key))[0] or _off(second.width(key))[0]
    ]
    return {
        "first": size_name(first.name),
        "second": size_name(second.name),
        "chances": [_column(size, answer)["chance"] for size in (first, second)],
        "rows": rows,
    }


def _off(width: WidthAt | None) -> tuple[str, str]:
    if width is None:
        return "", ""
    if isinstance(width.difference, CannotSay):
        return ("" if isinstance(width.finished, CannotSay) else ground.length(width.finished.value)), ""
    chance = "" if isinstance(width.chance, CannotSay) else words.chance_words(width.chance)
    return words_sizes.off_side(width, ground.tape()), chance
