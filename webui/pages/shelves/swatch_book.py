"""The swatch book: yarns, machines, swatches at several dials and stages, and what each fabric is known to do."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple, get_args

from flask import Blueprint, Response, abort, current_app, request, url_for

from fitcheck import words
from fitcheck.advice.fabric.answer import ClickReport, FabricAnswer, fabric_answer
from fitcheck.drawing.change_rows import change_rows, changes_of
from fitcheck.drawing.dial_line import chart_of, dial_line
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.base import as_typed
from fitcheck.records.households import Household
from fitcheck.records.machines import Machine
from fitcheck.records.makes import Make
from fitcheck.records.swatches import Span, Swatch
from fitcheck.records.yarns import Fibre, Yarn
from fitcheck.store.faults import StaleWrite
from fitcheck.store.revisions import Stored
from fitcheck.words import fabric as words_fabric
from webui.pages import invented
from webui.pages.conflicts import Choices, conflict
from webui.pages.drafts import Draft, Refusal, reading, several, with_unit, without_empty
from webui.pages.readings import Asked, asked_about
from webui.pages.shelves import ground, shelf, unanswered

pages = Blueprint("swatches", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"
NEWEST = 8

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
FIBRE_NAMES = [("", "not said"), *((fibre, fibre.replace("_", " ")) for fibre in get_args(Fibre))]
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
TOOL_LABELS = {
    "tex": "1000 m of one strand weigh",
    "m_per_100g": "100 g are",
    "oiled": "Spun in oil",
    "fibre_1": "First fibre",
    "fibre_2": "Second fibre",
    "fibre_3": "Third fibre",
    **{f"percent_{number}": f"Share of fibre {number}" for number in (1, 2, 3)},
    **{f"lot_{number}": f"Lot {number}" for number in (1, 2, 3, 4)},
    **{f"grams_{number}": f"Lot {number}, grams on hand" for number in (1, 2, 3, 4)},
    "needles": "Needles on the bed",
    "pitch": "From needle to needle",
    "marks": "Marks between two numbers",
}
"""The same for yarns and machines; the others are called as they are."""


# ---- fabrics -----------------------------------------------------------------------------------------------


def fabrics_of(household: Household) -> list[tuple[str, str, list[Swatch]]]:
    """Swatches by yarn and machine: what may be one fabric; the newest fabric first."""
    found: dict[tuple[str, str], list[Swatch]] = {}
    for one in household.swatches:
        found.setdefault((one.yarn or "", one.machine or ""), []).append(one)
    groups = [(yarn, machine, swatches) for (yarn, machine), swatches in found.items()]
    return sorted(groups, key=lambda group: max(_newest(one) for one in group[2]), reverse=True)


def _newest(swatch: Swatch) -> date:
    return max((stage.on for stage in swatch.stages if stage.on), default=date.min)


def fabric_name(household: Household, yarn: str, machine: str, several_machines: bool) -> str:
    """What a fabric is called: its yarn, and its machine where there are several."""
    name = ground.name_of(household.yarns, yarn or None) or "yarn not said"
    on = ground.name_of(household.machines, machine or None)
    return f"{name}, on {on}" if on and several_machines else name


def answer_for(household: Household, yarn: str, machine: str, swatches: list[Swatch], name: str) -> FabricAnswer:
    """What a fabric is known to do without what is asked about, kept until anything of the household changes."""
    kept: dict[str, Any] = current_app.extensions.setdefault("fitcheck_fabrics", {})
    if kept.get("of") is not household:
        kept.clear()
        kept["of"] = household
    key = f"{yarn}/{machine}"
    if key not in kept:
        without = unanswered.sure(household, asked_in(household, swatches))
        there = {one.id for one in without.swatches}
        make = Make(
            id="swatch-book",
            name=name,
            yarn=yarn or None,
            machine=machine or None,
            swatches=[one.id for one in swatches if one.id in there],
        )
        kept[key] = fabric_answer(make, without)
    found: FabricAnswer = kept[key]
    return found


def asked_in(household: Household, swatches: Sequence[Swatch]) -> dict[str, list[Asked]]:
    """What is asked about swatches and not answered, by their key; a fabric is known without it."""
    return {one.id: asked for one in swatches if (asked := asked_about(KIND, one, household))}


@pages.get("")
def book() -> Response:
    """Every fabric with what is known of it; without a swatch, the three numbers that one needs."""
    household = ground.household()
    groups = fabrics_of(household)
    if not groups:
        return _swatch_form(Draft(_empty_swatch()), empty=True)
    several_machines = len({machine for _, machine, _ in groups if machine}) > 1
    made_up = invented.among(household, "swatches", "yarns", "machines")
    fabrics = []
    for yarn, machine, swatches in groups:
        name = fabric_name(household, yarn, machine, several_machines)
        answer = answer_for(household, yarn, machine, swatches, name)
        newest = sorted(swatches, key=_newest, reverse=True)
        asked = asked_in(household, swatches)
        fabrics.append(
            {
                "name": ground.short(name, 90),
                "yarn": yarn,
                "machine": machine,
                "count": len(swatches),
                "gauge": words_fabric.gauge_headline(answer, ground.unit(), mark=ground.mark()),
                "next": words_fabric.next_swatch_sentence(answer.next_swatch, ground.unit(), mark=ground.mark()),
                "rows": [
                    {**_line(one, answer), "asked": one.id in asked, "invented": (KIND, one.id) in made_up}
                    for one in newest[:NEWEST]
                ],
            }
        )
    return ground.show(
        "swatch_book.html",
        ROOM,
        fabrics=fabrics,
        count=len(household.swatches),
        span="4 in" if ground.unit() == "in" else "10 cm",
        tools=_shelves(household),
        deleted=ground.deleted("swatches", "yarns", "machines"),
    )


def _shelves(household: Household) -> dict[str, list[dict[str, Any]]]:
    """Yarns and machines of the book."""
    made_up = invented.among(household, "swatches", "yarns", "machines")
    swatched = {one.yarn for one in household.swatches}
    return {
        kind: [
            {
                "key": one.id,
                "name": one.name,
                "unused": kind == "yarns" and one.id not in swatched,
                "invented": (kind, one.id) in made_up,
            }
            for one in getattr(household, kind)
        ]
        for kind in ("yarns", "machines")
    }


def _line(swatch: Swatch, answer: FabricAnswer) -> dict[str, Any]:
    """One swatch in a list: its gauge, washed and blocked if it was."""
    spec = next((one for one in answer.specimens if one.key == swatch.id), None)
    gauges = {(one.stage, one.direction): one for one in spec.gauges} if spec else {}
    stage = next((kind for kind in ("blocked", "rested", "off_machine", "hung") if (kind, "across") in gauges), "")
    cells = []
    for direction in ("across", "along"):
        gauge = gauges.get((stage, direction))
        cells.append(_figures(gauge) if gauge is not None else ("", ""))
    return {
        "key": swatch.id,
        "name": swatch.name or swatch.id.replace("_", " "),
        "dial": swatch.dial.written() if swatch.dial else "?",
        "stage": words.STAGES.get(stage, "") if stage and stage != "blocked" else "",
        "stitches": cells[0],
        "rows": cells[1],
        "when": _newest(swatch) if _newest(swatch) != date.min else None,
        "left_out": spec is None,
    }


def _figures(gauge: Any) -> tuple[str, str]:
    return words_fabric.gauge_figure(gauge, "4 in" if ground.unit() == "in" else "10 cm", mark=ground.mark())


@pages.get("/fabrics")
def fabric() -> Response:
    """One fabric: gauge, dial, change in finishing, and where the next swatch tells most."""
    household = ground.household()
    yarn, machine = request.args.get("yarn", ""), request.args.get("machine", "")
    groups = fabrics_of(household)
    found = next((group for group in groups if group[:2] == (yarn, machine)), None)
    if found is None:
        abort(404, "There is no swatch of that yarn on that machine yet. Add one in the swatch book.")
    several_machines = len({one for _, one, _ in groups if one}) > 1
    name = fabric_name(household, yarn, machine, several_machines)
    answer = answer_for(household, yarn, machine, found[2], name)
    names = {one.id: ground.called(one, one.id) for one in found[2]}
    asked = [(key, names[key], one) for key, many in asked_in(household, found[2]).items() for one in many]
    parts = fabric_parts(answer, household)
    return ground.show("fabric.html", ROOM, name=name, yarn=yarn, machine=machine, asked=asked, **parts)


def fabric_parts(answer: FabricAnswer, household: Household) -> dict[str, Any]:
    """What a page shows of a fabric's answer: sentences, drawings and tables."""
    unit, mark = ground.unit(), ground.mark()
    chart = chart_of(answer)
    # A piece's dial stays, and a wanted gauge comes with a make; of the swatches alone it is the line that tells.
    line = ""
    if chart and chart.knitted:
        line = dial_line(chart, "Stitch width against the dial", unit=unit, mark=mark)
    stages = [one.stage for one in answer.change]
    names = {one.id: one.name or one.id.replace("_", " ") for one in household.swatches}
    changes = []
    for stage in stages:
        for direction, word in (("across", "width"), ("along", "length")):
            rows = changes_of(answer, stage, direction)
            if len(rows) > 1:
                title = f"{ground.capital(word)}, {words.STAGES.get(stage, stage)} to blocked"
                changes.append((title, ground.safe(change_rows(rows[-NEWEST - 1 :], mark=ground.mark()))))
    clicks = [one for one in answer.dials.clicks if not one.outside or one == answer.dials.best]
    gauges = [] if isinstance(answer.gauge, CannotSay) else answer.gauge
    return {
        "answer": answer,
        "wanted_shown": not isinstance(answer.dials.wanted, CannotSay),
        "headline": words_fabric.gauge_headline(answer, unit, mark=mark),
        "stamp": ground.counted(sum(not one.piece for one in answer.specimens), "swatch", "swatches"),
        "next_swatch": words_fabric.next_swatch_sentence(answer.next_swatch, unit, mark=mark),
        "slope": words_fabric.slope_sentence(answer.dials.slopes, mark=mark),
        "cross_check": words_fabric.line_sentence(answer.dials.line, unit, mark=mark),
        "line": ground.safe(line),
        "changes": changes,
        "change_words": [words_fabric.change_sentence(one, mark=mark) for one in answer.change],
        "gauges": [
            {
                "what": "stitches" if one.direction == "across" else "rows",
                "stage": words.STAGES.get(one.stage, one.stage),
                "cm": words_fabric.gauge_figure(one, "10 cm", mark=mark),
                "inch": words_fabric.gauge_figure(one, "4 in", mark=mark),
                "mm": size_of(one.size.value),
                "assumed": one.size.basis == "assumed",
            }
            for one in sorted(gauges, key=lambda one: one.direction)
        ],
        "clicks": [_click(one) for one in clicks],
        "specimens": [
            {
                "key": one.key,
                "name": names.get(one.key, one.key.replace("_", " ")),
                "dial": one.dial or "?",
                "gauges": {(g.stage, g.direction): _figures(g) for g in one.gauges},
                "piece": one.piece,
            }
            for one in answer.specimens
        ],
        "stages": [
            kind for kind in words.STAGES if any(g.stage == kind for one in answer.specimens for g in one.gauges)
        ],
        "stage_names": words.STAGES,
        "span": "4 in" if unit == "in" else "10 cm",
        "left_out": [words_fabric.left_out_sentence(one) for one in answer.left_out],
        "assumed": [words_fabric.assumed_fabric_sentence(one, unit, mark=mark) for one in answer.assumed],
    }


def size_of(mm: float) -> str:
    """The size of one stitch or row: hundredths of a millimetre, thousandths of an inch."""
    return ground.decimal(mm / 25.4, 3) if ground.unit() == "in" else ground.decimal(mm, 2)


def _click(one: ClickReport) -> dict[str, Any]:
    return {
        "dial": one.dial,
        "stitches": _figures(one.across),
        "rows": _figures(one.along) if one.along.size.basis != "assumed" else ("", ""),
        "chance": words.chance_words(one.chance) if one.chance is not None else "",
        "good": one.good,
    }


# ---- swatches ----------------------------------------------------------------------------------------------


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
        tools=_shelves(ground.household()) if empty else {},
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
    open_ = unanswered.places_of(asked)
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
        gauge=_figures(blocked) if blocked else None,
        rows_gauge=_figures(gauges["blocked", "along"]) if ("blocked", "along") in gauges else None,
        unwashed=not any(stage.kind == "blocked" for stage in one.stages),
        left_out=[words_fabric.left_out_sentence(found) for found in answer.left_out if found.key == key],
        settings=_settings(one, household),
        fabric={"yarn": yarn, "machine": machine},
    )


shelf.register(pages, KIND, "swatch book", "/swatches", _show)


def _shown_stage(
    number: int, stage: Any, swatch: Swatch, gauges: Mapping[tuple[str, str], Any], open_: frozenset[str]
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
                "asked": f"stages/{number}/{name}" in open_,
                "noun": noun,
                "between": span.between if span else None,
                "readings": ground.shown_readings(readings),
                "gauge": _figures(gauge) if gauge else None,
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


# ---- yarns and machines ------------------------------------------------------------------------------------


def _yarn_document(draft: Draft) -> dict[str, Any]:
    if not draft.text("name"):
        draft.refuse("name", "A name: grey wool on the cone.")
    shares: list[dict[str, Any]] = []
    for number in (1, 2, 3):
        fibre, percent = draft.text(f"fibre_{number}"), draft.text(f"percent_{number}")
        if not fibre:
            if percent:
                draft.refuse(f"fibre_{number}", f"Which fibre is it of which {percent} % are in the yarn?")
            continue
        at = f"fibres[{len(shares)}]"
        draft.at(f"{at}.fibre", f"fibre_{number}")
        share = draft.number(f"{at}.percent", f"percent_{number}") if percent else ""
        shares.append({"fibre": fibre, "percent": share})
    unsaid = [one for one in shares if one["percent"] == ""]
    if len(unsaid) == 1:  # what is left of a hundred
        told = sum(one["percent"] for one in shares if isinstance(one["percent"], (int, float)))
        unsaid[0]["percent"] = 100 - told
    lots: list[dict[str, Any]] = []
    for number in (1, 2, 3, 4):
        if not draft.text(f"grams_{number}"):
            if draft.text(f"lot_{number}"):
                draft.refuse(f"grams_{number}", "How many grams of this lot are on hand? 0 where it is used up.")
            continue
        at = f"lots[{len(lots)}]"
        lots.append(
            without_empty(
                {"lot": draft.at(f"{at}.lot", f"lot_{number}"), "grams": draft.number(f"{at}.grams", f"grams_{number}")}
            )
        )
    draft.at("fibres", "fibre_1")
    document = {
        "name": draft.at("name", "name"),
        "fibres": shares,
        "lots": lots,
        "tex": draft.number("tex", "tex"),
        "m_per_100g": draft.number("m_per_100g", "m_per_100g"),
        "care_label": draft.at("care_label", "care_label"),
        "notes": draft.at("notes", "notes"),
    }
    if draft.text("oiled"):
        document["oiled"] = True
    return without_empty(document)


def _yarn_typed(one: Yarn) -> dict[str, str]:
    typed = {"name": one.name, "care_label": one.care_label, "notes": one.notes, "oiled": "yes" if one.oiled else ""}
    typed |= {name: f"{getattr(one, name):g}" for name in ("tex", "m_per_100g") if getattr(one, name)}
    for number, share in enumerate(one.fibres[:3], start=1):
        typed |= {f"fibre_{number}": share.fibre, f"percent_{number}": f"{share.percent:g}"}
    for number, lot in enumerate(one.lots[:4], start=1):
        typed |= {f"lot_{number}": lot.lot, f"grams_{number}": f"{lot.grams:g}"}
    return typed


def _machine_document(draft: Draft) -> dict[str, Any]:
    if not draft.text("name"):
        draft.refuse("name", "A name: the standard machine.")
    if not draft.text("needles"):
        draft.refuse("needles", "The number of needles on the bed: 200 on many.")
    return without_empty(
        {
            "name": draft.at("name", "name"),
            "needles": draft.number("needles", "needles"),
            "pitch": with_unit(draft.at("pitch", "pitch"), "mm"),
            "carriage": draft.at("carriage", "carriage"),
            "lowest_dial": draft.at("lowest_dial", "lowest_dial"),
            "highest_dial": draft.at("highest_dial", "highest_dial"),
            "marks": draft.number("marks", "marks"),
            "notes": draft.at("notes", "notes"),
        }
    )


def _machine_typed(one: Machine) -> dict[str, str]:
    return {
        "name": one.name,
        "needles": str(one.needles),
        "pitch": as_typed(one.pitch) if one.pitch else "",
        "carriage": one.carriage,
        "lowest_dial": one.lowest_dial.written(),
        "highest_dial": one.highest_dial.written(),
        "marks": str(one.marks),
        "notes": one.notes,
    }


class _Tool(NamedTuple):
    """What a yarn or a machine has of its own: its template, from form to record and back, an empty form."""

    template: str
    document: Callable[[Draft], dict[str, Any]]
    typed: Callable[[Any], dict[str, str]]
    empty: Mapping[str, str]


_TOOLS = {
    "yarns": _Tool("yarn_form.html", _yarn_document, _yarn_typed, {}),
    "machines": _Tool(
        "machine_form.html",
        _machine_document,
        _machine_typed,
        {"lowest_dial": "0", "highest_dial": "10", "marks": "2", "needles": "200"},
    ),
}


def _tool_form(kind: str, draft: Draft, status: int = 200, one: Any = None) -> Response:
    template = _TOOLS[kind].template
    return ground.show(template, ROOM, status, typed=draft.typed, refusals=draft.refusals, one=one, fibres=FIBRE_NAMES)


@pages.get("/<any(yarns, machines):kind>/new")
def new_tool(kind: str) -> Response:
    """An empty form for a yarn or a machine."""
    return _tool_form(kind, Draft(_TOOLS[kind].empty))


@pages.post("/<any(yarns, machines):kind>/new")
def add_tool(kind: str) -> Response:
    """A new yarn or machine."""
    draft = Draft(ground.typed(request.form))
    document = _TOOLS[kind].document(draft)
    kept = draft.keep_new(ground.store(), kind, draft.text("name"), document)
    if kept is None:
        return _tool_form(kind, draft, 422)
    return ground.go(url_for("swatches.book"), f"{ground.capital(document['name'])} is in the swatch book.", kept)


@pages.get("/<any(yarns, machines):kind>/<key>")
def tool(kind: str, key: str) -> Response:
    """A yarn or machine in its form."""
    stored, one = ground.there(kind, key, "swatch book")
    return _tool_form(kind, Draft({**_TOOLS[kind].typed(one), "revision": str(stored.revision)}), one=one)


@pages.post("/<any(yarns, machines):kind>/<key>")
def change_tool(kind: str, key: str) -> Response:
    """Change a yarn or machine."""
    stored, one = ground.there(kind, key, "swatch book", form=True)
    draft = Draft(ground.typed(request.form))
    document = {**_TOOLS[kind].document(draft), "id": key}
    if kind == "yarns":  # what the form has no room for stays
        document["fibres"] = [*document.get("fibres", []), *stored.doc.get("fibres", [])[3:]]
        document["lots"] = [*document.get("lots", []), *stored.doc.get("lots", [])[4:]]
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), kind, key, document, revision)
    except StaleWrite as stale:
        back = url_for("swatches.tool", kind=kind, key=key)
        fibres = {f"fibre_{number}": FIBRE_NAMES for number in (1, 2, 3)}
        form_of = _TOOLS[kind].typed
        return conflict(
            stale, draft, lambda there: form_of(there.record), back, ROOM, label=TOOL_LABELS.get, choices=fibres
        )
    if kept is None:
        return _tool_form(kind, draft, 422, one)
    changed = kept.revision != stored.revision
    return ground.go(url_for("swatches.book"), "Changed." if changed else "", kept if changed else None)


for _kind in _TOOLS:
    shelf.register(pages, _kind, "swatch book", "/swatches", under=f"/{_kind}")
