"""What would be if: the report of a make with other counts, another dial or another size; nothing is kept."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NoReturn

from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import Fault, RecordsError, wrong_value
from fitcheck.records.files import open_household
from fitcheck.records.makes import Make
from fitcheck.records.places import Path, read_path, write_path
from fitcheck.records.refusals import shown
from fitcheck.store import Store

if TYPE_CHECKING:
    from fitcheck.reports.shapes import Report

FIELDS = ("piece", "counts", "planned", "dial", "size")


def what_if(store: Store, key: str, changes: Mapping[str, Any]) -> Report:
    """Return the report of a make as if it were changed.

    changes  piece    the piece asked about; the last one that was read otherwise
             counts   stitches or rows of that piece, per point, as if they had been counted so
             planned  stitches or rows of pieces to come, per kind of piece and point
             dial     dial setting of the pieces to come
             size     size of the pattern's table

    Raises NotFound, ReportError for a piece that is not there, RecordsError with every fault.
    """
    from fitcheck.reports.choose import chosen_make, chosen_piece
    from fitcheck.reports.shaped import report

    household = store.make_household(key)
    asked = changes.get("piece")
    if asked is not None and not isinstance(asked, str):
        _refuse("piece", asked, "The key of a piece of this make.")
    # Also says that the piece is not there, before anything is changed.
    on_table = chosen_piece(chosen_make(household, key), asked)
    piece = on_table.id if on_table else None
    document: dict[str, Any] = json.loads(household.model_dump_json(exclude_defaults=True))
    number = next(place for place, record in enumerate(household.makes) if record.id == key)
    make = document["makes"][number]
    places: dict[Path, Path] = {}
    if (counts := changes.get("counts")) is not None:
        _counts(make, piece, counts, places)
    if (planned := changes.get("planned")) is not None:
        _planned(make, planned)
    if (dial := changes.get("dial")) is not None:
        _dial(household.makes[number], make, dial, places)
    if (size := changes.get("size")) is not None:
        make["size"] = size
    try:
        changed = open_household(document)
    except RecordsError as wrong:
        raise RecordsError([_as_asked(fault, number, places) for fault in wrong.faults]) from wrong
    return report(changed, make=key, piece=piece)


def _counts(make: dict[str, Any], piece: str | None, counts: Any, places: dict[Path, Path]) -> None:
    if not isinstance(counts, dict):
        _refuse("counts", counts, "Counts per point of measure.")
    if piece is None:
        _refuse("counts", counts, "Counts for a make with a piece; this one has none yet.")
    number, counted = next((place, entry) for place, entry in enumerate(make["pieces"]) if entry["id"] == piece)
    for point, count in counts.items():
        counted.setdefault("counts", {}).setdefault(point, {})["counted"] = count
        places["pieces", number, "counts", point, "counted"] = ("counts", point)
    places["pieces", number, "counts"] = ("counts",)


def _planned(make: dict[str, Any], planned: Any) -> None:
    if not isinstance(planned, dict):
        _refuse("planned", planned, "Counts per kind of piece and point of measure.")
    for kind, counts in planned.items():
        if not isinstance(counts, dict):
            _refuse(f"planned.{kind}"[:60], counts, "Counts per point of measure.")
        make.setdefault("planned", {}).setdefault(kind, {}).update(counts)


def _dial(make: Make, document: dict[str, Any], dial: Any, places: dict[Path, Path]) -> None:
    """Put a piece that is still to be knitted at the end, at this dial: the next piece is knitted like it."""
    known = [piece.piece for piece in make.pieces]
    every = CONSTRUCTIONS[make.construction].pieces
    following = next((kind for kind in every if kind not in known), known[-1] if known else every[0])
    taken = {piece.id for piece in make.pieces}
    name = next(f"next-{number}" for number in range(len(taken) + 1) if f"next-{number}" not in taken)
    following_piece = {"id": name, "piece": following, "dial": dial}
    last = make.pieces[-1] if make.pieces else None
    for field in ("yarn", "machine"):
        if last is not None and getattr(last, field) is not None:
            following_piece[field] = getattr(last, field)
    pieces = document.setdefault("pieces", [])
    places["pieces", len(pieces), "dial"] = ("dial",)
    pieces.append(following_piece)


def _as_asked(fault: Fault, make: int, places: Mapping[Path, Path]) -> Fault:
    """A fault with its place in what was asked."""
    path = read_path(fault.place)
    if path[:2] == ("makes", make):
        path = path[2:]
    for inside, asked in places.items():
        if path[: len(inside)] == inside:
            path = (*asked, *path[len(inside) :])
            break
    return Fault(write_path(path), fault.read, fault.accepts)


def _refuse(place: str, read: Any, accepts: str) -> NoReturn:
    raise wrong_value(place, shown(read), accepts)
