"""The list of changes can be made: every text stands where it says, and a test of README's line is named with it."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from tests.changes import ROOT, Change, ChangeError, changes

CHANGES = changes()


def test_there_are_sixty_changes_or_more_and_no_two_are_the_same() -> None:
    assert len({(one.file, one.old, one.new) for one in CHANGES}) == len({one.what for one in CHANGES}) == len(CHANGES)
    assert len(CHANGES) >= 60


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: re.sub(r"\W+", "_", change.what))
def test_the_text_stands_where_the_change_says_and_what_comes_instead_is_python(change: Change) -> None:
    assert change.line() >= 1
    assert change.old != change.new
    if change.file.endswith(".py"):
        ast.parse(change.changed())


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: re.sub(r"\W+", "_", change.what))
def test_the_named_test_is_there(change: Change) -> None:
    file, _, name = change.test.partition("::")
    assert not file.startswith("tests/browser/")  # it runs on a machine without a browser too
    assert f"def {name.partition('[')[0]}(" in (ROOT / file).read_text(encoding="utf-8")


def test_a_text_that_is_gone_or_stands_twice_is_no_change(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("x = 1\ny = 1\n", encoding="utf-8")
    assert Change("", "a.py", "y = 1", "y = 2", "").changed(tmp_path) == "x = 1\ny = 2\n"
    assert Change("", "a.py", "y = 1", "y = 2", "").line(tmp_path) == 2
    for file, text in (("a.py", "z = 1"), ("a.py", " = 1"), ("b.py", "x = 1")):
        with pytest.raises(ChangeError):
            Change("", file, text, "", "").changed(tmp_path)
