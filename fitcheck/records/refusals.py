"""What the strict models refuse, said in plain words: what was read, what is accepted, what to do next."""

from __future__ import annotations

import json
import types
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic_core import ErrorDetails

from fitcheck.records.base import Record
from fitcheck.records.households import FORMAT, Household
from fitcheck.records.json_places import nearest_above, value_at
from fitcheck.records.lengths import Length
from fitcheck.records.machines import Dial
from fitcheck.records.makes import Counts, Tolerance, Wanted, Wish
from fitcheck.records.places import Path
from fitcheck.records.point_keys import ALSO_CALLED
from fitcheck.records.points import POINTS
from fitcheck.records.readings import Overhang, Reading
from fitcheck.records.size_tables import Cell

LONGEST_READ = 60
"""Characters of what was read that a fault repeats."""

LONGEST_LIST = 30
"""Names that a fault lists."""

SEARCHED = 1000
"""Names that are looked through for a near one."""


class Refusal(NamedTuple):
    """A fault before it is written down: its place is still a path, and may be one that is absent."""

    path: Path
    read: str
    accepts: str
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


def one_of(names: Sequence[str], read: object) -> str:
    """Name what is accepted, the nearest first where something near was read."""
    near = _near(names, read, 2) if isinstance(read, str) else []
    if len(names) > LONGEST_LIST:
        listed = f"{', '.join(names[:LONGEST_LIST])} or {len(names) - LONGEST_LIST} more"
    else:
        listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
    return f"{listed}; did you mean {' or '.join(near)}?" if near else f"{listed}."


def _near(names: Sequence[str], read: str, most: int) -> list[str]:
    from difflib import get_close_matches  # only where something was refused

    return get_close_matches(read, names[:SEARCHED], n=most, cutoff=0.6)


def refusals(errors: Sequence[ErrorDetails], document: object) -> Iterator[Refusal]:
    """Translate what the models refused in `document`."""
    return (_refusal(error, document) for error in errors)


def _refusal(error: ErrorDetails, document: object) -> Refusal:
    kind, path, context = error["type"], error["loc"], error.get("ctx", {})
    if kind == "missing":
        # Inside a shorthand nothing can be missing, so the place around the field stands in the document.
        return Refusal(path, _without(path), _needed(path), absent=True)
    if kind == "extra_forbidden":
        return Refusal(path, shown(path[-1]), _field_accepted(path))
    if path[-1:] == ("[key]",) and nearest_above(document, path) != path:
        # The models say so that a name is refused, not what stands under it.
        path = path[:-1]
        return Refusal(path, shown(path[-1]), _name_accepted(path, context))
    path = nearest_above(document, path)
    value = value_at(document, path)
    if "accepts" in context:
        accepts = str(context["accepts"])
    elif kind == "value_error":
        accepts = str(context["error"])
    else:
        accepts = described(path, value)
    return Refusal(path, shown(value), accepts)


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
            kind = next(one for one in get_args(kind) if one is not type(None))
        else:
            return _Spot(kind, tuple(found))


def _spot(path: Path) -> _Spot | None:
    spot = _Spot(Household, ())
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


_SHORTHAND: dict[type[Record], str] = {
    Reading: "A length with its unit: 58.7 cm or 23 1/8 in.",
    Overhang: "A length with a sign: −0.8 cm, +5 mm, or level.",
    Dial: "A dial setting such as 7, 7.1, 7+ or 7··.",
    Counts: 'A whole number from 1 to 5000, such as 120, or {"planned": 118, "counted": 120}.',
    Tolerance: 'A length with its unit, such as "1 cm", or {"smaller": "5 mm", "larger": "1 cm"}.',
    Wish: 'A length with a sign, such as "+2 cm", or {"by": "+4 cm", "meant": "round"}.',
    Wanted: 'A length with its unit, such as "52 cm", or {"length": "104 cm", "meant": "round"}.',
}


def described(path: Path, value: object) -> str:
    """Say what is accepted at a place where `value` was read, and the next step."""
    spot = _spot(path)
    if path == ("fitcheck",):
        return f"Format {FORMAT} is what this program reads."
    if spot is None:
        return "A value that belongs here; leave this out."
    kind, limits = spot
    if get_origin(kind) is Literal:
        return f"One of {one_of([str(name) for name in get_args(kind)], value)}"
    if get_origin(kind) is list:
        least = _limit(limits, "min_length")
        return "A list in [ ]." if not least else f"A list in [ ] with at least {least} entry; add it."
    if get_origin(kind) is dict:
        return _named_entries(path)
    if kind in _SHORTHAND:
        return _SHORTHAND[kind]
    if isinstance(kind, type) and issubclass(kind, Record):
        return f"Entries in {{ }}: {_some_of(kind)}."
    if kind is str:
        return _text_accepted(limits, value)
    if kind in (int, float):
        return _number_accepted("A whole number" if kind is int else "A number", limits, value)
    return {
        Length: "A length with its unit: 58.7 cm or 23 1/8 in.",
        bool: "True or false, written true or false without quotes.",
        date: "A date such as 2025-03-31.",
        datetime: "A date and time such as 2025-03-31T18:30, with its zone if known.",
    }[kind]


def _limit(limits: Sequence[Any], name: str) -> Any:
    return next((found for one in limits if (found := getattr(one, name, None)) is not None), None)


def _text_accepted(limits: Sequence[Any], value: object) -> str:
    if _limit(limits, "pattern") is not None:
        accepts = "Small letters, figures, - and _, 64 at most, the first a letter or a figure"
        simple = "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in str(value).lower()).split())
        return f"{accepts}: {simple[:64]}?" if isinstance(value, str) and simple else f"{accepts}."
    longest, shortest = _limit(limits, "max_length"), _limit(limits, "min_length")
    if isinstance(value, str) and shortest and not value.strip():
        return "A text that is not empty; leave it out where there is none."
    if isinstance(value, str) and longest:
        return f"A text of {longest} characters at most; this has {len(value)}."
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return f'A text in quotes: "{shown(value)}".'
    return "A text in quotes."


def _number_accepted(accepts: str, limits: Sequence[Any], value: object) -> str:
    low, above = _limit(limits, "ge"), _limit(limits, "gt")
    high = _limit(limits, "le")
    if low is not None and high is not None:
        accepts += f" from {low:g} to {high:g}"
    elif above is not None and high is not None:
        accepts += f" above {above:g}, {high:g} at most"
    elif low is not None:
        accepts += f" from {low:g} up"
    if isinstance(value, str):
        return f"{accepts}, without quotes."
    return f"{accepts}."


def _needed(path: Path) -> str:
    if path == ("fitcheck",):
        return f'A household file says "fitcheck": {FORMAT}; add it, or choose another file.'
    if path == ("unit",):
        return 'A household file says the unit of its bare numbers; add "unit": "cm", "mm", "m" or "in".'
    accepts = described(path, None)
    return f'Add "{path[-1]}": {accepts[0].lower()}{accepts[1:]}'


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


def _named_entries(path: Path) -> str:
    around = _spot(path)
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
    return f'Entries in {{ }}, each with its name: {{"{name}": {value}}}.'


def _name_accepted(path: Path, context: dict[str, Any]) -> str:
    if "accepts" in context:
        return str(context["accepts"])
    around = _spot(path[:-1])
    arguments = get_args(around.kind) if around else ()
    names = get_args(arguments[0]) if arguments else ()
    return f"One of {one_of([str(name) for name in names], path[-1])}" if names else "A name in quotes."


MOST_FIELDS = 6
"""Fields that a fault names where none is near."""

_EVERYWHERE = frozenset(("id", "name", "notes", "on", "at", "by", "text", "unit", "length", "meant", "count", "kind"))
"""Names of fields that say too little to tell where one was meant to stand."""


def _field_accepted(path: Path) -> str:
    around = _spot(path[:-1])
    name = str(path[-1])
    if around is None or not (isinstance(around.kind, type) and issubclass(around.kind, Record)):
        return f"No field {shown(name)} here; leave it out."
    kind = around.kind
    simple = "_".join(name.lower().replace("-", " ").split())
    if simple in kind.model_fields:
        return f"A name that is known here; did you mean {simple}?"
    elsewhere = "" if simple in _EVERYWHERE else _where_it_belongs(simple, path[:-1], kind)
    if elsewhere:
        return elsewhere
    if near := _near(list(kind.model_fields), name, 2):
        return f"A name that is known here; did you mean {' or '.join(near)}?"
    if simple in POINTS or simple in ALSO_CALLED:
        point = simple if simple in POINTS else ALSO_CALLED[simple][0]
        return f'This is a point of measure, "{point}": it stands inside "readings" or "counts".'
    return f"A name that is known here: {_some_of(kind)}."


def _some_of(kind: type[Record]) -> str:
    """Name a few fields of a record, those that it cannot do without first."""
    fields = sorted(kind.model_fields, key=lambda name: not kind.model_fields[name].is_required())
    if len(fields) <= MOST_FIELDS:
        return f"{', '.join(fields[:-1])} or {fields[-1]}" if len(fields) > 1 else fields[0]
    rest = len(fields) - MOST_FIELDS
    return f'{", ".join(fields[:MOST_FIELDS])} or {rest} more, which "fitcheck schema household" lists'


def _where_it_belongs(name: str, path: Path, kind: type[Record]) -> str:
    """Say where a field stands that was typed in another record: further in, further out, or elsewhere."""
    for field, steps in _fields_inside(kind):
        if field == name and steps:
            return f"It belongs further in: {_in_words(steps)}. Move it there."
    for depth in range(len(path) - 1, -1, -1):
        outer = _spot(path[:depth])
        record = outer.kind if outer is not None else None
        if isinstance(record, type) and issubclass(record, Record) and name in record.model_fields:
            return f'It belongs further out, beside "{path[depth]}". Move it there.'
    for field, steps in _fields_inside(Household):
        if field == name and steps:
            return f"It belongs elsewhere: {_in_words(steps)}. Move it there."
    return ""


def _in_words(steps: Sequence[str]) -> str:
    return "inside " + ", there inside ".join(f'"{step}"' for step in steps)


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
