"""Yarns and machines of the swatch book, each in its form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple, get_args

from flask import Blueprint, Response, request, url_for

from fitcheck.records.base import as_typed
from fitcheck.records.households import Household
from fitcheck.records.machines import Machine
from fitcheck.records.yarns import Fibre, Yarn
from fitcheck.store.faults import StaleWrite
from webui.pages import ground, invented
from webui.pages.conflicts import conflict
from webui.pages.drafts import Draft, with_unit, without_empty
from webui.pages.shelves import shelf

pages = Blueprint("tools", __name__, url_prefix="/swatches")
ROOM = "swatches"
FIBRE_NAMES = [("", "not said"), *((fibre, fibre.replace("_", " ")) for fibre in get_args(Fibre))]
TOOL_LABELS = {
    "tex": "1000 m of one strand weigh",
    "m_per_100g": "100 g are",
    "oiled": "Spun in oil",
    "fibre_1": "First fibre",
    "fibre_2": "Second fibre",
    "fibre_3": "Third fibre",
    **{f"percent_{number}": f"Share of fibre {number}" for number in (1, 2, 3)},
    **{f"lot_{number}": f"Lot {number}" for number in (1, 2, 3, 4)},
    **{f"grams_{number}": f"Lot {number}, grams on hand" for number in (1, 2, 3, 4)},
    "needles": "Needles on the bed",
    "pitch": "From needle to needle",
    "marks": "Marks between two numbers",
}
"""The same for yarns and machines; the others are called as they are."""


def tools_of(household: Household) -> dict[str, list[dict[str, Any]]]:
    """Yarns and machines of the household, as the book lists them."""
    made_up = invented.among(household, "swatches", "yarns", "machines")
    swatched = {one.yarn for one in household.swatches}
    return {
        kind: [
            {
                "key": one.id,
                "name": one.name,
                "unused": kind == "yarns" and one.id not in swatched,
                "invented": (kind, one.id) in made_up,
            }
            for one in getattr(household, kind)
        ]
        for kind in ("yarns", "machines")
    }


def _yarn_document(draft: Draft) -> dict[str, Any]:
    if not draft.text("name"):
        draft.refuse("name", "A name: grey wool on the cone.")
    shares: list[dict[str, Any]] = []
    for number in (1, 2, 3):
        fibre, percent = draft.text(f"fibre_{number}"), draft.text(f"percent_{number}")
        if not fibre:
            if percent:
                draft.refuse(f"fibre_{number}", f"Which fibre is it of which {percent} % are in the yarn?")
            continue
        at = f"fibres[{len(shares)}]"
        draft.at(f"{at}.fibre", f"fibre_{number}")
        share = draft.number(f"{at}.percent", f"percent_{number}") if percent else ""
        shares.append({"fibre": fibre, "percent": share})
    unsaid = [one for one in shares if one["percent"] == ""]
    if len(unsaid) == 1:  # what is left of a hundred
        told = sum(one["percent"] for one in shares if isinstance(one["percent"], (int, float)))
        unsaid[0]["percent"] = 100 - told
    lots: list[dict[str, Any]] = []
    for number in (1, 2, 3, 4):
        if not draft.text(f"grams_{number}"):
            if draft.text(f"lot_{number}"):
                draft.refuse(f"grams_{number}", "How many grams of this lot are on hand? 0 where it is used up.")
            continue
        at = f"lots[{len(lots)}]"
        lots.append(
            without_empty(
                {"lot": draft.at(f"{at}.lot", f"lot_{number}"), "grams": draft.number(f"{at}.grams", f"grams_{number}")}
            )
        )
    draft.at("fibres", "fibre_1")
    document = {
        "name": draft.at("name", "name"),
        "fibres": shares,
        "lots": lots,
        "tex": draft.number("tex", "tex"),
        "m_per_100g": draft.number("m_per_100g", "m_per_100g"),
        "care_label": draft.at("care_label", "care_label"),
        "notes": draft.at("notes", "notes"),
    }
    if draft.text("oiled"):
        document["oiled"] = True
    return without_empty(document)


def _yarn_typed(one: Yarn) -> dict[str, str]:
    typed = {"name": one.name, "care_label": one.care_label, "notes": one.notes, "oiled": "yes" if one.oiled else ""}
    typed |= {name: f"{getattr(one, name):g}" for name in ("tex", "m_per_100g") if getattr(one, name)}
    for number, share in enumerate(one.fibres[:3], start=1):
        typed |= {f"fibre_{number}": share.fibre, f"percent_{number}": f"{share.percent:g}"}
    for number, lot in enumerate(one.lots[:4], start=1):
        typed |= {f"lot_{number}": lot.lot, f"grams_{number}": f"{lot.grams:g}"}
    return typed


def _machine_document(draft: Draft) -> dict[str, Any]:
    if not draft.text("name"):
        draft.refuse("name", "A name: the standard machine.")
    if not draft.text("needles"):
        draft.refuse("needles", "The number of needles on the bed: 200 on many.")
    return without_empty(
        {
            "name": draft.at("name", "name"),
            "needles": draft.number("needles", "needles"),
            "pitch": with_unit(draft.at("pitch", "pitch"), "mm"),
            "carriage": draft.at("carriage", "carriage"),
            "lowest_dial": draft.at("lowest_dial", "lowest_dial"),
            "highest_dial": draft.at("highest_dial", "highest_dial"),
            "marks": draft.number("marks", "marks"),
            "notes": draft.at("notes", "notes"),
        }
    )


def _machine_typed(one: Machine) -> dict[str, str]:
    return {
        "name": one.name,
        "needles": str(one.needles),
        "pitch": as_typed(one.pitch) if one.pitch else "",
        "carriage": one.carriage,
        "lowest_dial": one.lowest_dial.written(),
        "highest_dial": one.highest_dial.written(),
        "marks": str(one.marks),
        "notes": one.notes,
    }


class _Tool(NamedTuple):
    """What a yarn or a machine has of its own: its template, from form to record and back, an empty form."""

    template: str
    document: Callable[[Draft], dict[str, Any]]
    typed: Callable[[Any], dict[str, str]]
    empty: Mapping[str, str]


_TOOLS = {
    "yarns": _Tool("yarn_form.html", _yarn_document, _yarn_typed, {}),
    "machines": _Tool(
        "machine_form.html",
        _machine_document,
        _machine_typed,
        {"lowest_dial": "0", "highest_dial": "10", "marks": "2", "needles": "200"},
    ),
}


def _tool_form(kind: str, draft: Draft, status: int = 200, one: Any = None) -> Response:
    template = _TOOLS[kind].template
    return ground.show(template, ROOM, status, typed=draft.typed, refusals=draft.refusals, one=one, fibres=FIBRE_NAMES)


@pages.get("/<any(yarns, machines):kind>/new")
def new_tool(kind: str) -> Response:
    """An empty form for a yarn or a machine."""
    return _tool_form(kind, Draft(_TOOLS[kind].empty))


@pages.post("/<any(yarns, machines):kind>/new")
def add_tool(kind: str) -> Response:
    """A new yarn or machine."""
    draft = Draft(ground.typed(request.form))
    document = _TOOLS[kind].document(draft)
    kept = draft.keep_new(ground.store(), kind, draft.text("name"), document)
    if kept is None:
        return _tool_form(kind, draft, 422)
    return ground.go(url_for("swatch_book.book"), f"{ground.capital(document['name'])} is in the swatch book.", kept)


@pages.get("/<any(yarns, machines):kind>/<key>")
def tool(kind: str, key: str) -> Response:
    """A yarn or machine in its form."""
    stored, one = ground.there(kind, key, "swatch book")
    return _tool_form(kind, Draft({**_TOOLS[kind].typed(one), "revision": str(stored.revision)}), one=one)


@pages.post("/<any(yarns, machines):kind>/<key>")
def change_tool(kind: str, key: str) -> Response:
    """Change a yarn or machine."""
    stored, one = ground.there(kind, key, "swatch book", form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_TOOLS[kind].document(draft), "id": key}
    if kind == "yarns":  # what the form has no room for stays
        document["fibres"] = [*document.get("fibres", []), *stored.doc.get("fibres", [])[3:]]
        document["lots"] = [*document.get("lots", []), *stored.doc.get("lots", [])[4:]]
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), kind, key, document, revision)
    except StaleWrite as stale:
        back = url_for("tools.tool", kind=kind, key=key)
        fibres = {f"fibre_{number}": FIBRE_NAMES for number in (1, 2, 3)}
        form_of = _TOOLS[kind].typed
        return conflict(
            stale, draft, lambda there: form_of(there.record), back, ROOM, label=TOOL_LABELS.get, choices=fibres
        )
    if kept is None:
        return _tool_form(kind, draft, 422, one)
    changed = kept.revision != stored.revision
    return ground.go(url_for("swatch_book.book"), "Changed." if changed else "", kept if changed else None)


for _kind in _TOOLS:
    shelf.register(pages, _kind, "swatch book", "/swatches", under=f"/{_kind}")
