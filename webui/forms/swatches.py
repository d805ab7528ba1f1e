"""The forms of a swatch: how it was knitted, what lies between its marks, and its readings at a stage."""

from __future__ import annotations

from fitcheck.records.places import Path
from fitcheck.words import wants
from fitcheck.words.names import STAGE_CHOICES
from webui.forms.drafts import Draft
from webui.forms.fields import NOWHERE, Document, Field, Form, group, named
from webui.forms.typed import HOURS, ROWS, STITCHES

STAGES = tuple(STAGE_CHOICES.items())
BLOCKINGS = (("", "not said"), ("patted", "laid and patted"), ("pinned", "pinned"), ("steamed", "steamed"))
RULES = (
    ("between", "the number between the marks"),
    ("centre_to_centre", "marked needles, tape from centre to centre"),
    ("inner_edge_to_inner_edge", "marked needles, tape from inner edge to inner edge"),
)


STEAM = "Steam ruins acrylic."
SINCE = "since it came off the machine, or dry after blocking"


class KnittedForm(Form):
    """Stitches and rows between the marks: one number, or the two marked needles or rows."""

    def read(self, draft: Draft, unit: str, document: Document | None = None, under: Path = ()) -> Document:
        """As of every form; the stitches are needed."""
        rule, example = draft.text("rule") or "between", ", 36 for example" if document is None else ""
        document = super().read(draft, unit, document, under)
        for name in ("stitches", "rows"):
            marked = draft.text(f"{name}_first") or draft.text(f"{name}_last")
            if rule == "between" and marked:
                draft.refuse("rule", wants.by_marks(marked))
            if rule != "between" and draft.text(name):
                draft.refuse(name, wants.EMPTY_BESIDE_MARKS)
            # What is the matter with the whole span stands at its number, not at the way of counting.
            draft.at((*under, name), name if rule == "between" else f"{name}_first")
            span = document.pop(name, {})
            span.pop("rule", None)
            if span:
                document[name] = {**span, "rule": rule}
        if "stitches" not in document:
            field = "stitches" if rule == "between" else "stitches_first"
            draft.refuse(field, wants.stitches_between_marks(example))
        return document


KNITTED = KnittedForm(
    (
        Field("dial", "Dial", hint="for example 7; one mark up is 7.1 or 7+", short=True),
        *group(
            "knitted",
            Field("name", "Name", hint="left empty: yarn and dial"),
            Field("yarn", "Yarn", "choice", choices=named("yarns", "not said"), adds="yarns"),
            Field("lot", "Lot", short=True),
            Field("strands", "Strands", "count", own=("strand", "strands", "end", "ends")),
            Field("machine", "Machine", "choice", choices=named("machines", "not said"), adds="machines"),
            Field("carriage", "Carriage"),
            Field("mast_tension", "Mast tension", short=True),
            Field("weights", "Weights", short=True),
            Field("needle_arrangement", "Needles", hint="for example every needle, every second"),
            Field("stitch_pattern", "Stitch pattern", hint="for example plain"),
        ),
        Field("notes", "Notes", "lines", rows=2),
        Field("rule", "How the marks are counted", "choice", "", RULES, ("stitches", "rule"), begin="between"),
        Field("stitches", "Stitches between the marks", "count", place=("stitches", "count"), own=STITCHES),
        Field("rows", "Rows between the marks", "count", place=("rows", "count"), own=ROWS),
        *group(
            "marks",
            Field("stitches_first", "First marked needle", "count", place=("stitches", "first")),
            Field("stitches_last", "Last marked needle", "count", place=("stitches", "last")),
            Field("rows_first", "First marked row", "count", place=("rows", "first")),
            Field("rows_last", "Last marked row", "count", place=("rows", "last")),
        ),
    )
)
READINGS = Form(
    (
        Field("across", "Width between the marks", "readings"),
        Field("along", "Height between the marks", "readings"),
        Field("by", "Who measures", place=NOWHERE, short=True),
    )
)
"""More readings of a stage that is there."""
FINISHED = Form(
    (
        Field("kind", "The swatch is", "pick", choices=STAGES, begin="blocked"),
        *group(
            "stage",
            Field("on", "On", "day"),
            Field("hours", "Hours since", "decimal", SINCE, own=HOURS),
            Field("treatment", "Washed how", hint="for example hand wash, 30 degrees"),
            Field("blocking", "Blocked", "choice", STEAM, choices=BLOCKINGS),
            Field("grams", "Weighs", "decimal", after="g"),
            Field("load_grams", "Hung with", "decimal", after="g"),
        ),
    )
)
"""What was done to a swatch before it was read, and when."""
STAGE = Form((*FINISHED.parts, *READINGS.parts))
NEW = Form((*KNITTED.parts, *STAGE.parts))
"""All of a new swatch, as its page draws it: KNITTED reads the swatch and STAGE its first stage."""
