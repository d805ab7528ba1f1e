"""`fitcheck rest`, `sheet`, `seams` and `yarn`: laid out within the columns, or data and nothing else.

They are tried on the invented household's makes.
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

import fitcheck
from fitcheck.cli import main
from fitcheck.cli.rest import PIECES
from fitcheck.knitting.replay import replay
from fitcheck.knitting.written import read_sheet
from fitcheck.records.files import open_household
from fitcheck.records.sheet_kinds import SHEET_KINDS
from tests.commands_once import worked_out_once
from tests.invented import in_turn
from tests.outlawed import NEVER

DEMO: bytes = (files("demo_garments") / "household.json").read_bytes()
MAKES = [make["id"] for make in json.loads(DEMO)["makes"]]
COMMANDS = (("rest",), ("seams",), ("yarn",), ("sheet", "front"), ("sheet", "neck_band"))


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("COLUMNS", raising=False)
    path = tmp_path / "household.json"
    path.write_bytes(DEMO)
    return path


@pytest.fixture(scope="module")
def of_one_file() -> Iterator[None]:
    """All commands are asked about a copy of the invented household, wherever it lies."""
    with worked_out_once():
        yield


@pytest.fixture
def say(of_one_file: None, file: Path, capsys: pytest.CaptureFixture[str]) -> Any:
    def said(command: str, *more: str, make: str = "grey_pullover") -> tuple[int, str, str]:
        code = main([command, str(file), *more, "--make", make])
        out, err = capsys.readouterr()
        return code, out, err

    return said


def test_the_rest_begins_with_what_to_cast_on_and_has_every_count(say: Any) -> None:
    code, out, err = say("rest")
    assert (code, err) == (0, "")
    data = json.loads(say("rest", "--json")[1])
    assert data["next"] == "front"
    assert out.startswith("Cast on the front: ")
    for piece in data["pieces"]:
        for count in piece["counts"].values():
            assert re.search(rf" {count['count']} (st|rows)\b", out), count
    assert "\nSeams\n-----\n" in out
    assert "\nYarn\n----\n" in out


def test_a_make_without_an_answer_says_why_and_has_no_table(say: Any) -> None:
    code, out, _ = say("rest", make="moss_first")
    assert (code, out.splitlines()) == (0, ["Everything is knitted.", "The sweater is finished."])
    assert "Seams" not in out
    assert json.loads(say("rest", "--json", make="moss_first")[1])["why"]["code"] == "finished"


def test_every_seam_stands_with_both_its_sides_in_the_order_of_making_up(say: Any) -> None:
    out = say("seams")[1]
    assert re.findall(r"^\d  (.*): ", out, re.MULTILINE) == [
        "Right shoulder",
        "Neck band",
        "Left shoulder and the band’s ends",
        "Two armholes",
        "Two underarms",
        "Two side seams",
        "Two sleeve seams",
    ]
    data = json.loads(say("seams", "--json")[1])
    assert [seam["key"] for seam in data["seams"]] == ["shoulder", "armhole", "underarm", "side", "sleeve"]
    side = data["seams"][3]
    assert (side["join"]["edge"]["rows"], side["ribs"][0]["mm"]) == (108, 60.0)
    assert "back   6.0 cm of rib + 108 rows, 40.0 cm\n   front  6.0 cm of rib + 108 rows, 40.1 cm" in out


@pytest.mark.parametrize(("make", "edges"), [("grey_pullover", ["neck"]), ("grey_cardigan", ["neck", "front"])])
def test_the_stitches_of_a_band_are_those_of_its_runs_in_words_as_in_the_data(
    say: Any, make: str, edges: list[str]
) -> None:
    out, bands = say("seams", make=make)[1], json.loads(say("seams", "--json", make=make)[1])["bands"]
    assert [band["edge"] for band in bands] == edges
    for band in bands:
        picked = band["picked"]
        assert picked["stitches"] == sum(run["stitches"] for run in picked["runs"])
        assert re.search(rf"^Picking up .* band: {picked['stitches']} stitches$", out, re.MULTILINE)
        assert f"{band['picked']['stitches']} stitches, {band['rows']} rows" in out
        assert f"Hang them on needles {' to '.join(picked['needles'])}. Knit {band['rows']} rows" in out
        for run in picked["runs"]:
            assert re.search(rf"  [a-e]  .*, {run['stitches']}( of {run['of']} rows)?\.", out), run


def test_the_yarn_says_whether_it_lasts_and_what_each_piece_takes(say: Any) -> None:
    out, data = say("yarn")[1], json.loads(say("yarn", "--json")[1])["yarn"]
    assert out.startswith("The yarn lasts, ")
    assert f"{round(data['need'])} g to knit" in out
    assert "\nPer piece\n" in out


def test_a_sheet_as_data_passes_the_replay_and_its_table_has_the_same_lines(say: Any) -> None:
    sheet = read_sheet(say("sheet", "front", "--json")[1].encode())
    assert not replay(sheet, needles=sheet.head.bed or 250, ends=sheet.ends, drops=sheet.drops).faults
    table = list(csv.DictReader(io.StringIO(say("sheet", "front", "--csv")[1])))
    assert [row["act"] for row in table] == [line.act for line in sheet.unfolded()]
    out = say("sheet", "front")[1]
    for row in table:
        if row["counter"]:
            assert re.search(rf"\b{row['counter']}\b", out), row


def test_a_sheet_says_how_often_its_piece_is_knitted(say: Any) -> None:
    assert say("sheet", "front")[1].startswith("The front\n")
    assert say("sheet", "sleeve")[1].startswith("Two sleeves\n")


def test_every_kind_of_sheet_can_be_asked_for() -> None:
    assert set(PIECES) == set(SHEET_KINDS)


def test_a_band_is_printed_with_its_runs_and_knitted_through_by_the_command(
    say: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, out, err = say("sheet", "front_band", make="grey_cardigan")
    assert (code, err) == (0, "")
    assert out.startswith("Front band\n")
    assert "Rib at the hem, 16. Evenly.\n" in out
    assert out.count("Hang 149 loops") == 2
    written = tmp_path / "band.json"
    written.write_text(say("sheet", "front_band", "--json", make="grey_cardigan")[1], encoding="utf-8")
    assert main(["replay", str(written)]) == 0
    assert "In the end: first band 149 and second band 149." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("piece", "make", "why"),
    [
        ("back", "grey_pullover", "knitted"),
        ("side_panel", "grey_pullover", "no such piece"),
        ("hem_band", "grey_pullover", "no such piece"),
        ("neck_band", "grey_miscounted", "decided"),
        ("front", "grey_miscounted", "decided"),
        ("front", "moss_first", "finished"),
    ],
)
def test_where_there_is_no_sheet_the_reason_stands_on_stderr(say: Any, piece: str, make: str, why: str) -> None:
    code, out, err = say("sheet", piece, make=make)
    assert (code, out) == (1, "")
    assert why in err


@pytest.mark.parametrize("make", in_turn(MAKES))
def test_every_make_is_said_within_the_columns_in_words_and_as_data_alone(
    say: Any, make: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    for command in COMMANDS:
        code, out, err = say(*command, make=make)
        assert code == (1 if err else 0)
        assert [line for line in out.splitlines() if len(line) > 60] == []
        lower = f" {out} {err} ".lower()
        assert not [word for word in NEVER if re.search(rf"\b{word}", lower)]
        code, out, _ = say(*command, "--json", make=make)
        assert (json.loads(out) is not None) if code == 0 else not out


def test_the_makes_are_those_of_the_file_and_one_must_be_named(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert len(open_household(DEMO).makes) == len(MAKES)
    for command in COMMANDS:
        assert main([command[0], str(file), *command[1:]]) == 1
        assert "Which make?" in capsys.readouterr().err


@pytest.mark.parametrize("make", [MAKES[0], "rust_pullover", "moss_first"])
def test_the_rest_from_the_door_prints_and_writes_what_the_command_does(file: Path, say: Any, make: str) -> None:
    rest = fitcheck.the_rest(file, make=make)
    assert str(rest) == say("rest", make=make)[1]
    assert rest.to_json(indent=2) + "\n" == say("rest", "--json", make=make)[1]
    assert rest.to_data() == json.loads(rest.to_json())
    assert rest._repr_html_() == f"<pre>{html.escape(str(rest))}</pre>"


def test_the_rest_from_the_door_is_in_the_unit_of_its_file(file: Path) -> None:
    file.write_text(file.read_text(encoding="utf-8").replace('"unit": "cm"', '"unit": "mm"', 1), encoding="utf-8")
    assert "gives, mm" in str(fitcheck.the_rest(file, make="rust_pullover"))


def test_the_rest_from_the_door_has_the_sheet_of_each_piece_to_come(file: Path, say: Any) -> None:
    rest = fitcheck.the_rest(file, make="rust_pullover")
    for kind in (piece.kind for piece in rest.answer.pieces):
        assert rest.sheet(kind).to_csv() == say("sheet", kind, "--csv", make="rust_pullover")[1]


def test_the_door_of_the_rest_asks_which_make_is_meant(file: Path) -> None:
    with pytest.raises(fitcheck.FitcheckError, match="rust_pullover"):
        fitcheck.the_rest(file)


def judged_by_overhangs() -> dict[str, Any]:
    """A back that was laid on a garment and judged, of which nobody counted a stitch."""
    overhangs = {"shoulder_width": "-0.8", "chest": "+1.1", "armhole_depth": "level"}
    back = {"id": "back", "piece": "back", "stages": [{"kind": "blocked", "overhangs": overhangs}]}
    return {"fitcheck": 4, "unit": "cm", "makes": [{"id": "plain", "name": "Plain pullover", "pieces": [back]}]}


def test_a_judged_back_without_a_count_is_asked_for_stitches_and_not_for_its_answer(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "back.json"
    file.write_text(json.dumps(judged_by_overhangs()), encoding="utf-8")
    assert main(["rest", str(file)]) == 0
    assert capsys.readouterr().out == (
        "Count stitches and rows on the back, or measure a swatch.\nCannot say: the size of a stitch is not known.\n"
    )
    assert main(["sheet", str(file), "front"]) == 1
    assert "the size of a stitch is not known" in capsys.readouterr().err


def test_of_a_counted_back_only_what_is_lacking_is_asked_for_and_a_doubted_count_first(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = {"chest": "54", "hem": "53.5", "shoulder_width": "41", "armhole_depth": "22", "neck_width": "18"}
    household = judged_by_overhangs()
    household["garments"] = [{"id": "g", "name": "jumper", "occasions": [{"id": "o", "readings": wanted}]}]
    make = household["makes"][0] | {"id": "counted", "fits": {"garment": "g", "occasion": "o"}}
    back = make["pieces"][0]
    counts = {"chest": 110, "hem": 110, "shoulder_width": 86, "armhole_depth": 60}
    readings = {"chest": "52.1", "hem": "52", "shoulder_width": "40.6", "armhole_depth": "22"}
    one_length = back | {"counts": counts, "stages": [{"kind": "blocked", "readings": readings}]}
    file = tmp_path / "counted.json"
    file.write_text(json.dumps(household | {"makes": [make | {"pieces": [one_length]}]}), encoding="utf-8")
    assert main(["rest", str(file)]) == 0
    assert capsys.readouterr().out == (
        "Read two lengths of the back, and of its garment; count their rows, or measure a\nswatch.\n"
        "Cannot say: the height of a row is not known.\n"
    )
    doubted = one_length | {"counts": counts | {"neck_width": 36, "to_underarm": 110}}
    doubted["stages"] = [{"kind": "blocked", "readings": readings | {"neck_width": "18", "to_underarm": "40"}}]
    file = tmp_path / "doubted.json"
    file.write_text(
        json.dumps(household | {"makes": [make | {"id": "doubted", "pieces": [doubted]}]}), encoding="utf-8"
    )
    assert main(["rest", str(file)]) == 0
    assert capsys.readouterr().out.startswith("First the answer, then the counts.\n")


def narrow_wool_back() -> dict[str, Any]:
    """A wool back that is narrow by what a stretch can give: it is to be blocked again."""
    numbers = {"chest": "52.4", "hem": "50.4", "shoulder_width": "38.6", "armhole_depth": "21.6", "to_underarm": "36.8"}
    counts = {"chest": 138, "hem": 134, "shoulder_width": 106, "neck_width": 48, "armhole_depth": 86}
    tape = {"chest": 49.9, "hem": 48.4, "shoulder_width": 38.2, "armhole_depth": 21.6, "to_underarm": 36.6}
    readings = {
        key: [{"text": f"{cm + more:.1f}", "laying": laying} for laying, more in enumerate((0, 0.1, 0), start=1)]
        for key, cm in tape.items()
    }
    back = {
        "id": "back",
        "piece": "back",
        "dial": "6",
        "counts": counts | {"to_underarm": 145},
        "stages": [{"kind": "blocked", "readings": readings}],
    }
    planned = {"front": {"chest": 138}, "sleeve": {"upper_arm": 96, "cuff": 52}}
    make = {"id": "narrow", "name": "Narrow pullover", "yarn": "wool", "machine": "bed", "pieces": [back]}
    return {
        "fitcheck": 4,
        "unit": "cm",
        "yarns": [{"id": "wool", "name": "wool", "fibres": [{"fibre": "wool", "percent": 100}]}],
        "machines": [{"id": "bed", "name": "bed", "needles": 180}],
        "makes": [make | {"fits": {"numbers": numbers}, "planned": planned}],
    }


def test_a_piece_that_is_blocked_again_comes_before_the_one_that_answers_to_it() -> None:
    rest = fitcheck.the_rest(narrow_wool_back())
    assert rest.answer.first == "block_again"
    printed = " ".join(str(rest).split())
    assert printed.startswith("First block the piece on the table again, and read it. As it is expected, then cast on")
    assert re.search(r"what that is worth, in works of a back\..* \d\.\d\d of a back\..* \d+\.\d backs\.", printed)


def test_a_seam_that_cannot_be_said_names_the_counts_that_are_lacking(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    household = json.loads(DEMO)
    make = next(make for make in household["makes"] if make["id"] == "rust_pullover")
    for key in ("neck_width", "to_underarm", "body_length"):
        del make["pieces"][0]["counts"][key]
    make["id"], household["taps"] = "uncounted", []
    file = tmp_path / "household.json"
    file.write_text(json.dumps(household), encoding="utf-8")
    assert main(["seams", str(file), "--make", "uncounted"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "the back has no count of its length to underarm and neck width" in said


def test_what_cannot_hold_together_stands_with_its_ways_out(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    given = json.loads(file.read_bytes())
    for make in given["makes"]:
        make |= {"id": "grey_odd", "multiple": 6, "balance": 1} if make["id"] == "grey_pullover" else {}
    file.write_text(json.dumps(given), encoding="utf-8")
    assert main(["rest", str(file), "--make", "grey_odd"]) == 0
    said = re.sub(r"\s+", " ", capsys.readouterr().out)
    assert "Lift the repeats. 126 at the chest. The last repeat stops 1 stitch short of the seam." in said
    assert "Why they cannot" in said
    assert "What binds" not in said


def test_what_binds_stands_under_the_counts(say: Any) -> None:
    _, out, _ = say("rest")
    assert "What binds" in out


def test_a_piece_on_the_machine_is_gone_on_with_at_its_row(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rest", str(file), "--make", "rust_pullover"]) == 0
    assert capsys.readouterr().out.startswith("Go on with the front: row 131.\n")
    assert str(fitcheck.the_rest(file, make="rust_pullover")).startswith("Go on with the front: row 131.\n")


def test_a_piece_on_the_machine_whose_counts_became_others_is_kept_or_knit_anew(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    household = json.loads(DEMO)
    make = next(make for make in household["makes"] if make["id"] == "rust_pullover")
    make["id"] = household["taps"][0]["make"] = "rust_otherwise"
    make["sheets"][-1]["counts"]["chest"] = 122
    make["sheets"][-1]["digest"] = "0" * 64
    file.write_text(json.dumps(household), "utf-8")
    assert main(["rest", str(file), "--make", "rust_otherwise"]) == 0
    printed = capsys.readouterr().out
    assert printed.startswith("Keep 122, or knit 126? The front is at row 131.\n")
    assert "Keep 122. The sheet on the needles goes on as it is." in printed
