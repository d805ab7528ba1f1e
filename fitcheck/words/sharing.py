"""What is said where a make is passed on."""

from __future__ import annotations

COPIED = "Begun with the same fabric and counts. What shall it fit?"
FOR_SCRIPT = {"copied": "Copied.", "not_copied": "This device does not copy. Open it as text, and mark it there."}
"""What a script says once it has copied the answer, and where it cannot."""


def for_another(name: str) -> str:
    """What a make is called that was begun from another one, until somebody gives it a name."""
    return f"{name[:380]}, for another"
