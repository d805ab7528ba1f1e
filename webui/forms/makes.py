"""The form of a make's settings: who wears it, how it is built, yarn, swatches, size, seams and bands."""

from __future__ import annotations

from typing import Any, get_args

from fitcheck.records.base import as_typed
from fitcheck.records.places import Path
from fitcheck.records.points import SeamEdge
from fitcheck.words import wants
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, group, named, put
from webui.forms.garments import BUILT
from webui.forms.typed import STITCHES

SEAMS = (
    ("", "usual: mattress stitch"),
    ("mattress", "mattress stitch"),
    ("half_stitch", "half a stitch from the edge"),
    ("linked", "linked, or loop by loop"),
    ("overlap", "overlapped"),
    ("none", "no seam"),
)
BANDS = {"hem": "Lower edge", "cuff": "Cuff", "neck": "Neck", "front": "Front"}
HOW = (
    ("", "no band"),
    ("knitted_on", "the piece has it"),
    ("added_later", "added later"),
    ("turned", "still to be turned"),
)
OPENS = {"": "open where it has a band", "open": "open, in two halves", "closed": "in one piece"}
_OPEN = {"open": True, "closed": False}
FIBRES_TELL = "Its fibres tell whether a piece can be blocked larger."
WHEN = "such as 25 Nov 2026; empty while it is being made"


def _band(edge: str, name: str) -> tuple[Field, ...]:
    at = ("bands", edge)
    return group(
        "bands",
        Field(f"band-{edge}", name, "choice", choices=HOW, place=(*at, "how"), alone=f"{name}, band"),
        Field(f"depth-{edge}", f"{name}, depth", "length", place=(*at, "depth")),
    )


def _seam(edge: str) -> Field:
    return Field(f"seam-{edge}", f"{edge.capitalize()} seam", "choice", choices=SEAMS, place=("seams", edge))


def _cost(name: str, label: str, *under: str) -> Field:
    return Field(name, label, "decimal", place=("costs", *under, name))


COSTS = group(
    "costs",
    _cost("measure", "A round of measuring"),
    _cost("alter_hem", "Rows off or on at the lower end"),
    _cost("block_again", "Blocking a piece again"),
    _cost("rip_extra", "Ripping back, beyond what is ripped"),
    _cost("knit_extra", "Knitting again, beyond the piece itself"),
    _cost("printed_counts", "Other counts where you follow printed numbers"),
    _cost("front", "A front", "shares"),
    _cost("half_front", "Half an open front", "shares"),
    _cost("sleeve", "A sleeve", "shares"),
    _cost("side_panel", "A side panel", "shares"),
)
"""What each act costs, and what each piece is where the back has no counts [1 = knitting a back once]."""


class MakeForm(Form):
    """Bands are a list in the record and stand by their edge in the form; whether the front is open is yes or no."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form; a band wants both its depth and how it comes on."""
        document = {} if document is None else document
        document["bands"] = {band["edge"]: band for band in document.get("bands", ())}
        super().read(draft, unit, document, under)
        if front := document.get("open_front"):
            document["open_front"] = _OPEN.get(front, front)
        bands: list[Document] = []
        for edge, band in document.pop("bands", {}).items():
            if "how" in band:
                for name, field in (("how", f"band-{edge}"), ("depth", f"depth-{edge}")):
                    draft.at((*under, "bands", len(bands), name), field)
                bands.append({"depth": "", **band, "edge": edge})
            elif draft.text(f"depth-{edge}"):
                draft.refuse(f"band-{edge}", wants.HOW_BAND)
        put(document, ("bands",), bands)
        return document

    def write(self, record: Any, unit: str) -> dict[str, str]:
        """As of every form."""
        typed = super().write(record, unit)
        typed["open_front"] = next((front for front, opens in _OPEN.items() if opens is record.open_front), "")
        for band in record.bands:
            typed |= {f"band-{band.edge}": band.how, f"depth-{band.edge}": as_typed(band.depth)}
        return typed


MAKE = MakeForm(
    (
        Field("name", "Name", needed="A name that tells it from the others: grey pullover.", wide=True),
        *group(
            "first",
            Field(
                "wearer", "Who will wear it", "choice", choices=named("wearers", "nobody in particular"), adds="wearers"
            ),
            Field("construction", "How it is built", "choice", choices=BUILT),
            Field("open_front", "Its front", "choice", choices=tuple(OPENS.items())),
            Field("yarn", "Yarn", "choice", FIBRES_TELL, named("yarns", "not said"), adds="yarns"),
            Field("machine", "Machine", "choice", choices=named("machines", "not said"), adds="machines"),
            Field(
                "size_table",
                "Sizes of the pattern",
                "choice",
                choices=named("size_tables", "none"),
                wide=True,
                adds="size_tables",
            ),
            Field("size", "Size that is knitted", short=True),
        ),
        Field("swatches", "Swatches of this fabric", "keys", choices=named("swatches"), adds="swatches"),
        *(field for edge, name in BANDS.items() for field in _band(edge, name)),
        *group("seams", *(_seam(edge) for edge in get_args(SeamEdge))),
        *group(
            "more",
            Field("seam_overlap", "Overlap of an overlapped seam", "length"),
            Field("front_band", "Front band, closed", "length"),
            Field("panel_width", "Width of one side panel", "length"),
            Field("thickness", "Thickness of the fabric", "thickness"),
            Field("multiple", "Stitches of a repeat", "count", own=STITCHES, unsaid=1),
            Field("balance", "Stitches over", "count", own=STITCHES, unsaid=0),
        ),
        *COSTS,
        Field("finished", "Finished on", "day", WHEN),
        Field("notes", "Notes", "lines"),
    )
)
