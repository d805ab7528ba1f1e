"""A small invented household: one garment, one make, one piece, everything changeable by the test."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any, Protocol

import pytest

from fitcheck.advice.target.wanted import Target, Targets, targets
from fitcheck.estimates.numbers import Estimate
from fitcheck.records.households import FORMAT, Household

W, H = Estimate(4.40), Estimate(3.10)
"""The fabric of the fit rules' own numbers: 4.40 mm a stitch, 3.10 mm a row [mm]."""


def household(
    *,
    garment: dict[str, Any] | None = None,
    occasion: dict[str, Any] | None = None,
    piece: dict[str, Any] | None = None,
    stages: list[dict[str, Any]] | None = None,
    others: dict[str, list[Any]] | None = None,
    **make: Any,
) -> Household:
    """Build the household from readings and changes; lengths in cm as a knitter types them."""
    fits = make.pop("fits", {"garment": "brown", "occasion": "first"} if occasion is not None else {})
    return Household.model_validate_json(
        json.dumps(
            {
                "fitcheck": FORMAT,
                "unit": "cm",
                "invented": True,
                "garments": [
                    {
                        "id": "brown",
                        "name": "brown pullover",
                        "occasions": [{"id": "first", "state": "washed_flat", **(occasion or {})}],
                        **(garment or {}),
                    }
                ],
                "makes": [
                    {
                        "id": "blue",
                        "name": "blue pullover",
                        "fits": fits,
                        "pieces": [
                            *make.pop("pieces", []),
                            {"id": "tested", "piece": "back", "stages": stages or [], **(piece or {})},
                        ],
                        **make,
                    }
                ],
                **(others or {}),
            }
        ),
        context={"unit": "cm"},
    )


@dataclass(frozen=True)
class Answered:
    """What the tested piece must measure, with short ways to what the tests look at."""

    all: Targets

    def at(self, key: str) -> Target:
        target = self.all.get(key)
        assert target is not None, f"nothing at {key}; refused: {self.all.refused}"
        return target

    def wanted(self, key: str) -> float:
        """What the piece must measure [mm]."""
        target = self.at(key)
        assert target.wanted is not None, target.refused
        return target.wanted.value

    def difference(self, key: str) -> float:
        """Measured minus wanted [mm]."""
        difference = self.at(key).difference
        assert difference is not None
        return difference.value

    @property
    def assumed(self) -> set[str]:
        return {one.code for one in self.all.assumed}

    @property
    def refused(self) -> dict[str, str]:
        return {key: reason.code for key, reason in self.all.refused}


class Answer(Protocol):
    def __call__(self, **changes: Any) -> Answered: ...


@pytest.fixture
def answer() -> Answer:
    """Ask about the tested piece (the last of the make) in a fabric of 4.40 x 3.10 mm, or in one not known.

    garment_reads and piece_reads are the readings of the garment and of the blocked piece.
    """

    def ask(*, stitch: Estimate | None = W, row: Estimate | None = H, **changes: Any) -> Answered:
        if "garment_reads" in changes:
            changes["occasion"] = {**changes.get("occasion", {}), "readings": changes.pop("garment_reads")}
        if "piece_reads" in changes:
            changes["stages"] = [{"kind": "blocked", "readings": changes.pop("piece_reads")}]
        home = household(**changes)
        return Answered(targets(home.makes[0], home.makes[0].pieces[-1], home, stitch=stitch, row=row))

    return ask
