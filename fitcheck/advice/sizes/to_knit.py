"""What is to be knitted, as a make writes it down: a size of the pattern, or counts of one's own, of no size."""

from __future__ import annotations

from typing import Any

from fitcheck.advice.rest.planned import SAME_CHEST, planned_counts
from fitcheck.advice.sizes.answers import FreeCounts
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS, USUAL
from fitcheck.records.households import Household
from fitcheck.records.makes import Make

Document = dict[str, Any]
"""A make as plain data."""


def as_shown(free: FreeCounts | CannotSay) -> str:
    """The counts as a button carries them: "back.chest=120 front.chest=120"; empty where none can be said."""
    if isinstance(free, CannotSay):
        return ""
    return " ".join(f"{count.piece}.{count.key}={count.count}" for count in free.counts)


def of_no_size(make: Document, free: FreeCounts) -> Document:
    """The make with these counts planned, those of the chest for back and front alike where only one of them has any.

    It knits no size then, unless that alone says what it must fit.
    """
    document = {**make, "planned": {kind: dict(counts) for kind, counts in make.get("planned", {}).items()}}
    for count in free.counts:
        document["planned"].setdefault(count.piece, {})[count.key] = count.count
    chests = {count.piece: count.count for count in free.counts if count.key == "chest"}
    opens = make.get("open_front", bool(make.get("front_band")))
    for kind, other in SAME_CHEST.items():
        alike = other in CONSTRUCTIONS[make.get("construction", USUAL)].pieces and not opens
        if alike and kind in chests and other not in chests:
            document["planned"].setdefault(other, {})["chest"] = chests[kind]
    fits = document.get("fits", {})
    if any(fits.get(name) for name in ("garment", "numbers", "ease")):
        document.pop("size", None)
    return document


def of_size(make: Make, name: str, household: Household, document: Document) -> Document:
    """The make with a size to knit: what was planned where that size says a count is planned no more.

    document  of the make, as it is
    """
    sized = make.model_copy(update={"size": name, "planned": {}})
    planned = {
        kind: {key: count for key, count in counts.items() if key not in planned_counts(sized, household, kind)}
        for kind, counts in make.planned.items()
    }
    return {**document, "size": name, "planned": {kind: counts for kind, counts in planned.items() if counts}}
