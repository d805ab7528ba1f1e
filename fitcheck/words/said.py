"""Sentences of which the first can stand by itself, as the heading of a page, and deeds that are a list."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.records.frozen import frozen
from fitcheck.words.phrases import capital, few

SHORT = 20
"""Characters below which a first sentence is no heading: "Carry on." takes the next one along."""
MOST_HEAD = 70
"""Characters of a heading: two lines of a phone."""
MOST_REASON = 25
"""Words of the sentence under a heading."""
MOST_PARAGRAPH = 40
"""Words of a paragraph."""


def heading(*ways: str, most: int = MOST_HEAD) -> str:
    """The first of several ways to say it that a heading bears; else the last, which is the shortest."""
    return next((way for way in ways if len(way) <= most), ways[-1])


def reason(*ways: str, most: int = MOST_REASON) -> str:
    """The first of several ways to say it that has so few words; else the last, which is the shortest."""
    return next((way for way in ways if _words(way) <= most), ways[-1])


def _words(text: str) -> int:
    return text.count(" ") + 1


def in_paragraphs(sentences: Iterable[str]) -> tuple[str, ...]:
    """Sentences in as few paragraphs as may be: none longer than one that is read at a glance. An empty one is none."""
    told: list[str] = []
    for sentence in sentences:
        if not sentence:
            continue
        if told and _words(told[-1]) + _words(sentence) <= MOST_PARAGRAPH:
            told[-1] = f"{told[-1]} {sentence}"
        else:
            told.append(sentence)
    return tuple(told)


@frozen
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
        """ "For the front: knit it 14 rows shorter." """
        return f"{self.label} {self.ended}"


@frozen
class Said:
    """What can stand as a heading, the deeds that follow it, and the rest of it.

    head     what is done, or the first deed of a list without its number
    because  the sentence under the heading: why; empty where there is none
    more     what else there is to say, a sentence or two each
    deeds    the deeds after the heading
    first    the deed that the heading is; None where it is none
    mind     cautions that stand open beside it
    """

    head: str
    because: str = ""
    more: tuple[str, ...] = ()
    deeds: tuple[Deed, ...] = ()
    first: Deed | None = None
    mind: tuple[str, ...] = ()

    @property
    def all_deeds(self) -> tuple[Deed, ...]:
        """Every deed, the one of the heading too."""
        return (self.first, *self.deeds) if self.first is not None else self.deeds

    @property
    def listed(self) -> tuple[str, ...]:
        """Every deed as a sentence, numbered where there are several."""
        deeds = self.all_deeds
        return tuple([f"{deed.number}. {deed.sentence}" if len(deeds) > 1 else deed.sentence for deed in deeds])

    @property
    def rest(self) -> str:
        """All but the heading and its deeds."""
        return " ".join(part for part in (self.because, *self.more, *self.mind) if part)

    @property
    def paragraphs(self) -> tuple[str, ...]:
        """What else there is to say."""
        return in_paragraphs(self.more)

    @property
    def done(self) -> str:
        """What is done, without its reason."""
        return " ".join([*([] if self.first else [self.head]), *self.listed])

    @property
    def whole(self) -> str:
        """All of it, one sentence after the other."""
        return " ".join(part for part in (self.done, self.rest) if part)


def said(parts: Iterable[str | Deed], mind: Iterable[str] = ()) -> Said:
    """Sentences: the first is the head, the next the reason. A deed that comes first is the head.

    A very short one takes the next along, where a heading bears both.

    >>> said(["Carry on.", "Knit the front wider.", "The back is wide."])
    Said(head='Carry on. Knit the front wider.', because='The back is wide.', more=(), deeds=(), first=None, mind=())
    """
    first, *rest = [part for part in parts if part]
    deeds = tuple(part for part in rest if isinstance(part, Deed))
    sentences = [part for part in rest if not isinstance(part, Deed)]
    heading_deed = first if isinstance(first, Deed) else None
    head = first if isinstance(first, str) else capital(first.ended)
    if isinstance(first, Deed) and len(head) > MOST_HEAD:
        heading_deed = None
        head, deeds = f"{capital(few(1 + len(deeds)))} things to do, in this order.", (first, *deeds)
    while sentences and not deeds and len(head) < SHORT and len(f"{head} {sentences[0]}") <= MOST_HEAD:
        head = f"{head} {sentences.pop(0)}"
    because, *more = sentences or [""]
    return Said(head, because, tuple(more), deeds, heading_deed, tuple(mind))
