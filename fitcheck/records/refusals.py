"""What the strict models refuse: where, what was read, and what is accepted there."""

from __future__ import annotations

import json
import types
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from functools import cache
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic_core import ErrorDetails

from fitcheck.records.base import Record
from fitcheck.records.faults import Accepts
from fitcheck.records.households import FORMAT, Household
from fitcheck.records.json_places import nearest_above, value_at
from fitcheck.records.lengths import Length
from fitcheck.records.machines import DIAL_SETTING, Dial
from fitcheck.records.makes import Counts, Tolerance, Wanted, Wish
from fitcheck.records.places import Path
from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS
from fitcheck.records.readings import DATE_AND_TIME, Overhang, Reading
from fitcheck.records.size_tables import Cell

LONGEST_READ = 60
"""Characters of what was read that a fault repeats."""

LONGEST_LIST = 30
"""Names that a fault lists."""

MOST_TOLD = 50
"""What is refused of a document and told place by place, names that are none apart."""

SEARCHED = 1000
"""Names that are looked through for a near one."""


class Refusal(NamedTuple):
    """A fault before it is written down: its place is still a path, and may be one that is absent."""

    path: Path
    read: str
    accepts: Accepts
    absent: bool = False


def shown(value: object) -> str:
    """Write a value as JSON, cut to what fits into a sentence."""
    written = ""
    for part in json.JSONEncoder(ensure_ascii=False).iterencode(value):
        written += part
        if len(written) > LONGEST_READ:
            written = written[: LONGEST_READ - 1] + "…"
            break
    return written.encode("utf-8", "backslashreplace").decode("utf-8")


def names_of(names: Sequence[str], read: object) -> dict[str, Any]:
    """Names that are accepted, as values: the first of many, how many more, and what is near to what was read."""
    near = _near(names, read, 2) if isinstance(read, str) else []
    more = len(names) - LONGEST_LIST if len(names) > LONGEST_LIST else None
    return {"names": tuple(names[:LONGEST_LIST]), "more": more, "meant": tuple(near)}


def _near(names: Sequence[str], read: str, most: int) -> list[str]:
    from difflib import get_close_matches  # only where something was refused

    return get_close_matches(read, names[:SEARCHED], n=most, cutoff=0.6)


def refusals(errors: Sequence[ErrorDetails], document: object, root: type[Record] = Household) -> Iterator[Refusal]:
    """Say of everything that the models refused in `document` what was read and what is accepted.

    root  the record that the document should be

    MOST_TOLD of them are told one by one, as many names that are none, and the rest by their number: a file may be full
    of them.
    """
    unknown = other = 0
    for error in errors:
        if error["type"] == "extra_forbidden":
            unknown += 1
            tell = unknown <= MOST_TOLD
        else:
            other += 1
            tell = other <= MOST_TOLD
        if tell:
            yield _refusal(error, document, root)
    if unknown > MOST_TOLD:
        yield Refusal((), f"{unknown - MOST_TOLD:,} more names", Accepts("known_names"))
    if other > MOST_TOLD:
        yield _more(other - MOST_TOLD)


def first_told(found: Sequence[Refusal]) -> list[Refusal]:
    """What is told of many refusals: MOST_TOLD of them, and how many more there are."""
    more = len(found) - MOST_TOLD
    return [*found[:MOST_TOLD], _more(more)] if more > 0 else list(found)


def _more(count: int) -> Refusal:
    return Refusal((), f"{count:,} more places", Accepts("places_told_then"))


def _refusal(error: ErrorDetails, document: object, root: type[Record]) -> Refusal:
    kind, path, context = error["type"], error["loc"], error.get("ctx", {})
    if kind == "missing":
        # Inside a shorthand nothing can be missing, so the place around the field stands in the document.
        return Refusal(path, _without(path), _needed(path, root), absent=True)
    if kind == "extra_forbidden":
        return Refusal(path, shown(path[-1]), _field_accepted(path, root))
    if path[-1:] == ("[key]",) and nearest_above(document, path) != path:
        # The models say so that a name is refused, not what stands under it.
        path = path[:-1]
        return Refusal(path, shown(path[-1]), _name_accepted(path, context, root))
    path = nearest_above(document, path)
    value = value_at(document, path)
    if "accepts" not in context:
        return Refusal(path, shown(value), described(path, value, root))
    return Refusal(path, shown(_as_read(value)), context["accepts"])


def _as_read(value: object) -> object:
    """What was read of a reading with its fields: the length that is refused, in the unit that was said."""
    if not isinstance(value, Mapping) or not isinstance(value.get("text"), str | int | float):
        return value
    unit = value.get("unit")
    return f"{value['text']} {unit}" if isinstance(unit, str) else value["text"]


class _Spot(NamedTuple):
    """What the models expect at a place: the type without its wrapping, and its limits."""

    kind: Any
    limits: tuple[Any, ...]


def _unwrapped(kind: Any, limits: Sequence[Any] = ()) -> _Spot:
    found = list(limits)
    while True:
        origin = get_origin(kind)
        if origin is Annotated:
            kind, *more = get_args(kind)
            for limit in more:
                found += getattr(limit, "metadata", None) or [limit]
        elif origin in (Union, types.UnionType):
            kind = next(option for option in get_args(kind) if option is not type(None))
        else:
            return _Spot(kind, tuple(found))


def _spot(path: Path, root: type[Record]) -> _Spot | None:
    spot = _Spot(root, ())
    for step in path:
        arguments = get_args(spot.kind)
        if isinstance(spot.kind, type) and issubclass(spot.kind, Record):
            known = spot.kind.model_fields.get(str(step))
            if known is None:
                return None
            spot = _unwrapped(known.annotation, known.metadata)
        elif get_origin(spot.kind) in (list, dict):
            spot = _unwrapped(arguments[-1])
        else:
            return None
    return spot


_LENGTH = Accepts("length_with_its_unit", such_as=("58.7 cm", "23 1/8 in"))
_WRITTEN: dict[Any, Accepts] = {
    Reading: _LENGTH,
    Overhang: Accepts("overhang", such_as=("−0.8 cm", "+5 mm", "level")),
    Dial: DIAL_SETTING,
    Counts: Accepts("count", such_as=("120", '{"planned": 118, "counted": 120}')),
    Tolerance: Accepts("tolerance", such_as=('"1 cm"', '{"smaller": "5 mm", "larger": "1 cm"}')),
    Wish: Accepts("wish", such_as=('"+2 cm"', '{"by": "+4 cm", "meant": "round"}')),
    Wanted: Accepts("wanted_measure", such_as=('"52 cm"', '{"length": "104 cm", "meant": "round"}')),
    Length: _LENGTH,
    bool: Accepts("true_or_false"),
    date: Accepts("date", such_as="2025-03-31"),
    datetime: DATE_AND_TIME,
}
"""How values of a kind are written, and records that have a short way of writing."""
_COUNTED_IN = {"grams": "grams", "load_grams": "grams", "tex": "grams", "m_per_100g": "metres"}
"""Of what a bare number is, by its field."""


def described(path: Path, value: object, root: type[Record] = Household) -> Accepts:
    """Return what is accepted at a place where `value` was read.

    root  the record that it stands in
    """
    spot = _spot(path, root)
    if path == ("fitcheck",):
        return Accepts("format", number=FORMAT)
    if spot is None:
        return Accepts("known_value")
    kind, limits = spot
    if get_origin(kind) is Literal:
        return Accepts("one_of", **names_of([str(name) for name in get_args(kind)], value))
    if get_origin(kind) is list:
        least = _limit(limits, "min_length")
        return Accepts("list_with_entries", at_least=least) if least else Accepts("list")
    if get_origin(kind) is dict:
        return _named_entries(path, root)
    if kind in _WRITTEN:
        return _WRITTEN[kind]
    if isinstance(kind, type) and issubclass(kind, Record):
        return Accepts("entries", **_some_of(kind, root))
    if kind is str:
        return _text_accepted(limits, value)
    low, above, high = (_limit(limits, name) for name in ("ge", "gt", "le"))
    quotes = "none" if isinstance(value, str) else None
    of = _COUNTED_IN.get(str(path[-1])) or _counted_at(path)
    return Accepts("whole_number" if kind is int else "number", low=low, above=above, high=high, quotes=quotes, of=of)


def _counted_at(path: Path) -> str:
    """What a count of a piece is of: the stitches of a width, the rows of a length; empty of any other number."""
    if len(path) < 2 or path[-1] not in Counts.model_fields or path[-2] not in POINTS:
        return ""
    return "rows" if POINTS[str(path[-2])].direction == "along" else "stitches"


def _limit(limits: Sequence[Any], name: str) -> Any:
    return next((value for limit in limits if (value := getattr(limit, name, None)) is not None), None)


def _text_accepted(limits: Sequence[Any], value: object) -> Accepts:
    if _limit(limits, "pattern") is not None:
        simple = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in str(value).lower()).split())
        return Accepts("key", meant=simple[:64] if isinstance(value, str) else "")
    longest, shortest = _limit(limits, "max_length"), _limit(limits, "min_length")
    if isinstance(value, str) and shortest and not value.strip():
        return Accepts("text_not_empty")
    if isinstance(value, str) and longest:
        return Accepts("characters_of_a_text", most=longest, this_has=len(value))
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return Accepts("number_as_a_text", meant=f'"{shown(value)}"')
    return Accepts("text")


def _needed(path: Path, root: type[Record]) -> Accepts:
    if path == ("fitcheck",):
        return Accepts("format_of_a_household", number=FORMAT)
    if path == ("unit",):
        return Accepts("unit_of_a_household")
    return Accepts("field", name=path[-1], accepts=described(path, None, root))


def _without(path: Path) -> str:
    """Say what lacks a field."""
    if len(path) == 1:
        return "a file without it"
    around = path[-3] if isinstance(path[-2], int) and len(path) > 2 else path[-2]
    noun = str(around).removesuffix("s") if str(around) in _LISTS else f'an entry of "{around}"'
    noun = noun.replace("_", " ")
    article = "" if noun.startswith("an ") else "a "
    return f'{article}{noun} without "{path[-1]}"'


_LISTS = ("wearers", "garments", "yarns", "machines", "makes", "pieces", "stages", "sizes", "bands", "lots")


def _named_entries(path: Path, root: type[Record]) -> Accepts:
    around = _spot(path, root)
    assert around is not None
    keys, inside = get_args(around.kind)
    name = "chest" if not get_args(_unwrapped(keys).kind) else str(get_args(_unwrapped(keys).kind)[0])
    example = {Counts: "120", Cell: '{"measure": "52 cm"}', float: "2", int: "120"}
    kind = _unwrapped(inside).kind
    value = example.get(kind, '"52 cm"')
    if get_origin(kind) is dict:
        value = '{"chest": ' + ("120" if _unwrapped(get_args(kind)[1]).kind is int else '{"measure": "52 cm"}') + "}"
    elif get_origin(kind) is Literal:
        value = f'"{get_args(kind)[0]}"'
    elif kind is Wish or path[-1] in ("ease", "overhangs"):
        value = '"+1 cm"'
    return Accepts("entries_with_names", such_as=f'{{"{name}": {value}}}')


def _name_accepted(path: Path, context: dict[str, Any], root: type[Record]) -> Accepts:
    if "accepts" in context:
        accepts: Accepts = context["accepts"]
        return accepts
    around = _spot(path[:-1], root)
    arguments = get_args(around.kind) if around else ()
    names = get_args(arguments[0]) if arguments else ()
    return Accepts("one_of", **names_of([str(name) for name in names], path[-1])) if names else Accepts("name")


MOST_FIELDS = 6
"""Fields that a fault names where none is near."""

_EVERYWHERE = frozenset(("id", "name", "notes", "on", "at", "by", "text", "unit", "length", "meant", "count", "kind"))
"""Names of fields that say too little to tell where one was meant to stand."""

_MEANT = {"date": "on", "day": "on", "when": "on", "weight": "grams", "weighs": "grams"}
"""Fields as people call them, by what each is called here."""


def _field_accepted(path: Path, root: type[Record]) -> Accepts:
    around = _spot(path[:-1], root)
    name = str(path[-1])
    if around is None or not (isinstance(around.kind, type) and issubclass(around.kind, Record)):
        return Accepts("nothing_of_this_name", name=shown(name))
    kind = around.kind
    simple = "_".join(name.lower().replace("-", " ").split())
    if simple in kind.model_fields:
        return Accepts("known_name", meant=(simple,))
    elsewhere = None if simple in _EVERYWHERE else _where_it_belongs(simple, path[:-1], kind, root)
    if elsewhere is not None:
        return elsewhere
    if (meant := _MEANT.get(simple)) in kind.model_fields:
        return Accepts("known_name", meant=(meant,))
    if near := _near(list(kind.model_fields), name, 2):
        return Accepts("known_name", meant=tuple(near))
    if simple in POINTS or simple in ALSO_CALLED:
        point = simple if simple in POINTS else ALSO_CALLED[simple][0]
        return Accepts("point_inside_a_list", point=point)
    return Accepts("known_field", **_some_of(kind, root))


def _some_of(kind: type[Record], root: type[Record]) -> dict[str, Any]:
    """A few fields of a record as values, those that it cannot do without first, and how many more there are.

    Of a household many are named by its schema; of anything else all are named here.
    """
    fields = sorted(kind.model_fields, key=lambda name: not kind.model_fields[name].is_required())
    if root is not Household:
        return {"fields": tuple(fields), "more": None}
    return {"fields": tuple(fields[:MOST_FIELDS]), "more": max(len(fields) - MOST_FIELDS, 0) or None}


def _where_it_belongs(name: str, path: Path, kind: type[Record], root: type[Record]) -> Accepts | None:
    """Say where a field stands that was typed in another record: further in, further out, or elsewhere."""
    for field, steps in _fields_inside(kind):
        if field == name and steps:
            return Accepts("further_in", inside=steps)
    for depth in range(len(path) - 1, -1, -1):
        outer = _spot(path[:depth], root)
        record = outer.kind if outer is not None else None
        if isinstance(record, type) and issubclass(record, Record) and name in record.model_fields:
            return Accepts("further_out", beside=path[depth])
    for field, steps in _fields_inside(root):
        if field == name and steps:
            return Accepts("elsewhere", inside=steps)
    return None


@cache
def _fields_inside(kind: type[Record]) -> list[tuple[str, tuple[str, ...]]]:
    """List every field of a record and of the records inside it, the outer ones first, with the way there."""
    found: list[tuple[str, tuple[str, ...]]] = []
    waiting: list[tuple[type[Record], tuple[str, ...]]] = [(kind, ())]
    for record, steps in waiting:
        for name, known in record.model_fields.items():
            found.append((name, steps))
            inside = _unwrapped(known.annotation).kind
            while get_origin(inside) in (list, dict):
                inside = _unwrapped(get_args(inside)[-1]).kind
            if isinstance(inside, type) and issubclass(inside, Record):
                waiting.append((inside, (*steps, name)))
    return found
