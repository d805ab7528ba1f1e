"""The shapes of what is sent and answered, as JSON schemas: the records' own, with every way to write them.

The models' schemas say how a record is written in full. A record may be written shorter (a reading as
"51.6 cm", a count as 122), and that is part of the contract, so it is put into the schemas here.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, get_args

from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.cross_checks import KINDS
from fitcheck.records.formats import EARLIEST
from fitcheck.records.households import FORMAT
from fitcheck.records.points import KINDS as PIECE_KINDS
from fitcheck.records.points import POINTS
from fitcheck.records.shaping import LONGEST, ShapedEdge
from fitcheck.records.written_sheets import MOST_LINES, MOST_ROWS
from fitcheck.store.documents import model_of
from fitcheck.store.stored import HOUSEHOLD
from webui.api import problems
from webui.ticking import MOST_DEEDS

Schema = dict[str, Any]

KEY: Schema = {"type": "string", "pattern": "^[a-z0-9][a-z0-9_-]{0,63}$"}
REVISION: Schema = {"type": "integer", "minimum": 1}
DIGEST: Schema = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
MOMENT: Schema = {"type": "string", "description": "date and time, UTC"}
_LENGTH = ({"type": "string", "minLength": 1, "maxLength": 60}, {"type": "number"})
_COUNT: Schema = {"type": "string", "pattern": "^[+-]?[0-9]{1,5}$", "description": "figures in quotes"}

_SHORT: Mapping[str, tuple[Schema, ...]] = {
    "Reading": _LENGTH,
    "Overhang": _LENGTH,
    "Wish": _LENGTH,
    "Wanted": _LENGTH,
    "Tolerance": _LENGTH,
    "Counts": ({"type": "integer", "minimum": 1, "maximum": MOST_COUNTED}, _COUNT),
    "EdgeShaping": ({"type": "string", "minLength": 1, "maxLength": LONGEST},),
    "Dial": ({"type": "integer", "minimum": 0, "maximum": 30}, {"type": "string", "pattern": "[0-9]"}),
}
"""Records that may be written as one value."""

_PER_POINT = frozenset(
    ("body", "readings", "overhangs", "counts", "numbers", "ease", "wishes", "tolerances", "weights", "held_at")
)
"""Fields with a value per point of measure."""


@cache
def components() -> Mapping[str, Schema]:
    """Every named schema."""
    named: dict[str, Schema] = {}
    for kind in (*KINDS, HOUSEHOLD):
        model = model_of(kind)
        schema = model.model_json_schema(ref_template="#/components/schemas/{model}")
        for name, inner in schema.pop("$defs", {}).items():
            named[name] = _open(_every_way(inner), name)
        name = name_of(kind)
        named[name] = _open(_every_way(schema), name)
        if "id" in named[name].get("required", ()):
            named[name]["required"].remove("id")
        named[f"{name}Revision"] = _revision(name)
    return _each_once(named, _report(), _own())


def _each_once(*groups: Mapping[str, Schema]) -> dict[str, Schema]:
    """Schemas of several groups; each name is one thing. Raises ValueError for a name that is two."""
    named: dict[str, Schema] = {}
    for group in groups:
        if twice := sorted(named.keys() & group.keys()):
            raise ValueError(f"schemas: read {', '.join(twice)} twice; one schema of a name is accepted")
        named |= group
    return named


def name_of(kind: str) -> str:
    """Return the name of a kind's schema: Garment, SizeTable."""
    return "Settings" if kind == HOUSEHOLD else KINDS[kind].__name__


def ref(name: str) -> Schema:
    """Refer to a named schema."""
    return {"$ref": f"#/components/schemas/{name}"}


def listed(name: str, of: Schema, **more: Schema) -> Schema:
    """An object with one list."""
    return shaped({name: array(of), **more})


def array(of: Schema) -> Schema:
    """A list."""
    return {"type": "array", "items": of}


def shaped(properties: Mapping[str, Schema], optional: tuple[str, ...] = ()) -> Schema:
    """An object with these names only."""
    return {
        "type": "object",
        "properties": dict(properties),
        "required": [name for name in properties if name not in optional],
        "additionalProperties": False,
    }


def nullable(schema: Schema) -> Schema:
    """A value or nothing."""
    return {"anyOf": [schema, {"type": "null"}]}


def _every_way(schema: Schema) -> Schema:
    """Put the shorter ways to write a record's fields into its schema."""
    schema = json.loads(json.dumps(schema))  # a copy of our own
    for inner in list(_walk(schema)):
        for name, bound in (("ge", "minimum"), ("le", "maximum")):
            # A validator before the number hides its bounds from the schema's own words.
            if name in inner and not isinstance(inner[name], dict):
                inner[bound] = inner.pop(name)
                inner["x-figures"] = True
        if inner.get("format") == "date-time":
            inner.pop("format")
            inner["description"] = "date and time such as 2025-03-31T18:30, with its zone if known"
        for name, field in inner.get("properties", {}).items():
            if name in _PER_POINT and isinstance(field.get("additionalProperties"), dict):
                field["propertyNames"] = {"enum": list(POINTS)}
            elif name in ("planned", "pieces") and isinstance(field.get("additionalProperties"), dict):
                field["additionalProperties"]["propertyNames"] = {"enum": list(POINTS)}
    for inner in list(_walk(schema)):
        if inner.pop("x-figures", False):
            whole = dict(inner)
            inner.clear()
            inner["anyOf"] = [whole, _COUNT]
        elif inner.get("type") == "array" and inner.get("items") in (ref("Reading"), ref("Overhang")):
            whole = dict(inner)
            inner.clear()
            inner["anyOf"] = [whole, dict(whole["items"])]
    return schema


def _open(schema: Schema, name: str) -> Schema:
    if name in ("Reading", "Overhang"):
        schema["properties"]["text"] = {"anyOf": list(_LENGTH)}
    if name in _SHORT:
        description = schema.pop("description", "")
        return {"description": description, "anyOf": [schema, *_SHORT[name]]}
    return schema


def _walk(schema: Any) -> Iterator[Schema]:
    if isinstance(schema, dict):
        for inner in schema.values():
            yield from _walk(inner)
        yield schema
    elif isinstance(schema, list):
        for inner in schema:
            yield from _walk(inner)


def _revision(name: str) -> Schema:
    return shaped(
        {
            "kind": {"type": "string"},
            "key": {"type": "string"},
            "revision": REVISION,
            "deleted": {"type": "boolean"},
            "at": MOMENT,
            "record": ref(name),
        }
    )


def _report() -> dict[str, Schema]:
    """The report, the rest and a finished sweater, with their parts; a part called as one of a record is renamed."""
    from fitcheck.words.data import finished_schema, report_schema, rest_schema

    return {
        **_named(finished_schema(), "FinishedSweater"),
        **_named(rest_schema(), "TheRest"),
        **_named(report_schema(), "Report"),
    }


def _named(schema: Schema, name: str) -> dict[str, Schema]:
    """An answer's shape under its name, its parts under theirs."""
    whole = json.loads(json.dumps(schema).replace("#/$defs/", "#/components/schemas/"))
    parts: dict[str, Schema] = whole.pop("$defs")
    for key in ("$schema", "$id"):
        whole.pop(key)
    return {**parts, name: whole}


def _own() -> dict[str, Schema]:
    """What only the API has."""
    whole_number: Schema = {"type": "integer", "minimum": 0}
    named = shaped({"kind": {"type": "string"}, "key": {"type": "string"}})
    text: Schema = {"type": "string"}
    fault = shaped({"place": text, "read": text, "accepts": text, "line": nullable({"type": "integer"})})
    question = shaped(dict.fromkeys(("place", "read", "odd", "slip", "meant", "code"), text))
    line = shaped({"key": KEY, "name": text, "wearer": nullable(text), "revision": REVISION, "updated": MOMENT})
    entry = shaped({"revision": REVISION, "at": MOMENT, "what": text, "deleted": {"type": "boolean"}})
    point = shaped(dict.fromkeys(("key", "code", "word", "said"), text))
    said = ("headline", "why", "cost", "chance")
    tap = shaped(
        {
            "line": {"type": "integer", "minimum": 0, "maximum": MOST_LINES - 1},
            "done": {"type": "boolean"},
            "counter": {"type": "integer", "minimum": 0, "maximum": MOST_ROWS},
            "at": {"type": "string", "description": "date and time such as 2026-11-30T23:10, with its zone if known"},
            "device": {"type": "string", "maxLength": 400},
        }
    )
    return {
        "Problem": {
            "type": "object",
            "description": "What went wrong (RFC 9457).",
            "properties": {
                "type": {"type": "string", "enum": [problems.HELP + kind.name for kind in problems.KINDS]},
                "title": text,
                "status": {"type": "integer", "enum": sorted({kind.status for kind in problems.KINDS})},
                "detail": text,
                "faults": array(ref("RefusedPlace")),
                "deleted": {"type": "boolean"},
                "names": array(ref("Named")),
                "records": array(ref("Named")),
                "mine": nullable({"type": "object"}),
                "theirs": nullable({"type": "object"}),
                "base": nullable({"type": "object"}),
                "there": {"type": "object"},
                "report": DIGEST,
                "counts": ref("CountsOfPieces"),
                "verdict": ref("Verdict"),
                "sheet": ref("BegunSheet"),
            },
            "required": ["type", "title", "status", "detail"],
            "additionalProperties": False,
        },
        "Any": {"type": "object", "description": "A record as it was typed, right or wrong."},
        "RefusedPlace": fault,
        "QuestionAsked": question,
        "Named": named,
        "Listed": line,
        "Page": listed("records", ref("Listed"), after=nullable(KEY)),
        "HistoryEntry": entry,
        "History": listed("revisions", ref("HistoryEntry")),
        "Checked": shaped({"faults": array(ref("RefusedPlace")), "questions": array(ref("QuestionAsked"))}),
        "Questions": listed("questions", ref("QuestionAsked")),
        "NewReading": shaped(
            {
                "place": {"type": "string", "minLength": 1, "maxLength": 300},
                "reading": {"anyOf": [ref("Reading"), ref("Overhang")]},
            }
        ),
        "CountsOfPieces": _counts(),
        "TakeCounts": shaped({"counts": {**_counts(), "minProperties": 1}, "report": DIGEST}),
        "KeepDone": shaped(
            {
                "deeds": {"type": "array", "items": {"type": "integer", "minimum": 1, "maximum": MOST_DEEDS}},
                "report": DIGEST,
            }
        ),
        "BeginSheet": shaped({"report": DIGEST}),
        "Finish": shaped(
            {
                "on": nullable({"type": "string", "format": "date"}),
                "wardrobe": {"type": "boolean", "default": True},
            },
            optional=("on", "wardrobe"),
        ),
        "NewTap": {**tap, "required": ["line", "done", "counter", "at"]},
        "Progress": shaped(
            {
                "sheet": KEY,
                "ended": {"type": "boolean"},
                "lines": {"type": "integer", "minimum": 1},
                "done": array({"type": "integer", "minimum": 0}),
                "next": nullable({"type": "integer", "minimum": 0}),
                "latest": array(shaped({"id": text, **tap["properties"]})),
            }
        ),
        "KeptPhotograph": shaped({"photograph": DIGEST}),
        "Reason": shaped({"reason": {"type": "string", "maxLength": 400, "pattern": "\\S"}}),
        "WhichRevision": shaped({"revision": nullable(REVISION)}, optional=("revision",)),
        "WhatIf": _what_if(),
        "Verdict": shaped(
            {
                "make": text,
                "piece": nullable(text),
                "digest": text,
                "action": nullable(text),
                **dict.fromkeys(said, text),
                "points": array(point),
                "questions": array(text),
                "cautions": array(text),
            }
        ),
        "Fabric": _part("FabricAnswer"),
        "Sizes": _part("SizesAnswer"),
        "Seams": _part_of(
            array(ref("Seam")),
            bands=array(ref("BandUp")),
            armholes=array(ref("ArmholeSaid")),
            cautions=array(text),
        ),
        "YarnOfRest": _part("YarnLeft"),
        "SheetOf": _part("WrittenSheet"),
        "Shaping": {
            "type": "object",
            "propertyNames": {"enum": list(get_args(ShapedEdge))},
            "additionalProperties": ref("EdgeShaping"),
        },
        "Weighed": shaped({"grams": nullable({"type": "number", "exclusiveMinimum": 0, "maximum": 10_000})}),
        "Imported": shaped(dict.fromkeys(("created", "changed", "deleted", "unchanged"), array(ref("Named")))),
        "Added": shaped({"added": whole_number, "already_here": whole_number}),
        "Bundle": {
            "type": "object",
            "description": "A household file; `fitcheck schema household` prints its schema.",
            "properties": {
                "fitcheck": {"enum": list(range(EARLIEST, FORMAT + 1))},
                "unit": {"enum": ["mm", "cm", "m", "in"]},
            },
            "required": ["fitcheck", "unit"],
        },
    }


def _part(name: str) -> Schema:
    return _part_of(ref(name))


def _part_of(part: Schema, **more: Schema) -> Schema:
    answer = {"anyOf": [part, ref("CannotSay")]}
    return shaped({"make": {"type": "string"}, "digest": {"type": "string"}, "answer": answer, **more})


def _counts() -> Schema:
    """Stitches or rows per kind of piece and point of measure."""
    count: Schema = {"type": "integer", "minimum": 1, "maximum": MOST_COUNTED}
    of_points = {
        "type": "object",
        "propertyNames": {"enum": list(POINTS)},
        "minProperties": 1,
        "additionalProperties": count,
    }
    return {"type": "object", "propertyNames": {"enum": list(PIECE_KINDS)}, "additionalProperties": of_points}


def _what_if() -> Schema:
    make = _every_way(KINDS["makes"].model_json_schema(ref_template="#/components/schemas/{model}"))
    planned = make["properties"]["planned"]
    planned.pop("title", None)
    counts = {**planned["additionalProperties"], "description": "counts of the piece, as if counted so"}
    planned["description"] = "counts of pieces to come, per kind of piece"
    fields = {
        "piece": nullable(KEY),
        "counts": nullable(counts),
        "planned": nullable(planned),
        "dial": nullable(ref("Dial")),
        "size": nullable({"type": "string", "maxLength": 400}),
    }
    return shaped(fields, optional=tuple(fields))
