"""The bed: its needles by their names and their numbers.

Needles have whole numbers: Lk is -k, Rk is k - 1, so that their difference is the way between them.
"""

from __future__ import annotations

import re
from typing import NamedTuple

_NAME = re.compile(r"([LR])([1-9]\d{0,2})")


class Span(NamedTuple):
    """Needles from the first to the last, both among them."""

    first: int
    last: int

    @property
    def stitches(self) -> int:
        """How many stitches lie on them."""
        return self.last - self.first + 1


def needle_name(needle: int) -> str:
    """A needle as the bed's figures have it.

    >>> needle_name(-59), needle_name(58)
    ('L59', 'R59')
    """
    return f"L{-needle}" if needle < 0 else f"R{needle + 1}"


def needle_of(name: str) -> int | None:
    """The needle of a name; None for what is none.

    >>> needle_of("L59"), needle_of("R59"), needle_of("R0")
    (-59, 58, None)
    """
    match = _NAME.fullmatch(name)
    if match is None:
        return None
    number = int(match[2])
    return -number if match[1] == "L" else number - 1


def span_of(stitches: int) -> Span:
    """Needles of a count that is cast on about the middle; an odd one has one more on the left.

    stitches  1 or more

    Source: common practice, no source.

    >>> span_of(118), span_of(61)  # L59 to R59; L31 to R30
    (Span(first=-59, last=58), Span(first=-31, last=29))
    """
    left = -(-stitches // 2)
    return Span(-left, stitches - left - 1)
