"""Speed of the service against a bare Flask hello under the same server, in the same run.

    .venv/bin/python tests/benchmarks/bench_service.py

Each server runs in a process of its own, one client connection a thread in this one; invented records.
"""

from __future__ import annotations

import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path

from fitcheck.store import Store

SECONDS = 2.0
CLIENTS = 2
MANY, FEW = 5000, 24
REQUESTS = 10_000
AIM_REPORT, AIM_LIST, AIM_START = 0.25, 1.5, 1.0

HELLO = """
import sys
from flask import Flask
from webui.listening import listen
from webui.server import Server
app = Flask("hello")
app.add_url_rule("/hello", "hello", lambda: "hello")
sock = listen("127.0.0.1", 0)
print(f"http://127.0.0.1:{sock.getsockname()[1]}/", flush=True)
Server(app, sock).run()
"""


@contextmanager
def running(*words: str) -> Iterator[tuple[int, int, float]]:
    """A server in its own process: its port, its process, and when it was started."""
    begun = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, *words], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as server:
        assert server.stdout is not None
        line = server.stdout.readline()
        try:
            yield int(line.split("http://127.0.0.1:")[1].split("/")[0]), server.pid, begun
        finally:
            server.terminate()
            server.stdout.read()


def service(data: Path) -> tuple[str, ...]:
    """Words that start the service on a database."""
    return ("-m", "fitcheck.cli", "serve", "--port", "0", "--data", str(data))


def rate(port: int, ask: Callable[[http.client.HTTPConnection, int], None], seconds: float = SECONDS) -> float:
    """Requests a second that a few clients together get answered."""
    counts = [0] * CLIENTS
    until = time.perf_counter() + seconds

    def client(number: int) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port)
        while time.perf_counter() < until:
            ask(connection, counts[number] * CLIENTS + number)
            counts[number] += 1
        connection.close()

    threads = [threading.Thread(target=client, args=(number,)) for number in range(CLIENTS)]
    begun = time.perf_counter()
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return sum(counts) / (time.perf_counter() - begun)


def fetch(path: str) -> Callable[[http.client.HTTPConnection, int], None]:
    """Ask for one address."""

    def ask(connection: http.client.HTTPConnection, _: int) -> None:
        connection.request("GET", path)
        answer = connection.getresponse()
        answer.read()
        assert answer.status == 200, answer.status

    return ask


def send(
    connection: http.client.HTTPConnection, method: str, path: str, body: object, **headers: str
) -> dict[str, object]:
    """Send JSON and return what is answered."""
    connection.request(method, path, json.dumps(body), {"Content-Type": "application/json", **headers})
    answer = connection.getresponse()
    found: dict[str, object] = json.loads(answer.read())
    assert answer.status < 300, found
    return found


def add_reading(run: str) -> Callable[[http.client.HTTPConnection, int], None]:
    """Add a reading each time, 40 to a garment."""

    def ask(connection: http.client.HTTPConnection, number: int) -> None:
        garment = f"made{number // 40 % 100}"
        body = {"place": "occasions/first/readings/chest", "reading": "51.6 cm"}
        send(connection, "PUT", f"/api/v1/garments/{garment}/readings/{run}{number}", body)

    return ask


def resident_mb(process: int) -> float:
    """Memory of a process [MB]; Linux only."""
    pages = int(Path(f"/proc/{process}/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def filled(path: Path, garments: int) -> None:
    """The invented household, and garments by number."""
    household = json.loads((files("demo_garments") / "household.json").read_bytes())
    household["garments"] += [
        {
            "id": f"made{number}",
            "name": f"made-up garment {number}",
            "wearer": "tomas",
            "occasions": [{"id": "first", "readings": {"chest": ["51.6 cm"]}}],
        }
        for number in range(garments)
    ]
    with Store.open(path) as store:
        store.import_bundle(json.dumps(household).encode())


def first_answer(data: Path, path: str) -> float:
    """Seconds from starting the command until an answer is here."""
    with running(*service(data)) as (port, _, begun):
        connection = http.client.HTTPConnection("127.0.0.1", port)
        fetch(path)(connection, 0)
        took = time.perf_counter() - begun
        connection.close()
    return took


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder) / "few.db", Path(folder) / "many.db"
        filled(few, FEW)
        filled(many, MANY)
        report = "/api/v1/makes/grey_pullover/report"
        listed = "/api/v1/garments?wearer=tomas&limit=24"
        first_answer(few, "/api/v1/garments")  # the system's own cache is warm for each of the others
        start = statistics.median(first_answer(few, "/api/v1/garments") for _ in range(5))
        start_report = statistics.median(first_answer(few, report) for _ in range(3))
        with (
            running("-c", HELLO) as (hello_port, _, _),
            running(*service(few)) as (few_port, _, _),
            running(*service(many)) as (many_port, process, _),
        ):
            rows: dict[str, list[float]] = {}
            for turn in range(3):
                for name, port, ask in (
                    ("hello", hello_port, fetch("/hello")),
                    ("report, cached", many_port, fetch(report)),
                    ("verdict, cached", many_port, fetch("/api/v1/makes/grey_pullover/verdict")),
                    (f"24 garments of {FEW}", few_port, fetch(listed)),
                    (f"24 garments of {MANY}", many_port, fetch(listed)),
                    ("PUT a reading", many_port, add_reading(f"t{turn}-")),
                ):
                    rows.setdefault(name, []).append(rate(port, ask))
            medians = {name: statistics.median(each) for name, each in rows.items()}
            connection = http.client.HTTPConnection("127.0.0.1", many_port)
            uncached = []
            for _ in range(9):
                connection.request("GET", "/api/v1/makes/grey_pullover")
                make = json.loads(connection.getresponse().read())
                changed = make["record"] | {"notes": f"revision {make['revision']}"}
                send(connection, "PUT", "/api/v1/makes/grey_pullover", changed, **{"If-Match": str(make["revision"])})
                begun = time.perf_counter()
                fetch(report)(connection, 0)
                uncached.append(time.perf_counter() - begun)
            connection.close()
            memory = [resident_mb(process)]
            for _ in range(2):
                done = 0
                while done < REQUESTS / 2:
                    done += int(rate(many_port, fetch(report), 1.0))
                    done += int(rate(many_port, fetch(listed), 1.0))
                memory.append(resident_mb(process))
    hello = medians["hello"]
    for name, each in medians.items():
        print(f"{name:24} {each:7.0f} /s   {each / hello:5.2f} of hello")
    print(f"report, not cached       {1000 * statistics.median(uncached):7.0f} ms")
    print(f"first answer: a list {start:.2f} s, a report {start_report:.2f} s (aim under {AIM_START:.0f} s)")
    slower = medians[f"24 garments of {FEW}"] / medians[f"24 garments of {MANY}"]
    print(f"24 of {MANY} against 24 of {FEW}: {slower:.2f} times as long (aim {AIM_LIST} at most)")
    share = medians["report, cached"] / hello
    print(f"cached report: {share:.2f} of hello (aim {AIM_REPORT} at least)")
    print(f"memory: {' -> '.join(f'{each:.0f}' for each in memory)} MB over {REQUESTS} requests")


if __name__ == "__main__":
    main()
