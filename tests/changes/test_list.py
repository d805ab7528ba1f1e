"""The list of changes can be made: every text stands where it says, and a test of README's line is named with it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.changes import ROOT, Change, ChangeError, changes

CHANGES = changes()
DEFINED = r"(?m)^((?:@.*\n(?:[ )\]].*\n)*)*)def %s\("
"""A test with what is said above it."""


def test_there_are_sixty_changes_or_more_and_no_two_are_the_same() -> None:
    assert len({(one.file, one.old, one.new) for one in CHANGES}) == len({one.what for one in CHANGES}) == len(CHANGES)
    assert len(CHANGES) >= 60


def wrong(change: Change) -> Iterator[str]:
    """What is wrong with a change: its text, what comes instead, or its test."""
    try:
        changed = change.changed()
    except ChangeError as fault:
        yield str(fault)
        return
    if change.old == change.new:
        yield "it changes nothing"
    if change.file.endswith(".py"):
        try:
            ast.parse(changed)
        except SyntaxError as fault:
            yield f"what comes instead is no Python: {fault}"
    file, _, name = change.test.partition("::")
    if file.startswith("tests/browser/") and not change.file.endswith(".js"):
        yield "its test does not run on a machine without a browser"
    elif not (found := re.search(DEFINED % name.partition("[")[0], (ROOT / file).read_text(encoding="utf-8"))):
        yield "its test is not there"
    elif re.search(r"^@pytest\.mark\.(full|simulation)", found[1], re.M):
        yield "its test is left out of README's line"


def test_every_text_stands_where_the_change_says_what_comes_instead_is_python_and_its_test_is_in_the_line() -> None:
    assert [f"{change.what}: {fault}" for change in CHANGES for fault in wrong(change)] == []


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"old": "def nobody_wrote_this():"}, "times"),
        ({"new": CHANGES[0].old}, "nothing"),
        ({"new": CHANGES[0].old + ")"}, "no Python"),
        ({"test": "tests/browser/test_walk.py::test_it"}, "without a browser"),
        ({"test": "tests/test_house.py::test_it"}, "not there"),
        ({"test": "tests/advice/test_counts_for_rest.py::test_500_makes_agree_with_a_full_search"}, "left out"),
    ],
)
def test_what_is_wrong_with_a_change_is_said(changed: dict[str, str], fault: str) -> None:
    assert [fault in said for said in wrong(replace(CHANGES[0], **changed))] == [True]


def test_a_text_that_is_gone_or_stands_twice_is_no_change(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("x = 1\ny = 1\n", encoding="utf-8")
    assert Change("", "a.py", "y = 1", "y = 2", "").changed(tmp_path) == "x = 1\ny = 2\n"
    assert Change("", "a.py", "y = 1", "y = 2", "").line(tmp_path) == 2
    for file, text in (("a.py", "z = 1"), ("a.py", " = 1"), ("b.py", "x = 1")):
        with pytest.raises(ChangeError):
            Change("", file, text, "", "").changed(tmp_path)
