"""Speed and weight of the pages against a bare Flask hello under the same server, in the same run.

    .venv/bin/python tests/benchmarks/bench_pages.py            ratios and aims
    .venv/bin/python tests/benchmarks/bench_pages.py 5          a fifth of the time, for a look

Each server runs in a process of its own, one client connection a thread in this one; invented records. "Cached" is
the page asked for again while nothing changed; "uncached" is the page after one reading was added to the piece that
it judges, as somebody at the table adds them, so that report and page are made anew: a reading that goes with the
others, and one 3.6 cm off, which is asked about and makes the advice be worked out with it and without it.
"""

from __future__ import annotations

import http.client
import re
import statistics
import sys
import tempfile
import time
from pathlib import Path

from bench_service import HELLO, fetch, filled, rate, running, send, service

MAKE = "/makes/grey_pullover"
AT = "pieces/back/stages/0/readings/chest"
READINGS = {"a reading": "55.2 cm", "one that is asked about": "51.6 cm"}
"""Beside 55.3 and 55.1 cm, which the invented back has at its chest."""
FEW, MANY = 14, 4994
"""With the six garments of the invented household: 20 and 5,000."""
TURNS, SECONDS, CHANGES = 5, 2.0, 40
AIM_CACHED, AIM_UNCACHED_MS, AIM_WARDROBE, AIM_WEIGHT_KB = 0.25, 60.0, 1.5, 130.0


def took_ms(connection: http.client.HTTPConnection, path: str) -> float:
    """How long one answer takes [ms]."""
    begun = time.perf_counter()
    fetch(path)(connection, 0)
    return 1e3 * (time.perf_counter() - begun)


def uncached_ms(connection: http.client.HTTPConnection, run: str, reading: str, times: int) -> list[float]:
    """The page right after a reading was added, each time [ms]; every reading is set aside again afterwards."""
    found = []
    for number in range(times):
        at = f"/api/v1{MAKE}/readings/{run}-{number}"
        send(connection, "PUT", at, {"place": AT, "reading": reading})
        found.append(took_ms(connection, MAKE))
        send(connection, "POST", f"{at}/set-aside", {"reason": "only to see how long the page takes"})
    return found


def sent(connection: http.client.HTTPConnection, path: str) -> bytes:
    """The body of an answer, as it was sent."""
    connection.request("GET", path)
    answer = connection.getresponse()
    assert answer.status == 200, (path, answer.status)
    return answer.read()


def weight(connection: http.client.HTTPConnection) -> dict[str, int]:
    """Bytes of the make page and of every style sheet and script that it names, as they are sent."""
    page = sent(connection, MAKE)
    named = re.findall(r'(?:<link rel="stylesheet" href|<script src)="([^"]+)"', page.decode())
    assert any(one.endswith(".css") for one in named), named
    return {MAKE: len(page)} | {path: len(sent(connection, path)) for path in named}


def main() -> None:
    """Measure and print."""
    part = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    seconds, changes = SECONDS / part, max(5, round(CHANGES / TURNS / part))
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder) / "few.db", Path(folder) / "many.db"
        filled(few, FEW)
        filled(many, MANY)
        with (
            running("-c", HELLO) as (hello_port, _, _),
            running(*service(few)) as (few_port, _, _),
            running(*service(many)) as (many_port, _, _),
        ):
            rates: dict[str, list[float]] = {}
            anew: dict[tuple[str, str], list[float]] = {}
            lines = {
                "20": http.client.HTTPConnection("127.0.0.1", few_port),
                "5,000": http.client.HTTPConnection("127.0.0.1", many_port),
            }
            for turn in range(TURNS):
                for name, port, path in (
                    ("hello", hello_port, "/hello"),
                    ("make page, cached", few_port, MAKE),
                    ("wardrobe of 20", few_port, "/wardrobe"),
                    ("wardrobe of 5,000", many_port, "/wardrobe"),
                ):
                    rate(port, fetch(path), 0.2)  # readings were added since: it is made anew here
                    rates.setdefault(name, []).append(rate(port, fetch(path), seconds))
                for name, line in lines.items():
                    for place, (what, reading) in enumerate(READINGS.items()):
                        anew.setdefault((name, what), []).extend(
                            uncached_ms(line, f"t{turn}-{place}", reading, changes)
                        )
            weights = weight(lines["20"])
            for line in lines.values():
                line.close()
    medians = {name: statistics.median(each) for name, each in rates.items()}
    hello = medians["hello"]
    for name, each in medians.items():
        print(f"{name:20} {each:7.0f} /s   {each / hello:5.2f} of hello")
    for (name, what), each in anew.items():
        each.sort()
        print(
            f"make page, uncached, {name:5} garments, {what}: p50 {statistics.median(each):.0f} ms, "
            f"p95 {each[int(0.95 * (len(each) - 1))]:.0f} ms, least {each[0]:.0f} ms, "
            f"{statistics.median(each) * hello / 1e3:.0f} times a hello (aim: p50 under {AIM_UNCACHED_MS:.0f} ms)"
        )
    print(f"make page, cached: {medians['make page, cached'] / hello:.2f} of hello (aim {AIM_CACHED} at least)")
    longer = medians["wardrobe of 20"] / medians["wardrobe of 5,000"]
    print(f"wardrobe of 5,000 against 20: {longer:.2f} times as long (aim {AIM_WARDROBE} at most)")
    for path, bytes_ in weights.items():
        print(f"  {bytes_ / 1e3:6.1f} kB  {path}")
    print(
        f"weight of the make page: {sum(weights.values()) / 1e3:.0f} kB (aim under {AIM_WEIGHT_KB:.0f} kB, fonts apart)"
    )


if __name__ == "__main__":
    main()
