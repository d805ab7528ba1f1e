"""The `fitcheck` command: exit codes, nothing half-printed, any terminal, a quick start.

All figures are invented.
"""

from __future__ import annotations

import errno
import importlib.resources
import io
import json
import os
import shlex
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from fitcheck.cli import main
from fitcheck.reports.shaped import report
from fitcheck.terminal.in_short import printed_in_short
from fitcheck.terminal.report import printed
from fitcheck.words.data import json_text


def household(**changes: Any) -> dict[str, Any]:
    read = {"chest": ["50.7", "50.8"], "shoulder_width": ["41.0", "41.1"]}
    piece = {
        "id": "back-1",
        "piece": "back",
        "counts": {"chest": 122},
        "stages": [{"kind": "blocked", "readings": read}],
    }
    make = {
        "id": "grey",
        "name": "Grey pullover",
        "fits": {"numbers": {"chest": "52", "shoulder_width": "40.4"}},
        "pieces": [piece],
    }
    return {"fitcheck": 1, "unit": "cm", "makes": [make]} | changes


def two_makes() -> dict[str, Any]:
    one = household()["makes"][0]
    return household(makes=[one, one | {"id": "blue", "name": "Blue cardigan"}])


@pytest.fixture(autouse=True)
def no_width(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    written = tmp_path / "household.json"
    written.write_text(json.dumps(household(), indent=1), encoding="utf-8")
    return written


def run(*words: str, **options: Any) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "fitcheck.cli", *words]
    environment = {**os.environ, **options.pop("environment", {})}
    return subprocess.run(command, capture_output=True, env=environment, timeout=60, check=False, **options)


def test_report_prints_the_answer_and_leaves_with_0(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(file)]) == 0
    said = capsys.readouterr()
    assert said.out == printed_in_short(report(file))
    assert said.err == ""


def test_all_of_it_is_the_whole_report(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(file), "--all"]) == 0
    assert capsys.readouterr().out == printed(report(file))
    assert main(["demo", "--no-serve", "--all"]) == 0
    assert "\nThe other ways\n" in capsys.readouterr().out


@pytest.mark.full
def test_a_report_that_a_prompt_prints_is_what_the_command_prints(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here = "import fitcheck, sys; print(fitcheck.report(sys.argv[1]), end='')"
    done = subprocess.run([sys.executable, "-c", here, file], capture_output=True, timeout=60, check=True)
    main(["report", str(file)])
    assert done.stdout.decode() == capsys.readouterr().out


def test_the_answer_is_in_the_files_own_unit_unless_another_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written = tmp_path / "inches.json"
    written.write_text(json.dumps(household()).replace('"unit": "cm"', '"unit": "mm"'), encoding="utf-8")
    main(["report", str(written), "--all"])
    assert "Point by point, in mm" in capsys.readouterr().out
    main(["report", str(written), "--unit", "in"])
    assert "Points, in inches" in capsys.readouterr().out


def test_json_is_the_report_itself(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(file), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json_text(report(file)))


def test_a_dash_reads_standard_input(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(json.dumps(household()).encode())))
    assert main(["report", "-"]) == 0
    assert capsys.readouterr().out == printed_in_short(report(household()))


def test_wrong_data_leaves_with_1_says_everything_on_stderr_and_prints_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = household(unit="cm")
    wrong["makes"][0]["fits"]["numbers"] = {"chest": "51.2.3", "shoulder_width": "-4"}
    written = tmp_path / "wrong.json"
    written.write_text(json.dumps(wrong, indent=1), encoding="utf-8")
    line = next(n for n, text in enumerate(written.read_text().split("\n"), 1) if "51.2.3" in text)
    for command in ("report", "check"):
        assert main([command, str(written)]) == 1
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.startswith("wrong.json: 2 things to put right.")
        assert f"Line {line}, makes[0].fits.numbers.chest" in said.err
        told = " ".join(said.err.split())
        assert 'Not taken: "51.2.3". One decimal mark is enough: 51.2 or 51,2.' in told
        assert 'Not taken: "-4".' in told


@pytest.mark.parametrize("words", [["report", "no-such-file.json"], ["check", "no-such-file.json"]])
def test_a_file_that_is_not_there_is_named(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "no-such-file.json" in said.err


def test_an_unknown_make_names_those_that_are_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    written = tmp_path / "two.json"
    written.write_text(json.dumps(two_makes()), encoding="utf-8")
    for more in ([], ["--make", "green"], ["--make", "grey", "--piece", "hood"]):
        assert main(["report", str(written), *more]) == 1
        said = capsys.readouterr()
        assert said.out == ""
        wanted = {
            0: "Which make? This file has grey and blue. Name one:\n  --make grey\n",
            2: "No make 'green' here. This file has grey and blue. Name one:\n  --make grey\n",
            4: "No piece 'hood' here. grey has back-1. Name one:\n  --piece back-1\n",
        }
        assert said.err == wanted[len(more)]
    assert main(["report", str(written), "--make", "blue"]) == 0
    assert "Blue cardigan" in capsys.readouterr().out


def test_questions_alone_are_no_reason_to_leave_with_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    odd = household()
    odd["makes"][0]["pieces"][0]["stages"][0]["readings"]["chest"] = ["20.4"]
    written = tmp_path / "odd.json"
    written.write_text(json.dumps(odd), encoding="utf-8")
    assert main(["check", str(written)]) == 0
    said = capsys.readouterr()
    assert "20.4 cm" in said.out
    assert "at makes[0].pieces[0].stages[0].readings.chest[0]" in said.out
    assert '{"text": "20.4 cm", "confirmed": true}' in said.out
    assert said.err == ""


def test_a_good_file_has_nothing_to_put_right(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(file)]) == 0
    assert capsys.readouterr().out == "household.json: nothing to put right, nothing to ask.\n"


@pytest.mark.parametrize(("of", "has"), [("report", "recommendation"), ("household", "makes")])
def test_schemas_describe_what_they_are_of(of: str, has: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", of]) == 0
    assert has in json.loads(capsys.readouterr().out)["properties"]


@pytest.mark.parametrize("words", [[], ["dance"], ["report"], ["report", "f", "--unit", "ell"], ["schema", "soup"]])
def test_a_wrong_command_line_leaves_with_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "usage: fitcheck" in said.err


def test_the_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    from importlib.metadata import version

    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"fitcheck {version('fitcheck')}\n"


def test_what_is_wrong_is_said_in_lines_of_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    makes = [{"id": f"grey_pullover_{number}", "name": "grey"} for number in range(9)]
    many = tmp_path / "many.json"
    many.write_text(json.dumps({**two_makes(), "makes": makes}), encoding="utf-8")
    assert main(["report", str(many)]) == 1
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) > 2
    assert max(map(len, lines)) <= 80
    # What is to be typed stands whole on a line of its own.
    assert lines[-1] == "  --make grey_pullover_0"


def test_a_refusal_of_a_whole_file_names_no_place_in_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "none.json").write_text("", encoding="utf-8")
    assert main(["check", str(tmp_path / "none.json")]) == 1
    assert "\n  Not taken: an empty file. " in capsys.readouterr().err


def test_the_demo_prints_its_first_make_and_lists_them_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "household.json").write_text(json.dumps(two_makes()), encoding="utf-8")
    asked: list[str] = []
    monkeypatch.setattr(importlib.resources, "files", lambda package: asked.append(package) or tmp_path)
    assert main(["demo", "--no-serve"]) == 0
    assert capsys.readouterr().out == printed_in_short(report(two_makes(), make="grey"))
    assert main(["demo", "--list"]) == 0
    assert capsys.readouterr().out == "grey  Grey pullover\nblue  Blue cardigan\n"
    for words in (["--make", "blue"], ["blue"]):
        assert main(["demo", "--no-serve", *words]) == 0
        assert "Blue cardigan" in capsys.readouterr().out
    assert main(["demo", "green"]) == 1
    assert (
        capsys.readouterr().err == "No make 'green' here. The demo has grey and blue. Name one:\n  fitcheck demo grey\n"
    )
    assert main(["demo", "blue", "--make", "grey"]) == 2
    assert set(asked) == {"demo_garments"}


def test_the_demo_names_the_sweater_that_is_followed_to_the_end_and_its_commands_run(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["demo", "--no-serve"]) == 0
    told = capsys.readouterr().out.split("\n\n")[-1]
    assert " ".join(told.split()).startswith(
        "One sweater is followed to the end: rust-coloured pullover for Ines, front on the machine. Type: fitcheck "
    )
    commands = [shlex.split(line) for line in told.splitlines() if line.startswith("  ")]
    assert [words[1] for words in commands] == ["rest", "sheet", "seams", "yarn"]
    for words in commands:
        assert main(words[1:]) == 0
        said = capsys.readouterr()
        assert said.err == ""
        assert said.out


@pytest.mark.parametrize("units", [1, pytest.param(3, marks=[pytest.mark.full, pytest.mark.long])])
def test_every_make_of_the_demo_that_comes_along_prints_within_80_columns(
    capsys: pytest.CaptureFixture[str], units: int
) -> None:
    # Every fourth make, from one to the next in another unit; each in every unit under `long`.
    assert main(["demo", "--list"]) == 0
    keys = [line.split()[0] for line in capsys.readouterr().out.splitlines()]
    assert keys
    for place, key in list(enumerate(keys))[:: 4 // units]:
        for step in range(units):
            unit = ("cm", "in", "mm")[(place + step) % 3]
            assert main(["demo", "--no-serve", "--make", key, "--unit", unit]) == 0
            lines = capsys.readouterr().out.splitlines()
            assert len(lines) > 10
            assert all(len(line) <= 80 and line == line.rstrip() for line in lines)


def test_a_file_without_a_make_is_good_but_has_nothing_to_report_on(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    written = tmp_path / "empty.json"
    written.write_text('{"fitcheck": 1, "unit": "cm"}', encoding="utf-8")
    assert main(["check", str(written)]) == 0
    assert "It has no make yet" in capsys.readouterr().out
    assert main(["report", str(written)]) == 1
    assert capsys.readouterr().err.startswith("This file has no make yet")
    pieceless = household()
    pieceless["makes"][0]["pieces"] = []
    written.write_text(json.dumps(pieceless), encoding="utf-8")
    assert main(["report", str(written), "--piece", "hood"]) == 1
    assert capsys.readouterr().err == "No piece 'hood' here: grey has no piece yet.\n"


def test_check_as_data_has_faults_questions_and_makes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    odd = two_makes()
    odd["makes"][0]["pieces"][0]["stages"][0]["readings"]["chest"] = ["20.4"]
    written = tmp_path / "odd.json"
    written.write_text(json.dumps(odd), encoding="utf-8")
    assert main(["check", str(written), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["file"], found["faults"], found["makes"]) == ("odd.json", [], ["grey", "blue"])
    assert found["questions"][0]["place"] == "makes[0].pieces[0].stages[0].readings.chest[0]"
    assert found["questions"][0]["read"] == "20.4 cm"
    written.write_text(json.dumps(household(unit="furlong")), encoding="utf-8")
    assert main(["check", str(written), "--json"]) == 1
    said = capsys.readouterr()
    assert json.loads(said.out)["faults"][0]["place"] == "unit"
    assert said.err == ""


@pytest.mark.parametrize(
    ("said", "most"),
    [("60", 60), ("20", 60), ("72", 72), ("100", 100), ("400", 100), ("wide", 80), ("0", 80), ("", 80)],
)
def test_the_width_that_the_environment_says_is_kept(
    said: str, most: int, file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", said)
    assert main(["report", str(file), "--all"]) == 0
    text = capsys.readouterr().out
    assert text == printed(report(file), width=most)
    assert most - 12 < max(len(line) for line in text.splitlines()) <= most


def test_a_check_keeps_the_width_too(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    for text in (
        b'{"fitcheck": 1, "unit": "cm"}',
        b'{"fitcheck": 1, "unit": "furlong", "garments": "none", "makes": 7}',
    ):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text)))
        main(["check", "-"])
        said = capsys.readouterr()
        assert 50 < max(len(line) for line in (said.out + said.err).splitlines()) <= 60


# Where the answer cannot be written


@pytest.mark.parametrize(
    ("words", "unbuffered"),
    [
        ("--version", "1"),
        *(pytest.param(*more, marks=pytest.mark.full) for more in (("demo --list", ""), ("demo --list", "1"))),
        pytest.param("report -h", "", marks=pytest.mark.full),
    ],
)
def test_an_output_that_takes_no_more_is_said_plainly(words: str, unbuffered: str, tmp_path: Path) -> None:
    # A limit of 0 on the size of files: the system refuses every byte, as a full disk does.
    command = f'ulimit -f 0; exec "{sys.executable}" -m fitcheck.cli {words} > "{tmp_path / "answer"}"'
    done = subprocess.run(
        ["sh", "-c", command],
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
        timeout=60,
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr == b"The answer could not be written: file too large.\n"


class Full(io.StringIO):
    """A terminal on a full disk: it takes text into its buffer and cannot empty it."""

    def flush(self) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize(
    "words", [["demo", "--no-serve"], ["demo", "--list"], ["schema"], ["--help"], ["report", "-h"], ["--version"]]
)
def test_a_full_disk_is_said_plainly(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdout", Full())
    assert main(words) == 1
    assert capsys.readouterr().err == "The answer could not be written: no space left on device.\n"


def test_an_output_that_was_closed_on_the_way_is_said_plainly(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    closed = io.StringIO()
    closed.close()
    monkeypatch.setattr(sys, "stdout", closed)
    assert main(["demo", "--list"]) == 1
    assert capsys.readouterr().err == "The answer could not be written: standard output is closed.\n"


@pytest.mark.full
def test_a_closed_output_is_said_plainly_and_two_closed_ones_quietly(file: Path) -> None:
    for shut, told in ((">&-", b"The answer could not be written: standard output is closed.\n"), (">&- 2>&-", b"")):
        command = f'"{sys.executable}" -m fitcheck.cli report "{file}" {shut}'
        done = subprocess.run(["sh", "-c", command], capture_output=True, timeout=60, check=False)
        assert (done.returncode, done.stderr) == (1, told)


def test_a_closed_input_is_an_empty_file() -> None:
    command = f'"{sys.executable}" -m fitcheck.cli report - <&-'
    done = subprocess.run(["sh", "-c", command], capture_output=True, timeout=60, check=False)
    assert done.returncode == 1
    assert b"standard input: one thing to put right." in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("encoding", ["ascii", pytest.param("latin-1", marks=pytest.mark.full)])
def test_a_terminal_without_the_real_minus_gets_plain_characters(encoding: str) -> None:
    named = json.dumps(household()).replace("Grey pullover", "Gr\u00fcner \u6bdb pullover").encode()
    done = run("report", "-", input=named, environment={"PYTHONIOENCODING": encoding})
    assert done.returncode == 0, done.stderr.decode()
    text = done.stdout.decode(encoding)
    assert "-1." in text
    assert "pullover" in text
    assert all(len(line) <= 80 for line in text.split("\n"))


@pytest.mark.full
def test_json_on_such_a_terminal_loses_nothing() -> None:
    named = json.dumps(household()).replace("Grey pullover", "Gr\u00fcner \u6bdb pullover").encode()
    done = run("report", "-", "--json", input=named, environment={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0, done.stderr.decode()
    assert json.loads(done.stdout)["head"]["make_name"] == "Gr\u00fcner \u6bdb pullover"


@pytest.mark.full
def test_a_message_on_such_a_terminal_does_not_break_either(tmp_path: Path) -> None:
    done = run(
        "check",
        "-",
        input='{"fitcheck": 1, "unit": "\u6bdb"}'.encode(),
        environment={"PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 1
    assert done.stdout == b""
    assert b"Traceback" not in done.stderr
    assert b'Not taken: "?"' in done.stderr


def test_a_reader_that_leaves_early_is_no_trouble() -> None:
    command = [sys.executable, "-m", "fitcheck.cli", "schema", "household"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(timeout=60) == 0


def test_help_names_every_command_and_loads_nothing_heavy() -> None:
    code = (
        "import sys, fitcheck.cli; fitcheck.cli.main(['--help']); "
        "print(*{name.split('.')[0] for name in sys.modules}, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert all(f"\n    {command} " in done.stdout for command in ("report", "check", "schema", "demo"))
    loaded = set(done.stderr.split())
    assert not loaded & {
        "numpy",
        "scipy",
        "pydantic",
        "pydantic_core",
        "pint",
        "flask",
        "json",
        "dataclasses",
    }


@pytest.mark.parametrize(
    ("by_itself", "looks"),
    [("None", False), pytest.param("['demo', '--no-serve', '--short']", True, marks=pytest.mark.full)],
)
def test_a_command_by_itself_looks_for_no_garbage(by_itself: str, looks: bool) -> None:
    here = "import gc, sys; from fitcheck.cli import main; sys.argv = ['fitcheck', '--version']\n"
    here += f"main({by_itself})\nprint(gc.isenabled(), gc.get_freeze_count() == 0)"
    done = subprocess.run([sys.executable, "-c", here], capture_output=True, check=True, text=True)
    assert done.stdout.splitlines()[-1] == f"{looks} {looks}"


def test_standard_input_is_named_as_such(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"{")))
    assert main(["check", "-"]) == 1
    assert capsys.readouterr().err.startswith("standard input: one thing to put right.")


def test_sizes_are_told_at_the_dial_that_the_command_names(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(importlib.resources.files("demo_garments").joinpath("household.json").read_text())
    make = next(make for make in data["makes"] if make["id"] == "grey_pullover")
    data["makes"] = [{name: value for name, value in make.items() if name != "pieces"}]
    written = tmp_path / "planned.json"
    written.write_text(json.dumps(data))
    for dial, words in (((), "dial 7"), (("--dial", "8"), "dial 8")):
        assert main(["sizes", str(written), *dial]) == 0
        assert f"All the other figures are for {words}." in capsys.readouterr().out
    assert main(["sizes", str(written), "--dial", "7.5.1"]) == 2
    assert "Not taken: --dial 7.5.1." in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("report a.json --unit ft", "Not taken: --unit ft. One of cm, in or mm.\n"),
        ("schema x", "Not taken: schema x. One of report or household.\n"),
        ("rport a.json", "Not taken: COMMAND rport. One of report, fabric, sizes, "),
        ("report", "The following arguments are required: FILE\n"),
    ],
)
def test_a_command_line_that_is_wrong_is_told_what_is_taken_instead(
    words: str, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words.split()) == 2
    told = capsys.readouterr().err
    assert told.startswith("usage: fitcheck")
    assert f"\n{said}" in told
    assert "error" not in told


def test_a_dial_that_is_none_is_told_on_a_line_of_its_own(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sizes", str(file), "--dial", "abc"]) == 2
    assert capsys.readouterr().err == "Not taken: --dial abc. A setting such as 7, 7.1 or 7+.\n"
