"""Size tables of patterns, typed like a spreadsheet: points down, sizes across; checked against themselves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.advice.sizes.printed_round import PrintedRound, printed_round
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from fitcheck.records.lengths import UNITS, read_length, write_bare
from fitcheck.records.makes import Make
from fitcheck.records.pasted_tables import MOST_ROWS, MOST_SIZES
from fitcheck.records.places import Place
from fitcheck.records.row_labels import COUNTED, counts_of
from fitcheck.records.size_tables import SizeTable
from fitcheck.reports.given import given_of
from fitcheck.reports.parts import sizes_told
from fitcheck.reports.steps import steps
from fitcheck.store.documents import take
from fitcheck.words import pasting, shelves
from fitcheck.words import sizes as words_sizes
from fitcheck.words.names import size_name
from fitcheck.words.said import Said
from webui.forms.drafts import Draft, Refusal
from webui.forms.fields import Filled
from webui.forms.size_tables import TABLE, Acted, acted, empty_grid, every_row, label_of, rows_of, size_of
from webui.forms.typed import whole_number
from webui.pages import given_back, ground, left_out, views
from webui.pages.asked import Asked, asked_about
from webui.pages.context import Page, shown_by
from webui.pages.shelves import shelf

pages = Blueprint("size_tables", __name__, url_prefix="/size-tables")
ROOM = "swatches"
KIND = "size_tables"

MANY = 9999
"""Sizes or rows: who asks for so many gets the most that a table may have; a larger number is read as none."""


@shown_by("size_tables.html", ROOM)
class SizeTablesPage(Page):
    """Every size table; without one, the form."""

    rows: list[dict[str, Any]]
    deleted: list[tuple[str, str]]


@pages.get("")
def tables() -> Response:
    """Every size table; without one, the form."""
    tables = ground.by_name(ground.household().size_tables)
    if not tables:
        return _form(_empty(), empty=True)
    return views.show(SizeTablesPage(rows=[_row(table) for table in tables], deleted=ground.deleted(KIND)))


def _row(table: SizeTable) -> dict[str, Any]:
    check: list[str] = []
    with left_out.named(table.name, ground.page_of(KIND, table.id)):
        check = _check_words(table)
    return {
        "key": table.id,
        "name": table.name,
        "sizes": [size_name(size.name, 12) for size in table.sizes],
        "check": check,
    }


def _empty() -> Draft:
    over = ground.tape().span
    return Draft({**TABLE.begin(), **empty_grid(), "gauge_over": over})


@pages.get("/new")
@given_back.draws_form
def new() -> Response:
    """An empty grid, and a place to paste into."""
    return _form(_grown(ground.begun(_empty().typed)))


def _grown(draft: Draft) -> Draft:
    """The grid with as many sizes and rows as the address asks for, where that is more: the unit was switched in it."""
    typed = _bounded(draft).typed
    for name, most in (("columns", MOST_SIZES), ("rows", MOST_ROWS)):
        asked = min(whole_number(request.args.get(name, ""), 0, MANY) or 0, most)
        if asked > int(typed[name]):
            if name == "columns":
                typed |= {f"size_{place}": str(place + 1) for place in range(int(typed[name]), asked)}
            typed[name] = str(asked)
    return draft


@pages.post("/new")
def add() -> Response:
    """Paste, one more size or row, check, or keep."""
    draft = _bounded(ground.draft())
    if done := acted(draft, ground.unit()):
        return _form(draft, done=done)
    document = TABLE.read(draft, ground.unit())
    if draft.text("do") in ("check", "round"):
        return _form(draft, checked=_look(draft, document, "checked"))
    kept = draft.keep_new(ground.store(), KIND, draft.text("name"), document)
    if kept is None:
        return _form(draft, 422)
    return ground.go(url_for("size_tables.table", key=kept.key), ground.added(document["name"], kept), kept)


def _bounded(draft: Draft) -> Draft:
    """A form as it was sent, now or before it failed, with a grid that is no larger than a table may be."""
    for name, most in (("columns", MOST_SIZES), ("rows", MOST_ROWS)):
        asked = whole_number(draft.text(name), 0, MANY)
        draft.typed[name] = str(min(asked, most) if asked is not None else 1)
    return draft


@pages.post("/<key>")
def change(key: str) -> Response:
    """Change a table."""
    stored, table = ground.record_or_404(KIND, key, "list of size tables", form=True)
    draft = _bounded(ground.draft())
    if done := acted(draft, ground.unit()):
        return _form(draft, table=table, done=done)
    document = TABLE.read(draft, ground.unit(), draft.before(ground.store(), stored))
    if draft.text("do") in ("check", "round"):
        return _form(draft, table=table, checked=_look(draft, document, key))
    to = url_for("size_tables.table", key=key)
    return shelf.keep(stored, draft, document, TABLE, lambda: _form(draft, 422, table=table), to, ROOM)


@pages.get("/<key>")
@given_back.draws_form
def table(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    """A table in its grid, with what it says against itself."""
    stored, table = ground.record_or_404(KIND, key, "list of size tables")
    return _form(
        _grown(ground.begun(ground.written(TABLE, stored).typed)), status, table=table, checked=table, answers=refusals
    )


shelf.register(pages, KIND, "list of size tables", "/size-tables", table)


# ---- the check ---------------------------------------------------------------------------------------------


def _look(draft: Draft, document: Mapping[str, Any], key: str) -> SizeTable | None:
    """The table of a form, nothing kept; None where something was refused. With `do` round, round rows are halved."""
    if not draft.fits:
        return None
    try:
        record: SizeTable = take(KIND, key, document, ground.household().unit).record
        if draft.text("do") == "round" and (rows := printed_round(record)):
            _make_flat(draft, rows)
            record = take(KIND, key, TABLE.read(draft, ground.unit(), {"id": key}), ground.household().unit).record
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return None
    return record


def _make_flat(draft: Draft, round_: PrintedRound) -> None:
    """Say that the measures are round; or halve the rows that are, where others are flat."""
    if round_.whole:
        draft.typed["measures"] = "round"
        return
    for number, piece, point, what in rows_of(draft):
        if what != "measure" or (piece, point) not in round_.rows:
            continue
        for place in range(size_of(draft)[0]):
            field = f"c_{number}_{place}"
            if draft.text(field):
                draft.typed[field] = _half(draft.text(field))


def _half(text: str) -> str:
    """Half a length as it would be typed."""
    length = read_length(text, unit=ground.unit())
    mm, unit = length.value_mm / 2, length.unit
    half = write_bare(mm, "in", parts=16) if unit == "in" else f"{mm / UNITS[unit]:g}"
    return half if unit == ground.unit() else f"{half} {unit}"


def _checked(table: SizeTable) -> SizesAnswer:
    household = ground.household()
    make = Make(id="looked-at", name=table.name, size_table=table.id)
    return sizes_told(steps(given_of(make, household.model_copy(update={"size_tables": [table]}))), None)


def _check_words(table: SizeTable) -> list[str]:
    if round_ := printed_round(table):
        return [_round_words(round_)]
    answer = _checked(table)
    if isinstance(answer.table, CannotSay):
        return [words.cannot_say_sentence(answer.table)]
    told = list(words_sizes.table_sentences(answer, ground.tape()))
    return told or [shelves.TABLE_AGREES]


def _round_words(round_: PrintedRound) -> str:
    """What is asked where rows look round."""
    names = [label_of(f"{piece}/{point}/measure") for piece, point in round_.rows]
    return shelves.measured_round(names, counted=round_.counted)


def _off(draft: Draft, checked: SizeTable | None) -> dict[str, str]:
    """Fields of cells that are off, and of those of which one is, with a word for each."""
    if checked is None or printed_round(checked):
        return {}
    answer = _checked(checked)
    if isinstance(answer.table, CannotSay):
        return {}
    marked = dict.fromkeys(answer.table.off, "look again")
    for group in answer.table.groups:
        for cell in group.candidates:
            marked.setdefault(cell, "one of these")
    words_of = {}
    columns, _ = size_of(draft)
    for number, piece, point, _ in rows_of(draft):
        for place in range(columns):
            for cell, word in marked.items():
                if (cell.size, cell.piece, cell.point) == (draft.text(f"size_{place}"), piece, point):
                    words_of[f"c_{number}_{place}"] = word
    return words_of


@shown_by("size_table.html", ROOM)
class SizeTablePage(Page):
    """A size table as it is typed, with what its check against itself says.

    left_out    what was left out of what was pasted, and why;  sideways: it lies the other way
    counted     rows of the grid whose figures are stitches or rows;  words_of_counts  by which words of a label
    """

    path: str
    form: Filled
    table: SizeTable | None
    empty: bool
    asked: list[Asked]
    answers: Mapping[str, Refusal] | None
    columns: int
    rows: int
    counted: list[int]
    words_of_counts: Sequence[str]
    labels: list[str]
    check: list[str]
    off: dict[str, str]
    looks_round: PrintedRound | None
    left_out: Sequence[Said]
    sideways: bool
    deleted: list[tuple[str, str]]


def _form(
    draft: Draft,
    status: int = 200,
    *,
    table: SizeTable | None = None,
    checked: SizeTable | None = None,
    empty: bool = False,
    answers: Mapping[str, Refusal] | None = None,
    done: Acted | None = None,
) -> Response:
    pasted = done.pasted if done is not None else None
    columns, rows = size_of(draft)
    here = url_for("size_tables.table", key=table.id) if table else url_for("size_tables.new")
    looks_round = printed_round(checked) if checked is not None else None
    return views.show(
        SizeTablePage(
            path=f"{here}?columns={columns}&rows={rows}",
            form=ground.filled(TABLE, draft, Place(KIND, table.id) if table is not None else None),
            table=table,
            empty=empty,
            asked=asked_about(KIND, table, ground.household()) if table is not None else [],
            answers=answers,
            columns=columns,
            rows=rows,
            counted=[number for number in range(rows) if counts_of(draft.text(f"row_{number}"))],
            words_of_counts=COUNTED,
            labels=[label_of(key) for key in every_row()],
            check=_check_words(checked) if checked is not None else [],
            off=_off(draft, checked),
            looks_round=looks_round,
            left_out=pasting.pasted_sentences(pasted, [draft.text(f"row_{n}") for n in range(len(pasted.rows))])
            if pasted
            else (),
            sideways=pasted is not None and pasted.sideways,
            deleted=ground.deleted(KIND) if empty else [],
        ),
        status,
    )
