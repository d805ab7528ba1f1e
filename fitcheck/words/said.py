"""Sentences of which the first can stand by itself, as the heading of a page."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

SHORT = 20
"""Characters below which a first sentence is no heading: "Carry on." takes the next one along."""


@dataclass(frozen=True, slots=True)
class Said:
    """What can stand as a heading, and the rest of it."""

    head: str
    rest: str = ""

    @property
    def whole(self) -> str:
        """All of it, one sentence after the other."""
        return " ".join(part for part in (self.head, self.rest) if part)


def said(sentences: Iterable[str]) -> Said:
    """Sentences with the first as the head; a very short one takes the next along.

    >>> said(["Carry on.", "Knit the front wider.", "The back is wide."])
    Said(head='Carry on. Knit the front wider.', rest='The back is wide.')
    """
    head, *rest = [sentence for sentence in sentences if sentence]
    while rest and len(head) < SHORT:
        head = f"{head} {rest.pop(0)}"
    return Said(head, " ".join(rest))
