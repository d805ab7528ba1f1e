"""An example for each operation: what can be sent as it stands, once the invented household was brought in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import field
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.store.stored import HOUSEHOLD


@frozen
class Example:
    """What is sent to an operation.

    path      parts of its address, where they are others than the operation's own
    revision  what If-Match says; None where nothing is said
    body      data, or the text of a table; None where nothing is sent, or what no text can show
    after     operations whose examples are done before it, so that there is something to do it to
    """

    path: Mapping[str, str] = field(default_factory=dict)
    revision: int | None = None
    body: Any = None
    after: tuple[str, ...] = ()


_STAGE = {"kind": "blocked", "on": "2026-02-08", "across": ["17.9 cm", "18.1 cm"], "along": ["19.6 cm", "19.8 cm"]}
_SWATCH = {
    "name": "grey, dial 9",
    "yarn": "grey_wool_in_oil",
    "machine": "standard_bed",
    "dial": "9",
    "stitches": {"count": 40},
    "rows": {"count": 60},
    "stages": [_STAGE],
}
_BACK = {
    "id": "back",
    "piece": "back",
    "dial": "7",
    "counts": {"chest": 120, "shoulder_width": 94},
    "stages": [{"kind": "blocked", "on": "2026-02-15", "readings": {"chest": ["54.0 cm", "54.3 cm"]}}],
}
_MAKE = {
    "name": "second grey pullover",
    "wearer": "ines",
    "fits": {"garment": "brown_pullover", "occasion": "washed_in_spring"},
    "yarn": "grey_wool_in_oil",
    "machine": "standard_bed",
    "swatches": ["grey_at_7"],
    "pieces": [_BACK],
}
_TABLE = {
    "name": "two sizes of a plain pullover",
    "measures": "flat",
    "sizes": [
        {"name": "S", "pieces": {"back": {"chest": {"measure": "50 cm", "count": 112}}}},
        {"name": "M", "pieces": {"back": {"chest": {"measure": "54 cm", "count": 120}}}},
    ],
}
_JUMPER = {
    "name": "blue jumper",
    "wearer": "ines",
    "occasions": [
        {
            "id": "washed",
            "on": "2026-02-01",
            "state": "washed_flat",
            "readings": {"chest": ["52.4 cm", "52.1 cm"], "shoulder_width": ["41.0 cm"]},
        }
    ],
}
_NORA = {"name": "Nora", "body": {"chest": ["92.4 cm", "92.8 cm"], "upper_arm": ["28.6 cm"]}}
NEW: Mapping[str, tuple[str, Mapping[str, Any]]] = {
    "wearers": ("nora", _NORA),
    "garments": ("blue_jumper", _JUMPER),
    "yarns": ("blue_wool", {"name": "blue wool", "fibres": [{"fibre": "wool", "percent": 100}], "tex": 400}),
    "machines": ("third_bed", {"name": "the third machine", "pitch": "9 mm", "needles": 110}),
    "swatches": ("grey_at_9", _SWATCH),
    "size_tables": ("two_sizes", _TABLE),
    "makes": ("second_grey", _MAKE),
}
"""A new record of each kind: its key, and what it says."""
_READINGS = {
    "wearers": ("ines", "body/chest", "95.4 cm"),
    "garments": ("brown_pullover", "occasions/washed_in_spring/readings/chest", "54.0 cm"),
    "swatches": ("grey_at_7", "stages/2/across", "17.4 cm"),
    "makes": ("grey_pullover", "pieces/back/stages/0/readings/chest", {"text": "55.2 cm", "laying": 2}),
}
"""A reading for each kind that has some: of which record, where, and what it says."""
_LINES = "record kind,key,place,point,text\ngarments,brown_pullover,occasions/washed_in_spring/readings,chest,54.2 cm\n"
_DIGEST = "0" * 64
"""In the place of the digest of a report."""


def _of_kind(kind: str, key: str, record: Mapping[str, Any]) -> Iterator[tuple[str, Example]]:
    """Write a new record, and do with it what else can be done."""
    path, written = {"key": key}, f"put_{kind}"
    yield written, Example(path, 0, record)
    yield f"delete_{kind}", Example(path, 1, after=(written,))
    yield f"undo_{kind}", Example(path, 1, after=(written,))
    yield f"bring_back_{kind}", Example(path, 2, {"revision": 1}, (written, f"delete_{kind}"))
    yield f"check_{kind}", Example(path, body=record)


def _of_readings(kind: str, key: str, place: str, reading: Any) -> Iterator[tuple[str, Example]]:
    """Add a reading, and do with it what else can be done."""
    path, added = {"key": key, "id": "phone-00000001"}, f"add_reading_{kind}"
    yield added, Example(path, body={"place": place, "reading": reading})
    yield f"set_aside_{kind}", Example(path, body={"reason": "the tape had slipped"}, after=(added,))
    yield f"confirm_{kind}", Example(path, after=(added,))


def _every() -> Iterator[tuple[str, Example]]:
    for kind, (key, record) in NEW.items():
        yield from _of_kind(kind, key, record)
    for kind, (key, place, reading) in _READINGS.items():
        yield from _of_readings(kind, key, place, reading)
    settings = {"name": "the knitting table", "unit": "cm"}
    yield f"put_{HOUSEHOLD}", Example(revision=2, body=settings)
    yield f"undo_{HOUSEHOLD}", Example(revision=2)
    yield f"bring_back_{HOUSEHOLD}", Example(revision=2, body={"revision": 1})
    yield f"check_{HOUSEHOLD}", Example(body=settings)
    yield "what_if", Example(body={"dial": "7.1", "counts": {"chest": 122}})
    yield "take_counts", Example(body={"counts": {"front": {"chest": 126, "hem": 120}}, "report": _DIGEST})
    yield "keep_done", Example(body={"deeds": [1], "report": _DIGEST})
    yield "finish", Example(body={"on": "2026-03-01"})
    yield "choose", Example(revision=1, body={"cast_on": "waste_yarn"})
    yield "shape", Example(revision=1, body={"armhole": "5 at once, then 2 every row, 6 every 2nd"})
    yield "unshape", Example(revision=2, after=("shape",))
    yield "weigh", Example(revision=1, body={"grams": 171.0})
    tap = {"line": 0, "done": True, "counter": 0, "at": "2026-11-30T20:10:00+01:00", "device": "the phone"}
    yield "begin_sheet", Example(body={"report": _DIGEST})
    yield "add_tap", Example({"key": "rust_pullover"}, body=tap)
    yield "progress", Example({"key": "rust_pullover"})
    yield "end_sheet", Example({"key": "rust_pullover"})
    yield "import_bundle", Example(body={"fitcheck": 4, "unit": "cm", "wearers": [{"id": "nora", **_NORA}]})
    yield "import_readings", Example(body=_LINES)
    yield "get_photograph", Example(after=("keep_photograph",))


EXAMPLES: Mapping[str, Example] = dict(_every())
"""By the name of the operation; one that has none is asked as its address says."""
