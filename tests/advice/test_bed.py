"""How many stitches a bed that nobody named holds for sure. All figures are invented."""

from __future__ import annotations

from typing import Any

import pytest

from fitcheck.advice.bed import sure_of_the_bed
from fitcheck.records.makes import Make


def knitted(chest: Any, stage: str | None = "off_machine", **make: Any) -> Make:
    """A make with a back of so many stitches."""
    stages = [{"kind": stage}] if stage else []
    piece = {"id": "back", "piece": "back", "counts": {"chest": chest, "to_underarm": 240}, "stages": stages}
    return Make.model_validate({"id": "m", "name": "M", "pieces": [piece], **make})


@pytest.mark.parametrize(("chest", "sure"), [(90, 110), (110, 110), (111, 112), (113, 114), (122, 150), (260, 260)])
def test_the_bed_has_the_needles_of_the_narrowest_that_held_what_was_knitted(chest, sure):
    assert sure_of_the_bed(knitted(chest)) == sure


def test_what_is_only_planned_was_on_no_bed_and_rows_lie_on_none():
    assert sure_of_the_bed(knitted({"planned": 160})) == 110
    assert sure_of_the_bed(knitted(160, stage=None)) == 110


def test_a_machine_that_is_named_says_its_needles_itself():
    assert sure_of_the_bed(knitted(122, machine="bed")) is None
