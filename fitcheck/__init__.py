"""Fitcheck: is this blocked piece right, and what now?

The public functions are lazy names of this package: nothing heavy is imported until one of them is used.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_WHERE = {
    "read_length": "fitcheck.records.lengths",
    "write_length": "fitcheck.records.lengths",
    "Length": "fitcheck.records.lengths",
    "LengthError": "fitcheck.records.lengths",
    "FitcheckError": "fitcheck.records.faults",
    "RecordsError": "fitcheck.records.faults",
    "Estimate": "fitcheck.estimates.numbers",
    "Interval": "fitcheck.estimates.numbers",
    "CannotSay": "fitcheck.estimates.numbers",
    "Quantity": "fitcheck.estimates.numbers",
    "pool_repeatability": "fitcheck.estimates.readings",
    "estimate_readings": "fitcheck.estimates.readings",
    "combine": "fitcheck.estimates.readings",
    "finishing_change": "fitcheck.notebook.change",
    "judge_difference": "fitcheck.advice.judge.verdict",
    "judge_piece": "fitcheck.advice.judge.verdict",
    "PiecePoint": "fitcheck.advice.judge.points",
    "chance_all_fit": "fitcheck.advice.chance",
    "FitPoint": "fitcheck.advice.chance",
    "explain_piece": "fitcheck.advice.judge.explanation",
    "recommend": "fitcheck.advice.decide.decision",
    "DecisionState": "fitcheck.advice.decide.state",
    "DecisionPoint": "fitcheck.advice.decide.state",
    "DEFAULT_COSTS": "fitcheck.advice.decide.decision",
    "counts_for_rest": "fitcheck.advice.rest.counts",
    "nearest_count": "fitcheck.advice.rest.count_series",
    "loss_table": "fitcheck.advice.rest.loss_table",
    "fit_table": "fitcheck.advice.rest.loss_table",
    "Programme": "fitcheck.advice.rest.programme",
    "Choice": "fitcheck.advice.rest.programme",
    "Sum": "fitcheck.advice.rest.programme",
    "Demand": "fitcheck.advice.rest.programme",
    "grams_per_stitch": "fitcheck.estimates.yarn",
    "yarn_needed": "fitcheck.estimates.yarn",
    "yarn_prior": "fitcheck.estimates.yarn",
    "lot_plan": "fitcheck.advice.to_come.lots",
    "spaced_rows": "fitcheck.knitting.spacing",
    "arranged_gaps": "fitcheck.knitting.spacing",
    "gap_lines": "fitcheck.knitting.spacing",
    "seam_line": "fitcheck.knitting.seam_line",
    "curve": "fitcheck.knitting.curve",
    "cap_shapings": "fitcheck.knitting.cap",
    "shoulder_groups": "fitcheck.knitting.shoulders",
    "plan_piece": "fitcheck.knitting.pieces",
    "mirrored": "fitcheck.knitting.plan",
    "sheet": "fitcheck.knitting.sheet",
    "replay": "fitcheck.knitting.replay",
    "pick_up": "fitcheck.knitting.pick_up",
    "pick_up_rows": "fitcheck.knitting.pick_up",
    "share": "fitcheck.knitting.pick_up",
    "join": "fitcheck.knitting.joins",
    "SewnEdge": "fitcheck.knitting.joins",
    "ReadingSet": "fitcheck.estimates.readings",
    "HowRead": "fitcheck.advice.judge.points",
    "StitchSize": "fitcheck.advice.chance",
    "line_through": "fitcheck.estimates.line",
    "Line": "fitcheck.estimates.line",
    "pooled_change": "fitcheck.notebook.pooled_change",
    "PooledChange": "fitcheck.notebook.pooled_change",
    "fit_fabric": "fitcheck.estimates.fabric.fit",
    "Fabric": "fitcheck.estimates.fabric.fit",
    "Specimen": "fitcheck.estimates.fabric.specimens",
    "SpecimenStage": "fitcheck.estimates.fabric.specimens",
    "PointReading": "fitcheck.estimates.fabric.specimens",
    "Assumptions": "fitcheck.estimates.fabric.assumptions",
    "DEFAULT": "fitcheck.estimates.fabric.assumptions",
    "check_size_table": "fitcheck.advice.sizes.table_check",
    "TableCheck": "fitcheck.advice.sizes.table_check",
    "report": "fitcheck.reports.shaped",
    "the_rest": "fitcheck.reports.the_rest",
    "json_text": "fitcheck.words.data",
}

__all__ = sorted(_WHERE)


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"module 'fitcheck' has no attribute {name!r}")
    offered = getattr(import_module(_WHERE[name]), name)
    if name == "report":
        shape = import_module("fitcheck.reports.shapes").Report
        shape._repr_html_, shape.__str__, shape.to_json, shape.to_data = _shown, _printed, _json, _data
    if name == "the_rest":
        shape = import_module("fitcheck.reports.the_rest").TheRest
        shape._repr_html_, shape.__str__ = _rest_shown, _rest_printed
        shape.to_json, shape.to_data = _rest_json, _rest_data
    return offered


# What an answer can do at this door; it itself knows nothing of the sentences and drawings that stand above it.


def _shown(report: Any) -> str:
    """How a notebook shows a report."""
    from fitcheck.drawing.notebook import report_html

    return report_html(report)


def _printed(report: Any) -> str:
    """How a prompt prints a report: on one screen, as the command does."""
    from fitcheck.terminal.in_short import printed_in_short

    return printed_in_short(report)


def _json(report: Any, *, indent: int | None = None) -> str:
    """The report as JSON text, full precision; equal records give equal text."""
    from fitcheck.words.data import json_text

    return json_text(report, indent=indent)


def _data(report: Any) -> Any:
    """The report as plain data, ready for JSON."""
    from fitcheck.words.data import as_data

    return as_data(report)


def _rest_shown(rest: Any) -> str:
    """How a notebook shows the rest of a sweater: its tables as they are printed."""
    from html import escape

    return f"<pre>{escape(str(rest))}</pre>"


def _rest_printed(rest: Any) -> str:
    """How a prompt prints the rest of a sweater: as the command does, in the unit of its file."""
    from fitcheck.reports.on_the_needles import bands_by_file, in_hand_by_file
    from fitcheck.terminal.the_rest import printed_rest
    from fitcheck.words.figures import own_unit

    unit = own_unit(rest.told.given.household.unit)
    return printed_rest(rest.answer, unit, in_hand=in_hand_by_file(rest), bands=bands_by_file(rest))


def _rest_json(rest: Any, *, indent: int | None = None) -> str:
    """The answer about the rest as JSON text, full precision; equal records give equal text."""
    return _json(rest.answer, indent=indent)


def _rest_data(rest: Any) -> Any:
    """The answer about the rest as plain data, ready for JSON."""
    return _data(rest.answer)


def __dir__() -> list[str]:
    return list(__all__)
