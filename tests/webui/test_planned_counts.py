"""The planned counts of a make are typed and put right in one form, beside what the chosen size says."""

from __future__ import annotations

import re

import pytest

from fitcheck.advice.to_come.to_knit import PieceToKnit
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.words.figures import Tape
from fitcheck.words.the_rest import rest_said
from tests.invented import household
from tests.webui.test_earlier import put_right, struck
from tests.webui.test_knitted import page_of
from tests.webui.test_pages_wardrobe import fields_in
from webui.forms.planned import planned_form

AT = "/makes/grey_pullover/counts"


def sent(client, path=AT, **typed):
    page = page_of(client, path)
    return client.post(path, data={**fields_in(page[page.index('<form class="form"') :]), **typed})


def planned(store, key="grey_pullover"):
    return store.get("makes", key).doc.get("planned", {})


def test_a_planned_count_is_put_right_and_the_old_one_stands_struck_out(client, store):
    before = planned(store)["front"]["chest"]
    answer = sent(client, **{"planned-front-chest": "124"})
    assert (answer.status_code, answer.location) == (303, "/makes/grey_pullover")
    assert planned(store)["front"]["chest"] == 124
    assert [text for text, _ in struck(page_of(client, AT), "planned-front-chest")] == [str(before)]
    ((line, to),) = put_right(client).items()
    assert line.startswith(f"Planned for the front: chest 124 before: {before} typed")
    assert to == f"{AT}#planned-front-chest"


def test_sent_as_it_stands_the_form_changes_nothing(client, store):
    before = store.get("makes", "grey_pullover").revision
    assert sent(client).status_code == 303
    assert store.get("makes", "grey_pullover").revision == before


def test_what_the_change_did_to_the_answer_is_said_with_an_undo(client, store):
    before = planned(store)
    page = client.get(sent(client, **{"planned-front-chest": "150"}).location).get_data(as_text=True)
    strip = page[page.index('action="/undo"') :]
    undo = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', strip[: strip.index("</form>")]))
    client.post("/undo", data=undo)
    assert planned(store) == before


def test_what_is_no_count_is_refused_at_its_field_with_everything_else_kept(client, store):
    before = planned(store)
    page = sent(client, **{"planned-front-chest": "many", "planned-sleeve-upper_arm": "90"}).get_data(as_text=True)
    assert 'id="planned-front-chest-refused"' in page
    assert fields_in(page[page.index('<form class="form"') :])["planned-sleeve-upper_arm"] == "90"
    assert planned(store) == before


@pytest.fixture
def sized(client, store):
    """A make that knits a size of a table and plans nothing of its own."""
    table = store.household().size_tables[0]
    make = {"name": "sized", "size_table": table.id, "size": table.sizes[0].name}
    store.put("makes", "sized", make, 0)
    return table.sizes[0]


def test_what_the_size_says_stands_under_its_field_and_is_not_typed(client, store, sized):
    page = page_of(client, "/makes/sized/counts")
    count = sized.pieces["back"]["chest"].count
    hint = re.search(r'id="planned-back-chest-hint">([^<]*)', page)[1]
    assert hint == f"size {sized.name}: {count}"
    assert fields_in(page[page.index('<form class="form"') :])["planned-back-chest"] == ""
    assert sent(client, "/makes/sized/counts").status_code == 303
    assert planned(store, "sized") == {}
    sent(client, "/makes/sized/counts", **{"planned-back-chest": "130 stitches"})
    assert planned(store, "sized") == {"back": {"chest": 130}}


def test_an_open_front_is_planned_by_its_halves(client, store):
    store.put("makes", "open", {"name": "open", "front_band": "3 cm"}, 0)
    page = page_of(client, "/makes/open/counts")
    names = {name for name in fields_in(page[page.index('<form class="form"') :]) if name.startswith("planned-")}
    assert {"planned-left_front-chest", "planned-right_front-chest"} < names
    assert "planned-front-chest" not in names


def test_a_front_is_open_as_it_is_said_whatever_its_band(client, store):
    store.put("makes", "open", {"name": "open"}, 0)
    for said, front, halves in (("open", True, True), ("closed", False, False), ("", None, False)):
        assert sent(client, "/makes/open/settings", open_front=said).status_code == 303
        assert store.get("makes", "open").doc.get("open_front") is front
        page = page_of(client, "/makes/open/settings")
        assert fields_in(page[page.index('<form class="form"') :])["open_front"] == said
        assert ("planned-left_front-chest" in page_of(client, "/makes/open/counts")) is halves
    refused = sent(client, "/makes/open/settings", open_front="ajar", name="kept as typed")
    assert refused.status_code == 422
    assert "kept as typed" in refused.get_data(as_text=True)


def test_another_who_changed_it_meanwhile_is_shown_beside(client, store):
    page = page_of(client, AT)
    typed = fields_in(page[page.index('<form class="form"') :])
    sent(client, **{"planned-front-chest": "124"})
    other = {**typed, "form": "another-form-id-00", "planned-front-chest": "126"}
    answer = client.post(AT, data=other)
    assert answer.status_code == 409
    assert "Front, planned stitches, chest" in answer.get_data(as_text=True)


def test_a_count_that_the_rest_asks_for_has_a_field_where_its_link_leads():
    demo = household()
    make = next(make for make in demo.makes if make.id == "grey_pullover")
    piece = PieceToKnit("front", {}, "neck_depth")
    answer = RestAnswer("", "", "m", "m", None, (piece,), (), (), CannotSay("no_yarn"))
    (said,) = rest_said(answer, Tape("cm", ".")).pieces
    at = f"planned-{said.kind}-{said.lacks}"
    assert at not in [field.name for field in planned_form(make, demo)]
    assert at in [field.name for field in planned_form(make, demo, [(piece.kind, said.lacks)])]
