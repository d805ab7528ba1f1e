"""Which sheet of a piece is shown: the one that was begun, as long as it is on the needles, else the one by the counts.

A begun sheet keeps its lines and its ticks whatever the counts become; that they are others now is said beside it.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import replace
from datetime import datetime
from typing import Any

from fitcheck.advice.to_come.plans_of import rib_mm
from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.counts import Fabric
from fitcheck.knitting.lines import Sheet
from fitcheck.knitting.written import sheet_of
from fitcheck.records.begun_sheets import BegunSheet
from fitcheck.records.frozen import frozen
from fitcheck.records.makes import Make
from fitcheck.records.sheet_kinds import SheetKind
from fitcheck.reports.the_rest import TheRest

OFF_THE_NEEDLES = ("knitted", "finished", "nothing_left", "no_such_piece")
"""Why there is no sheet by the counts where there is nothing left to knit of a piece either."""


@frozen
class ShownSheet:
    """The sheet of a piece as it is shown.

    sheet   its lines;  fabric: size of the stitches that it was made for [mm];  rib_mm: its rib is so long [mm]
    digest  of its lines
    begun   the begun sheet that it is; None where it is the one by the counts
    older   whether the counts have become others since it was begun
    """

    sheet: Sheet
    fabric: Fabric
    rib_mm: float
    digest: str
    begun: BegunSheet | None = None
    older: bool = False


def shown_sheet(rest: TheRest, make: Make, kind: SheetKind) -> ShownSheet | CannotSay:
    """The sheet of a piece that is shown now, or why there is none."""
    anew = sheet_by_counts(rest, make, kind)
    begun = begun_of(make, kind)
    if begun is None or (isinstance(anew, CannotSay) and anew.code in OFF_THE_NEEDLES):
        return anew
    lines = sheet_of(begun.sheet)
    head = replace(lines.head, revision=begun.number)
    older = isinstance(anew, CannotSay) or anew.digest != begun.digest
    fabric = Fabric(begun.stitch_mm, begun.row_mm)
    return ShownSheet(replace(lines, head=head), fabric, rib_mm(make, kind), begun.digest, begun, older)


def sheet_by_counts(rest: TheRest, make: Make, kind: SheetKind) -> ShownSheet | CannotSay:
    """The sheet of a piece by its counts as they are now, which nobody has begun; or why there is none."""
    sheet = rest.sheet(kind)
    if isinstance(sheet, CannotSay):
        return sheet
    band = rest.band(kind)
    if band is not None:
        return ShownSheet(sheet, Fabric(band.stitch.stitch_mm, band.stitch.row_mm), 0.0, digest_of_lines(sheet))
    piece = next(piece for piece in rest.planned if piece.id is None and piece.kind == kind)
    return ShownSheet(sheet, piece.fabric, rib_mm(make, piece.kind), digest_of_lines(sheet))


def begun_of(make: Make, kind: SheetKind) -> BegunSheet | None:
    """The sheet that a piece is knitted from now."""
    return next((begun for begun in reversed(make.sheets) if begun.piece == kind and not begun.ended), None)


def digest_of_lines(sheet: Sheet) -> str:
    """SHA-256 of the lines of a sheet: equal lines are the same sheet, whatever stands above them."""
    lines = json.loads(sheet.to_json())["lines"]
    return hashlib.sha256(json.dumps(lines, ensure_ascii=False, sort_keys=True).encode()).hexdigest()


def newly_begun(shown: ShownSheet, rest: TheRest, make: Make, at: datetime) -> dict[str, Any]:
    """The record of a sheet that is begun now: its lines as they are shown, under the next number of its piece.

    rest  the answer that it was made of
    """
    kind = shown.sheet.head.piece
    number = 1 + max((begun.number for begun in make.sheets if begun.piece == kind), default=0)
    counted = next((piece.counts for piece in rest.answer.pieces if piece.kind == kind), {})
    return {
        "id": f"{kind.replace('_', '-')}-{number}",
        "piece": kind,
        "number": number,
        "counts": {key: count.count for key, count in counted.items()},
        "stitch_mm": shown.fabric.w,
        "row_mm": shown.fabric.h,
        "digest": shown.digest,
        "at": at.isoformat(timespec="seconds"),
        "sheet": json.loads(replace(shown.sheet, head=replace(shown.sheet.head, revision=number)).to_json()),
    }
