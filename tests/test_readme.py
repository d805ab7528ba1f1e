"""The README is what people type: its files run, its table is the catalogue's, its fragments are taken.

All figures are invented.
"""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path
from typing import Any

import pytest

import demo_garments
from fitcheck.cli import main
from fitcheck.cli.parser import _parser
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.choices import Choices
from fitcheck.records.files import open_household
from fitcheck.records.households import Household
from fitcheck.records.points import POINTS
from fitcheck.records.questions import questions
from fitcheck.reports.shaped import report
from fitcheck.reports.shapes import Report
from fitcheck.terminal.in_short import printed_in_short

README = (Path(__file__).resolve().parent.parent / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```json\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
INLINE = [" ".join(found.split()) for found in re.findall(r"(?<!`)`([^`]+)`(?!`)", README)]


def whole() -> dict[str, Any]:
    """The complete example."""
    found: dict[str, Any] = json.loads(BLOCKS[1])
    return found


def test_there_is_a_least_file_and_a_whole_one() -> None:
    assert len(BLOCKS) == 2
    kinds = {"garments", "yarns", "swatches", "makes"}
    assert not json.loads(BLOCKS[0]).keys() & (kinds - {"makes"})
    assert whole().keys() >= kinds
    piece = whole()["makes"][0]["pieces"][0]
    assert piece["counts"]
    assert {one["laying"] for one in piece["stages"][0]["readings"]["chest"]} == {1, 2}


@pytest.mark.parametrize("text", BLOCKS)
def test_every_file_of_the_readme_runs_as_it_stands(
    text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    written = tmp_path / "file.json"
    written.write_text(text, encoding="utf-8")
    assert main(["check", str(written)]) == 0
    assert capsys.readouterr().out == "file.json: nothing to put right, nothing to ask.\n"
    assert main(["report", str(written)]) == 0
    assert "Points, in cm" in capsys.readouterr().out
    found = report(written)
    assert not isinstance(found.recommendation, CannotSay)
    assert found.points
    assert not found.refused


def test_the_first_answer_is_the_one_that_it_says() -> None:
    told = printed_in_short(report(json.loads(BLOCKS[0])))
    (deed, chance) = re.search(r"enough for a first answer: here to ([^,]+), (\d in \d+) that", README).groups()
    flat = " ".join(told.split())
    assert flat.startswith(f"{deed[0].upper()}{deed[1:]}.")
    assert f"Chance {chance} that every point that was read fits." in flat


def test_the_whole_file_is_read_whole() -> None:
    found: Report = report(whole())
    assert found.head.reference == "brown pullover"
    assert found.head.readings == 8
    assert {one.key for one in found.points} == set(whole()["makes"][0]["pieces"][0]["counts"])
    assert "small_sample" in found.cautions  # its swatch is one of the make's
    assert "steam_acrylic" not in found.cautions  # its yarn is wool


def test_what_it_says_about_what_a_make_must_fit_is_taken() -> None:
    told = [json.loads(f"{{{code}}}") for code in INLINE if code.startswith('"fits":')]
    assert len(told) == 2
    wanted = []
    for fits in told:
        changed = whole()
        changed["makes"][0] |= fits
        keys = set(fits["fits"]["numbers"])
        assert {one.key for one in report(changed).points if one.source == "numbers"} == keys
        chest = next(one for one in report(changed).points if one.key == "chest")
        assert chest.wanted is not None
        wanted.append(chest.wanted.value)
    assert wanted[0] == wanted[1]  # 54 flat is 108 round
    assert 540.0 < wanted[0] < 560.0  # and the seams swallow about a stitch at each edge


def test_its_readings_and_answers_are_taken() -> None:
    told = [json.loads(code) for code in INLINE if code.startswith('{"text"')]
    assert [sorted(one) for one in told] == [
        ["set_aside", "text"],
        ["laying", "look", "text"],
        ["confirmed", "text"],
    ]
    for reading in told:
        changed = whole()
        changed["makes"][0]["pieces"][0]["stages"][0]["readings"]["chest"].append(reading)
        assert questions(open_household(changed)) == ()
    lists = [json.loads(f"{{{code}}}") for code in INLINE if code.startswith('"chest": [')]
    assert lists == [{"chest": ["53.4", "53.7"]}]
    counted = next(json.loads(code) for code in INLINE if code.startswith('{"knitted"'))
    changed = whole()
    changed["makes"][0]["pieces"][0]["counts"]["chest"] = counted
    assert next(one.count for one in report(changed).points if one.key == "chest") == counted["counted"]


@pytest.mark.parametrize("text", ['"58,7 cm"', '"587 mm"', '"23 1/8 in"', '"20⅛\\""'])
def test_its_lengths_are_taken(text: str) -> None:
    assert text in INLINE
    changed = whole()
    changed["makes"][0]["fits"] = {"numbers": {"chest": json.loads(text)}}
    assert isinstance(open_household(changed), Household)


def test_the_table_of_points_is_the_catalogue() -> None:
    rows = re.findall(r"^\| `(\w+)` \| (.+) \|$", README, re.MULTILINE)
    assert rows == [(key, point.tape) for key, point in POINTS.items()]


def test_every_command_and_option_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    commands = re.findall(r"^    ([a-z-]+)(?:  .*)?$", capsys.readouterr().out, re.MULTILINE)
    assert {"report", "fabric", "sizes", "check", "demo", "serve", "readings-in"} <= set(commands)
    for command in commands:
        assert f"`fitcheck {command}" in README
        assert main([command, "--help"]) == 0
        options = set(re.findall(r"--[a-z-]+", capsys.readouterr().out)) - {"--help"}
        assert options <= set(re.findall(r"--[a-z-]+", README))


def test_the_two_command_lines_stand_once_each() -> None:
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv")]
    assert lines == [
        "python3 -m venv .venv && .venv/bin/pip install --quiet . && .venv/bin/fitcheck demo",
        "python3 -m venv .venv && .venv/bin/pip install --quiet --no-compile --editable '.[test]'"
        " && .venv/bin/python -m pytest -n auto --dist loadfile",
    ]


REST = README[README.index("\n## The rest of the sweater\n") :]
SHOWN = re.findall(r"^```(sh|text)\n(.*?)^```$", REST, re.MULTILINE | re.DOTALL)


def test_the_commands_of_the_rest_print_what_stands_below_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    (tmp_path / "demo_garments").symlink_to(Path(demo_garments.__path__[0]))
    monkeypatch.chdir(tmp_path)
    said, run = "", []
    for kind, block in SHOWN:
        if kind == "text":
            assert block.replace("’", "'") in said.replace("’", "'")
            continue
        for line in block.splitlines():
            command, *words = shlex.split(line)
            to = words[words.index(">") + 1] if ">" in words else None
            assert command == ".venv/bin/fitcheck"
            assert main(words[: words.index(">")] if to else words) == 0
            said = capsys.readouterr().out
            run.append(words[0])
            if to:
                Path(to).write_text(said, encoding="utf-8")
    assert run == ["rest", "sheet", "seams", "yarn", "sheet", "replay"]
    assert "It can be knitted" in said


def test_what_it_adds_to_the_whole_file_is_all_that_the_rest_asks_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written = tmp_path / "pullover.json"
    household = whole()
    written.write_text(json.dumps(household), encoding="utf-8")
    assert main(["sheet", str(written), "front"]) == 1
    assert "has no count of its neck width" in " ".join(capsys.readouterr().err.split())
    fragments = [json.loads(f"{{{code}}}") for code in INLINE if code.startswith(('"hem":', '"sleeve":', '"lots":'))]
    counts, sleeve, lots = fragments
    grams = next(json.loads(f"{{{code}}}") for code in INLINE if code.startswith('"grams": 166'))
    make = household["makes"][0]
    make["pieces"][0]["counts"] |= counts
    make["pieces"][0]["stages"][0] |= grams
    make["planned"] |= sleeve
    household["yarns"][0] |= lots
    written.write_text(json.dumps(household), encoding="utf-8")
    for words in (["sheet", "front"], ["sheet", "sleeve"], ["seams"], ["yarn"], ["rest"]):
        assert main([words[0], str(written), *words[1:]]) == 0
        told = capsys.readouterr()
        assert "Cannot say" not in told.out + told.err
        assert "does not join" not in told.out


def test_what_it_says_of_shaping_and_choices_is_taken() -> None:
    line = next(json.loads(f"{{{code}}}") for code in INLINE if code.startswith('"shaping":'))
    changed = whole()
    changed["makes"][0]["pieces"][0] |= line
    open_household(changed)
    named = {code for code in INLINE if code in Choices.model_fields}
    assert named >= Choices.model_fields.keys() - {"lifted"}


def test_a_file_is_taken_in_and_measured_by_phone_with_two_commands(tmp_path: Path) -> None:
    (tmp_path / "back.json").write_text(BLOCKS[0], encoding="utf-8")
    first, second = re.findall(r"^\.venv/bin/fitcheck (import back\.json|serve --home)$", README, re.MULTILINE)
    file, data = str(tmp_path / "back.json"), str(tmp_path / "f.db")
    assert main([*first.replace("back.json", file).split(), "--data", data]) == 0
    parsed = _parser().parse_args(second.split())
    assert (parsed.home, parsed.address, parsed.name) == (True, None, None)
