"""Every join of every construction has its place in the order of making up, and its names."""

from __future__ import annotations

from typing import get_args

import pytest

from fitcheck.advice.to_come.seams import ORDER
from fitcheck.records.constructions import CONSTRUCTIONS, JoinKey
from fitcheck.words.seams import EDGES, SEAMS


def test_no_join_lacks_a_place_or_a_name() -> None:
    keys = set(get_args(JoinKey))
    assert set(ORDER) == set(SEAMS) == set(EDGES) == keys
    assert len(ORDER) == len(keys)


@pytest.mark.parametrize("construction", CONSTRUCTIONS)
def test_a_construction_has_each_of_its_joins_once_between_pieces_that_it_has(construction: str) -> None:
    of = CONSTRUCTIONS[construction]
    assert of.joins
    assert len({join.key for join in of.joins}) == len(of.joins)
    parts = {edge.part for join in of.joins for edge in (*join.edges, *join.partners)}
    assert parts == set(of.pieces)
