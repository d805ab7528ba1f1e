"""What can ruin a piece, or is to be minded of who wears it, stands open beside the deed: page, command, API."""

from __future__ import annotations

import html
import json
import re

import pytest

from fitcheck.cli import main
from tests.invented import report_of
from tests.webui.conftest import DEMO
from tests.worked.truth import BODY, counted, household, lengths, piece, swatch

WOOL = "Wool felts: wash it cool and still, by its care label."
ACRYLIC = "Steam ruins acrylic for good: no iron, no steamer."
STEAMED = "This piece was steamed, and steam ruins acrylic"
CHILD = "Children’s wear: keep the local rules on cords and buttons; the neck must pass the head."


def open_part(client, address: str) -> str:
    """What is to be read of a page while nothing that folds is unfolded."""
    page = client.get(address).get_data(as_text=True)
    page = re.sub(r"<details.*?</details>", " ", page, flags=re.S)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def acrylic(blocking: str) -> dict:
    """A file with an acrylic back that was finished so, beside a swatch finished alike."""
    stages = [{"kind": "blocked", "blocking": blocking}]
    back = piece("back", counted(BODY), lengths(BODY), stage=stages[0])
    beside = swatch()
    beside["stages"][-1]["blocking"] = blocking
    return household([back], numbers=lengths({"chest": 112, "hem": 108}), swatches=[beside], fibre="acrylic")


@pytest.fixture
def typed(tmp_path):
    """Writes a household file and gives its path."""

    def write(document: dict) -> str:
        path = tmp_path / "typed.json"
        path.write_text(json.dumps(document))
        return str(path)

    return write


def test_wool_that_is_to_be_washed_is_warned_of_felting_beside_that_deed(client, ask):
    assert report_of("grey_unwashed").recommendation.reason == "wash_and_block"
    assert WOOL in open_part(client, "/makes/grey_unwashed")
    assert WOOL in ask("GET", "/makes/grey_unwashed/verdict")[1]["headline"]
    # Where nothing is washed it stands behind the answer, once.
    assert WOOL not in open_part(client, "/makes/grey_pullover")
    assert html.unescape(client.get("/makes/grey_pullover").get_data(as_text=True)).count(WOOL) == 1


def test_a_steamed_piece_and_a_steamed_swatch_of_acrylic_are_minded_whatever_the_deed_is(store, client, ask):
    store.import_bundle(json.dumps(acrylic("steamed")).encode())
    for told in (open_part(client, "/makes/pullover"), ask("GET", "/makes/pullover/verdict")[1]["headline"]):
        assert STEAMED in told
        assert "A swatch was steamed" in told


def test_the_command_says_once_what_the_page_says_open(typed, capsys):
    path = typed(acrylic("steamed"))
    for options in ([], ["--all"]):
        main(["report", path, *options])
        told = " ".join(capsys.readouterr().out.split())
        assert told.count(STEAMED) == 1
    main(["report", typed(acrylic("patted")), "--all"])
    assert STEAMED not in capsys.readouterr().out


def test_where_somebody_says_how_a_piece_was_blocked_it_stands_too(client):
    asked = open_part(client, "/makes/grey_pullover/walk?begin=1")
    assert WOOL in asked
    assert ACRYLIC not in asked


def test_what_a_child_wears_is_minded_in_the_answer_and_where_the_neck_is_sewn(client, ask, typed, capsys):
    assert CHILD in open_part(client, "/makes/childs_school_pullover")
    assert CHILD in open_part(client, "/makes/childs_school_pullover/rest/seams")
    assert CHILD in ask("GET", "/makes/childs_school_pullover/verdict")[1]["headline"]
    assert ask("GET", "/makes/childs_school_pullover/seams")[1]["cautions"] == ["children"]
    main(["seams", typed(DEMO), "--make", "childs_school_pullover"])
    assert CHILD in " ".join(capsys.readouterr().out.split())
    assert CHILD not in open_part(client, "/makes/grey_pullover/rest/seams")
