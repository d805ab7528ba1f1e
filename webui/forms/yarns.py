"""The form of a yarn: three fibres with their shares, four lots on hand."""

from __future__ import annotations

from typing import get_args

from fitcheck.records.places import Path
from fitcheck.records.yarns import Fibre
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, Rows
from webui.forms.typed import GRAMS, METRES, PERCENT

FIBRES = (("", "not said"), *((fibre, fibre.replace("_", " ")) for fibre in get_args(Fibre)))


def _fibre(number: int, nth: str) -> tuple[Field, ...]:
    return (
        Field(f"fibre_{number}", f"{nth} fibre", "choice", choices=FIBRES, place=("fibre",), group="fibres"),
        Field(
            f"percent_{number}",
            "Share",
            "decimal",
            place=("percent",),
            group="fibres",
            after="%",
            own=PERCENT,
            alone=f"Share of fibre {number}",
        ),
    )


def _lot(number: int) -> tuple[Field, ...]:
    return (
        Field(f"lot_{number}", "Lot", place=("lot",), alone=f"Lot {number}"),
        Field(
            f"grams_{number}",
            "On hand",
            "decimal",
            place=("grams",),
            after="g",
            own=GRAMS,
            alone=f"Lot {number}, grams on hand",
        ),
    )


class YarnForm(Form):
    """Shares and lots go with their fibre and their grams."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form; one share may stay empty, it is what is left of a hundred."""
        document = super().read(draft, unit, document, under)
        for number in (1, 2, 3):
            percent = draft.text(f"percent_{number}")
            if percent and not draft.text(f"fibre_{number}"):
                draft.refuse(f"fibre_{number}", f"Which fibre is it of which {percent} % are in the yarn?")
        for number in (1, 2, 3, 4):
            if draft.text(f"lot_{number}") and not draft.text(f"grams_{number}"):
                draft.refuse(f"grams_{number}", "How many grams of this lot are on hand? 0 where it is used up.")
        shares = document.get("fibres", [])
        unsaid = [share for share in shares if "percent" not in share]
        left = 100 - sum(share["percent"] for share in shares if isinstance(share.get("percent"), (int, float)))
        for share in unsaid:
            share["percent"] = left if len(unsaid) == 1 else ""
        return document


YARN = YarnForm(
    (
        Field("name", "Name", needed="A name: grey wool on the cone.", required=True),
        Rows("fibres", tuple(_fibre(number, nth) for number, nth in enumerate(("First", "Second", "Third"), start=1))),
        Rows("lots", tuple(_lot(number) for number in (1, 2, 3, 4))),
        Field("tex", "1000 m of one strand weigh", "decimal", group="more", after="g", own=("tex",)),
        Field("m_per_100g", "or 100 g are", "decimal", group="more", after="m", own=METRES, alone="100 g are"),
        Field("care_label", "Care label", group="more"),
        Field("oiled", "Spun in oil: washed pieces come out lighter", "check", group="more"),
        Field("notes", "Notes", "lines", rows=2),
    )
)
