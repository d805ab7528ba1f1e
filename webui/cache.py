"""The one cache: values that are made once and kept, each under a key that says all that it depends on.

A key that holds the revisions of everything used can never answer with something older than the records; so nothing is
ever taken out of date here, only out of room.
"""

from __future__ import annotations

import threading
from collections import Counter, OrderedDict
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

Value = TypeVar("Value")

MOST: Mapping[str, int] = {"report": 64, "fabric": 32, "page": 16, "notice": 256, "form": 64}
"""How many values of each kind are kept (a report 0.2 MB, a page 0.1 MB); the one asked for longest ago goes first."""


@dataclass(slots=True)
class _Entry:
    """A place for one value; whoever comes while it is being made waits for it."""

    guard: threading.Lock = field(default_factory=threading.Lock)
    made: bool = False
    value: Any = None


class Cache:
    """Values by kind and key; any thread may ask."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._entries: dict[str, OrderedDict[Hashable, _Entry]] = {kind: OrderedDict() for kind in MOST}
        self.made: Counter[str] = Counter()
        """How many values of each kind were made; the rest were kept."""

    def get(self, kind: str, key: Hashable, make: Callable[[], Value]) -> Value:
        """Return the value under a key, made now where it is not kept; what `make` raises is kept for nobody."""
        entry = self._entry(kind, key)
        with entry.guard:
            if not entry.made:
                entry.value = make()
                entry.made = True
                with self._guard:
                    self.made[kind] += 1
            value: Value = entry.value
            return value

    def keep(self, kind: str, key: Hashable, value: object) -> None:
        """Keep a value that was made elsewhere."""
        entry = self._entry(kind, key)
        with entry.guard:
            entry.value, entry.made = value, True

    def kept(self, kind: str, key: Hashable) -> Any:
        """Return the value under a key; None where none is kept."""
        with self._guard:
            entry = self._entries[kind].get(key)
            if entry is None or not entry.made:
                return None
            self._entries[kind].move_to_end(key)
            return entry.value

    def count(self, kind: str) -> int:
        """Return how many values of a kind are kept."""
        return len(self._entries[kind])

    def _entry(self, kind: str, key: Hashable) -> _Entry:
        with self._guard:
            entries = self._entries[kind]
            entry = entries.setdefault(key, _Entry())
            entries.move_to_end(key)
            while len(entries) > MOST[kind]:
                entries.popitem(last=False)
            return entry
