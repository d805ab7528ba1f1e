"""The one cache: values that are made once and kept, each under a key that says all that it depends on.

A key that holds the revisions of everything used can never answer with something older than the records; so nothing is
ever taken out of date here, only out of room.
"""

from __future__ import annotations

import threading
from collections import Counter, OrderedDict
from collections.abc import Callable, Hashable, Mapping
from contextlib import AbstractContextManager
from typing import Any, TypeVar

Value = TypeVar("Value")

MOST: Mapping[str, int] = {"report": 64, "fabric": 32, "page": 16, "notice": 256, "form": 64}
"""How many values of each kind are kept (a report 0.2 MB, a page 0.1 MB); the one asked for longest ago goes first."""


TURNS = 16
"""How many values are made elsewhere at a time, at most: more than the server has threads."""
_NOTHING = object()


class Cache:
    """Values by kind and key; any thread may ask.

    Values are made one at a time: under Python's one lock two take twice as long each, and whoever only reads or writes
    a record waits for fewer. Who waited then finds what was made last.
    """

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._turn = threading.RLock()
        self._turns = [threading.RLock() for _ in range(TURNS)]
        self._values: dict[str, OrderedDict[Hashable, Any]] = {kind: OrderedDict() for kind in MOST}
        self.made: Counter[str] = Counter()
        """How many values of each kind were made; the rest were kept."""

    def get(self, kind: str, key: Callable[[], Hashable], make: Callable[[], Value]) -> Value:
        """Return the value under a key, made now where it is not kept; what `make` raises is kept for nobody.

        key  what the value is kept under now: asked once more when it is our turn, so that of ten who waited through
             ten changes nine find the value of the last
        """
        value: Value = self._find(kind, key())
        if value is not _NOTHING:
            return value
        with self._turn:
            now = key()
            value = self._find(kind, now)
            if value is _NOTHING:
                value = make()
                self.keep(kind, now, value)
                self.made[kind] += 1
            return value

    def turn(self, of: Hashable) -> AbstractContextManager[object]:
        """Whose turn it is to make a value elsewhere, as a page is made of many reports: one at a time of each."""
        return self._turns[hash(of) % TURNS]

    def keep(self, kind: str, key: Hashable, value: object) -> None:
        """Keep a value that was made elsewhere."""
        with self._guard:
            values = self._values[kind]
            values[key] = value
            values.move_to_end(key)
            while len(values) > MOST[kind]:
                values.popitem(last=False)

    def kept(self, kind: str, key: Hashable) -> Any:
        """Return the value under a key; None where none is kept."""
        value = self._find(kind, key)
        return None if value is _NOTHING else value

    def count(self, kind: str) -> int:
        """Return how many values of a kind are kept."""
        return len(self._values[kind])

    def _find(self, kind: str, key: Hashable) -> Any:
        with self._guard:
            values = self._values[kind]
            if key not in values:
                return _NOTHING
            values.move_to_end(key)
            return values[key]
