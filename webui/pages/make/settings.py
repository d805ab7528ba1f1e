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


@shown_by("make_settings.html", "makes")
class MakeSettingsPage(Page):
    """The settings of a make."""

    make: Make
    form: Filled


def _form(draft: Draft, status: int, make: Make) -> Response:
    return views.show(MakeSettingsPage(make=make, form=ground.filled(MAKE, draft)), status)


make_forms.register(pages, MAKE, _form, "settings", "its settings")
