"""The page of a make as it was rendered before: the same bytes, never older than the records, never another device's.

All figures are invented.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from webui.cache import MOST
from webui.pages import notices, page_cache, views
from webui.pages.make import page as makes

PAGE = "/makes/grey_pullover"
READ = "pieces/back/stages/0/readings/chest"


@pytest.fixture
def rendered(monkeypatch):
    """How often the page of a make was rendered."""
    times = []
    show = makes.show

    def counting(key, **more):
        times.append(key)
        return show(key, **more)

    monkeypatch.setattr(makes, "show", counting)
    return times


@pytest.fixture
def device(app):
    """Another browser each time."""
    return app.test_client


def text(client, path=PAGE):
    answer = client.get(path)
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def add_reading(ask, ident, value="51.6 cm"):
    assert ask("PUT", f"{PAGE}/readings/{ident}", {"place": READ, "reading": value})[0] < 300


def test_a_page_asked_for_again_is_the_same_and_rendered_once(client, device, rendered):
    first = text(client)
    assert [text(client), text(device()), text(client)] == [first] * 3
    assert len(rendered) == 1


def test_it_shows_a_reading_that_came_in_since(client, ask, rendered):
    text(client)
    add_reading(ask, "late", "51.637 cm")
    assert "51.637 cm" in text(client)
    assert len(rendered) == 2


def test_it_shows_what_was_taken_back_no_more(client, ask, store, rendered):
    before = text(client)
    add_reading(ask, "late", "51.637 cm")
    assert "51.637 cm" in text(client)
    store.undo("makes", "grey_pullover", store.get("makes", "grey_pullover").revision)
    assert "51.637 cm" not in text(client)
    assert text(client).count("<li") == before.count("<li")
    assert len(rendered) == 3


def test_a_change_of_anything_at_all_renders_it_anew(client, ask, rendered):
    text(client)
    ask("PUT", "/garments/other", {"name": "other", "occasions": [{"id": "first"}]}, 0)
    text(client)
    assert len(rendered) == 2


def test_the_household_turning_to_inches_turns_the_page(client, ask):
    assert 'value="in" aria-pressed="false"' in text(client)
    found = ask("GET", "/household")[1]
    assert ask("PUT", "/household", found["record"] | {"unit": "in"}, found["revision"])[0] == 200
    assert 'value="in" aria-pressed="true"' in text(client)


@pytest.mark.parametrize(("cookie", "value"), [(views.UNIT_COOKIE, "in"), (views.MARK_COOKIE, "comma")])
def test_what_a_device_chose_is_shown_there_only(device, rendered, cookie, value):
    one, other = device(), device()
    plain = text(one)
    other.set_cookie(cookie, value)
    chosen = text(other)
    assert chosen != plain
    assert (text(one), text(other)) == (plain, chosen)
    assert len(rendered) == 2


def test_another_piece_or_place_is_another_page(client, rendered):
    pages = {text(client, PAGE + asked) for asked in ("", "?at=chest", "?at=hem", "?piece=back", "?at=chest")}
    assert (len(pages), len(rendered)) == (4, 4)


def test_what_is_said_once_is_said_to_one_device_and_once(device, rendered):
    one, other = device(), device()
    plain = text(other)
    moved = one.post(f"{PAGE}/count", data={"point": "chest", "count": "121", "of": ""})
    assert moved.status_code == 303
    assert "121 counted" in text(one)
    for who in (other, one, other):
        assert "121 counted" not in text(who)
    assert text(one) != plain


def test_what_is_said_once_is_taken_back_from_every_page_that_says_it(device):
    one, other = device(), device()
    one.post(f"{PAGE}/count", data={"point": "chest", "count": "121", "of": ""})
    other.set_cookie(notices.COOKIE, one.get_cookie(notices.COOKIE).value)
    for who in (one, other):
        assert "121 counted" in text(who)
        assert who.get_cookie(notices.COOKIE) is None


def test_a_form_that_was_not_taken_is_shown_once(client):
    plain = text(client)
    refused = client.post(f"{PAGE}/count", data={"point": "chest", "count": "many", "of": ""})
    assert refused.status_code == 422
    assert text(client) == plain


def test_a_kept_page_is_remembered_as_seen_and_shows_nothing_of_what_was_seen_before(device, store, rendered):
    one, other = device(), device()
    page = text(one)
    other.set_cookie(views.SEEN_COOKIE, "grey_pullover:00000000.elsewhere:11111111")
    assert text(other) == page
    assert len(rendered) == 1
    seen = [client.get_cookie(views.SEEN_COOKIE).value for client in (one, other)]
    assert seen[1] == f"elsewhere:11111111.{seen[0]}"
    assert "00000000" not in seen[1]


def test_the_next_day_it_is_rendered_anew(client, rendered, monkeypatch):
    text(client)

    class Tomorrow(date):
        @classmethod
        def today(cls):
            return date.today() + timedelta(days=1)

    monkeypatch.setattr(page_cache, "date", Tomorrow)
    text(client)
    assert len(rendered) == 2


def test_no_more_pages_are_kept_than_there_is_place_for(client, app, rendered):
    for number in range(MOST["page"] + 3):
        text(client, f"{PAGE}?n={number}")
    assert app.extensions["fitcheck"].cache.count("page") == MOST["page"]
    text(client, f"{PAGE}?n={MOST['page'] + 2}")
    assert len(rendered) == MOST["page"] + 3
    text(client, f"{PAGE}?n=0")
    assert len(rendered) == MOST["page"] + 4


def test_a_make_that_is_gone_is_not_answered_from_before(client, store):
    text(client)
    store.delete("makes", "grey_pullover", store.get("makes", "grey_pullover").revision)
    assert client.get(PAGE).status_code == 404
    store.bring_back("makes", "grey_pullover")
    assert client.get(PAGE).status_code == 200
