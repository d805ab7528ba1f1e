"""Planning a sweater: from five numbers on, which size to knit and at which dial; nothing is kept until asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from typing import Any

from flask import Blueprint, Response, request, url_for
from markupsafe import Markup

from fitcheck.advice.fabric.shapes import FabricAnswer
from fitcheck.advice.rest.last_in_yarn import last_in_yarn
from fitcheck.advice.sizes import to_knit
from fitcheck.advice.sizes.answers import FreeCounts, SizesAnswer
from fitcheck.drawing.dial_line import chart_of, dial_line
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.swatches import Swatch
from fitcheck.reports.finished import finished
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told, sizes_beside, sizes_told
from fitcheck.reports.steps import steps
from fitcheck.store.documents import take
from fitcheck.store.steps import instant
from fitcheck.words import deeds, wants
from fitcheck.words import fabric as words_fabric
from fitcheck.words import sizes as words_sizes
from fitcheck.words.as_knitted import last_sweater
from fitcheck.words.dates import write_day
from fitcheck.words.finished import to_count_on
from fitcheck.words.names import planned_sweater, sizes_for, swatch_for, told_apart
from fitcheck.words.said import in_paragraphs
from webui.forms.drafts import FORM, Draft
from webui.forms.fabrics import chosen
from webui.forms.fields import Document, Filled, Pairs
from webui.forms.plan import PLAN, WANTED, keep_form, read_sizes, read_swatch
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.plan_questions import PlanQuestion, is_kept, plan_questions
from webui.pages.size_answer import SizeParts, size_parts

pages = Blueprint("plan", __name__, url_prefix="/plan")
ROOM = "table"
KEY = "plan"
OF_KEEPING = ("name", "knit")
"""Fields of the form that keeps the plan."""
OF_SIZE = "size "
"""How what is to be knitted begins where it is a size."""


@frozen
class DialTold:
    """Which dial, and what is known of it; its line, and where to swatch next."""

    told: Sequence[str]
    line: Markup
    next_swatch: str


@shown_by("plan.html", ROOM)
class PlanPage(Page):
    """Planning a sweater.

    form, kept   the form of the plan, and that of keeping it
    typed, query   what was typed, and what of it goes along;  beside_at: where another size is chosen
    to_keep      what was typed of keeping it, where that form does not stand on this page
    asked        what is asked before anything is answered
    sizes, dial  the answer
    left_out     swatches that it goes without until what is asked about them is answered: key and name
    last         the last sweater in the fabric's yarn, in words, and where one is begun from it; None without one
    """

    form: Filled
    kept: Filled
    typed: Mapping[str, str]
    query: Mapping[str, str]
    to_keep: Mapping[str, str]
    beside_at: str
    asked: Sequence[PlanQuestion]
    sizes: SizeParts | None
    dial: DialTold | None
    left_out: Sequence[tuple[str, str]]
    last: tuple[Sequence[str], str] | None


@pages.get("")
def plan() -> Response:
    """The form, and the answer under the first five numbers."""
    given = given_back.typed()
    draft = Draft(ground.typed(request.args) if given is None else given)
    if fabric := chosen(ground.household(), draft.text("fabric")):
        draft.typed["fabric"] = fabric.key  # of a fabric that is knitted in several ways the one that is meant
    if any(draft.text(name) for name in ("chest", "garment", "stitches", "fabric", "count_1", "table")):
        return _page(draft, answered=True)
    if "chest" in request.args:  # the button was pressed on an empty form
        for name, accepts in wants.PLAN_WANTS.items():
            draft.refuse(name, accepts)
        return _page(draft, 422)
    draft.typed.setdefault("chest_meant", "flat")
    return _page(draft)


@pages.post("/keep")
def keep() -> Response:
    """Keep the plan as a make, with the swatch and the sizes that were typed."""
    draft = ground.draft()
    store = ground.store()
    parts = _parts(draft, ground.household())
    if parts is None:
        return _page(draft, 422, answered=True)
    answer = _answer(draft, ground.household())
    if not answer.asked and draft.text("knit") not in dict(answer.knit):
        draft.refuse("knit", deeds.OTHER_COUNTS_NOW)
    if answer.asked or not draft.fits:
        return _page(draft, 422, answered=answer)
    swatch, table, make = parts
    put = partial(store.put, at=instant())  # all that is kept is one change
    name = draft.text("name") or planned_sweater(write_day(date.today()))
    written: dict[str, Any] = {**make, "name": name, "started": date.today().isoformat()}
    if draft.text("knit").startswith(OF_SIZE):
        written["size"] = draft.text("knit").removeprefix(OF_SIZE)
    elif draft.text("knit") and isinstance(answer.free, FreeCounts):
        written = to_knit.of_no_size(written, answer.free)
    if swatch is not None:
        called = swatch_for(name)[:300]
        kept = draft.keep_new(store, "swatches", called, {**swatch, "name": called}, put)
        if kept is not None:
            written["swatches"] = [kept.key]
    if table is not None and draft.fits:
        called = sizes_for(name)[:300]
        kept = draft.keep_new(store, "size_tables", called, {**table, "name": called}, put)
        if kept is not None:
            written["size_table"] = kept.key
    made = draft.keep_new(store, "makes", name, written, put) if draft.fits else None
    if made is None:
        return _page(draft, 422, answered=True)
    together = store.together(draft.form, made.at)
    return ground.go(f"/makes/{made.key}", ground.added(name, made), made, together=together)


# ---- from the form to records that are not kept ------------------------------------------------------------


def _parts(draft: Draft, household: Household) -> tuple[Document | None, Document | None, Document] | None:
    """The typed swatch, the typed size table, and the make that names them; None where something was refused."""
    unit = ground.unit()
    make: Document = {"name": "plan", "fits": _fits(draft, household)}
    swatch = table = None
    fabric = chosen(household, draft.text("fabric"))
    if fabric is not None:
        make["swatches"] = [swatch.id for swatch in fabric.swatches]
        make |= {name: key for name, key in (("yarn", fabric.yarn), ("machine", fabric.machine)) if key}
    elif draft.text("stitches") or draft.text("across"):
        stage = {"kind": "blocked", "on": date.today().isoformat()}
        swatch = read_swatch(draft, unit, stage, confirmed=is_kept(draft, "across"))
        make["swatches"] = [f"{KEY}-swatch"]
    if by_key(household.size_tables, draft.text("table")) is not None:
        make["size_table"] = draft.text("table")
    elif draft.text("count_1") or draft.text("count_2"):
        table = read_sizes(draft, unit)
        make["size_table"] = f"{KEY}-table"
    for kind, key, document in (("swatches", f"{KEY}-swatch", swatch), ("size_tables", f"{KEY}-table", table)):
        if document is not None:
            _try(draft, kind, key, document, household)
    _try(draft, "makes", KEY, make, household)
    return (swatch, table, make) if draft.fits else None


def _try(draft: Draft, kind: str, key: str, document: Document, household: Household) -> Any:
    try:
        return take(kind, key, document, household.unit).record
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return None


def _fits(draft: Draft, household: Household) -> Document:
    fits: Document = {}
    garment = by_key(household.garments, draft.text("garment"))
    if garment is not None:
        fits |= {"garment": garment.id, "occasion": garment.in_time[-1].id}
    if draft.text("chest"):
        fits |= WANTED.read(draft, ground.unit())["fits"]
        if is_kept(draft, "chest"):
            fits["numbers"]["chest"]["confirmed"] = True
    return fits


# ---- the answer --------------------------------------------------------------------------------------------


def _page(draft: Draft, status: int = 200, *, answered: bool | _PlanAnswer = False) -> Response:
    """Draw the page; answered: the answer, or whether it is to be worked out."""
    answer = answered if isinstance(answered, _PlanAnswer) else _PlanAnswer()
    if answered is True:
        answer = _answer(draft, ground.household())
        status = 422 if draft.refusals else status
    query = {name: value for name, value in draft.typed.items() if value and name not in ("beside", *OF_KEEPING, FORM)}
    to_keep = {} if answer.sizes else {name: draft.text(name) for name in OF_KEEPING if draft.text(name)}
    if draft.typed.get("knit") not in dict(answer.knit):
        draft.typed["knit"] = answer.advised
    # Beside the clicks they are said already.
    own = answer.sizes.free if answer.sizes and not answer.sizes.clicks else ""
    form, kept = (
        ground.filled(PLAN, draft),
        ground.filled(keep_form(answer.knit, own), draft),
    )
    page = PlanPage(
        form,
        kept,
        draft.typed,
        query,
        to_keep,
        url_for("plan.plan"),
        answer.asked,
        answer.sizes,
        answer.dial,
        answer.left_out,
        _last(draft),
    )
    return views.show(page, status)


def _last(draft: Draft) -> tuple[Sequence[str], str] | None:
    """The last sweater in the yarn of the fabric that is chosen, in any yarn where none is."""
    household = ground.household()
    fabric = chosen(household, draft.text("fabric"))
    last = last_in_yarn(household, fabric.yarn if fabric is not None else None)
    if last is None:
        return None
    told = (last_sweater(last), *to_count_on(finished(household, last.make).came_out, ground.tape()))
    return told, url_for("finish.begin_next", key=last.make)


@frozen
class _PlanAnswer:
    """What a plan is answered: what is asked first, or the sizes and the dial.

    free     counts of one's own
    knit     what there is to knit, as its choice has it;  advised: the one of them that is advised
    """

    asked: Sequence[PlanQuestion] = ()
    sizes: SizeParts | None = None
    dial: DialTold | None = None
    left_out: Sequence[tuple[str, str]] = ()
    free: FreeCounts | CannotSay | None = None
    knit: Pairs = (("", words_sizes.DECIDE_LATER),)
    advised: str = ""


def _answer(draft: Draft, household: Household) -> _PlanAnswer:
    parts = _parts(draft, household)
    if parts is None:
        return _PlanAnswer()
    swatch, table, document = parts
    swatches, tables = list(household.swatches), list(household.size_tables)
    own_swatch = own_table = None
    if swatch is not None:
        swatches.append(own_swatch := _try(draft, "swatches", f"{KEY}-swatch", swatch, household))
    if table is not None:
        tables.append(own_table := _try(draft, "size_tables", f"{KEY}-table", table, household))
    with_plan = household.model_copy(update={"swatches": swatches, "size_tables": tables})
    make: Make = _try(draft, "makes", KEY, document, household)
    told = steps(given_of(make, with_plan))
    fabric = fabric_told(told) if make.swatches else None
    answer = sizes_told(told, fabric, each_click=True)
    asked = plan_questions(draft, household, make, own_swatch, own_table, answer)
    if asked:
        return _PlanAnswer(asked)
    answer = sizes_beside(told, answer, draft.text("beside"), fabric)
    return _PlanAnswer(
        (),
        size_parts(answer, fabric, beside_asked=bool(draft.text("beside"))),
        _dial(fabric) if fabric is not None else None,
        _left_out(fabric, swatches) if fabric is not None else (),
        answer.free_counts,
        *_to_knit(answer),
    )


def _left_out(fabric: FabricAnswer, swatches: Sequence[Swatch]) -> list[tuple[str, str]]:
    """The swatches that are asked about, with their names."""
    asked = {swatch.key for swatch in fabric.left_out if swatch.code == "asked_about"}
    names = told_apart(swatches)
    return [(swatch.id, names[swatch.id]) for swatch in swatches if swatch.id in asked]


def _to_knit(answer: SizesAnswer) -> tuple[Pairs, str]:
    """What there is to knit: sizes, counts of one's own, or neither yet; and which of it is advised."""
    choices = [(f"{OF_SIZE}{size.name}", words_sizes.size_to_keep(size)) for size in answer.sizes]
    own = to_knit.as_shown(answer.free_counts)
    if isinstance(answer.free_counts, FreeCounts) and own:
        choices.append((own, words_sizes.own_to_keep(answer.free_counts)))
    not_this = answer.first is not None and answer.first.not_this is not None
    best = "" if isinstance(answer.best, CannotSay) else f"{OF_SIZE}{answer.best}"
    return [*choices, ("", words_sizes.DECIDE_LATER)], own if not_this or not answer.sizes else best


def _dial(answer: FabricAnswer) -> DialTold:
    tape = ground.tape()
    chart = chart_of(answer)
    several = len({specimen.dial for specimen in answer.pooled if specimen.dial}) > 1
    line = (
        dial_line(chart, "Stitch width against dial", unit=ground.unit(), ids="pd", mark=tape.mark)
        if chart and several
        else ""
    )
    best, following = answer.dials.best, answer.next_swatch
    # Where only one dial was knitted the sentence about the dial says where to swatch.
    said = isinstance(following, CannotSay) or (isinstance(best, CannotSay) and best.code == "one_dial")
    known = words_fabric.known_dial_sentence(answer.dials, tape) or words_fabric.swatched_dial_sentence(answer.dials)
    return DialTold(
        in_paragraphs([*words_fabric.which_dial(answer.dials, tape), known]),
        ground.svg_markup(line),
        "" if said else words_fabric.next_swatch_sentence(following, tape),
    )
