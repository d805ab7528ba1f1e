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
    past = [other for other in household.makes if other.id in make.learns_from and other.id != make.id]
    makes = [make, *past]
    swatch_keys = {key for named in makes for key in named.swatches}
    swatches = [swatch for swatch in household.swatches if swatch.id in swatch_keys]
    knitted: list[Knitted] = [*swatches, *(piece for named in makes for piece in named.pieces)]
    yarns = {named.yarn for named in makes} | {specimen.yarn for specimen in knitted}
    machines = {named.machine for named in makes} | {specimen.machine for specimen in knitted}
    wearers, garments = {named.wearer for named in makes}, {named.fits.garment for named in makes}
    tables = {named.size_table for named in makes}

    def kept(records: Iterable[object], keys: set[str | None]) -> list[object]:
        return [record for record in records if getattr(record, "id", None) in keys]

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
