"""Size tables of patterns, typed like a spreadsheet: points down, sizes across; checked against themselves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, request, url_for

from fitcheck import words
from fitcheck.advice.sizes.answers import SizesAnswer
from fitcheck.advice.sizes.printed_round import PrintedRound, printed_round
from fitcheck.advice.sizes.which_size import sizes_of
from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.faults import RecordsError
from fitcheck.records.lengths import UNITS, Length, read_length, write_bare
from fitcheck.records.makes import Make
from fitcheck.records.points import POINTS
from fitcheck.records.size_tables import Size, SizeTable
from fitcheck.store.documents import take
from fitcheck.store.faults import StaleWrite
from fitcheck.words import phrases as words_phrases
from fitcheck.words import sizes as words_sizes
from webui.pages import ground
from webui.pages.conflicts import conflict
from webui.pages.drafts import Draft, Refusal, with_unit, without_empty
from webui.pages.readings import asked_about
from webui.pages.shelves import shelf
from webui.pages.shelves.pasted import MOST_ROWS, MOST_SIZES, key_of, read_pasted
from webui.pages.shelves.size_sides import aligned, cell_names

pages = Blueprint("size_tables", __name__, url_prefix="/size-tables")
ROOM = "swatches"
KIND = "size_tables"
LABELS = {
    "measures": "Its measures are",
    "gauge_stitches": "Printed gauge: stitches",
    "gauge_rows": "Printed gauge: rows",
    "gauge_over": "Printed gauge: over",
    "edge_stitches": "Stitches that the seams swallow",
    "multiple": "Stitches of a pattern repeat",
    "balance": "Stitches over",
    "print_step": "Measures are rounded to",
}
"""Fields of the form, as a conflict names them."""
MEASURES = (
    ("flat", "of the finished sweater, flat (half round)"),
    ("round", "of the finished sweater, round"),
    ("piece", "of the pieces before seaming"),
)
WHICH_POINT = "The piece and the point: back chest, stitches. The list of the field has them all."
FIRST_ROWS = (
    "back/chest/measure",
    "back/chest/count",
    "back/shoulder_width/measure",
    "back/shoulder_width/count",
    "back/armhole_depth/measure",
    "back/body_length/measure",
    "sleeve/upper_arm/measure",
    "sleeve/upper_arm/count",
    "sleeve/sleeve_length/measure",
)
PIECES = ("back", "front", "sleeve", "side_panel", "left_front", "right_front", "left_sleeve", "right_sleeve")
ROW_COUNTED = ("cap_height", "armhole_depth", "neck_depth", "shoulder_drop")


@pages.get("")
def tables() -> Response:
    """Every size table; without one, the form."""
    found = sorted(ground.household().size_tables, key=lambda one: one.name.casefold())
    if not found:
        return _form(Draft(_empty()), empty=True)
    rows = [
        {
            "key": one.id,
            "name": one.name,
            "sizes": [words_sizes.size_name(size.name, 12) for size in one.sizes],
            "check": _check_words(one),
        }
        for one in found
    ]
    return ground.show("size_tables.html", ROOM, rows=rows, deleted=ground.deleted(KIND))


def _empty() -> dict[str, str]:
    typed = {"columns": "3", "rows": str(len(FIRST_ROWS)), "measures": "flat", "edge_stitches": "2", "multiple": "2"}
    typed |= {f"size_{number}": str(number + 1) for number in range(3)}
    typed |= {f"row_{number}": label_of(key) for number, key in enumerate(FIRST_ROWS)}
    typed["gauge_over"] = "4 in" if ground.unit() == "in" else "10 cm"
    return typed


@pages.get("/new")
def new() -> Response:
    """An empty grid, and a place to paste into."""
    return _form(Draft(_grown(_empty())))


def _grown(typed: dict[str, str]) -> dict[str, str]:
    """The grid with as many sizes and rows as the address asks for, where that is more: the unit was switched in it."""
    for name, most in (("columns", MOST_SIZES), ("rows", MOST_ROWS)):
        asked = request.args.get(name, "")
        if asked.isdecimal() and len(asked) < 5 and int(asked) > int(typed[name]):
            if name == "columns":
                typed |= {f"size_{place}": str(place + 1) for place in range(int(typed[name]), min(int(asked), most))}
            typed[name] = str(min(int(asked), most))
    return typed


@pages.post("/new")
def add() -> Response:
    """Paste, one more size or row, check, or keep."""
    draft = Draft(_form_typed())
    if _acted(draft):
        return _form(draft)
    document = _document(draft)
    if draft.text("do") in ("check", "round"):
        return _form(draft, checked=_look(draft, document, "checked"))
    kept = draft.keep_new(ground.store(), KIND, draft.text("name"), document)
    if kept is None:
        return _form(draft, 422)
    return ground.go(url_for("size_tables.table", key=kept.key), f"{ground.capital(document['name'])} is kept.", kept)


@pages.get("/<key>")
def table(key: str) -> Response:
    """A table in its grid, with what it says against itself."""
    return _show(key)


@pages.post("/<key>")
def change(key: str) -> Response:
    """Change a table."""
    stored, one = ground.there(KIND, key, "list of size tables", form=True)
    draft = Draft(_form_typed())
    if _acted(draft):
        return _form(draft, table=one)
    document = {**_document(draft), "id": key}
    if draft.text("do") in ("check", "round"):
        return _form(draft, table=one, checked=_look(draft, document, key))
    revision = ground.revision_of(draft.text("revision"), stored.revision)
    try:
        kept = draft.keep(ground.store(), KIND, key, document, revision)
    except StaleWrite as stale:
        return _conflict(stale, draft, url_for("size_tables.table", key=key))
    if kept is None:
        return _form(draft, 422, table=one)
    changed = kept.revision != stored.revision
    return ground.go(url_for("size_tables.table", key=key), "Changed." if changed else "", kept if changed else None)


def _conflict(stale: StaleWrite, draft: Draft, back: str) -> Response:
    """Both tables in one grid, each cell that differs by itself."""
    names = dict(LABELS)

    def align(forms: Sequence[Mapping[str, str]]) -> Sequence[Mapping[str, str]]:
        found = aligned(forms)
        names.update(cell_names(found[0]))
        return found

    choices = {"measures": MEASURES}
    return conflict(
        stale, draft, lambda there: _typed(there.record), back, ROOM, label=names.get, choices=choices, align=align
    )


def _show(key: str, status: int = 200, refusals: Mapping[str, Refusal] | None = None) -> Response:
    stored, one = ground.there(KIND, key, "list of size tables")
    draft = Draft({**_grown(_typed(one)), "revision": str(stored.revision)})
    return _form(draft, status, table=one, checked=one, answers=refusals)


shelf.register(pages, KIND, "list of size tables", "/size-tables", _show)


# ---- the grid ----------------------------------------------------------------------------------------------


def _form_typed() -> dict[str, str]:
    typed = ground.typed(request.form)
    for name, most in (("columns", MOST_SIZES), ("rows", MOST_ROWS)):
        text = typed.get(name, "")
        typed[name] = str(min(int(text), most) if text.isdecimal() and len(text) < 5 else 1)
    return typed


def _size_of(draft: Draft) -> tuple[int, int]:
    return int(draft.typed.get("columns") or 1), int(draft.typed.get("rows") or 1)


def _acted(draft: Draft) -> bool:
    """Do what a button of the grid asks for; False for what looks at the whole table: round, check and keep."""
    columns, rows = _size_of(draft)
    match draft.text("do"):
        case "column" if columns < MOST_SIZES:
            draft.typed |= {"columns": str(columns + 1), f"size_{columns}": str(columns + 1)}
        case "row" if rows < MOST_ROWS:
            draft.typed["rows"] = str(rows + 1)
        case "paste":
            _take_pasted(draft)
        case "column" | "row":
            draft.refuse("name", f"A table has {MOST_SIZES} sizes and {MOST_ROWS} rows at most.")
        case _:
            return False
    return True


def _take_pasted(draft: Draft) -> None:
    found = read_pasted(draft.typed.get("pasted", ""))
    if found is None:
        draft.refuse("pasted", "Rows of figures with the point in front, as a spreadsheet copies them.")
        return
    if not found.rows:
        accepts = "Measures of the sweater: finished chest 96 (104, 112). These are of the body that it is for."
        draft.refuse("pasted", accepts)
        return
    for name in [one for one in draft.typed if one.startswith(("c_", "row_", "size_"))]:
        del draft.typed[name]
    draft.typed |= {"columns": str(len(found.sizes)), "rows": str(len(found.rows)), "pasted": ""}
    draft.typed |= {f"size_{place}": name for place, name in enumerate(found.sizes)}
    draft.typed["left_out"] = "; ".join(found.left_out)
    for number, row in enumerate(found.rows):
        draft.typed[f"row_{number}"] = label_of(row.key) if row.key else row.label
        draft.typed |= {f"c_{number}_{place}": cell for place, cell in enumerate(row.cells)}
        if not row.key:
            draft.refuse(f"row_{number}", WHICH_POINT)


def _rows_of(draft: Draft) -> Iterator[tuple[int, str, str, str]]:
    """Number, piece, point and what (measure or count) of every row whose label names a point."""
    for number in range(_size_of(draft)[1]):
        if key := key_of(draft.text(f"row_{number}")):
            piece, point, what = key.split("/")
            yield number, piece, point, what


def _document(draft: Draft) -> dict[str, Any]:
    """The record of a grid; empty cells are left out."""
    if not draft.text("name"):
        draft.refuse("name", "A name: plain pullover, page 12.")
    columns, rows = _size_of(draft)
    known = {number for number, *_ in _rows_of(draft)}
    for number in range(rows):
        if number not in known and any(draft.text(f"c_{number}_{place}") for place in range(columns)):
            draft.refuse(f"row_{number}", WHICH_POINT)
    sizes: list[dict[str, Any]] = []
    names: set[str] = set()
    for place in range(columns):
        pieces: dict[str, dict[str, dict[str, Any]]] = {}
        at = f"sizes[{len(sizes)}]"
        for number, piece, point, what in _rows_of(draft):
            field = f"c_{number}_{place}"
            where = f"{at}.pieces.{piece}.{point}"
            draft.at(where, field)
            if what == "count":
                value: Any = draft.number(f"{where}.count", field)
            else:
                value = with_unit(draft.at(f"{where}.measure", field), ground.unit())
            if value == "":
                continue
            cell = pieces.setdefault(piece, {}).setdefault(point, {})
            if what in cell:
                draft.refuse(f"row_{number}", "Each row once; this point stands in another row already.")
            cell[what] = value
        name = draft.at(f"{at}.name", f"size_{place}")
        if not pieces:
            continue
        if not name or name in names:
            draft.refuse(f"size_{place}", "A name of its own for each size.")
        names.add(name)
        sizes.append({"name": name, "pieces": pieces})
    if not sizes and draft.fits:
        draft.refuse("c_0_0", "One figure at least: a measure or a count of one size.")
    gauge = {
        "stitches": draft.number("gauge.stitches", "gauge_stitches"),
        "rows": draft.number("gauge.rows", "gauge_rows"),
    }
    gauge = without_empty(gauge)
    over = draft.text("gauge_over")
    if not gauge and over not in ("", "10 cm", "4 in"):
        draft.refuse("gauge_stitches", f"How many stitches, or rows, over {over}? Or leave that empty too.")
    if gauge:
        gauge["over"] = with_unit(draft.at("gauge.over", "gauge_over") or "10 cm", "cm")
    return {
        "sizes": sizes,
        **without_empty(
            {
                "name": draft.at("name", "name"),
                "gauge": gauge,
                "measures": draft.at("measures", "measures"),
                "edge_stitches": draft.number("edge_stitches", "edge_stitches"),
                "multiple": draft.number("multiple", "multiple"),
                "balance": draft.number("balance", "balance"),
                "print_step": with_unit(draft.at("print_step", "print_step"), ground.unit()),
                "row_counted": [key for key in ROW_COUNTED if draft.text(f"counted_{key}")],
                "notes": draft.at("notes", "notes"),
            }
        ),
    }


def _bare(length: Length) -> str:
    """A length as the grid shows it: without its unit where that is the page's."""
    text = str(length.text)
    if not any(letter.isalpha() or letter in "\"'″′" for letter in text):
        return text if length.unit == ground.unit() else f"{text} {length.unit}"
    return text.removesuffix(f" {ground.unit()}")


def _typed(one: SizeTable) -> dict[str, str]:
    """A table as its form has it."""
    keys: dict[str, None] = {}
    for size in one.sizes:
        for piece, points in size.pieces.items():
            for point, cell in points.items():
                if cell.measure is not None:
                    keys[f"{piece}/{point}/measure"] = None
                if cell.count is not None:
                    keys[f"{piece}/{point}/count"] = None
    rows = list(keys)
    typed = {
        "name": one.name,
        "columns": str(len(one.sizes)),
        "rows": str(len(rows)),
        "measures": one.measures,
        "edge_stitches": str(one.edge_stitches),
        "multiple": str(one.multiple),
        "balance": str(one.balance) if one.balance else "",
        "print_step": _bare(one.print_step) if one.print_step else "",
        "notes": one.notes,
        **{f"counted_{key}": "yes" for key in one.row_counted},
    }
    if one.gauge is not None:
        typed |= {"gauge_over": one.gauge.over.text}
        typed |= {f"gauge_{name}": f"{value:g}" for name in ("stitches", "rows") if (value := getattr(one.gauge, name))}
    for number, key in enumerate(rows):
        typed[f"row_{number}"] = label_of(key)
        for place, size in enumerate(one.sizes):
            value = _cell(size, *key.split("/"))
            if value is not None:
                typed[f"c_{number}_{place}"] = str(value) if isinstance(value, int) else _bare(value)
    typed |= {f"size_{place}": size.name for place, size in enumerate(one.sizes)}
    return typed


def _cell(size: Size, piece: str, point: str, what: str) -> Length | int | None:
    """What a cell of a size says: its measure or its count."""
    points: Mapping[str, Any] = next((points for name, points in size.pieces.items() if name == piece), {})
    cell = points.get(point)
    return None if cell is None else cell.count if what == "count" else cell.measure


def _every_row() -> Iterator[str]:
    for piece in PIECES:
        for key, point in POINTS.items():
            if piece in point.pieces:
                if point.direction != "edge":
                    yield f"{piece}/{key}/measure"
                    yield f"{piece}/{key}/count"
                else:
                    yield f"{piece}/{key}/measure"


def label_of(key: str) -> str:
    """What a row is called: "back chest, stitches", "sleeve length"; `key_of` reads it again."""
    piece, point, what = key.split("/")
    name, of = words.point_name(point), piece.replace("_", " ")
    if key_of(name) != f"{piece}/{point}/measure" or piece == "back":
        name = f"{of} {POINTS[point].name if key_of(f'{of} {name}') != f'{piece}/{point}/measure' else name}"
    if what == "measure":
        return name
    return f"{name}, {'stitches' if POINTS[point].direction == 'across' else 'rows'}"


# ---- the check ---------------------------------------------------------------------------------------------


def _look(draft: Draft, document: Mapping[str, Any], key: str) -> SizeTable | None:
    """The table of a form, nothing kept; None where something was refused. With `do` round, round rows are halved."""
    if not draft.fits:
        return None
    try:
        record: SizeTable = take(KIND, key, document, ground.household().unit).record
        if draft.text("do") == "round" and (rows := printed_round(record)):
            _make_flat(draft, rows)
            record = take(KIND, key, {**_document(draft), "id": key}, ground.household().unit).record
    except RecordsError as error:
        draft.refuse_faults(error.faults)
        return None
    return record


def _make_flat(draft: Draft, found: PrintedRound) -> None:
    """Say that the measures are round; or halve the rows that are, where others are flat."""
    if found.whole:
        draft.typed["measures"] = "round"
        return
    for number, piece, point, what in _rows_of(draft):
        if what != "measure" or (piece, point) not in found.rows:
            continue
        for place in range(_size_of(draft)[0]):
            field = f"c_{number}_{place}"
            if draft.text(field):
                draft.typed[field] = _half(draft.text(field))


def _half(text: str) -> str:
    """Half a length as it would be typed."""
    length = read_length(text, unit=ground.unit())
    mm, unit = length.value_mm / 2, length.unit
    half = write_bare(mm, "in", parts=16) if unit == "in" else f"{mm / UNITS[unit]:g}"
    return half if unit == ground.unit() else f"{half} {unit}"


def _checked(one: SizeTable) -> SizesAnswer:
    household = ground.household()
    make = Make(id="looked-at", name=one.name, size_table=one.id)
    return sizes_of(make, household.model_copy(update={"size_tables": [one]}), None)


def _check_words(one: SizeTable) -> list[str]:
    if found := printed_round(one):
        return [_round_words(found)]
    answer = _checked(one)
    if isinstance(answer.table, CannotSay):
        return [words.cannot_say_sentence(answer.table)]
    told = list(words_sizes.table_sentences(answer, ground.unit(), mark=ground.mark()))
    return told or ["Its counts, measures and gauge go together."]


def _round_words(found: PrintedRound) -> str:
    """What is asked where rows look round."""
    names = [label_of(f"{piece}/{point}/measure") for piece, point in found.rows]
    verb, stitches = ("is", "its stitches make") if len(names) == 1 else ("are", "their stitches make")
    return f"{ground.capital(words_phrases.listed(names))} {verb} about twice what {stitches}: measured round?"


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
    found = {}
    columns, _ = _size_of(draft)
    for number, piece, point, _ in _rows_of(draft):
        for place in range(columns):
            for cell, word in marked.items():
                if (cell.size, cell.piece, cell.point) == (draft.text(f"size_{place}"), piece, point):
                    found[f"c_{number}_{place}"] = word
    return found


def _form(
    draft: Draft,
    status: int = 200,
    *,
    table: SizeTable | None = None,
    checked: SizeTable | None = None,
    empty: bool = False,
    answers: Mapping[str, Refusal] | None = None,
) -> Response:
    columns, rows = _size_of(draft)
    here = url_for("size_tables.table", key=table.id) if table else url_for("size_tables.new")
    looks_round = printed_round(checked) if checked is not None else None
    return ground.show(
        "size_table.html",
        ROOM,
        status,
        path=f"{here}?columns={columns}&rows={rows}",
        typed=draft.typed,
        refusals=draft.refusals,
        table=table,
        empty=empty,
        asked=asked_about(KIND, table, ground.household()) if table is not None else [],
        answers=answers,
        columns=columns,
        rows=rows,
        labels=[label_of(key) for key in _every_row()],
        measures=MEASURES,
        counted=[(f"counted_{key}", words.point_name(key)) for key in ROW_COUNTED],
        check=_check_words(checked) if checked is not None else [],
        off=_off(draft, checked),
        looks_round=looks_round,
        deleted=ground.deleted(KIND) if empty else [],
    )
