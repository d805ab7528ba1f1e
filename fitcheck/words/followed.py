"""The sweater of the invented household that is followed to the end."""

from __future__ import annotations

from fitcheck.records.makes import Make


def followed_said(make: Make) -> str:
    """Which sweater it is, before the commands that go on from it."""
    return f"One sweater is followed to the end: {make.name}. Type:"
