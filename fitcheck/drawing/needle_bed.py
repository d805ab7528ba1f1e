"""The bed as a line: the needles in work as a bar on it, the carriage as a block at the end where it stands."""

from __future__ import annotations

from fitcheck.knitting.needles import Span

WIDTH, LINE_Y = 288, 18.5
MIDDLE = WIDTH / 2
ROOM = 112
"""Half of the bed between the places of the carriage, so that bar and block stay apart."""
_CARRIAGE = {"left": "M4 2H32V20H4Z", "right": "M256 2H284V20H256Z"}


def carriage_path(side: str) -> str:
    """The block of the carriage at a side; empty where nobody can say at which."""
    return _CARRIAGE.get(side, "")


def work_path(work: Span | None, widest: Span) -> str:
    """The bar of the needles in work; empty where there are none.

    widest  from the leftmost to the rightmost needle that is ever in work: they fill the room at most
    """
    if work is None:
        return ""
    farthest = max(-widest.first, widest.last + 1)
    needle = min(1.0, ROOM / farthest)
    return f"M{MIDDLE + work.first * needle:.1f} {LINE_Y}H{MIDDLE + (work.last + 1) * needle:.1f}"
