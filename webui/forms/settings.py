"""The form of the settings: what this device remembers, and what the household says of itself."""

from __future__ import annotations

from fitcheck.records.places import Path
from fitcheck.words import wants
from webui.forms.drafts import Draft
from webui.forms.fields import NOWHERE, Document, Field, Form

UNITS = (("cm", "centimetres"), ("in", "inches"))
MARKS = (("point", "point: 51.2"), ("comma", "comma: 51,2"))
PARTS = (("8", "1/8 in"), ("16", "1/16 in"))
THUMBS = (("right", "right thumb"), ("left", "left thumb"))
WHO = "A name beside each reading. Left empty, it is the one who measured last."


class SettingsForm(Form):
    """Buttons take nothing but what stands on them."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form."""
        for name, choices in (("unit", UNITS), ("mark", MARKS), ("parts", PARTS), ("thumb", THUMBS)):
            if draft.text(name) not in dict(choices):
                draft.refuse(name, wants.one_of([label for _, label in choices]))
        return super().read(draft, unit, document, under)


SETTINGS = SettingsForm(
    (
        Field("unit", "Unit", "pick", choices=UNITS),
        Field("mark", "Decimal mark", "pick", choices=MARKS, place=NOWHERE),
        Field("parts", "Finest fraction", "pick", choices=PARTS, place=NOWHERE),
        Field("thumb", "Measuring walk", "pick", choices=THUMBS, place=NOWHERE),
        Field("by", "Who measures", hint=WHO, place=NOWHERE, short=True),
        Field("name", "Name of the household", hint="Stands in the household file."),
        Field("notes", "Notes", "lines", rows=2),
    )
)
