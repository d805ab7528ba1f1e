"""While nothing can be written every page says so, with what to do: nobody types for nothing."""

from __future__ import annotations

import pytest

from fitcheck.store import Store
from fitcheck.words.deeds import ALLOW_WRITING, START_AGAIN
from tests.browser.pages_list import pages
from tests.webui import lent

FEW = ("/wardrobe", "/settings")
"""A room, and the way out; `full` looks at every page."""


def test_once_the_database_was_taken_away_every_page_says_to_start_again(store):
    client = lent.lend(store).test_client()
    for path in FEW:
        assert START_AGAIN not in client.get(path).text  # kept as it was rendered, and not shown any more
    store.path.rename(store.path.with_name("elsewhere.db"))
    for path in FEW:
        answer = client.get(path)
        assert (answer.status_code, answer.text.count(START_AGAIN)) == (200, 1), path


@pytest.mark.full
def test_where_it_is_only_read_every_page_says_to_allow_writing(store):
    every = {page.path for page in pages(store.household()) if page.form is None} - {"/api/v1/browse"}
    with Store.open_to_read(store.path) as read:
        client = lent.lend(read).test_client()
        answers = {path: client.get(path) for path in every}
    silent = [
        path
        for path, answer in answers.items()
        if answer.mimetype == "text/html" and answer.status_code == 200 and ALLOW_WRITING not in answer.text
    ]
    assert not silent


def test_a_form_that_is_refused_says_it_once(store):
    client = lent.lend(store).test_client()
    store.path.unlink()
    answer = client.post("/wardrobe/new", data={"name": "Blue jumper", "at_chest": "52.4"})
    assert answer.status_code == 503
    assert START_AGAIN not in answer.text
    assert "taken away or replaced" in answer.text
