"""How the rest is knitted, where the counts leave it to the knitter: a page of its own, behind that of the counts."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response

from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.words import the_rest as say
from webui.forms.choices import CHOICES
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of
from webui.pages.make.path import Tick, path_of
from webui.pages.shelves import shelf

pages = Blueprint("choices", __name__)


@shown_by("make_choices.html", "makes")
class ChoicesPage(Page):
    """How the rest is knitted."""

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled


@pages.get("/makes/<key>/choices")
@given_back.draws_form
def ask(key: str) -> Response:
    """The form, as the make has it."""
    stored, make = ground.record_or_404("makes", key, "list of makes")
    return _show(make, ground.begun(ground.written(CHOICES, stored).typed))


@pages.post("/makes/<key>/choices")
def keep(key: str) -> Response:
    """Keep how the rest is knitted."""
    stored, _ = ground.record_or_404("makes", key, "list of makes", form=True)
    draft = ground.draft()
    document = CHOICES.read(draft, views.unit(), draft.before(views.store(), stored))

    def told(changed: bool) -> Any:
        return say.CHOSEN if changed else ""

    def again() -> Response:
        return _show(make_of(key), draft, 422)

    return shelf.keep(stored, draft, document, CHOICES, again, f"/makes/{key}/rest", "makes", told)


def _show(make: Make, draft: Draft, status: int = 200) -> Response:
    page = ChoicesPage(
        make=make,
        ticks=path_of(make, listed_report_or_404(make.id, None), "The rest"),
        form=ground.filled(CHOICES, draft, Place("makes", make.id)),
    )
    return views.show(page, status)
