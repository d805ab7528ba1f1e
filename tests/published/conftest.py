"""Published values with their data: one file, every entry names its source."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

_VALUES = json.loads((Path(__file__).parent / "check_values.json").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Published:
    """One entry of check_values.json."""

    source: str
    data: dict[str, Any]
    expected: dict[str, Any]
    tolerance: float | dict[str, float]

    def agrees(self, name: str, got: float) -> bool:
        """True when got is the published value to the tolerance kept beside it (absolute)."""
        allowed = self.tolerance[name] if isinstance(self.tolerance, dict) else self.tolerance
        want = self.expected[name]
        assert abs(got - want) <= allowed, f"{name}: got {got!r}, {self.source} says {want!r} +- {allowed}"
        return True


@pytest.fixture
def published() -> Callable[[str], Published]:
    """published("gum_h1") -> that entry of check_values.json."""

    def entry(name: str) -> Published:
        fields = dict(_VALUES[name])
        return Published(fields["source"], fields["data"], fields["expected"], fields["tolerance"])

    return entry
