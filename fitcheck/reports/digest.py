"""What tells one answer from another: a digest of the records that it is a function of."""

from __future__ import annotations

import hashlib
from typing import Any

from fitcheck.reports.given import Given
from fitcheck.reports.shapes import SCHEMA

_OF_LIST: dict[str, Any] = {"__all__": {"id"}}
_OF_POINTS: dict[str, Any] = {"__all__": _OF_LIST}
_OF_PIECE_STAGE: dict[str, Any] = {"readings": _OF_POINTS, "overhangs": _OF_POINTS, "photographs": True}
NO_ANSWER: dict[str, Any] = {
    "photographs_left_out": True,
    "taps": True,
    "wearers": {"__all__": {"body": _OF_POINTS, "head": _OF_LIST}},
    "garments": {"__all__": {"photographs": True, "occasions": {"__all__": {"readings": _OF_POINTS}}}},
    "swatches": {"__all__": {"photographs": True, "stages": {"__all__": {"across": _OF_LIST, "along": _OF_LIST}}}},
    "makes": {
        "__all__": {
            "done": True,
            "became": True,
            "sheets": True,
            "pieces": {"__all__": {"stages": {"__all__": _OF_PIECE_STAGE}}},
        }
    },
}
"""What feeds no answer: ids of readings, which are the store's business, photographs, deeds that were ticked, sheets
that were begun and what was tapped on them, and the garment that a finished make became."""


def digest_of(given: Given) -> str:
    """SHA-256 of the records, as far as they feed the answer, and of what is asked about them."""
    text = given.household.model_dump_json(exclude=NO_ANSWER, exclude_defaults=True)
    asked = f"{given.make.id} {given.piece.id if given.piece else ''}"
    return hashlib.sha256(f"{SCHEMA} {asked} {text}".encode()).hexdigest()
