"""Whether a garment is to be copied as it was read: the question, and what it hangs on (fit rules 6 and 37)."""

from __future__ import annotations

from fitcheck.words.said import MOST_HEAD

ITS_GARMENT = "its garment"
"""What a heading calls a garment whose name is too long for it."""


def copied_first(why: str | None, garment: str) -> list[str]:
    """Asks whether a garment is to be copied as it was read, and says what it hangs on.

    why  worn, stretched, rib, or newer: it was measured again since
    """
    asked, *because = _asked(why, garment)
    if len(asked) <= MOST_HEAD:
        return [asked, *because]
    return [_asked(why, ITS_GARMENT)[0], *because, f"Its garment is {garment}."]


def _asked(why: str | None, garment: str) -> list[str]:
    """The question, and why it is asked."""
    match why:
        case "worn":
            return [
                f"Wash {garment}, dry it flat and read it again.",
                "It was read worn, and how much it has grown since its wash is not known.",
                "Or say that it is to be copied as it hangs.",
            ]
        case "stretched":
            return [f"Are the widths of {garment} to be copied?", "It is worn stretched."]
        case "newer":
            return [f"Take the newer measuring of {garment}?", "It measured otherwise when it was read again."]
        case _:
            return [f"Are the widths of {garment} to be copied?", "It is a rib and stretches."]
