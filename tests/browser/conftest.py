"""A real browser against the real service: Debian's Chromium driven by Playwright.

Where a machine has no Chromium or no Playwright these tests are skipped with the reason; in CI they fail instead.
"""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from importlib.util import find_spec
from pathlib import Path

import pytest

from fitcheck.store import Store

ROOT = Path(__file__).resolve().parents[2]
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
"""Without a network of its own a browser must not look for one."""
SMALL = {"width": 320, "height": 568}
PHONE = {"width": 390, "height": 844}

SERVE = """
import sys
from fitcheck.store import Store
from webui.app import create_app
from webui.config import Config
from webui.server import listen, serve
path, port = sys.argv[1], int(sys.argv[2])
with Store.open(path) as store:
    serve(lambda port: create_app(store, config=Config(port=port)), listen("127.0.0.1", port))
"""


def missing() -> str:
    """What is missing for a browser test, in words; empty where nothing is."""
    if shutil.which("chromium") is None:
        return "no Chromium on this machine (Debian: apt-get install chromium)"
    if find_spec("playwright") is None:
        return "no Playwright in this environment (pip install 'fitcheck[browser]')"
    return ""


@pytest.fixture(scope="session")
def chromium():
    """The browser, started once."""
    if reason := missing():
        if os.environ.get("CI"):
            pytest.fail(f"browser tests must run in CI: {reason}")
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        yield browser
        browser.close()


class Service:
    """The real service in a process of its own, on a database of this test alone."""

    def __init__(self, path: Path) -> None:
        self.path = path
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        """Start and wait until it answers."""
        with (self.path.parent / "service.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-c", SERVE, str(self.path), str(self.port)], cwd=ROOT, stdout=log, stderr=log
            )
        for _ in range(200):
            try:
                urllib.request.urlopen(f"{self.url}/api/v1/makes", timeout=5).close()
            except OSError:
                assert self._process.poll() is None, (self.path.parent / "service.log").read_text()
                time.sleep(0.05)
            else:
                return
        raise AssertionError("the service did not start")

    def stop(self, *, kill: bool = False) -> None:
        """End the process that was started here: politely, or as a power cut does."""
        if self._process is not None:
            self._process.send_signal(signal.SIGKILL if kill else signal.SIGTERM)
            self._process.wait(20)
            self._process = None

    def readings(self, kind: str, key: str) -> list[tuple[str, dict]]:
        """Every reading of a record with its place, from the database itself."""
        from fitcheck.store.places import lists_of

        with Store.open(self.path) as store:
            return [(place, one) for place, many in lists_of(kind, store.get(kind, key).doc) for one in many]


@pytest.fixture
def service(tmp_path, household):
    """The running service with the household of the test module."""
    path = tmp_path / "fitcheck.db"
    with Store.open(path) as store:
        store.import_bundle(household)
    found = Service(path)
    found.start()
    yield found
    found.stop()


@pytest.fixture
def open_page(chromium, service):
    """Open a page of the service: open_page(path, viewport, ...); a script fault of the page fails the test."""
    contexts, faults = [], []

    def opened(path, viewport=None, **options):
        context = chromium.new_context(viewport=viewport or PHONE, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("console", lambda said: faults.append(said.text) if "Content Security" in said.text else None)
        page.goto(service.url + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    assert faults == []
