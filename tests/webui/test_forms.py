"""Every form from its spec: each of its fields is drawn, read, written and called by a name of its own.

A form is filled, sent, and looked at again: in the record, and in the page that changes it. What the spec says and
what the pages do is held together here; a spec that is spoilt in any of the four ways is found.
"""

from __future__ import annotations

import html
import pkgutil
import re
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from importlib import import_module
from typing import Any

import pytest

import webui.forms
from fitcheck.records.points import POINTS
from fitcheck.words.dates import write_day
from tests.webui.test_pages_wardrobe import Browser, fields_in
from webui.forms import (
    choices,
    finished,
    fits,
    garments,
    knitted,
    machines,
    makes,
    pieces,
    plan,
    settings,
    several_swatches,
    size_tables,
    swatches,
    wearers,
    yarns,
)
from webui.forms.fields import NOWHERE, Field, Form
from webui.forms.typed import several
from webui.pages.shelves import tools


@dataclass(frozen=True)
class Case:
    """A form on its page.

    at      address of the page
    form    what the page draws;  kept: what of it the page that changes the record draws again
    again   address of that page, {} for the record's key; the same page where it is empty
    where   kind and key of the record; the newest where there is no key
    part    the part of the record that the form is of, where its page does not show it again
    typed   what is typed, where a plain sample does not do
    """

    at: str
    form: Form
    where: tuple[str, str]
    kept: Form | None = None
    again: str = ""
    part: Callable[[Any], Any] | None = None
    typed: Mapping[str, str] = field(default_factory=dict)


MIX = {
    "fibre_1": "wool",
    "percent_1": "50",
    "fibre_2": "silk",
    "percent_2": "30",
    "fibre_3": "linen",
    "percent_3": "20",
}
BETWEEN = dict.fromkeys(("stitches_first", "stitches_last", "rows_first", "rows_last"), "") | {"rule": "between"}
MARKED = {
    "rule": "centre_to_centre",
    "stitches": "",
    "stitches_first": "-20",
    "stitches_last": "20",
    "rows": "",
    "rows_first": "1",
    "rows_last": "61",
}
NO_PANELS = {"at_panel_width": "", "at_panel_length": ""}
SIGNED = {f"wish-{key}": "+2 cm" for key in POINTS} | {f"ease-{key}": "" for key in POINTS} | {"ease-chest": "+8 cm"}
"""Ease only where the body was read."""
OF_PANELS = {spec.name: "" for spec in fits.FITS if "panel" in spec.name}
GRID = {"columns": "1", "rows": "1", "size_0": "M", "row_0": "back chest", "c_0_0": "52", "do": "keep"}
CASES = {
    "yarn": Case("/swatches/yarns/new", yarns.YARN, ("yarns", ""), again="/swatches/yarns/{}", typed=MIX),
    "machine": Case(
        "/swatches/machines/new",
        machines.MACHINE,
        ("machines", ""),
        again="/swatches/machines/{}",
        typed={"needles": "180", "lowest_dial": "1", "highest_dial": "9.1", "marks": "1"},
    ),
    "swatch": Case(
        "/swatches/new",
        swatches.NEW,
        ("swatches", ""),
        swatches.KNITTED,
        "/swatches/{}/edit",
        typed={"dial": "7.1", **BETWEEN},
    ),
    "marked swatch": Case(
        "/swatches/new",
        swatches.NEW,
        ("swatches", ""),
        swatches.KNITTED,
        "/swatches/{}/edit",
        typed={"dial": "7", **MARKED},
    ),
    "stage": Case(
        "/swatches/grey_at_7/read", swatches.STAGE, ("swatches", "grey_at_7"), part=lambda swatch: swatch.stages[-1]
    ),
    "finish of a stage": Case(
        "/swatches/grey_at_7/stages/2",
        swatches.FINISHED,
        ("swatches", "grey_at_7"),
        part=lambda swatch: swatch.stages[2],
    ),
    "occasion": Case(
        "/wardrobe/brown_pullover/occasions/washed_in_spring",
        garments.OCCASION,
        ("garments", "brown_pullover"),
        part=lambda garment: garment.occasions[1],
    ),
    "stage of a piece": Case(
        "/makes/grey_pullover/pieces/back",
        knitted.STAGE,
        ("makes", "grey_pullover"),
        part=lambda make: make.pieces[0].stages[-1],
    ),
    "readings of a stage": Case(
        "/swatches/grey_at_7/read?stage=0",
        swatches.READINGS,
        ("swatches", "grey_at_7"),
        part=lambda swatch: swatch.stages[0],
    ),
    "garment": Case(
        "/wardrobe/new",
        garments.NEW,
        ("garments", ""),
        garments.SETTINGS,
        "/wardrobe/{}/edit",
        typed={"construction": "side_panels"},
    ),
    "measuring": Case(
        "/wardrobe/brown_pullover/measure",
        garments.MEASURING,
        ("garments", "brown_pullover"),
        part=lambda garment: garment.occasions[-1],
        typed=NO_PANELS,
    ),
    "more of a measuring": Case(
        "/wardrobe/brown_pullover/measure?occasion=washed_in_spring",
        garments.MORE,
        ("garments", "brown_pullover"),
        part=lambda garment: next(occasion for occasion in garment.occasions if occasion.id == "washed_in_spring"),
        typed=NO_PANELS,
    ),
    "wearer": Case("/people/new", wearers.WEARER, ("wearers", ""), again="/people/{}/edit"),
    "make": Case(
        "/makes/grey_pullover/settings",
        makes.MAKE,
        ("makes", "grey_pullover"),
        typed={
            "construction": "side_panels",
            "size": "2",
            **dict.fromkeys((spec.name for spec in makes.COSTS), "0.25"),
        },
    ),
    "fits": Case(
        "/makes/planned/fits",
        fits.FITS,
        ("makes", "planned"),
        typed={**SIGNED, **OF_PANELS},
    ),
    "size table": Case(
        "/size-tables/new",
        size_tables.TABLE,
        ("size_tables", ""),
        again="/size-tables/{}",
        typed={"gauge_over": "20 cm", "pasted": "", **GRID},
    ),
    "choices": Case("/makes/grey_pullover/choices", choices.CHOICES, ("makes", "grey_pullover")),
    "settings": Case("/settings", settings.SETTINGS, ("household", "household")),
}
APART = ("wardrobe", "by", "anew", "pasted", "mark", "parts", "thumb")
"""Fields that are kept with readings, as a garment of their own, on the device, or not at all."""
SAMPLES = {
    "check": "yes",
    "day": "25 Nov 2025",
    "count": "12",
    "decimal": "12.5",
    "length": "12.5 cm",
    "bare_length": "0.5",
    "thickness": "3 mm",
    "readings": "51.8 52.0",
}


def filled(case: Case, browser: Browser) -> dict[str, str]:
    """The form with something in each of its fields."""
    choices = case.form.choices(browser.store.household())
    typed = {}
    for spec in case.form:
        if spec.kind == "keys":
            typed[spec.name] = " ".join(value for value, _ in choices[spec.name][:2])
        elif spec.kind in ("choice", "pick"):
            typed[spec.name] = choices[spec.name][-1][0]
        else:
            typed[spec.name] = SAMPLES.get(spec.kind, f"some {spec.name}")
    return {**typed, **case.typed}


def form_of(page: str, form: Form) -> str:
    """The form of a page that has fields of a spec."""
    every = re.findall(r"<form\b.*?</form>", page, re.S)
    return max(every, key=lambda text: sum(f' name="{spec.name}"' in text for spec in form))


def undrawn(page: str, form: Form, alike: tuple[str, ...] = ()) -> set[str]:
    """The fields of a form that a page does not draw with their labels; alike: labels that the page says otherwise."""
    text = form_of(page, form)
    labels = html.unescape(text)
    return {
        spec.name
        for spec in form
        if f' name="{spec.name}"' not in text or (spec.name not in alike and f">{spec.label}<" not in labels)
    }


def said_in(record: Any, spec: Field) -> list[str]:
    """The texts of the readings that a field adds to a record."""
    inside = record
    for step in spec.path:
        inside = inside[step] if isinstance(inside, dict) else getattr(inside, step)
    return [reading.text for reading in inside]


def unnamed(form: Form) -> list[str]:
    """Labels that several fields have, or none; and fields that are kept nowhere."""
    labels = Counter(form.label(spec.name, {}) for spec in form)
    found = [f"named: {label}" for label, times in labels.items() if times > 1 or not label]
    return found + [f"kept: {spec.name}" for spec in form if not spec.path and spec.name not in APART]


def send(case: Case, browser: Browser, typed: Mapping[str, str]) -> list[str]:
    """Send a form with what else a browser sends in it; what was refused."""
    page = browser.get(case.at)
    hidden = {name: text for name, text in fields_in(form_of(page, case.form)).items() if name not in typed}
    several_ticked = {name: text.split() if name == "swatches" else text for name, text in typed.items()}
    answer = browser.client.post(case.at.partition("?")[0], data={**hidden, **several_ticked})
    if answer.status_code == 303:
        return []
    return re.findall(r'id="([\w-]+)-refused"', answer.get_data(as_text=True)) or ["the form"]


def key_of(case: Case, browser: Browser) -> str:
    """The key of the record of a form: where nothing is said, of the one that was not there before."""
    kind, key = case.where
    keys = (listed.key for listed in browser.store.list(kind, limit=100).records)
    return key or next(key for key in keys if browser.store.history(kind, key)[-1].what != "imported")


def unkept(kept: Form, record: Any, typed: Mapping[str, str], shown: Mapping[str, str]) -> list[str]:
    """Fields that a record does not say as they were typed, or that its page shows otherwise."""
    written, found = kept.write(record, "cm"), []
    for spec in kept:
        text = typed[spec.name]
        if spec.kind == "readings":
            found += [f"read: {spec.name}"] if text and said_in(record, spec)[-2:] != several(text) else []
        elif spec.path:
            found += [f"written: {spec.name}"] if written.get(spec.name) != text else []
            found += [f"shown: {spec.name}"] if spec.kind != "keys" and shown.get(spec.name, text) != text else []
    return found


def faults(case: Case, browser: Browser) -> list[str]:
    """What a spec and its pages do not agree on, "drawn: needles"; empty where all is well."""
    found, typed, kept = unnamed(case.form), filled(case, browser), case.kept or case.form
    # A page says over how many stitches the swatch is read.
    missing = undrawn(browser.get(case.at), case.form, ("across", "along") if "/read" in case.at else ())
    if refused := send(case, browser, typed):
        return [*found, *(f"read: {name}" for name in refused)]
    key = key_of(case, browser)
    again = browser.get(case.again.format(key) or case.at)
    if kept is case.form:
        missing &= undrawn(again, kept)
    found += [f"drawn: {name}" for name in sorted(missing) if typed[name]]
    record = browser.store.get(case.where[0], key).record
    if case.part:
        return found + unkept(kept, case.part(record), typed, {})
    return found + unkept(kept, record, typed, fields_in(form_of(again, kept)))


@pytest.fixture
def browser(store):
    store.put("makes", "planned", {"name": "planned, no piece knitted yet"}, 0)
    return Browser(store)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_every_field_of_a_form_is_drawn_read_written_and_called_by_a_name_of_its_own(browser, case):
    assert faults(case, browser) == []


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_a_form_with_nothing_in_it_is_kept_or_refused(browser, case):
    hidden = fields_in(form_of(browser.get(case.at), case.form))
    typed = {**hidden, **dict.fromkeys((spec.name for spec in case.form), "")}
    answer = browser.client.post(case.at.partition("?")[0], data=typed)
    assert answer.status_code in (303, 422)
    if answer.status_code == 422:
        assert "Not taken yet." in answer.get_data(as_text=True)


FIVE = {"chest": "52", "chest_meant": "flat", "stitches": "40", "across": "17 17.2", "dial": "7.1", "name": "planned"}
SIZES = {"size_1": "S", "count_1": "112", "size_2": "M", "count_2": "120"}


def test_a_plan_is_drawn_called_and_read_as_its_spec_says(browser):
    assert unnamed(plan.PLAN) == []
    assert undrawn(browser.get("/plan"), plan.PLAN) == set()
    browser.post("/plan/keep", **FIVE, **SIZES, table="")
    make, swatch, table = (
        browser.store.get(kind, key).record
        for kind, key in (
            ("makes", "planned_2"),
            ("swatches", "swatch_for_planned"),
            ("size_tables", "sizes_for_planned"),
        )
    )
    assert make.name == FIVE["name"]
    assert unkept(plan.WANTED, make, FIVE, {}) == []
    assert unkept(plan.SWATCH, swatch, FIVE, {}) == []
    assert unkept(plan.WIDTH, swatch.stages[0], FIVE, {}) == []
    sizes = [(size.name, str(size.pieces["back"]["chest"].count)) for size in table.sizes]
    assert sizes == [(SIZES["size_1"], SIZES["count_1"]), (SIZES["size_2"], SIZES["count_2"])]


def test_what_is_finished_is_drawn_called_and_read_as_its_spec_says(browser):
    wanted = {"chest": {"length": "52 cm"}, "hem": {"length": "50 cm"}}
    browser.store.put("makes", "plain", {"id": "plain", "name": "Plain", "fits": {"numbers": wanted}}, 0)
    asked = Form(tuple(field for field in finished.READ if field.name in ("at_chest", "at_hem")))
    page = browser.get("/makes/plain/finish")
    for form in (finished.FINISHED, asked):
        assert unnamed(form) == []
        assert undrawn(page, form) == set()
    typed = {"finished": "28 Nov 2026", "at_chest": "52.1", "at_hem": "50.3", "left": "hang"}
    browser.post("/makes/plain/finish", **typed)
    make = browser.store.get("makes", "plain").record
    assert (write_day(make.finished), make.became) == (typed["finished"], "plain")
    (_, tape) = browser.store.get("garments", "plain").record.occasions
    assert {key: readings[0].text for key, readings in tape.readings.items()} == {"chest": "52.1", "hem": "50.3"}


@pytest.mark.parametrize("piece", ["back", "sleeve"])
@pytest.mark.parametrize("way", [way for way, _ in pieces.WAYS])
def test_the_fields_of_a_piece_are_drawn_called_and_read_as_their_specs_say(browser, way, piece):
    specs = {key: pieces.tape_fields(key, way, piece) for key in pieces.FIRST[piece]}
    every = Form(tuple(spec for fields in specs.values() for spec in fields))
    assert len({spec.name for spec in every}) == len(every.parts)
    page = browser.get(f"/piece?show={way}&piece={piece}")
    assert undrawn(page, every, tuple(spec.name for spec in every if spec.kind == "pick")) == set()
    typed = {"way": way, "piece": piece, "garment": "brown_pullover"}
    for spec in every:
        typed[spec.name] = {"length": "20", "pick": "out"}.get(spec.kind, "21")
    make = browser.store.get("makes", browser.post("/piece", **typed).rpartition("/")[2]).record
    (stage,) = make.pieces[0].stages
    assert {*stage.readings, *stage.overhangs} == {*specs}
    sweater, wearer = (browser.store.get(kind, key).record if key else None for kind, key in named_by(make))
    beside = {
        "both": sweater and sweater.occasions[0].readings,
        "numbers": make.fits.numbers,
        "ease": wearer and wearer.body,
    }
    assert {*beside.get(way, specs)} == {*specs}
    assert {*make.fits.ease} == ({*specs} if way == "ease" else set())


def named_by(make: Any) -> list[tuple[str, str | None]]:
    """The sweater and the person that a make names."""
    return [("garments", make.fits.garment), ("wearers", make.wearer)]


def test_what_a_form_has_no_field_for_stays(browser):
    wishes = {"chest": {"by": "+2 cm", "meant": "round"}}
    browser.store.put("makes", "planned", {"name": "planned", "wishes": wishes, "costs": {"measure": 0.5}}, 1)
    for address, form in (("/makes/planned/fits", fits.FITS), ("/makes/planned/settings", makes.MAKE)):
        browser.post(address, **fields_in(form_of(browser.get(address), form)))
    stored = browser.store.get("makes", "planned")
    assert (stored.doc["wishes"], stored.doc["costs"]) == (wishes, {"measure": 0.5})
    assert stored.revision == 2  # nothing was changed, so nothing was written


def test_every_form_is_among_those_that_are_walked():
    modules = [import_module(f"webui.forms.{module.name}") for module in pkgutil.iter_modules(webui.forms.__path__)]
    specs = [spec for module in modules for spec in vars(module).values() if isinstance(spec, Form)]
    of_a_plan = [plan.PLAN, plan.WANTED, plan.CHOSEN, plan.SWATCH, plan.WIDTH]
    # The grid of several swatches reads each line with the forms of one; test_pages_swatches.py sends it.
    others = [*of_a_plan, several_swatches.SEVERAL, finished.FINISHED, finished.READ]
    walked = [*others, *(form for case in CASES.values() for form in (case.form, case.kept) if form)]
    assert [spec for spec in specs if spec not in walked] == []


def spoilt(name: str, **changes: Any) -> Form:
    """The form of a machine with one field spoilt."""
    parts = tuple(replace(part, **changes) if part.name == name else part for part in machines.MACHINE.parts)
    return Form(parts)


@pytest.mark.parametrize(
    ("form", "fault"),
    [
        (Form((*machines.MACHINE.parts, Field("colour", "Colour", place=NOWHERE))), "drawn: colour"),
        (spoilt("carriage", place=NOWHERE), "kept: carriage"),
        (spoilt("carriage", place=("notes",)), "written: carriage"),
        (spoilt("carriage", place=("wagon",)), "read: carriage"),
        (spoilt("carriage", kind="check"), "read: the form"),
        (spoilt("carriage", label="Name"), "named: Name"),
        (spoilt("carriage", label=""), "named: "),
    ],
)
def test_a_spoilt_spec_is_found(browser, monkeypatch, form, fault):
    monkeypatch.setitem(tools.FORMS, "machines", (form, tools.MachineFormPage))
    case = replace(CASES["machine"], form=form)
    assert fault in faults(case, browser)
