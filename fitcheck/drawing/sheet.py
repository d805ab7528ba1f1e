"""One A4 sheet at a standard scale: overlay, windows of true size, the list of points, a bar of 100 mm to check."""

from __future__ import annotations

from fitcheck.drawing.details import WINDOW_MM, detail_words, details_of, window_parts
from fitcheck.drawing.laid import At, Laid, lay
from fitcheck.drawing.look import PRINT, SHEET_UNIT_MM
from fitcheck.drawing.overlay import BAR, LINE, block_parts, body_of, legend_parts, name_of, title_block
from fitcheck.drawing.placed import DISC, columns_of
from fitcheck.drawing.rulers import zone_parts
from fitcheck.drawing.svg import cell, escape, n, path, rect, shortened, text, wrapped
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report
from fitcheck.words import Mark, Unit, point_title, row_figures, zone_word
from fitcheck.words.figures import Tape

A4_MM = (210.0, 297.0)
MARGIN_MM = 12.0
SCALES = (2.0, 2.5, 4.0, 5.0, 8.0, 10.0)
"""Standard scales, 1 to each of these."""
CHECK_MM = 100.0
TICK = 0.8
"""How thick a tick of the bar to check is [units]."""
CHECK_ROOM = 30.0
"""What the bar to check takes at the foot [units]."""
COLUMNS = (20.0, 30.0, 300.0, 336.0, 555.0, 628.0, 702.0)
"""Columns of the list [units]: figure, name, sign, verdict, wanted, measured, difference."""


def scale_of(laid: Laid, width_mm: float, height_mm: float) -> float:
    """The largest standard scale at which the outlines fit a room on paper [mm]; the smallest where none does."""
    across, highest, lowest = laid.reach(every_way=False)
    down = lowest - highest
    return next((scale for scale in SCALES if across / scale <= width_mm and down / scale <= height_mm), SCALES[-1])


def sheet(
    report: Report,
    unit: Unit = "cm",
    *,
    at: At = "shoulders",
    ids: str = "sh",
    construction: str | None = None,
    dated: str = "",
    revision: str = "",
    mark: Mark = ".",
) -> str:
    """The sheet of a report as one SVG of 210 x 297 mm; empty where nothing can be drawn.

    dated, revision  for the title block;  mark: decimal mark
    """
    laid = lay(report, at, construction)
    if isinstance(laid, CannotSay):
        return ""
    wide, high = ((side_mm - 2 * MARGIN_MM) / SHEET_UNIT_MM for side_mm in A4_MM)
    windows = _windows(laid, unit, ids, wide, mark)
    block = title_block(report, unit, laid)
    if dated or revision:
        block.append(("Date and revision", ", ".join(said for said in (dated, revision) if said)))
    # Everything but the drawing has its height; what is left on the paper sets the scale.
    _, block_high = block_parts(PRINT, [*block, ("Scale", "1:10")], wide, 0.0)
    _, legend_high = legend_parts(PRINT, ids, laid, wide, 0.0)
    windows_high = WINDOW_MM[1] / SHEET_UNIT_MM + 2 * LINE + 16.0 if windows else 0.0
    list_high = LINE * (len(report.points) + 1) + 14.0
    room = high - block_high - legend_high - windows_high - list_high - CHECK_ROOM
    columns = columns_of(wide, ["00 0/0"], left_column=True)
    across_mm = (columns.column - DISC - 10.0 - columns.left) * SHEET_UNIT_MM
    scale = scale_of(laid, across_mm, (room - 30.0 - BAR) * SHEET_UNIT_MM)
    body = body_of(laid, unit, ids=ids, look=PRINT, width=wide, scale=1 / scale / SHEET_UNIT_MM, mark=mark)
    legend, _ = legend_parts(PRINT, ids, laid, wide, body.height)
    y = body.height + legend_high
    parts = [body.svg, legend]
    if windows:
        parts += [path(PRINT, "cell", f"M0 {n(y)}H{n(wide)}"), f'<g transform="translate(0 {n(y)})">{windows}</g>']
        y += windows_high
    parts += [path(PRINT, "cell", f"M0 {n(y)}H{n(wide)}"), _list(report, laid, unit, ids, y, mark)]
    y += list_high
    cells, block_high = block_parts(PRINT, [*block, ("Scale", f"1:{scale:g}")], wide, y)
    parts += [cells, rect(PRINT, "frame", 0.0, 0.0, wide, y + block_high), _check_bar(wide, high)]
    width, height_mm = A4_MM
    label = f"{name_of(report, laid).rstrip('.')}, at 1:{scale:g}."
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="print-sheet" width="{n(width)}mm" height="{n(height_mm)}mm"'
        f' viewBox="0 0 {n(width)} {n(height_mm)}" role="img" aria-labelledby="{ids}-t" data-scale="{scale:g}">'
        f'<title id="{ids}-t">{escape(label)}</title>'
        f'<rect width="{n(width)}" height="{n(height_mm)}" fill="#fff"/>'
        f'<g transform="translate({n(MARGIN_MM)} {n(MARGIN_MM)}) scale({SHEET_UNIT_MM})">{"".join(parts)}</g></svg>'
    )


def _windows(laid: Laid, unit: Unit, ids: str, wide: float, mark: Mark) -> str:
    """The windows of true size in a row, each with its caption; empty without one."""
    window_wide, window_high = (mm / SHEET_UNIT_MM for mm in WINDOW_MM)
    step = (wide - 4 * window_wide) / 5
    parts = []
    for place, detail in enumerate(details_of(laid)):
        x = step + place * (window_wide + step)
        own = f"{ids}{detail.letter.lower()}"
        inside = window_parts(laid, detail, unit, 1 / SHEET_UNIT_MM, own, look=PRINT, hatched_as=ids)
        parts.append(f'<g class="detail" transform="translate({n(x)} 8)">{inside}</g>')
        for line, word in enumerate(wrapped(detail_words(detail, unit, mark=mark), window_wide, 2), start=1):
            parts.append(text(PRINT, "l-text", x, 8 + window_high + LINE * line, word))
    return "".join(parts)


def _list(report: Report, laid: Laid, unit: Unit, ids: str, top: float, mark: Mark) -> str:
    """The list that the figures of the keys stand for; a sign that comes again refers to the first."""
    y = top + LINE
    parts = [
        text(PRINT, "l-label", x, y, word, anchor)
        for x, word, anchor in (
            (COLUMNS[1], "point", "start"),
            (COLUMNS[3], "verdict", "start"),
            (COLUMNS[4], f"wanted, {unit}", "end"),
            (COLUMNS[5], "measured", "end"),
            (COLUMNS[6], "difference", "end"),
        )
    ]
    signs: dict[str, str] = {}
    for point in sorted(report.points, key=lambda point: laid.figures[point.key]):
        y += LINE
        row = row_figures(point, Tape(unit, mark))
        sign = zone_parts(point.code, point.difference.value, look=PRINT)
        cells = [
            (COLUMNS[0], str(laid.figures[point.key]), "end"),
            (COLUMNS[1], shortened(point_title(point), COLUMNS[2] - COLUMNS[1] - 6.0), "start"),
            (COLUMNS[3], zone_word(point.code), "start"),
            (COLUMNS[4], row.wanted, "end"),
            (COLUMNS[5], row.measured, "end"),
            (COLUMNS[6], row.difference, "end"),
        ]
        at = f'transform="translate({n(COLUMNS[2])} {n(y - 12)}) scale(.75)"'
        name = signs.get(sign)
        if name is None:
            name = signs[sign] = f"{ids}-z{len(signs)}"
            parts.append(f'<g {at}><g id="{name}">{sign}</g></g>')
        else:
            parts.append(f'<use href="#{name}" {at}/>')
        words = "".join(cell(x, word, anchor) for x, word, anchor in cells if word)
        parts.append(f'<g{PRINT["l-text"]} transform="translate(0 {n(y)})">{words}</g>')
    return f'<g class="list">{"".join(parts)}</g>'


def _check_bar(wide: float, high: float) -> str:
    """The bar with its ticks: each kind one broken line, as thick as its ticks are long."""
    mm = 1 / SHEET_UNIT_MM
    long = CHECK_MM * mm
    x, y = (wide - long) / 2, high - 6.0
    ticks = "".join(
        f'<path stroke="#000" stroke-width="{up}" stroke-dasharray="{TICK} {every * mm - TICK}"'
        f' d="M{-TICK / 2} {-up / 2}H{long + TICK / 2}"/>'
        for every, up in ((1, 5), (5, 8), (10, 12))
    )
    return (
        f'<g class="check-bar" transform="translate({n(x)} {n(y)})">{path(PRINT, "r-edge", f"M0 0h{n(long)}")}'
        f"{ticks}{text(PRINT, 'l-text', -6.0, 0.0, 'This bar is 100 mm:', 'end')}</g>"
    )
