"""What an older file had set of the costs: said once on the make, kept or given up for the usual ones."""

from __future__ import annotations

import pytest

from fitcheck.store import Store
from tests import old
from tests.webui.lent import lend

MAKE = "/makes/moss-sweater"
SAID = "The costs that you had set were taken over"


@pytest.fixture(params=["database", "file"])
def store(request, tmp_path):
    path = tmp_path / "f.db"
    if request.param == "database":
        old.version_2(path)
    with Store.open(path) as opened:
        if request.param == "file":
            opened.import_bundle(old.FORMAT_1.read_bytes())
        yield opened


def page(store, address=MAKE):
    answer = lend(store).test_client().get(address)
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def costs(store):
    return store.get("makes", "moss-sweater").doc["costs"]


def test_the_page_of_an_old_make_says_what_became_of_its_costs(store):
    said = page(store)
    assert (
        f"{SAID}: ripping back, 0.50 before, costs the part that is ripped and 0.17 of a back more; "
        "knitting again, 0.90 before, costs the piece itself and 0.05 of a back more; "
        "other counts, 0.08 before, cost 0.08 of a back."
    ) in said
    assert SAID not in page(store, "/makes/grey-sweater")


@pytest.mark.parametrize(
    ("usual", "left"),
    [
        ("", {"measure": 0.05, "alter_hem": 0.2, "rip_extra": 0.167, "printed_counts": 0.08}),
        ("1", {"measure": 0.05, "alter_hem": 0.2}),
    ],
    ids=["kept", "the usual ones"],
)
def test_it_is_said_once_and_can_be_undone(store, usual, left):
    before = costs(store)
    client = lend(store).test_client()
    assert client.post(f"{MAKE}/costs", data={"usual": usual}).status_code == 303
    assert costs(store) == left
    revision = store.get("makes", "moss-sweater").revision
    assert SAID not in page(store)
    # Sent twice it is done once.
    assert client.post(f"{MAKE}/costs", data={"usual": "1"}).status_code == 303
    assert costs(store) == left
    store.undo("makes", "moss-sweater", revision)
    assert costs(store) == before
    assert SAID in page(store)
