"""Worked makes: the truth was written down first; what must come first comes first, what must never be said is not."""

from __future__ import annotations

from functools import cache

import pytest

from tests.worked import (
    agreeing,
    makes_corners,
    makes_felted,
    makes_model_5,
    makes_model_6,
    makes_model_8b,
    makes_rest,
    makes_rounds,
    makes_rules_22_to_29,
    makes_rules_24_and_25,
    makes_rules_30_to_38,
)
from tests.worked.told import Told
from tests.worked.worked import Worked

PARTS = (
    makes_corners,
    makes_felted,
    makes_model_5,
    makes_model_6,
    makes_model_8b,
    makes_rest,
    makes_rounds,
    makes_rules_22_to_29,
    makes_rules_24_and_25,
    makes_rules_30_to_38,
)
MAKES: dict[str, Worked] = {make.id: make for part in PARTS for make in part.MAKES}


@cache
def told_of(key: str) -> Told:
    return Told(MAKES[key].file, MAKES[key].piece)


@pytest.mark.parametrize("make", MAKES.values(), ids=MAKES)
def test_worked_make(make):
    assert not make.faults(told_of(make.id)), f"{make.shows}: {make.why}"


@pytest.mark.parametrize("rule", agreeing.RULES.values(), ids=agreeing.RULES)
def test_figures_and_sentences_of_every_answer_agree(rule):
    told = {key: told_of(key) for key in MAKES}
    assert not [(key, fault) for key, answer in told.items() if answer.says for fault in rule(answer)]
