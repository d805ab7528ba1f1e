"""Sentences of which the first can stand by itself, as the heading of a page, and deeds that are a list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fitcheck.words.phrases import capital

SHORT = 20
"""Characters below which a first sentence is no heading: "Carry on." takes the next one along."""


@dataclass(frozen=True, slots=True)
class Deed:
    """One of several deeds: its number, when it is done or for which piece, and what, without the full stop."""

    number: int
    when: str
    what: str

    @property
    def label(self) -> str:
        """ "For the front:" """
        return f"{capital(self.when)}:"

    @property
    def ended(self) -> str:
        """ "knit it 14 rows shorter." """
        return f"{self.what}."

    @property
    def sentence(self) -> str:
        """ "2. For the front: knit it 14 rows shorter." """
        return f"{self.number}. {self.label} {self.ended}"


@dataclass(frozen=True, slots=True)
class Said:
    """What can stand as a heading, the deeds that follow it, and the rest of it."""

    head: str
    rest: str = ""
    deeds: tuple[Deed, ...] = ()

    @property
    def done(self) -> str:
        """What is done, without its reason."""
        return " ".join([self.head, *(deed.sentence for deed in self.deeds)])

    @property
    def whole(self) -> str:
        """All of it, one sentence after the other."""
        return " ".join(part for part in (self.done, self.rest) if part)


def said(parts: Iterable[str | Deed]) -> Said:
    """Sentences with the first as the head; a very short one takes the next along. A deed that comes first is the head.

    >>> said(["Carry on.", "Knit the front wider.", "The back is wide."])
    Said(head='Carry on. Knit the front wider.', rest='The back is wide.', deeds=())
    """
    first, *rest = [part for part in parts if part]
    deeds = tuple(part for part in rest if isinstance(part, Deed))
    sentences = [part for part in rest if not isinstance(part, Deed)]
    head = first.sentence if isinstance(first, Deed) else first
    while sentences and not deeds and len(head) < SHORT:
        head = f"{head} {sentences.pop(0)}"
    return Said(head, " ".join(sentences), deeds)
