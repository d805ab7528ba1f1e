"""Changes of the program that a test must find: kept as a list, made one by one by ``python -m tests.changes``.

Each stands in `list.toml` with its file, the text that is there, the text that comes instead, what that means for a
knitter, and a test of README's line that turns red by it. Its test runs without a browser; only a change of what a
script does may be left to a test that needs one.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LIST = Path(__file__).with_name("list.toml")


class ChangeError(ValueError):
    """A change that cannot be made: its text is not there, or is there more than once."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change of one file.

    what  what the program then does
    file  path in the source
    old   text that stands there once
    new   text that comes instead
    test  the test that finds it, as pytest names it
    """

    what: str
    file: str
    old: str
    new: str
    test: str

    def line(self, root: Path = ROOT) -> int:
        """The line that it begins in. Raises ChangeError."""
        text = self._text(root)
        return text.count("\n", 0, text.index(self.old)) + 1

    def changed(self, root: Path = ROOT) -> str:
        """The whole file with the change in it. Raises ChangeError."""
        return self._text(root).replace(self.old, self.new)

    def _text(self, root: Path) -> str:
        path = root / self.file
        if not path.is_file():
            raise ChangeError(f"{self.file} is not there")
        text = path.read_text(encoding="utf-8")
        if (times := text.count(self.old)) != 1:
            raise ChangeError(f"{self.file} has {self.old.strip()!r} {times} times")
        return text


def changes() -> tuple[Change, ...]:
    """Every change of the list, in its order."""
    with LIST.open("rb") as listed:
        return tuple(Change(**one) for one in tomllib.load(listed)["change"])
