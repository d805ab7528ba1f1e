"""Every kind of write that a client sends to the service, and how the store shows afterwards that it was kept.

A write is known by a name of its own, so that another process can tell from the name alone what must stand. A write of
several requests is acknowledged with its last one. All figures are invented.
"""

from __future__ import annotations

import http.client
import json
import os
import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from fitcheck.records.photographs import cleaned, digest_of
from fitcheck.store import Store
from fitcheck.store.bundle import written
from fitcheck.store.documents import links_of
from fitcheck.store.revisions import past
from fitcheck.store.stored import HOUSEHOLD, Settings
from tests.jpegs import NOTES, jpeg, segment
from tests.store.test_taps import MAKE, SHEET, begun

PLACE = "occasions/first/readings/chest"
SHARED = ("a", "b")
"""Two garments of each round that all clients write to."""


@dataclass(frozen=True, slots=True)
class Write:
    """One kind of write.

    send    sends it under its name, over a client
    stands  whether it is kept under its name
    """

    send: Callable[[Client, str], None]
    stands: Callable[[sqlite3.Connection, str], bool]


class Client:
    """Somebody who writes to the service until the connection breaks."""

    def __init__(self, port: int) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        self._own = f"http://127.0.0.1:{port}"

    def json(self, method: str, path: str, body: object = None, revision: int = 0) -> Any:
        """Ask the API; what it answers, or None where somebody else was first."""
        raw = b"" if body is None else json.dumps(body).encode()
        return self.raw(method, path, raw, "application/json", revision)

    def raw(self, method: str, path: str, body: bytes, media: str, revision: int = 0) -> Any:
        """Ask the API with any body."""
        headers = {"Content-Type": media, "If-Match": f'"{revision}"'}
        self.connection.request(method, f"/api/v1{path}", body, headers)
        answer = self.connection.getresponse()
        text = answer.read()
        if answer.status == 409:
            return None
        assert answer.status in (200, 201), text
        return json.loads(text)

    def form(self, path: str, typed: str) -> None:
        """Send a form of a page."""
        headers = {"Content-Type": "application/x-www-form-urlencoded", "Origin": self._own}
        self.connection.request("POST", path, typed, headers)
        answer = self.connection.getresponse()
        text = answer.read()
        assert answer.status == 303, (answer.status, text)


def prepared(store: Store) -> None:
    """Begin the sheet that is tapped on, in a store that has the sample household."""
    make = store.get("makes", MAKE)
    store.put("makes", MAKE, {**make.doc, "sheets": [begun()]}, make.revision)


def begin_round(store: Store, number: int) -> None:
    """Make the garments of a round."""
    for letter in SHARED:
        store.put("garments", f"g{number}{letter}", {"name": "grey", "occasions": [{"id": "first"}]}, 0)


def _garment(name: str, letter: str) -> str:
    """The garment of the round that a name begins with."""
    return f"g{name.split('-')[0]}{letter}"


def _reading(client: Client, name: str) -> None:
    body = {"place": PLACE, "reading": {"text": "51.6 cm", "by": "x" * 200}}
    client.json("PUT", f"/garments/{_garment(name, 'a')}/readings/{name}", body)


def _has_readings(connection: sqlite3.Connection, name: str, letters: str = "a") -> bool:
    """Whether a reading stands in each of some garments. Half of a table is no table: it fails here."""
    found = [f'"id":"{name}"' in _text(connection, "garments", _garment(name, letter)) for letter in letters]
    assert len(set(found)) == 1, name
    return found[0]


def _table(client: Client, name: str) -> None:
    rows = [f"garments,{_garment(name, letter)},{PLACE},51.{number} cm,{name}" for number, letter in enumerate(SHARED)]
    client.raw("POST", "/readings.csv", "\r\n".join(["record kind,key,place,text,id", *rows]).encode(), "text/csv")


def _set_aside(client: Client, name: str) -> None:
    _reading(client, name)
    body = {"reason": "laid askew"}
    client.json("POST", f"/garments/{_garment(name, 'a')}/readings/{name}/set-aside", body)


def _is_aside(connection: sqlite3.Connection, name: str) -> bool:
    document = json.loads(_text(connection, "garments", _garment(name, "a")))
    readings = document["occasions"][0].get("readings", {}).get("chest", [])
    return any(reading["id"] == name and "set_aside" in reading for reading in readings)


def _yarn(client: Client, name: str) -> None:
    client.json("PUT", f"/yarns/{name}", {"name": name, "notes": "y" * 500})


def _deleted(client: Client, name: str) -> None:
    _yarn(client, name)
    client.json("DELETE", f"/yarns/{name}", revision=1)


def _undone(client: Client, name: str) -> None:
    client.json("PUT", f"/wearers/{name}", {"name": "first"})
    client.json("PUT", f"/wearers/{name}", {"name": "then"}, 1)
    client.json("POST", f"/wearers/{name}/undo", revision=2)


def _make(client: Client, name: str) -> None:
    client.json("PUT", f"/makes/{name}", {"name": name, "yarn": "moss-wool"})


def _household_file(client: Client, name: str) -> None:
    rows = [("yarns", json.dumps({"id": f"{name}-{letter}", "name": name})) for letter in SHARED]
    client.raw("POST", "/bundle", written(Settings(unit="cm"), rows, [], left_out=False), "application/json")


def _both_came(connection: sqlite3.Connection, name: str) -> bool:
    found = [_stands_at(connection, "yarns", f"{name}-{letter}", 1) for letter in SHARED]
    assert len(set(found)) == 1, name
    return found[0]


def _settings(client: Client, name: str) -> None:
    while True:  # until nobody was faster
        now = client.json("GET", "/household")
        if client.json("PUT", "/household", {**now["record"], "notes": name}, now["revision"]):
            return


def _photograph(client: Client, name: str) -> None:
    client.raw("POST", "/photographs", _picture(name), "image/jpeg")


def _picture(name: str) -> bytes:
    """A picture that no other name has: the name stands in its colours, which are kept."""
    return jpeg(notes=NOTES + segment(0xE2, b"ICC_PROFILE\0\x01\x01" + name.encode()))


def _tap(client: Client, name: str) -> None:
    body = {"line": 0, "done": True, "counter": 0, "at": "2026-11-30T23:10:00+01:00", "device": "phone"}
    client.json("PUT", f"/makes/{MAKE}/sheets/{SHEET}/taps/tap-{name}", body)


def _form(client: Client, name: str) -> None:
    client.form("/people/new", f"name={name}&form=form-of-a-page-{name}")


def _asked(sql: str) -> Callable[[sqlite3.Connection, str], bool]:
    """Whether a query of a name finds anything."""
    return lambda connection, name: connection.execute(sql, (name,)).fetchone() is not None


def _text(connection: sqlite3.Connection, kind: str, key: str) -> str:
    row = connection.execute("select doc from records where kind = ? and key = ?", (kind, key)).fetchone()
    return str(row[0])


def _stands_at(connection: sqlite3.Connection, kind: str, key: str, revision: int, *, deleted: bool = False) -> bool:
    """Whether a record is at a revision, and deleted or not."""
    asked = "select 1 from records where kind = ? and key = ? and revision = ? and deleted = ?"
    return connection.execute(asked, (kind, key, revision, deleted)).fetchone() is not None


def _of(kind: str, revision: int, *, deleted: bool = False) -> Callable[[sqlite3.Connection, str], bool]:
    return lambda connection, name: _stands_at(connection, kind, name, revision, deleted=deleted)


WRITES: Mapping[str, Write] = {
    "reading": Write(_reading, _has_readings),
    "table": Write(_table, lambda connection, name: _has_readings(connection, name, "ab")),
    "set aside": Write(_set_aside, _is_aside),
    "yarn": Write(_yarn, _of("yarns", 1)),
    "deleted": Write(_deleted, _of("yarns", 2, deleted=True)),
    "undone": Write(_undone, _of("wearers", 3)),
    "make": Write(_make, _of("makes", 1)),
    "household file": Write(_household_file, _both_came),
    "settings": Write(
        _settings, _asked(f"select 1 from history where kind = '{HOUSEHOLD}' and json_extract(doc, '$.notes') = ?")
    ),
    "photograph": Write(
        _photograph,
        lambda connection, name: _asked("select 1 from photographs where digest = ?")(
            connection, digest_of(cleaned(_picture(name)))
        ),
    ),
    "tap": Write(_tap, _asked("select 1 from taps where id = 'tap-' || ?")),
    "form": Write(_form, _asked("select 1 from history where form = 'form-of-a-page-' || ?")),
}
"""The kinds of write by name."""


def write_until_it_breaks(port: int, name: str, said: int) -> None:
    """Write one kind after another; say each when it is begun, and when it is acknowledged.

    name  what no other client is called;  said: where it is said, a line each
    """
    client, kinds = Client(port), list(WRITES)
    begins = sum(name.encode()) % len(kinds)
    try:
        for number in range(100_000):
            kind, own = kinds[(begins + number) % len(kinds)], f"{name}-{number}"
            os.write(said, f"begun {own} {kind}\n".encode())
            WRITES[kind].send(client, own)
            os.write(said, f"kept {own} {kind}\n".encode())
    except (OSError, http.client.HTTPException):
        return
    except Exception as fault:
        os.write(said, f"refused {own} {kind}: {fault!r:.500}\n".encode())
    finally:
        client.connection.close()


def check_whole(connection: sqlite3.Connection, since: int) -> int:
    """Fail where a record, its history and its links do not agree, or a photograph is not whole.

    since  the last row of the history that was looked at before; 0: every record is looked at
    Returns the last row now.
    """
    rows = connection.execute(
        "select kind, key, revision, deleted, doc from records "
        "where ?1 = 0 or (kind, key) in (select kind, key from history where history.rowid > ?1)",
        (since,),
    ).fetchall()
    for kind, key, revision, deleted, doc in rows:
        counted = "select count(*), max(revision) from history where kind = ? and key = ?"
        assert connection.execute(counted, (kind, key)).fetchone() == (revision, revision), (kind, key)
        latest = past(connection, kind, key, revision)
        assert latest is not None
        assert (latest.text, latest.deleted) == (doc, bool(deleted)), (kind, key)
        linked = connection.execute("select to_kind, to_key from links where kind = ? and key = ?", (kind, key))
        assert sorted(linked) == ([] if deleted else sorted(links_of(kind, json.loads(doc)))), (kind, key)
    for digest, held in connection.execute("select digest, bytes from photographs"):
        assert digest_of(held) == digest
    return int(connection.execute("select coalesce(max(rowid), 0) from history").fetchone()[0])
