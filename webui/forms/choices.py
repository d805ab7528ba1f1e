"""The form of how the rest is knitted: where the counts leave it to the knitter."""

from __future__ import annotations

from webui.forms.fields import Field, Form, group

CHOICES = Form(
    (
        *group(
            "edges",
            Field(
                "end_rule",
                "Steps spread evenly end",
                "choice",
                choices=(
                    ("last", "with the last step, nothing plain after it"),
                    ("inside", "a gap before the first and after the last"),
                    ("half", "half a gap at both ends"),
                    ("ends", "with a step at both ends"),
                ),
                place=("choices", "end_rule"),
                wide=True,
            ),
            Field(
                "inset",
                "A transfer moves",
                "pick",
                choices=(("3", "3 loops"), ("2", "2 loops")),
                place=("choices", "inset"),
            ),
            Field(
                "widening",
                "A stitch comes in",
                "pick",
                choices=(("moved", "outer loops moved outward"), ("needle", "on an empty needle")),
                place=("choices", "widening"),
            ),
            Field(
                "cast_on",
                "Stitches are added",
                "pick",
                choices=(("e_wrap", "by e-wrap"), ("waste_yarn", "on waste yarn")),
                place=("choices", "cast_on"),
            ),
        ),
        *group(
            "top",
            Field(
                "first_side",
                "The back’s shaping begins at the bed’s",
                "pick",
                "A front’s begins at the other side.",
                choices=(("left", "left"), ("right", "right")),
                place=("choices", "first_side"),
            ),
            Field(
                "armhole_rows",
                "Armhole of an even number of rows",
                "choice",
                "The shoulder rests opposite the carriage only after an odd number.",
                choices=(("", "ask"), ("up", "one row more"), ("down", "one row fewer")),
                place=("choices", "armhole_rows"),
            ),
            Field(
                "shoulder_groups",
                "Groups that rest at a shoulder",
                "count",
                "Left empty: as many as its fall asks for.",
                place=("choices", "shoulder_groups"),
            ),
            Field(
                "neck",
                "Middle of a neck",
                "pick",
                choices=(("parked", "on waste yarn"), ("cast_off", "cast off")),
                place=("choices", "neck"),
            ),
        ),
    )
)
"""What the counts do not say; each field holds the usual way until somebody chooses another."""
