"""What each device may ask for: the column `right` of the operations of the API, and the same of the pages.

Whatever has no entry here or there is for devices that may do everything.
"""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.store.devices import Right
from webui.api.operations import Needs
from webui.api.table import OPERATIONS

HERE: Needs = "here"
"""What this machine itself may, where nobody has to be paired."""
_REACH: Mapping[Needs, int] = {"measure": 0, "everything": 1, HERE: 2}

PAGES: Mapping[str, Needs] = {
    # The make, read: its answer, its drawing, its pictures.
    "table.makes": "measure",
    "makes.make": "measure",
    "makes.now": "measure",
    "drawing_files.make_drawing": "measure",
    "photographs.photograph": "measure",
    # What is still to knit, and what a piece weighs that came off the machine.
    "rest_page.rest": "measure",
    "seams.show": "measure",
    "yarn.show": "measure",
    "yarn.keep": "measure",
    # A sheet, and the taps on it.
    "sheet.sheet": "measure",
    "sheet.begin": "measure",
    "machine.show_machine": "measure",
    "machine.tap": "measure",
    # The walk, from what lies on the table to a reading that is set aside.
    "walk_begin.begin": "measure",
    "walk.show_walk": "measure",
    "walk.keep": "measure",
    "walk.take_back": "measure",
    "walk.standing_now": "measure",
    "walk.leftover": "measure",
    "carried.field": "measure",
    "carried.take": "measure",
    "pencil.pencil": "measure",
    "points_form.ask": "measure",
    "points_form.take": "measure",
    "make_posted.aside": "measure",
    # A code is for whoever sits at this machine.
    "devices.invite": HERE,
    # How it looks on this device.
    "table.unit": "measure",
    "static": "measure",
    "strip.tapes": "measure",
}
"""Pages by their endpoint."""

RIGHTS: dict[str, Needs] = {**{f"api.{operation.name}": operation.right for operation in OPERATIONS}, **PAGES}
"""Pages and operations of the API by their endpoint."""


def needed(endpoint: str | None) -> Needs:
    """What one has to be allowed to ask for an endpoint; None is an address that is not there."""
    return RIGHTS.get(endpoint or "", "everything")


def may(has: Needs | Right, endpoint: str | None) -> bool:
    """Whether a device with a right may ask for an endpoint."""
    return _REACH[needed(endpoint)] <= _REACH[has]
