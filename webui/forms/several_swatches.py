"""The form of several swatches at one stage: yarn, settings and marks once, and a line for each swatch."""

from __future__ import annotations

from fitcheck.records.faults import RecordsError
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.store.documents import take
from fitcheck.words import wants
from webui.forms.drafts import Draft
from webui.forms.fields import Document, Field, Form, group, named
from webui.forms.swatches import KNITTED, STAGE, STAGES
from webui.forms.typed import ROWS, STITCHES, several

FIRST_ROWS, MOST_SWATCHES = 4, 24
"""Lines that a new form has, and the most that it takes."""
IN_A_LINE = ("dial", "across", "along")
"""Fields of one swatch; the others hold for all."""
SETTINGS = ("lot", "strands", "carriage", "mast_tension", "weights", "needle_arrangement", "stitch_pattern")
"""How all of them were knitted, beside yarn and machine."""
SEVERAL = Form(
    (
        Field("kind", "They are", "pick", choices=STAGES, begin="blocked"),
        Field("yarn", "Yarn", "choice", choices=named("yarns", "not said")),
        Field("machine", "Machine", "choice", choices=named("machines", "not said")),
        Field("stitches", "Stitches, mark to mark", "count", own=STITCHES),
        Field("rows", "Rows, mark to mark", "count", own=ROWS),
        Field("on", "Read on", "day"),
        *group("settings", *(field for field in KNITTED if field.name in SETTINGS)),
    )
)


def lines_of(draft: Draft) -> int:
    """How many lines a form has."""
    text = draft.text("lines")
    return min(max(int(text), 1), MOST_SWATCHES) if text.isdecimal() and len(text) < 4 else FIRST_ROWS


def read_lines(draft: Draft, unit: str, by: str) -> list[tuple[Draft, Document]]:
    """The swatch of each line in which something is typed, with the draft that keeps it.

    unit  of a bare figure;  by: who measures

    What is refused stands at the field of its line; then nothing is to be kept. Each line is a form of its own to the
    store, so that the same lines sent again change the same swatches.
    """
    common = {field.name: draft.text(field.name) for field in SEVERAL}
    read: list[tuple[Draft, Document]] = []
    for number in range(lines_of(draft)):
        typed = {name: draft.text(f"{name}_{number}") for name in IN_A_LINE}
        if not any(typed.values()):
            continue
        form = f"{draft.text('form')}-{number}"
        line = Draft({**common, **typed, "by": by, "rule": "between", "form": form})
        document = KNITTED.read(line, unit)
        document["stages"] = [STAGE.read(line, unit, under=("stages", 0))]
        if not typed["across"]:
            line.refuse("across", wants.WIDTH_BETWEEN_MARKS)
        if typed["along"] and "rows" not in document:
            line.refuse("rows", wants.ROWS_BETWEEN_MARKS)
        try:
            take("swatches", "several", {**document, "name": "several"}, unit)
        except RecordsError as error:
            line.refuse_faults(error.faults)
        refuse_line(draft, number, line)
        read.append((line, document))
    if not read and draft.fits:
        draft.refuse("across_0", wants.WIDTH_BETWEEN_MARKS)
    return read


def refuse_line(draft: Draft, number: int, line: Draft) -> None:
    """Put what was refused of a line at its fields."""
    for name, refusal in line.refusals.items():
        draft.refusals.setdefault(f"{name}_{number}" if name in IN_A_LINE else name, refusal)


def per_span(draft: Draft, number: int, unit: str, span_mm: float) -> dict[str, float]:
    """Stitches and rows in a span that the readings of a line give, as far as they are typed [1]."""
    given = {}
    for name, counted in (("across", "stitches"), ("along", "rows")):
        texts, count = several(draft.text(f"{name}_{number}")), draft.text(counted)
        try:
            lengths = [read_length(text, unit=unit).value_mm for text in texts]
        except LengthError:
            continue
        if lengths and min(lengths) > 0 and count.isdecimal() and len(count) < 5:
            given[counted] = int(count) * span_mm * len(lengths) / sum(lengths)
    return given
