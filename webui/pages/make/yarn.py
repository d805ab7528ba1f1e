"""The yarn of a make: whether it lasts, what each piece takes and weighs, what is on hand, and the ways out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from flask import Blueprint, Response, abort
from markupsafe import Markup

from fitcheck.advice.to_come.yarn_left import YarnLeft
from fitcheck.drawing.grams import gram_ruler
from fitcheck.records.makes import Make
from fitcheck.records.yarns import Yarn
from fitcheck.reports.on_the_needles import all_on_the_needles
from fitcheck.reports.the_rest import RestAnswer
from fitcheck.store.faults import NotFound
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from fitcheck.words import yarn_left as say
from fitcheck.words.yarn_left import YarnSaid, yarn_said
from webui.beginning import rest_of_make
from webui.forms.drafts import Draft
from webui.forms.fields import Filled, Form
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import listed_report_or_404, make_of
from webui.pages.make.path import Tick, path_of
from webui.service import service
from webui.weighing import lots, lots_form, put_on_hand, refuse_far_off, taken_off, weigh, weights, weights_form

pages = Blueprint("yarn", __name__)


@shown_by("make_yarn.html", "makes")
class YarnPage(Page):
    """Whether the yarn lasts, and what each piece takes.

    ruler   need and what is on hand, in grams; empty where nothing can be said
    weigh   a field for each piece;  as_the_cone: as what it is weighed
    hand    a field for each lot; None where no yarn is named
    sheet   kind of the sleeve or last piece that has a sheet; empty without one
    """

    make: Make
    ticks: tuple[Tick, ...]
    said: YarnSaid
    ruler: Markup
    weigh: Filled
    as_the_cone: str
    hand: Filled | None
    sheet: str


@pages.get("/makes/<key>/rest/yarn")
@pages.get("/makes/<key>/rest/yarn/on-hand")
@given_back.draws_form
def show(key: str) -> Response:
    """Whether the yarn lasts for the pieces still to knit."""
    make, _, yarn = _known(key)
    return _page(key, ground.begun(weights(make, yarn) | (lots(yarn) if yarn is not None else {})))


@pages.post("/makes/<key>/rest/yarn")
def keep(key: str) -> Response:
    """Keep what pieces weigh."""
    make, answer, yarn = _known(key)
    draft = ground.draft()
    stored, _ = ground.record_or_404("makes", key, "list of makes", form=True)
    document = stored.doc
    off = taken_off(draft, make, answer, yarn) if yarn is not None else None
    changed = weigh(draft, document, make, rest_of_make(service(), key)[0], yarn)
    refuse_far_off(draft, make, answer, yarn)
    done = draft.keep(views.store(), "makes", key, document, stored.revision, _with_the_lot(yarn, off))
    if done is None:
        return _page(key, draft, 422)
    if not changed:
        return ground.go(f"/makes/{key}/rest/yarn#top")
    told = say.weighed(changed, answer.yarn, _known(key)[1].yarn)
    if yarn is not None and off is not None:
        told = f"{told} {say.left_of_the_lot(yarn.lots[off[0]].lot, off[1])}"
    together = views.store().together(draft.form, done.at)
    return ground.go(f"/makes/{key}/rest/yarn#top", told, done, together=together)


def _with_the_lot(yarn: Yarn | None, off: tuple[int, float] | None) -> Callable[..., Stored] | None:
    """How the make is written where a piece came off: with what is left of its lot, as one change."""
    if yarn is None or off is None:
        return None
    stored = views.store().get("yarns", yarn.id)
    document = stored.doc
    at, left = off
    document["lots"][at]["grams"] = left
    return partial(views.store().put_with, other=("yarns", yarn.id, document, stored.revision))


@pages.post("/makes/<key>/rest/yarn/on-hand")
def keep_on_hand(key: str) -> Response:
    """Keep what is on hand, with the yarn."""
    draft, yarn = ground.draft(), _known(key)[2]
    if yarn is None:
        abort(404, deeds.not_there("yarn", "swatch book"))
    stored, _ = ground.record_or_404("yarns", yarn.id, "swatch book", form=True)
    document = stored.doc
    put_on_hand(draft, document, yarn)
    before = _known(key)[1].yarn
    done = draft.keep(views.store(), "yarns", yarn.id, document, stored.revision)
    if done is None:
        return _page(key, draft, 422)
    changed = done if done.revision != stored.revision else None
    return ground.go(f"/makes/{key}/rest/yarn#top", say.on_hand(before, _known(key)[1].yarn), changed)


def _known(key: str) -> tuple[Make, RestAnswer, Yarn | None]:
    """A make with its rest and its yarn."""
    make = make_of(key)
    answer = rest_of_make(service(), key)[0].answer
    try:
        yarn = views.store().get("yarns", make.yarn).record if make.yarn else None
    except NotFound:
        yarn = None
    return make, answer, yarn


def _page(key: str, draft: Draft, status: int = 200) -> Response:
    make, answer, yarn = _known(key)
    rest, _ = rest_of_make(service(), key)
    begun = all_on_the_needles(rest, make, partial(views.store().taps_on, make.id))
    said = yarn_said(answer, ground.tape(), begun)
    ruler = gram_ruler(answer.yarn, said.ruler, said.on_hand) if isinstance(answer.yarn, YarnLeft) else ""
    page = YarnPage(
        make=make,
        ticks=path_of(make, listed_report_or_404(key, None), "The rest"),
        said=said,
        ruler=views.svg_markup(ruler),
        weigh=ground.filled(weights_form(make, answer), _own(draft, weights_form(make, answer))),
        as_the_cone=say.as_the_cone(oiled=yarn is not None and yarn.oiled),
        hand=ground.filled(lots_form(yarn), _own(draft, lots_form(yarn))) if yarn is not None else None,
        sheet=next((piece.kind for piece in reversed(answer.pieces) if piece.asks is None), ""),
    )
    return views.show(page, status)


def _own(draft: Draft, form: Form) -> Draft:
    """What was typed in one of the forms of the page, with its own refusals."""
    names = {field.name for field in form}
    own = Draft(draft.typed)
    own.refusals = {name: refusal for name, refusal in draft.refusals.items() if name in names}
    return own
