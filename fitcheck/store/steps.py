"""The numbered steps of the tables: an older file is brought up to date one step at a time.

Each step is one transaction together with its number. A file with data is copied first.
"""

from __future__ import annotations

import json
import secrets
import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fitcheck.records.formats import make_of_2, make_of_4
from fitcheck.store.backup_files import new_name
from fitcheck.store.copies import copied
from fitcheck.store.documents import links_of
from fitcheck.store.faults import DatabaseDamaged
from fitcheck.store.folders import made

APPLICATION_ID = 0x46544348
"""Marks a SQLite file as ours: "FTCH"."""


def now() -> str:
    """Return date and time in UTC as the store writes them."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def instant() -> str:
    """Return the same for a change of several records: to the microsecond, by which it is told from one record's."""
    return datetime.now(UTC).isoformat(timespec="microseconds")


def _tables(connection: sqlite3.Connection) -> None:
    """Step 1: records, their history, and a counter of changes."""
    connection.execute(
        """
        create table records (
            number integer primary key,
            kind text not null,
            key text not null,
            revision integer not null check (revision >= 1),
            deleted integer not null check (deleted in (0, 1)),
            position integer not null,
            name text not null,
            sort text not null,
            wearer text,
            search text not null,
            updated text not null,
            doc text not null check (json_valid(doc)),
            unique (kind, key)
        ) strict
        """
    )
    connection.execute("create index records_listed on records (kind, deleted, sort, key)")
    connection.execute("create index records_of_wearer on records (kind, deleted, wearer, sort, key)")
    connection.execute("create index records_in_order on records (kind, position)")
    connection.execute(
        """
        create table history (
            kind text not null,
            key text not null,
            revision integer not null check (revision >= 1),
            deleted integer not null check (deleted in (0, 1)),
            at text not null,
            what text not null,
            doc text not null check (json_valid(doc)),
            primary key (kind, key, revision)
        ) strict
        """
    )
    # The token tells a restored file from the one before it, whatever their counts are.
    connection.execute(
        "create table counter (one integer primary key check (one = 1), changes integer not null, "
        "token text not null) strict"
    )
    connection.execute("insert into counter values (1, 0, ?)", (secrets.token_hex(8),))
    at, doc = now(), '{"unit":"cm"}'
    connection.execute(
        "insert into records (kind, key, revision, deleted, position, name, sort, search, updated, doc) "
        "values ('household', 'household', 1, 0, 0, '', '', '', ?, ?)",
        (at, doc),
    )
    connection.execute("insert into history values ('household', 'household', 1, 0, ?, 'created', ?)", (at, doc))
    connection.execute(f"pragma application_id = {APPLICATION_ID}")


def _links(connection: sqlite3.Connection) -> None:
    """Step 2: which record names which, so that neither a report nor a deletion reads every record."""
    connection.execute(
        """
        create table links (
            kind text not null,
            key text not null,
            to_kind text not null,
            to_key text not null,
            primary key (kind, key, to_kind, to_key),
            foreign key (kind, key) references records (kind, key)
        ) strict
        """
    )
    connection.execute("create index links_to on links (to_kind, to_key)")
    rows = connection.execute("select kind, key, doc from records where deleted = 0").fetchall()
    for kind, key, doc in rows:
        connection.executemany(
            "insert into links values (?, ?, ?, ?)",
            [(kind, key, *link) for link in links_of(kind, json.loads(doc))],
        )


def _format_2(connection: sqlite3.Connection) -> None:
    """Step 3: makes as format 2 of the household file writes them, now and at every revision that can be undone to."""
    _write_makes(connection, make_of_2)


def _write_makes(connection: sqlite3.Connection, step: Callable[[Any], Any]) -> None:
    """Write every make, and every revision of one, as a step of the formats does; what it leaves is not touched."""
    for table in ("records", "history"):
        rows = connection.execute(f"select rowid, doc from {table} where kind = 'makes'")  # noqa: S608 - named above.fetchall()
        for number, text in rows:
            before = json.loads(text)
            after = step(before)
            if after is not before:
                doc = json.dumps(after, ensure_ascii=False, separators=(",", ":"))
                connection.execute(f"update {table} set doc = ? where rowid = ?", (doc, number))  # noqa: S608


def _forms(connection: sqlite3.Connection) -> None:
    """Step 4: which form wrote a revision, so that the same one sent again is told."""
    connection.execute("alter table history add column form text")
    connection.execute("create index history_of_form on history (form) where form is not null")


def _format_3(_: sqlite3.Connection) -> None:
    """Step 5: makes have deeds that are done, rows of bands and what they became; an older program would refuse it."""


def _photographs(connection: sqlite3.Connection) -> None:
    """Step 6: photographs, by the SHA-256 of their bytes, which is all that a record says of them."""
    connection.execute(
        "create table photographs (digest text primary key, bytes blob not null, at text not null) strict"
    )
    connection.execute("create index photographs_by_age on photographs (at)")


def _sheets(connection: sqlite3.Connection) -> None:
    """Step 7: makes as format 4 writes them, and taps on begun sheets, which are only ever added."""
    _write_makes(connection, make_of_4)
    connection.execute(
        """
        create table taps (
            number integer primary key,
            make text not null,
            sheet text not null,
            id text not null,
            doc text not null,
            at text not null,
            unique (make, sheet, id)
        ) strict
        """
    )


def _growing(connection: sqlite3.Connection) -> None:
    """Step 8: a revision that only added readings keeps these alone, and grows from the one before."""
    connection.execute("alter table history add column grows integer not null default 0 check (grows in (0, 1))")


def _devices(connection: sqlite3.Connection) -> None:
    """Step 9: devices that were paired, by the SHA-256 of their sessions, and where they found the service last."""
    connection.execute(
        """
        create table devices (
            session text primary key,
            name text not null unique,
            right text not null check (right in ('measure', 'everything')),
            first_seen text not null,
            last_seen text not null
        ) strict
        """
    )
    connection.execute(
        "create table home (one integer primary key check (one = 1), address text not null, "
        "port integer not null) strict"
    )


STEPS: tuple[Callable[[sqlite3.Connection], None], ...] = (
    _tables,
    _links,
    _format_2,
    _forms,
    _format_3,
    _photographs,
    _sheets,
    _growing,
    _devices,
)
"""Every step in order; a released one is never changed again."""

NEWEST = len(STEPS)
"""Version of the tables that this program writes."""

_SIGNS = (
    (1, "changes from counter"),
    (2, "to_kind from links"),
    (4, "form from history"),
    (6, "digest from photographs"),
    (7, "sheet from taps"),
    (8, "grows from history"),
    (9, "session from devices"),
)
"""What a step brought that is not there before it."""


def check_version(connection: sqlite3.Connection, path: Path) -> None:
    """Raise DatabaseDamaged where the tables of a file are not those of the version that it says."""
    connection.execute("begin")  # another process may take a step meanwhile
    try:
        version = connection.execute("pragma user_version").fetchone()[0]
        if version and any(_is_there(connection, sign) != (version >= number) for number, sign in _SIGNS):
            raise DatabaseDamaged(path, f"its tables are others than version {version}, which it says")
    finally:
        connection.execute("rollback")


def _is_there(connection: sqlite3.Connection, sign: str) -> bool:
    try:
        connection.execute(f"select {sign} limit 0")
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode != sqlite3.SQLITE_ERROR:
            raise
        return False
    return True


def take_steps(connection: sqlite3.Connection, path: Path, version: int) -> None:
    """Bring the tables from `version` up to date; a file that has tables is copied beside itself first."""
    if version >= len(STEPS):
        return
    if version:
        # Two that open it at once make one each.
        to = new_name(path, f"version-{version}", secrets.token_hex(2))
        made(to.parent)
        copied(connection, to)
    for number, step in enumerate(STEPS, start=1):
        connection.execute("begin immediate")
        try:
            # Another process may have taken the step while this one waited.
            if connection.execute("pragma user_version").fetchone()[0] < number:
                step(connection)
                connection.execute(f"pragma user_version = {number}")
            connection.execute("commit")
        except BaseException:
            if connection.in_transaction:
                connection.execute("rollback")
            raise
