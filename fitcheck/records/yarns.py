"""Yarn: fibre, thickness, lots and grams on hand."""

from typing import Annotated, Literal

from pydantic import Field, field_validator

from fitcheck.records.base import Key, Note, Record, Text, no_entries, refused
from fitcheck.records.faults import Accepts

Fibre = Literal[
    "wool",
    "superwash_wool",
    "alpaca",
    "mohair",
    "silk",
    "cotton",
    "linen",
    "acrylic",
    "polyamide",
    "viscose",
    "other",
]
FELTS: tuple[Fibre, ...] = ("wool", "alpaca", "mohair")
"""Fibres that felt in a hot or rough wash (common practice, no source)."""
HOLDS_NO_STRETCH: tuple[Fibre, ...] = ("cotton", "acrylic", "superwash_wool", "linen", "viscose")
"""Fibres that do not hold a piece that was blocked larger (common practice, no source)."""


class FibreShare(Record):
    """One fibre of the mix and its share [percent]."""

    fibre: Fibre
    percent: Annotated[float, Field(gt=0, le=100)]


class Lot(Record):
    """One dye lot and what is on hand of it [g]."""

    lot: Text = ""
    grams: Annotated[float, Field(ge=0, le=100_000)]


class Yarn(Record):
    """A yarn of the household.

    tex            grams per 1000 m of one strand
    m_per_100g     metres in 100 g, where the label says so instead
    oiled          spun in oil: washed pieces come out lighter
    """

    id: Key
    name: Text
    fibres: list[FibreShare] = Field(default_factory=no_entries)
    tex: Annotated[float, Field(gt=0, le=10_000)] | None = None
    m_per_100g: Annotated[float, Field(gt=0, le=10_000)] | None = None
    oiled: bool = False
    lots: list[Lot] = Field(default_factory=no_entries)
    care_label: Text = ""
    notes: Note = ""

    @field_validator("fibres")
    @classmethod
    def _shares_add_up(cls, fibres: list[FibreShare]) -> list[FibreShare]:
        total = sum(share.percent for share in fibres)
        if fibres and abs(total - 100) > 1:
            raise refused(Accepts("shares_of_100_percent", these_make=total))
        return fibres

    @property
    def main_fibre(self) -> Fibre | None:
        """The fibre with the largest share; None when no fibre is said."""
        return max(self.fibres, key=lambda share: share.percent).fibre if self.fibres else None

    @property
    def may_felt(self) -> bool:
        """Whether it felts in a hot or rough wash; of one whose fibres nobody said it may."""
        return not self.fibres or any(share.fibre in FELTS for share in self.fibres)

    @property
    def holds_a_stretch(self) -> bool | None:
        """Whether a piece blocked larger stays so: not with a fifth of what does not hold; None unsaid."""
        if not self.fibres:
            return None
        slack = sum(share.percent for share in self.fibres if share.fibre in HOLDS_NO_STRETCH)
        return slack < 20
