"""The settings of a make: its name, who wears it, how it is built, yarn, swatches, size, seams and bands."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.makes import MAKE
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make import forms as make_forms
from webui.pages.make.found import listed_report_or_404
from webui.pages.make.path import Tick, path_of

pages = Blueprint("make_settings", __name__)


@shown_by("make_settings.html", "makes")
class MakeSettingsPage(Page):
    """The settings of a make."""

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled


def _form(draft: Draft, status: int, make: Make) -> Response:
    ticks = path_of(make, listed_report_or_404(make.id, None))
    form = ground.filled(MAKE, draft, Place("makes", make.id))
    return views.show(MakeSettingsPage(make=make, ticks=ticks, form=form), status)


make_forms.register(pages, MAKE, _form, "settings", "its settings")
