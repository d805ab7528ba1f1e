"""A make and its report, or a page that says what is not there; and where its pieces are read."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import urlencode

from flask import abort

from fitcheck.records.makes import Make
from fitcheck.reports.choose import ReportError
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import NotFound
from webui.pages import views


def make_of(key: str) -> Make:
    """The record of a make, or a page that says it is not there."""
    try:
        record = views.store().get("makes", key).record
    except NotFound as error:
        abort(404, str(error))
    assert isinstance(record, Make)
    return record


def report_or_404(key: str, piece: str | None) -> Report:
    """The report on a make and piece, or a page that says which there are."""
    return _or_404(views.report_of, key, piece)


def shown_report_or_404(key: str, piece: str | None) -> Report:
    """The same as the page of the make shows it."""
    return _or_404(views.shown_report_of, key, piece)


def listed_report_or_404(key: str, piece: str | None) -> Report:
    """The same without what swatches and size table answer where there is a verdict."""
    return _or_404(views.listed_report_of, key, piece)


def _or_404(asked: Callable[[str, str | None], Report], key: str, piece: str | None) -> Report:
    try:
        return asked(key, piece)
    except (NotFound, ReportError) as error:
        abort(404, str(error))


def measure_url(record: Make, point: str | None = None, piece: str | None = None, *, another: bool = False) -> str:
    """Where a piece of the make is read: the measuring walk, at one point of it, or at the start of another piece."""
    asked = {
        "piece": piece,
        "points": point,
        "point": point.split(",")[0] if point else None,
        "begin": "1" if another else None,
    }
    said = urlencode({name: value for name, value in asked.items() if value})
    return f"/makes/{record.id}/walk{'?' if said else ''}{said}"


def swatch_url(record: Make) -> str:
    """Where a swatch for the make is written down: its yarn and machine stand there already."""
    return f"/swatches/new?{urlencode({'yarn': record.yarn or '', 'machine': record.machine or '', 'make': record.id})}"
