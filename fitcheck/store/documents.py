"""The door of the store: a document comes in only as its model reads it, in one canonical writing."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from pydantic import ValidationError

from fitcheck.records.base import Record
from fitcheck.records.bounds import beyond_a_record
from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.files import DEEPEST
from fitcheck.records.places import WHOLE, write_path
from fitcheck.records.refusals import refusals, shown
from fitcheck.store.faults import NotFound
from fitcheck.store.places import give_ids
from fitcheck.store.stored import HOUSEHOLD, MODELS


class Taken(NamedTuple):
    """A document that was let in: the record, its data, its one writing, and what is kept beside it to find it."""

    record: Any
    data: dict[str, Any]
    text: str
    columns: Columns
    links: tuple[tuple[str, str], ...]


def model_of(kind: str) -> type[Record]:
    """Return the model of a kind; NotFound names the kinds there are."""
    if kind not in MODELS:
        raise NotFound(kind, "", f"There is no kind {kind!r}; the kinds are {', '.join(MODELS)}.")
    return MODELS[kind]


def take(kind: str, key: str, document: Mapping[str, Any] | Record, unit: str | None = None) -> Taken:
    """Validate a document and write it the one way; readings without an id get one.

    unit  of bare figures; None refuses them: a unit that may be switched meanwhile would make another length of one

    Raises RecordsError with every fault, its place counted from the record.
    """
    model = model_of(kind)
    raw = document.model_dump_json(exclude_defaults=True) if isinstance(document, Record) else _written(document)
    data: dict[str, Any] = json.loads(raw)
    _bounded(data)
    if kind != HOUSEHOLD and data.setdefault("id", key) != key:
        raise RecordsError((Fault("id", shown(data["id"]), Accepts("id_that_stays", id=shown(key))),))
    return as_read(kind, _validated(model, kind, data, unit), unit)


def as_read(kind: str, record: Record, unit: str | None = None) -> Taken:
    """Write a record that its model has just read, readings without an id with one; it is not looked through again."""
    text = record.model_dump_json(exclude_defaults=True)
    data = json.loads(text)
    if give_ids(kind, data):
        record = _validated(model_of(kind), kind, data, unit)
        text = record.model_dump_json(exclude_defaults=True)
        data = json.loads(text)
    return Taken(record, data, text, columns_of(data.get("id", HOUSEHOLD), data), tuple(links_of(kind, data)))


def _bounded(document: Any) -> None:
    """Refuse what no record needs, before anything in it is looked at."""
    if (beyond := beyond_a_record(document)) is not None:
        raise RecordsError((Fault(WHOLE, *beyond[1:]),))


def _written(document: Mapping[str, Any]) -> str:
    def plain(value: object) -> object:
        if isinstance(value, date):
            return value.isoformat()
        if isinstance(value, Record):
            return value.model_dump(mode="json", exclude_defaults=True)
        if isinstance(value, Mapping):
            return dict(value)
        raise TypeError

    try:
        return json.dumps(dict(document), default=plain, allow_nan=False)
    except (TypeError, ValueError, RecursionError) as error:
        accepts = Accepts("json_values")
        raise RecordsError((Fault(WHOLE, "something that JSON has no way to write", accepts),)) from error


def _validated(model: type[Record], kind: str, data: dict[str, Any], unit: str | None) -> Any:
    try:
        return model.model_validate_json(json.dumps(data), context={"unit": unit})
    except ValidationError as error:
        raise _refused(kind, data, error) from error


def _refused(kind: str, data: dict[str, Any], error: ValidationError) -> RecordsError:
    details = error.errors(include_url=False, include_input=False)
    if any(detail["type"] == "json_invalid" for detail in details):
        accepts = Accepts("whole_characters_and_levels", most=DEEPEST)
        return RecordsError((Fault(WHOLE, "half a character, or too deep a nesting", accepts),))
    before = () if kind == HOUSEHOLD else (kind, 0)
    document = data if kind == HOUSEHOLD else {kind: [data]}
    for detail in details:
        detail["loc"] = (*before, *detail["loc"])
    refused = refusals(details, document)
    return RecordsError([Fault(write_path(at.path[len(before) :]), at.read, at.accepts) for at in refused])


# What is kept beside a document so that it can be found


def links_of(kind: str, data: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Return the records that a document names, each once, as (kind, key)."""
    return list(dict.fromkeys((to, key) for to, key in _links(kind, data) if key))


def _links(kind: str, data: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    if kind in ("garments", "makes"):
        yield "wearers", data.get("wearer")
    if kind in ("swatches", "makes"):
        yield "yarns", data.get("yarn")
        yield "machines", data.get("machine")
    if kind == "makes":
        yield "garments", data.get("fits", {}).get("garment")
        yield "garments", data.get("became")
        yield "size_tables", data.get("size_table")
        yield from (("swatches", key) for key in data.get("swatches", ()))
        yield from (("makes", key) for key in data.get("learns_from", ()))
        for piece in data.get("pieces", ()):
            yield "yarns", piece.get("yarn")
            yield "machines", piece.get("machine")


class Columns(NamedTuple):
    """What is asked for in SQL."""

    name: str
    sort: str
    wearer: str | None
    search: str


def columns_of(key: str, data: Mapping[str, Any]) -> Columns:
    """Return the columns of a document: its name, how it sorts, whose it is, and the text to search."""
    name = data.get("name") or key
    words = (key, name, data.get("fabric", ""), data.get("notes", ""))
    return Columns(name, name.casefold(), data.get("wearer"), "\n".join(filter(None, words)).casefold())
