"""Sentences of the Table: what each make waits for, its next deed, and since when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from fitcheck.reports.waits import Waits
from fitcheck.words.dates import SHORT_MONTHS, write_day
from fitcheck.words.phrases import capital, count_words, few, listed
from fitcheck.words.said import Deed, Said

GROUPS: Mapping[Waits, str] = {
    "tape": "Waits for the tape",
    "wash": "Waits for the wash",
    "knit": "Ready to knit",
    "sew": "Ready to sew up",
}
"""The headings of the groups, in the order in which they stand."""
_IN_HEAD: Mapping[Waits, str] = {
    "tape": "for the tape",
    "wash": "for the wash",
    "knit": "ready to knit",
    "sew": "ready to sew up",
}
MOST_BESIDE = 14
"""Words of what stands beside a deed in a list: two lines of a phone."""
NOTHING = "Nothing is on the table yet."


def head(counts: Mapping[Waits, int], under_way: int) -> str:
    """How many makes wait for what: "4 for the tape, 2 for the wash, 6 ready to knit."

    counts     of those that this page lists
    under_way  how many there are on all pages
    """
    if not under_way:
        return NOTHING
    told = ", ".join(f"{counts[waits]} {_IN_HEAD[waits]}" for waits in GROUPS if counts.get(waits))
    here = sum(counts.values())
    return f"{here} of {under_way}: {told}." if here < under_way else f"{told}."


def deed(said: Said) -> str:
    """What is to be done first: the heading of the answer, or the first of its deeds."""
    first = said.first
    if first is None:
        return said.head
    return f"{capital(first.what)}." if first.when == "now" else f"{first.label} {first.ended}"


def beside(said: Said) -> str:
    """What stands under the deed: how much else there is to do; else why, where that is short."""
    if said.first is not None and said.deeds:
        return f"And {_more(said.deeds)}."
    return said.because if not said.deeds and said.because.count(" ") < MOST_BESIDE else ""


def _more(deeds: Sequence[Deed]) -> str:
    """ "two things more, for the front and for making up" """
    whens = [when for when in dict.fromkeys(deed.when for deed in deeds) if when != "now"]
    things = "one thing" if len(deeds) == 1 else f"{few(len(deeds))} things"
    return f"{things} more{f', {listed(whens)}' if whens else ''}"


def since(when: date, today: date) -> str:
    """Since when it waits: "since 28 Sept", with the year where that is another."""
    day = f"{when.day} {SHORT_MONTHS[when.month - 1]}" if when.year == today.year else write_day(when)
    return f"since {day}"


# Every make


def makes_here(under_way: int, finished: int) -> str:
    """How many sweaters there are: "11 under way, 1 finished."."""
    if not under_way and not finished:
        return "No sweater is being made yet."
    parts = [f"{count} {word}" for count, word in ((under_way, "under way"), (finished, "finished")) if count]
    return f"{count_words(under_way + finished, 'sweater')}: {', '.join(parts)}."


def dated(started: date | None, finished: date | None) -> str:
    """From when to when a sweater was made: "6 Sept to 27 Nov 2025"; "begun 6 Sept 2025"."""
    if finished is None:
        return f"begun {write_day(started)}" if started else ""
    if started is None:
        return f"finished {write_day(finished)}"
    same = started.year == finished.year
    begin = f"{started.day} {SHORT_MONTHS[started.month - 1]}" if same else write_day(started)
    return f"{begin} to {write_day(finished)}"


def waiting(waits: Waits) -> str:
    """What a make waits for, in few words of a list: "waits for the tape"."""
    return GROUPS[waits][0].lower() + GROUPS[waits][1:]
