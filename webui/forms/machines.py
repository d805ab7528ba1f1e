"""The form of a machine."""

from __future__ import annotations

from webui.forms.fields import Field, Form, group

NEEDED = "The number of needles on the bed: 200 on many."
THIRDS = "two marks make thirds"
MACHINE = Form(
    (
        *group(
            "first",
            Field("name", "Name", needed="A name: the standard machine.", required=True),
            Field("needles", "Needles on the bed", "count", own=("needle", "needles"), begin="200", needed=NEEDED),
            Field("lowest_dial", "Lowest dial", begin="0", short=True),
            Field("highest_dial", "Highest dial", begin="10", short=True),
            Field("marks", "Marks between two numbers", "count", THIRDS, own=("mark", "marks"), begin="2"),
            Field("pitch", "From needle to needle", "length", "for example 4.5", after="mm"),
            Field("carriage", "Carriage"),
        ),
        Field("notes", "Notes", "lines", rows=2),
    )
)
