"""What the history of one garment takes with 100, 200, 400 and 800 readings, added one by one and as one table.

Run: python tests/benchmarks/bench_history.py. Sizes are of the rows of the history and of the file; times are processor
time, of the last reading and of the list of all changes.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from fitcheck.records.places import Place
from fitcheck.store import Store

POINTS = ("chest", "hem")
AT = [Place.of_readings("garments", "grey", f"occasions/first/readings/{point}") for point in POINTS]
COUNTS = (100, 200, 400, 800)


def garment_with(store: Store, count: int) -> None:
    """Keep a garment and add readings to it, one by one."""
    store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
    for number in range(count):
        store.add_reading(AT[number % 2], _reading(number))


def _reading(number: int) -> dict[str, str]:
    return {"id": f"n{number}", "text": f"51.{number % 10} cm", "at": "2026-03-01T10:00:00"}


def table_of(count: int) -> str:
    """The same readings as a table."""
    rows = [_reading(number) for number in range(count)]
    lines = [
        f"garments,grey,{AT[number % 2].address},{row['text']},{row['at']},{row['id']}"
        for number, row in enumerate(rows)
    ]
    return "\n".join(["record kind,key,place,text,at,id", *lines])


def history_bytes(store: Store) -> int:
    """How much the documents of the history take [bytes]."""
    with store.database.reading() as connection:
        return int(connection.execute("select sum(length(cast(doc as blob))) from history").fetchone()[0])


def _took(act: Callable[[], object]) -> float:
    """Processor time [ms]."""
    begun = time.process_time()
    act()
    return (time.process_time() - begun) * 1000


def main() -> None:
    """Print the table."""
    print("readings   history MB   file MB   last reading ms   changes ms   table in ms   table's history MB")
    for count in COUNTS:
        with tempfile.TemporaryDirectory() as folder:
            with Store.open(Path(folder) / "one.db") as store:
                garment_with(store, count)
                size = history_bytes(store)
                store.tend(still_seconds=0)
                file = store.path.stat().st_size
                last = _took(lambda: store.add_reading(AT[0], _reading(count)))  # noqa: B023 - called at once
                changes = _took(lambda: store.changes("garments", "grey"))
            with Store.open(Path(folder) / "two.db") as store:
                store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
                table = _took(lambda: store.add_readings_from_csv(table_of(count)))  # noqa: B023
                of_table = history_bytes(store)
        print(
            f"{count:8} {size / 1e6:12.3f} {file / 1e6:9.3f} {last:17.1f} {changes:12.1f} {table:13.1f} "
            f"{of_table / 1e6:20.3f}"
        )


if __name__ == "__main__":
    main()
