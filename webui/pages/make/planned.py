"""The planned counts of a make, typed and put right: of each piece, at each width and length that anything plans."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response

from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.reports.shapes import Report
from fitcheck.words import knitted as say_knitted
from fitcheck.words.phrases import capital, spaced
from webui.forms.drafts import Draft
from webui.forms.fields import Filled, Form
from webui.forms.planned import planned_form
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of, report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.shelves import shelf

pages = Blueprint("planned", __name__)


@shown_by("planned.html", "makes")
class PlannedPage(Page):
    """The planned counts of a make.

    pieces  name and field group of each piece
    """

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled
    pieces: list[tuple[str, str]]


@pages.get("/makes/<key>/counts")
@given_back.draws_form
def ask(key: str) -> Response:
    """The form, as the make has it."""
    stored, make = ground.record_or_404("makes", key, "list of makes")
    form = _form(make, report_or_404(key, None))
    return _show(make, form, ground.begun(ground.written(form, stored).typed))


@pages.post("/makes/<key>/counts")
def keep(key: str) -> Response:
    """Keep the planned counts."""
    stored, make = ground.record_or_404("makes", key, "list of makes", form=True)
    draft, before = ground.draft(), report_or_404(key, None)
    form = _form(make, before)
    document = form.read(draft, views.unit(), draft.before(views.store(), stored))

    def told(changed: bool) -> Any:
        return views.changed(before, views.report_of(key), say_knitted.COUNTS_PLANNED) if changed else ""

    def again() -> Response:
        return _show(make_of(key), form, draft, 422)

    return shelf.keep(stored, draft, document, form, again, f"/makes/{key}", "makes", told)


def _form(make: Make, report: Report) -> Form:
    """The form of a make, with the counts that its pieces still to knit lack."""
    asked = [(piece.kind, piece.asks) for piece in report.to_knit if piece.asks is not None]
    return planned_form(make, views.household_of(make.id), asked)


def _show(make: Make, form: Form, draft: Draft, status: int = 200) -> Response:
    kinds = dict.fromkeys(field.group for field in form)
    page = PlannedPage(
        make=make,
        ticks=path_of(make, listed_report_or_404(make.id, None)),
        form=ground.filled(form, draft, Place("makes", make.id)),
        pieces=[(capital(spaced(kind)), kind) for kind in kinds],
    )
    return views.show(page, status)
