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
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import pytest

from fitcheck.store import Store
from tests.browser.stories import SETTINGS, Person

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
        return "no Playwright in this environment (pip install playwright)"
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


# Every page of the invented household and of an empty one, looked at and not changed


@pytest.fixture(scope="session")
def demo(tmp_path_factory):
    """The running service with the invented household, for tests that keep nothing."""
    yield from running(tmp_path_factory.mktemp("demo"), (ROOT / "demo_garments" / "household.json").read_bytes())


@pytest.fixture(scope="session")
def bare(tmp_path_factory):
    """The running service in which nothing is kept yet."""
    yield from running(tmp_path_factory.mktemp("bare"), None)


def running(folder: Path, household: bytes | None) -> Iterator[Service]:
    """A service of its own in a folder, ended afterwards."""
    with Store.open(folder / "fitcheck.db") as store:
        if household is not None:
            store.import_bundle(household)
    found = Service(folder / "fitcheck.db")
    found.start()
    yield found
    found.stop()


SERVE_MANY = """
import os, signal, sys
from fitcheck.store import Store
from webui.app import create_app
from webui.config import Config
from webui.pages.invented import bring
from webui.server import listen, serve
with Store.open(sys.argv[1]) as store:  # once through the pages, so that every import is done
    app = create_app(store, config=Config(port=80))
    bring(store)
    assert app.test_client().get("/").status_code == 200
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    path, port = line.rstrip().rsplit(" ", 1)
    made = os.fork()
    if made == 0:
        with Store.open(path) as store:
            serve(lambda port: create_app(store, config=Config(port=port)), listen("127.0.0.1", int(port)))
        os._exit(0)
    print(made, flush=True)
"""


class Many:
    """A process that has everything imported and splits off services: starting them anew costs most of a story."""

    def __init__(self, folder: Path) -> None:
        with (folder / "services.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-c", SERVE_MANY, str(folder / "first.db")],
                cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=log, text=True,
            )  # fmt: skip

    def split_off(self, path: Path, port: int) -> int:
        """Start a service; return its process."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        print(path, port, file=self._process.stdin, flush=True)
        return int(self._process.stdout.readline())

    def stop(self) -> None:
        self._process.communicate(timeout=20)


class SplitOff(Service):
    """The real service in a process of its own, split off from one that has everything imported."""

    def __init__(self, path: Path, many: Many) -> None:
        super().__init__(path)
        self._many, self._made = many, 0

    def start(self) -> None:
        self._made = self._many.split_off(self.path, self.port)
        for _ in range(400):
            try:
                urllib.request.urlopen(f"{self.url}/api/v1/makes", timeout=5).close()
            except OSError:
                time.sleep(0.02)
            else:
                return
        raise AssertionError("the service did not start")

    def stop(self, *, kill: bool = False) -> None:
        os.kill(self._made, signal.SIGKILL if kill else signal.SIGTERM)
        for _ in range(1000):
            try:
                os.kill(self._made, 0)
            except ProcessLookupError:
                return
            time.sleep(0.02)
        raise AssertionError("the service did not stop")


@pytest.fixture(scope="session")
def many_services(tmp_path_factory):
    many = Many(tmp_path_factory.mktemp("services"))
    yield many
    many.stop()


@pytest.fixture(params=SETTINGS, ids=str)
def person(request, chromium, many_services, tmp_path, household):
    """Somebody at the start page, at every setting; a fault of a script or of the service fails the test."""
    with Store.open(tmp_path / "fitcheck.db") as store:
        store.import_bundle(household)
    service = SplitOff(tmp_path / "fitcheck.db", many_services)
    service.start()
    setting = request.param
    context = chromium.new_context(
        viewport={"width": setting.width, "height": setting.height}, java_script_enabled=setting.scripted
    )
    context.set_default_timeout(30_000)
    page = context.new_page()
    faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if "Content Security" in said.text else None)
    page.on("response", lambda answer: faults.append(answer.url) if answer.status >= 400 else None)
    yield Person(page, service, setting)
    context.close()
    service.stop()
    assert faults == []
