"""A real browser against the real service: Debian's Chromium driven by Playwright.

Where the machine has it, it is Chromium's headless shell: it lays out and draws as Chromium does in half the time.

Where a machine has no Chromium or no Playwright these tests are skipped with the reason; in CI they fail instead.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from importlib.util import find_spec
from pathlib import Path

import pytest

from fitcheck.store import Store
from fitcheck.store.households import State, state
from tests.browser.stories import (
    BY_DAY,
    BY_NIGHT,
    DAYS_AT,
    SETTINGS,
    STORIES_BEFORE,
    TOLD_BY_NIGHT,
    Person,
    opposite,
    setting_of,
)
from tests.browser.visits import every, one_of_each

ROOT = Path(__file__).resolve().parents[2]
INVENTED = ROOT / "demo_garments" / "household.json"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP *.home.arpa 127.0.0.2, MAP rebound.example 127.0.0.2, "
    "MAP here.rebound.example 127.0.0.1, MAP elsewhere.example 127.0.0.3",
)
"""Without a network of its own a browser must not look for one."""
SMALL = {"width": 320, "height": 568}
PHONE = {"width": 390, "height": 844}


def browser_here() -> str | None:
    """The browser of this machine, as a path."""
    return shutil.which("chromium-headless-shell") or shutil.which("chromium")


def missing() -> str:
    """What is missing for a browser test, in words; empty where nothing is."""
    if browser_here() is None:
        return "no Chromium on this machine (Debian: apt-get install chromium-headless-shell)"
    if find_spec("playwright") is None:
        return "no Playwright in this environment (pip install playwright)"
    return ""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs a browser, and axe, so that it can be asked for by name."""
    for item in items:
        for fixture, mark in (("chromium", "browser"), ("axe", "axe")):
            if fixture in getattr(item, "fixturenames", ()):
                item.add_marker(mark)


@pytest.fixture(scope="session")
def chromium():
    """The browser, started once."""
    if reason := missing():
        if os.environ.get("CI"):
            pytest.fail(f"browser tests must run in CI: {reason}")
        pytest.skip(reason)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_here(), args=list(FLAGS))
        yield browser
        browser.close()


SERVE = """
import gc, os, signal, sys
from fitcheck.store import Store
from tests.disk import go_on_at_once
from tests.webui.lent import put_on
from tests.webui.once import worked_out_once
from webui.answers import Answers
from webui.app import create_app
from webui.config import Config
from webui.listening import listen
from webui.server import serve
go_on_at_once()
Answers._computed = worked_out_once  # reports of the invented household are there when a service is split off
with Store.open(sys.argv[1]) as store:  # every import is done then, every route made and every template compiled
    app = create_app(store, config=Config(port=80))
    for name in app.jinja_env.list_templates():
        app.jinja_env.get_template(name)
    store.import_bundle(open(sys.argv[2], "rb").read())
    assert app.test_client().get("/").status_code == 200
def put(store, port):
    put_on(app, store, Config(port=port))
    return app
gc.freeze()
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    path, port = line.rstrip().rsplit(" ", 1)
    made = os.fork()
    if made == 0:
        with Store.open(path) as store:
            serve(lambda port: put(store, port), listen("127.0.0.1", int(port)), store.tend)
        os._exit(0)
    print(made, flush=True)
"""


class Services:
    """A process that has everything imported and splits off services: starting them anew costs most of a test."""

    def __init__(self, folder: Path) -> None:
        with (folder / "services.log").open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-c", SERVE, str(folder / "first.db"), str(INVENTED)],
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


class Service:
    """The real service in a process of its own, on a database of its own."""

    def __init__(self, services: Services, path: Path, household: bytes | None) -> None:
        with Store.open(path) as store:
            if household is not None:
                store.import_bundle(household)
        self._services, self.path, self._process = services, path, 0
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        """Start and wait until it answers."""
        self._process = self._services.split_off(self.path, self.port)
        for _ in range(3000):
            try:
                urllib.request.urlopen(f"{self.url}/api/v1/makes", timeout=5).close()
            except OSError:
                time.sleep(0.02)
            else:
                return
        raise AssertionError("the service did not start")

    def stop(self, *, kill: bool = False) -> None:
        """End the process that was started here: politely, or as a power cut does."""
        if not self._process:
            return
        os.kill(self._process, signal.SIGKILL if kill else signal.SIGTERM)
        for _ in range(1000):
            try:
                os.kill(self._process, 0)
            except ProcessLookupError:
                self._process = 0
                return
            time.sleep(0.02)
        raise AssertionError("the service did not stop")

    def readings(self, kind: str, key: str) -> list[tuple[str, dict]]:
        """Every reading of a record with its place, from the database itself."""
        from fitcheck.records.places import write_address
        from fitcheck.store.places import lists_of

        with Store.open(self.path) as store:
            return [
                (write_address(path), one) for path, many in lists_of(kind, store.get(kind, key).doc) for one in many
            ]


@pytest.fixture(scope="session")
def services(chromium, tmp_path_factory):
    """Where every service comes from; none is started where there is no browser to look at it."""
    made = Services(tmp_path_factory.mktemp("services"))
    yield made
    made.stop()


@contextmanager
def running(*given) -> Iterator[Service]:
    """A service that ends afterwards: at once, for nobody looks at its database again."""
    service = Service(*given)
    service.start()
    try:
        yield service
    finally:
        service.stop(kill=True)


@pytest.fixture
def service(services, tmp_path, household):
    """The running service with the household of the test module."""
    with running(services, tmp_path / "fitcheck.db", household) as service:
        yield service


@contextmanager
def opening(chromium, service) -> Iterator[Callable]:
    """Open a page of a service: opened(path, viewport, ...); a script fault of the page fails the test."""
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


def send(page, name, within=None):
    """Send a form by its button and wait for the page that comes: a click returns once that page has begun, and what is
    asked of it without waiting (whether, how many, what it says) would be asked of the half that is there.
    """
    with page.expect_navigation():
        (within or page).get_by_role("button", name=name, exact=True).first.click()


@pytest.fixture
def open_page(chromium, service):
    """Open a page of the service that is this test's own."""
    with opening(chromium, service) as opened:
        yield opened


@pytest.fixture(scope="module")
def untouched(services, tmp_path_factory, household):
    """The running service with the household of the test module, for its tests that keep nothing."""
    with running(services, tmp_path_factory.mktemp("untouched") / "fitcheck.db", household) as service:
        yield service


@pytest.fixture
def look_at(chromium, untouched):
    """Open a page that nothing is kept from."""
    before = kept_state(untouched)
    with opening(chromium, untouched) as opened:
        yield opened
    assert kept_state(untouched) == before, "this test keeps something: it wants a service of its own"


def kept_state(service: Service) -> State:
    """What tells one state of a service's database from every other."""
    with closing(sqlite3.connect(service.path)) as connection:
        return state(connection)


# Every page of the invented household and of an empty one, looked at and not changed


@pytest.fixture(scope="session")
def demo(services, tmp_path_factory):
    """The running service with the invented household, for tests that keep nothing."""
    with running(services, tmp_path_factory.mktemp("demo") / "fitcheck.db", INVENTED.read_bytes()) as service:
        yield service


@pytest.fixture(scope="session")
def bare(services, tmp_path_factory):
    """The running service in which nothing is kept yet."""
    with running(services, tmp_path_factory.mktemp("bare") / "fitcheck.db", None) as service:
        yield service


@pytest.fixture(scope="session")
def one_of_each_kind(demo, bare, tmp_path_factory):
    """Pages of which every state, route and kind of element is on one: all are asked for once by the whole run."""
    own = tmp_path_factory.getbasetemp()
    told = (own.parent if "PYTEST_XDIST_WORKER" in os.environ else own) / "one_of_each_kind.json"
    every_page = every(demo, bare)
    if not told.exists():
        made = own / "one_of_each_kind.made"
        made.write_text(json.dumps(one_of_each(every_page)))
        made.replace(told)
    return [every_page[place] for place in json.loads(told.read_text())]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Give each story its settings: README's line and CI tell it at one or two of them, its command at all.

    A module that is told elsewhere says where in TOLD_AT, and CI tells it at the first.
    """
    if "person" not in metafunc.fixturenames:
        return
    name = metafunc.module.__name__.rpartition(".")[2]
    if own := getattr(metafunc.module, "TOLD_AT", ()):
        at, in_ci = own, own[:1]
    elif name.startswith("test_days_"):
        at, in_ci = DAYS_AT, (BY_NIGHT if name in TOLD_BY_NIGHT else BY_DAY,)
    else:
        stories = [name for name in vars(metafunc.module) if name.startswith("test_")]
        ours = setting_of(STORIES_BEFORE[name] + stories.index(metafunc.function.__name__))
        metafunc.parametrize("person", [told(one, ours, opposite(ours)) for one in SETTINGS], indirect=True)
        return
    metafunc.parametrize("person", [told(one, None, *in_ci) for one in at], indirect=True)


def told(setting, in_the_line, *in_ci):
    """A story at one setting: in README's line, in CI, or left to its command."""
    if setting == in_the_line:
        return pytest.param(setting, id=str(setting))
    left_out = [pytest.mark.full] if setting in in_ci else [pytest.mark.full, pytest.mark.long]
    return pytest.param(setting, id=str(setting), marks=left_out)


@pytest.fixture
def person(request, chromium, service):
    """Somebody at the start page, at each setting; a fault of a script or of the service fails the test."""
    setting = request.param
    context = chromium.new_context(
        viewport={"width": setting.width, "height": setting.height},
        java_script_enabled=setting.scripted,
        color_scheme="dark" if setting.dark else "light",
    )
    context.set_default_timeout(30_000)
    faults = []
    context.on("weberror", lambda error: faults.append(str(error.error)))
    context.on("console", lambda said: faults.append(said.text) if "Content Security" in said.text else None)
    person = Person(context.new_page(), service, setting)

    def answered(answer):
        if answer.status >= 400 and not (answer.status == 422 and person.slips):
            faults.append(f"{answer.status} {answer.url}")

    context.on("response", answered)
    yield person
    context.close()
    assert faults == []
