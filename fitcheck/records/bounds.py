"""How much a document may hold: far beyond what anybody writes down, and little enough to be looked at at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import chain

from fitcheck.records.faults import Accepts
from fitcheck.records.places import Path

MOST_RECORDS = 6000
"""Records in one household file, at most."""
MOST_OF_A_FILE = 80_000
"""Entries of all lists of a file, readings above all, at most."""
MOST_ROWS = 20_000
"""Readings in one table, at most."""
MOST_ENTRIES = 5000
"""Entries of one list in a record, and readings in a record, at most: who reads daily fills it in thirteen years."""
MOST_PARTS = 50_000
"""Objects and lists inside one record, at most: ten for each reading."""

_HOLDS_MORE = (dict, list)
"""What of JSON has something inside; it is read into these very types."""

Beyond = tuple[Path, str, Accepts]
"""Where something is too much, what was read there, and what is accepted."""


def beyond_a_record(document: object) -> Beyond | None:
    """What no record needs, found before anything in it is looked at; None where it may be looked at."""
    return _walked(document)[0]


def _walked(document: object) -> tuple[Beyond | None, int]:
    """What is too much in a record, and how many entries its lists have; level by level from the outside in."""
    level, parts, entries = [document], 0, 0
    while level:
        groups = [part for part in level if type(part) is dict]
        lists = [part for part in level if type(part) is list]
        parts += len(level)
        lengths = [*map(len, lists)]
        entries += sum(lengths)
        if lengths and max(lengths) > MOST_ENTRIES:
            return ((), f"a list of {max(lengths):,}", Accepts("entries_of_a_list", most=MOST_ENTRIES)), entries
        if parts > MOST_PARTS:
            read = f"more than {MOST_PARTS:,} lists and groups"
            return ((), read, Accepts("parts_of_a_record", most=MOST_PARTS)), entries
        inside = chain(*[group.values() for group in groups], *lists)
        level = [part for part in inside if type(part) in _HOLDS_MORE]
    return None, entries


def beyond_a_file(document: object, kinds: Sequence[str]) -> Beyond | None:
    """What no household file needs, in its lists of records."""
    lists = [(kind, document.get(kind)) for kind in kinds] if isinstance(document, Mapping) else []
    listed = [(kind, records) for kind, records in lists if isinstance(records, list)]
    count, entries = sum(len(records) for _, records in listed), 0
    if count > MOST_RECORDS:
        return (), f"{count:,} records", Accepts("records_of_a_file", most=MOST_RECORDS)
    for kind, records in listed:
        for number, record in enumerate(records):
            beyond, more = _walked(record)
            entries += more
            if beyond is not None:
                return (kind, number), *beyond[1:]
    if entries > MOST_OF_A_FILE:
        return (), f"{entries:,} readings and other entries", Accepts("entries_of_a_file", most=MOST_OF_A_FILE)
    return None
