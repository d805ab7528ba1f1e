"""Photographs: their bytes in a table of their own, by SHA-256; a record names them and nothing else.

The functions work inside a transaction that the caller holds.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

from fitcheck.records.frozen import frozen
from fitcheck.records.photographs import digest_of
from fitcheck.store.faults import NotFound
from fitcheck.store.steps import now

UNNAMED_DAYS = 30
"""How long bytes stay that no revision names [days] (assumed): a form that was begun has then long been given up."""


@frozen
class Kept:
    """What is kept of photographs: how many, and how large together [bytes]."""

    count: int
    size: int


def keep_photograph(connection: sqlite3.Connection, photograph: bytes) -> str:
    """Keep a photograph that was cleaned, and return its SHA-256; one that is here already is kept once."""
    sweep(connection)
    digest = digest_of(photograph)
    connection.execute(
        "insert into photographs (digest, bytes, at) values (?, ?, ?) "
        "on conflict (digest) do update set at = excluded.at",
        (digest, photograph, now()),
    )
    return digest


def photograph(connection: sqlite3.Connection, digest: str) -> bytes:
    """Return a photograph by its SHA-256. Raises NotFound."""
    row = connection.execute("select bytes from photographs where digest = ?", (digest,)).fetchone()
    if row is None:
        raise NotFound("photographs", digest, "This photograph is not here. Take in a file that has it.")
    photograph: bytes = row[0]
    return photograph


def photographs_here(connection: sqlite3.Connection) -> frozenset[str]:
    """Return the SHA-256 of every photograph whose bytes are here."""
    return frozenset(digest for (digest,) in connection.execute("select digest from photographs"))


def photographs_kept(connection: sqlite3.Connection) -> Kept:
    """Return how many photographs are kept, and how large they are together."""
    return Kept(*connection.execute("select count(*), coalesce(sum(length(bytes)), 0) from photographs").fetchone())


def sweep(connection: sqlite3.Connection) -> int:
    """Remove bytes that no revision of any record names and that came UNNAMED_DAYS ago; return how many there were."""
    before = (datetime.now(UTC) - timedelta(days=UNNAMED_DAYS)).isoformat(timespec="milliseconds")
    old = {digest for (digest,) in connection.execute("select digest from photographs where at < ?", (before,))}
    if not old:
        return 0  # the history, which may be long, is not looked through for nothing
    docs = connection.execute("select doc from history where instr(doc, '\"photographs\":') > 0")
    for (doc,) in docs:
        old.difference_update(named_in(json.loads(doc)))
    connection.executemany("delete from photographs where digest = ?", [(digest,) for digest in old])
    return len(old)


def named_in(document: Any) -> Iterator[str]:
    """Every photograph that a document names, wherever in it."""
    if isinstance(document, dict):
        for name, inside in document.items():
            if name == "photographs":
                yield from inside
            else:
                yield from named_in(inside)
    elif isinstance(document, list):
        for entry in document:
            yield from named_in(entry)
