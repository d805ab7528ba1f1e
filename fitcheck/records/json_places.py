"""Where a path of a household file stands in its text: walked only after something was refused."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from fitcheck.records.places import Path

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+')
_NOT_NUMBERS = {"NaN", "Infinity", "-Infinity"}


def nearest_above(document: object, path: Path) -> Path:
    """Return the longest beginning of `path` that stands in `document`: a shorthand has no places inside."""
    inside: object = document
    for depth, step in enumerate(path):
        if isinstance(inside, list):
            if not isinstance(step, int) or step >= len(inside):
                return path[:depth]
        elif not isinstance(inside, dict) or step not in inside:
            return path[:depth]
        inside = inside[step]  # type: ignore[index]
    return path


def value_at(document: object, path: Path) -> object:
    """Return what stands at a place that exists."""
    inside: object = document
    for step in path:
        inside = inside[step]  # type: ignore[index]
    return inside


class Spot(NamedTuple):
    """A spot in a text: its line from 1 and its character from 0. Spots sort as they stand."""

    line: int
    character: int


@dataclass(slots=True)
class Survey:
    """What one walk through the text found.

    spots        where each place that was asked for stands, or the nearest place around it
    twice        names that stand twice in one object: (place, spot, line of the first)
    not_numbers  NaN and Infinity, which JSON does not have: (place, spot, the word)
    """

    spots: dict[Path, Spot] = field(default_factory=dict)
    twice: list[tuple[Path, Spot, int]] = field(default_factory=list)
    not_numbers: list[tuple[Path, Spot, str]] = field(default_factory=list)


@dataclass(slots=True)
class _Level:
    """An object or list that the walk is inside of."""

    names: dict[str, int] | None  # names seen, with their lines; None for a list
    expects_name: bool


def survey(text: str, wanted: Iterable[Path]) -> Survey:
    """Walk through a text that is JSON and say where each wanted place begins.

    The line of a field is the line of its name.
    """
    asked = set(wanted)
    needed = {path[:depth] for path in asked for depth in range(len(path) + 1)}
    surveyed = Survey()
    starts: dict[Path, Spot] = {}
    path: list[str | int] = []
    levels: list[_Level] = []
    line, counted_to = 1, 0
    for match in _TOKEN.finditer(text):
        token = match.group()
        line += text.count("\n", counted_to, match.start())
        counted_to = match.start()
        spot = Spot(line, counted_to)
        level = levels[-1] if levels else None
        if token in "}]":
            closed = levels.pop()
            if not closed.expects_name:  # an empty object has no name to step out of
                path.pop()
        elif token == ",":
            assert level is not None
            if level.names is None:
                path[-1] = int(path[-1]) + 1
            else:
                path.pop()
                level.expects_name = True
        elif token == ":":
            pass
        elif level is not None and level.names is not None and level.expects_name:
            name = json.loads(token) if "\\" in token else token[1:-1]
            path.append(name)
            level.expects_name = False
            if name in level.names:
                surveyed.twice.append((tuple(path), spot, level.names[name]))
            else:
                level.names[name] = line
            _note(starts, needed, path, spot)
        else:
            if level is None or level.names is None:
                _note(starts, needed, path, spot)
            if token == "{":
                levels.append(_Level({}, expects_name=True))
            elif token == "[":
                levels.append(_Level(None, expects_name=False))
                path.append(0)
            elif token in _NOT_NUMBERS:
                surveyed.not_numbers.append((tuple(path), spot, token))
    for place in asked:
        depth = len(place)
        while depth and place[:depth] not in starts:
            depth -= 1
        surveyed.spots[place] = starts.get(place[:depth], Spot(1, 0))
    return surveyed


def _note(starts: dict[Path, Spot], needed: set[Path], path: list[str | int], spot: Spot) -> None:
    if len(path) == 0 or (place := tuple(path)) not in needed:
        return
    starts.setdefault(place, spot)
