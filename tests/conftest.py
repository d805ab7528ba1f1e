"""What a run left out, said at its end: nobody should take README's line for everything there is."""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest
from hypothesis import settings

from fitcheck.store import database
from tests.disk import go_on_at_once

FULL = "python -m pytest -m 'full or simulation'"
"""The command that runs what README's line leaves out."""
LONGEST = (
    "tests/browser/",
    "tests/test_agreement.py",
    "tests/webui/test_server.py",
    "tests/webui/test_no_single_thing.py",
    "tests/webui/test_every_page.py",
    "tests/webui/test_given_back.py",
    "tests/webui/test_openapi.py",
    "tests/webui/test_odd_requests.py",
    "tests/test_short.py",
    "tests/worked/",
    "tests/webui/test_pages_make",
    "tests/test_report.py",
    "tests/drawing/",
    "tests/crash/",
)
"""Folders and files that take some seconds each."""
_left_out = pytest.StashKey[int]()

os.environ["TZ"] = "UTC"  # hours are told by the clock of the house
time.tzset()
settings.register_profile("fitcheck", deadline=None, derandomize=True, database=None)
settings.load_profile("fitcheck")  # a run depends on nothing outside it: no clock, no chance, no earlier run


@dataclass(frozen=True)
class Draws:
    """How much of a simulation is run: CI runs a tenth of its draws, `full` all of them.

    share  of the draws that its figures were published with
    """

    share: float

    def of(self, whole: int) -> int:
        """How many draws of so many."""
        return max(1, round(self.share * whole))

    def wider(self, error: float) -> float:
        """By how much a bound is wider than with all draws: three standard errors of a tenth.

        error  standard error of the figure with all draws
        """
        return 0.0 if self.share == 1.0 else 3.0 * error * self.share**-0.5


@pytest.fixture(params=[pytest.param(0.1, id="a tenth"), pytest.param(1.0, id="whole", marks=pytest.mark.full)])
def draws(request: pytest.FixtureRequest) -> Draws:
    """How many draws a simulation has."""
    return Draws(request.param)


@pytest.fixture
def tmp_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of the test's own. pytest's own looks through those of all tests before it, for their numbers."""
    return Path(mkdtemp(dir=tmp_path_factory.getbasetemp()))


@pytest.fixture
def waits_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test whose databases are opened as the service opens them."""
    monkeypatch.setattr(database, "connected", database.connected.__wrapped__)  # type: ignore[attr-defined]


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Iterator[None]:
    """Five thousand tests stay until the run ends: looking through them for garbage took a tenth of its time."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.set_threshold(20_000)  # a report makes more than the usual 700 things again and again: 3 % of the time
        gc.enable()


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Iterator[None]:
    """Every second process begins with the last file: what one compiled before they meet the other need not."""
    report = yield
    if isinstance(collector, pytest.Directory) and os.environ.get("PYTEST_XDIST_WORKER", "gw0")[-1] in "13579":
        report.result.reverse()
    return report


def pytest_configure(config: pytest.Config) -> None:
    config.stash[_left_out] = 0
    config.option.loadscopereorder = False  # of pytest-xdist, which begins with the files of most tests: see below
    go_on_at_once()


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files that take longest, so that at the end no process waits for another."""
    items.sort(key=lambda item: (not item.nodeid.startswith(LONGEST), item.path.parts))


def pytest_deselected(items: Sequence[pytest.Item]) -> None:
    for item in items:
        if item.get_closest_marker("full") or item.get_closest_marker("simulation"):
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
            f"{left_out} tests marked full or simulation: every other page and width, every other setting of the"
            f" stories, every other make and household made by chance, and simulations. They run with: {FULL}"
        )
