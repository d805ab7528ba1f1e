"""One swatch: what it says at every stage, and its forms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from functools import partial
from typing import Any

from flask import Blueprint, Response, request, url_for
from pydantic import ValidationError

from fitcheck.advice.unanswered import lists_asked_about
from fitcheck.records.households import Household, by_key
from fitcheck.records.machines import Dial
from fitcheck.records.places import Path, Place
from fitcheck.records.swatches import Swatch
from fitcheck.words import deeds, shelves, wants
from fitcheck.words import fabric as words_fabric
from fitcheck.words.dates import write_day
from fitcheck.words.names import names_of, told_apart
from webui.forms.drafts import Draft, Refusal
from webui.forms.fabrics import Fabric, fabrics_of, way_of, ways_of
from webui.forms.fields import Document, Filled, called
from webui.forms.swatches import BLOCKINGS, KNITTED, NEW, READINGS, STAGE, STAGES
from webui.forms.typed import whole_number
from webui.pages import given_back, ground, invented, views
from webui.pages.asked import Asked, asked_about
from webui.pages.context import Page, shown_by
from webui.pages.figures import PutRight
from webui.pages.photographs import Beside, beside
from webui.pages.shelves import shelf
from webui.pages.shelves.fabrics import answer_for, figures, size_of
from webui.pages.shelves.tools import tools_of

pages = Blueprint("swatches", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
KEPT_SETTINGS = (
    "yarn",
    "lot",
    "strands",
    "machine",
    "carriage",
    "mast_tension",
    "weights",
    "needle_arrangement",
    "stitch_pattern",
)
"""What a new swatch begins with: as for the last one."""


def _empty_swatch() -> Draft:
    household = ground.household()
    typed = {**NEW.begin(), "on": write_day(date.today()), "by": ground.measurer()}
    if household.swatches:
        latest = KNITTED.write(household.swatches[-1], ground.unit())
        typed |= {name: latest[name] for name in KEPT_SETTINGS}
    elif len(household.machines) == 1:
        typed["machine"] = household.machines[0].id
    typed |= {name: request.args[name] for name in ("yarn", "machine", "make") if name in request.args}
    return ground.begun(typed)


@shown_by("swatch_form.html", ROOM)
class SwatchFormPage(Page):
    """The form of a swatch; empty: nothing was swatched yet."""

    form: Filled
    swatch: Swatch | None
    empty: bool
    tools: dict[str, list[dict[str, Any]]]
    deleted: list[tuple[str, str]]


def _swatch_form(draft: Draft, status: int = 200, swatch: Swatch | None = None) -> Response:
    household = ground.household()
    empty = swatch is None and not household.swatches
    return views.show(
        SwatchFormPage(
            form=ground.filled(KNITTED, draft, Place(KIND, swatch.id)) if swatch else ground.filled(NEW, draft),
            swatch=swatch,
            empty=empty,
            tools=tools_of(household) if empty else {},
            deleted=ground.deleted("swatches", "yarns", "machines") if empty else [],
        ),
        status,
    )


@pages.get("/new")
@given_back.draws_form
def new() -> Response:
    """An empty form: three numbers, the rest as for the last swatch."""
    return _swatch_form(_empty_swatch())


@pages.post("/new")
def add() -> Response:
    """A new swatch with its first stage; measured from a make it is one of that make's swatches by the same change."""
    draft, unit = ground.draft(), ground.unit()
    document = KNITTED.read(draft, unit)
    stage = STAGE.read(draft, unit, under=("stages", 0))
    document["stages"] = [stage]
    if "across" not in stage:
        draft.refuse("across", wants.WIDTH_BETWEEN_MARKS)
    if "along" in stage and "rows" not in document:
        draft.refuse("rows", wants.ROWS_BETWEEN_MARKS)
    name = document.get("name") or made_up_name(ground.household(), document)
    make = by_key(ground.household().makes, draft.text("make"))
    put = partial(ground.store().put_for_make, make=make.id) if make is not None else None
    kept = draft.keep_new(ground.store(), KIND, name, {**document, "name": name}, put)
    if kept is None:
        return _swatch_form(draft, 422)
    if make is not None and kept.revision == 1:
        together = ground.store().together(ground.store().changes(KIND, kept.key)[-1].form, kept.at)
        to, said = f"/makes/{make.id}/fabric", deeds.measured_for(name, make.name)
        return ground.go(to, said, kept, draft.text("by"), together)
    return ground.go(url_for("swatches.swatch", key=kept.key), ground.added(name, kept), kept, draft.text("by"))


def made_up_name(household: Household, document: Mapping[str, Any]) -> str:
    """What a swatch is called that nobody named: its yarn and dial, as "6.1" however that was typed."""
    yarn = called(household.yarns, document.get("yarn"))[:300]
    try:
        dial = f"dial {Dial.model_validate(document['dial']).written()}" if document.get("dial") else ""
    except ValidationError:
        dial = f"dial {document['dial']}"  # the records say what is the matter with it
    return ", ".join(part for part in (yarn or ("swatch" if not dial else ""), dial) if part)


@shown_by("swatch.html", ROOM)
class SwatchPage(Page):
    """One swatch with its gauges, its stages and the fabric that it belongs to."""

    swatch: Swatch
    beside: Beside
    name: str
    short: str
    asked: list[Asked]
    invented: bool
    refusals: Mapping[str, Refusal] | None
    stages: list[dict[str, Any]]
    span: str
    gauge: tuple[str, str] | None
    rows_gauge: tuple[str, str] | None
    unwashed: bool
    left_out: list[str]
    settings: list[tuple[str, str]]
    fabric: Fabric
    mind: Sequence[str]


@pages.get("/<key>")
def swatch(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    """One swatch: its gauge at every stage, with the readings."""
    _, swatch = ground.record_or_404(KIND, key, "swatch book")
    household = ground.household()
    fabric = next(fabric for fabric in fabrics_of(household) if by_key(fabric.swatches, key))
    answer = answer_for(household, fabric)
    spec = next((specimen for specimen in answer.specimens if specimen.key == key), None)
    gauges: dict[tuple[str, str], Any] = (
        {(gauge.stage, gauge.direction): gauge for gauge in spec.gauges} if spec else {}
    )
    asked = asked_about(KIND, swatch, household)
    open_ = lists_asked_about(question.place for question in asked)
    put_right = PutRight(KIND, key)
    stages = [
        _shown_stage(put_right, number, stage, swatch, gauges, open_) for number, stage in enumerate(swatch.stages)
    ]
    blocked = gauges.get(("blocked", "across"))
    names = names_of(household)
    name = names[KIND, key]
    return views.show(
        SwatchPage(
            swatch=swatch,
            beside=beside(KIND, key, swatch.photographs),
            name=name,
            short=ground.short(name),
            asked=asked,
            invented=invented.is_invented(key, KIND),
            refusals=refusals,
            stages=stages,
            span=ground.tape().span,
            gauge=figures(blocked) if blocked else None,
            rows_gauge=figures(gauges["blocked", "along"]) if ("blocked", "along") in gauges else None,
            unwashed=not any(stage.kind == "blocked" for stage in swatch.stages),
            left_out=[
                words_fabric.left_out_sentence(left, names)
                for left in answer.left_out
                if left.key == key and left.code != "asked_about"  # what is asked about is asked here
            ],
            settings=_settings(swatch, household),
            fabric=way_of(ways_of(fabric, household), key),
            mind=views.cautions_of(swatch.yarn),
        ),
        status,
    )


shelf.register(pages, KIND, "swatch book", "/swatches", swatch)


def _shown_stage(
    put_right: PutRight,
    number: int,
    stage: Any,
    swatch: Swatch,
    gauges: Mapping[tuple[str, str], Any],
    open_: frozenset[Path],
) -> dict[str, Any]:
    parts = []
    for name, span, noun in (("across", swatch.stitches, "stitches"), ("along", swatch.rows, "rows")):
        readings = getattr(stage, name)
        if not readings:
            continue
        gauge = gauges.get((stage.kind, name))
        parts.append(
            {
                "figures": put_right.of(Place(KIND, put_right.key, ("stages", number, name)), readings),
                "asked": ("stages", number, name) in open_,
                "noun": noun,
                "between": span.between if span else None,
                "readings": ground.shown_readings(readings),
                "gauge": figures(gauge) if gauge else None,
                "mm": size_of(gauge.size.value) if gauge else "",
            }
        )
    return {
        "number": number,
        "kind": ground.capital(dict(STAGES)[stage.kind]),
        "on": stage.on,
        "hours": shelves.hours(stage.hours) if stage.hours is not None else "",
        "treatment": stage.treatment,
        "blocking": dict(BLOCKINGS).get(stage.blocking or "", "") if stage.blocking else "",
        "grams": ground.decimal(stage.grams, 1) if stage.grams else "",
        "parts": parts,
    }


def _settings(swatch: Swatch, household: Household) -> list[tuple[str, str]]:
    """How it was knitted, as far as it is said."""
    typed, choices = KNITTED.write(swatch, ground.unit()), KNITTED.choices(household)
    told = [
        (field.label, dict(choices.get(field.name, ())).get(typed[field.name], typed[field.name]))
        for field in KNITTED
        if field.name in ("dial", *KEPT_SETTINGS) and typed[field.name]
    ]
    spans = [
        shelves.between_marks(span, noun)
        for span, noun in ((swatch.stitches, "stitches"), (swatch.rows, "rows"))
        if span
    ]
    return [*told, ("Between the marks", ", ".join(spans))]


def _usual_name(document: Document) -> str:
    return made_up_name(ground.household(), document)


shelf.register_form(pages, KIND, "swatch book", KNITTED, _swatch_form, ROOM, usual=_usual_name)


@pages.get("/<key>/read")
@given_back.draws_form
def read(key: str) -> Response:
    """A form for the next stage, or for more readings of one."""
    _, swatch = ground.record_or_404(KIND, key, "swatch book")
    which = request.args.get("stage", "")
    if _stage(which, swatch) is not None:
        return _read_form(ground.begun({"by": ground.measurer(), "stage": which}), swatch)
    begin = {**STAGE.begin(), "by": ground.measurer(), "on": write_day(date.today())}
    return _read_form(ground.begun(begin), swatch)


@shown_by("swatch_read.html", ROOM)
class SwatchReadPage(Page):
    """The form for readings of a swatch at a stage."""

    swatch: Swatch
    name: str
    stage: str
    form: Filled


def _stage(text: str, swatch: Swatch) -> int | None:
    """The stage that an address or a form names; None where it names none."""
    return whole_number(text, 0, len(swatch.stages) - 1)


def _read_form(draft: Draft, swatch: Swatch, status: int = 200) -> Response:
    number = _stage(draft.text("stage"), swatch)
    return views.show(
        SwatchReadPage(
            swatch=swatch,
            name=told_apart(ground.household().swatches)[swatch.id],
            stage=dict(STAGES)[swatch.stages[number].kind] if number is not None else "",
            form=ground.filled(STAGE if number is None else READINGS, draft),
        ),
        status,
    )


@pages.post("/<key>/read")
def read_more(key: str) -> Response:
    """Add a stage, or readings to one that is there."""
    stored, swatch = ground.record_or_404(KIND, key, "swatch book", form=True)
    draft = ground.draft()
    document = draft.before(ground.store(), stored)
    number = _stage(draft.text("stage"), swatch)
    if number is not None:
        READINGS.read(draft, ground.unit(), document["stages"][number], ("stages", number))
    else:
        draft.typed["stage"] = ""
        document["stages"].append(STAGE.read(draft, ground.unit(), under=("stages", len(swatch.stages))))
    count = READINGS.added(draft)
    if not count:
        draft.refuse("across", wants.ONE_READING_OF_SWATCH)
    if draft.text("along") and swatch.rows is None:
        draft.refuse("along", wants.ROWS_FIRST)
    kept = draft.keep(ground.store(), KIND, key, document, stored.revision)
    if kept is None:
        return _read_form(draft, swatch, 422)
    return ground.go(url_for("swatches.swatch", key=key), deeds.readings_kept(count), kept, draft.text("by"))
