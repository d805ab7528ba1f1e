"""What a make names: the records that its answers are a function of, and no others."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.records.households import Household
from fitcheck.records.makes import Make
from fitcheck.records.swatches import Knitted


def named_by(make: Make, household: Household) -> Household:
    """The household cut down to the records that the make names, and those that its finished makes name.

    The name and notes of the household are left out: no answer depends on them.
    """
    past = [one for one in household.makes if one.id in make.learns_from and one.id != make.id]
    makes = [make, *past]
    swatch_keys = {key for one in makes for key in one.swatches}
    swatches = [one for one in household.swatches if one.id in swatch_keys]
    knitted: list[Knitted] = [*swatches, *(piece for one in makes for piece in one.pieces)]
    yarns = {one.yarn for one in makes} | {one.yarn for one in knitted}
    machines = {one.machine for one in makes} | {one.machine for one in knitted}
    wearers, garments = {one.wearer for one in makes}, {one.fits.garment for one in makes}
    tables = {one.size_table for one in makes}

    def kept(records: Iterable[object], keys: set[str | None]) -> list[object]:
        return [one for one in records if getattr(one, "id", None) in keys]

    return household.model_copy(
        update={
            "wearers": kept(household.wearers, wearers),
            "garments": kept(household.garments, garments),
            "yarns": kept(household.yarns, yarns),
            "machines": kept(household.machines, machines),
            "swatches": swatches,
            "size_tables": kept(household.size_tables, tables),
            "makes": makes,
            "name": "",
            "notes": "",
        }
    )
