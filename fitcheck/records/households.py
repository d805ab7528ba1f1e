"""A household: everything that is kept, in one bundle, one JSON file."""

from collections.abc import Iterable
from typing import Annotated, Literal, Protocol, TypeVar

from pydantic import Field

from fitcheck.records.base import Key, Note, Record, Text, no_entries
from fitcheck.records.begun_sheets import SheetTaps
from fitcheck.records.garments import Garment
from fitcheck.records.machines import Machine
from fitcheck.records.makes import Make
from fitcheck.records.places import Path, Place
from fitcheck.records.size_tables import SizeTable
from fitcheck.records.swatches import Swatch
from fitcheck.records.wearers import Wearer
from fitcheck.records.yarns import Yarn

FORMAT = 4
"""Version of the household file; earlier ones are read (`formats`), an unknown one is refused by name."""


LARGEST_RATIO = 1e4
"""Largest ratio of a frozen set [1]: no hand spreads a hundred times as far as assumed; a step of whole metres does."""


class TapeSet(Record):
    """What one record of the household said about the tape's repeatability, frozen.

    of      key of the record that the readings stand in
    dof     degrees of freedom of its readings [1]
    ratio   mean square of its readings over what was assumed before [1]
    """

    of: Key
    kind: Literal["readings", "overhangs"] = "readings"
    dof: Annotated[float, Field(gt=0, le=1e6)]
    ratio: Annotated[float, Field(ge=0, le=LARGEST_RATIO)]


class TapePool(Record):
    """The household's pool of repeatability with its own revision, frozen into every export.

    A make leaves out the sets of records that it reads itself, so no reading speaks twice.
    """

    revision: Annotated[int, Field(ge=0)] = 0
    sets: list[TapeSet] = Field(default_factory=no_entries)


class Household(Record):
    """Everything that one household keeps.

    fitcheck   version of the format
    unit       unit of bare numbers in this file
    taps       what was tapped at the machine on the sheets that makes began
    photographs_left_out   how many photographs the records name that this file does not bring
    """

    fitcheck: Literal[4]
    unit: Literal["mm", "cm", "m", "in"]
    name: Text = ""
    invented: bool = False
    tape: TapePool = TapePool.model_construct()
    wearers: list[Wearer] = Field(default_factory=no_entries)
    garments: list[Garment] = Field(default_factory=no_entries)
    yarns: list[Yarn] = Field(default_factory=no_entries)
    machines: list[Machine] = Field(default_factory=no_entries)
    swatches: list[Swatch] = Field(default_factory=no_entries)
    size_tables: list[SizeTable] = Field(default_factory=no_entries)
    makes: list[Make] = Field(default_factory=no_entries)
    taps: list[SheetTaps] = Field(default_factory=no_entries)
    notes: Note = ""
    photographs_left_out: Annotated[int, Field(ge=0)] = 0

    def path_of(self, place: Place) -> Path:
        """The path of a place in the file of this household, where a record stands by its number."""
        records = getattr(self, place.kind)
        number = next(number for number, record in enumerate(records) if record.id == place.key)
        return (place.kind, number, *place.path)


class Keyed(Protocol):
    """A record that has a key."""

    @property
    def id(self) -> str | None: ...  # noqa: D102 - the key


Kept = TypeVar("Kept", bound=Keyed)


def by_key(records: Iterable[Kept], key: str | None) -> Kept | None:
    """Return the record with that key; None without a key, or where no record has it."""
    return next((record for record in records if record.id == key), None) if key else None
