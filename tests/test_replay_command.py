"""`fitcheck replay`: whether a sheet can be knitted, in words or as data; its first line that cannot, and exit 1."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pytest

from fitcheck.cli import main
from fitcheck.knitting.replay import FaultCode, replay
from fitcheck.knitting.sheet import sheet
from fitcheck.knitting.written import read_sheet
from fitcheck.words.replayed import replayed_sentences
from tests.knitting.sample_front import front
from tests.knitting.test_replay_faults import BASE, CASES, knitted
from tests.outlawed import NEVER
from tests.records.sample import sample


@pytest.fixture
def file(tmp_path: Path) -> Callable[..., Path]:
    def written(**changed: Any) -> Path:
        """The sample's sheet, a line of it changed: `line=9, counter=110`."""
        document = json.loads(sheet(front()).to_json())
        if changed:
            document["lines"][changed.pop("line")] |= changed
        path = tmp_path / "front.json"
        path.write_text(json.dumps(document, indent=1), encoding="utf-8")
        return path

    return written


def test_a_sheet_that_can_be_knitted_is_said_to_be_with_what_comes_of_it(
    file: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["replay", str(file())]) == 0
    said = capsys.readouterr()
    assert said.out == (
        "front.json:\n\n"
        "  It can be knitted: 61 acts, 219 rows, 19426 loops.\n"
        "  In the end: neck 12, left shoulder 29 and right shoulder 29.\n"
        "  The sheet names no bed; one of 250 needles was taken.\n"
    )
    assert said.err == ""


def test_the_first_line_that_cannot_be_knitted_is_named_with_its_reason(
    file: Callable[..., Path], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["replay", str(file(line=9, at="left"))]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        "front.json:\n\n"
        "  Line 10 of 61 cannot be knitted.\n"
        "  At 109, carriage right, body: Cast off 5, left.\n"
        "  The carriage stands right: do it there, or a row later at the other side.\n"
    )


def test_as_data_it_is_json_and_nothing_else(
    file: Callable[..., Path], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["replay", str(file()), "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert whole["replay"] | {"widths": 0, "heights": 0} == {
        "faults": [], "rows": 219, "loops": 19426, "widths": 0, "heights": 0,
        "ends": {"neck": 12, "left_shoulder": 29, "right_shoulder": 29},
    }  # fmt: skip
    assert (len(whole["replay"]["widths"]), whole["refused"], whole["needles"]) == (219, [], 250)
    wrong = file(line=9, at="left").read_bytes()
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(wrong)))
    assert main(["replay", "-", "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    (fault,) = told["replay"]["faults"]
    assert fault == {
        "code": "not_at_carriage",
        "line": 9,
        "part": "body",
        "counter": 109,
        "read": "left",
        "found": "right",
    }
    assert told["file"] == "standard input"


def test_what_is_no_sheet_is_refused_whole(file: Callable[..., Path], capsys: pytest.CaptureFixture[str]) -> None:
    path = file(line=9, act="castoff")
    assert main(["replay", str(path)]) == 1
    assert 'lines[9].act. Not taken: "castoff". One of cast_on, ' in " ".join(capsys.readouterr().err.split())
    assert main(["replay", str(path), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert (told["refused"][0]["place"], told["replay"]) == ("lines[9].act", None)


def test_a_household_file_is_refused_in_one_sentence_that_says_how_a_sheet_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "home.json"
    path.write_text(json.dumps(sample()), encoding="utf-8")
    assert main(["replay", str(path)]) == 1
    said = " ".join(capsys.readouterr().err.split())
    assert said.endswith(
        "Not taken: a household file. A sheet is what replay reads; write one: fitcheck sheet FILE PIECE --json."
    )
    assert said.count("Not taken") == 1


def test_the_bed_that_the_head_says_is_the_one_that_is_taken(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for bed, code in ((126, 0), (125, 1)):
        document = json.loads(sheet(front()).to_json())
        document["head"]["bed"] = bed
        path = tmp_path / "front.json"
        path.write_text(json.dumps(document), encoding="utf-8")
        assert main(["replay", str(path)]) == code
    assert "The bed has 125 needles; R63 is not one of them." in capsys.readouterr().err


def sentences_of(code: str) -> list[str]:
    """What is said where a fault is found, in the sheets of its test."""
    if code == "ends_differ":
        knit = knitted(*BASE, ends={"neck": 14})
    elif code == "drop_differs":
        knit = knitted(*BASE, drops={"shoulder": 4})
    else:
        knit = knitted(*CASES[code][1])
    lines = BASE if code in ("ends_differ", "drop_differs") else CASES[code][1]
    whole = read_sheet(sheet(front()).to_json().encode())
    return replayed_sentences(knit, type(whole)(whole.head, tuple(lines), {}, {}), 24)


@pytest.mark.parametrize("code", get_args(FaultCode))
def test_every_fault_has_a_sentence_of_its_own(code: str) -> None:
    told = sentences_of(code)
    assert code.replace("_", " ") not in " ".join(told).lower()
    for sentence in told:
        assert sentence[0].isupper() or sentence[0].isdigit()
        assert sentence.endswith(".")
        assert "None" not in sentence
        assert not any(word in sentence.lower().split() for word in NEVER)


def test_a_head_with_other_loops_says_how_many_were_knitted() -> None:
    made = sheet(front())
    wrong = type(made)(
        type(made.head)(*[*_values(made.head)[:6], made.head.loops + 4]), made.lines, made.ends, made.drops
    )
    told = replayed_sentences(replay(wrong, needles=250), wrong, 250)
    assert "The head says 219 rows and 19430 loops; 219 rows and 19426 loops were knitted" in told[-1]


def _values(head: Any) -> list[Any]:
    return [getattr(head, name) for name in ("piece", "needles", "widest", "carriage", "right_is", "rows")]
