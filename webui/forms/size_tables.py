"""The form of a size table: its settings in fields, its figures in a grid, points down and sizes across."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from fitcheck.records.faults import RecordsError
from fitcheck.records.frozen import frozen
from fitcheck.records.pasted_tables import MOST_ROWS, MOST_SIZES, Pasted, read_pasted
from fitcheck.records.places import Path
from fitcheck.records.points import POINTS
from fitcheck.records.row_labels import key_of
from fitcheck.store.documents import take
from fitcheck.words import point_name, wants
from fitcheck.words.phrases import capital, spaced
from webui.forms.drafts import Draft
from webui.forms.fields import NOWHERE, Document, Field, Form, group, put
from webui.forms.size_sides import aligned, cell_names
from webui.forms.typed import ROWS, STITCHES, as_number, own_unit, whole_number, with_unit, without_unit

MEASURES = (
    ("flat", "of the finished sweater, flat (half round)"),
    ("round", "of the finished sweater, round"),
    ("piece", "of the pieces before seaming"),
)
WHICH_POINT = "The piece and the point: back chest, stitches. The list of the field has them all."
FIRST_SIZES = 3
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


# ---- the grid: row_3 names a point, size_2 a size, c_3_2 is the cell of both --------------------------------


def empty_grid() -> dict[str, str]:
    """A grid with the usual rows and nothing in it."""
    return {
        "columns": str(FIRST_SIZES),
        "rows": str(len(FIRST_ROWS)),
        **{f"size_{place}": str(place + 1) for place in range(FIRST_SIZES)},
        **{f"row_{number}": label_of(key) for number, key in enumerate(FIRST_ROWS)},
    }


def size_of(draft: Draft) -> tuple[int, int]:
    """Sizes and rows of a grid."""
    return int(draft.typed.get("columns") or 1), int(draft.typed.get("rows") or 1)


def rows_of(draft: Draft) -> Iterator[tuple[int, str, str, str]]:
    """Number, piece, point and what (measure or count) of every row whose label names a point."""
    for number in range(size_of(draft)[1]):
        if key := key_of(draft.text(f"row_{number}")):
            piece, point, what = key.split("/")
            yield number, piece, point, what


def every_row() -> Iterator[str]:
    """The key of every row that a table can have: "back/chest/count"."""
    for piece in PIECES:
        for key, point in POINTS.items():
            if piece in point.pieces:
                yield f"{piece}/{key}/measure"
                if point.direction != "edge":
                    yield f"{piece}/{key}/count"


def label_of(key: str) -> str:
    """What a row is called: "back chest, stitches", "sleeve length"; `key_of` reads it again."""
    piece, point, what = key.split("/")
    name, of = point_name(point), spaced(piece)
    if key_of(name) != f"{piece}/{point}/measure" or piece == "back":
        name = f"{of} {POINTS[point].name if key_of(f'{of} {name}') != f'{piece}/{point}/measure' else name}"
    if what == "measure":
        return name
    return f"{name}, {'stitches' if POINTS[point].direction == 'across' else 'rows'}"


@frozen
class Acted:
    """What a button of the grid did.

    pasted  the table that was read into it; None where none was
    """

    pasted: Pasted | None = None


def acted(draft: Draft, unit: str) -> Acted | None:
    """Do what a button of the grid asks for; None for what looks at the whole table: round, check and keep.

    unit  of a bare figure of the page
    """
    columns, rows = size_of(draft)
    match draft.text("do"):
        case "column" if columns < MOST_SIZES:
            draft.typed |= {"columns": str(columns + 1), f"size_{columns}": str(columns + 1)}
        case "row" if rows < MOST_ROWS:
            draft.typed["rows"] = str(rows + 1)
        case "paste" | "turn" as how:
            return Acted(_take_pasted(draft, unit, turned=how == "turn"))
        case how if how.startswith("delete_"):
            _delete_row(draft, whole_number(how.removeprefix("delete_"), 0, MOST_ROWS))
        case "column" | "row":
            draft.refuse("name", wants.most_of_a_table(MOST_SIZES, MOST_ROWS))
        case _:
            return None
    return Acted()


def _delete_row(draft: Draft, gone: int | None) -> None:
    """Take a row out of the grid; those below it move up."""
    columns, rows = size_of(draft)
    if gone is None or gone >= rows or rows == 1:
        return
    for number in range(gone, rows):
        for name in ("row_{}", *(f"c_{{}}_{place}" for place in range(columns))):
            below = draft.typed.pop(name.format(number + 1), "") if number + 1 < rows else None
            if below is None:
                draft.typed.pop(name.format(number), None)
            else:
                draft.typed[name.format(number)] = below
    draft.typed["rows"] = str(rows - 1)


def _take_pasted(draft: Draft, unit: str, *, turned: bool) -> Pasted | None:
    """Read what was pasted into the grid, which stays as it is where nothing can be read or it lies the other way."""
    pasted = read_pasted(draft.typed.get("pasted", ""), unit=unit, turned=turned)
    if pasted is None:
        draft.refuse("pasted", wants.ROWS_OF_FIGURES)
        return None
    if pasted.sideways:
        return pasted
    if not pasted.rows:
        bodies = all(left.why == "body" for left in pasted.left_out)
        draft.refuse("pasted", wants.OF_THE_SWEATER if bodies else wants.ROWS_OF_FIGURES)
        return None
    for name in [name for name in draft.typed if name.startswith(("c_", "row_", "size_"))]:
        del draft.typed[name]
    draft.typed |= {"columns": str(len(pasted.sizes)), "rows": str(len(pasted.rows)), "pasted": ""}
    draft.typed |= {f"size_{place}": name for place, name in enumerate(pasted.sizes)}
    for number, row in enumerate(pasted.rows):
        other = row.unit if row.unit != unit else ""
        draft.typed[f"row_{number}"] = label_of(row.key) if row.key else row.label
        draft.typed |= {
            f"c_{number}_{place}": with_unit(cell, other) if other else cell for place, cell in enumerate(row.cells)
        }
        if not row.key:
            draft.refuse(f"row_{number}", WHICH_POINT)
    _refuse_unread(draft, unit)
    return pasted


def _refuse_unread(draft: Draft, unit: str) -> None:
    """Mark the cells that are no figures, before anything else is typed."""
    looked = Draft(draft.typed)
    sizes = _sizes(looked, unit, ())
    try:
        take("size_tables", "pasted", {"name": "pasted", "sizes": sizes}, unit)
    except RecordsError as error:
        looked.refuse_faults(error.faults)
    for field, refusal in looked.refusals.items():
        if field.startswith("c_"):
            draft.refusals.setdefault(field, refusal)


def _sizes(draft: Draft, unit: str, under: Path) -> list[Document]:
    """The sizes of a grid; empty cells, and sizes without any other, are left out."""
    columns, rows = size_of(draft)
    named = list(rows_of(draft))
    units = {number: _unit_of_row(draft, number) for number, *_, what in named if what == "measure"}
    known = {number for number, *_ in named}
    for number in range(rows):
        if number not in known and any(draft.text(f"c_{number}_{place}") for place in range(columns)):
            draft.refuse(f"row_{number}", WHICH_POINT)
    sizes: list[Document] = []
    for place in range(columns):
        at = (*under, "sizes", len(sizes))
        size: Document = {}
        for number, piece, point, what in named:
            field, path = f"c_{number}_{place}", ("pieces", piece, point)
            draft.at((*at, *path), field)
            text = draft.at((*at, *path, what), field)
            if not text:
                continue
            if what in size.get("pieces", {}).get(piece, {}).get(point, {}):
                draft.refuse(f"row_{number}", wants.EACH_ROW_ONCE)
            other = units.get(number, "")
            if other not in ("", unit) and with_unit(text, unit) != text:
                draft.refuse(field, wants.unit_beside(text, other, unit))
            own = {"across": STITCHES, "along": ROWS}.get(POINTS[point].direction, ())
            put(size, (*path, what), as_number(text, own) if what == "count" else with_unit(text, unit))
        name = draft.at((*at, "name"), f"size_{place}")
        if not size:
            continue
        if not name or name in {before["name"] for before in sizes}:
            draft.refuse(f"size_{place}", wants.OWN_NAME)
        sizes.append({"name": name, **size})
    if not sizes and draft.fits:
        draft.refuse("c_0_0", wants.FIGURE_OF_A_SIZE)
    return sizes


def _unit_of_row(draft: Draft, number: int) -> str:
    """The unit that all cells of a row say but one; empty where they say none, or several.

    A bare figure among them is asked about: it was typed into a row of inches, on a page of centimetres.
    """
    texts = [text for place in range(size_of(draft)[0]) if (text := draft.text(f"c_{number}_{place}"))]
    units = [own for text in texts if (own := own_unit(text))]
    return units[0] if len(units) == len(texts) - 1 > 0 and len(set(units)) == 1 else ""


def _grid(record: Any, unit: str) -> dict[str, str]:
    """The grid of a kept table."""
    rows: dict[tuple[str, str, str], int] = {}
    typed = {f"size_{place}": size.name for place, size in enumerate(record.sizes)}
    for place, size in enumerate(record.sizes):
        for piece, points in size.pieces.items():
            for point, cell in points.items():
                measure = without_unit(cell.measure.text, unit, cell.measure.unit) if cell.measure else ""
                for what, text in (("measure", measure), ("count", str(cell.count or ""))):
                    if text:
                        number = rows.setdefault((piece, point, what), len(rows))
                        typed[f"c_{number}_{place}"] = text
    typed |= {f"row_{number}": label_of("/".join(key)) for key, number in rows.items()}
    return {"columns": str(len(record.sizes)), "rows": str(len(rows)), **typed}


# ---- the form ----------------------------------------------------------------------------------------------


class TableForm(Form):
    """The fields of the table and its grid."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form; a printed gauge that says nothing but its length is none."""
        document = {} if document is None else document
        document["row_counted"] = dict.fromkeys(document.get("row_counted", ()), True)
        super().read(draft, unit, document, under)
        put(document, ("row_counted",), list(document.pop("row_counted", ())))
        document["sizes"] = _sizes(draft, unit, under)
        gauge, over = document.pop("gauge", {}), draft.text("gauge_over")
        if gauge.keys() - {"over"}:
            document["gauge"] = {**gauge, "over": with_unit(over or "10 cm", "cm")}
        elif over not in ("", "10 cm", "4 in"):
            draft.refuse("gauge_stitches", wants.gauge_over(over))
        return document

    def write(self, record: Any, unit: str) -> dict[str, str]:
        """As of every form."""
        counted = {f"counted_{key}": "yes" for key in record.row_counted}
        return {**super().write(record, unit), **counted, **_grid(record, unit)}

    def beside(self, forms: Sequence[Mapping[str, str]]) -> list[dict[str, str]]:
        """As of every form; in one grid, so that each cell stands beside the same cell."""
        return aligned(forms)

    def places(self, typed: Mapping[str, str], document: Document) -> Iterator[tuple[str, Path]]:
        """As of every form; a cell stands in the size whose name is over it, a size's name in that size."""
        yield from super().places(typed, document)
        draft, numbers = Draft(typed), {size["name"]: at for at, size in enumerate(document["sizes"])}
        for place in range(size_of(draft)[0]):
            at = numbers.get(draft.text(f"size_{place}"))
            if at is not None:
                yield f"size_{place}", ("sizes", at, "name")
                for number, piece, point, what in rows_of(draft):
                    yield f"c_{number}_{place}", ("sizes", at, "pieces", piece, point, what)

    def label(self, name: str, typed: Mapping[str, str]) -> str | None:
        """As of every form; cells are called by their row and size."""
        return super().label(name, typed) or cell_names(typed).get(name)


def _counted(key: str) -> Field:
    point = capital(point_name(key))
    return Field(f"counted_{key}", point, "check", place=("row_counted", key), alone=f"{point}: counted in rows")


SEAMS = "Stitches that the seams swallow, both edges together"
EVEN = "2 keeps even counts even"
PASTE = (
    "Copied from a spreadsheet, or as patterns print it: Chest 46 (50, 54, 58). It takes the place of the grid above."
)
TABLE = TableForm(
    (
        Field("name", "Name of the table", needed="A name: plain pullover, page 12.", wide=True),
        Field("measures", "Its measures are", "choice", choices=MEASURES, begin="flat"),
        Field("gauge_stitches", "Printed gauge: stitches", "decimal", place=("gauge", "stitches"), own=STITCHES),
        Field("gauge_rows", "rows", "decimal", place=("gauge", "rows"), own=ROWS, alone="Printed gauge: rows"),
        Field("gauge_over", "over", place=("gauge", "over"), alone="Printed gauge: over", short=True),
        Field("pasted", "The table as text", "lines", PASTE, place=NOWHERE, rows=6),
        *group(
            "more",
            Field("edge_stitches", SEAMS, "count", own=STITCHES, begin="2"),
            Field("multiple", "Stitches of a pattern repeat", "count", EVEN, own=STITCHES, begin="2"),
            Field("balance", "plus", "count", own=STITCHES, unsaid=0, alone="Stitches over"),
            Field("print_step", "Measures are rounded to", "bare_length"),
        ),
        *group("counted", *(_counted(key) for key in ROW_COUNTED)),
        Field("notes", "Notes", "lines", rows=2),
    )
)
