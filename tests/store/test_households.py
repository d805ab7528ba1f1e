"""Lists page by page, the household kept between calls, and one make out of many."""

from __future__ import annotations

import pytest

from fitcheck.store.faults import NotFound
from tests.store.conftest import garment


@pytest.fixture
def wardrobe(store):
    store.put("wearers", "ida", {"name": "Ida"}, 0)
    store.put("wearers", "ole", {"name": "Ole"}, 0)
    for number in range(60):
        name = f"{'Ärmel' if number % 7 == 0 else 'pullover'} {number:02}"
        more = {"wearer": "ida" if number % 3 else "ole", "fabric": "wool_100%" if number == 5 else ""}
        store.put("garments", f"g{number}", garment(name, **more), 0)
    return store


def all_pages(store, **asked):
    keys, after = [], None
    while True:
        page = store.list("garments", after=after, **asked)
        keys += [one.key for one in page.records]
        after = page.after
        if after is None:
            return keys


def test_the_pages_together_are_the_whole_list_by_name(wardrobe):
    names = {one.id: one.name.casefold() for one in wardrobe.household().garments}
    wanted = sorted(names, key=lambda key: (names[key], key))
    assert all_pages(wardrobe) == wanted
    assert all_pages(wardrobe, limit=7) == wanted
    first = wardrobe.list("garments")
    assert len(first.records) == 24
    assert first.after == first.records[-1].key


def test_a_list_of_one_wearer(wardrobe):
    wanted = {one.id for one in wardrobe.household().garments if one.wearer == "ole"}
    assert set(all_pages(wardrobe, wearer="ole", limit=6)) == wanted
    assert all_pages(wardrobe, wearer="nobody") == []


def test_text_is_found_whatever_the_letters_and_signs_are_themselves(wardrobe):
    assert len(all_pages(wardrobe, text="ÄRMEL")) == 9
    assert all_pages(wardrobe, text="wool_100%") == ["g5"]
    assert all_pages(wardrobe, text="l_1") == ["g5"]
    assert all_pages(wardrobe, text="%") == ["g5"]
    assert all_pages(wardrobe, text="  ") == all_pages(wardrobe)
    assert all_pages(wardrobe, text="' or 1=1 --") == []


def test_a_page_after_a_record_that_was_renamed_or_deleted_goes_on(wardrobe):
    page = wardrobe.list("garments", limit=10)
    wardrobe.delete("garments", page.after, 1)
    assert [one.key for one in wardrobe.list("garments", limit=10, after=page.after).records] == all_pages(wardrobe)[
        9:19
    ]
    with pytest.raises(NotFound):
        wardrobe.list("garments", after="no-such")
    with pytest.raises(NotFound):
        wardrobe.list("socks")


def test_a_list_is_read_from_an_index_and_sorts_nothing(wardrobe):
    """24 of 5,000 cost what 24 of 24 cost, because nothing beyond the page is read."""
    asked = []
    with wardrobe.database.outside_transactions() as connection:
        connection.set_trace_callback(asked.append)
    wardrobe.list("garments")
    wardrobe.list("garments", after="g3")
    wardrobe.list("garments", wearer="ida", after="g3")
    with wardrobe.database.outside_transactions() as connection:
        connection.set_trace_callback(None)
        queries = [one for one in asked if one.startswith("select key, name")]
        plans = [" ".join(row[3] for row in connection.execute(f"explain query plan {one}")) for one in queries]
    assert len(plans) == 3
    assert all("USING INDEX records_" in plan and "B-TREE" not in plan for plan in plans)
    assert "records_of_wearer (kind=? AND deleted=? AND wearer=? AND (sort,key)>(?,?))" in plans[2]


def test_the_household_is_the_same_object_until_something_changes(wardrobe):
    first = wardrobe.household()
    assert wardrobe.household() is first
    wardrobe.put("garments", "g1", {**wardrobe.get("garments", "g1").doc, "notes": "changed"}, 1)
    second = wardrobe.household()
    assert second is not first
    assert second.garments[1].notes == "changed"
    assert second.garments[2] is first.garments[2]
    assert first.garments[1].notes == ""


def test_a_refused_change_does_not_change_the_household(wardrobe):
    first = wardrobe.household()
    with pytest.raises(NotFound):
        wardrobe.bring_back("garments", "no-such")
    assert wardrobe.household() is first


def test_a_make_household_has_what_the_make_names_and_no_more(full):
    for number in range(5):
        full.put("garments", f"g{number}", garment(), 0)
        full.put("makes", f"m{number}", {"name": "m"}, 0)
    whole, small = full.household(), full.make_household("moss-sweater")
    assert [one.id for one in small.garments] == ["brown-pullover"]
    assert [one.id for one in small.makes] == ["moss-sweater", "grey-sweater"]
    for kind in ("wearers", "yarns", "machines", "swatches", "size_tables", "tape", "unit", "name", "notes"):
        assert getattr(small, kind) == getattr(whole, kind)
    assert [one.id for one in full.make_household("grey-sweater").garments] == []
    with pytest.raises(NotFound):
        full.make_household("no-such")


def test_makes_that_learn_from_one_another_do_not_go_round_for_ever(store):
    finished = {"name": "x", "finished": "2025-01-01"}
    store.put("makes", "a", finished, 0)
    store.put("makes", "b", {**finished, "learns_from": ["a"]}, 0)
    store.put("makes", "a", {**finished, "learns_from": ["b"]}, 1)
    assert {one.id for one in store.make_household("a").makes} == {"a", "b"}


def test_some_records_by_key_are_as_they_are_now_and_the_household_shares_them(wardrobe):
    first = wardrobe.records("garments", ["g3", "g7", "nowhere"])
    assert {key: one.name for key, one in first.items()} == {"g3": "pullover 03", "g7": "Ärmel 07"}
    assert next(one for one in wardrobe.household().garments if one.id == "g3") is first["g3"]
    wardrobe.put("garments", "g3", garment("blue"), 1)
    wardrobe.delete("garments", "g7", 1)
    now = wardrobe.records("garments", ["g3", "g7"])
    assert {key: one.name for key, one in now.items()} == {"g3": "blue"}
    assert wardrobe.records("garments", []) == {}


def test_what_is_deleted_is_not_counted(wardrobe):
    assert (wardrobe.count("garments"), wardrobe.count("wearers"), wardrobe.count("makes")) == (60, 2, 0)
    wardrobe.delete("garments", "g7", 1)
    assert wardrobe.count("garments") == 59
