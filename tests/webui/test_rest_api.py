"""The rest of the sweater over the API: the command's figures, sheets, and parts of a make written by themselves."""

from __future__ import annotations

import json

import pytest

from fitcheck.cli import main
from fitcheck.knitting.replay import replay
from fitcheck.knitting.written import read_sheet
from tests.invented import in_turn
from tests.webui.conftest import DEMO
from tests.webui.test_openapi import valid

MAKE = "/makes/grey_pullover"
ALL = [make["id"] for make in DEMO["makes"]]


@pytest.mark.parametrize("make", in_turn(ALL))
def test_every_answer_is_as_described(ask, make):
    for path, name in (
        ("rest", "TheRest"),
        ("seams", "Seams"),
        ("yarn", "YarnOfRest"),
        ("sheets/front", "SheetOf"),
        ("sheets/sleeve", "SheetOf"),
        ("sheets/neck_band", "SheetOf"),
    ):
        status, answer, _ = ask("GET", f"/makes/{make}/{path}")
        assert status == 200
        valid(answer, name)


def test_the_figures_are_those_of_the_command(ask, tmp_path, capsys):
    file = tmp_path / "demo.json"
    file.write_text(json.dumps(DEMO), encoding="utf-8")
    assert main(["rest", str(file), "--json", "--make", "grey_pullover"]) == 0
    said = json.loads(capsys.readouterr().out)
    answer = ask("GET", f"{MAKE}/rest")[1]
    for name in ("next", "pieces", "drawn", "seams", "yarn"):
        assert answer[name] == said[name]
    assert ask("GET", f"{MAKE}/seams")[1]["answer"] == said["seams"]
    assert ask("GET", f"{MAKE}/yarn")[1]["answer"] == said["yarn"]


def test_a_sheet_is_knitted_through_and_its_table_has_its_lines(ask, client):
    answer = ask("GET", f"{MAKE}/sheets/front")[1]["answer"]
    sheet = read_sheet(json.dumps(answer).encode())
    assert not replay(sheet, needles=sheet.head.bed or 250).faults
    table = client.get(f"/api/v1{MAKE}/sheets/front/table.csv")
    assert table.mimetype == "text/csv"
    assert len(table.text.splitlines()) == 1 + len(answer["lines"])
    assert ask("GET", f"{MAKE}/sheets/back")[1]["answer"]["code"] == "knitted"
    assert ask("GET", f"{MAKE}/sheets/hat")[0] == 422


def test_a_band_has_its_sheet_as_data_as_a_table_and_drawn_as_the_command_has_it(ask, client, tmp_path, capsys):
    file = tmp_path / "demo.json"
    file.write_text(json.dumps(DEMO), encoding="utf-8")
    answer = ask("GET", f"{MAKE}/sheets/neck_band")[1]["answer"]
    assert main(["sheet", str(file), "neck_band", "--json", "--make", "grey_pullover"]) == 0
    assert json.loads(capsys.readouterr().out) == answer
    assert not replay(read_sheet(json.dumps(answer).encode()), needles=answer["head"]["bed"]).faults
    assert main(["sheet", str(file), "neck_band", "--csv", "--make", "grey_pullover"]) == 0
    assert client.get(f"/api/v1{MAKE}/sheets/neck_band/table.csv").text == capsys.readouterr().out
    drawn = client.get(f"/api/v1{MAKE}/sheets/neck_band/drawing.svg")
    assert (drawn.status_code, drawn.mimetype) == (200, "image/svg+xml")
    assert "Neck edge laid out flat: back neck 36, right side 23, front centre 14 and left side 23." in drawn.text
    assert client.get(f"/api/v1{MAKE}/sheets/hem_band/drawing.svg").status_code == 404


def test_a_shaping_is_one_change_that_the_seams_see_and_taking_it_away_is_another(ask):
    before = ask("GET", MAKE)[1]
    match = {"If-Match": str(before["revision"])}
    at = f"{MAKE}/pieces/back/shaping"
    line = {"armhole": "6 at once, then 2 every row, 5 every 2nd"}
    status, after, _ = ask("PUT", at, line, headers=match)
    assert (status, after["revision"]) == (200, before["revision"] + 1)
    assert after["record"]["pieces"][0]["shaping"]["armhole"]
    assert ask("PUT", at, line, headers=match)[0] == 409
    status, again, _ = ask("DELETE", at, headers={"If-Match": str(after["revision"])})
    assert (status, again["record"]) == (200, before["record"])


def test_grams_and_choices_are_written_from_a_revision_and_the_answer_follows(ask):
    revision = ask("GET", MAKE)[1]["revision"]
    stages = ask("GET", MAKE)[1]["record"]["pieces"][0]["stages"]
    weighed = next(number for number, stage in enumerate(stages, start=1) if "grams" in stage)
    was = ask("GET", f"{MAKE}/yarn")[1]["answer"]["need"]
    at = f"{MAKE}/pieces/back/stages/{weighed}/grams"
    status, after, _ = ask("PUT", at, {"grams": 190}, headers={"If-Match": str(revision)})
    assert (status, after["record"]["pieces"][0]["stages"][weighed - 1]["grams"]) == (200, 190)
    assert ask("GET", f"{MAKE}/yarn")[1]["answer"]["need"] > was
    match = {"If-Match": str(after["revision"])}
    status, after, _ = ask("PUT", f"{MAKE}/choices", {"inset": 2, "first_side": "right"}, headers=match)
    assert (status, after["record"]["choices"]) == (200, {"inset": 2, "first_side": "right"})
    assert all(line.get("inset", 2) == 2 for line in ask("GET", f"{MAKE}/sheets/front")[1]["answer"]["lines"])


@pytest.mark.parametrize(
    ("path", "body", "status"),
    [
        ("pieces/back/shaping", {"armhole": "many at once"}, 422),
        ("pieces/back/shaping", {"elbow": "3 at once"}, 422),
        ("pieces/none/shaping", {}, 404),
        ("pieces/back/stages/99/grams", {"grams": 100}, 404),
        ("pieces/back/stages/0/grams", {"grams": 100}, 422),
        ("pieces/back/stages/1/grams", {"grams": -1}, 422),
        ("choices", {"inset": 4}, 422),
    ],
)
def test_what_is_wrong_is_refused_and_nothing_is_written(ask, path, body, status):
    before = ask("GET", MAKE)[1]
    assert ask("PUT", f"{MAKE}/{path}", body, headers={"If-Match": str(before["revision"])})[0] == status
    assert ask("PUT", f"{MAKE}/{path}", body)[0] == 428
    assert ask("GET", MAKE)[1] == before


def test_all_pieces_and_one_of_them_come_as_drawings(client):
    for path, shown in (("rest", "front"), ("sheets/front", "126")):
        drawn = client.get(f"/api/v1{MAKE}/{path}/drawing.svg")
        assert (drawn.status_code, drawn.mimetype) == (200, "image/svg+xml")
        assert drawn.text.startswith("<?xml")
        assert f">{shown}</text>" in drawn.text
    assert client.get(f"/api/v1{MAKE}/rest/drawing.svg?unit=in").text.count(" in</text>") == 1
    assert client.get(f"/api/v1{MAKE}/sheets/back/drawing.svg").status_code == 404
    assert client.get("/api/v1/makes/moss_first/rest/drawing.svg").status_code == 404
    assert client.get(f"/api/v1{MAKE}/rest/drawing.svg?unit=ell").status_code == 422
