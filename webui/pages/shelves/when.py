"""When and how something was read, put right later: a stage of a swatch, a measuring of a garment."""

from __future__ import annotations

from typing import ClassVar

from flask import Blueprint, Response, abort

from fitcheck.records.frozen import frozen
from fitcheck.records.households import by_key
from fitcheck.records.places import Path, Place
from fitcheck.store.stored import Stored
from fitcheck.words import deeds, history
from fitcheck.words.dates import write_day
from fitcheck.words.names import STAGE_CHOICES, record_name
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Filled, Form
from webui.forms.garments import OCCASION
from webui.forms.swatches import FINISHED
from webui.pages import given_back, ground, views
from webui.pages.context import Page
from webui.pages.shelves import shelf

pages = Blueprint("when", __name__)


@frozen
class WhenPage(Page):
    """When and how something was read.

    room      of the record;  name, to  of its record, and where that stands;  heading: what is put right
    """

    template: ClassVar[str] = "when.html"
    room: str  # type: ignore[misc]  # a swatch stands in another than a garment
    name: str
    to: str
    heading: str
    form: Filled


@pages.get("/swatches/<key>/stages/<int:number>")
@given_back.draws_form
def stage(key: str, number: int) -> Response:
    """What was done to a swatch before it was read, and when."""
    stored, swatch = ground.record_or_404("swatches", key, "swatch book")
    if number >= len(swatch.stages):
        abort(404, deeds.NO_SUCH_STAGE)
    read = swatch.stages[number]
    heading = history.put_right_of(STAGE_CHOICES[read.kind], write_day(read.on))
    begun = ground.begun({**FINISHED.write(read, views.unit()), **_of(stored)})
    return _form(stored, ("stages", number), FINISHED, begun, heading)


@pages.post("/swatches/<key>/stages/<int:number>")
def keep_stage(key: str, number: int) -> Response:
    """Keep it."""
    stored, swatch = ground.record_or_404("swatches", key, "swatch book", form=True)
    if number >= len(swatch.stages):
        abort(404, deeds.NO_SUCH_STAGE)
    draft = ground.draft()
    document = draft.before(ground.store(), stored)
    return _keep(stored, FINISHED, draft, document, document["stages"][number], ("stages", number))


@pages.get("/wardrobe/<key>/occasions/<occasion>")
@given_back.draws_form
def measuring(key: str, occasion: str) -> Response:
    """When a garment was measured, and in what state."""
    stored, garment = ground.record_or_404("garments", key, "wardrobe")
    read = by_key(garment.occasions, occasion)
    if read is None:
        abort(404, deeds.NO_SUCH_STAGE)
    heading = history.put_right_of("measured", write_day(read.on))
    begun = ground.begun({**OCCASION.write(read, views.unit()), **_of(stored)})
    return _form(stored, ("occasions", occasion), OCCASION, begun, heading)


@pages.post("/wardrobe/<key>/occasions/<occasion>")
def keep_measuring(key: str, occasion: str) -> Response:
    """Keep it."""
    stored, garment = ground.record_or_404("garments", key, "wardrobe", form=True)
    read = by_key(garment.occasions, occasion)
    if read is None:
        abort(404, deeds.NO_SUCH_STAGE)
    draft, number = ground.draft(), garment.occasions.index(read)
    document = draft.before(ground.store(), stored)
    return _keep(stored, OCCASION, draft, document, document["occasions"][number], ("occasions", number))


def _of(stored: Stored) -> dict[str, str]:
    return {"revision": str(stored.revision)}


def _keep(stored: Stored, form: Form, draft: Draft, document: Document, part: Document, path: Path) -> Response:
    """Read what was typed into a part of the document, and keep the record."""
    form.read(draft, views.unit(), part, path)

    def again() -> Response:
        return _form(stored, (path[0], part.get("id", path[1])), form, draft, history.put_right_of("", ""), 422)

    to, room = ground.page_of(stored.kind, stored.key), ground.room_of(stored.kind)
    return shelf.keep(stored, draft, document, form, again, to, room)


def _form(stored: Stored, path: Path, form: Form, draft: Draft, heading: str, status: int = 200) -> Response:
    """Draw the form; path: of what it changes, in the record."""
    page = WhenPage(
        room=ground.room_of(stored.kind),
        name=record_name(stored.record),
        to=ground.page_of(stored.kind, stored.key),
        heading=heading,
        form=ground.filled(form, draft, Place(stored.kind, stored.key, path)),
    )
    return views.show(page, status)
