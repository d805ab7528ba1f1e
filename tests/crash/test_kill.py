"""A killed process loses no acknowledged write and leaves none half done."""

from __future__ import annotations

import os
import random
import select
import signal
import time

from fitcheck.records.places import Place
from fitcheck.store import Store
from fitcheck.store.examining import examine

KILLS = 15
AT = Place.of_readings("garments", "grey", "occasions/first/readings/chest")


def write_until_killed(path, child_number, acknowledge):
    """Add readings, each with a new yarn in another transaction, and say each one only when it is kept."""
    with Store.open(path) as store:
        for number in range(100_000):
            name = f"{child_number}-{number}"
            store.add_reading(AT, {"id": name, "text": "51.6 cm", "by": "x" * 200})
            os.write(acknowledge, f"r {name}\n".encode())
            store.put("yarns", f"y{name}", {"name": name, "notes": "y" * 500}, 0)
            os.write(acknowledge, f"y y{name}\n".encode())


if hasattr(os, "fork"):

    def test_every_acknowledged_write_survives_a_kill_and_none_is_half_there(tmp_path):
        path = tmp_path / "f.db"
        with Store.open(path) as store:
            store.put("garments", "grey", {"name": "grey", "occasions": [{"id": "first"}]}, 0)
        rng = random.Random(20250305)
        acknowledged = {"r": [], "y": []}
        for child_number in range(KILLS):
            read, write = os.pipe()
            child = os.fork()
            if child == 0:
                try:
                    os.close(read)
                    write_until_killed(path, child_number, write)
                finally:
                    os._exit(1)
            os.close(write)
            select.select([read], [], [], 10)  # it writes
            time.sleep(0.1 * rng.random())
            os.kill(child, signal.SIGKILL)
            assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL
            with os.fdopen(read, "rb") as pipe:
                for line in pipe.read().decode().splitlines():
                    kind, name = line.split()
                    acknowledged[kind].append(name)
            assert examine(path) > 0
            with Store.open(path) as store:
                readings = [
                    one.id for one in store.get("garments", "grey").record.occasions[0].readings.get("chest", ())
                ]
                yarns = {one.id for one in store.household().yarns}
                assert set(acknowledged["r"]) <= set(readings)
                assert set(acknowledged["y"]) <= yarns
                # At most the one write that was under way beyond the acknowledged ones of each child.
                assert len(readings) == len(set(readings)) <= len(acknowledged["r"]) + child_number + 1
                assert len(yarns) <= len(acknowledged["y"]) + child_number + 1
                # Record, history and links of a write are all there or none.
                assert store.get("garments", "grey").revision == 1 + len(readings)
                assert len(store.history("garments", "grey")) == 1 + len(readings)
                assert all(len(store.history("yarns", key)) == 1 for key in list(yarns)[:20])
        print(f"{KILLS} kills, {len(acknowledged['r'])} readings and {len(acknowledged['y'])} yarns acknowledged")
        assert len(acknowledged["r"]) > KILLS
