"""Where something stands in the records, and how that is written: the one grammar of places.

A path leads from the outside in, by the names of fields and the numbers of entries. It is written in two ways:

    makes[0].pieces[1].stages[0].readings.chest[2]    in faults, questions and reports
    pieces/back/stages/0/readings/chest               in addresses: pieces and occasions by their own id

A place is a record with a path inside it. Written, its key stands where a file has the record's number:
``makes[grey].pieces[1].counts.chest``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any

from fitcheck.records.frozen import frozen

Path = tuple[str | int, ...]
"""A way inside a document: names of fields, numbers of entries or their ids, from the outside in."""

WHOLE = "file"
"""How the path of the whole document is written."""

PER_POINT = ("body", "readings", "overhangs", "counts", "numbers")
"""Fields that hold something per point of measure."""

_WITHOUT_POINT = ("head", "across", "along")
"""Lists of readings that belong to no point."""

_BY_ID = ("pieces", "occasions")
"""Lists whose entries an address names by their own id."""

_PLAIN_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_-]{0,63}")
_STEP = re.compile(r'\.?([A-Za-z_][A-Za-z0-9_-]*)|\[([0-9]+)\]|\[("(?:[^"\\]|\\.)*")\]')
"""A name, a number, or a name in quotes."""
_LONGEST_NAME = 40


def write_path(path: Path) -> str:
    """Write a path as people read it: ``makes[0].counts.chest``; a name that is no word in quotes, and no longer
    than a message bears."""
    written = ""
    for step in path:
        if isinstance(step, int):
            written += f"[{step}]"
        elif _PLAIN_NAME.fullmatch(step):
            written += f".{step}" if written else step
        else:
            short = step if len(step) <= _LONGEST_NAME else step[: _LONGEST_NAME - 1] + "…"
            written += f"[{json.dumps(short)}]"
    return written or WHOLE


def read_path(text: str) -> Path:
    """Read a path that `write_path` wrote; a text that is none gives the steps that it begins with.

    >>> read_path("pieces[1].counts.chest")
    ('pieces', 1, 'counts', 'chest')
    """
    steps: list[str | int] = []
    at = 0
    while step := _STEP.match(text, at):
        name, number, quoted = step.groups()
        steps.append(name or (int(number) if number else json.loads(quoted)))
        at = step.end()
    return () if text == WHOLE else tuple(steps)


def write_address(path: Path) -> str:
    """Write a path inside a record as an address has it: ``pieces/back/stages/0/readings/chest``."""
    return "/".join(str(step) for step in path)


def read_address(address: str) -> Path:
    """Read an address: what follows "stages" is a number, everything else a name.

    >>> read_address("pieces/back/stages/0/readings/chest")
    ('pieces', 'back', 'stages', 0, 'readings', 'chest')
    """
    names = address.split("/")
    return tuple(
        int(step) if before == "stages" and step.isascii() and step.isdigit() and len(step) < 6 else step
        for before, step in zip(("", *names), names, strict=False)
    )


@frozen
class Place:
    """A place in a record.

    kind  list of the household that the record stands in ("makes")
    key   id of the record
    path  the way inside the record; empty for the record itself
    """

    kind: str
    key: str
    path: Path = ()

    @classmethod
    def of_readings(cls, kind: str, key: str, address: str) -> Place:
        """The list of readings in a record that an address names."""
        return cls(kind, key, read_address(address))

    @property
    def address(self) -> str:
        """The path as an address has it: ``pieces/back/stages/0/readings/chest``."""
        return write_address(self.path)

    @property
    def inside(self) -> str:
        """The path as people read it: ``pieces[1].counts.chest``."""
        return write_path(self.path)

    def __str__(self) -> str:
        return f"{self.kind}[{self.key}]{f'.{self.inside}' if self.path else ''}"

    def at(self, *steps: str | int) -> Place:
        """The place so many steps further in."""
        return Place(self.kind, self.key, (*self.path, *steps))

    def within(self, other: Place) -> bool:
        """Whether it is that place or stands inside it."""
        same_record = (self.kind, self.key) == (other.kind, other.key)
        return same_record and self.path[: len(other.path)] == other.path

    @property
    def point(self) -> str | None:
        """The point of measure that stands there; None where it belongs to none."""
        found = (step for field, step in reversed([*pairwise(self.path)]) if field in PER_POINT)
        return next((step for step in found if isinstance(step, str)), None)

    @property
    def reading(self) -> int | None:
        """The number of the reading in its list; None where it is no reading."""
        if len(self.path) < 2 or not isinstance(self.path[-1], int):
            return None
        return self.path[-1] if self.point or self.path[-2] in _WITHOUT_POINT else None

    @property
    def around(self) -> Place:
        """The place one step further out: the list of a reading."""
        return replace(self, path=self.path[:-1])

    def numbered(self, document: Mapping[str, Any]) -> Place:
        """The same place with the numbers of pieces and occasions, where it names them by their id."""
        if not self.path or self.path[0] not in _BY_ID or not isinstance(self.path[1], str):
            return self
        entries = document[self.path[0]]
        number = next(number for number, entry in enumerate(entries) if entry["id"] == self.path[1])
        return replace(self, path=(self.path[0], number, *self.path[2:]))
