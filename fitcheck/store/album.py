"""An album: a household file and the photographs that it names, in one ZIP, out and in again.

Photographs are stored as they are: a JPEG gets no smaller.
"""

from __future__ import annotations

import json
import sqlite3
import struct
import zipfile
import zlib
from collections.abc import Iterator
from typing import IO

from fitcheck.records.faults import Accepts, Fault, RecordsError
from fitcheck.records.files import LARGEST_BYTES
from fitcheck.records.photographs import LARGEST_BYTES as LARGEST_PHOTOGRAPH
from fitcheck.records.photographs import cleaned, digest_of
from fitcheck.records.places import WHOLE
from fitcheck.store.bundle import Opened, export_bundle, open_bundle
from fitcheck.store.make_file import export_make
from fitcheck.store.photographs import named_in, photographs_here
from fitcheck.store.photographs import photograph as photograph_of

BUNDLE = "household.json"
_UNREADABLE = (zipfile.BadZipFile, zlib.error, RuntimeError, OSError, EOFError, ValueError, struct.error)
"""What reading a ZIP that somebody mangled may raise; a wanted password is a RuntimeError."""
MAGIC = b"PK\x03\x04"
"""How a ZIP with something in it begins (APPNOTE.TXT, 4.3.7)."""


def export_album(connection: sqlite3.Connection, to: IO[bytes], make: str | None = None) -> None:
    """Write the household, or one make with what it rests on, and every photograph named there that is here.

    Equal households give equal albums. Raises NotFound.
    """
    here = photographs_here(connection)
    raw = export_bundle(connection, left_out=False) if make is None else export_make(connection, make, left_out=False)
    with zipfile.ZipFile(to, "w") as album:
        album.writestr(_entry(BUNDLE, zipfile.ZIP_DEFLATED), raw)
        for digest in dict.fromkeys(named_in(json.loads(raw))):
            if digest in here:
                album.writestr(_entry(_name(digest)), photograph_of(connection, digest))


def _entry(name: str, compression: int = zipfile.ZIP_STORED) -> zipfile.ZipInfo:
    """An entry without the hour at which it was written."""
    entry = zipfile.ZipInfo(name)
    entry.compress_type, entry.external_attr = compression, 0o600 << 16
    return entry


def _name(digest: str) -> str:
    return f"photographs/{digest}.jpg"


class Album:
    """An album that was opened and looked through: its household file, and its photographs one at a time."""

    def __init__(self, file: IO[bytes]) -> None:
        """Open an album.

        Raises RecordsError for what is none, with every fault of its household file, or for a photograph that its name
        does not name.
        """
        try:
            self._zip = zipfile.ZipFile(file)
            self._names = frozenset(self._zip.namelist())
        except _UNREADABLE as error:
            raise _no_album("another kind of file") from error
        self.opened: Opened = open_bundle(self._read(BUNDLE, LARGEST_BYTES))
        for name, raw in self._photographs():
            if name != _name(digest_of(raw)) or cleaned(raw) != raw:
                raise RecordsError((Fault(name, "another photograph", Accepts("photograph_as_named")),))

    def photographs(self) -> Iterator[bytes]:
        """Every photograph that is named and in the album, read once more: together they may be larger than memory."""
        return (raw for _, raw in self._photographs())

    def _photographs(self) -> Iterator[tuple[str, bytes]]:
        names = map(_name, self.opened.photographs)
        return ((name, self._read(name, LARGEST_PHOTOGRAPH)) for name in names if name in self._names)

    def _read(self, name: str, largest: int) -> bytes:
        """An entry, as far as it may be large; what it says of its own size is not believed."""
        try:
            with self._zip.open(name) as entry:
                raw = entry.read(largest + 1)
        except KeyError as error:
            raise _no_album(f"no {name}") from error
        except _UNREADABLE as error:
            raise _no_album(f"{name}, which cannot be read") from error
        if len(raw) > largest:
            raise _no_album(f"{name} of more than {largest / 1e6:g} MB")
        return raw


def _no_album(read: str) -> RecordsError:
    return RecordsError((Fault(WHOLE, read, Accepts("album")),))
