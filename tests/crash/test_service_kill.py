"""A service that is killed while it is written to loses no acknowledged write and leaves none half done.

The service is the real one: its server and application on a socket, in a process of its own. Clients in another
process write to it until the connection breaks. All figures are invented.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import select
import signal
import threading
import time

import pytest

from fitcheck.store import Store
from fitcheck.store.database import examine
from webui.app import create_app
from webui.config import Config
from webui.server import Server, listen

KILLS = 100
CLIENTS = 3
PLACE = "occasions/first/readings/chest"


def answer_until_killed(path, sock):
    with Store.open(path) as store:
        Server(create_app(store, config=Config(port=sock.getsockname()[1])), sock).run()


def write_until_it_breaks(port, name, acknowledge):
    """Add readings to one garment that all share, and yarns of its own; say each only when it is acknowledged."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        for number in range(100_000):
            own = f"{name}-{number}"
            reading = {"place": PLACE, "reading": {"text": "51.6 cm", "by": "x" * 200}}
            send(connection, f"/garments/{name.split('-')[0]}/readings/{own}", reading)
            os.write(acknowledge, f"r {own}\n".encode())
            send(connection, f"/yarns/y{own}", {"name": own, "notes": "y" * 500})
            os.write(acknowledge, f"y y{own}\n".encode())
    except (OSError, http.client.HTTPException):
        return
    finally:
        connection.close()


def send(connection, path, body):
    headers = {"Content-Type": "application/json", "If-Match": '"0"'}
    connection.request("PUT", f"/api/v1{path}", json.dumps(body), headers)
    answer = connection.getresponse()
    text = answer.read()
    assert answer.status in (200, 201), text


def in_a_process(work, *values):
    child = os.fork()
    if child:
        return child
    try:
        work(*values)
    finally:
        os._exit(0)


def clients(sock, number, write):
    port = sock.getsockname()[1]
    sock.close()  # or it would go on listening after the service is gone
    threads = [
        threading.Thread(target=write_until_it_breaks, args=(port, f"g{number}-{one}", write)) for one in range(CLIENTS)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


if hasattr(os, "fork"):

    @pytest.mark.simulation
    def test_every_acknowledged_write_survives_a_killed_service_and_none_is_half_there(tmp_path, draws):
        kills = draws.of(KILLS)
        path = tmp_path / "f.db"
        with Store.open(path) as store:
            create_app(store)  # loads everything once, so that each service starts fast
        rng = random.Random(20250311)
        total = {"r": 0, "y": 0}
        most = 0
        begun = time.perf_counter()
        for number in range(kills):
            garment = f"g{number}"
            with Store.open(path) as store:
                store.put("garments", garment, {"name": garment, "occasions": [{"id": "first"}]}, 0)
            sock = listen("127.0.0.1", 0)
            service = in_a_process(answer_until_killed, path, sock)
            read, write = os.pipe()
            writing = in_a_process(clients, sock, number, write)
            os.close(write)
            sock.close()
            select.select([read], [], [], 10)  # it is being written to
            time.sleep(0.15 * rng.random())
            os.kill(service, signal.SIGKILL)
            assert os.WTERMSIG(os.waitpid(service, 0)[1]) == signal.SIGKILL
            assert os.waitstatus_to_exitcode(os.waitpid(writing, 0)[1]) == 0
            with os.fdopen(read, "rb") as pipe:
                said = [line.split() for line in pipe.read().decode().splitlines()]
            acknowledged = {kind: [name for what, name in said if what == kind] for kind in ("r", "y")}
            assert examine(path) > 0
            with Store.open(path) as store:
                found = store.get("garments", garment)
                readings = [one.id for one in found.record.occasions[0].readings.get("chest", ())]
                page = store.list("yarns", text=f"y{garment}-", limit=500)
                yarns = [one.key for one in page.records]
                assert page.after is None
                assert set(acknowledged["r"]) <= set(readings)
                assert set(acknowledged["y"]) <= set(yarns)
                # Beyond the acknowledged ones at most the one write that each client had under way.
                assert len(readings) + len(yarns) <= len(said) + CLIENTS
                assert len(readings) == len(set(readings))
                # A revision, its history and its document are all there or none.
                assert found.revision == 1 + len(readings) == len(store.history("garments", garment))
                assert all(len(store.history("yarns", key)) == 1 for key in yarns)
                most += len(readings) + len(yarns) - len(said)
            for kind, names in acknowledged.items():
                total[kind] += len(names)
        took = time.perf_counter() - begun
        print(
            f"{kills} kills in {took:.0f} s, {total['r']} readings and {total['y']} yarns acknowledged, "
            f"{most} written whole whose answer was lost"
        )
        assert total["r"] > kills
        assert total["y"] > kills
