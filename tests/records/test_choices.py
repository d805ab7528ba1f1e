"""What the knitter chooses for the rest: each as it was chosen, the usual way where nobody said, the rest refused."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from fitcheck.records.choices import Choices


def test_what_nobody_said_is_the_usual_way_and_nothing_is_lifted():
    usual = Choices()
    assert (usual.end_rule, usual.inset, usual.neck, usual.armhole_rows) == ("last", 3, "parked", None)
    assert usual.lifted == []


def test_a_lifted_demand_comes_back_as_it_was_written():
    text = '{"lifted": [{"piece": "front", "demand": "parity", "points": ["chest", "shoulder_width"]}]}'
    read = Choices.model_validate_json(text)
    assert Choices.model_validate_json(read.model_dump_json(exclude_defaults=True)) == read
    assert read.lifted[0].points == ["chest", "shoulder_width"]


@pytest.mark.parametrize(
    "lifted",
    [
        '{"piece": "hat", "demand": "repeat"}',
        '{"piece": "front", "demand": "bed"}',
        '{"piece": "front", "demand": "repeat", "points": ["elbow"]}',
        '{"piece": "front"}',
        '{"piece": "sleeve", "demand": "wider_arm", "times": 0}',
        '{"piece": "sleeve", "demand": "wider_arm", "times": 11}',
    ],
)
def test_what_cannot_be_lifted_is_refused(lifted):
    with pytest.raises(ValidationError):
        Choices.model_validate_json(f'{{"lifted": [{lifted}]}}')
