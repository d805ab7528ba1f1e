"""A record as it stands in the store, and how its document is read back. It knows records and faults, no more."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import Field

from fitcheck.records.base import Note, Record, Text
from fitcheck.records.cross_checks import KINDS
from fitcheck.records.frozen import frozen
from fitcheck.records.households import TapePool
from fitcheck.store.spoilt import RecordUnreadable

HOUSEHOLD = "household"
"""Kind and key of the record with the household's own settings."""


class Settings(Record):
    """What the household says of itself: the fields of a household file that are no lists of records."""

    unit: Literal["mm", "cm", "m", "in"]
    name: Text = ""
    invented: bool = False
    tape: Annotated[TapePool, Field()] = TapePool()
    notes: Note = ""


MODELS: dict[str, type[Record]] = {**KINDS, HOUSEHOLD: Settings}
"""The model of each kind that the store keeps."""


def read_back(kind: str, key: str, text: str) -> Any:
    """Read a document that stands in the store; its lengths carry their units. Raises RecordUnreadable."""
    try:
        return _read(kind, text)
    except ValueError:
        # What pydantic says of it quotes what stands there.
        raise RecordUnreadable(kind, key) from None


def readable(kind: str, text: str) -> bool:
    """Return whether a document that stands in the store can be read."""
    try:
        _read(kind, text)
    except ValueError:
        return False
    return True


@lru_cache(maxsize=256)
def _read(kind: str, text: str) -> Any:
    """Records are frozen, so what is asked for again and again is read once: between two answers one changes."""
    return MODELS[kind].model_validate_json(text)


@frozen
class Stored:
    """A record as it stands in the store, at one revision.

    at    when this revision was written, UTC
    text  its document, in the one writing that the store has for it
    """

    kind: str
    key: str
    revision: int
    deleted: bool
    at: str
    text: str

    @property
    def doc(self) -> dict[str, Any]:
        """The document as plain data; a new copy each time. Raises RecordUnreadable."""
        try:
            data: Any = json.loads(self.text)
        except ValueError:
            data = None
        if not isinstance(data, dict):
            raise RecordUnreadable(self.kind, self.key)
        return data

    @property
    def record(self) -> Any:
        """The document as its model: a Garment, a Make and so on. Raises RecordUnreadable."""
        return read_back(self.kind, self.key, self.text)
