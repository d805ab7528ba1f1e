"""The settings of a make: its name, who wears it, how it is built, yarn, swatches, size, seams and bands."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, get_args

from flask import Blueprint, Response, request

from fitcheck.records.base import as_typed
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make, SeamKind
from fitcheck.records.points import SeamEdge
from fitcheck.store.stored import Stored
from webui.pages import ground, views
from webui.pages.drafts import Draft
from webui.pages.make import forms as make_forms

pages = Blueprint("make_settings", __name__)

SEAMS = {
    "": "usual: mattress stitch",
    "mattress": "mattress stitch",
    "half_stitch": "half a stitch from the edge",
    "linked": "linked, or loop by loop",
    "overlap": "overlapped",
    "none": "no seam",
}
BANDS = {"hem": "lower edge", "cuff": "cuff", "neck": "neck", "front": "front"}
NAMES = {
    "construction": "How it is built",
    "wearer": "Who will wear it",
    "size_table": "Sizes of the pattern",
    "size": "Size that is knitted",
    "swatches": "Swatches of this fabric",
    "multiple": "Stitches of a repeat",
    "balance": "Stitches over",
    "front_band": "Front band, closed",
    "panel_width": "Width of one side panel",
    "seam_overlap": "Overlap of an overlapped seam",
    "thickness": "Thickness of the fabric",
    "finished": "Finished on",
}
"""Fields of the form, as a conflict names them; the others are called as they are."""
HOW = (
    ("", "no band"),
    ("knitted_on", "the piece has it"),
    ("added_later", "added later"),
    ("turned", "still to be turned"),
)


@pages.get("/makes/<key>/settings")
def form(key: str) -> Response:
    """The form with what is kept now."""
    stored, make = ground.there("makes", key, make_forms.WHERE)
    return _form(make, Draft(_written(stored)))


@pages.post("/makes/<key>/settings")
def change(key: str) -> Response:
    """Keep the settings; pieces and readings stay as they are."""
    stored, make = ground.there("makes", key, make_forms.WHERE, form=True)
    draft = Draft({**ground.typed(request.form), "swatches": " ".join(request.form.getlist("swatches"))})
    choices = _choices()
    named = dict(choices["swatch"])
    sets = {text: ", ".join(named.get(one, one) for one in text.split()) for text in _swatch_sets(stored, draft)}
    return make_forms.keep(
        stored,
        draft,
        _document(draft, stored.doc, views.unit()),
        "its settings",
        lambda refused: _form(make, refused),
        _written,
        label=_label,
        choices={**choices, "swatches": list(sets.items())},
        usual={},
    )


def _swatch_sets(stored: Stored, draft: Draft) -> tuple[str, str]:
    return " ".join(stored.record.swatches), draft.text("swatches")


def _label(field: str) -> str | None:
    """What a field is called: "Hem seam", "Lower edge, depth"."""
    name, _, edge = field.partition("-")
    if name == "seam":
        return f"{ground.capital(edge)} seam"
    if edge in BANDS:
        return f"{ground.capital(BANDS[edge])}, {'depth' if name == 'depth' else 'band'}"
    return NAMES.get(name)


def _choices() -> dict[str, list[tuple[str, str]]]:
    """What the fields of the form offer."""
    household = ground.household()

    def named(records: Iterable[Any], none: str) -> list[tuple[str, str]]:
        return [("", none), *((one.id, ground.called(one, one.id)) for one in records)]

    return {
        "construction": [(one.key, one.name) for one in CONSTRUCTIONS.values()],
        "wearer": named(household.wearers, "nobody in particular"),
        "yarn": named(household.yarns, "not said"),
        "machine": named(household.machines, "not said"),
        "size_table": named(household.size_tables, "none"),
        "swatch": [(one.id, ground.called(one, one.id)) for one in household.swatches],
        **{f"seam-{edge}": list(SEAMS.items()) for edge in get_args(SeamEdge)},
        **{f"band-{edge}": list(HOW) for edge in BANDS},
    }


def _form(make: Make, draft: Draft) -> Response:
    choices = _choices()
    return views.page(
        "make_settings.html",
        422 if draft.refusals else 200,
        room="makes",
        make=make,
        typed=draft.typed,
        refusals=draft.refusals,
        constructions=choices["construction"],
        wearers=choices["wearer"],
        yarns=choices["yarn"],
        machines=choices["machine"],
        tables=choices["size_table"],
        swatches=choices["swatch"],
        chosen=draft.text("swatches").split(),
        edges=get_args(SeamEdge),
        seams=list(SEAMS.items()),
        bands=BANDS.items(),
        how=HOW,
    )


def _written(stored: Stored) -> dict[str, str]:
    """The settings of a kept make, as the form has them."""
    make: Make = stored.record
    typed = {
        "revision": str(stored.revision),
        "name": make.name,
        "construction": make.construction,
        "wearer": make.wearer or "",
        "yarn": make.yarn or "",
        "machine": make.machine or "",
        "size_table": make.size_table or "",
        "size": make.size or "",
        "swatches": " ".join(make.swatches),
        "multiple": str(make.multiple) if make.multiple > 1 else "",
        "balance": str(make.balance) if make.balance else "",
        "finished": ground.day(make.finished),
        "notes": make.notes,
    }
    typed |= {f"seam-{edge}": kind for edge, kind in make.seams.items()}
    for band in make.bands:
        typed |= {f"band-{band.edge}": band.how, f"depth-{band.edge}": as_typed(band.depth)}
    for name in ("front_band", "panel_width", "seam_overlap", "thickness"):
        length = getattr(make, name)
        typed[name] = as_typed(length) if length else ""
    return typed


def _document(draft: Draft, document: dict[str, Any], unit: str) -> dict[str, Any]:
    """The make's document with this form's parts put in place of the old ones."""
    fresh = {**document, "name": draft.at("name", "name"), "construction": draft.at("construction", "construction")}
    if not draft.text("name"):
        draft.refuse("name", "A name that tells it from the others: grey pullover.")
    for name in ("wearer", "yarn", "machine", "size_table", "size", "notes"):
        _set(fresh, name, draft.at(name, name))
    _set(fresh, "finished", draft.day("finished", "finished"))
    fresh["swatches"] = draft.at("swatches", "swatches").split()
    for name in ("multiple", "balance"):
        _set(fresh, name, draft.number(name, name))
    for name in ("front_band", "panel_width", "seam_overlap"):
        _set(fresh, name, draft.length(name, name, unit) if draft.text(name) else "")
    _set(fresh, "thickness", draft.thickness("thickness", "thickness", unit) if draft.text("thickness") else "")
    seams = {edge: draft.at(f"seams.{edge}", f"seam-{edge}") for edge in get_args(SeamEdge)}
    fresh["seams"] = {edge: kind for edge, kind in seams.items() if kind in get_args(SeamKind)}
    fresh["bands"] = []
    for edge in BANDS:
        how = draft.text(f"band-{edge}")
        if how:
            place = f"bands[{len(fresh['bands'])}]"
            depth = draft.length(f"{place}.depth", f"depth-{edge}", unit)
            draft.at(place, f"band-{edge}")
            fresh["bands"].append({"edge": edge, "depth": depth, "how": how})
        elif draft.text(f"depth-{edge}"):
            draft.refuse(f"band-{edge}", "Say how this band comes on, or leave its depth empty.")
    return fresh


def _set(document: dict[str, Any], name: str, value: Any) -> None:
    if value in ("", None):
        document.pop(name, None)
    else:
        document[name] = value
