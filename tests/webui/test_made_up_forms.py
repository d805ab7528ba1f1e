"""A share of the forms that are made up: none makes the program fail or wait, and no typed text becomes markup."""

from __future__ import annotations

import random

import pytest
from markupsafe import escape
from werkzeug.wrappers import Response

from tests.browser.pages_list import one_of_each_route, pages
from tests.webui import lent
from tests.webui.forms_found import forms_reached
from tests.webui.made_up_forms import HOSTILE, Found, look, ran, send, unexpected

BEGIN = (
    "/",
    "/wardrobe/new",
    "/people/new",
    "/swatches/new",
    "/size-tables/new",
    "/settings",
    "/plan",
    "/makes/grey_pullover",
)


def test_a_size_table_that_is_too_large_to_be_taken_comes_back_with_a_grid_of_the_largest(client):
    sent = {"columns": "9" * 400, "rows": "x", "name": "n" * 50_000, "size_0": "S"}
    answer = client.post("/size-tables/new", data=sent)
    assert answer.status_code == 413
    assert '<input id="size_0"' in answer.get_data(as_text=True)


@pytest.mark.parametrize(
    ("count", "of"),
    [(15, one_of_each_route), pytest.param(2_000, pages, marks=[pytest.mark.full, pytest.mark.long])],
    ids=["15", "2000"],
)
def test_made_up_forms_are_answered_in_time_and_stay_texts(store, count, of):
    app, found = lent.lend(store), Found()
    forms = forms_reached(app.test_client(), BEGIN, 0)
    with unexpected(found):
        send(app, forms, count, random.Random(count), found)
        look(app, store, found, of)
    assert found.wrong == []
    assert len(found.routes) > 10


@pytest.mark.parametrize("text", ["<xq>", '"><xq onclick="1">', "</script><xq>", "--><xq>"])
def test_a_text_that_became_markup_would_be_seen(text):
    assert text in HOSTILE
    page = '<p>{0}</p><input value="{0}"><script>"{0}"</script><!-- {0} -->'
    assert ran(Response(page.format(text), mimetype="text/html"))
    assert not ran(Response(page.format(escape(text)), mimetype="text/html"))


def test_a_script_that_is_led_to_and_a_formula_in_a_table_would_be_seen():
    assert ran(Response('<a href=" JavaScript:xq">', mimetype="text/html"))
    assert ran(Response('name,text\nx,"=HYPERLINK(""xq"")"\n', mimetype="text/csv"))
    assert not ran(Response("name,text\nx,'=xq\n", mimetype="text/csv"))


@pytest.mark.parametrize("tap", ["", "5", "½", "a b c"])
def test_a_tap_with_a_name_that_is_none_is_one_all_the_same(client, store, tap):
    at = "/makes/rust_pullover/sheets/front/machine"
    sheet = next(begun for begun in store.get("makes", "rust_pullover").record.sheets if begun.piece == "front")
    before = len(store.taps_on("rust_pullover", sheet.id))
    sent = {"sheet": sheet.id, "line": "0", "do": "done", "tap": tap}
    assert client.post(at, data=sent).status_code == 303
    assert len(store.taps_on("rust_pullover", sheet.id)) == before + 1


@pytest.mark.parametrize("counts", ["0", "[]", '{"front": 0}', "[" * 100_000, "null", '"front"'])
def test_counts_that_are_none_are_not_taken_also_where_some_were_taken_before(client, store, counts):
    made = store.get("makes", "rust_pullover")
    taken = {"counts": counts, "report": made.record.taken[0].report}
    assert client.post("/makes/rust_pullover/take-counts", data=taken).status_code in (303, 400)
    assert store.get("makes", "rust_pullover").revision == made.revision


LONG = "9" * 5_000
"""More figures than `int` reads."""


@pytest.mark.parametrize(
    ("at", "fields"),
    [
        ("/makes/rust_pullover/done", {"deed": LONG}),
        ("/undo", {"kind": "makes", "key": "rust_pullover", "revision": LONG}),
        ("/swatches/grey_at_7/read", {"stage": "x" * 3_000_000}),
        ("/size-tables/new", {"do": f"delete_{LONG}", "columns": "2", "rows": "2"}),
        ("/makes/rust_pullover/sheets/front/machine", {"sheet": "front-1", "line": LONG}),
    ],
)
def test_a_number_longer_than_any_is_answered_as_one_that_is_none(client, caplog, at, fields):
    assert client.post(at, data=fields).status_code < 500
    assert not caplog.records
