"""One swatch: what it says at every stage, and its forms."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck.records.households import Household
from fitcheck.records.places import Path
from fitcheck.records.swatches import Span, Swatch
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words import fabric as words_fabric
from webui.pages import ground, invented
from webui.pages.conflicts import Choices, conflict
from webui.pages.drafts import Draft, Refusal, reading, several, without_empty
from webui.pages.readings import asked_about
from webui.pages.shelves import shelf, unanswered
from webui.pages.shelves.fabrics import answer_for, fabrics_of, figures, size_of
from webui.pages.shelves.tools import tools_of

pages = Blueprint("swatches", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
STAGES = (
    ("blocked", "washed, blocked and dry"),
    ("off_machine", "just off the machine"),
    ("rested", "rested, not washed"),
    ("hung", "hung with its load"),
)
BLOCKINGS = (("", "not said"), ("patted", "laid and patted"), ("pinned", "pinned"), ("steamed", "steamed"))
RULES = (
    ("between", "the number between the marks"),
    ("centre_to_centre", "marked needles, tape from centre to centre"),
    ("inner_edge_to_inner_edge", "marked needles, tape from inner edge to inner edge"),
)
SWATCH_FIELDS = (
    ("name", "Name"),
    ("dial", "Dial"),
    ("yarn", "Yarn"),
    ("lot", "Lot"),
    ("strands", "Strands"),
    ("machine", "Machine"),
    ("carriage", "Carriage"),
    ("mast_tension", "Mast tension"),
    ("weights", "Weights"),
    ("needle_arrangement", "Needles"),
    ("stitch_pattern", "Stitch pattern"),
    ("notes", "Notes"),
)
SWATCH_LABELS = {
    **dict(SWATCH_FIELDS),
    "rule": "How the marks are counted",
    "stitches": "Stitches between the marks",
    "stitches_first": "First marked needle",
    "stitches_last": "Last marked needle",
    "rows": "Rows between the marks",
    "rows_first": "First marked row",
    "rows_last": "Last marked row",
}
"""Fields of the form, as a conflict names them."""


def _empty_swatch() -> dict[str, str]:
    household = ground.household()
    typed = {
        "kind": "blocked",
        "on": ground.day(date.today()),
        "by": ground.measurer(),
        "rule": "between",
        "strands": "1",
    }
    if household.swatches:
        latest = household.swatches[-1]
        for name in ("lot", "carriage", "mast_tension", "weights", "needle_arrangement", "stitch_pattern"):
            typed[name] = getattr(latest, name)
        typed |= {"yarn": latest.yarn or "", "machine": latest.machine or "", "strands": str(latest.strands)}
    elif len(household.machines) == 1:
        typed["machine"] = household.machines[0].id
    if request.args.get("yarn") is not None:
        typed |= {"yarn": request.args["yarn"], "machine": request.args.get("machine", "")}
    return typed


def _swatch_form(draft: Draft, status: int = 200, swatch: Swatch | None = None, *, empty: bool = False) -> Response:
    yarns, machines = _tools()
    return ground.show(
        "swatch_form.html",
        ROOM,
        status,
        typed=draft.typed,
        refusals=draft.refusals,
        swatch=swatch,
        empty=empty,
        stages=STAGES,
        blockings=BLOCKINGS,
        rules=RULES,
        yarns=yarns,
        machines=machines,
        tools=tools_of(ground.household()) if empty else {},
        deleted=ground.deleted("swatches", "yarns", "machines") if empty else [],
    )


def _tools() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Yarns and machines to choose from."""
    household = ground.household()
    yarns = [("", "not said"), *((one.id, one.name) for one in household.yarns)]
    return yarns, [("", "not said"), *((one.id, one.name) for one in household.machines)]


def _span(draft: Draft, place: str, field: str) -> dict[str, Any] | None:
    """Stitches or rows between the marks: one number, or the two marked needles."""
    rule = draft.text("rule") or "between"
    marked = draft.text(f"{field}_first") or draft.text(f"{field}_last")
    if rule == "between" and marked:
        draft.refuse("rule", f"With a marked needle or row ({marked}) one of the two ways by marks.")
    if rule != "between" and draft.text(field):
        draft.refuse(field, "Empty where the marks are counted by needles or rows; these stand below.")
    if rule == "between":
        count = draft.number(f"{place}.count", field)
        return {"count": count} if count != "" else None
    first, last = draft.number(f"{place}.first", f"{field}_first"), draft.number(f"{place}.last", f"{field}_last")
    if first == "" and last == "":
        return None
    return without_empty({"rule": rule, "first": first, "last": last})


def _spans(draft: Draft, example: str = "") -> dict[str, Any]:
    """Stitches and rows between the marks, as the record takes them; stitches are needed."""
    found = {name: span for name in ("stitches", "rows") if (span := _span(draft, name, name))}
    if "stitches" not in found:
        field = "stitches" if draft.text("rule") in ("", "between") else "stitches_first"
        draft.refuse(field, f"The number of stitches between the marks{example}.")
    return found


def _knitted(draft: Draft) -> dict[str, Any]:
    document = {
        name: draft.at(name, name)
        for name in (
            "name",
            "yarn",
            "lot",
            "machine",
            "carriage",
            "dial",
            "mast_tension",
            "weights",
            "needle_arrangement",
            "stitch_pattern",
            "notes",
        )
    }
    strands = draft.number("strands", "strands")
    return without_empty({**document, "strands": strands})


def _stage(draft: Draft, number: int) -> dict[str, Any]:
    at = f"stages[{number}]"
    stage: dict[str, Any] = {
        "kind": draft.at(f"{at}.kind", "kind") or "blocked",
        "on": draft.day(f"{at}.on", "on"),
        "hours": draft.number(f"{at}.hours", "hours"),
        "treatment": draft.at(f"{at}.treatment", "treatment"),
        "blocking": draft.at(f"{at}.blocking", "blocking"),
        "load_grams": draft.number(f"{at}.load_grams", "load_grams"),
        "grams": draft.number(f"{at}.grams", "grams"),
    }
    for name in ("across", "along"):
        stage[name] = _read(draft, f"{at}.{name}", name)
    return without_empty(stage)


def _read(draft: Draft, place: str, field: str, before: int = 0) -> list[dict[str, Any]]:
    texts = several(draft.text(field))
    for number in range(len(texts)):
        draft.at(f"{place}[{before + number}]", field)
    return [reading(text, ground.unit(), by=draft.text("by")) for text in texts]


def empty_book() -> Response:
    """The form of the first swatch, where the book is empty."""
    return _swatch_form(Draft(_empty_swatch()), empty=True)


@pages.get("/new")
def new() -> Response:
    """An empty form: three numbers, the rest as for the last swatch."""
    return _swatch_form(Draft(_empty_swatch()), empty=not ground.household().swatches)


@pages.post("/new")
def add() -> Response:
    """A new swatch with its first stage."""
    draft = Draft(ground.typed(request.form))
    document = {**_knitted(draft), **_spans(draft, ", 40 for example")}
    stage = _stage(draft, 0)
    document["stages"] = [stage]
    if "across" not in stage:
        draft.refuse("across", "The width between the marks: one reading is enough to begin with.")
    if "along" in stage and "rows" not in document:
        draft.refuse("rows", "The number of rows between the marks, for the height that was read.")
    household = ground.household()
    name = document.get("name") or _made_up_name(household, document)
    kept = draft.keep_new(ground.store(), KIND, name, {**document, "name": name})
    if kept is None:
        return _swatch_form(draft, 422, empty=not household.swatches)
    return ground.go(
        url_for("swatches.swatch", key=kept.key), f"{ground.capital(name)} is in the book.", kept, draft.text("by")
    )


def _made_up_name(household: Household, document: Mapping[str, Any]) -> str:
    yarn = ground.name_of(household.yarns, document.get("yarn"))[:300]
    dial = f"dial {document['dial']}" if document.get("dial") else ""
    return ", ".join(part for part in (yarn or ("swatch" if not dial else ""), dial) if part)


@pages.get("/<key>")
def swatch(key: str) -> Response:
    """One swatch: its gauge at every stage, with the readings."""
    return _show(key)


def _show(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    _, one = ground.there(KIND, key, "swatch book")
    household = ground.household()
    yarn, machine = one.yarn or "", one.machine or ""
    group = next(group for group in fabrics_of(household) if group[:2] == (yarn, machine))
    answer = answer_for(household, yarn, machine, group[2], "fabric")
    spec = next((found for found in answer.specimens if found.key == key), None)
    gauges: dict[tuple[str, str], Any] = {(one.stage, one.direction): one for one in spec.gauges} if spec else {}
    asked = asked_about(KIND, one, household)
    open_ = unanswered.lists_asked_about(asked)
    stages = [_shown_stage(number, stage, one, gauges, open_) for number, stage in enumerate(one.stages)]
    blocked = gauges.get(("blocked", "across"))
    return ground.show(
        "swatch.html",
        ROOM,
        status,
        swatch=one,
        name=ground.called(one, key),
        short=ground.short(ground.called(one, key)),
        asked=asked,
        invented=invented.is_invented(key, KIND),
        refusals=refusals,
        typed=request.form,
        stages=stages,
        span="4 in" if ground.unit() == "in" else "10 cm",
        gauge=figures(blocked) if blocked else None,
        rows_gauge=figures(gauges["blocked", "along"]) if ("blocked", "along") in gauges else None,
        unwashed=not any(stage.kind == "blocked" for stage in one.stages),
        left_out=[words_fabric.left_out_sentence(found) for found in answer.left_out if found.key == key],
        settings=_settings(one, household),
        fabric={"yarn": yarn, "machine": machine},
    )


shelf.register(pages, KIND, "swatch book", "/swatches", _show)


def _shown_stage(
    number: int, stage: Any, swatch: Swatch, gauges: Mapping[tuple[str, str], Any], open_: frozenset[Path]
) -> dict[str, Any]:
    parts = []
    for name, span, noun in (("across", swatch.stitches, "stitches"), ("along", swatch.rows, "rows")):
        readings = getattr(stage, name)
        if not readings:
            continue
        gauge = gauges.get((stage.kind, name))
        parts.append(
            {
                "place": f"stages/{number}/{name}",
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
        "hours": f"{stage.hours:g} hour{'' if stage.hours == 1 else 's'}" if stage.hours is not None else "",
        "treatment": stage.treatment,
        "blocking": dict(BLOCKINGS).get(stage.blocking or "", "") if stage.blocking else "",
        "grams": ground.decimal(stage.grams, 1) if stage.grams else "",
        "parts": parts,
    }


def _settings(one: Swatch, household: Household) -> list[tuple[str, str]]:
    told = [
        ("Dial", one.dial.written() if one.dial else ""),
        ("Yarn", ground.name_of(household.yarns, one.yarn)),
        ("Lot", one.lot),
        ("Strands", str(one.strands) if one.strands > 1 else ""),
        ("Machine", ground.name_of(household.machines, one.machine)),
        ("Carriage", one.carriage),
        ("Mast tension", one.mast_tension),
        ("Weights", one.weights),
        ("Needles", one.needle_arrangement),
        ("Stitch pattern", one.stitch_pattern),
        (
            "Between the marks",
            _between(one.stitches, "stitches") + (f", {_between(one.rows, 'rows')}" if one.rows else ""),
        ),
    ]
    return [(label, value) for label, value in told if value]


def _between(span: Span, noun: str) -> str:
    if span.rule == "between":
        return f"{span.between} {noun}"
    return f"{span.between} {noun} (marks at {span.first} and {span.last})".replace("-", "−")


@pages.get("/<key>/edit")
def edit(key: str) -> Response:
    """How it was knitted, in a form; readings stay."""
    stored, one = ground.there(KIND, key, "swatch book")
    return _swatch_form(Draft(_written(stored)), swatch=one)


def _written(stored: Stored) -> dict[str, str]:
    """How a kept swatch was knitted, as the form has it."""
    one: Swatch = stored.record
    typed = {name: str(getattr(one, name) or "") for name, _ in SWATCH_FIELDS if name != "dial"}
    typed |= {"dial": one.dial.written() if one.dial else "", "revision": str(stored.revision)}
    typed["rule"] = one.stitches.rule
    for name in ("stitches", "rows"):
        span = getattr(one, name)
        if span is not None:
            typed |= {name: _whole(span.count), f"{name}_first": _whole(span.first), f"{name}_last": _whole(span.last)}
    return typed


def _whole(value: int | None) -> str:
    return "" if value is None else str(value)


@pages.post("/<key>/edit")
def change(key: str) -> Response:
    """Change how it was knitted."""
    stored, one = ground.there(KIND, key, "swatch book", form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_knitted(draft), **_spans(draft), "id": key, "stages": stored.doc["stages"]}
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), KIND, key, document, revision)
    except StaleWrite as stale:
        yarns, machines = _tools()
        choices: Choices = {"yarn": yarns, "machine": machines, "rule": RULES}
        back = url_for("swatches.edit", key=key)
        return conflict(stale, draft, _written, back, ROOM, label=SWATCH_LABELS.get, choices=choices)
    if kept is None:
        return _swatch_form(draft, 422, one)
    changed = kept.revision != stored.revision
    return ground.go(url_for("swatches.swatch", key=key), "Changed." if changed else "", kept if changed else None)


@pages.get("/<key>/read")
def read(key: str) -> Response:
    """A form for the next stage, or for more readings of one."""
    _, one = ground.there(KIND, key, "swatch book")
    which = request.args.get("stage", "")
    typed = {"by": ground.measurer(), "stage": which if which.isdecimal() and int(which) < len(one.stages) else ""}
    if not typed["stage"]:
        typed |= {"kind": "blocked", "on": ground.day(date.today())}
    return _read_form(Draft(typed), one)


def _read_form(draft: Draft, one: Swatch, status: int = 200) -> Response:
    number = draft.text("stage")
    stage = one.stages[int(number)] if number else None
    return ground.show(
        "swatch_read.html",
        ROOM,
        status,
        swatch=one,
        name=one.name or one.id.replace("_", " "),
        stage=dict(STAGES)[stage.kind] if stage else "",
        typed=draft.typed,
        refusals=draft.refusals,
        stages=STAGES,
        blockings=BLOCKINGS,
    )


@pages.post("/<key>/read")
def read_more(key: str) -> Response:
    """Add a stage, or readings to one that is there."""
    stored, one = ground.there(KIND, key, "swatch book", form=True)
    draft = Draft(ground.typed(request.form))
    document = stored.doc
    number = draft.text("stage")
    if number.isdecimal() and len(number) < 6 and int(number) < len(one.stages):
        stage = document["stages"][int(number)]
        count = 0
        for name in ("across", "along"):
            before = stage.setdefault(name, [])
            added = _read(draft, f"stages[{number}].{name}", name, len(before))
            before += added
            count += len(added)
    else:
        draft.typed["stage"] = ""
        stage = _stage(draft, len(one.stages))
        document["stages"].append(stage)
        count = len(stage.get("across", ())) + len(stage.get("along", ()))
    if not count:
        draft.refuse("across", "One reading at least, across or along.")
    if draft.text("along") and one.rows is None:
        draft.refuse(
            "along", 'Write down first how many rows lie between the marks: under "Change how it was knitted".'
        )
    kept = draft.keep(ground.store(), KIND, key, document, stored.revision)
    if kept is None:
        return _read_form(draft, one, 422)
    return ground.go(
        url_for("swatches.swatch", key=key), f"Kept {ground.counted(count, 'reading')}.", kept, draft.text("by")
    )
