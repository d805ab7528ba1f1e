"""No single thing stops everything: with any record spoilt and any estimator raising, every page still answers."""

from __future__ import annotations

import importlib
import inspect
import logging
import pkgutil
import shutil
import sys
from html import unescape

import pytest

import fitcheck.estimates
from fitcheck.advice.to_come.yarn_left import yarn_left
from fitcheck.knitting.joins import join
from fitcheck.knitting.pieces import plan_piece
from fitcheck.store import Store
from fitcheck.store.stored import HOUSEHOLD
from fitcheck.words import left_out as words
from tests.browser.pages_list import one_of_each_route, pages
from tests.store.test_unreadable import spoil
from tests.webui import lent
from tests.webui.conftest import DEMO
from tests.webui.test_server import get, running
from webui.answers import Answer, Answers

ROOMS = ("/", "/makes", "/wardrobe", "/people", "/swatches", "/size-tables", "/settings")
"""Pages that list records: one that fails stays out, and everything else stands in them as ever."""
OUT = ("/settings/household.json", "/settings/household.zip", "/settings/readings.csv")
"""The ways out, which go by what is kept alone."""
KINDS = ("wearers", "garments", "yarns", "machines", "swatches", "size_tables", "makes")
RECORDS = [(HOUSEHOLD, HOUSEHOLD), *((kind, record["id"]) for kind in KINDS for record in DEMO[kind])]
FIRST = [next(link for link in RECORDS if link[0] == kind) for kind in (HOUSEHOLD, *KINDS)]
NOW = ("yarns", "makes")
"""Kinds of which README's line spoils a record: what others name, and what names others."""


def looked_at(place, now):
    """In README's line what is said to be now, of all others every eighth in CI, the rest by its command (`long`)."""
    return [] if now else [pytest.mark.full] if place % 8 == 0 else [pytest.mark.full, pytest.mark.long]


def in_turn(records):
    """The first record of each kind first, on one page of each route; every record later, on every page."""
    now = [
        pytest.param(*link, one_of_each_route, id="/".join(link), marks=[] if link[0] in NOW else [pytest.mark.full])
        for link in FIRST
    ]
    return now + [
        pytest.param(*link, pages, marks=looked_at(place, False), id=f"{'/'.join(link)} on every page")
        for place, link in enumerate(records)
    ]


@pytest.fixture
def spoilt(tmp_path, demo_file):
    """Open the invented household with one record spoilt."""
    opened = []

    def opened_with(kind, key):
        path = shutil.copy(demo_file, tmp_path / "spoilt.db")
        spoil(path, kind, key)
        opened.append(Store.open(path))
        return opened[-1]

    yield opened_with
    for store in opened:
        store.close()


@pytest.mark.parametrize(("kind", "key", "of"), in_turn(RECORDS))
def test_every_page_answers_and_names_the_record_that_cannot_be_read(kind, key, of, spoilt, store, caplog):
    every = of(store.household())
    broken = spoilt(kind, key)
    client = lent.lend(broken).test_client()
    line, heading = words.left_out(kind, key), words.unreadable(kind, key)
    for page in every:
        answer = client.get(page.path)
        # Of a fabric that no other swatch was knitted in nothing is left to be seen.
        alone = answer.status_code == 404 and (kind, page.route) == ("swatches", "fabrics.fabric")
        assert alone or answer.status_code in ((200,) if page.path in ROOMS else (200, 409)), page
        said = unescape(answer.get_data(as_text=True))
        own_ground = 'class="skip"' not in said  # the walk, the sheet at the machine and the page of the API
        assert own_ground or line in said or heading in said, page
    for path in OUT:
        with client.get(path) as answer:
            assert answer.status_code == 200, path
    assert caplog.records == [] or all(record.levelno < logging.ERROR for record in caplog.records)


def test_a_spoilt_record_is_brought_back_from_the_page_that_names_it(spoilt, store):
    text = store.get("yarns", "blue_cotton").text
    broken = spoilt("yarns", "blue_cotton")
    client = lent.lend(broken).test_client()
    assert client.get("/unreadable/yarns/grey_wool_in_oil").location == "/swatches/yarns/grey_wool_in_oil"
    page = client.get("/swatches/yarns/blue_cotton")
    assert (page.status_code, 'action="/unreadable/yarns/blue_cotton"' in page.text) == (409, True)
    assert "See to it" not in page.text  # that is what the page is for
    assert "See to it" in client.get("/").text
    back = client.post("/unreadable/yarns/blue_cotton", data={"revision": "1"})
    assert back.location == "/swatches/yarns/blue_cotton"
    assert broken.get("yarns", "blue_cotton").text == text
    assert words.left_out("yarns", "blue_cotton") not in client.get("/").get_data(as_text=True)


def test_the_settings_are_typed_anew_where_what_was_kept_of_them_is_spoilt(spoilt):
    broken = spoilt(HOUSEHOLD, HOUSEHOLD)
    client = lent.lend(broken).test_client()
    assert client.post("/settings", data={"unit": "in", "name": "anew", "revision": "2"}).status_code in (303, 409)
    revision = broken.get(HOUSEHOLD, HOUSEHOLD).revision
    assert client.post("/settings", data={"unit": "in", "name": "anew", "revision": revision}).status_code == 303
    assert broken.get(HOUSEHOLD, HOUSEHOLD).record.name == "anew"
    assert broken.left_out() == ()


def test_the_interface_names_the_record_that_cannot_be_read(spoilt):
    client = lent.lend(spoilt("yarns", "blue_cotton")).test_client()
    answer = client.get("/api/v1/makes/blue_cotton_pullover/report")
    assert answer.status_code == 409
    assert (answer.json["type"].partition("#")[2], answer.json["kind"], answer.json["key"]) == (
        "unreadable",
        "yarns",
        "blue_cotton",
    )


@pytest.mark.full
def test_the_service_says_when_it_starts_how_many_records_it_leaves_out(tmp_path, demo_file):
    path = shutil.copy(demo_file, tmp_path / "spoilt.db")
    spoil(path, "yarns", "blue_cotton")
    with running("serve", "--data", path) as (_, port, said):
        assert "\n1 record cannot be read and is left out; every page names it.\n" in said
        assert get(port, "/settings")[0] == 200


# Estimators


def estimators():
    """Every public function of the estimates, by name."""
    told = {}
    for module in pkgutil.walk_packages(fitcheck.estimates.__path__, "fitcheck.estimates."):
        for name, value in vars(importlib.import_module(module.name)).items():
            if inspect.isfunction(value) and value.__module__ == module.name and not name.startswith("_"):
                told[f"{module.name.removeprefix('fitcheck.estimates.')}.{name}"] = value
    return told


ESTIMATORS = estimators()
OF_THE_REST = {"plan_piece": plan_piece, "join": join, "yarn_left": yarn_left}
"""What works the rest of a sweater out: looked at in CI."""
NOW_RAISES, IN_CI_RAISES = "fabric.fit.fit_fabric", "readings.estimate_readings"


class SecretError(Exception):
    """What an estimator raises here; it quotes what was typed."""


def fails(*_, **__):
    raise SecretError("51,8 of Ines")


@pytest.fixture
def failing(monkeypatch):
    """Make an estimator raise wherever it is called from, with nothing worked out before."""

    def made_to(function):
        monkeypatch.setattr(Answers, "_computed", computed_now)
        for module in list(sys.modules.values()):
            if not getattr(module, "__name__", "").startswith(("fitcheck", "webui")):
                continue
            for name, value in list(vars(module).items()):
                if value is function:
                    monkeypatch.setattr(module, name, fails)

    return made_to


def computed_now(answers, make, piece):
    from fitcheck.reports.shaped import worked_out

    return Answer(*worked_out(answers._store.make_household(make), make, piece))


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(name, marks=looked_at(0 if name == IN_CI_RAISES else place, name == NOW_RAISES))
        for place, name in enumerate(ESTIMATORS)
    ]
    + [pytest.param(name, marks=pytest.mark.full) for name in OF_THE_REST],
)
def test_every_page_answers_whichever_estimator_raises(name, failing, store, caplog):
    every = one_of_each_route(store.household())
    client = lent.lend(store).test_client()
    failing((ESTIMATORS | OF_THE_REST)[name])
    for page in every:
        answer = client.get(page.path)
        assert answer.status_code == 200, page
        assert "51,8 of Ines" not in answer.text + caplog.text
        assert page.path not in ROOMS or words.FAILED_WHY not in answer.get_data(as_text=True), page
    for path in OUT:
        with client.get(path) as answer:
            assert answer.status_code == 200, path
