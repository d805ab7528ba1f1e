"""Where readings stand inside a document, and that they are only ever added.

A place names pieces and occasions by id, stages by number: ``pieces/back/stages/0/readings/chest``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from fitcheck.records.faults import Accepts, Fault
from fitcheck.records.places import Path, Place, write_address
from fitcheck.store.faults import NotFound

MAY_CHANGE = ("set_aside", "confirmed")
"""Fields of a reading that may change after it was written down."""

PATTERNS: Mapping[str, tuple[str, ...]] = {
    "wearers": ("body/<point>", "head"),
    "garments": ("occasions/<occasion>/readings/<point>",),
    "swatches": ("stages/<number>/across", "stages/<number>/along"),
    "makes": (
        "pieces/<piece>/stages/<number>/readings/<point>",
        "pieces/<piece>/stages/<number>/overhangs/<point>",
    ),
}
"""Places of readings per kind of record."""

_PER_POINT = ("body", "readings", "overhangs")


def lists_of(kind: str, data: Mapping[str, Any]) -> Iterator[tuple[Path, list[dict[str, Any]]]]:
    """Walk through every list of readings of a document with its path."""
    if kind == "wearers":
        yield from _per_point(("body",), data.get("body", {}))
        yield ("head",), data.get("head", [])
    elif kind == "garments":
        for occasion in data["occasions"]:
            yield from _per_point(("occasions", occasion["id"], "readings"), occasion.get("readings", {}))
    elif kind == "swatches":
        for number, stage in enumerate(data["stages"]):
            for name in ("across", "along"):
                yield ("stages", number, name), stage.get(name, [])
    elif kind == "makes":
        for piece in data.get("pieces", ()):
            for number, stage in enumerate(piece.get("stages", ())):
                for name in ("readings", "overhangs"):
                    yield from _per_point(("pieces", piece["id"], "stages", number, name), stage.get(name, {}))


def _per_point(at: Path, points: Mapping[str, Any]) -> Iterator[tuple[Path, list[dict[str, Any]]]]:
    for point, readings in points.items():
        yield (*at, point), readings


def list_at(where: Place, data: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the list of readings at a place, made where it was not there yet.

    The piece, stage or occasion must be there: NotFound says what is missing.
    """
    if not any(_like(where.path, pattern) for pattern in PATTERNS.get(where.kind, ())):
        _missing(where, f"no readings stand at {where.address!r} in {where.kind}")
    inside: Any = data
    for name, step in zip(("", *where.path), where.path, strict=False):
        if name in ("pieces", "occasions"):
            named = {entry["id"]: entry for entry in inside}
            if step not in named:
                _missing(where, f"{where.kind}/{where.key} has no {step!r} in its {name}")
            inside = named[step]
        elif name == "stages":
            assert isinstance(step, int)
            if step >= len(inside):
                _missing(where, f"there is no stage {step} at {where.address!r} in {where.kind}/{where.key}")
            inside = inside[step]
        else:
            inside = inside.setdefault(step, {} if step in _PER_POINT else [])
    readings: list[dict[str, Any]] = inside
    return readings


def numbered(path: Path, data: Any) -> Path:
    """The same path in a document that is there, with the number of each entry of a list instead of its id."""
    inside, found = data, []
    for step in path:
        if isinstance(inside, list) and isinstance(step, str):
            step = next(number for number, entry in enumerate(inside) if entry["id"] == step)
        found.append(step)
        inside = inside[step]
    return tuple(found)


def _like(path: Path, pattern: str) -> bool:
    wanted = pattern.split("/")
    return len(wanted) == len(path) and all(
        isinstance(step, int) if want == "<number>" else step == want or (want.startswith("<") and bool(step))
        for want, step in zip(wanted, path, strict=True)
    )


def _missing(where: Place, said: str) -> None:
    known = " or ".join(PATTERNS.get(where.kind, ("none",)))
    raise NotFound(where.kind, where.key, f"{said[0].upper()}{said[1:]}. A place of readings there: {known}.")


def give_ids(kind: str, data: Mapping[str, Any]) -> bool:
    """Give each reading without an id the next free of r1, r2 and so on; return whether there was one.

    Counted rather than drawn, so that the same file gets the same ids in every store.
    """
    lists = [readings for _, readings in lists_of(kind, data)]
    taken = {reading["id"] for readings in lists for reading in readings if "id" in reading}
    number, given = 1, False
    for readings in lists:
        for reading in readings:
            if "id" not in reading:
                while f"r{number}" in taken:
                    number += 1
                reading["id"] = f"r{number}"
                number, given = number + 1, True
    return given


def content_of(reading: Mapping[str, Any]) -> dict[str, Any]:
    """Return what never changes of a reading."""
    return {name: value for name, value in reading.items() if name not in MAY_CHANGE}


def doubled(kind: str, data: Mapping[str, Any]) -> list[Fault]:
    """Refuse an id that two readings of a record share."""
    seen: set[str] = set()
    faults = []
    for path, readings in lists_of(kind, data):
        for reading in readings:
            if reading["id"] in seen:
                at = write_address((*path, reading["id"]))
                faults.append(Fault(at, reading["id"], Accepts("id_of_one_reading")))
            seen.add(reading["id"])
    return faults


def overwritten(kind: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> list[Fault]:
    """Refuse a document that drops or changes a reading which stands in the one before.

    A stage put in before others moves their numbers, so a reading may stand at another stage than before.
    """
    now = {
        reading["id"]: (_at_any_stage(path), reading)
        for path, readings in lists_of(kind, after)
        for reading in readings
    }
    faults = []
    for path, readings in lists_of(kind, before):
        for reading in readings:
            at = write_address((*path, reading["id"]))
            if reading["id"] not in now:
                faults.append(Fault(at, "nothing", Accepts("reading_that_was_here", text=reading["text"])))
                continue
            there, other = now[reading["id"]]
            if there != _at_any_stage(path) or content_of(other) != content_of(reading):
                faults.append(Fault(at, other["text"], Accepts("reading_as_it_was", text=reading["text"])))
            elif reading.get("set_aside") and not other.get("set_aside"):
                faults.append(Fault(f"{at}/set_aside", "nothing", Accepts("reason_that_stays")))
            elif reading.get("confirmed") and not other.get("confirmed"):
                faults.append(Fault(f"{at}/confirmed", "false", Accepts("confirmed_that_stays")))
    return faults


def _at_any_stage(path: Path) -> Path:
    return tuple(step for step in path if not isinstance(step, int))
