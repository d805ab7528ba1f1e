"""The form of a make that is finished: its day, and whether it hangs in the wardrobe."""

from __future__ import annotations

from webui.forms.fields import NOWHERE, Field, Form

FINISHED = Form(
    (
        Field("finished", "Finished on", "day"),
        Field("wardrobe", "Hang it in the wardrobe", "check", place=NOWHERE, begin="yes"),
    )
)
