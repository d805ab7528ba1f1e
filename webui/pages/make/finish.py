"""A make is finished: the page behind the last tick of its path."""

from __future__ import annotations

from datetime import date

from flask import Blueprint, Response, request

from fitcheck.records.faults import RecordsError
from fitcheck.records.garments import Garment
from fitcheck.records.makes import Make
from fitcheck.store.faults import StoreError
from fitcheck.words import deeds
from fitcheck.words.dates import ACCEPTS, read_day, write_day
from webui.finishing import finish
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.finished import FINISHED
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.path import FINISHED_TICK, Tick, path_of
from webui.service import service

pages = Blueprint("finish", __name__)


@shown_by("finish.html", "makes")
class FinishPage(Page):
    """The day on which a make was finished, and the garment that it hangs in the wardrobe as, if it does."""

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled
    garment: Garment | None


@pages.get("/makes/<key>/finish")
@given_back.draws_form
def ask(key: str) -> Response:
    """When was it finished? Today is preset."""
    make = make_of(key)
    begin = {**FINISHED.begin(), "finished": write_day(make.finished or date.today())}
    return _page(make, ground.begun(begin))


@pages.post("/makes/<key>/finish")
def keep(key: str) -> Response:
    """Keep the day and hang the sweater in the wardrobe; sent twice it is once."""
    make, draft = make_of(key), ground.draft()
    day = read_day(draft.text("finished"))
    if day is None:
        draft.refuse("finished", ACCEPTS)
        return _page(make, draft, 422)
    before = views.store().get("makes", key)
    wardrobe = bool(draft.text("wardrobe")) or make.became is not None
    try:
        done = finish(service(), key, day, wardrobe=wardrobe)
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return _page(make, draft, 422)
    hung = done.record.became
    changed = done if done.revision != before.revision else None
    if request.form.get("do") == "measure" and hung:
        return ground.go(f"/wardrobe/{hung}/measure", deeds.finished(make.name, hung=True), changed)
    return ground.go(f"/makes/{key}", deeds.finished(make.name, hung=hung is not None), changed)


def _page(make: Make, draft: Draft, status: int = 200) -> Response:
    ticks = path_of(make, report_or_404(make.id, None), here=FINISHED_TICK)
    return views.show(FinishPage(make, ticks, ground.filled(FINISHED, draft), _garment(make)), status)


def _garment(make: Make) -> Garment | None:
    if make.became is None:
        return None
    try:
        garment: Garment = views.store().get("garments", make.became).record
    except StoreError:
        return None
    return garment
