"""The settings of a make: its name, who wears it, how it is built, yarn, swatches, size, seams and bands."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.records.makes import Make
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.makes import MAKE
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make import forms as make_forms

pages = Blueprint("make_settings", __name__)


@pages.get("/makes/<key>/settings")
def form(key: str) -> Response:
    """The form with what is kept now."""
    stored, make = ground.record_or_404("makes", key, make_forms.WHERE)
    return _form(make, ground.written(MAKE, stored))


@pages.post("/makes/<key>/settings")
def change(key: str) -> Response:
    """Keep the settings; pieces and readings stay as they are."""
    stored, make = ground.record_or_404("makes", key, make_forms.WHERE, form=True)
    draft = ground.draft("swatches")
    document = MAKE.read(draft, views.unit(), stored.doc)
    return make_forms.keep(stored, draft, document, MAKE, "its settings", lambda: _form(make, draft))


@shown_by("make_settings.html", "makes")
class MakeSettingsPage(Page):
    """The settings of a make."""

    make: Make
    form: Filled


def _form(make: Make, draft: Draft) -> Response:
    status = 422 if draft.refusals else 200
    return views.show(MakeSettingsPage(make=make, form=ground.filled(MAKE, draft)), status)
