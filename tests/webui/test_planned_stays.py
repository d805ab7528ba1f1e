"""A planned count that is no whole repeats stays, and every surface that lists the counts for the rest says so."""

from __future__ import annotations

import html
import re

import pytest

from fitcheck.records.households import FORMAT
from fitcheck.reports.the_rest import the_rest
from fitcheck.terminal.the_rest import printed_rest
from tests.worked.test_worked import MAKES

AT = "/makes/pullover"
SAID = "112 at the chest stays as planned. It is no whole repeats: 110 and 120 are."
TABLE = {
    "a_front_planned_with_no_whole_repeats": (112, [("hem", 108, 100, 110), ("chest", 112, 110, 120)]),
    "a_front_that_moves_from_no_whole_repeats": (116, []),
    "a_front_planned_with_no_whole_repeats_on_purpose": (112, []),
}
"""Stitches of the front's chest, and its counts that are no whole repeats, with those beside them that are."""


def said(text: str) -> bool:
    return SAID in " ".join(html.unescape(re.sub(r"<[^>]*>", " ", text)).split())


@pytest.mark.parametrize(("make", "chest", "broken"), [(make, *row) for make, row in TABLE.items()], ids=TABLE)
def test_command_api_and_page_say_alike_which_planned_count_is_no_whole_repeats(make, chest, broken, client, ask):
    file = MAKES[make].file
    assert ask("POST", "/bundle?how=merge", {**file, "fitcheck": FORMAT})[0] == 200
    answer = ask("GET", f"{AT}/rest")[1]
    assert answer["pieces"][0]["counts"]["chest"]["count"] == chest
    of_front = [unmet for unmet in answer["broken"] if unmet["piece"] == "front"]
    assert [(unmet["key"], unmet["count"], unmet["below"], unmet["above"]) for unmet in of_front] == broken
    page, command = client.get(f"{AT}/rest").get_data(as_text=True), printed_rest(the_rest(file).answer)
    for text in (page, command):
        assert f"{chest} at the chest" in text
        assert said(text) is bool(broken)
