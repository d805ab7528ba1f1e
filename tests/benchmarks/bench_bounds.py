"""The worst that one request can ask for: processor time and how long the write lock is held, at 2 MB of each kind.

    .venv/bin/python tests/benchmarks/bench_bounds.py

Aims: nothing over 2 s of processor, no write lock held over .2 s (of processor, so that a busy machine says the same).
Invented records; every request is answered in this
process, so that its processor time is its own.
"""

from __future__ import annotations

import json
import tempfile
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from sqlite3 import Connection
from typing import Any

from fitcheck.records.bounds import MOST_OF_A_FILE, MOST_RECORDS
from fitcheck.store import Store
from fitcheck.store.database import Database
from tests.jpegs import jpeg, segment
from webui.app import create_app
from webui.config import LARGEST_BODY, Config

AIM_PROCESSOR_S, AIM_LOCK_S = 2.0, 0.2
GARMENTS = 100
ODD = ("chest", "hem", "body_length", "shoulder_width", "neck_width", "armhole_depth", "sleeve_length", "upper_arm")
PAGES = ("/", "/wardrobe", "/wardrobe/odd", "/makes/odd", "/makes/odd/points", "/settings")
AT = "occasions/first/readings/chest"
Asked = tuple[str, str, str, bytes, str]
"""What it is called, method, path, body and its kind."""


def filled(head: str, part: str, tail: str, most: int = LARGEST_BODY) -> bytes:
    """A body of nearly the largest size: its head, one part after another (numbered at %d), its tail.

    most  how many parts at most
    """
    parts: list[str] = []
    size = len(head) + len(tail)
    while size + len(part) + 8 < LARGEST_BODY and len(parts) < most:
        parts.append(part.replace("%d", str(len(parts))))
        size += len(parts[-1]) + 1
    return f"{head}{','.join(parts)}{tail}".encode()


def requests() -> Iterator[Asked]:
    """Every kind of heap."""
    put, check, kind = "/api/v1/garments/%s", "/api/v1/garments/%s/check", "application/json"
    for name, body in records().items():
        yield f"write: {name}", "PUT", put % name.replace(" ", "_"), body, kind
        yield f"check: {name}", "POST", check % name.replace(" ", "_"), body, kind
    for name, body in files().items():
        yield f"take in: {name}", "POST", "/api/v1/bundle?how=update", body, kind
    for name, body in tables().items():
        yield f"table: {name}", "POST", "/api/v1/readings.csv", body, "text/csv"
    yield "a photograph", "POST", "/api/v1/photographs", jpeg(notes=26 * segment(0xE1, 65_000 * b"x")), "image/jpeg"
    form = "application/x-www-form-urlencoded"
    for path, head, part in (
        ("/size-tables/paste", "name=x&pasted=", "chest%09" + "%d%09" * 9 + "%0A"),
        ("/swatches/several", "fabric=x&", "name_%d=x&stitches_%d=40"),
        ("/wardrobe/new", "name=x&at_chest=", "52.%d+"),
    ):
        yield f"form: {path}", "POST", path, filled(head, part, "").replace(b"+,", b"+").replace(b"0A,", b"0A"), form


def records() -> dict[str, bytes]:
    """Garments."""
    occasions, one = '{"name": "x", "occasions": [', '{"id": "o%d", "readings": {"hem": ["50 cm"]}}'
    readings = occasions + '{"id": "first", "readings": {"chest": ['
    return {
        "unknown names": filled('{"name": "x",', '"n%d": 1', "}"),
        "one name again and again": filled('{"name": "x",', '"notes": "%d"', "}"),
        "readings of one point": filled(readings, '"51.%d cm"', "]}}]}"),
        "bare readings of one point": filled(readings, "51.%d", "]}}]}"),
        "occasions": filled(occasions, one, "]}"),
        "as many occasions as are taken": filled(occasions, one, "]}", 5000),
        "unknown names in occasions": filled(occasions, '{"id": "o%d", "on": "2026-13-01", "chest": 52}', "]}", 5000),
        "words for readings": filled(occasions, '{"id": "o%d", "readings": {"hem": ["fifty", "sixty"]}}', "]}", 5000),
        "one long note": filled('{"name": "x", "notes": "', "a%d", '"}'),
        "long numbers": filled('{"name": "x", "counts": [', "1" * 4000 + "%d", "]}"),
        "deep lists": b'{"name": ' + 900_000 * b"[" + 900_000 * b"]" + b"}",
        "lists 90 deep": filled('{"name": "x", "occasions": [', 90 * "[" + "%d" + 90 * "]", "]}", 5000),
    }


def files() -> dict[str, bytes]:
    """Household files."""
    head = '{"fitcheck": 4, "unit": "cm", '
    yarns = ",".join(f'{{"id": "y{number}", "name": "y"}}' for number in range(3000))
    grey = '{"id": "g%d", "name": "x", "occasions": [{"id": "a", "readings": {"chest": [%s]}}]}'
    return {
        "unknown names": filled(head, '"n%d": 1', "}"),
        "yarns": filled(head + '"yarns": [', '{"id": "y%d", "name": "y"}', "]}"),
        "as many yarns as are taken": filled(head + '"yarns": [', '{"id": "y%d", "name": "y"}', "]}", MOST_RECORDS),
        "garments with readings": filled(head + '"garments": [', grey.replace("%s", ",".join(100 * ['"52 cm"'])), "]}"),
        "as many readings as are taken": filled(
            head + '"garments": [', grey.replace("%s", ",".join(100 * ['"52 cm"'])), "]}", MOST_OF_A_FILE // 101
        ),
        "yarns without names": filled(head + '"yarns": [', '{"id": "y %d"}', "]}", MOST_RECORDS),
        "makes of yarns that are not there": filled(
            head + f'"yarns": [{yarns}], "makes": [',
            '{"id": "m%d", "name": "m", "yarn": "y-%d"}',
            "]}",
            MOST_RECORDS - 3000,
        ),
        "doubled ids": filled(head + '"yarns": [', '{"id": "y", "name": "%d"}', "]}", MOST_RECORDS),
    }


def tables() -> dict[str, bytes]:
    """Readings as tables."""
    head = "record kind,key,place,text\r\n"
    many = [f"garments,g{number // 400},{AT},51.{number} cm\r\n" for number in range(400 * GARMENTS)]
    return {
        "of one point": filled(head, f"garments,grey,{AT},51.%d cm\r\n", "").replace(b"\n,", b"\n"),
        "of many garments": (head + "".join(many)).encode()[:LARGEST_BODY].rpartition(b"\n")[0],
        "of records that are not there": filled(head, f"garments,n%d,{AT},51 cm\r\n", "").replace(b"\n,", b"\n"),
    }


def odd_garment(store: Store) -> None:
    """Keep a garment with about as many readings as a record takes, each of which is asked about, and a make of it."""
    readings = {point: ["9 cm"] * 500 for point in ODD}
    store.put("garments", "odd", {"name": "odd", "occasions": [{"id": "first", "readings": readings}]}, 0)
    stage = {"kind": "blocked", "readings": {"chest": ["52 cm"]}}
    pieces = [{"id": "back", "piece": "back", "stages": [stage]}]
    fits = {"garment": "odd", "occasion": "first"}
    store.put("makes", "odd", {"name": "odd", "fits": fits, "pieces": pieces}, 0)


class Watched:
    """How long the write lock was held at a time, at most [s]."""

    def __init__(self) -> None:
        self.longest = 0.0
        self._writing = Database.writing

    def watch(self) -> None:
        """Look at every change from now on."""
        watched = self

        @contextmanager
        def writing(database: Database, **how: Any) -> Iterator[Connection]:
            held: AbstractContextManager[Connection] = watched._writing(database, **how)
            with held as connection:
                began = time.thread_time()
                try:
                    yield connection
                finally:
                    watched.longest = max(watched.longest, time.thread_time() - began)

        Database.writing = writing  # type: ignore[method-assign, assignment]


def main() -> None:
    """Print a line for each request, with a mark where it is beyond the aims."""
    watched = Watched()
    watched.watch()
    print(f"{'':34} {'MB':>5} {'status':>6} {'processor s':>11} {'lock s':>7}")
    for name, method, path, body, kind in requests():
        with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "f.db") as store:
            client = create_app(store, config=Config(port=80)).test_client()
            grey = {"name": "grey", "occasions": [{"id": "first", "readings": {}}]}
            for number in range(GARMENTS):
                store.put("garments", f"g{number}", grey, 0)
            client.put("/api/v1/garments/grey", data=json.dumps(grey), content_type=kind, headers={"If-Match": "0"})
            watched.longest, began = 0.0, time.process_time()
            answer = client.open(path, method=method, data=body, content_type=kind, headers={"If-Match": "0"})
            took = time.process_time() - began
            beyond = " beyond" if took > AIM_PROCESSOR_S or watched.longest > AIM_LOCK_S else ""
            print(
                f"{name:34} {len(body) / 1e6:5.2f} {answer.status_code:6} {took:11.2f} {watched.longest:7.2f}{beyond}",
                flush=True,
            )
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "f.db") as store:
        odd_garment(store)
        client = create_app(store, config=Config(port=80)).test_client()
        for page in PAGES:
            began = time.process_time()
            answer = client.get(page)
            took = time.process_time() - began
            beyond = " beyond" if took > AIM_PROCESSOR_S else ""
            print(f"{f'page: {page}':34} {len(answer.data) / 1e6:5.2f} {answer.status_code:6} {took:11.2f}{beyond}")


if __name__ == "__main__":
    main()
