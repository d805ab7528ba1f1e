"""The form of what a make must fit: a garment and one of its measurings, numbers, body and ease; wishes, tolerances."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from fitcheck.records.households import Household
from fitcheck.records.places import Path
from fitcheck.records.points import POINTS
from fitcheck.words import point_name
from fitcheck.words.dates import write_day
from fitcheck.words.names import record_name
from fitcheck.words.phrases import capital
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, Pairs, group, inside, named, put

MEANT = (("flat", "flat"), ("round", "round"), ("piece", "on the piece"))
SIDES = ("smaller", "larger")
COPIED = (("", "not said"), ("yes", "yes"), ("no", "no, its figures are not to be copied"))
AS_READ = {"yes": True, "no": False}
"""Whether the garment is copied as it was read."""


def _measurings(household: Household) -> Pairs:
    """Sweaters of the wardrobe with their measurings, the latest first."""
    choices = [("", "no sweater of the wardrobe")]
    for garment in household.garments:
        for occasion in reversed(garment.occasions):
            # The day first: two measurings of one sweater differ in nothing else, and a phone cuts off what is long.
            day = f"{write_day(occasion.on)}, " if occasion.on else ""
            choices.append((f"{garment.id} {occasion.id}", day + record_name(garment)))
    return choices


def _of_point(key: str) -> list[Field]:
    """The fields of a point: a number, a wish, the ease of the body, and what is allowed."""
    called, flat, allowed = f"{capital(point_name(key))}: ", POINTS[key].flat, ("tolerances", key)
    ease = "ease, round" if flat else "ease"

    def length(name: str, label: str, place: Path, alone: str = "") -> Field:
        return Field(f"{name}-{key}", label, "length", place=place, alone=called + (alone or label))

    def meant(name: str, label: str, place: Path, alone: str = "") -> list[Field]:
        field = Field(f"{name}-{key}", label, "choice", "", MEANT, place, alone=called + (alone or label))
        return [field] if flat else []

    return [
        length("number", "number", ("fits", "numbers", key, "length")),
        *meant("meant", "said", ("fits", "numbers", key, "meant"), "number said"),
        length("wish", "wish, + or −", ("wishes", key, "by"), "wish"),
        *group(
            key,
            length("ease", ease, ("fits", "ease", key), "ease"),
            length("smaller", "may be smaller by", (*allowed, "smaller")),
            length("larger", "may be larger by", (*allowed, "larger")),
        ),
        *meant("allowed_meant", "allowed, said", (*allowed, "meant")),
    ]


class FitsForm(Form):
    """How a figure is meant goes with the figure; both sides of what is allowed go together."""

    usual: ClassVar = {"meant": "flat", "allowed_meant": "flat"}

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form. A number that was asked about and kept stays so while it is the same.

        Whether the garment is copied as it was read is said of one garment, and not of the next one.
        """
        fits = dict((document or {}).get("fits", {}))
        before = {key: dict(number) for key, number in fits.get("numbers", {}).items()}
        document = super().read(draft, unit, document, under)
        garment, _, occasion = draft.at((*under, "fits", "garment"), "occasion").partition(" ")
        for name, value in (("pinned", None), ("garment", garment), ("occasion", occasion)):
            put(document, ("fits", name), value)
        as_read = AS_READ.get(draft.text("as_read"))
        of_another = garment != fits.get("garment", garment) and as_read is fits.get("as_read")
        put(document, ("fits", "as_read"), None if of_another else as_read)
        for key, point in POINTS.items():
            for place, name in ((("fits", "numbers", key), "length"), (("wishes", key), "by")):
                if inside(document, (*place, name)) is None:
                    put(document, place, None)
            number = inside(document, ("fits", "numbers", key)) or {}
            if number.get("length") != before.get(key, {}).get("length"):
                number.pop("confirmed", None)
            allowed = inside(document, ("tolerances", key)) or {}
            if any(side in allowed for side in SIDES):
                usual = {side: f"{mm:g} mm" for side, mm in zip(SIDES, point.tolerance, strict=True)}
                document["tolerances"][key] = {**usual, **allowed}
            else:
                put(document, ("tolerances", key), None)
        return document

    def places(self, typed: Mapping[str, str], document: Document) -> Iterator[tuple[str, Path]]:
        """As of every form; the sweater and its measuring are said together."""
        return ((name, ("fits",) if name == "occasion" else place) for name, place in super().places(typed, document))

    def write(self, record: Any, unit: str) -> dict[str, str]:
        """As of every form."""
        fits = record.fits
        pinned = f"{fits.garment} {fits.occasion}" if fits.garment else ""
        as_read = next((said for said, value in AS_READ.items() if value is fits.as_read), "")
        return {**super().write(record, unit), "occasion": pinned, "as_read": as_read}


STRETCHES = (
    "For a rib, what is worn stretched, what was read worn or was read again since; it is asked where something hangs "
    "on it."
)
BODY = "For ease: the measures of the body come from here."
FITS = FitsForm(
    (
        Field(
            "occasion", "The sweater that it must fit", "choice", "", _measurings, ("fits", "pinned"), adds="garments"
        ),
        Field("as_read", "Copied as it was read", "choice", STRETCHES, COPIED, ("fits", "as_read")),
        Field("wearer", "Who will wear it", "choice", BODY, named("wearers", "nobody in particular"), adds="wearers"),
        *(field for key in POINTS for field in _of_point(key)),
    )
)
