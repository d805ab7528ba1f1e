"""The settings of a make: its name, who wears it, how it is built, yarn, swatches, size, seams and bands."""

from __future__ import annotations

from typing import Any, get_args

from flask import Blueprint, Response, request, url_for

from fitcheck.records.base import as_typed
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.makes import Make, SeamKind
from fitcheck.records.points import SeamEdge
from fitcheck.store.faults import StaleWrite
from webui.pages import views
from webui.pages.drafts import Draft, as_number
from webui.pages.makes import make_of, report_or_404

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
HOW = (
    ("", "no band"),
    ("knitted_on", "the piece has it"),
    ("added_later", "added later"),
    ("turned", "still to be turned"),
)


@pages.get("/makes/<key>/settings")
def form(key: str) -> Response:
    """The form with what is kept now."""
    make = make_of(key)
    return _form(make, Draft(_kept(make, views.store().get("makes", key).revision)))


@pages.post("/makes/<key>/settings")
def change(key: str) -> Response:
    """Keep the settings; pieces and readings stay as they are."""
    make = make_of(key)
    before = report_or_404(key, None)
    typed: dict[str, str] = {**request.form, "swatches": " ".join(request.form.getlist("swatches"))}
    draft = Draft(typed)
    stored = views.store().get("makes", key)
    document = _document(draft, stored.doc, views.unit())
    from_revision = views.revision(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(views.store(), "makes", key, document, from_revision)
    except StaleWrite as stale:
        if stale.theirs is None or stale.theirs.deleted:
            return views.go("/makes", "It was deleted on another device meanwhile.")
        theirs = _kept(stale.theirs.record, stale.theirs.revision)
        return views.conflict(draft.typed, theirs, url_for("make_settings.form", key=key))
    if kept is None:
        return _form(make, draft)
    after = views.report_of(key)
    undo = views.Undo("makes", key, kept.revision) if kept.revision != stored.revision else None
    return views.go(f"/makes/{key}", views.changed(before, after, "its settings", views.unit()), undo)


def _form(make: Make, draft: Draft) -> Response:
    household = views.store().household()

    def named(records: Any, none: str) -> list[tuple[str, str]]:
        return [("", none), *((one.id, getattr(one, "name", "") or one.id) for one in records)]

    return views.page(
        "make_settings.html",
        422 if draft.refusals else 200,
        room="makes",
        make=make,
        typed=draft.typed,
        refusals=draft.refusals,
        constructions=[(one.key, one.name) for one in CONSTRUCTIONS.values()],
        wearers=named(household.wearers, "nobody in particular"),
        yarns=named(household.yarns, "not said"),
        machines=named(household.machines, "not said"),
        tables=named(household.size_tables, "none"),
        swatches=[(one.id, one.id.replace("_", " ")) for one in household.swatches],
        chosen=draft.text("swatches").split(),
        edges=get_args(SeamEdge),
        seams=list(SEAMS.items()),
        bands=BANDS.items(),
        how=HOW,
    )


def _kept(make: Make, revision: int) -> dict[str, str]:
    typed = {
        "revision": str(revision),
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
        "finished": make.finished.isoformat() if make.finished else "",
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
    for name in ("wearer", "yarn", "machine", "size_table", "size", "finished", "notes"):
        _set(fresh, name, draft.at(name, name))
    fresh["swatches"] = draft.at("swatches", "swatches").split()
    for name in ("multiple", "balance"):
        _set(fresh, name, as_number(draft.at(name, name)))
    for name in ("front_band", "panel_width", "seam_overlap", "thickness"):
        _set(fresh, name, draft.length(name, name, unit) if draft.text(name) else "")
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
