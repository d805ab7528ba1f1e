"""How long the wardrobe takes where nothing of it is kept: garments read at eight points, three times each.

    .venv/bin/python tests/benchmarks/bench_wardrobe.py

Processor time of the page in this process, the best and the median of many; before each time a wearer is written, so
that page and records are made anew. Invented lengths (seeded).
"""

from __future__ import annotations

import json
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np

from fitcheck.records.households import FORMAT
from fitcheck.store import Store
from webui.app import create_app

GARMENTS = 20
READINGS = 3
TIMES = 60
AIM_MS = 10.0
HERE = "http://localhost:8674"
POINTS_MM = {
    "neck_width": 170, "shoulder_width": 410, "armhole_depth": 210, "chest": 520, "hem": 500, "body_length": 615,
    "upper_arm": 180, "sleeve_length": 580,
}  # fmt: skip
"""Of an invented garment, widths flat [mm]."""


def wardrobe() -> bytes:
    """Twenty garments of two sizes about one, each reading with the scatter of a tape of 2 mm."""
    rng = np.random.default_rng(5)

    def readings(mm: float) -> list[dict[str, Any]]:
        return [{"text": f"{(mm + rng.normal(0, 2)) / 10:.1f}", "laying": k + 1} for k in range(READINGS)]

    garments = [
        {
            "id": f"g{number}",
            "name": f"garment {number}",
            "wearer": "w",
            "occasions": [
                {
                    "id": "first",
                    "state": "washed_flat",
                    "readings": {key: readings(mm * scale) for key, mm in POINTS_MM.items()},
                }
            ],
        }
        for number, scale in enumerate(rng.uniform(0.9, 1.1, GARMENTS))
    ]
    home = {"fitcheck": FORMAT, "unit": "cm", "wearers": [{"id": "w", "name": "W"}], "garments": garments}
    return json.dumps(home).encode()


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder, Store.open(Path(folder) / "fitcheck.db") as store:
        store.import_bundle(wardrobe())
        client = create_app(store).test_client()
        taken = []
        for number in range(TIMES):
            at, new = f"/api/v1/wearers/w{number}", {"If-Match": '"0"'}
            written = client.put(at, json={"name": "another"}, headers=new, base_url=HERE)
            assert written.status_code in (200, 201), written.get_data(as_text=True)
            begun = time.process_time()
            shown = client.get("/wardrobe", base_url=HERE)
            taken.append(1e3 * (time.process_time() - begun))
            assert shown.status_code == 200
            assert shown.get_data(as_text=True).count("<svg") >= GARMENTS
    taken = taken[5:]
    print(
        f"wardrobe of {GARMENTS} garments, {len(POINTS_MM)} points x {READINGS}, made anew: best {min(taken):.1f} ms, "
        f"median {statistics.median(taken):.1f} ms (aim {AIM_MS:.0f})"
    )


if __name__ == "__main__":
    main()
