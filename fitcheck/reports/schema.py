"""The report as a type that pydantic knows, made from its shapes on demand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fitcheck.reports.shapes import Report

if TYPE_CHECKING:
    from pydantic import TypeAdapter


def report_type() -> TypeAdapter[Report]:
    """The report as a pydantic type, which makes its schema and reads it back from JSON.

    The shapes do without the modules of their parts about fabric, sizes and the rest; here these are named.
    """
    from pydantic import TypeAdapter

    from fitcheck.advice.fabric.shapes import FabricAnswer
    from fitcheck.advice.rest.programme import Demand
    from fitcheck.advice.sizes.answers import FirstPiece, SizesAnswer
    from fitcheck.advice.to_come.seams import Seam
    from fitcheck.advice.to_come.to_knit import PieceToKnit
    from fitcheck.advice.to_come.yarn_left import YarnLeft

    report: TypeAdapter[Report] = TypeAdapter(Report)
    parts = (Demand, FabricAnswer, SizesAnswer, FirstPiece, PieceToKnit, Seam, YarnLeft)
    report.rebuild(force=True, _types_namespace={part.__name__: part for part in parts})
    return report
