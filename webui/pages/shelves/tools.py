"""Yarns and machines of the swatch book, each in its form."""

from __future__ import annotations

from functools import partial
from typing import Any

from flask import Blueprint, Response

from fitcheck.records.households import Household
from fitcheck.records.machines import Machine
from fitcheck.records.places import Place
from fitcheck.records.yarns import Yarn
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.machines import MACHINE
from webui.forms.yarns import YARN
from webui.pages import given_back, ground, invented, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves import shelf

pages = Blueprint("tools", __name__, url_prefix="/swatches")
ROOM, BOOK = "swatches", "/swatches"


@shown_by("yarn_form.html", ROOM)
class YarnFormPage(Page):
    """The form of a yarn; yarn: the one that is changed, None for a new one."""

    form: Filled
    yarn: Yarn | None


@shown_by("machine_form.html", ROOM)
class MachineFormPage(Page):
    """The form of a machine; machine: the one that is changed, None for a new one."""

    form: Filled
    machine: Machine | None


FORMS = {"yarns": (YARN, YarnFormPage), "machines": (MACHINE, MachineFormPage)}
"""By kind: its form, and the page that shows it."""


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
    form, page = FORMS[kind]
    return views.show(page(ground.filled(form, draft, Place(kind, tool.id) if tool else None), tool), status)


@pages.get("/yarns/new", defaults={"kind": "yarns"})
@pages.get("/machines/new", defaults={"kind": "machines"})
@given_back.draws_form
def new_tool(kind: str) -> Response:
    """An empty form for a yarn or a machine."""
    return _show(kind, ground.begun(FORMS[kind][0].begin()))


@pages.post("/yarns/new", defaults={"kind": "yarns"})
@pages.post("/machines/new", defaults={"kind": "machines"})
def add_tool(kind: str) -> Response:
    """A new yarn or machine."""
    draft = ground.draft()
    document = FORMS[kind][0].read(draft, ground.unit())
    kept = draft.keep_new(ground.store(), kind, draft.text("name"), document)
    if kept is None:
        return _show(kind, draft, 422)
    return ground.go(BOOK, ground.added(document["name"], kept), kept)


for _kind in FORMS:
    shelf.register(pages, _kind, "swatch book", BOOK, under=f"/{_kind}")
    shelf.register_form(
        pages, _kind, "swatch book", FORMS[_kind][0], partial(_show, _kind), ROOM, BOOK, f"/{_kind}/<key>"
    )
