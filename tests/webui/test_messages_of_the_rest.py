"""What the rest cannot have: on the page, in the terminal and over the API one and the same sentence, with a way on."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest

from fitcheck.cli import main
from tests.webui import lent
from tests.webui.conftest import DEMO

Record = dict[str, Any]
Spoil = Callable[[Record, Record], None]


def few_rows(household: Record, make: Record) -> None:
    """A sleeve that is wanted as short as it is planned: a longer one would be counted anew."""
    make["planned"]["sleeve"]["sleeve_length"] = 56
    make["fits"]["numbers"] = {"sleeve_length": "24 cm"}


def even_armhole(household: Record, make: Record) -> None:
    """A sleeve is the first piece: no armhole is there that would say which of two odd ones."""
    (back,) = make["pieces"]
    knitted = {"cuff": 52, "upper_arm": 82, "sleeve_length": 166, "cap_height": 50}
    read = {"cuff": ["23.3", "23.2"], "upper_arm": ["36.7", "36.8"], "sleeve_length": ["58.3", "58.2"]}
    stage = {**back["stages"][-1], "readings": read}
    counts = {key: {"knitted": count} for key, count in knitted.items()}
    make["pieces"] = [{"id": "sleeve", "piece": "sleeve", "dial": back["dial"], "counts": counts, "stages": [stage]}]
    body = {key: count["knitted"] for key, count in back["counts"].items() if key != "shoulder_drop"}
    body |= {"armhole_depth": 70, "body_length": 186}
    make["planned"] = {"back": body, "front": dict(body)}


def short_cap(household: Record, make: Record) -> None:
    make["fits"]["numbers"] = {"upper_arm": "9 cm"}


def odd_repeats(household: Record, make: Record) -> None:
    make.update(multiple=6, balance=1)


def narrow_bed(household: Record, make: Record) -> None:
    for machine in household["machines"]:
        machine["needles"] = 120


MESSAGES: dict[str, tuple[str, Spoil, tuple[str, ...]]] = {
    "steps": (
        "grey_pullover",
        few_rows,
        (
            "Not possible: 15 steps on every row in 10 rows.",
            "None goes in beside the 10 that stay plain. Take 25 rows.",
        ),
    ),
    "armhole": (
        "grey_pullover",
        even_armhole,
        ("69 or 71?", "he shoulder would rest with the carriage at its own side."),
    ),
    "cap": (
        "blue_cotton_pullover",
        short_cap,
        ("No cap fits: the nearest is 32.0 % short.", "12 stitches more at the upper arm"),
    ),
    "demands": (
        "grey_pullover",
        odd_repeats,
        (
            "epeats of 6 + 1, both sides alike, equal shoulders and a neck as the back’s cannot hold together.",
            "hoose what to lift",
        ),
    ),
    "bed": ("grey_pullover", narrow_bed, ("122 needles at this dial; this bed has 120.",)),
}
"""The make, what spoils it, and what is said."""


QUICK = ("armhole", "bed")


@pytest.fixture(params=[pytest.param(key, marks=() if key in QUICK else pytest.mark.full) for key in MESSAGES])
def refused(request):
    """The key of a make of its own household, the household, and what is to be said of it."""
    key, spoil, said = MESSAGES[request.param]
    make = deepcopy(next(make for make in DEMO["makes"] if make["id"] == key))
    make.pop("size_table", None)
    make.pop("size", None)
    household = {**deepcopy(DEMO), "makes": [make], "taps": [], "size_tables": []}
    spoil(household, make)
    return key, json.dumps(household).encode(), said


def test_it_is_said_alike_on_the_page_in_the_terminal_and_over_the_api(refused, empty, tmp_path, capsys):
    key, raw, said = refused
    empty.import_bundle(raw)
    client = lent.lend(empty).test_client()
    page = html.unescape(re.sub(r"\s+", " ", re.sub("<[^>]+>", "", client.get(f"/makes/{key}/rest").text)))
    over_api = json.dumps(client.get(f"/api/v1/makes/{key}/rest").json, ensure_ascii=False)
    file = tmp_path / "household.json"
    file.write_bytes(raw)
    main(["rest", str(file)])
    printed = " ".join(capsys.readouterr().out.split())
    for sentence in said:
        assert sentence in page
        assert sentence in printed
        if "at this dial" not in sentence:  # a count that the bed holds back is figures there
            assert sentence in over_api
    if "at this dial" in said[0]:
        assert '"off_bed": {"needed": 122, "needles": 120}' in over_api


def test_an_armhole_that_became_odd_beside_a_knitted_one_says_why(client, store):
    stored = store.get("makes", "grey_pullover")
    document = deepcopy(stored.doc)
    document["planned"]["front"]["armhole_depth"] = 70
    store.put("makes", "grey_pullover", document, stored.revision)
    told = "Armhole of 70 rows: the shoulder would rest with the carriage at its own side. 71 are knitted."
    assert told in html.unescape(client.get("/makes/grey_pullover/rest").get_data(as_text=True))


def test_why_no_seam_has_an_answer_is_said_once_above_all_of_them(empty):
    make = deepcopy(next(make for make in DEMO["makes"] if make["id"] == "grey_pullover"))
    for key in ("size_table", "size"):
        make.pop(key)
    household = {**deepcopy(DEMO), "makes": [make], "taps": [], "size_tables": []}
    even_armhole(household, make)
    empty.import_bundle(json.dumps(household).encode())
    client = lent.lend(empty).test_client()
    page = client.get("/makes/grey_pullover/rest/seams").text
    assert "<h1>No seams yet.</h1>" in page
    assert page.count("the shoulder would rest with the carriage at its own side") == 1
    assert page.count("<span>cannot say</span>") == 7
    rest = client.get("/makes/grey_pullover/rest").text
    assert rest.count("69 or 71?") == 1  # its heading; not again at each piece
