"""Properties that hypothesis draws examples for: a few of them in README's line, many under ``full``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings


def drawn(few: int, many: int, *strategies: Any, **named: Any) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A property of what the strategies draw, as a test: so many examples of them, the same each time."""

    def of(holds: Callable[..., None]) -> Callable[..., None]:
        @pytest.mark.parametrize("examples", [few, pytest.param(many, marks=pytest.mark.full)])
        def test(examples: int) -> None:
            settings(max_examples=examples)(given(*strategies, **named)(holds))()

        test.__name__ = holds.__name__
        test.holds = given(*strategies, **named)(holds)  # type: ignore[attr-defined]
        return test

    return of
