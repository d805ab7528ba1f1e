"""Fabrics of the swatch book: swatches of one yarn on one machine, which may be one fabric."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from fitcheck.advice.fabric.of_make import newest_first
from fitcheck.advice.groups import grouped
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.swatches import Swatch
from fitcheck.words.fabric import group_name
from fitcheck.words.names import names_of
from webui.forms.fields import called


@frozen
class Fabric:
    """Swatches of one yarn on one machine, by their keys; empty where it is not said.

    name  its yarn, and its machine where the household has fabrics on several
    of    where its swatches were knitted in several ways: a swatch of the one that is meant; else empty
    """

    yarn: str
    machine: str
    swatches: tuple[Swatch, ...]
    name: str
    of: str = ""

    @property
    def key(self) -> str:
        """What stands for it in a form."""
        return f"{self.yarn}|{self.machine}{f'|{self.of}' if self.of else ''}"

    @property
    def make(self) -> Make:
        """A make that is knitted in it, of which nothing else is known."""
        return Make(
            id="swatch-book",
            name=self.name,
            yarn=self.yarn or None,
            machine=self.machine or None,
            swatches=[swatch.id for swatch in self.swatches],
        )


def fabrics_of(household: Household) -> list[Fabric]:
    """Every fabric of a household: that of the most swatches first, of two alike the newer."""
    groups: dict[tuple[str, str], list[Swatch]] = {}
    for swatch in household.swatches:
        groups.setdefault((swatch.yarn or "", swatch.machine or ""), []).append(swatch)
    machines = {machine: called(household.machines, machine) for _, machine in groups if machine}
    fabrics = []
    for (yarn, machine), swatches in groups.items():
        name = called(household.yarns, yarn) or "yarn not said"
        on = machines.get(machine, "") if len(machines) > 1 else ""
        fabrics.append(Fabric(yarn, machine, tuple(swatches), f"{name}, on {on}" if on else name))
    return sorted(
        fabrics, key=lambda fabric: (len(fabric.swatches), max(map(newest_day, fabric.swatches))), reverse=True
    )


def ways_of(fabric: Fabric, household: Household) -> list[Fabric]:
    """The fabric, or one for each way in which its swatches were knitted: two strands are another fabric than one."""
    groups = grouped(fabric.make, newest_first(fabric.swatches)).groups
    if len(groups) < 2:
        return [fabric]
    ways: list[Fabric] = []
    names = names_of(household)
    seen: set[str] = set()
    for group in groups:
        swatches = tuple(swatch for swatch in fabric.swatches if swatch.id in group.swatches and swatch.id not in seen)
        seen |= {swatch.id for swatch in swatches}
        if swatches:
            ways.append(
                replace(
                    fabric, swatches=swatches, name=group_name(fabric.name, group, groups, names), of=swatches[0].id
                )
            )
    return ways


def way_of(ways: Sequence[Fabric], swatch: str) -> Fabric:
    """The way in which a swatch was knitted; the first where none holds it."""
    return next((way for way in ways if by_key(way.swatches, swatch)), ways[0])


def chosen(household: Household, key: str) -> Fabric | None:
    """The fabric for which a key stands in a form; None where none is meant."""
    yarn, machine, of = (*key.split("|", 2), "", "")[:3]
    fabric = next(
        (fabric for fabric in fabrics_of(household) if (fabric.yarn, fabric.machine) == (yarn, machine)), None
    )
    return way_of(ways_of(fabric, household), of) if key and fabric is not None else None


def newest_day(swatch: Swatch) -> date:
    """The day of the latest stage; the first of all days without one."""
    return max((stage.on for stage in swatch.stages if stage.on), default=date.min)
