"""The next make like one that is finished: its fabric, dial and counts, and what it is to fit."""

from __future__ import annotations

import json
from typing import Any

from fitcheck.advice.rest.for_another import for_another
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.garments import Garment
from fitcheck.records.households import Household, by_key
from fitcheck.records.lengths import write_bare
from fitcheck.records.makes import Make
from fitcheck.reports.finished import finished, latest

FINEST = 16
"""Parts of an inch that what was wanted is written to."""
OF_THE_WEARER = frozenset(("wearer", "tolerances", "weights"))
"""Fields of a make that speak of who wears it."""


def next_of(make: Make, household: Household) -> dict[str, Any]:
    """The document of the next make, without its name and key.

    It fits the sweater that the make became, as that was measured last; where that came out other than was wanted, what
    was wanted holds. A make that hangs nowhere hands on what it was to fit itself. The first piece has its dial.
    """
    document = for_another(make, household)
    document |= json.loads(make.model_dump_json(include=set(OF_THE_WEARER), exclude_defaults=True))
    garment = by_key(household.garments, make.became)
    if garment is None:
        document |= json.loads(make.model_dump_json(include={"fits", "wishes"}, exclude_defaults=True))
    else:
        document["fits"] = _as_it_came_out(make, household, garment)
    if dial := _dial(make, garment):
        first = CONSTRUCTIONS[make.construction].pieces[0]
        document["pieces"] = [{"id": first, "piece": first, "dial": dial}]
    return document


def _as_it_came_out(make: Make, household: Household, garment: Garment) -> dict[str, Any]:
    """The garment as it was measured last, and figures where it came out other than was wanted."""
    differs = [told.point for told in finished(household, make.id).points if told.point.code == "differs"]
    fits: dict[str, Any] = {"garment": garment.id, "occasion": latest(garment).id}
    unit = "in" if household.unit == "in" else "cm"
    numbers = {
        point.key: {"length": f"{write_bare(point.wanted.value, unit, parts=FINEST)} {unit}"}
        for point in differs
        if point.wanted is not None
    }
    return {**fits, "numbers": numbers} if numbers else fits


def _dial(make: Make, garment: Garment | None) -> str:
    """The one dial at which all was knitted, as it is written; empty where there was none."""
    if garment is not None and garment.knitted is not None:
        return garment.knitted.dial.written() if garment.knitted.dial is not None else ""
    dials = {piece.dial.written() for piece in make.standing if piece.dial is not None}
    return dials.pop() if len(dials) == 1 else ""
