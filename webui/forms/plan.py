"""The form of a plan: five numbers at least, from which a make, a swatch and a size table are made."""

from __future__ import annotations

from fitcheck.records.households import Household
from fitcheck.words import wants
from webui.forms.drafts import Draft
from webui.forms.fabrics import fabrics_of, ways_of
from webui.forms.fields import Document, Field, Form, Pairs, named
from webui.forms.typed import STITCHES

MEANT = (("flat", "flat, half round"), ("round", "round"))


def _fabrics(household: Household) -> Pairs:
    ways = [way for fabric in fabrics_of(household) for way in ways_of(fabric, household)]
    return [("", "a swatch that I type"), *((way.key, f"{way.name} ({len(way.swatches)})") for way in ways)]


def _size(number: int, which: str) -> Form:
    at, alone = ("pieces", "back", "chest", "count"), f"{which} size, stitches at its chest"
    name = Field(f"size_{number}", f"{which} size is called", place=("name",), short=True)
    return Form((name, Field(f"count_{number}", "Stitches at its chest", "count", place=at, own=STITCHES, alone=alone)))


WANTED = Form(
    (
        Field("chest", "Chest", "bare_length", place=("fits", "numbers", "chest", "length")),
        Field("chest_meant", "Meant", "pick", choices=MEANT, place=("fits", "numbers", "chest", "meant"), begin="flat"),
    )
)
"""What the make must fit."""
CHOSEN = Form(
    (
        Field(
            "garment",
            "Or as a garment of the wardrobe",
            "choice",
            choices=named("garments", "a number instead"),
            adds="garments",
        ),
        Field("fabric", "From the swatch book", "choice", choices=_fabrics, adds="swatches"),
        Field(
            "table",
            "From the size tables",
            "choice",
            choices=named("size_tables", "two sizes that I type"),
            adds="size_tables",
        ),
    )
)
"""Records that stand for what could be typed."""
HOW_MANY = "How many stitches lie between the marks of the swatch."
COUNT = ("stitches", "count")
SWATCH = Form(
    (
        Field("stitches", "Stitches between the marks", "count", place=COUNT, own=STITCHES, needed=HOW_MANY),
        Field("dial", "Dial", short=True),
    )
)
HOW_WIDE = "The width between the marks of the swatch, washed and blocked."
WIDTH = Form((Field("across", "Width between the marks", "readings", needed=HOW_WIDE),))
"""The one stage of the swatch."""
SIZES = (_size(1, "One"), _size(2, "The other"))
PLAN = Form((*WANTED, *CHOSEN, *SWATCH, *WIDTH, *(field for size in SIZES for field in size)))
"""The whole form, as its page draws it."""


def keep_form(choices: Pairs, own: str) -> Form:
    """The form that keeps a plan as a make.

    choices  what there is to knit, a size or counts of one's own;  own: these counts, in words
    """
    return Form((Field("name", "What the sweater is called"), Field("knit", "Knit", "choice", own, choices)))


def read_swatch(draft: Draft, unit: str, stage: Document, *, confirmed: bool) -> Document:
    """The swatch that was typed.

    stage      what is known of its one stage, beside the width
    confirmed  the width was asked about and kept
    """
    document = SWATCH.read(draft, unit)
    WIDTH.read(draft, unit, stage, ("stages", 0))
    if confirmed:
        stage["across"] = [{**reading, "confirmed": True} for reading in stage["across"]]
    return {**document, "stages": [stage]}


def read_sizes(draft: Draft, unit: str) -> Document:
    """The size table that was typed: the sizes whose stitches are said."""
    sizes: list[Document] = []
    for number, form in enumerate(SIZES, start=1):
        if not draft.text(f"count_{number}"):
            continue
        size = form.read(draft, unit, {}, ("sizes", len(sizes)))
        size.setdefault("name", str(number))
        if size["name"] in [before["name"] for before in sizes]:
            draft.refuse(f"size_{number}", wants.OWN_NAME)
        sizes.append(size)
    return {"name": "typed sizes", "sizes": sizes}
