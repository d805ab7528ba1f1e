"""How fast the command starts and a verdict comes: ratios measured in one run.

    python tests/benchmarks/bench_report.py

Starts are the best of many, so that what else the machine does weighs little; a verdict is the best of repeats in
one process after a first call has imported everything.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from fitcheck.records.households import FORMAT

COUNTS = {
    "hem": 120, "to_underarm": 122, "chest": 120, "shoulder_width": 94, "armhole_depth": 66, "neck_width": 38,
    "body_length": 195,
}  # fmt: skip


def household() -> dict[str, object]:
    """A make with seven points read three times on piece and garment, each in its own laying (simulated)."""
    rng = np.random.default_rng(7)
    along = {"to_underarm", "armhole_depth", "body_length"}

    def read(length: float) -> list[dict[str, object]]:
        values = length + rng.normal(0.0, 2.5, 3)
        return [{"text": f"{value / 10:.1f} cm", "laying": n} for n, value in enumerate(values, 1)]

    lengths = {key: count * (3.1 if key in along else 4.4) for key, count in COUNTS.items()}
    piece = {key: read(length) for key, length in lengths.items()}
    garment = {key: read(length - (0 if key in along else 9)) for key, length in lengths.items()}
    return {
        "fitcheck": FORMAT,
        "unit": "cm",
        "garments": [{"id": "g", "name": "G", "occasions": [{"id": "o", "state": "washed_flat", "readings": garment}]}],
        "makes": [
            {
                "id": "m",
                "name": "M",
                "fits": {"garment": "g", "occasion": "o"},
                "pieces": [
                    {"id": "b", "piece": "back", "counts": COUNTS, "stages": [{"kind": "blocked", "readings": piece}]}
                ],
            }
        ],
    }


def start(*command: str, times: int = 15) -> float:
    """Best wall time of a command [ms], with compiled modules as an installed program has them."""
    best = float("inf")
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    for _ in range(times):
        begin = time.perf_counter()
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment)
        best = min(best, time.perf_counter() - begin)
    return 1000 * best


def main() -> None:
    python = sys.executable
    fitcheck = str(Path(python).with_name("fitcheck"))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "make.json"
        path.write_text(json.dumps(household()), encoding="utf-8")
        bare = start(python, "-c", "pass")
        heavy = start(python, "-c", "import numpy, pydantic")
        helped = start(fitcheck, "--help")
        cold = start(fitcheck, "report", str(path))
        print(f"python -c pass                     {bare:7.1f} ms")
        print(f"fitcheck --help                    {helped:7.1f} ms   {helped - bare:+.1f} ms (aim: within 25)")
        print(f"import numpy, pydantic             {heavy:7.1f} ms")
        print(f"fitcheck report, cold              {cold:7.1f} ms   {cold / heavy:.2f} x (aim: under 3)")

        import fitcheck as library

        raw = path.read_bytes()
        library.report(raw)
        times = []
        for _ in range(40):
            begin = time.perf_counter()
            library.report(raw)
            times.append(time.perf_counter() - begin)
        best, middle = 1000 * min(times), 1000 * sorted(times)[len(times) // 2]
        print(
            f"verdict, 7 points x 3 twice        {best:7.2f} ms   median {middle:.2f} (aim: under 5, parsing included)"
        )


if __name__ == "__main__":
    main()
