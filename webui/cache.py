"""The one cache: values that are made once and kept, each under a key that says all that it depends on.

A key that holds the revisions of everything used can never answer with something older than the records; so nothing is
ever taken out of date here, only out of room.
"""

from __future__ import annotations

import threading
import time
from collections import Counter, OrderedDict
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

Value = TypeVar("Value")

MOST: Mapping[str, int] = {"report": 64, "fabric": 32, "page": 16, "notice": 256, "form": 64, "said_then": 8}
"""How many values of each kind are kept (a report 0.2 MB, a page 0.1 MB); the one asked for longest ago goes first."""


TURNS = 16
"""How many values are made elsewhere at a time, at most: more than the server has threads."""
_NOTHING = object()
_SINCE: ContextVar[float | None] = ContextVar("since", default=None)
"""From when on what a value was made from may have been read, for who asks now; None: from when it is asked for [s]."""


class Cache:
    """Values by kind and key; any thread may ask.

    Values are made one at a time: under Python's one lock two take twice as long each, and whoever only reads or writes
    a record waits for fewer. Who waited then finds what was made of the same thing meanwhile, whatever was changed
    since: it was read after he asked, so it answers him. Else, with somebody always writing, each made his own.
    """

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._turn = threading.RLock()
        self._turns = [threading.RLock() for _ in range(TURNS)]
        self._values: dict[str, OrderedDict[Hashable, Any]] = {kind: OrderedDict() for kind in MOST}
        self._latest: dict[str, OrderedDict[Hashable, tuple[float, Any]]] = {kind: OrderedDict() for kind in MOST}
        self.made: Counter[str] = Counter()
        """How many values of each kind were made; the rest were kept."""

    def get(
        self, kind: str, key: Callable[[], Hashable], make: Callable[[], Value], of: Hashable | None = None
    ) -> Value:
        """Return the value under a key, made now where it is not kept; what `make` raises is kept for nobody.

        key  what the value is kept under now: asked once more when it is our turn
        of   what it is a value of, at whichever time; without it only the key tells
        """
        since = _SINCE.get() or time.monotonic()
        value: Value = self._find(kind, key())
        if value is not _NOTHING:
            return value
        with self._turn:
            value = self.latest(kind, of, since)
            if value is not None:
                return value
            read_at, now = time.monotonic(), key()
            value = self._find(kind, now)
            if value is _NOTHING:
                value = make()
                self.keep(kind, now, value, of, read_at)
                self.made[kind] += 1
            return value

    @contextmanager
    def from_now(self) -> Iterator[None]:
        """Let all that is asked for within have been read from now on, not from when each is asked for.

        So a list of many values waits its turn once, not once for each of them.
        """
        with self._turn:
            before = _SINCE.set(time.monotonic())
            try:
                yield
            finally:
                _SINCE.reset(before)

    def latest(self, kind: str, of: Hashable | None, since: float) -> Any:
        """Return the last value that was made of something, where it was read then or later [s]; else None."""
        with self._guard:
            read_at, value = self._latest[kind].get(of, (0.0, None))
            return value if of is not None and read_at >= since else None

    def turn(self, of: Hashable) -> AbstractContextManager[object]:
        """Whose turn it is to make a value elsewhere, as a page is made of many reports: one at a time of each."""
        return self._turns[hash(of) % TURNS]

    def keep(self, kind: str, key: Hashable, value: object, of: Hashable | None = None, read_at: float = 0.0) -> None:
        """Keep a value.

        of, read_at  what it is the latest value of, and a time after which all was read that it was made from [s]
        """
        with self._guard:
            _put(self._values[kind], key, value, MOST[kind])
            if of is not None:
                _put(self._latest[kind], of, (read_at, value), MOST[kind])

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


def _put(values: OrderedDict[Hashable, Any], key: Hashable, value: Any, most: int) -> None:
    values[key] = value
    values.move_to_end(key)
    while len(values) > most:
        values.popitem(last=False)
