"""Paper for a terminal: its width, headings, wrapped lines, and columns whose decimal marks stand under one another."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence
from typing import Literal

from fitcheck.words.dates import SHORT_MONTHS

WIDTH = 80
NARROWEST, WIDEST = 60, 100
"""Columns between which the width of a terminal is followed: wider lines are hard to read."""
SIGN_COLUMNS = 9
"""Columns of the sign and the space after it."""


UNBROKEN = "\u00a0"
"""A space at which no line is broken; it is printed as any other."""
_DATE = re.compile(rf"\b(\d{{1,2}}) ({'|'.join(SHORT_MONTHS)})(?: (?=\d{{4}}\b))?")
_TOGETHER = re.compile(r"(?<=\d) (?=(?:%|cm|mm|in|st|g)(?![\w-])|\d+/\d)|(?<=\d in) (?=\d)")
"""Spaces that hold a figure and what belongs to it together."""


def aligned(cells: Sequence[str], mark: str = ".") -> list[str]:
    """Pad figures so that decimal marks, or whole numbers before their fractions, stand under one another.

    >>> aligned(["52 7/8", "3/8", "9"])
    ['52 7/8', '   3/8', ' 9    ']
    """
    parts = [_split(cell, mark) for cell in cells]
    left = max((len(a) for a, _ in parts), default=0)
    right = max((len(b) for _, b in parts), default=0)
    return [a.rjust(left) + b.ljust(right) for a, b in parts]


def _split(cell: str, mark: str) -> tuple[str, str]:
    if "/" in cell:
        whole, space, fraction = cell.rpartition(" ")
        # A bare fraction stands under the others, its sign where they have their space.
        return whole, f"{space}{fraction}" if space or fraction[0] in "−+" else f" {fraction}"
    whole, separator, rest = cell.partition(mark)
    return whole, separator + rest


def padded(cells: Sequence[str], to: Literal["left", "right"]) -> list[str]:
    """Pad cells to the widest."""
    wide = max(len(cell) for cell in cells)
    return [cell.ljust(wide) if to == "left" else cell.rjust(wide) for cell in cells]


def column(head: str, cells: Sequence[str]) -> list[str]:
    """A column under its head, figures to the right."""
    return padded([head, *cells], "right")


def gutter(sign: str) -> str:
    """The sign, its brackets under the brackets of the others."""
    return (sign if sign.startswith("<") else f" {sign}").ljust(SIGN_COLUMNS)


def heading(text: str) -> list[str]:
    """A heading, underlined, with an empty line below."""
    return [text, "-" * len(text), ""]


def wrapped(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Wrap a text into lines, the first behind `first`, the others behind `rest`; no word is cut.

    At the end of a line a figure does not part from its unit, nor a day from its month and year, nor a chance or a
    whole number and its fraction.

    >>> wrapped("It is 13 % wide, 9 in 10.", 12)
    ['It is 13 %', 'wide,', '9 in 10.']
    """
    lines = textwrap.wrap(
        _DATE.sub(lambda date: date[0].replace(" ", UNBROKEN), _TOGETHER.sub(UNBROKEN, text)),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(UNBROKEN, " ") for line in lines] or [first.rstrip()]
