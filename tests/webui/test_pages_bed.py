"""How many needles the bed has is asked first where nobody named it, and the button leads to the machine."""

from __future__ import annotations

import re

import pytest

import fitcheck
from fitcheck.records.households import FORMAT
from fitcheck.reports.waits import waits_for
from tests.worked.test_worked import MAKES

AT = "/makes/pullover"


def shown(client, ask, key):
    assert ask("POST", "/bundle?how=merge", {**MAKES[key].file, "fitcheck": FORMAT})[0] == 200
    return client.get(AT).get_data(as_text=True)


def reason(ask):
    answer = ask("GET", f"{AT}/report")[1]
    return answer["recommendation"].get("reason", answer["first"] and answer["first"]["code"])


@pytest.mark.parametrize("key", ["how_many_needles_has_the_bed", "how_many_needles_before_the_back"])
def test_the_bed_is_asked_for_first_and_once(client, ask, key):
    page = shown(client, ask, key)
    assert re.search(r"<h1[^>]*>How many needles has the bed\?</h1>", page)
    (leads,) = re.findall(r'<a [^>]*href="([^"#]*)#machine"[^>]*>Name the machine', page)
    assert 'id="machine"' in client.get(leads).get_data(as_text=True)
    assert reason(ask) == "needles"
    stored = ask("GET", AT)[1]
    stored["record"]["machine"] = "bed"
    assert ask("PUT", AT, stored["record"], revision=stored["revision"])[0] == 200
    assert reason(ask) != "needles"
    assert "How many needles" not in client.get(AT).get_data(as_text=True)


def test_what_the_bed_is_asked_about_waits_for_the_machine_and_not_for_the_tape():
    made = MAKES["how_many_needles_has_the_bed"]
    assert waits_for(fitcheck.report(made.file)) == "knit"


def test_what_is_asked_about_the_bed_stands_beside_the_question(client, ask):
    """The front's counts are there to be seen, as they are if the bed holds them."""
    assert "116 instead of 112 at the chest" in shown(client, ask, "how_many_needles_has_the_bed")
    rest = ask("GET", f"{AT}/report")[1]["rest"]
    front = next(piece for piece in rest["pieces"] if piece["kind"] == "front")
    assert {count["key"]: count["now"] for count in front["counts"]}["chest"] == 116
