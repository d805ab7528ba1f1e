"""The form of a yarn: three fibres with their shares, four lots on hand."""

from __future__ import annotations

from typing import get_args

from fitcheck.records.places import Path
from fitcheck.records.yarns import Fibre
from fitcheck.words import wants
from fitcheck.words.phrases import spaced
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, Rows, group

FIBRES = (("", "not said"), *((fibre, spaced(fibre)) for fibre in get_args(Fibre)))


def _fibre(number: int, nth: str) -> tuple[Field, ...]:
    share = f"Share of fibre {number}"
    return group(
        "fibres",
        Field(f"fibre_{number}", f"{nth} fibre", "choice", choices=FIBRES, place=("fibre",), short=True),
        Field(f"percent_{number}", "Share", "decimal", place=("percent",), after="%", alone=share),
    )


def _lot(number: int) -> tuple[Field, ...]:
    lot, grams = f"Lot {number}", f"Lot {number}, grams on hand"
    return (
        Field(f"lot_{number}", "Lot", place=("lot",), alone=lot, short=True),
        Field(f"grams_{number}", "On hand", "decimal", place=("grams",), after="g", alone=grams),
    )


class YarnForm(Form):
    """Shares and lots go with their fibre and their grams."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form; one share may stay empty, it is what is left of a hundred."""
        document = super().read(draft, unit, document, under)
        for number in (1, 2, 3):
            percent = draft.text(f"percent_{number}")
            if percent and not draft.text(f"fibre_{number}"):
                draft.refuse(f"fibre_{number}", wants.which_fibre(percent))
            if percent:
                draft.at(("fibres",), f"percent_{number}")  # what is said of all shares stands beside the last
        for number in (1, 2, 3, 4):
            if draft.text(f"lot_{number}") and not draft.text(f"grams_{number}"):
                draft.refuse(f"grams_{number}", wants.GRAMS_ON_HAND)
        shares = document.get("fibres", [])
        unsaid = [share for share in shares if "percent" not in share]
        left = 100 - sum(share["percent"] for share in shares if isinstance(share.get("percent"), (int, float)))
        for share in unsaid:
            share["percent"] = left if len(unsaid) == 1 else ""
        if len(unsaid) > 1:
            for number in (1, 2, 3):
                if draft.text(f"fibre_{number}") and not draft.text(f"percent_{number}"):
                    draft.refuse(f"percent_{number}", wants.SHARE_OF_FIBRE)
        return document


YARN = YarnForm(
    (
        Field("name", "Name", needed="A name: grey wool on the cone.", required=True),
        Rows("fibres", tuple(_fibre(number, nth) for number, nth in enumerate(("First", "Second", "Third"), start=1))),
        Rows("lots", tuple(_lot(number) for number in (1, 2, 3, 4))),
        *group(
            "more",
            Field("tex", "1000 m of one strand weigh", "decimal", after="g", own=("tex",)),
            Field("m_per_100g", "or 100 g are", "decimal", after="m", alone="100 g are"),
            Field("care_label", "Care label"),
            Field("oiled", "Spun in oil: washed pieces come out lighter", "check"),
        ),
        Field("notes", "Notes", "lines", rows=2),
    )
)
