"""The invented household: brought in to look round, and taken away again with one click."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

from fitcheck.records.households import Household
from fitcheck.store import Store
from fitcheck.store.faults import NotFound, StillNamed
from fitcheck.store.stored import HOUSEHOLD

_LAST_NAMED_FIRST = ("makes", "size_tables", "swatches", "garments", "machines", "yarns", "wearers")


def bring(store: Store) -> int:
    """Bring the invented household in and return how many records came; the household's own settings stay.

    Raises ImportConflicts when a record of the same key is here already and differs.
    """
    before = store.get(HOUSEHOLD, HOUSEHOLD)
    came = store.import_bundle(_raw())
    after = store.get(HOUSEHOLD, HOUSEHOLD)
    if after.text != before.text:  # an empty store takes the settings of the first bundle
        store.put(HOUSEHOLD, HOUSEHOLD, before.doc, after.revision)
    return len(came.created)


def remove(store: Store) -> list[str]:
    """Delete every invented record that no other record names; return the names of those that had to stay."""
    left = [(kind, key) for kind in _LAST_NAMED_FIRST for key in _keys()[kind] if _came_with_it(store, kind, key)]
    gone = True
    while left and gone:
        gone = False
        for kind, key in list(left):
            try:
                store.delete(kind, key, store.get(kind, key).revision)
            except StillNamed:
                continue
            left.remove((kind, key))
            gone = True
    return [str(store.get(kind, key).doc.get("name", key)) for kind, key in left]


def here(household: Household) -> bool:
    """Whether any make or garment of the invented household is in this one."""
    own = {("makes", record.id) for record in household.makes} | {
        ("garments", record.id) for record in household.garments
    }
    return any((kind, key) in own for kind in ("makes", "garments") for key in _keys()[kind])


def is_invented(key: str, kind: str = "makes") -> bool:
    """Whether a record, a make where nothing else is said, has the key of an invented one."""
    return key in _keys().get(kind, ())


def among(household: Household, *kinds: str) -> frozenset[tuple[str, str]]:
    """Kind and key of the invented records of some kinds; none where all are, for then nothing is to be told apart."""
    every = {(kind, record.id) for kind in kinds for record in getattr(household, kind)}
    made_up = frozenset((kind, key) for kind, key in every if is_invented(key, kind))
    return made_up if made_up != every else frozenset()


def put_away(household: Household, kind: str, key: str) -> bool:
    """Whether a deleted record is of the invented household, and that is not here: it comes back with it."""
    return is_invented(key, kind) and not here(household)


def _came_with_it(store: Store, kind: str, key: str) -> bool:
    try:
        store.get(kind, key)
    except NotFound:
        return False
    return store.history(kind, key)[-1].what == "imported"


def _raw() -> bytes:
    return files("demo_garments").joinpath("household.json").read_bytes()


@cache
def _keys() -> dict[str, tuple[str, ...]]:
    bundle = json.loads(_raw())
    return {kind: tuple(record["id"] for record in bundle.get(kind, ())) for kind in _LAST_NAMED_FIRST}
