"""How a piece was knitted, in words: its page's heading, what the dial was, and how its rows add up."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.words.names import STAGE_CHOICES, direction_of, point_name, size_name
from fitcheck.words.phrases import capital, spaced

WHY = "Dial and stitches tell most. Leave empty what you do not know."
TAP = "Open a point to put a figure right."
UNLIKE = "Yarn, machine, carriage, weights: only if unlike the swatches"
_STITCHES = {
    "hem": "as cast on, or after the rib",
    "cuff": "as cast on, or after the rib",
    "chest": "the most stitches in work below the underarm",
    "upper_arm": "the most stitches in work below the cap",
    "shoulder_width": "what was left above the armholes",
    "neck_width": "stitches between the shoulders",
}
_ROWS = {
    "to_underarm": "from the rib to the underarm",
    "sleeve_to_underarm": "from the rib to the underarm",
    "armhole_depth": "from the underarm to the outer end of the shoulder",
    "shoulder_drop": "rows over which the shoulder was shaped",
    "cap_height": "from the underarm to the top of the cap",
}
LIGHTS_UP = "Tap a field: what it counts lights up here."
BECAUSE = "how it was knitted"
COUNTS_PLANNED = "the planned counts"
PLANNED_WIN = "Stitches and rows above the rib. Where a field is left empty, the chosen size says it, or nothing does."


def planned_label(key: str, *, rows: bool) -> str:
    """What the field of a planned count is called; of stitches the width alone."""
    return f"{point_name(key)}, rows" if rows else point_name(key)


def size_says(size: str, count: int) -> str:
    """What stands under a planned count that the chosen size says."""
    return f"size {size_name(size)}: {count}"


def how_knitted(kind: str) -> str:
    """The heading of the page."""
    return f"How was the {spaced(kind)} knitted?"


def how_it_lies(kind: str) -> str:
    """What the outline beside the fields shows."""
    return f"The {spaced(kind)}"


def counted(key: str) -> str:
    """What is counted at a point."""
    if direction_of(key) == "along":
        return _ROWS.get(key, "rows of this length, without those of the rib")
    return _STITCHES.get(key, "stitches in work here")


def dial_advised(dial: str) -> str:
    """Which dial was advised, under the field of the one that is said; empty where none was."""
    return f"advised {dial}" if dial else ""


def rows_above(counts: Sequence[int]) -> tuple[str, str]:
    """How the rows above the rib add up: the sum, and its parts."""
    return f"{sum(counts)} rows", " + ".join(str(count) for count in counts)


def stage_of_figures(kind: str, day: str, unit: str) -> str:
    """At which stage figures were read, when, and in which unit."""
    at = ", ".join(part for part in (capital(STAGE_CHOICES[kind]), day) if part)
    return f"{at}, in {'inches' if unit == 'in' else unit}. {TAP}"


def stage_button(kind: str, day: str) -> str:
    """What a stage is called among others of its piece."""
    return f"{STAGE_CHOICES[kind]}{f', {day}' if day else ''}"


def taken_as(figure: str) -> str:
    """What the readings of a point are taken as."""
    return f"taken as {figure}"


ASKED_ABOUT = "asked about"
