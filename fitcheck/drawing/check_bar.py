"""The bar of 100 mm by which a print is checked: whoever lays a tape on it sees whether the printer kept the size."""

from __future__ import annotations

LONG_MM, LEFT, FOOT = 100, 2, 7


def check_bar_path() -> str:
    """The bar with a tick a millimetre, longer at 5 and 10, from (2, 7) on [mm]."""
    ticks = (f"M{LEFT + mm} {FOOT}V{2 if mm % 10 == 0 else 3.6 if mm % 5 == 0 else 5}" for mm in range(LONG_MM + 1))
    return f"M{LEFT} {FOOT}H{LEFT + LONG_MM}{''.join(ticks)}"
