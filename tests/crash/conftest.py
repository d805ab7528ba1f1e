"""What is killed here has its databases opened as the service opens them."""

from __future__ import annotations

import pytest


@pytest.fixture(autouse=True)
def as_served(waits_for_the_disk: None) -> None:
    """Every test of this folder."""
