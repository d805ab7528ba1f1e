"""The sentences about a pasted size table: what was left out of it and why, and what was read past a slip."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.records.pasted_tables import Pasted, Why
from fitcheck.words.said import Said

SIDEWAYS = "The sizes stand below each other here, the points beside each other."
_ORDER: tuple[Why, ...] = ("unknown", "body", "ease", "yarn", "other_unit", "no_figures")


def pasted_sentences(pasted: Pasted, rows: Sequence[str]) -> tuple[Said, ...]:
    """What was left out of a pasted table, one sentence a reason, and which rows were read past a slip.

    rows  what each row of it is called in the grid
    """
    told = []
    guessed = [(row.label, name) for row, name in zip(pasted.rows, rows, strict=True) if row.guessed]
    if guessed:
        read = "; ".join(f"{label} as {name}" for label, name in guessed)
        told.append(Said(f"Read past a slip: {read}.", "If it is another measure, delete the row."))
    for why in _ORDER:
        labels = list(dict.fromkeys(left.label for left in pasted.left_out if left.why == why))
        if labels:
            told.append(Said(f"Left out: {'; '.join(labels)}.", _because(why, len(labels))))
    return tuple(told)


def _because(why: Why, count: int) -> str:
    """Why rows were left out."""
    if why == "body":
        return (
            f"{'It measures' if count == 1 else 'These measure'} the body; the table takes the sweater’s own measures. "
            "If it was the sweater’s, call it finished chest."
        )
    return {
        "unknown": "No point that is measured here is called so.",
        "ease": "Ease is what the sweater has beyond the body; the table takes the sweater’s own measures.",
        "yarn": "The table takes measures and counts, no yarn.",
        "other_unit": "The same stands there in another unit.",
        "no_figures": "No figures of sizes stand there.",
    }[why]


def delete_row(row: int, label: str) -> str:
    """What the button beside a row of the grid does, for who does not see it."""
    return f"Delete row {row}{f', {label}' if label else ''}"
