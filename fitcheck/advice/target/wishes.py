"""A wish in a length moves the lengths that are nested in it (fit rule 30)."""

from __future__ import annotations

from collections.abc import Mapping

from fitcheck.records.makes import Wish

NESTED: Mapping[str, tuple[str, str]] = {
    "body_length": ("armhole_depth", "to_underarm"),
    "centre_back": ("armhole_depth", "to_underarm"),
    "sleeve_length": ("cap_height", "sleeve_to_underarm"),
}
"""A length, the length in it that a wish leaves as it is, and the one that takes it up."""
_ALIKE = {"body_length": "centre_back", "centre_back": "body_length"}
"""Two lengths from the neck to the lower edge: what one gains the other gains."""


def nested_wish_mm(wishes: Mapping[str, Wish], key: str) -> float | None:
    """How much a length is moved by the wishes at others [mm]; None where none moves it, or it has its own.

        part that takes it up = wish at the whole - wish at the part that stays
        whole = sum of the wishes at its parts

    Rows below the underarm are free, an armhole is not: more body length is knitted below it unless said otherwise.
    """
    if not wishes or key in wishes:
        return None
    moves = {point: wish.by.value_mm for point, wish in wishes.items() if wish.meant != "round"}  # refused at a length
    for whole, (stays, takes_up) in NESTED.items():
        if key == takes_up and whole in moves:
            return moves[whole] - moves.get(stays, 0.0)
    if (alike := _ALIKE.get(key, "")) in moves:
        return moves[alike]
    moved = [moves[part] for part in NESTED.get(key, ()) if part in moves]
    return sum(moved) if moved else None
