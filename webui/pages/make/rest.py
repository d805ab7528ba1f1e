"""The counts for the rest on a make's page: what changes, what stays, and what is taken from the advice at once."""

from __future__ import annotations

from fitcheck.records.frozen import frozen
from fitcheck.reports.shapes import Report
from fitcheck.words.rest import PieceTable, RestTold, rest_heading, rest_told
from webui.pages import views


@frozen
class RestPart:
    """What is still to knit.

    told             every piece with its counts, in words
    changed, stays   pieces that stand open, and those that are folded
    by_deeds         those that change whose counts are their own: where deeds are listed, these have said them
    """

    heading: str
    told: RestTold
    changed: tuple[PieceTable, ...]
    stays: tuple[PieceTable, ...]
    by_deeds: tuple[PieceTable, ...]


def rest_of(report: Report) -> RestPart | None:
    """List what is still to knit by the advice; None where nothing is."""
    if report.rest is None:
        return None
    told = rest_told(report.rest, views.tape(), report.taken, report.to_knit)
    changed = tuple(block for block in told.pieces if block.piece.changed or block.asked)
    stays = tuple(block for block in told.pieces if not (block.piece.changed or block.asked))
    by_deeds = tuple(block for block in changed if block.new and not block.like)
    return RestPart(rest_heading(report.rest), told, changed, stays, by_deeds)
