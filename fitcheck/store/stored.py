"""A record as it stands in the store, and how its document is read back. It knows the records and nothing else here."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Any, Literal

from pydantic import Field

from fitcheck.records.base import Note, Record, Text
from fitcheck.records.cross_checks import KINDS
from fitcheck.records.households import TapePool

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


@lru_cache(maxsize=256)
def read_back(kind: str, text: str) -> Any:
    """Read a document that stands in the store; its lengths carry their units.

    Records are frozen, so what is asked for again and again is read once: between two answers one of a make's changes.
    """
    return MODELS[kind].model_validate_json(text)


@dataclass(frozen=True, slots=True)
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
        """The document as plain data; a new copy each time."""
        data: dict[str, Any] = json.loads(self.text)
        return data

    @property
    def record(self) -> Any:
        """The document as its model: a Garment, a Make and so on."""
        return read_back(self.kind, self.text)
