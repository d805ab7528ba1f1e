"""A household with every kind of record in it, invented for these tests."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from fitcheck.records.households import FORMAT

_CHEST = [51.6, 51.8, 51.7]

_SAMPLE: dict[str, Any] = {
    "fitcheck": FORMAT,
    "unit": "cm",
    "name": "an invented household",
    "invented": True,
    "tape": {
        "revision": 3,
        "sets": [
            {"of": "brown-pullover", "dof": 6, "ratio": 0.9},
            {"of": "moss-sweater", "kind": "overhangs", "dof": 2.0, "ratio": 1.1},
        ],
    },
    "wearers": [
        {
            "id": "ida",
            "name": "Ida",
            "measured": "2025-01-10",
            "body": {"chest": ["94 cm", 94.5], "upper_arm": "29,5 cm", "shoulder_width": 38.0},
            "head": [56.0, "56.3 cm"],
            "notes": "prefers a loose sleeve",
        }
    ],
    "garments": [
        {
            "id": "brown-pullover",
            "name": "brown pullover",
            "wearer": "ida",
            "construction": "set_in",
            "fabric": "wool, plain",
            "thickness": "2.5 mm",
            "growth_along_percent": 1.5,
            "occasions": [
                {
                    "id": "january",
                    "on": "2025-01-12",
                    "state": "washed_flat",
                    "washes": 14,
                    "readings": {
                        "shoulder_width": [41.5, "41.4 cm", {"text": "16 3/8 in", "laying": 2}],
                        "chest": _CHEST,
                        "armhole_depth": [20.7, 20.8, 20.6],
                        "shoulder_drop": 2.7,
                        "to_underarm": ["38.6", "38.5"],
                        "body_length": [62.0, 62.1, 61.9],
                        "neck_width": 18.2,
                        "sleeve_length": [58.3],
                        "upper_arm": 18.0,
                        "cuff": 10.2,
                    },
                }
            ],
        }
    ],
    "yarns": [
        {
            "id": "moss-wool",
            "name": "moss green wool",
            "fibres": [{"fibre": "wool", "percent": 80}, {"fibre": "polyamide", "percent": 20.0}],
            "tex": 250,
            "oiled": True,
            "lots": [{"lot": "17", "grams": 640}, {"grams": 55.5}],
            "care_label": "hand wash, dry flat",
        }
    ],
    "machines": [
        {
            "id": "bed",
            "name": "flat bed",
            "pitch": "4.5 mm",
            "needles": 200,
            "carriage": "main",
            "lowest_dial": 0,
            "highest_dial": "10",
            "marks": 2,
        }
    ],
    "swatches": [
        {
            "id": "swatch-7",
            "yarn": "moss-wool",
            "machine": "bed",
            "dial": "7.1",
            "stitches": {"first": -20, "last": 20, "rule": "centre_to_centre"},
            "rows": {"count": 60},
            "stages": [
                {"kind": "off_machine", "hours": 0.5, "across": [17.2, 17.3], "along": [20.9, 20.8]},
                {
                    "kind": "blocked",
                    "on": "2025-02-03",
                    "hours": 20,
                    "treatment": "30 degrees, by hand",
                    "blocking": "patted",
                    "across": ["17.6 cm", "17,5 cm", "17.6"],
                    "along": [18.6, 18.7, 18.6],
                    "grams": 31.5,
                },
            ],
        }
    ],
    "size_tables": [
        {
            "id": "hillside",
            "name": "an invented pattern",
            "gauge": {"stitches": 22, "rows": 30, "over": "10 cm"},
            "measures": "flat",
            "print_step": "0.5 cm",
            "row_counted": ["cap_height"],
            "sizes": [
                {
                    "name": "M",
                    "pieces": {
                        "back": {"chest": {"measure": 52, "count": 118}, "body_length": {"measure": "63 cm"}},
                        "sleeve": {"upper_arm": {"count": 84}},
                    },
                },
                {"name": "3XL", "pieces": {"back": {"chest": {"measure": 94, "count": 212}}}},
            ],
        }
    ],
    "makes": [
        {
            "id": "moss-sweater",
            "name": "moss sweater",
            "started": "2025-02-01",
            "wearer": "ida",
            "construction": "set_in",
            "fits": {
                "garment": "brown-pullover",
                "occasion": "january",
                "numbers": {"cuff": 10, "hem": {"length": "104 cm", "meant": "round"}},
                "ease": {"upper_arm": "+6 cm"},
            },
            "wishes": {"sleeve_length": "+2 cm", "body_length": {"by": -1.5}},
            "tolerances": {"chest": 1.0, "shoulder_width": {"smaller": "5 mm", "larger": "1 cm"}},
            "weights": {"neck_width": 1.5},
            "seams": {"side": "mattress", "shoulder": "linked"},
            "bands": [{"edge": "neck", "depth": 2.5, "how": "added_later"}],
            "yarn": "moss-wool",
            "machine": "bed",
            "swatches": ["swatch-7"],
            "size_table": "hillside",
            "size": "M",
            "planned": {"back": {"hem": 118, "body_length": 200}, "sleeve": {"cuff": 48}},
            "planned_kept": {"back": {"hem": 118}},
            "taken": [
                {
                    "piece": "back",
                    "point": "hem",
                    "count": 118,
                    "instead_of": 116,
                    "at": "2025-03-01T18:30",
                    "report": "0a" * 32,
                }
            ],
            "costs": {"knit_extra": 0.2, "shares": {"sleeve": 0.6}},
            "pieces": [
                {
                    "id": "first-back",
                    "piece": "back",
                    "yarn": "moss-wool",
                    "lot": "17",
                    "dial": {"number": 7, "marks": 1},
                    "counts": {
                        "chest": {"planned": 118, "counted": 116},
                        "body_length": 200,
                        "shoulder_width": 92,
                    },
                    "stages": [
                        {"kind": "rested", "on": "2025-02-20", "hours": 24, "grams": 205},
                        {
                            "kind": "blocked",
                            "on": "2025-02-22",
                            "pinned": ["across"],
                            "readings": {
                                "chest": [50.9, 51.0],
                                "body_length": 62.4,
                                "shoulder_width": ["40.7"],
                            },
                            "overhangs": {"shoulder_width": ["-0,8 cm", "−7 mm"], "chest": "level"},
                            "held_at": {"chest": "51 cm"},
                        },
                    ],
                },
                {
                    "id": "second-back",
                    "piece": "back",
                    "replaces": "first-back",
                    "dial": "7+",
                    "counts": {"chest": 120},
                    "stages": [
                        {
                            "kind": "blocked",
                            "on": "2025-03-05",
                            "readings": {
                                "chest": [
                                    {
                                        "text": "51.7 cm",
                                        "id": "r1",
                                        "at": "2025-03-05T18:52:00+01:00",
                                        "by": "Ida",
                                        "laying": 1,
                                    },
                                    {
                                        "text": 53.9,
                                        "id": "r2",
                                        "at": "2025-03-05T18:53:00",
                                        "look": 2,
                                        "confirmed": True,
                                    },
                                    {"text": "20 1/4 in", "id": "r3", "set_aside": "the tape had slipped"},
                                ]
                            },
                        }
                    ],
                },
            ],
            "learns_from": ["grey-sweater"],
        },
        {"id": "grey-sweater", "name": "grey sweater", "started": "2024-09-01", "finished": "2024-11-20"},
    ],
    "notes": "kept in the drawer",
}


def sample() -> dict[str, Any]:
    """A copy that a test may change."""
    return deepcopy(_SAMPLE)
