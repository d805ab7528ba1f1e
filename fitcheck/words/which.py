"""What the command asks where it is not clear which make or piece is meant, with what there is and how one is named."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.phrases import listed

NO_MAKE = 'This file has no make yet, and a report is on a make: add one under "makes".'


def which_make(holds: str, keys: Sequence[str], option: str) -> str:
    """Which of several makes is meant."""
    return f"Which make? {_name_one(holds, keys, option)}"


def no_such_make(make: str, holds: str, keys: Sequence[str], option: str) -> str:
    """That a make which was named is none of them."""
    return f"No make {make!r} here. {_name_one(holds, keys, option)}"


def no_such_piece(piece: str, make: str, keys: Sequence[str]) -> str:
    """That a piece which was named is none of the make's; it may have none yet."""
    if not keys:
        return f"No piece {piece!r} here: {make} has no piece yet."
    return f"No piece {piece!r} here. {_name_one(make, keys, '--piece')}"


def _name_one(holds: str, keys: Sequence[str], option: str) -> str:
    return f"{holds} has {listed(keys)}. Name one:\n  {option} {keys[0]}"
