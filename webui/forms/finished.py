"""The form of a make that is finished: its day, and what the tape says of the sewn garment."""

from __future__ import annotations

from fitcheck import words
from fitcheck.records.lengths import LengthError, read_length
from fitcheck.records.points import POINTS
from webui.forms.drafts import Draft
from webui.forms.fields import Field, Form
from webui.forms.garments import point_heading
from webui.forms.typed import several

READ = Form(tuple(Field(f"at_{key}", point_heading(key), "readings", place=("readings", key)) for key in POINTS))
"""One measuring of the garment as it is sewn: a field a point."""
FINISHED = Form((Field("finished", "Finished on", "day"),))


def refuse_unread(draft: Draft, unit: str) -> None:
    """Refuse every reading that is no length, before anything is kept."""
    for field in READ:
        for text in several(draft.text(field.name)):
            try:
                read_length(text, unit=unit)
            except LengthError as error:
                draft.refuse(field.name, words.accepted(error.accepts))
