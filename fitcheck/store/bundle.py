"""The bundle: everything that the household keeps now, in one household file, out and in again."""

from __future__ import annotations

import json
import secrets
import sqlite3
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal, get_args

from fitcheck.records.bounds import MOST_OF_A_FILE, MOST_RECORDS, beyond_a_file
from fitcheck.records.cross_checks import KINDS
from fitcheck.records.files import LARGEST_BYTES, open_household
from fitcheck.records.frozen import frozen
from fitcheck.records.households import FORMAT, Household
from fitcheck.store.documents import Taken, as_read, take
from fitcheck.store.faults import BundleTooLarge, ImportConflicts
from fitcheck.store.photographs import named_in
from fitcheck.store.references import check_around, naming
from fitcheck.store.revisions import current
from fitcheck.store.saving import Saving, save, save_all
from fitcheck.store.steps import instant
from fitcheck.store.stored import HOUSEHOLD, Settings, Stored, read_back, readable
from fitcheck.store.taps import import_taps, written_taps

_SMALLEST_READING = len('{"id":"r1","text":"5 cm"}')
"""How small a reading is written [bytes]: in a smaller file there are never too many."""
How = Literal["merge", "update", "replace"]
HOWS: tuple[How, ...] = get_args(How)
Named = tuple[str, str]


@frozen
class Imported:
    """What an import did: records as (kind, key), in the order of the bundle.

    form, at  the change that it was (`together.py`)
    """

    created: tuple[Named, ...]
    changed: tuple[Named, ...]
    deleted: tuple[Named, ...]
    unchanged: tuple[Named, ...]
    form: str
    at: str


def export_bundle(connection: sqlite3.Connection, *, left_out: bool = True) -> bytes:
    """Write the household as a household file: one record a line, readings with their ids.

    left_out  whether the photographs that it names do not come with it, so that it says how many those are

    The documents are the stored ones, letter by letter, so that equal households give equal bundles. A record that
    cannot be read stays out, and so does what names it, for a file is taken in whole or not at all.
    """
    rows = _readable(connection)
    makes = sorted(key for kind, key, _ in rows if kind == "makes")
    docs = [(kind, doc) for kind, _, doc in rows]
    settings = _told_by(settings_of(connection), {key for _, key, _ in rows})
    return written(settings, docs, written_taps(connection, makes), left_out=left_out)


def _readable(connection: sqlite3.Connection) -> list[tuple[str, str, str]]:
    """Kind, key and document of every record that can be read, and names none that cannot."""
    rows = connection.execute(
        "select kind, key, doc from records where deleted = 0 and kind <> ? order by position", (HOUSEHOLD,)
    ).fetchall()
    spoilt = {(kind, key) for kind, key, text in rows if not readable(kind, text)}
    more = spoilt
    while more:
        more = {link for named in more for link in naming(connection, *named)} - spoilt
        spoilt |= more
    return [row for row in rows if row[:2] not in spoilt]


def written(settings: Settings, rows: Sequence[tuple[str, str]], taps: Sequence[str], *, left_out: bool) -> bytes:
    """Write settings, the documents of records, each with its kind, and taps as a household file.

    Raises BundleTooLarge.
    """
    head = {"fitcheck": FORMAT, **json.loads(settings.model_dump_json(exclude_defaults=True))}
    notes = head.pop("notes", None)
    photographs = {digest for _, doc in rows if '"photographs":' in doc for digest in named_in(json.loads(doc))}
    if left_out and photographs:
        head["photographs_left_out"] = len(photographs)
    parts = [f'"{name}":{_json(value)}' for name, value in head.items()]
    for kind in KINDS:
        docs = [doc for of, doc in rows if of == kind]
        if docs:
            parts.append(f'"{kind}":[\n' + ",\n".join(docs) + "\n]")
    if taps:
        parts.append('"taps":[\n' + ",\n".join(taps) + "\n]")
    if notes is not None:
        parts.append(f'"notes":{_json(notes)}')
    raw = ("{\n" + ",\n".join(parts) + "\n}\n").encode()
    if len(raw) > LARGEST_BYTES:
        raise BundleTooLarge(f"{len(raw) / 1e6:.1f} MB", f"{LARGEST_BYTES / 1e6:.0f} MB")
    if len(rows) > MOST_RECORDS:
        raise BundleTooLarge(f"{len(rows):,} records", f"{MOST_RECORDS:,}")
    if len(raw) > MOST_OF_A_FILE * _SMALLEST_READING and (beyond := beyond_a_file(json.loads(raw), tuple(KINDS))):
        raise BundleTooLarge(beyond[1], f"{MOST_OF_A_FILE:,}")
    return raw


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def settings_of(connection: sqlite3.Connection) -> Settings:
    """Return the household's settings.

    A frozen tape set of a record that is deleted is left out until that record is back. Where they cannot be read they
    are those of a new household: every figure that is kept carries its own unit.
    """
    text = _settings_text(connection)
    settings = read_back(HOUSEHOLD, HOUSEHOLD, text) if readable(HOUSEHOLD, text) else Settings(unit="cm")
    here = "select 1 from records where key = ? and deleted = 0 and kind <> 'household'"
    of = {readings_set.of for readings_set in settings.tape.sets}
    return _told_by(settings, {key for key in of if connection.execute(here, (key,)).fetchone()})


def _told_by(settings: Settings, keys: Collection[str]) -> Settings:
    """The settings with the frozen tape sets of some records only."""
    sets = [readings_set for readings_set in settings.tape.sets if readings_set.of in keys]
    if len(sets) == len(settings.tape.sets):
        return settings
    return settings.model_copy(update={"tape": settings.tape.model_copy(update={"sets": sets})})


def settings_readable(connection: sqlite3.Connection) -> bool:
    """Return whether the household's settings can be read."""
    return readable(HOUSEHOLD, _settings_text(connection))


def _settings_text(connection: sqlite3.Connection) -> str:
    text: str = connection.execute("select doc from records where kind = 'household'").fetchone()[0]
    return text


@frozen
class Opened:
    """A household file that was opened and checked, its records ready to be written."""

    household: Household
    coming: dict[Named, Taken]

    @property
    def photographs(self) -> tuple[str, ...]:
        """SHA-256 of every photograph that it names, each once, in the order of the file."""
        named = (digest for taken in self.coming.values() for digest in named_in(taken.data))
        return tuple(dict.fromkeys(named))


def open_bundle(raw: bytes) -> Opened:
    """Open a household file before any transaction: a large one takes seconds, in which others may write.

    Raises RecordsError with every fault of the file.
    """
    household = open_household(raw)
    return Opened(household, _coming(household))


def import_bundle(connection: sqlite3.Connection, opened: Opened, how: How) -> Imported:
    """Take a household file in, all or nothing.

    merge    adds what is not here; a record that is here and differs is a conflict, and nothing is taken.
             The settings are taken into an empty store only.
    update   the same, but of a record that differs the file's is taken; what was here stays in its history
    replace  makes the store equal to the file; what is not in it is deleted, and can be brought back

    Raises ImportConflicts, and RecordsError where a record that stays names what a changed one has no more.
    """
    household, coming = opened.household, opened.coming
    here = _here(connection)
    standing = {named: record for named, record in here.items() if not record.deleted}
    if how == "merge":
        conflicts = [named for named, taken in coming.items() if named in standing and _differs(standing[named], taken)]
        if conflicts:
            raise ImportConflicts(conflicts)
    # All of it is one change, told and taken back as one.
    form, at = secrets.token_urlsafe(12), instant()
    if how == "replace" or not here:
        _take_settings(connection, household, form, at)
    deleted = tuple(named for named in standing if named not in coming) if how == "replace" else ()
    taken_in = _sorted(connection, coming, here)
    gone = [Saving(*named, here[named], None, "imported") for named in deleted]
    save_all(connection, [*gone, *taken_in.savings], form=form, at=at)
    if how == "replace":
        connection.executemany("update records set position = ? where kind = ? and key = ?", taken_in.moved)
    if how == "update":
        _check_around(connection, coming, taken_in.changed)
    import_taps(connection, household.taps)
    created, changed, unchanged = map(tuple, (taken_in.created, taken_in.changed, taken_in.unchanged))
    return Imported(created, changed, deleted, unchanged, form, at)


def _here(connection: sqlite3.Connection) -> dict[Named, Stored]:
    """Every record that is here, also the deleted ones."""
    rows = connection.execute(
        "select kind, key, revision, deleted, updated, doc from records where kind <> 'household'"
    )
    return {
        (kind, key): Stored(kind, key, revision, bool(deleted), at, text)
        for kind, key, revision, deleted, at, text in rows
    }


@dataclass
class _Sorted:
    """The records of a file by what becomes of them.

    savings  what is written
    moved    where those that stay as they are stand in the file: position, kind, key
    """

    savings: list[Saving] = field(default_factory=list)
    created: list[Named] = field(default_factory=list)
    changed: list[Named] = field(default_factory=list)
    unchanged: list[Named] = field(default_factory=list)
    moved: list[tuple[int, str, str]] = field(default_factory=list)


def _sorted(connection: sqlite3.Connection, coming: Mapping[Named, Taken], here: Mapping[Named, Stored]) -> _Sorted:
    told = _Sorted()
    # A file's order is part of it: a report may add up in that order.
    starts = dict(
        connection.execute("select kind, coalesce(max(position), 0) + 1 from records group by kind").fetchall()
    )
    for place, (named, taken) in enumerate(coming.items()):
        position, before = starts.get(named[0], 1) + place, here.get(named)
        stands = before is not None and not before.deleted
        if before is not None and stands and not _differs(before, taken):
            told.unchanged.append(named)
            told.moved.append((position, *named))
            continue
        told.savings.append(Saving(*named, before, taken, "imported", position))
        (told.changed if stands else told.created).append(named)
    return told


def _check_around(connection: sqlite3.Connection, coming: Mapping[Named, Taken], changed: Sequence[Named]) -> None:
    """Check the records that stay and name a changed one.

    Of the other ways nothing is to check: the file names only what is in it, and all else is equal or untouched.
    """
    links = connection.execute("select kind, key, to_kind, to_key from links").fetchall()
    named_by_others = {(to_kind, to_key) for kind, key, to_kind, to_key in links if (kind, key) not in coming}
    for named in changed:
        if named in named_by_others:
            check_around(connection, named[0], coming[named])


def _coming(household: Household) -> dict[Named, Taken]:
    return {(kind, record.id): as_read(kind, record) for kind in KINDS for record in getattr(household, kind)}


def _differs(here: Stored, taken: Taken) -> bool:
    return here.text != taken.text


def _take_settings(connection: sqlite3.Connection, household: Household, form: str, at: str) -> None:
    fields = {name: getattr(household, name) for name in Settings.model_fields}
    taken = take(HOUSEHOLD, HOUSEHOLD, Settings(**fields))
    before = current(connection, HOUSEHOLD, HOUSEHOLD)
    assert before is not None
    if before.text != taken.text:
        save(connection, HOUSEHOLD, HOUSEHOLD, before, taken, "imported", form=form, at=at)
