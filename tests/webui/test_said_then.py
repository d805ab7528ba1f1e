"""What was said of a make when its counts were taken, or before it was finished, stands whatever changed since."""

from __future__ import annotations

import html
import re
from datetime import UTC, datetime

import pytest

from fitcheck.reports.shaped import report
from fitcheck.store import Store
from fitcheck.words.dates import write_day
from fitcheck.words.phrases import small_first
from fitcheck.words.reasons import chance
from tests.webui import lent

pytestmark = pytest.mark.full

MAKE = "grey_pullover"


def finish(client):
    """Finish the make and read it sewn."""
    client.post(f"/makes/{MAKE}/finish", data={"finished": "28.11.2026", "left": "hang", "at_chest": "54.2 54.3 54.2"})


def said(client):
    """What the page of the finished make says was said."""
    page = html.unescape(client.get(f"/makes/{MAKE}/finish").text).replace("\N{NO-BREAK SPACE}", " ")
    return re.search(r"What was said, what came</dt><dd>([^<]*)</dd>", page)[1]


def take_counts(ask):
    _, answer, _ = ask("GET", f"/makes/{MAKE}/report")
    counts = {}
    for count in answer["to_take"]:
        counts.setdefault(count["piece"], {})[count["point"]] = count["count"]
    status, _, _ = ask("POST", f"/makes/{MAKE}/take-counts", {"counts": counts, "report": answer["digest"]})
    assert status == 200


def read_wider(store):
    """The sweater that it must fit is read much wider than before."""
    stored = store.get("garments", "brown_pullover")
    document = stored.doc
    document["occasions"][0]["readings"]["chest"] += ["57 cm", "57.1 cm", "57 cm"]
    store.put("garments", "brown_pullover", document, stored.revision)


def test_what_was_said_when_the_counts_were_taken_is_told_from_the_records_of_then(store, ask, client):
    then = report(store.household(), make=MAKE)
    take_counts(ask)
    read_wider(store)
    finish(client)
    today = write_day(datetime.now(UTC).astimezone().date())
    assert said(client) == f"When its counts were taken, on {today}, by the back: {small_first(chance(then))}"
    assert chance(report(store.household(), make=MAKE)) != chance(then), "it would be said otherwise now"


def test_what_was_said_before_it_was_finished_stays_whatever_is_changed_after(store, client):
    then = report(store.household(), make=MAKE)
    finish(client)
    read_wider(store)
    assert said(client) == f"Before it was finished, by the back: {small_first(chance(then))}"


def test_of_a_make_that_came_here_finished_it_is_said_that_it_cannot_be_told(store, ask, client, tmp_path):
    take_counts(ask)
    finish(client)
    with Store.open(tmp_path / "other.db") as other:
        other.import_bundle(store.export_bundle())
        assert "what was said cannot be told" in said(lent.lend(other).test_client())
