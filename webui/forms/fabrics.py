"""Fabrics of the swatch book: swatches of one yarn on one machine, which may be one fabric."""

from __future__ import annotations

from datetime import date

from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household
from fitcheck.records.swatches import Swatch
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
        return f"{self.yarn}|{self.machine}"


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


def newest_day(swatch: Swatch) -> date:
    """The day of the latest stage; the first of all days without one."""
    return max((stage.on for stage in swatch.stages if stage.on), default=date.min)
