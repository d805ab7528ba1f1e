"""Make the listed changes one by one in a copy of the source, and say which of them a test finds.

    .venv/bin/python -m tests.changes            # every change, by the test that is named with it
    .venv/bin/python -m tests.changes 3 17       # some of them, by their numbers
    .venv/bin/python -m tests.changes --whole    # what its own test does not find, by every test of README's line

Exits with 1 where a change survives or cannot be made.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from tests.browser.conftest import missing
from tests.changes import ROOT, Change, ChangeError, changes

COPIED = ("pyproject.toml", "README.md", "DEVELOPERS.md", ".gitignore", "fitcheck", "webui", "demo_garments", "tests")
WHOLE = ("-n", "auto", "--dist", "loadfile", "-x")
"""What README's line says to pytest, up to the first test that fails."""


def copied(folder: Path) -> Path:
    """A copy of the source, so that nothing is ever changed in the checkout."""
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, folder / name)
    return folder


def tested(copy: Path, *arguments: str) -> int:
    """Run pytest on the copy; returns its exit code.

    The copy stands first on the path, before the source that is installed; no compiled file outlives a change.
    """
    environment = {**os.environ, "PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *arguments],
        cwd=copy, env=environment, capture_output=True, check=False,
    ).returncode  # fmt: skip


def found(change: Change, copy: Path, *, whole: bool) -> str:
    """Make a change in the copy, say what finds it, and take it back. Raises ChangeError."""
    if change.test.startswith("tests/browser/") and (reason := missing()):
        raise ChangeError(f"its test runs in a browser: {reason}")
    path = copy / change.file
    before = path.read_text(encoding="utf-8")
    path.write_text(change.changed(copy), encoding="utf-8")
    try:
        code = tested(copy, "-x", change.test)
        if code == 1:
            return "found by its test"
        if code != 0:
            raise ChangeError(f"its test cannot be run: {change.test}")
        if whole and tested(copy, *WHOLE) == 1:
            return "found by another test"
        return "SURVIVED"
    finally:
        path.write_text(before, encoding="utf-8")


def main(asked: Iterable[str]) -> int:
    """Make the changes and print what became of each."""
    parser = argparse.ArgumentParser(prog="python -m tests.changes", description="Make the listed changes one by one.")
    parser.add_argument("numbers", nargs="*", type=int, metavar="NUMBER", help="changes by their numbers; else all")
    parser.add_argument("--whole", action="store_true", help="try what its own test does not find on every test")
    options = parser.parse_args(list(asked))
    listed = dict(enumerate(changes(), 1))
    chosen = options.numbers or list(listed)
    lost = []
    with tempfile.TemporaryDirectory() as folder:
        copy = copied(Path(folder))
        names = sorted({listed[number].test for number in chosen})
        if tested(copy, *names) != 0:
            print("The tests do not pass without a change: mend that first.")
            return 1
        for number in chosen:
            change = listed[number]
            try:
                place, became = f"{change.file}:{change.line(copy)}", found(change, copy, whole=options.whole)
            except ChangeError as fault:
                place, became = change.file, f"CANNOT BE MADE: {fault}"
            print(f"{number:3d}  {became:22s} {place:46s} {change.what}", flush=True)
            if not became.startswith("found"):
                lost.append(number)
    print(f"{len(chosen)} changes, {len(chosen) - len(lost)} found", end="")
    print(f"; not found: {', '.join(map(str, lost))}" if lost else "")
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
