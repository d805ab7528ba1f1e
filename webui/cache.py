"""The one cache: values that are made once and kept, each under a key that says all that it depends on.

A key that holds the revisions of everything used can never answer with something older than the records; so nothing is
ever taken out of date here, only out of room.
"""

from __future__ import annotations

import threading
import time
from collections import Counter, OrderedDict, deque
from collections.abc import Callable, Hashable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from contextvars import ContextVar
from typing import Any, TypeVar

Value = TypeVar("Value")

MOST: Mapping[str, int] = {"report": 64, "fabric": 32, "page": 16, "notice": 256, "form": 64, "said_then": 8}
"""How many values of each kind are kept (a report 0.2 MB, a page 0.1 MB); the one asked for longest ago goes first."""


TURNS = 16
"""How many values are made elsewhere at a time, at most: more than the server has threads."""
LATE_S = 1.0
"""How long before somebody asked for a page what answers him may have been read, where others are answered too [s]."""
_NOTHING = object()
_SINCE: ContextVar[float | None] = ContextVar("since", default=None)
"""From when on what a value was made from may have been read, for who asks now; None: from when it is asked for [s]."""
_HELD: ContextVar[ExitStack | None] = ContextVar("held", default=None)
"""Until when the turn to make a value is held, for who makes many; None: until it is made."""


class Cache:
    """Values by kind and key; any thread may ask.

    Values are made one at a time, in the order in which they are asked for: under Python's one lock two take twice as
    long each, and whoever only reads or writes a record waits for fewer. Who waited then finds what was made of the
    same thing meanwhile, whatever was changed since: it was read after he asked, so it answers him. Else, with somebody
    always writing, each made his own, and a page one for each of its parts.

    Who asks for a page while others are answered may be given what was read up to `LATE_S` before he asked, as if he
    had asked then, but nothing that was read before he changed something himself.
    """

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._turn = Turn()
        self._turns = [Turn() for _ in range(TURNS)]
        self._values: dict[str, OrderedDict[Hashable, Any]] = {kind: OrderedDict() for kind in MOST}
        self._latest: dict[str, OrderedDict[Hashable, tuple[float, Any]]] = {kind: OrderedDict() for kind in MOST}
        self._changed: dict[str, float] = {}
        self._answered = 0
        self.made: Counter[str] = Counter()
        """How many values of each kind were made; the rest were kept."""

    def get(
        self, kind: str, key: Callable[[], Hashable], make: Callable[[], Value], of: Hashable | None = None
    ) -> Value:
        """Return the value under a key, made now where it is not kept; what `make` raises is kept for nobody.

        key  what the value is kept under now: asked once more when it is our turn
        of   what it is a value of, at whichever time; without it only the key tells
        """
        since = self.since()
        value, *_ = self._there(kind, key, of, since)
        if value is _NOTHING:
            with ExitStack() as alone:
                (_HELD.get() or alone).enter_context(self._turn)
                value, now, read_at = self._there(kind, key, of, since)
                if value is _NOTHING:
                    value = make()
                    self.keep(kind, now, value, of, read_at)
                    self.made[kind] += 1
        return value  # type: ignore[no-any-return]

    def _there(
        self, kind: str, key: Callable[[], Hashable], of: Hashable | None, since: float
    ) -> tuple[Any, Any, float]:
        """A value that answers who asked then, else `_NOTHING`; what it is kept under, and when that was asked for."""
        latest = self.latest(kind, of, since)
        if latest is not None:
            return latest, None, since
        read_at, now = time.monotonic(), key()
        value = self._find(kind, now)
        if value is not _NOTHING:
            self.keep(kind, now, value, of, read_at)  # it holds still
        return value, now, read_at

    @contextmanager
    def answering(self) -> Iterator[None]:
        """Somebody is answered meanwhile."""
        with self._guard:
            self._answered += 1
        try:
            yield
        finally:
            with self._guard:
                self._answered -= 1

    @contextmanager
    def asked(self, who: str | None = None) -> Iterator[None]:
        """Let all that is asked for within have been read from now on, not from when each is asked for.

        So what shows one thing in many places makes it once, whatever is changed meanwhile, and is of one piece.

        who  who may be given what is a little older while others are answered; None: nobody
        """
        now = time.monotonic()
        with self._guard:
            late = who is not None and self._answered > 1
            since = _SINCE.set(max(now - LATE_S, self._changed.get(who or "", 0.0)) if late else now)
        try:
            yield
        finally:
            _SINCE.reset(since)

    def changed(self, who: str) -> None:
        """Note that somebody changed something: nothing that was read before answers him."""
        with self._guard:
            now = time.monotonic()
            lately = {other: at for other, at in self._changed.items() if now - at < LATE_S}
            self._changed = {**lately, who: now}

    @contextmanager
    def all_in_turn(self) -> Iterator[None]:
        """Make all that has to be made within in one turn, so that a list waits once, not once for each value."""
        with ExitStack() as held:
            before = _HELD.set(held)
            try:
                yield
            finally:
                _HELD.reset(before)

    def turn(self, of: Hashable) -> Turn:
        """The turn to make a value elsewhere, as a page is made of many reports: one at a time of each."""
        return self._turns[hash(of) % TURNS]

    def since(self) -> float:
        """Return from when on what answers who asks now may have been read [s]."""
        return _SINCE.get() or time.monotonic()

    def latest(self, kind: str, of: Hashable | None, since: float) -> Any:
        """Return the last value that was made of something, where it was read then or later [s]; else None."""
        with self._guard:
            read_at, value = self._latest[kind].get(of, (0.0, None))
            return value if of is not None and read_at >= since else None

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


class Turn:
    """One at a time, in the order in which they came; who has it may take it again."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._waiting: deque[tuple[int, threading.Lock]] = deque()
        self._whose: int | None = None
        self._taken = 0

    def __enter__(self) -> None:
        me = threading.get_ident()
        with self._guard:
            if self._whose in (None, me):
                self._whose, self._taken = me, self._taken + 1
                return
            called = threading.Lock()
            called.acquire()
            self._waiting.append((me, called))
        called.acquire()

    def __exit__(self, *_: object) -> None:
        with self._guard:
            self._taken -= 1
            if self._taken == 0:
                self._whose = None
                if self._waiting:
                    self._whose, called = self._waiting.popleft()
                    self._taken = 1
                    called.release()


def _put(values: OrderedDict[Hashable, Any], key: Hashable, value: Any, most: int) -> None:
    values[key] = value
    values.move_to_end(key)
    while len(values) > most:
        values.popitem(last=False)
