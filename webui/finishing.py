"""A make is finished: its day, and the garment that it becomes, written as one change however often it is said."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

from fitcheck.advice.rest.for_another import counts_of
from fitcheck.advice.target.finished_garment import wanted_flat
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.lengths import write_bare
from fitcheck.records.makes import Make
from fitcheck.records.points import HALF_FRONTS
from fitcheck.reports.choose import chosen
from fitcheck.reports.given import Given, hands_of
from fitcheck.reports.sewn import PIECES, Sewn, sewn
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words.deeds import AS_SEWN
from webui.forms.drafts import Draft, free_key
from webui.forms.finished import READ
from webui.service import Service

FINEST = 16
"""Parts of an inch that what was reckoned is written to."""
DECIMALS = 2
"""Decimals of what was reckoned and is kept: the size of a stitch or row, what was wanted [mm]."""


@frozen
class SewnRead:
    """What the tape says of a sewn garment, as a form has it.

    unit  of a bare figure
    """

    draft: Draft
    unit: str

    @property
    def count(self) -> int:
        """How many readings were typed."""
        return READ.added(self.draft)

    def into(self, garment: dict[str, Any]) -> None:
        """Add the readings to the measuring of today in a garment's document; none make no measuring."""
        if not self.count:
            return
        occasions, today = garment["occasions"], date.today().isoformat()
        at = next((place for place, occasion in enumerate(occasions) if occasion["id"] == today), len(occasions))
        if at == len(occasions):
            occasions.append({"id": today, "on": today, "state": "washed_flat"})
        READ.read(self.draft, self.unit, occasions[at], ("occasions", at))

    def added(self, service: Service, key: str) -> Stored | None:
        """Keep the readings with a garment that hangs; None where they were refused.

        The form sent again adds nothing. Raises NotFound, and StaleWrite where somebody else was faster.
        """
        stored = service.store.get("garments", key)
        sent = self.draft.sent(service.store, "garments", key)
        if (
            sent is not None and sent.before is None
        ):  # this form hung it up: before, it had but what its pieces stand for
            document = {**sent.wrote, "occasions": sent.wrote["occasions"][:1]}
        else:
            document = self.draft.before(service.store, stored)
        self.into(document)
        return self.draft.keep(service.store, "garments", key, document, stored.revision)


_TRIES = 20
"""How often a make is finished anew that another device changed at the same moment."""


def finish(service: Service, key: str, on: date | None, *, wardrobe: bool, read: SewnRead | None = None) -> Stored:
    """Keep the day on which a make was finished, and return the make.

    on        None is the day that it has, else today
    wardrobe  it hangs in the wardrobe from then on, with the points of its pieces; one that hangs there stays
    read      what the tape says of it as it is sewn: kept with a garment that is new, as the same change

    Raises NotFound, RecordsError, and StaleWrite where others are faster every time.
    """
    store = service.store
    for tried in range(_TRIES):
        stored = store.get("makes", key)
        make: Make = stored.record
        day = on or make.finished or date.today()
        document, garment = stored.doc, None
        document["finished"] = day.isoformat()
        if wardrobe and make.became is None:
            garment = garment_of(make, store.make_household(key), free_key(store, "garments", make.name))
            document["became"] = garment["id"]
            if read is not None:
                read.into(garment)
        try:
            return store.finish(key, document, stored.revision, garment, read.draft.form if read is not None else None)
        except StaleWrite:
            if tried == _TRIES - 1:
                raise
    raise AssertionError  # the last try returned or raised


def garment_of(make: Make, household: Household, key: str) -> dict[str, Any]:
    """The garment that a make becomes: built as it was, with one measuring, which its pieces stand for.

    What the piece has in its seams the garment has not, so its points are the pieces' less that: with the figures of
    the pieces every copy of it would be too wide.
    """
    given = chosen(household, make.id)
    measured = sewn(given)
    occasion: dict[str, Any] = {"id": PIECES, "state": "washed_flat", "notes": AS_SEWN}
    if measured.read_on is not None:
        occasion["on"] = measured.read_on.isoformat()
    if points := _readings(measured, household.unit):
        occasion["readings"] = points
    garment: dict[str, Any] = {
        "id": key,
        "name": make.name,
        "construction": make.construction,
        "occasions": [occasion],
    }
    if make.wearer is not None:
        garment["wearer"] = make.wearer
    if make.thickness is not None:
        garment["thickness"] = make.thickness.text
    if any(piece.piece in HALF_FRONTS for piece in make.standing):
        garment["open_front"] = True
    if knitted := _knitted(given, measured):
        garment["knitted"] = knitted
    return garment


def _knitted(given: Given, measured: Sewn) -> dict[str, Any]:
    """How the garment was knitted: what of dial, fabric, counts and fit is known."""
    make = given.make
    knitted: dict[str, Any] = {}
    dials = {piece.dial.written() for piece in make.standing if piece.dial is not None}
    if len(dials) == 1:
        knitted["dial"] = dials.pop()
    for name, size_mm in (("stitch", measured.stitch_mm), ("row", measured.row_mm)):
        if size_mm is not None:
            knitted[name] = f"{size_mm:.{DECIMALS}f} mm"
    if counts := counts_of(make, given.household):
        knitted["counts"] = counts
    if fit := _fit(given):
        knitted["fit"] = fit
    return knitted


def _fit(given: Given) -> dict[str, dict[str, str]]:
    """What the garment was to fit: what was wanted of it at each point, how sure that is, and what was allowed."""
    wanted = wanted_flat(given.make, given.household, hands_of(given).tape)
    fit = {}
    for key, point in wanted.items():
        smaller, larger = point.tolerance_mm
        said = {"wanted": point.wanted.value, "u": point.wanted.u, "smaller": smaller, "larger": larger}
        fit[key] = {name: f"{mm:.{DECIMALS}f} mm" for name, mm in said.items() if 0.5 / 10**DECIMALS <= mm < math.inf}
    return fit


def _readings(measured: Sewn, unit: str) -> dict[str, list[dict[str, Any]]]:
    """One reading of each piece at a point; each piece was laid by itself."""
    written = "in" if unit == "in" else "cm"
    return {
        point: [
            {"text": write_bare(mm, written, parts=FINEST), "unit": written, "laying": laying}
            for laying, mm in enumerate(flat, start=1)
        ]
        for point, flat in measured.flat_mm.items()
    }
