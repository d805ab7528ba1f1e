"""An invented household for the tests of the walk: one brown pullover that fits, one blocked back that nobody has read;
and a back with a red pullover beside it, both still to be read."""

from __future__ import annotations

from typing import Any

from fitcheck.records.households import FORMAT

POINTS = ("shoulder_width", "chest", "armhole_depth", "neck_width", "hem", "to_underarm", "body_length")
"""Points of the walk in its order: what no later piece can mend first."""

HOUSEHOLD: dict[str, Any] = {
    "fitcheck": FORMAT,
    "unit": "cm",
    "invented": True,
    "garments": [
        {
            "id": "brown",
            "name": "brown pullover",
            "occasions": [
                {
                    "id": "first",
                    "state": "washed_flat",
                    "readings": {
                        "shoulder_width": ["41.0", "41.2", "41.1"],
                        "chest": ["52.0", "52.1", "51.9"],
                        "armhole_depth": ["21.0", "21.1", "21.0"],
                        "neck_width": ["17.0", "17.1", "17.0"],
                        "to_underarm": ["39.0", "39.1", "38.9"],
                        "body_length": ["64.0", "64.1", "64.0"],
                        "hem": ["51.0", "51.1", "51.0"],
                    },
                }
            ],
        },
        {"id": "red", "name": "red pullover", "occasions": [{"id": "today"}]},
    ],
    "makes": [
        {
            "id": "pullover",
            "name": "green pullover",
            "fits": {"garment": "brown", "occasion": "first"},
            "pieces": [{"id": "back", "piece": "back", "stages": [{"kind": "blocked", "on": "2025-03-31"}]}],
        },
        {
            "id": "both",
            "name": "blue pullover",
            "fits": {"garment": "red", "occasion": "today"},
            "pieces": [{"id": "back", "piece": "back", "stages": [{"kind": "blocked", "on": "2025-03-31"}]}],
        },
    ],
}
