"""What a run left out, said at its end: nobody should take README's line for everything there is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pytest

FULL = "python -m pytest -m full"
"""The command that runs what README's line leaves out."""
_left_out = pytest.StashKey[int]()


def pytest_configure(config: pytest.Config) -> None:
    config.stash[_left_out] = 0


def pytest_deselected(items: Sequence[pytest.Item]) -> None:
    for item in items:
        if item.get_closest_marker("full"):
            item.config.stash[_left_out] += 1


def pytest_sessionfinish(session: pytest.Session) -> None:
    """A process of pytest-xdist tells the one that started it."""
    told: dict[str, Any] | None = getattr(session.config, "workeroutput", None)
    if told is not None:
        told["left_out"] = session.config.stash[_left_out]


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """Every process collects every test, so what one of them left out is what the run left out."""
    told = getattr(node, "workeroutput", {})
    node.config.stash[_left_out] = max(node.config.stash[_left_out], told.get("left_out", 0))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if left_out := config.stash[_left_out]:
        terminalreporter.section("left out")
        terminalreporter.line(
            f"{left_out} tests marked full: every other page, every other setting of the stories, and the simulations"
            f" at their whole size. They run with: {FULL}"
        )
