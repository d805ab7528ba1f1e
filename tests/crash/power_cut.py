"""What a disk holds after a power cut: what was flushed, and of the rest whatever it had time for.

A process writes to a store and has every write and flush noted (`noted_writes.c`); the notes are then played up to some
moment. A file holds what was written before its last flush, and any of the sectors that were written since; names of
files come and go in their order, at least up to the last flush of a folder.
"""

from __future__ import annotations

import json
import os
import random
import struct
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from fitcheck.records.places import Place
from fitcheck.store import Store
from tests.jpegs import COLOURS, NOTES, jpeg
from tests.records.sample import sample
from tests.store.test_taps import MAKE, SHEET, begun, tap

WRITE, TRUNCATE, FLUSH, UNLINK, RENAME = 1, 2, 3, 4, 5
SECTOR = 512
"""What a disk writes whole, or not at all [bytes]."""
SOURCE = Path(__file__).with_name("noted_writes.c")
AT = Place.of_readings("garments", "grey", "occasions/first/readings/chest")
Said = Callable[..., None]
"""Says what is acknowledged: a query that finds something from then on, with its values, or the name of a backup."""


@dataclass(frozen=True, slots=True)
class Note:
    """One thing that happened: a write at an offset, a truncation to it, a flush, a name that went or changed."""

    kind: int
    path: str
    offset: int
    data: bytes


def noted(folder: Path, rounds: int) -> list[Note]:
    """Let a process write to a store in a folder, and return what happened there."""
    library, notes = folder.parent / "noted.so", folder.parent / "notes"
    subprocess.run(["cc", "-shared", "-fPIC", "-o", library, SOURCE, "-ldl"], check=True)
    folder.mkdir()
    environment = {**os.environ, "LD_PRELOAD": str(library), "NOTED_FOLDER": str(folder), "NOTED_IN": str(notes)}
    subprocess.run([sys.executable, "-m", __name__, str(folder), str(rounds)], check=True, env=environment)
    return list(_read(notes.read_bytes()))


def _read(raw: bytes) -> Iterator[Note]:
    at, head = 0, struct.Struct("4Q")
    while at < len(raw):
        kind, path, offset, length = head.unpack_from(raw, at)
        at += head.size
        yield Note(kind, raw[at : at + path].decode(), offset, raw[at + path : at + path + length])
        at += path + length


# What is written


def write_all(folder: Path, rounds: int) -> None:
    """Write to a new store in every way, and note in a file beside it what is acknowledged."""
    acknowledged = os.open(folder / "acknowledged", os.O_CREAT | os.O_WRONLY | os.O_APPEND, 0o600)

    def said(what: str, *values: object) -> None:
        os.write(acknowledged, json.dumps([what, *values]).encode() + b"\n")

    with Store.open(folder / "f.db") as store:
        store.import_bundle(json.dumps(sample()).encode())
        said("select 1 from records where kind = 'makes' and key = ?", MAKE)
        make = store.get("makes", MAKE)
        store.put("makes", MAKE, {**make.doc, "sheets": [begun()]}, make.revision)
        store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
        for number in range(rounds):
            _one_round(store, number, said)
            if number % 3 == 1:
                store.tend(0)
            if number % 5 == 3:
                said(os.fspath(store.back_up().relative_to(folder)))
    with Store.open(folder / "f.db") as store:
        _one_round(store, rounds, said)


def _one_round(store: Store, number: int, said: Said) -> None:
    store.add_reading(AT, {"id": f"r{number}", "text": "51.6 cm", "by": "x" * 200})
    said("select 1 from history where key = 'grey' and instr(doc, ?)", f'"id":"r{number}"')
    yarn = {"name": "y", "notes": "y" * 3000}
    store.put("yarns", f"y{number}", yarn, 0)
    store.delete("yarns", f"y{number}", 1)
    said("select 1 from records where key = ? and revision >= 2", f"y{number}")
    rows = "".join(f"garments,grey,{AT.address},51.{digit} cm,t{number}-{digit}\r\n" for digit in range(9))
    store.add_readings_from_csv("record kind,key,place,text,id\r\n" + rows)
    said("select 1 from history where key = 'grey' and instr(doc, ?)", f'"id":"t{number}-8"')
    store.undo("yarns", f"y{number}", 2)
    said("select 1 from records where key = ? and revision = 3", f"y{number}")
    digest = store.keep_photograph(jpeg(notes=NOTES + COLOURS, grey=number))
    said("select 1 from photographs where digest = ?", digest)
    store.add_tap(MAKE, SHEET, tap(number, 0))
    said("select 1 from taps where id = ?", tap(number, 0).id)


# What is left


@dataclass
class _File:
    """What is flushed of a file, and what was written since."""

    flushed: bytearray = field(default_factory=bytearray)
    since: list[Note] = field(default_factory=list)


class Disk:
    """A disk as far as notes were played."""

    def __init__(self) -> None:
        self.acknowledged: list[list[str]] = []
        self._names: dict[str, _File] = {}
        # Names as they were after each change of one; how many of these are flushed.
        self._changes: list[dict[str, _File]] = [{}]
        self._flushed = 0

    def play(self, note: Note) -> None:
        """Go on by one note."""
        if note.path.endswith("/acknowledged"):
            self.acknowledged.append(json.loads(note.data))
        elif note.path.endswith("-shm"):
            pass  # made anew by whoever opens the database first
        elif note.kind in (WRITE, TRUNCATE):
            if note.path not in self._names:
                self._name({**self._names, note.path: _File()})
            self._names[note.path].since.append(note)
        elif note.kind == FLUSH and note.path in self._names:
            file = self._names[note.path]
            for written in file.since:
                _put(file.flushed, written)
            file.since = []
        elif note.kind == FLUSH:
            self._flushed = len(self._changes) - 1
        elif note.path in self._names:
            names = dict(self._names)
            file = names.pop(note.path)
            self._name(names if note.kind == UNLINK else {**names, note.data.decode(): file})

    def _name(self, names: dict[str, _File]) -> None:
        self._names = names
        self._changes.append(names)

    def cut(self, folder: Path, to: Path, rng: random.Random | None) -> None:
        """Write what is left after a power cut into another folder; None: nothing that was not flushed."""
        names = self._changes[self._flushed if rng is None else rng.randint(self._flushed, len(self._changes) - 1)]
        for path, file in names.items():
            held = bytearray(file.flushed)
            for written in file.since if rng is not None else ():
                _put_some(held, written, rng)
            left = to / Path(path).relative_to(folder)
            left.parent.mkdir(parents=True, exist_ok=True)
            left.write_bytes(held)


def _put(held: bytearray, written: Note) -> None:
    """Write into what a file holds, or cut it off."""
    if written.kind == TRUNCATE:
        del held[written.offset :]
    held.extend(bytes(max(0, written.offset - len(held))))
    held[written.offset : written.offset + len(written.data)] = written.data


def _put_some(held: bytearray, written: Note, rng: random.Random | None) -> None:
    """The same for what the disk had time for: all of it, some of its sectors, or nothing."""
    luck = rng.random() if rng is not None else 0.0
    if written.kind == TRUNCATE or luck > 0.8:
        if luck > 0.5:
            _put(held, written)
        return
    for start in range(0, len(written.data), SECTOR):
        if rng is not None and rng.random() < luck:
            data = written.data[start : start + SECTOR]
            _put(held, Note(WRITE, written.path, written.offset + start, data))


if __name__ == "__main__":
    write_all(Path(sys.argv[1]), int(sys.argv[2]))
