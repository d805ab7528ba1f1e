"""The invented household and the reports of its makes, worked out once by each process that runs tests.

Records and reports are frozen: whoever looks at one changes nothing for the next. Tests of how a report comes about
work out their own.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from importlib.resources import files
from typing import Any

import pytest

from fitcheck.records.files import open_household
from fitcheck.records.households import Household
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report

OF_EVERY_KIND = ("grey_pullover", "grey_cardigan", "moss_drop_shoulder", "grey_miscounted", "moss_first")
"""Makes that README's line looks at: closed, open, without shoulders, with a count in doubt, not begun."""


def in_turn(makes: Iterable[str]) -> list[Any]:
    """Makes as parameters of a test, by their keys: those of every kind in README's line, all others under `full`."""
    return [pytest.param(make, marks=[] if make in OF_EVERY_KIND else pytest.mark.full) for make in makes]


@cache
def household() -> Household:
    """The invented household."""
    return open_household((files("demo_garments") / "household.json").read_bytes())


@cache
def report_of(make: str) -> Report:
    """The report of one of its makes, by its key."""
    return report(household(), make=make)


def reports() -> dict[str, Report]:
    """The reports of all its makes, by their keys."""
    return {make.id: report_of(make.id) for make in household().makes}
