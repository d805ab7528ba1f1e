"""Side panels: straight or tapered, cast off together. Their plans are not proven on a garment that was sewn."""

from __future__ import annotations

from fitcheck.knitting.counts import Choices, PanelCounts
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Plan, Segment
from fitcheck.knitting.sides import side_edge, side_runs, write_side
from fitcheck.knitting.writing import PartWriter, Turns, check_bed


def plan_side_panel(counts: PanelCounts, choices: Choices) -> Plan:
    """A side panel by row counter.

    Errors: ShapingError where rows, counts or needles do not hold it.
    Source: common practice, no source; not proven.
    """
    check_bed(counts.cast_on, max(counts.cast_on, counts.top), choices)
    runs = side_runs(((0, counts.cast_on), (counts.rows, counts.top)), 0)
    panel = PartWriter("body", 0, Turns(choices.first, 0), choices)
    panel.act(0, "cast_on", "all", counts.cast_on)
    write_side(panel, runs)
    panel.act(counts.rows, "cast_off_all", "all", counts.top, "top")
    panel.act(counts.rows, "weigh", "all", 0)
    return Plan(
        "side_panel",
        span_of(counts.cast_on),
        (panel.part(counts.rows),),
        {"left_side": side_edge(runs), "right_side": side_edge(runs), "top": (Segment(counts.top, 0),)},
        {"panel_width": (counts.rows, counts.top), "panel_length": (counts.rows, counts.top)},
        {"top": counts.top},
    )
