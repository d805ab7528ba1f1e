"""A band that is picked up: loops are hung along its needles, its rows are knitted, and it is cast off loosely.

Where it is knitted in several parts (the bands of a pair, the hems of back and front, goes of a band that is wider than
the bed) each of them is a part of one sheet, with the counter set back between them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fitcheck.knitting.lines import Note, Sheet, SheetLine
from fitcheck.knitting.needles import span_of
from fitcheck.knitting.plan import Event, Part, Plan, Side, other_side
from fitcheck.knitting.sheet import sheet
from fitcheck.records.frozen import frozen
from fitcheck.records.sheet_kinds import FRONT_EDGE, BandKind

STARTS_AT: Side = "right"
"""Where the carriage starts (common practice, no source)."""


@frozen
class BandPart:
    """Loops that are hung at once: the name of their part, and how many they are [stitches]."""

    name: str
    stitches: int


def plan_band(kind: BandKind, parts: Sequence[BandPart], rows: int) -> Plan:
    """A band of one or more parts, one after the other about the middle of the bed, each of as many rows [rows]."""
    planned: list[Part] = []
    carriage = STARTS_AT
    for part in parts:
        events = (
            Event(part.name, 0, "hang", "all", part.stitches),
            Event(part.name, rows, "cast_off_all", "all", part.stitches, name=part.name),
        )
        planned.append(Part(part.name, 0, carriage, rows, events))
        if rows % 2:  # the next part begins where the carriage was left
            carriage = other_side(carriage)
    widest = max(part.stitches for part in parts)
    return Plan(kind, span_of(widest), tuple(planned), ends={part.name: part.stitches for part in parts})


def band_sheet(plan: Plan, picked: Mapping[str, Sequence[Note]]) -> Sheet:
    """The sheet of a planned band.

    picked  part -> what its loops are picked up from
    """
    written = sheet(plan)
    return replace(written, lines=tuple(_noted(line, plan, picked) for line in written.lines))


def _noted(line: SheetLine, plan: Plan, picked: Mapping[str, Sequence[Note]]) -> SheetLine:
    match line.act:
        case "hang":
            return replace(line, notes=(*line.notes, *picked.get(line.part, ())))
        case "cast_off_all":
            runs = {note.values.get("run") for notes in picked.values() for note in notes}
            begins = {"run": FRONT_EDGE} if FRONT_EDGE in runs else {}
            return replace(line, notes=(*line.notes, Note("loosely", {"piece": plan.piece, **begins})))
        case _:
            return line
