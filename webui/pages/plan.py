"""Planning a sweater: from five numbers on, which size to knit and at which dial; nothing is kept until asked."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.sizes.answers import SizeAnswer, SizesAnswer, WidthAt
from fitcheck.drawing.dial_line import chart_of, dial_line
from fitcheck.drawing.sizes_rulers import sizes_at_points, sizes_ruler, sizes_span
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from fitcheck.records.households import Household, by_key
from fitcheck.records.makes import Make
from fitcheck.records.points import ORDER, POINTS
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import fabric_told, sizes_told
from fitcheck.reports.steps import beside_size, steps
from fitcheck.store.documents import take
from fitcheck.words import fabric as words_fabric
from fitcheck.words import sizes as words_sizes
from webui.forms.drafts import Draft, free_key
from webui.forms.typed import STITCHES, reading, several, with_unit
from webui.pages import ground
from webui.pages.plan_questions import is_kept, plan_questions
from webui.pages.shelves.fabrics import fabric_name, fabrics_of
from webui.pages.shelves.wardrobe_measures import latest

pages = Blueprint("plan", __name__, url_prefix="/plan")
ROOM = "table"
KEY = "plan"
ROUND = (("flat", "flat, half round"), ("round", "round"))
MOST_RULERS = 6
EMPTY = {
    "chest": "What the chest shall measure, such as 54; or a garment of the wardrobe below it.",
    "stitches": "How many stitches lie between the marks of a swatch; or a fabric of the swatch book.",
    "count_1": "The stitches at the chest of one size, such as 120; or a whole table.",
}
"""What is asked for first, where the button was pressed and nothing was typed."""


@pages.get("")
def plan() -> Response:
    """The form, and the answer under the first five numbers."""
    draft = Draft(ground.typed(request.args, 400))
    if any(draft.text(name) for name in ("chest", "garment", "stitches", "fabric", "count_1", "table")):
        return _page(draft, answered=True)
    if "chest" in request.args:  # the button was pressed on an empty form
        for name, accepts in EMPTY.items():
            draft.refuse(name, accepts)
        return _page(draft, 422)
    draft.typed.setdefault("chest_meant", "flat")
    return _page(draft)


@pages.post("/keep")
def keep() -> Response:
    """Keep the plan as a make, with the swatch and the sizes that were typed."""
    draft = Draft(ground.typed(request.form, 400))
    store = ground.store()
    parts = _parts(draft, ground.household())
    if parts is None:
        return _page(draft, 422, answered=True)
    if _answer(draft, ground.household()).get("asked"):
        return _page(draft, 422, answered=True)
    swatch, table, make = parts
    name = draft.text("name") or f"sweater planned on {ground.day(date.today())}"
    key = free_key(store, "makes", name)
    written: dict[str, Any] = {**make, "id": key, "name": name, "started": date.today().isoformat()}
    if swatch is not None:
        called = f"swatch for {name}"[:300]
        kept = draft.keep_new(store, "swatches", called, {**swatch, "name": called})
        if kept is not None:
            written["swatches"] = [kept.key]
    if table is not None and draft.fits:
        called = f"sizes for {name}"[:300]
        kept = draft.keep_new(store, "size_tables", called, {**table, "name": called})
        if kept is not None:
            written["size_table"] = kept.key
    made = draft.keep(store, "makes", key, written, 0) if draft.fits else None
    if made is None:
        return _page(draft, 422, answered=True)
    return ground.go(f"/makes/{key}", f"{ground.capital(name)} is among the makes.", made)


# ---- from the form to records that are not kept ------------------------------------------------------------


Document = dict[str, Any]


def _parts(draft: Draft, household: Household) -> tuple[Document | None, Document | None, Document] | None:
    """The typed swatch, the typed size table, and the make that names them; None where something was refused."""
    unit = ground.unit()
    make: dict[str, Any] = {"name": "plan", "fits": _fits(draft, household)}
    swatch = table = None
    groups = {f"{yarn}|{machine}": (yarn, machine, found) for yarn, machine, found in fabrics_of(household)}
    chosen = groups.get(draft.text("fabric"))
    if chosen is not None:
        yarn, machine, found = chosen
        make["swatches"] = [one.id for one in found]
        make |= {name: key for name, key in (("yarn", yarn), ("machine", machine)) if key}
    elif draft.text("stitches") or draft.text("across"):
        swatch = _typed_swatch(draft, unit)
        make["swatches"] = [f"{KEY}-swatch"]
    if any(one.id == draft.text("table") for one in household.size_tables):
        make["size_table"] = draft.text("table")
    elif draft.text("count_1") or draft.text("count_2"):
        table = _typed_table(draft)
        make["size_table"] = f"{KEY}-table"
    if draft.text("multiple"):
        make["multiple"] = draft.number(("multiple",), "multiple")
    for kind, document in (("swatches", swatch), ("size_tables", table)):
        if document is not None:
            _try(draft, kind, f"{KEY}-{'swatch' if kind == 'swatches' else 'table'}", document, household)
    _try(draft, "makes", KEY, make, household)
    return (swatch, table, make) if draft.fits else None


def _try(draft: Draft, kind: str, key: str, document: Mapping[str, Any], household: Household) -> Any:
    try:
        return take(kind, key, document, household.unit).record
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return None


def _fits(draft: Draft, household: Household) -> dict[str, Any]:
    fits: dict[str, Any] = {}
    garment = by_key(household.garments, draft.text("garment"))
    if garment is not None:
        fits |= {"garment": garment.id, "occasion": latest(garment).id}
    text = draft.at(("fits", "numbers", "chest"), "chest")
    if text:
        fits["numbers"] = {
            "chest": {
                "length": with_unit(text, ground.unit()),
                "meant": draft.text("chest_meant") or "flat",
                **({"confirmed": True} if is_kept(draft, "chest") else {}),
            }
        }
    return fits


def _typed_swatch(draft: Draft, unit: str) -> dict[str, Any]:
    texts = several(draft.text("across"))
    if not texts:
        draft.refuse("across", "The width between the marks of the swatch, washed and blocked.")
    if not draft.text("stitches"):
        draft.refuse("stitches", "How many stitches lie between the marks of the swatch.")
    for number in range(len(texts)):
        draft.at(("stages", 0, "across", number), "across")
    kept = is_kept(draft, "across")
    across = [reading(one, unit, confirmed=kept) for one in texts]
    document: dict[str, Any] = {
        "stitches": {"count": draft.number(("stitches", "count"), "stitches", STITCHES)},
        "stages": [{"kind": "blocked", "on": date.today().isoformat(), "across": across}],
    }
    if draft.text("dial"):
        document["dial"] = draft.at(("dial",), "dial")
    return document


def _typed_table(draft: Draft) -> dict[str, Any]:
    sizes: list[dict[str, Any]] = []
    for number in (1, 2):
        field = f"count_{number}"
        if not draft.text(field):
            continue
        count = draft.number(("sizes", len(sizes), "pieces", "back", "chest", "count"), field, STITCHES)
        name = draft.text(f"size_{number}") or str(number)
        if any(one["name"] == name for one in sizes):
            draft.refuse(f"size_{number}", "A name of its own for each size.")
        sizes.append({"name": name, "pieces": {"back": {"chest": {"count": count}}}})
    return {"name": "typed sizes", "sizes": sizes}


# ---- the answer --------------------------------------------------------------------------------------------


def _page(draft: Draft, status: int = 200, *, answered: bool = False) -> Response:
    household = ground.household()
    several_machines = len({machine for _, machine, _ in fabrics_of(household) if machine}) > 1
    given: dict[str, Any] = {"answer": None, "asked": []}
    if answered:
        given = _answer(draft, household)
        status = 422 if draft.refusals else status
    query = {name: value for name, value in draft.typed.items() if value and name not in ("beside", "name")}
    return ground.show(
        "plan.html",
        ROOM,
        status,
        typed=draft.typed,
        refusals=draft.refusals,
        query=query,
        beside_at=url_for("plan.plan"),
        meant=ROUND,
        garments=[("", "a number instead"), *((one.id, one.name) for one in household.garments)],
        fabrics=[
            ("", "a swatch that I type"),
            *(
                (f"{yarn}|{machine}", f"{fabric_name(household, yarn, machine, several_machines)} ({len(found)})")
                for yarn, machine, found in fabrics_of(household)
            ),
        ],
        tables=[("", "two sizes that I type"), *((one.id, one.name) for one in household.size_tables)],
        **given,
    )


def _answer(draft: Draft, household: Household) -> dict[str, Any]:
    parts = _parts(draft, household)
    if parts is None:
        return {"answer": None}
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
    found = fabric_told(told) if make.swatches else None
    answer = sizes_told(told, found)
    asked = plan_questions(draft, household, make, own_swatch, own_table, answer)
    if asked:
        return {"answer": None, "asked": asked}
    beside = answer.size(draft.text("beside")) if draft.text("beside") else None
    if beside is not None and beside.name != answer.best:
        answer = sizes_told(beside_size(told, beside.name), found)
    given = answer_parts(answer)
    if found is not None:
        chart = chart_of(found)
        dials = len({one.dial for one in found.specimens if one.dial})
        given |= {
            "dial_words": words_fabric.dial_headline(found.dials, ground.unit(), mark=ground.mark()),
            "known_dial": words_fabric.known_dial_sentence(found.dials, ground.unit(), mark=ground.mark()),
            # Where only one dial was knitted the sentence about the dial says where to swatch.
            "next_swatch": ""
            if isinstance(found.next_swatch, CannotSay)
            or (isinstance(found.dials.best, CannotSay) and found.dials.best.code == "one_dial")
            else words_fabric.next_swatch_sentence(found.next_swatch, ground.unit(), mark=ground.mark()),
            "line": ground.safe(
                dial_line(chart, "Stitch width against dial", unit=ground.unit(), ids="pd", mark=ground.mark())
            )
            if chart and dials > 1
            else "",
        }
    return given


def answer_parts(answer: SizesAnswer) -> dict[str, Any]:
    """What a page shows of an answer about sizes: sentences, a ruler per point, a table."""
    unit, mark = ground.unit(), ground.mark()
    best = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
    points = sizes_at_points(answer)
    points.sort(key=lambda one: ORDER[one.key])
    span = sizes_span(points, unit)
    free = words_sizes.free_counts_sentence(answer)
    return {
        "answer": answer,
        "headline": words_sizes.sizes_headline(answer, unit, mark=mark),
        "why": [
            one
            for one in (
                words_sizes.advised_sentence(answer),
                words_sizes.limit_sentence(answer, best, unit, mark=mark) if best is not None else "",
                *words_sizes.against_sentences(answer, mark=mark),
            )
            if one
        ],
        "beside_words": words_sizes.side_by_side_sentence(answer, unit, mark=mark),
        "pair": _pair(answer),
        "names": [(one.name, one.name) for one in answer.sizes if one.name != answer.best],
        "rulers": [
            (_title(one.key), ground.safe(sizes_ruler(one, unit, span)), _spoken(answer, one.key)) for one in points
        ],
        "legend": _legend(answer),
        "columns": [_column(one, answer) for one in answer.sizes],
        "widths": _width_rows(answer),
        "lengths": _length_rows(answer),
        "row_counted": _row_counted(answer),
        "mixed": words_sizes.mixed_sentence(answer),
        "free": free,
        "impossible": [one for one in (words_sizes.refused_size_sentence(size) for size in answer.sizes) if one],
        "table_words": list(words_sizes.table_sentences(answer, unit, mark=mark)),
        "lacks": list(words_sizes.lacks_sentences(answer)),
        "assumed": [words_sizes.size_assumed_sentence(one, unit, mark=mark) for one in answer.assumed],
    }


def _legend(answer: SizesAnswer) -> list[tuple[int, str]]:
    """Which figure is which size; nothing where the sizes are called as they are numbered."""
    named = [(place, words_sizes.size_name(one.name)) for place, one in enumerate(answer.sizes, start=1)]
    return [] if all(name == str(place) for place, name in named) else named


def _title(key: str) -> str:
    point = POINTS[key]
    return ground.capital(point.name) + (", flat" if point.flat else "")


def _column(size: SizeAnswer, answer: SizesAnswer) -> dict[str, Any]:
    chance = "" if isinstance(size.all_fit, CannotSay) else words.chance_words(size.all_fit)
    return {"name": words_sizes.size_name(size.name), "best": size.name == answer.best, "chance": chance}


def _cell(width: WidthAt | None) -> dict[str, str]:
    if width is None:
        return {}
    counts = " / ".join(str(one) for one in dict.fromkeys(width.counts.values()))
    finished = "" if isinstance(width.finished, CannotSay) else ground.figure(width.finished.value)
    off = "" if isinstance(width.difference, CannotSay) else ground.figure(width.difference.value, signed=True)
    return {"finished": finished, "off": off, "counts": f"{counts} st" if counts else ""}


def _width_rows(answer: SizesAnswer) -> list[dict[str, Any]]:
    keys = sorted({one.key for size in answer.sizes for one in size.widths}, key=ORDER.__getitem__)
    rows = []
    for key in keys:
        widths = [size.width(key) for size in answer.sizes]
        if all(one is None or isinstance(one.finished, CannotSay) for one in widths):
            continue
        wanted = next((one.wanted for one in widths if one and not isinstance(one.wanted, CannotSay)), None)
        rows.append(
            {
                "name": _title(key),
                "wanted": ground.figure(wanted.value) if wanted is not None else "",
                "cells": [_cell(one) for one in widths],
            }
        )
    return rows


def _length_rows(answer: SizesAnswer) -> list[dict[str, Any]]:
    keys = sorted({(one.key, one.piece) for size in answer.sizes for one in size.lengths}, key=lambda k: ORDER[k[0]])
    rows = []
    for key, piece in keys:
        cells: list[dict[str, str]] = []
        wanted = ""
        for size in answer.sizes:
            one = next((found for found in size.lengths if (found.key, found.piece) == (key, piece)), None)
            if one is None:
                cells.append({})
                continue
            count = "" if isinstance(one.rows, CannotSay) else f"{round(one.rows.value)} rows"
            off = "" if isinstance(one.difference, CannotSay) else ground.figure(one.difference.value, signed=True)
            if not isinstance(one.wanted, CannotSay):
                wanted = ground.figure(one.wanted.value)
            cells.append({"finished": ground.figure(one.printed_mm), "off": off, "counts": count})
        rows.append({"name": _title(key), "wanted": wanted, "cells": cells})
    return rows


def _row_counted(answer: SizesAnswer) -> list[str]:
    size = None if isinstance(answer.best, CannotSay) else answer.size(answer.best)
    if size is None:
        return []
    return [words_sizes.row_counted_sentence(one, ground.unit(), mark=ground.mark()) for one in size.row_counted]


def _spoken(answer: SizesAnswer, key: str) -> str:
    """A ruler read out: what each size does at a point."""
    told = []
    for size in answer.sizes:
        width = size.width(key)
        if width is not None and not isinstance(width.difference, CannotSay):
            told.append(f"size {size.name}: {words_sizes.off_words(width, ground.unit(), mark=ground.mark())}")
    return "; ".join(told)


def _pair(answer: SizesAnswer) -> dict[str, Any] | None:
    """Two sizes side by side: every width, and which of them decides."""
    pair = answer.side_by_side
    if isinstance(pair, CannotSay):
        return None
    first, second = answer.size(pair.first), answer.size(pair.second)
    assert first is not None
    assert second is not None
    keys = sorted({one.key for size in (first, second) for one in size.widths}, key=ORDER.__getitem__)
    rows = [
        {
            "name": _title(key),
            "first": _off(first.width(key)),
            "second": _off(second.width(key)),
            "decides": key == pair.decides,
        }
        for key in keys
        if _off(first.width(key))[0] or _off(second.width(key))[0]
    ]
    return {
        "first": words_sizes.size_name(first.name),
        "second": words_sizes.size_name(second.name),
        "chances": [_column(one, answer)["chance"] for one in (first, second)],
        "rows": rows,
    }


def _off(width: WidthAt | None) -> tuple[str, str]:
    if width is None:
        return "", ""
    if isinstance(width.difference, CannotSay):
        return ("" if isinstance(width.finished, CannotSay) else ground.length(width.finished.value)), ""
    chance = "" if isinstance(width.chance, CannotSay) else words.chance_words(width.chance)
    return words_sizes.off_side(width, ground.unit(), mark=ground.mark()), chance
