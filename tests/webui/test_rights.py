"""What a device that may only measure may ask for stands in one table, and whatever has no entry is not for it."""

from __future__ import annotations

import pytest

from webui.api.table import OPERATIONS
from webui.rights import PAGES, RIGHTS, may, needed

MEASURED = {
    *("api.list_makes", "api.get_makes", "api.report", "api.verdict"),
    *("api.rest", "api.seams", "api.yarn", "api.sheet", "api.sheet_table", "api.rest_drawing", "api.sheet_drawing"),
    *("api.add_reading_makes", "api.set_aside_makes", "api.add_reading_garments", "api.set_aside_garments"),
    *("api.weigh", "api.begin_sheet", "api.add_tap", "api.progress"),
}
"""Operations of the API by which a make is read, a reading added or set aside, a stage weighed, a sheet begun and
tapped."""


def test_every_entry_is_a_page_or_an_operation_that_is_there(app):
    there = {rule.endpoint for rule in app.url_map.iter_rules()}
    assert set(RIGHTS) <= there
    assert {f"api.{operation.name}" for operation in OPERATIONS} <= set(RIGHTS)


def test_of_the_api_a_measuring_device_has_what_the_walk_and_the_sheet_need():
    assert {endpoint for endpoint, right in RIGHTS.items() if right == "measure"} - set(PAGES) == MEASURED


def test_what_has_no_entry_is_for_devices_that_may_do_everything(app):
    without = {rule.endpoint for rule in app.url_map.iter_rules()} - set(RIGHTS)
    assert "settings.settings" in without
    for endpoint in (*without, "a.page.to.come", None):
        assert needed(endpoint) == "everything"
        assert not may("measure", endpoint)
        assert may("everything", endpoint)


def test_nothing_that_a_measuring_device_may_send_deletes_or_takes_in(app):
    for rule in app.url_map.iter_rules():
        if may("measure", rule.endpoint):
            assert "DELETE" not in rule.methods
            assert not {"delete", "bring-back", "undo", "bundle", "settings"} & set(rule.rule.split("/"))


@pytest.mark.parametrize("has", ["measure", "everything"])
def test_a_code_is_made_by_no_device(has):
    assert not may(has, "devices.invite")
    assert may("here", "devices.invite")
