"""A report as HTML for a notebook: its sentence, the overlay, and a line with its ruler per point."""

from __future__ import annotations

from fitcheck.drawing.overlay import overlay
from fitcheck.drawing.rulers import ruler, span_of, zone_sign
from fitcheck.drawing.svg import escape
from fitcheck.drawing.tapes import key_figures
from fitcheck.reports.shapes import Report
from fitcheck.words import Unit, headline, point_sentence, stamp
from fitcheck.words.figures import Tape

_WIDE = 432
"""Width of a drawing in a notebook [px]: one and a half times its units."""


def report_html(report: Report, unit: Unit = "cm") -> str:
    """The report as HTML that stands alone, widths given by attributes only."""
    ids = f"fc{report.digest[:8]}"
    parts = [f"<p><strong>{escape(headline(report, Tape(unit, '.')))}</strong></p><p>{escape(stamp(report.head))}</p>"]
    parts.append(overlay(report, unit, ids=ids, wide=_WIDE))
    span = span_of(report.points, unit)
    figures = key_figures(point.key for point in report.points)
    for point in sorted(report.points, key=lambda point: figures[point.key]):
        drawn = ruler(point, unit, span, wide=_WIDE)
        sign = zone_sign(point.code, point.difference.value)
        parts.append(f"<p>{figures[point.key]}. {sign} {escape(point_sentence(point, Tape(unit, '.')))}</p>{drawn}")
    return f"<div>{''.join(parts)}</div>"
