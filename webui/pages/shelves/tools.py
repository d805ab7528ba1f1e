"""Yarns and machines of the swatch book, each in its form."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, url_for

from fitcheck.records.households import Household
from webui.forms.drafts import Draft
from webui.forms.machines import MACHINE
from webui.forms.yarns import YARN
from webui.pages import ground, invented
from webui.pages.shelves import shelf

pages = Blueprint("tools", __name__, url_prefix="/swatches")
ROOM = "swatches"
FORMS = {"yarns": (YARN, "yarn_form.html"), "machines": (MACHINE, "machine_form.html")}
"""By kind: its form, and the template of that."""


def tools_of(household: Household) -> dict[str, list[dict[str, Any]]]:
    """Yarns and machines of the household, as the book lists them."""
    made_up = invented.among(household, "swatches", "yarns", "machines")
    swatched = {swatch.yarn for swatch in household.swatches}
    return {
        kind: [
            {
                "key": tool.id,
                "name": tool.name,
                "unused": kind == "yarns" and tool.id not in swatched,
                "invented": (kind, tool.id) in made_up,
            }
            for tool in getattr(household, kind)
        ]
        for kind in ("yarns", "machines")
    }


def _show(kind: str, draft: Draft, status: int = 200, tool: Any = None) -> Response:
    form, template = FORMS[kind]
    return ground.show(template, ROOM, status, form=ground.filled(form, draft), one=tool)


@pages.get("/<any(yarns, machines):kind>/new")
def new_tool(kind: str) -> Response:
    """An empty form for a yarn or a machine."""
    return _show(kind, Draft(FORMS[kind][0].begin()))


@pages.post("/<any(yarns, machines):kind>/new")
def add_tool(kind: str) -> Response:
    """A new yarn or machine."""
    draft = ground.draft()
    document = FORMS[kind][0].read(draft, ground.unit())
    kept = draft.keep_new(ground.store(), kind, draft.text("name"), document)
    if kept is None:
        return _show(kind, draft, 422)
    return ground.go(url_for("swatch_book.book"), f"{ground.capital(document['name'])} is in the swatch book.", kept)


@pages.get("/<any(yarns, machines):kind>/<key>")
def tool(kind: str, key: str) -> Response:
    """A yarn or machine in its form."""
    stored, tool = ground.there(kind, key, "swatch book")
    return _show(kind, ground.written(FORMS[kind][0], stored), tool=tool)


@pages.post("/<any(yarns, machines):kind>/<key>")
def change_tool(kind: str, key: str) -> Response:
    """Change a yarn or machine."""
    stored, tool = ground.there(kind, key, "swatch book", form=True)
    form, draft = FORMS[kind][0], ground.draft()
    document = form.read(draft, ground.unit(), stored.doc)
    again = lambda: _show(kind, draft, 422, tool)  # noqa: E731
    return shelf.keep(stored, draft, document, form, again, url_for("swatch_book.book"), ROOM)


for _kind in FORMS:
    shelf.register(pages, _kind, "swatch book", "/swatches", under=f"/{_kind}")
