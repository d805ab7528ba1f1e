"""The form of a machine."""

from __future__ import annotations

from webui.forms.fields import Field, Form

MACHINE = Form(
    (
        Field("name", "Name", group="first", needed="A name: the standard machine.", required=True),
        Field(
            "needles",
            "Needles on the bed",
            "count",
            group="first",
            own=("needle", "needles"),
            begin="200",
            needed="The number of needles on the bed: 200 on many.",
        ),
        Field("lowest_dial", "Lowest dial", group="first", begin="0"),
        Field("highest_dial", "Highest dial", group="first", begin="10"),
        Field(
            "marks",
            "Marks between two numbers",
            "count",
            "two marks make thirds",
            group="first",
            own=("mark", "marks"),
            begin="2",
        ),
        Field("pitch", "From needle to needle", "length", "for example 4.5", group="first", after="mm"),
        Field("carriage", "Carriage", group="first"),
        Field("notes", "Notes", "lines", rows=2),
    )
)
