"""One answer on its way to paper: how lengths are written, its width, and what every answer is laid out with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fitcheck.terminal.paper import NARROWEST, heading, wrapped
from fitcheck.words.figures import Tape


class Page:
    """What pages of the terminal have in common. width: columns, 60 or more."""

    def __init__(self, tape: Tape, width: int) -> None:
        self.tape = tape
        self.width = max(NARROWEST, width)

    @property
    def in_unit(self) -> str:
        """What a table's lengths are in."""
        return "inches" if self.tape.unit == "in" else self.tape.unit

    def wrap(self, text: str, first: str = "", rest: str | None = None) -> list[str]:
        """A text in lines, the first behind `first`, the others behind `rest`, or alike."""
        return wrapped(text, self.width, first, first if rest is None else rest)

    def told(self, sentences: Iterable[str]) -> list[str]:
        """Sentences under one another; those that are empty are left out."""
        return [line for sentence in sentences if sentence for line in self.wrap(sentence, "  ", "    ")]

    def listed(self, head: str, sentences: Iterable[str]) -> list[str]:
        """Sentences under a heading; nothing where there is none."""
        lines = self.told(sentences)
        return [*heading(head), *lines] if lines else []

    def bare(self, mm: float, *, signed: bool = False) -> str:
        """A length without its unit."""
        return self.full(self.tape.bare(mm, signed=signed))

    def full(self, text: str) -> str:
        """A nil with its decimal, so that it stands under the others."""
        return f"0{self.tape.mark}0" if text == "0" and self.tape.unit == "cm" else text


def joined(blocks: Sequence[Sequence[str]], *, apart: int = 2) -> str:
    """Blocks of lines as one text: ends with one line break, no line ends with a space.

    apart  empty lines between two blocks
    """
    text = ("\n" * (apart + 1)).join("\n".join(block) for block in blocks if block)
    return "\n".join(line.rstrip() for line in text.split("\n")) + "\n"
