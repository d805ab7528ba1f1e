"""Which devices of the household were paired, and at which address they found the service last.

Tables of their own: no record names a device and no answer depends on one. They stand in no export and no backup, and
restoring a backup leaves none: whoever restores pairs anew. Of a session its SHA-256 alone is kept, so that nobody
who reads the file can go on as a device. The functions work inside a transaction that the caller holds.
"""

from __future__ import annotations

import sqlite3
from datetime import date, timedelta
from typing import Literal

from fitcheck.records.frozen import frozen

Right = Literal["measure", "everything"]
"""What a device may do: see to one make at the tape and at the machine, or all that this machine itself may."""

SESSION_DAYS = 90
"""How long a device that does not come by stays paired [days]."""
LONGEST_NAME = 40
"""Letters of a device's name, at most."""
TABLES = ("devices", "home")
"""What stays out of every copy."""


@frozen
class Device:
    """A paired device: its name, unlike that of any other; what it may do; the days on which it came first and last."""

    name: str
    right: Right
    first_seen: date
    last_seen: date


def add_device(connection: sqlite3.Connection, session: str, name: str, right: Right, today: date) -> Device:
    """Keep a device that was just paired; where its name is another's, it gets a number behind it.

    session  SHA-256 of what its cookie carries
    """
    _forget_old(connection, today)
    name = name.strip()[:LONGEST_NAME] or "Phone"
    taken = {there for (there,) in connection.execute("select name from devices")}
    free, number = name, 2
    while free in taken:
        free, number = f"{name} {number}", number + 1
    connection.execute("insert into devices values (?, ?, ?, ?, ?)", (session, free, right, str(today), str(today)))
    return Device(free, right, today, today)


def device_of(connection: sqlite3.Connection, session: str, today: date) -> Device | None:
    """Return the device of a session; None where there is none, or where it has not come by for too long."""
    row = connection.execute(
        "select name, right, first_seen, last_seen from devices where session = ? and last_seen > ?",
        (session, _oldest(today)),
    ).fetchone()
    return None if row is None else _device(*row)


def see_device(connection: sqlite3.Connection, session: str, today: date) -> None:
    """Note that a device came by today."""
    connection.execute("update devices set last_seen = ? where session = ?", (str(today), session))


def devices(connection: sqlite3.Connection, today: date) -> tuple[Device, ...]:
    """Return the devices that are paired, in the order in which they came."""
    rows = connection.execute(
        "select name, right, first_seen, last_seen from devices where last_seen > ? order by first_seen, rowid",
        (_oldest(today),),
    )
    return tuple(_device(*row) for row in rows)


def sessions(connection: sqlite3.Connection, today: date) -> frozenset[str]:
    """Return the SHA-256 of every session that is good."""
    rows = connection.execute("select session from devices where last_seen > ?", (_oldest(today),))
    return frozenset(session for (session,) in rows)


def remove_device(connection: sqlite3.Connection, name: str) -> bool:
    """Remove a device, which then has to be paired again; returns whether there was one of that name."""
    return connection.execute("delete from devices where name = ?", (name,)).rowcount > 0


def last_home(connection: sqlite3.Connection) -> tuple[str, int] | None:
    """Return the address and port at which devices found the service last; None where none ever did."""
    row = connection.execute("select address, port from home").fetchone()
    return None if row is None else (str(row[0]), int(row[1]))


def keep_home(connection: sqlite3.Connection, address: str, port: int) -> None:
    """Keep at which address and port devices find the service."""
    connection.execute("insert or replace into home values (1, ?, ?)", (address, port))


def left_out_of(copy: sqlite3.Connection) -> None:
    """Take the devices out of a copy of the whole database, and their bytes too; an older one has none."""
    copy.execute("pragma secure_delete = on")
    for table in TABLES:
        if copy.execute("select 1 from sqlite_schema where name = ?", (table,)).fetchone() is not None:
            copy.execute(f"delete from {table}")  # noqa: S608 - one of TABLES


def _forget_old(connection: sqlite3.Connection, today: date) -> None:
    connection.execute("delete from devices where last_seen <= ?", (_oldest(today),))


def _oldest(today: date) -> str:
    return str(today - timedelta(days=SESSION_DAYS))


def _device(name: str, right: Right, first_seen: str, last_seen: str) -> Device:
    return Device(name, right, date.fromisoformat(first_seen), date.fromisoformat(last_seen))
