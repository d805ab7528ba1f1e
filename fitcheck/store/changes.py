"""What changed of a record, figure by figure: read from its revisions, and each taken back by itself.

There is no second log: two revisions that follow each other say what the later one changed. A place names pieces,
occasions, bands and readings by what they are known by, and all else in a list by its number.
"""

from __future__ import annotations

import sqlite3
from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from heapq import merge
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.records.places import Path, write_address
from fitcheck.store.documents import model_of, take
from fitcheck.store.faults import LaterChange, NotFound
from fitcheck.store.grown import OF_READINGS, Added, Row, What, grow, rows_of
from fitcheck.store.references import check_around
from fitcheck.store.revisions import current, remove, there
from fitcheck.store.saving import save
from fitcheck.store.stored import Stored

_FIGURES = ("text", "number", "count", "first", "by", "length", "smaller")
"""Fields of what is one figure, although its document has parts: a reading, a dial, a span, a wish and so on."""
_PINNED = ("garment", "occasion")
"""Fields of what a make must fit that are said together or not at all."""
_NAMES = ("id", "edge")
"""What an entry of a list is known by."""
_GONE = object()
"""Stands where the entry of a list that a place is in is not there any more."""


@frozen
class Change:
    """One figure that a revision changed.

    path            where it stands in the record, numbered as in that revision; empty: the whole record
    before, after   its document, as plain data; None: nothing stood there
    form            of what wrote it, where that is known
    later           the change that came after it at the same place: this one is not taken back beside it
    """

    kind: str
    key: str
    revision: int
    at: str
    what: What
    path: Path
    before: Any
    after: Any
    form: str | None = None
    later: Change | None = None

    @property
    def address(self) -> str:
        """Its place as an address has it: ``pieces/back/counts/chest/knitted``."""
        return write_address(self.path)


def changes(connection: sqlite3.Connection, kind: str, key: str, *, readings: bool = True) -> tuple[Change, ...]:
    """Return every change of a record that is there or was deleted, the latest first. Raises NotFound.

    readings  with what was done to readings alone; without it no more documents are read than other figures changed
    """
    model_of(kind)
    rows = rows_of(connection, kind, key)
    if not rows:
        there(connection, kind, key)
    told: list[Change] = []
    stood = _Stood(kind, key)
    for row in rows:
        about = (kind, key, row.revision, row.at, row.what)
        tells = readings or row.what not in OF_READINGS
        if row.grows and stood.there:
            added = row.added
            stood.add(added)
            told += [Change(*about, (*path, entry["id"]), None, entry, row.form) for path, entry in added if tells]
        else:
            before, stood = stood, _Stood(kind, key, row)
            if tells:
                apart = _apart((), before.document(), stood.document())
                told += [Change(*about, *parts, row.form) for parts in apart]
    later = _Later(told, stood.document())
    ordered = [replace(change, later=later.of(number)) for number, change in enumerate(told)]
    return tuple(reversed(ordered))


class _Stood:
    """A record as it stood after a revision, with the readings that were added to it since; read where it is asked for.

    row  the revision; None: nothing stood yet
    """

    def __init__(self, kind: str, key: str, row: Row | None = None) -> None:
        self._of, self._row = (kind, key), row
        self._added: list[tuple[Path, dict[str, Any]]] = []
        self._document: dict[str, Any] | None = None

    @property
    def there(self) -> bool:
        """Whether there is a document."""
        return self._row is not None and not self._row.deleted

    def add(self, added: Added) -> None:
        """Add readings; what was told of the document so far stays as it was."""
        self._added += added
        self._document = None

    def document(self) -> dict[str, Any] | None:
        """The document as plain data; None where there is none. Raises RecordUnreadable."""
        if self._document is None and self._row is not None and self.there:
            row = self._row
            self._document = Stored(*self._of, row.revision, False, row.at, row.doc).doc
            grow(*self._of, self._document, self._added)
        return self._document


@frozen
class Earlier:
    """What stood at a place of a record before.

    value   its document, as plain data;  now: what took its place, None: nothing
    at      when it was written, UTC;  change: the one that took it away
    """

    value: Any
    now: Any
    at: str
    change: Change


class Before:
    """What stood before at the places of one record: what all of them take grows with them, and not their square."""

    def __init__(self, every: Sequence[Change]) -> None:
        """every: the changes of the record, the latest first."""
        self._every = every
        self._at: dict[Path, list[int]] = {}
        for number, change in enumerate(every):
            self._at.setdefault(change.path, []).append(number)
        self._movers = [number for number, change in enumerate(every) if _moves(change)]
        self._sides: dict[int, tuple[_Document, _Document]] = {}

    def at(self, path: Path) -> tuple[Earlier, ...]:
        """What stood at a place, as the record has it now, before that, the latest first."""
        touched = [*self._touched(path)]
        written = [change.at for *_, change in touched[1:]]
        return tuple(
            Earlier(before, after, at, change)
            for (before, after, change), at in zip(touched, written, strict=False)
            if before is not None
        )

    def _touched(self, path: Path) -> Iterator[tuple[Any, Any, Change]]:
        """Before, after and each change at a place or around it; the place is followed back in its list."""
        looked = -1
        for mover in (*self._movers, len(self._every)):
            # Until an entry comes or goes in a list that has only numbers, a place is called the same.
            around = (self._at.get(path[:depth], []) for depth in range(len(path) + 1))
            for number in merge(*(_between(listed, looked, mover) for listed in around)):
                change = self._every[number]
                before, after = self._sides_of(number, path)
                # What stands where an entry was taken out of a list is another entry, which moved up.
                if before != after and not _leaves_a_gap(change):
                    yield before, after, change
            looked = mover
            moved = _moved_back(path, self._every[mover]) if mover < len(self._every) else None
            if moved is None:
                return
            path = moved

    def _sides_of(self, number: int, path: Path) -> Iterator[Any]:
        """What stood at a place before a change and after it; None: nothing."""
        change = self._every[number]
        sides = self._sides.setdefault(number, (_Document(change.before), _Document(change.after)))
        stood = (side.at(path[len(change.path) :]) for side in sides)
        return (None if value is _GONE else value for value in stood)


def take_back(
    connection: sqlite3.Connection,
    kind: str,
    key: str,
    revision: int,
    path: Path,
    *,
    form: str | None = None,
    at: str | None = None,
) -> Stored:
    """Put back what stood at one place before a revision changed it; all else stays as it is now.

    form, at  of a change of several records, where it is a part of one

    Raises NotFound where that revision changed nothing there, LaterChange where a later change rests on it, and
    RecordsError or StillNamed where the record would not stand so.
    """
    every = changes(connection, kind, key)
    change = next((change for change in every if (change.revision, change.path) == (revision, path)), None)
    if change is None:
        raise NotFound(kind, key, f"Revision {revision} of {kind}/{key} changed nothing at {write_address(path)!r}.")
    if change.later is not None:
        raise LaterChange(kind, key, write_address(path), change.later.at)
    stored = current(connection, kind, key)
    assert stored is not None  # it has changes
    if not path and change.before is None:
        return remove(connection, stored, "undone", form=form, at=at)
    document = stored.doc if path else change.before
    if path:
        for later in reversed(every):
            path = _moved(path, later) if later.revision > revision else path
        _put(document, path, change.before, anew=change.after is None)
    taken = take(kind, key, document)
    check_around(connection, kind, taken)
    return save(connection, kind, key, stored, taken, "undone", form=form, at=at)


# Two documents apart


def _apart(path: Path, before: Any, after: Any) -> Iterator[tuple[Path, Any, Any]]:
    """What is another in two documents, figure by figure: place, before and after."""
    if before == after:
        return
    sides = [side for side in (before, after) if side is not None]
    first, then = before or {}, after or {}
    if all(isinstance(side, dict) for side in sides) and not _is_figure(path, before, after):
        for name in {**first, **then}:
            yield from _apart((*path, name), first.get(name), then.get(name))
    elif all(isinstance(side, list) and side and isinstance(side[0], dict) for side in sides):
        for step, first, then in _entries_apart(before or [], after or []):
            if first is None or then is None:
                yield (*path, step), first, then
            else:
                yield from _apart((*path, step), first, then)
    else:
        yield path, before, after


def _is_figure(path: Path, before: Mapping[str, Any] | None, after: Mapping[str, Any] | None) -> bool:
    """Whether a part of a document is told and taken back as a whole: a record that comes or goes, one figure."""
    if not path:
        return before is None or after is None
    first, then = before or {}, after or {}
    if any(name in side for side in (first, then) for name in _FIGURES):
        return True
    return path == ("fits",) and any(first.get(name) != then.get(name) for name in _PINNED)


def _entries_apart(before: Sequence[Any], after: Sequence[Any]) -> Iterator[tuple[str | int, Any, Any]]:
    """The entries of two lists side by side, by what they are known by; else those that stand between equal ends."""
    named, now = ({_known_by(entry): entry for entry in listed} for listed in (before, after))
    if None not in named and None not in now:
        for name in {**named, **now}:
            assert name is not None
            yield name, named.get(name), now.get(name)
        return
    shorter = min(len(before), len(after))
    head = next((at for at in range(shorter) if before[at] != after[at]), shorter)
    tail = next((at for at in range(shorter - head) if before[-1 - at] != after[-1 - at]), shorter - head)
    first, then = before[head : len(before) - tail], after[head : len(after) - tail]
    for at in range(max(len(first), len(then))):
        yield head + at, first[at] if at < len(first) else None, then[at] if at < len(then) else None


def _known_by(entry: Mapping[str, Any]) -> str | None:
    return next((entry[name] for name in _NAMES if name in entry), None)


# From one revision to another


class _Later:
    """The changes that came after each of a record's, found by place: what it takes grows with them, not their square.

    told  every change, the first first;  now: the document as it stands, None where the record was deleted
    """

    def __init__(self, told: Sequence[Change], now: Mapping[str, Any] | None) -> None:
        self._told, self._now = told, _Document(now)
        self._at: dict[Path, list[int]] = {}
        self._within: dict[Path, list[int]] = {}
        for number, change in enumerate(told):
            self._at.setdefault(change.path, []).append(number)
            for depth in range(len(change.path) + 1):
                self._within.setdefault(change.path[:depth], []).append(number)
        self._movers = [number for number, change in enumerate(told) if _moves(change)]

    def of(self, number: int) -> Change | None:
        """The first later change at the place of one, by its number; None where what it wrote stands there."""
        change = self._told[number]
        path, after, touched = change.path, number, None
        left_a_gap = _leaves_a_gap(change)
        for mover in (*self._movers[bisect_right(self._movers, number) :], len(self._told)):
            # Until an entry comes or goes in a list that has only numbers, a place is called the same.
            touched = touched or self._first(path, after, mover, left_a_gap=left_a_gap)
            after = mover
            if mover < len(self._told):
                path = _moved(path, self._told[mover])
        if left_a_gap:
            return touched  # what moved up into its place is another entry
        return None if self._now.at(path) == change.after else touched or self._told[-1]

    def _first(self, path: Path, after: int, until: int, *, left_a_gap: bool) -> Change | None:
        """The first change at a place, around it or inside it; of a gap only what fills it, or goes with it."""
        around = [self._at.get(path[:depth], []) for depth in range(len(path))]
        listed = [_between(numbers, after, until) for numbers in (self._within.get(path, []), *around)]
        for later in map(self._told.__getitem__, merge(*listed)):
            again = later.before is None and later.path == path
            outside = len(later.path) < len(path)
            if again or outside if left_a_gap else _moved(path, later) == path:
                return later
        return None


class _Document:
    """A document in which many places are looked at: a list whose entries are known by a name is gone through once."""

    def __init__(self, whole: Any) -> None:
        self._whole = whole
        self._named: dict[Path, dict[str | None, Any]] = {}

    def at(self, path: Path) -> Any:
        """What stands at a place; None: nothing, `_GONE`: nor what it would stand in."""
        if not path:
            return self._whole
        around, step = path[:-1], path[-1]
        if around not in self._named:
            inside = _at(self._whole, around)
            entries = inside if isinstance(inside, list) and isinstance(step, str) else []
            self._named[around] = {_known_by(entry): entry for entry in reversed(entries)}
        named = self._named[around]
        return named.get(step) if named and isinstance(step, str) else _at(self._whole, path)


def _between(numbers: Sequence[int], after: int, until: int) -> Iterator[int]:
    """Those of some ascending numbers that lie behind one and not behind another."""
    for at in range(bisect_right(numbers, after), len(numbers)):
        if numbers[at] > until:
            return
        yield numbers[at]


def _leaves_a_gap(change: Change) -> bool:
    """Whether an entry was taken out of a list that has only numbers, so that another moved up into its place."""
    return change.after is None and isinstance(change.path[-1] if change.path else None, int)


def _moves(change: Change) -> bool:
    """Whether an entry came or went in a list that has only numbers, so that those behind it moved."""
    return (change.before is None) != (change.after is None) and isinstance(change.path[-1] if change.path else "", int)


def _moved(path: Path, later: Change) -> Path:
    """The same place once a later change has put an entry into a list before it, or taken one out there."""
    *around, number = later.path or ("",)
    depth = len(around)
    if (later.before is None) == (later.after is None) or not isinstance(number, int) or list(path[:depth]) != around:
        return path
    own = path[depth] if len(path) > depth else None
    if not isinstance(own, int):
        return path
    if later.before is None and number <= own:
        own += 1
    elif later.after is None and number < own:
        own -= 1
    return (*path[:depth], own, *path[depth + 1 :])


def _moved_back(path: Path, change: Change) -> Path | None:
    """The same place before a change put an entry into a list or took one out there; None where it came with that."""
    *around, number = change.path or ("",)
    depth = len(around)
    own = path[depth] if len(path) > depth and list(path[:depth]) == around else None
    came, went = change.before is None, change.after is None
    if came == went or not isinstance(number, int) or not isinstance(own, int):
        return path
    if came and own == number:
        return None
    own += -1 if came and number < own else 1 if went and number <= own else 0
    return (*path[:depth], own, *path[depth + 1 :])


def _at(document: Any, path: Path) -> Any:
    """What stands at a place of a document; None: nothing, `_GONE`: nor what it would stand in."""
    inside: Any = document
    for number, step in enumerate(path, start=1):
        if isinstance(inside, list):
            at = _number(inside, step)
            if at is None:
                return None if number == len(path) else _GONE
            inside = inside[at]
        elif inside is None:
            return None if document is not None else _GONE
        else:
            inside = inside.get(step)
    return inside


def _number(listed: Sequence[Mapping[str, Any]], step: str | int) -> int | None:
    """The number of an entry of a list; None where it is not there."""
    if isinstance(step, int):
        return step if step < len(listed) else None
    return next((number for number, entry in enumerate(listed) if _known_by(entry) == step), None)


def _put(inside: Any, path: Path, value: Any, *, anew: bool) -> None:
    """Put a value at a place that was looked at; None takes it out, and with it what is empty then.

    anew  an entry of a list that was taken out: it goes in again and replaces none
    """
    step, *rest = path
    if isinstance(inside, list):
        at = _number(inside, step)
        if rest:
            assert at is not None  # else the place was gone
            _put(inside[at], tuple(rest), value, anew=anew)
        elif anew:
            inside.insert(step if isinstance(step, int) else len(inside), value)
        elif at is not None:
            inside[at : at + 1] = [] if value is None else [value]
    elif rest:
        of_list = len(rest) == 1 and (
            isinstance(rest[0], int) or (isinstance(value, dict) and _known_by(value) == rest[0])
        )
        within = inside.setdefault(step, [] if of_list else {})
        _put(within, tuple(rest), value, anew=anew)
        if not within:
            del inside[step]
    elif value is None:
        inside.pop(step, None)
    else:
        inside[step] = value
