"""Eight who write and eight who read the invented household at once: nothing lost, no fault, and how long reads take.

    .venv/bin/python tests/benchmarks/bench_many_at_once.py [seconds]

Each of the writers adds readings to a make and to a garment that all share, and puts its mark into the notes of one
record as it was read before; each of the readers asks for pages and answers that rest on what is written. The service
is a process of its own. How long one waits is told twice: by the clock, and, for a machine that does other things too,
by how much processor the service had meanwhile (Linux). Ends with 1 where a write is lost or a request was answered
with a fault of the service.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import signal
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from fitcheck.store import Store
from webui.app import create_app
from webui.config import Config
from webui.listening import listen
from webui.pages.invented import bring
from webui.server import serve

WRITERS = READERS = 8
SECONDS = 60.0
AIM_S = 1.0
READ = (
    "/",
    "/makes/grey_pullover",
    "/makes/grey_pullover/points",
    "/makes/grey_pullover/rest",
    "/makes/blue_cotton_pullover",
    "/wardrobe",
    "/wardrobe/brown_pullover",
    "/swatches",
    "/settings",
    "/people",
    "/api/v1/makes/grey_pullover/report",
    "/api/v1/garments/brown_pullover",
)
"""What is read: pages and answers, of which those of the grey pullover rest on what is written."""
PLACES = tuple(
    (record, f"{place}/{point}", text)
    for point, text in (("chest", "51.6 cm"), ("hem", "50.2 cm"), ("shoulder_width", "41.4 cm"))
    for record, place in (
        ("makes/grey_pullover", "pieces/back/stages/1/readings"),
        ("garments/brown_pullover", "occasions/washed_in_spring/readings"),
    )
)


@dataclass
class Told:
    """What the clients were answered, of all of them together."""

    guard: threading.Lock = field(default_factory=threading.Lock)
    status: Counter[int] = field(default_factory=Counter)
    reads: list[tuple[float, float, str]] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    kept: set[tuple[str, str]] = field(default_factory=set)

    def answered(self, status: int, took: float, used: float, read: str | None) -> None:
        """Count an answer: how long it took, and how much processor the service had meanwhile [s]."""
        with self.guard:
            self.status[status] += 1
            if read is None:
                self.writes.append(took)
            else:
                self.reads.append((took, used, read))


class Client:
    """One who asks, over one connection, from a device of his own."""

    def __init__(self, port: int, told: Told, service: int, device: int = 1) -> None:
        self._connection = http.client.HTTPConnection(
            "127.0.0.1", port, timeout=60, source_address=(f"127.0.0.{device}", 0)
        )
        self._told = told
        self._processor = (~service << 3) | 2  # the clock of a process: clock_getcpuclockid of Linux

    def get(self, path: str) -> bytes:
        """Read."""
        return self._ask("GET", path, None, {}, path)[1]

    def put(self, path: str, body: object, revision: int = 0) -> int:
        """Write; the status of the answer."""
        headers = {"Content-Type": "application/json", "If-Match": f'"{revision}"'}
        return self._ask("PUT", f"/api/v1/{path}", json.dumps(body), headers, None)[0]

    def _ask(
        self, method: str, path: str, body: str | None, headers: dict[str, str], read: str | None
    ) -> tuple[int, bytes]:
        began, had = time.perf_counter(), time.clock_gettime(self._processor)
        self._connection.request(method, path, body, headers)
        answer = self._connection.getresponse()
        raw = answer.read()
        used = time.clock_gettime(self._processor) - had
        self._told.answered(answer.status, time.perf_counter() - began, used, read)
        return answer.status, raw


def write(client: Client, name: str, told: Told, until: float) -> None:
    """Add readings and put marks into shared notes until the time is over."""
    number = 0
    while time.perf_counter() < until:
        number += 1
        own = f"{name}-{number}"
        record, place, text = PLACES[number % len(PLACES)]
        if client.put(f"{record}/readings/{own}", {"place": place, "reading": text}) == 200:
            told.kept.add((record, own))
        now = json.loads(client.get("/api/v1/wearers/shared"))
        notes = f"{now['record'].get('notes', '')[-15_000:]} {own}".strip()
        if client.put("wearers/shared", {**now["record"], "notes": notes}, now["revision"]) == 200:
            told.kept.add(("wearers/shared", own))


def read(client: Client, name: str, told: Told, until: float) -> None:
    """Ask for one page after another until the time is over."""
    rng = random.Random(name)
    while time.perf_counter() < until:
        client.get(rng.choice(READ))


def answer(path: Path, sock: object) -> None:
    """The service, until it is told to stop."""
    with Store.open(path) as store, open(os.devnull, "w") as nowhere:
        os.dup2(nowhere.fileno(), 2)
        serve(lambda port: create_app(store, config=Config(port=port)), sock, store.tend)  # type: ignore[arg-type]


def lost(path: Path, told: Told) -> list[tuple[str, str]]:
    """What was acknowledged and is not there: readings now, marks in some revision."""
    with Store.open(path) as store, store.database.reading() as connection:
        docs = {
            record: " ".join(
                doc for (doc,) in connection.execute("select doc from history where kind || '/' || key = ?", (record,))
            )
            for record in ("wearers/shared", *{record for record, *_ in PLACES})
        }
        # A mark that a later writer did not see would be missing in the notes that it wrote.
        notes = json.loads(store.get("wearers", "shared").text)["notes"].split()
    marks = {own for record, own in told.kept if record == "wearers/shared"}
    missing = [(record, own) for record, own in told.kept if own not in docs[record]]
    return missing + [("wearers/shared", own) for own in marks if own not in notes and len(" ".join(notes)) < 15_000]


def main(seconds: float = SECONDS) -> int:
    """Print what was answered and how long it took."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "f.db"
        with Store.open(path) as store:
            bring(store)
            store.put("wearers", "shared", {"name": "of nobody's sweater"}, 0)
            create_app(store)
        sock = listen("127.0.0.1", 0)
        service = os.fork()
        if service == 0:
            answer(path, sock)
            os._exit(0)
        port = sock.getsockname()[1]
        sock.close()
        warm = Client(port, Told(), service)
        for page in READ:
            warm.get(page)  # as after a minute of use: what nobody changes is known
        told, until = Told(), time.perf_counter() + seconds
        acts: list[tuple[Callable[..., None], str]] = [(write, f"w{number}") for number in range(WRITERS)]
        acts += [(read, f"r{number}") for number in range(READERS)]
        threads = [
            threading.Thread(target=act, args=(Client(port, told, service, device), name, told, until))
            for device, (act, name) in enumerate(acts, 2)
        ]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        os.kill(service, signal.SIGTERM)
        used = os.wait4(service, 0)[2]
        had = used.ru_utime + used.ru_stime
        each = had / sum(told.status.values())
        print(f"the service had {had:.0f} s of processor in {seconds:.0f} s, {each:.3f} an answer")
        return say(told, lost(path, told))


def say(told: Told, missing: list[tuple[str, str]]) -> int:
    """Print the figures; 1 where something is lost or was a fault."""
    print(f"answers {dict(told.status)}; {len(told.kept)} writes kept, {len(missing)} lost")
    for what, which in (("by the clock", 0), ("of the service's processor", 1)):
        took = sorted(read[which] for read in told.reads)
        half, late = _half_and_late(took)
        print(
            f"{len(took)} reads {what}: half within {half:.2f} s, 99 of 100 within {late:.2f} s (aim {AIM_S}), "
            f"all {took[-1]:.2f}"
        )
    half, late = _half_and_late(told.writes)
    print(f"{len(told.writes)} writes: half within {half:.2f} s, 99 of 100 within {late:.2f}")
    for path in sorted({path for *_, path in told.reads}):
        own = [read for read in told.reads if read[2] == path]
        clock, processor = (_half_and_late([read[which] for read in own]) for which in (0, 1))
        print(
            f"  {path:40} {len(own):5} half {clock[0]:.2f}  99 of 100 {clock[1]:.2f}"
            f"  of the processor {processor[0]:.2f}  {processor[1]:.2f}"
        )
    return int(bool(missing) or any(status >= 500 for status in told.status))


def _half_and_late(took: list[float]) -> tuple[float, float]:
    """Within what half of them were answered, and 99 of 100 [s]."""
    ordered = sorted(took)
    return ordered[len(ordered) // 2], ordered[len(ordered) * 99 // 100]


if __name__ == "__main__":
    sys.exit(main(*map(float, sys.argv[1:2])))
