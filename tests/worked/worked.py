"""One worked make: a household with its truth, what must come first, and what must never be said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from tests.worked.told import Told
from tests.worked.truth import Raw

Range = int | tuple[int, int]
UNDOES = ("rip_back", "knit_again")
"""Deeds that undo knitting."""


@dataclass(frozen=True)
class Worked:
    """A worked make.

    id        its name
    shows     the rule, or the sentence of the model, that it shows
    why       what the truth is, and why the answer must be that
    file      the household file
    piece     the piece that is asked about; None takes the last one
    first     what must come first: one of these (names of `Told.first`)
    about     the point that it must be about: one of these
    then      the deed once that is answered: one of these
    counts    what must be knitted at a point of a piece: a count, or from and to
    never     what must not come first
    keeps     no count may be another than it was planned
    asks      codes of questions that must be asked
    says      words that the answer has in its first sentences, where the wording itself is the rule
    silent    words that stand nowhere in the answer
    holds     anything else: what it is, and whether it holds
    """

    id: str
    shows: str
    why: str
    file: Raw
    piece: str | None = None
    first: tuple[str, ...] = ()
    about: tuple[str, ...] = ()
    then: tuple[str, ...] = ()
    counts: Mapping[tuple[str, str], Range] = field(default_factory=dict)
    never: tuple[str, ...] = ()
    keeps: bool = False
    asks: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    silent: tuple[str, ...] = ()
    holds: Mapping[str, Callable[[Told], object]] = field(default_factory=dict)

    def faults(self, told: Told) -> list[str]:
        """Everything in the answer that is not as it must be."""
        return [*self._of_the_first(told), *self._of_counts(told), *self._of_words(told)]

    def _of_the_first(self, told: Told) -> Iterable[str]:
        if self.first and told.first not in self.first:
            yield f"first: {told.first}, not {' or '.join(self.first)}"
        if told.first in self.never:
            yield f"first: {told.first}"
        if self.about and told.about not in self.about:
            yield f"about: {told.about}, not {' or '.join(self.about)}"
        if self.then and told.then not in self.then:
            yield f"then: {told.then}, not {' or '.join(self.then)}"
        for code in self.asks:
            if code not in told.asked:
                yield f"not asked: {code}; asked: {sorted(told.asked)}"

    def _of_counts(self, told: Told) -> Iterable[str]:
        for (piece, key), wanted in self.counts.items():
            low, high = (wanted, wanted) if isinstance(wanted, int) else wanted
            count = told.count(piece, key)
            if count is None or not low <= count <= high:
                yield f"{piece} {key}: {count}, not {low} to {high}"
        if self.keeps and told.new_counts:
            yield f"other counts: {told.new_counts}"

    def _of_words(self, told: Told) -> Iterable[str]:
        for word in self.says:
            if word.casefold() not in told.head.casefold():
                yield f"does not say {word!r}: {told.head}"
        for word in self.silent:
            if word.casefold() in told.text.casefold():
                yield f"says {word!r}"
        for what, holds in self.holds.items():
            if not holds(told):
                yield f"does not hold: {what}"
