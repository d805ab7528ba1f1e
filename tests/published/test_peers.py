"""The peer still says what is kept of it: `full`, because it takes long to import."""

from __future__ import annotations

import os

import pytest

from tests.published.peers import kept, worked_out


@pytest.mark.full
@pytest.mark.parametrize("name", ["two one-sided tests", "line", "fabric", "change"])
def test_what_is_kept_of_the_peer_is_what_it_says(name: str) -> None:
    if not os.environ.get("CI"):
        pytest.importorskip("statsmodels", reason="statsmodels is not here (extra dev)")
    was, now = kept()[name], worked_out()[name]
    pairs = zip(was, now, strict=True) if isinstance(was, list) else ((was[key], now[key]) for key in was)
    for old, new in pairs:
        # To where tests lean on it: rounding of linear algebra, and a likelihood's top found by search.
        assert new == pytest.approx(old, rel=1e-6 if name in ("fabric", "change") else 1e-11)
