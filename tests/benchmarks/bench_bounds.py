"""The worst that one request can ask for: processor time and how long the write lock is held, at 2 MB of each kind.

    .venv/bin/python tests/benchmarks/bench_bounds.py

Aims: nothing over 2 s of processor, no write lock held over .2 s. Invented records; every request is answered in this
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

from fitcheck.store import Store
from fitcheck.store.database import Database
from webui.app import create_app
from webui.config import LARGEST_BODY, Config

AIM_PROCESSOR_S, AIM_LOCK_S = 2.0, 0.2
AT = "occasions/first/readings/chest"
Asked = tuple[str, str, str, bytes, str]
"""What it is called, method, path, body and its kind."""


def filled(head: str, part: str, tail: str) -> bytes:
    """A body of nearly the largest size: its head, one part after another (numbered at %d), its tail."""
    parts, size = [], len(head) + len(tail)
    while size + len(part) + 8 < LARGEST_BODY:
        parts.append(part.replace("%d", str(len(parts))))
        size += len(parts[-1]) + 1
    return f"{head}{','.join(parts)}{tail}".encode()


def requests() -> Iterator[Asked]:
    """Every kind of heap."""
    put, check, kind = "/api/v1/garments/%s", "/api/v1/garments/%s/check", "application/json"
    occasions = '{"name": "x", "occasions": [{"id": "first", "readings": {"chest": ['
    heaps = {
        "unknown names": filled('{"name": "x",', '"n%d": 1', "}"),
        "readings of one point": filled(occasions, '"51.%d cm"', "]}}]}"),
        "bare readings of one point": filled(occasions, "51.%d", "]}}]}"),
        "occasions": filled('{"name": "x", "occasions": [', '{"id": "o%d", "readings": {"hem": ["50 cm"]}}', "]}"),
        "one long note": filled('{"name": "x", "notes": "', "a%d", '"}'),
        "deep lists": b'{"name": ' + 900_000 * b"[" + 900_000 * b"]" + b"}",
    }
    for name, body in heaps.items():
        yield f"write: {name}", "PUT", put % name.replace(" ", "_"), body, kind
        yield f"check: {name}", "POST", check % name.replace(" ", "_"), body, kind
    bundle = '{"fitcheck": 4, "unit": "cm", '
    yield "take in: unknown names", "POST", "/api/v1/bundle", filled(bundle, '"n%d": 1', "}"), kind
    yarns = filled(bundle + '"yarns": [', '{"id": "y%d", "name": "y"}', "]}")
    yield "take in: yarns", "POST", "/api/v1/bundle", yarns, kind
    rows = filled("record kind,key,place,text\r\n", f"garments,grey,{AT},51.%d cm\r\n", "").replace(b"\n,", b"\n")
    yield "table of readings", "POST", "/api/v1/readings.csv", rows, "text/csv"


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
                began = time.perf_counter()
                try:
                    yield connection
                finally:
                    watched.longest = max(watched.longest, time.perf_counter() - began)

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
            client.put("/api/v1/garments/grey", data=json.dumps(grey), content_type=kind, headers={"If-Match": "0"})
            watched.longest, began = 0.0, time.process_time()
            answer = client.open(path, method=method, data=body, content_type=kind, headers={"If-Match": "0"})
            took = time.process_time() - began
            beyond = " beyond" if took > AIM_PROCESSOR_S or watched.longest > AIM_LOCK_S else ""
            print(
                f"{name:34} {len(body) / 1e6:5.2f} {answer.status_code:6} {took:11.2f} {watched.longest:7.2f}{beyond}",
                flush=True,
            )


if __name__ == "__main__":
    main()
