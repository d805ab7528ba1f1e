"""The last sweater in a yarn: what the next one in it starts from."""

from __future__ import annotations

from datetime import date

from fitcheck.records.frozen import frozen
from fitcheck.records.garments import AsKnitted
from fitcheck.records.households import Household, by_key


@frozen
class LastInYarn:
    """A finished make that hangs in the wardrobe with how it was knitted.

    make     its key;  yarn: name of its yarn
    knitted  its dial, fabric and counts
    """

    make: str
    yarn: str
    knitted: AsKnitted


def last_in_yarn(household: Household, yarn: str | None = None) -> LastInYarn | None:
    """The make in a yarn that was finished last, of those whose counts are known; None where there is none.

    yarn  its key; None: in any yarn of the household
    """
    finished = []
    for make in household.makes:
        garment, named = by_key(household.garments, make.became), by_key(household.yarns, make.yarn)
        if garment is None or garment.knitted is None or not garment.knitted.counts or named is None:
            continue
        if yarn is None or make.yarn == yarn:
            finished.append((make.finished or date.min, LastInYarn(make.id, named.name, garment.knitted)))
    return max(finished, key=lambda each: each[0])[1] if finished else None
