"""The piece laid over what is wanted, true to scale: keys, tapes, hatching, graph rule, scale bar, title block."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fitcheck.drawing.canvas import View, both, graph
from fitcheck.drawing.details import CSS_PX_PER_MM, WINDOW_MM, detail_words, details_of, window_parts
from fitcheck.drawing.labels import Box
from fitcheck.drawing.laid import At, Laid, lay
from fitcheck.drawing.look import SCREEN, TEXT, WIDTH, Look
from fitcheck.drawing.outline import Kind
from fitcheck.drawing.placed import (
    DISC,
    ROW,
    TOP,
    VALUE,
    Placed,
    Room,
    Strokes,
    columns_of,
    covered,
    place,
    strokes_of,
)
from fitcheck.drawing.scale_bar import bar_of, inside, under
from fitcheck.drawing.svg import circle, drawing, n, path, polyline, rect, text, text_width, wrapped
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import PointReport, Report
from fitcheck.words import Mark, Unit, piece_name, point_name, reference_name, row_figures
from fitcheck.words.figures import Tape
from fitcheck.words.phrases import capital

TALLEST = 200.0
"""Tallest outline on a page [units]."""
LARGEST = 0.6
"""Largest scale on a page [units per mm]: a child's back is not drawn larger than a tall one's."""
BAR = 50.0
"""What stands under the outline where the scale bar finds no room inside it: the lowest labels and the bar [units]."""
FOOT = 24.0
"""What stands under it otherwise: the lowest labels [units]."""
LINE = 16.0
"""From one line of text to the next [units]."""

SAMPLE = 27.0
"""From a sample of the legend to its word [units]."""
CELL = 14.0
"""What the sides of a cell of the title block take [units]."""

HATCHED_MM = 2.0
"""Least difference whose hatching can be seen [mm]."""

AT_WORDS: Mapping[Kind, Mapping[At, str]] = {
    "body": {"shoulders": "shoulders", "underarm": "underarm", "hem": "hem"},
    "half": {"shoulders": "shoulders", "underarm": "underarm", "hem": "hem"},
    "sleeve": {"shoulders": "top", "underarm": "underarm", "hem": "cuff"},
    "panel": {"shoulders": "top", "underarm": "top", "hem": "hem"},
}
"""Where two outlines are lined up, as a person says it: a sleeve and a panel have no shoulders."""


def overlay(
    report: Report,
    unit: Unit = "cm",
    *,
    at: At = "shoulders",
    ids: str = "ov",
    construction: str | None = None,
    mark: Mark = ".",
    wide: int | None = None,
    file: bool = False,
) -> str:
    """The piece of a report over what is wanted, as one SVG 288 units wide; empty where nothing can be drawn.

    unit          cm, in or mm
    at            where the two are lined up: shoulders, underarm or hem
    ids           prefix of its ids, one of its own per drawing on a page
    construction  as the make names it; None: what the refused points say
    mark          decimal mark
    wide          it is shown so wide [px]; as wide as there is room otherwise
    file          the text of a file, with the windows of true size under it: there is no page to show them beside it
    """
    laid = lay(report, at, construction)
    if isinstance(laid, CannotSay):
        return ""
    body = body_of(laid, unit, ids=ids, look=SCREEN, mark=mark)
    parts = [body.svg]
    below = body.height
    rows, height = legend_parts(SCREEN, ids, laid, WIDTH, below)
    parts.append(rows)
    below += height
    block, height = block_parts(SCREEN, title_block(report, unit, laid), WIDTH, below)
    parts.append(block)
    below += height
    if file:
        rows, height = window_rows(laid, unit, ids, mark, below)
        parts.append(rows)
        below += height
    parts.append(rect(SCREEN, "frame", 0.75, 0.75, WIDTH - 1.5, below - 1.5))
    shifts = " ".join(f'data-{name}="{n(body.view.scale * mm)}"' for name, mm in laid.shifts.items())
    root = f' data-unit-mm="{1 / body.view.scale:.5g}" {shifts}'
    name = name_of(report, laid)
    return drawing("overlay", WIDTH, below, parts, label=name, ids=ids, look=SCREEN, root=root, wide=wide, file=file)


@frozen
class PageDrawing:
    """The drawing of a page: the piece over what is wanted, and what of it is to be explained beside it.

    svg       288 units wide
    legend    words of the lines and hatchings that occur: wanted, measured, drawn in, missing, over
    ids       prefix of its ids, which the samples of the legend point to
    told      the title block: labels and texts
    """

    svg: str
    legend: tuple[str, ...]
    ids: str
    told: tuple[tuple[str, str], ...]


def on_page(
    report: Report, unit: Unit, *, at: At, construction: str, mark: Mark = ".", look: Look = SCREEN
) -> PageDrawing | None:
    """The piece of a report over what is wanted, for a page, which explains it itself; None where nothing can be drawn.

    Parameters as in `overlay`.
    """
    laid = lay(report, at, construction)
    if isinstance(laid, CannotSay):
        return None
    body = body_of(laid, unit, ids="ov", look=look, mark=mark)
    shifts = " ".join(f'data-{name}="{n(body.view.scale * mm)}"' for name, mm in laid.shifts.items())
    root = f' data-unit-mm="{1 / body.view.scale:.5g}" {shifts}'
    name = name_of(report, laid)
    svg = drawing("overlay", WIDTH, body.height, [body.svg], label=name, ids="ov", look=look, root=root)
    return PageDrawing(svg, legend_of(laid), "ov", tuple(title_block(report, unit, laid)))


def legend_of(laid: Laid) -> tuple[str, ...]:
    """The words of the lines and hatchings that occur in a drawing."""
    drawn_in = any(not stretch.touched for outline in (laid.wanted, laid.piece) for stretch in outline.stretches)
    items = ["wanted", "measured", *(["drawn in"] if drawn_in else [])]
    if laid.zones():
        hatched = [laid.points[tape.key].difference.value for tape in laid.tapes if tape.lies != "edge"]
        items += ["missing"] if any(mm <= -HATCHED_MM for mm in hatched) else []
        items += ["over"] if any(mm >= HATCHED_MM for mm in hatched) else []
    return tuple(items)


def window_rows(laid: Laid, unit: Unit, ids: str, mark: Mark, top: float) -> tuple[str, float]:
    """The windows of the details under one another from the top on, captions beside them; and their height [units].

    They are 42 mm wide at 96 units to the inch.
    """
    wide, high = (CSS_PX_PER_MM * mm for mm in WINDOW_MM)
    parts, y = [], top
    for detail in details_of(laid):
        own = f"{ids}{detail.letter.lower()}"
        inside = window_parts(laid, detail, unit, CSS_PX_PER_MM, own, hatched_as=ids)
        parts.append(path(SCREEN, "cell", f"M0 {n(y)}H{n(WIDTH)}"))
        parts.append(f'<g class="detail" transform="translate(8 {n(y + 8)})">{inside}</g>')
        words = wrapped(detail_words(detail, unit, mark=mark), WIDTH - wide - 26.0, 5)
        parts += [text(SCREEN, "l-text", wide + 18.0, y + 4.0 + LINE * row, word) for row, word in enumerate(words, 1)]
        y += high + 16.0
    return "".join(parts), y - top


def name_of(report: Report, laid: Laid) -> str:
    """What an overlay shows, one sentence."""
    at = AT_WORDS[laid.piece.kind][laid.at]
    return f"{capital(piece_name(report.head))} laid over what is wanted, lined up at the {at}."


def title_block(report: Report, unit: Unit, laid: Laid) -> list[tuple[str, str]]:
    """Labels and texts of the title block: the dashed outline is what is wanted on this piece, seams added."""
    sources = {point.source for point in report.points}
    if report.head.reference and "garment" in sources:
        wanted = reference_name(report.head)
    else:
        of_table = "the size table" if sources == {"size_table"} else "numbers"
        wanted = "body and ease" if "ease" in sources else of_table
    squares = "1/2 and 2 in" if unit == "in" else "10 and 50 mm" if unit == "mm" else "1 and 5 cm"
    letters = [detail.letter for detail in details_of(laid)]
    block = [
        ("Wanted on this piece", f"{wanted}, seam stitches added"),
        ("Lined up at", AT_WORDS[laid.piece.kind][laid.at]),
        ("Squares", squares),
    ]
    if letters:
        block.append((_letters(letters), "1:1 in print"))
    if laid.drawn_in:
        block.append(("Drawn in, not measured", ", ".join(point_name(key) for key in laid.drawn_in)))
    if laid.piece.asks_about_sum or laid.wanted.asks_about_sum:
        block.append(("Lengths that do not add up", "measure them again"))
    return block


def _letters(letters: Sequence[str]) -> str:
    if len(letters) < 3:
        return " and ".join(letters)
    return f"{letters[0]} to {letters[-1]}"


@frozen
class Body:
    """The drawn part of an overlay: its view, its labels, its height [units]."""

    svg: str
    view: View
    labels: tuple[Placed, ...]
    height: float


def body_of(
    laid: Laid,
    unit: Unit,
    *,
    ids: str,
    look: Look = SCREEN,
    width: float = WIDTH,
    scale: float | None = None,
    mark: Mark = ".",
    bar: bool = True,
) -> Body:
    """Draw outlines, tapes and labels.

    scale  units per millimetre; None: the largest that fits
    mark   decimal mark;  bar: with a scale bar under it
    """
    values = {tape.key: _value(laid.points[tape.key], unit, mark) for tape in laid.tapes}
    out = _laid_out(laid, width, scale, values, FOOT)
    rule, at = bar_of(out.view, unit), None
    if bar:
        at = inside(rule, laid, out.view, out.labels, out.strokes)
        if at is None:
            out = _laid_out(laid, width, scale, values, BAR)
            at = under(rule, out.room, out.height)
    view, labels, height = out.view, out.labels, out.height
    parts = [graph(look, ids, view, unit, width, height), _centre(look, laid, view)]
    parts.append(both(look, ids, laid, view, width, height))
    moved = f' class="mv" transform="translate(0 {n(view.scale * laid.shift)})"'
    still = {tape.key: [view.at(point) for point in tape.line] for tape in laid.tapes}
    parts.append(f"<g{moved}>{''.join(_tape(look, laid, label.key, still[label.key]) for label in labels)}</g>")
    parts += [_label(look, laid, label) for label in labels]
    taken = [label.box for label in labels] + ([rule.box(*at)] if at else [])
    parts.append(_marks(look, laid, out, taken))
    if at:
        parts.append(rule.parts(look, *at))
    return Body("".join(parts), view, tuple(labels), height)


@frozen
class _LaidOut:
    """Where everything stands, and the lines that nothing should cover; height [units]."""

    room: Room
    view: View
    labels: Sequence[Placed]
    height: float
    strokes: Strokes


def _laid_out(laid: Laid, width: float, scale: float | None, values: dict[str, str], foot: float) -> _LaidOut:
    """Lay out with a foot under the outline; a column at the left only where labels need it."""
    for left_column in (False, True):
        room = columns_of(width, list(values.values()), left_column)
        view, low, height = _view(laid, room, scale, values, foot)
        strokes = strokes_of(laid, view)
        labels = place(laid, view, room, values, low, strokes)
        if labels is not None:
            break
    assert labels is not None
    return _LaidOut(room, view, labels, height, strokes)


def _value(point: PointReport, unit: Unit, mark: Mark) -> str:
    row = row_figures(point, Tape(unit, mark))
    return row.measured or row.difference


def _view(
    laid: Laid, room: Room, scale: float | None, values: dict[str, str], foot: float
) -> tuple[View, float, float]:
    """The view, the lowest place of a key, and the height; foot: what stands under the outline [units]."""
    # On a page the piece can be moved, so its scale is the same wherever it is lined up.
    across, highest, lowest = laid.reach(every_way=scale is None)
    down = lowest - highest
    wide = room.column - DISC - 10.0 - room.left
    if scale is None:
        scale = min(LARGEST, wide / across, TALLEST / down)
    middle = room.left + wide / 2
    aside = 0.0 if laid.wanted.mirrored else scale * across / 2
    left = middle + (aside if laid.flip else -aside)
    top = 30.0 - scale * highest
    beside = sum(1 for tape in laid.tapes if tape.lies != "along")
    needed = TOP + ROW * max(beside, len(values) - beside)
    height = max(30.0 + scale * down + foot, needed + foot - 10.0)
    return View(scale, left, top, laid.flip), height - foot, height


def _centre(look: Look, laid: Laid, view: View) -> str:
    if not laid.wanted.mirrored:
        return ""
    bottom = max(laid.wanted.length_mm, laid.piece.length_mm + laid.shift)
    return path(look, "centre", f"M{n(view.left)} {n(max(2.0, view.top - 22))}V{n(view.y(bottom) + 8)}")


def _tape(look: Look, laid: Laid, key: str, line: list[tuple[float, float]]) -> str:
    (x1, y1), (x2, y2) = line[0], line[-1]
    if y1 == y2:
        stops = f"M{n(x1)} {n(y1 - 4)}v8M{n(x2)} {n(y2 - 4)}v8"
    else:
        stops = f"M{n(x1 - 4)} {n(y1)}h8M{n(x2 - 4)} {n(y2)}h8"
    figure = laid.figures[key]
    return f'<g data-point="{figure}">{path(look, "t-line", polyline(line))}{path(look, "t-end", stops)}</g>'


def _label(look: Look, laid: Laid, label: Placed) -> str:
    figure = laid.figures[label.key]
    leader = path(look, "t-lead", polyline(label.leader)) if label.leader else ""
    return (
        f'<g class="tape" data-point="{figure}">{leader}{circle(look, "t-key", label.x, label.y, DISC)}'
        f"{text(look, 't-keyn', label.x, label.y + 4.2, str(figure), 'middle')}"
        f"{text(look, 't-val', label.x + VALUE, label.y + 4.4, label.value)}</g>"
    )


def _marks(look: Look, laid: Laid, out: _LaidOut, taken: list[Box]) -> str:
    """The windows of the details, each with its letter beside it where nothing else stands."""
    parts = []
    view, room = out.view, out.room
    for detail in details_of(laid):
        left, top, right, bottom = detail.window
        x1, x2 = sorted((view.x(left), view.x(right)))
        y1, y2 = view.y(top), view.y(bottom)
        parts.append(rect(look, "d-mark", x1, y1, x2 - x1, y2 - y1))
        high, wide = 0.75 * TEXT, text_width(detail.letter)
        rows = (y1 - 2.5, y2 + high + 2.5, (y1 + y2 + high) / 2)
        wanted = [(x1, rows[0]), (x2 - wide, rows[0]), (x1 - wide - 2.0, rows[2]), (x1, rows[1]), (x2 - wide, rows[1])]
        wanted.append((x2 + 2.0, rows[2]))
        wanted += [
            (x, row) for row in (*rows, rows[0] - 14.0, rows[1] + 14.0) for x in (x1 - 16.0, x2 - 8.0, x1 - 34.0)
        ]
        free = []
        for x, y in wanted:
            box = Box(x, y - high - 1.0, x + wide, y + 3.0)
            inside = box.left >= 0 and box.right <= room.width and box.top >= 0
            if inside and not any(box.meets(other) for other in taken):
                free.append((x, y, box))
        if free:
            x, y, box = min(free, key=lambda spot: covered(spot[2], out.strokes))
            taken.append(box)
            parts.append(text(look, "d-let", x, y, detail.letter))
    return "".join(parts)


def legend_parts(look: Look, ids: str, laid: Laid, width: float, top: float) -> tuple[str, float]:
    """What each line and hatching means, in rows from the top on; and their height [units]."""
    items = legend_of(laid)
    parts = [path(look, "cell", f"M0 {n(top)}H{n(width)}")]
    # Columns as wide as the longest word needs, so that the rows stand under one another.
    in_row = len(items) if width > 2 * WIDTH else 3
    needed = [max(map(text_width, items[column::in_row])) for column in range(min(in_row, len(items)))]
    gap = (width - 18.0 - sum(needed) - SAMPLE * len(needed)) / max(1, len(needed) - 1) if len(needed) > 1 else 0.0
    starts = [9.0 + sum(needed[:column]) + column * (SAMPLE + min(gap, 24.0)) for column in range(len(needed))]
    y = top + 18.0
    for at, word in enumerate(items):
        row, column = divmod(at, in_row)
        x, y = starts[column], top + 18.0 + row * (LINE + 2.0)
        middle = y - 4.2
        if word in ("missing", "over"):
            fill = f"url(#{ids}-{'s' if word == 'missing' else 'o'})"
            parts.append(f'<rect x="{n(x)}" y="{n(middle - 6)}" width="22" height="12" fill="{fill}"/>')
        else:
            line = {"wanted": "o-ref", "measured": "o-piece", "drawn in": "o-thin"}[word]
            parts.append(path(look, line, f"M{n(x)} {n(middle)}h22"))
        parts.append(text(look, "l-text", x + SAMPLE, y, word))
    return f'<g class="legend">{"".join(parts)}</g>', y + 8.0 - top


def block_parts(look: Look, block: list[tuple[str, str]], width: float, top: float) -> tuple[str, float]:
    """The title block from the top on, and its height [units]: short cells share a row, long ones have their own."""
    rows: list[list[tuple[str, str]]] = []
    for cell in block:
        row = [*rows[-1], cell] if rows else []
        if row and all(max(map(text_width, cell)) <= width / len(row) - CELL for cell in row):
            rows[-1] = row
        else:
            rows.append([cell])
    parts, y = [], top
    for row in rows:
        wide = width / len(row)
        lines = [wrapped(value, wide - CELL, 4) for _, value in row]
        height = 2.0 + LINE * (1 + max(len(cell_lines) for cell_lines in lines)) + 6.0
        parts.append(path(look, "cell", f"M0 {n(y)}H{n(width)}"))
        for column, ((label, _), cell_lines) in enumerate(zip(row, lines, strict=True)):
            x = column * wide
            if column:
                parts.append(path(look, "cell", f"M{n(x)} {n(y)}v{n(height)}"))
            parts.append(text(look, "l-label", x + 9.0, y + LINE, label))
            for at, line in enumerate(cell_lines, start=1):
                parts.append(text(look, "l-text", x + 9.0, y + LINE * (1 + at), line))
        y += height
    return f'<g class="title-block">{"".join(parts)}</g>', y - top
