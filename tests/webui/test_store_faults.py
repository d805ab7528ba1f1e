"""Every form of every page under every fault of the store: it says so, and everything typed stands in the answer.

The forms are found by walking the pages, so that no new one can be left out. A form that asks the store for its turn to
write while the store cannot is never answered as if it were kept.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from typing import Any

import pytest
from werkzeug.test import TestResponse

from fitcheck.store import Store, database
from fitcheck.store.faults import FileFault
from tests.browser.pages_list import pages
from tests.webui import lent
from tests.webui.forms_found import Form, forms_of, forms_reached, post_route, read_page, states
from tests.webui.once import worked_out_once
from tests.webui.rare_states import rare_states
from tests.webui.test_given_back import taken
from tests.webui.test_pages_wardrobe import Browser
from webui.answers import Answers

Sent = dict[str, list[str]]


class Connection:
    """A connection of SQLite whose commits fail once the disk is full, and that is only read once it is closed."""

    full = closed = False

    def __init__(self, connection):
        self._connection = connection

    def __getattr__(self, name):
        return getattr(self._connection, name)

    def execute(self, sql, *more):
        if Connection.full and sql == "commit":
            raise full_of_sqlite()
        if sql == "begin immediate":
            self._connection.execute(f"pragma query_only = {Connection.closed}")
        return self._connection.execute(sql, *more)


def full_of_sqlite():
    """What SQLite itself raises where there is no room for another page."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        connection.execute("pragma max_page_count = 1")
        with pytest.raises(sqlite3.OperationalError) as full:
            connection.execute("create table a (b)")
    return full.value


@contextmanager
def full_disk(path):
    Connection.full = True
    yield
    Connection.full = False


@contextmanager
def closed_for_writing(path):
    Connection.closed = True
    yield
    Connection.closed = False


@contextmanager
def held_by_another(path):
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("begin immediate")
        yield
        other.execute("rollback")


@contextmanager
def taken_away(path):
    path.rename(path.with_name("taken-away.db"))
    yield


FAULTS = [
    pytest.param(full_disk, {507}, id="full disk", marks=pytest.mark.full),
    pytest.param(held_by_another, {503}, id="held by another", marks=[pytest.mark.full, pytest.mark.long]),
    pytest.param(closed_for_writing, {500, 503}, id="closed for writing", marks=[pytest.mark.full, pytest.mark.long]),
    pytest.param(taken_away, {503}, id="taken away", marks=[pytest.mark.full, pytest.mark.long]),
]
"""CI tries the first on every form, and all of them on one form of each kind (`test_given_back.py`)."""


@pytest.fixture(scope="module")
def walked(tmp_path_factory, demo_file):
    """The forms of all pages of the invented household, and what is sent by those whose every field is taken."""
    path = shutil.copy(demo_file, tmp_path_factory.mktemp("every_form") / "fitcheck.db")
    with pytest.MonkeyPatch.context() as patched, Store.open(path) as store:
        patched.setattr(Answers, "_computed", worked_out_once)
        client = lent.lend(store).test_client()
        begin = [*states(store, client), *(page.path for page in pages(store.household()))]
        forms, sent = forms_reached(client, begin, 1), taken(Browser(store))
        rare = forms_of(client, rare_states(store, client))
    with Store.open(path.with_name("empty.db")) as empty:
        first = forms_of(lent.lend(empty).test_client(), ["/"])
    return [*forms, *rare, *first], sent, path


@pytest.fixture
def served(walked, tmp_path, monkeypatch):
    """The same household in a store of its own, which does not wait long for its turn."""
    as_made = database.connected
    monkeypatch.setattr(database, "connected", lambda *given: Connection(as_made(*given)))
    path = tmp_path / "data" / "fitcheck.db"
    path.parent.mkdir()
    with Store.open(shutil.copy(walked[2], path), busy_seconds=0.02) as store:
        yield store


@pytest.fixture
def met(monkeypatch):
    """Every fault of the file that a request met, whoever took it up; not what a page's sign about it met."""
    faults, as_made, as_asked = [], FileFault.__init__, Store.kept_from.fget

    def noted(fault, *given):
        faults.append(fault)
        as_made(fault, *given)

    def asked(store):
        before = len(faults)
        try:
            return as_asked(store)
        finally:
            del faults[before:]

    monkeypatch.setattr(FileFault, "__init__", noted)
    monkeypatch.setattr(Store, "kept_from", property(asked))
    return faults


def filled_in(form: Form) -> Sent:
    """What a form sends with a text of its own in every field, and everything ticked that can be."""
    ticked: Sent = {}
    for control in form.controls:
        if control.kind == "checkbox":
            ticked.setdefault(control.name, []).append(control.value)
    return form.untouched() | ticked | {name: [f'typed {number} <b>"&'] for number, name in enumerate(form.typed)}


def everything_sent(forms: list[Form], good: Mapping[str, Mapping[str, Any]]) -> Iterator[tuple[str, Sent, Sent]]:
    """Where each form goes, what it sends and what its button adds: as it stands, filled in, and as it is taken."""
    for form in forms:
        for to, button in form.ways():
            yield to, form.untouched(), button
            if (filled := filled_in(form)) != form.untouched():
                yield to, filled, button
    for to, sent in good.items():
        fields = {name: [text] if isinstance(text, str) else list(text) for name, text in sent.items()}
        button = {"do": fields.pop("do")} if "do" in fields else {}
        yield to, fields, button


def lost(answer: TestResponse, sent: Sent) -> Sent:
    """What was sent and does not stand in the form of a page that has most of it.

    A form that was refused is made from the record as it is now, and begins anew.
    """
    forms = [form.untouched() for form in read_page("/", answer.get_data(as_text=True)).forms]
    there = max(forms, key=lambda fields: len(fields.keys() & sent.keys()), default={})
    anew = {"revision", "form"} if answer.status_code < 500 else {"revision"}
    told = {name: values for name, values in sent.items() if any(values) and name not in anew}
    return {name: values for name, values in told.items() if stripped(there.get(name, [])) != stripped(values)}


def stripped(values: list[str]) -> list[str]:
    return sorted(value.strip() for value in values)


@pytest.mark.parametrize(("fault", "statuses"), FAULTS)
def test_every_form_of_every_page_is_given_back_under_every_fault_of_the_store(walked, served, met, fault, statuses):
    forms, good, _ = walked
    client = lent.lend(served).test_client(use_cookies=False)
    wrong, refused = [], set()
    assert client.get("/").status_code == 200
    with fault(served.path):
        for to, fields, button in everything_sent(forms, good):
            met.clear()
            answer = client.post(to, data=fields | button)
            if met:
                refused.add(post_route(client.application, to))
            if met and answer.status_code not in statuses:
                wrong.append((to, answer.status_code, "answered as if it were kept", fields | button))
            elif answer.status_code >= 400 and (missing := lost(answer, fields)):
                wrong.append((to, answer.status_code, missing, fields | button))
    assert not wrong, f"{len(wrong)}\n" + "\n".join(f"{one!r:.600}" for one in wrong)
    assert len(refused) > 45


AT_HOME = {"devices.invite"}
"""A form that stands only where the service has an address at home, and asks the store for nothing."""


@pytest.mark.full
def test_the_walk_reaches_every_form(walked, served):
    app = lent.lend(served)
    takes = {rule.endpoint for rule in app.url_map.iter_rules() if "POST" in rule.methods and rule.rule[:4] != "/api"}
    reached = {post_route(app, to) for form in walked[0] for to, _ in form.ways()}
    assert takes - reached == AT_HOME
