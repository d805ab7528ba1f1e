"""Why nothing can be said of the rest of the sweater, and what would help, by the code of a reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fitcheck.words.demanded import cannot_hold
from fitcheck.words.names import point_name
from fitcheck.words.phrases import listed, spaced

Sentences = tuple[str, str]
Values = Mapping[str, Any]

_NO_COUNTS: Mapping[str, Sentences] = {
    "answer": (
        "no piece of this make is judged yet",
        "First the back’s answer: read it once it is knitted, washed and dry.",
    ),
    "stitch": ("the size of a stitch is not known", "Count stitches and rows on the back, or measure a swatch."),
    "both": (
        "the size of a stitch is not known",
        "Read two widths and two lengths of the {piece}, and of its garment; count them, or measure a swatch.",
    ),
    "width": (
        "the width of a stitch is not known",
        "Read two widths of the {piece}, and of its garment; count their stitches, or measure a swatch.",
    ),
    "row": (
        "the height of a row is not known",
        "Read two lengths of the {piece}, and of its garment; count their rows, or measure a swatch.",
    ),
    "undecided": ("nothing is decided about the piece on the table yet", "First the answer, then the counts."),
    "again": ("its counts are those beside the new piece as it is expected", "Knit that one again, and read it."),
    "rest": ("no piece still to knit has all its counts", "Give the counts first."),
    "bed": ("no whole repeat of the pattern goes on the needles of the bed", "Choose another repeat, or a wider bed."),
}


def no_counts(values: Values) -> Sentences:
    """Counts that are not known, or that nothing is said of yet."""
    if "of" in values:
        why, helps = _NO_COUNTS[values["of"]]
        return why, helps.format(piece=spaced(values.get("piece", "back")))
    if "point" in values:
        lacking = point_name(values["point"])
        return (
            f"the {spaced(values['piece'])} has no count of its {lacking}",
            f"Say how many at the {lacking}, or what it is to measure.",
        )
    lacking = listed([point_name(key) for key in values["lacks"]])
    return f"the {spaced(values['piece'])} has no count of its {lacking}", "Count it, and write that down."


def _no_plan(values: Values) -> Sentences:
    part = spaced(values["part"])
    if "edge" in values:
        return f"the {part} has no {spaced(values['edge'])} that is known", "Give its counts."
    return f"no {part} is planned", "Give its counts."


def _cap_alone(values: Values) -> Sentences:
    return f"the cap alone has {values['rows']} rows", "Ask for a longer sleeve."


def _apart(values: Values) -> Sentences:
    return cannot_hold(values["demands"]), f"Choose what to lift for the {spaced(values['piece'])}."


def _no_depth(values: Values) -> Sentences:
    return f"nobody said how deep the {spaced(values['piece'])} is to be", "Say it: then its rows can be said."


def _failed(values: Values) -> Sentences:
    return f"the program failed over the {spaced(values['of'])}", "All that was typed is kept; the rest stands."


SAID_OF_THE_REST: Mapping[str, Sentences | Callable[[Values], Sentences]] = {
    "failed": _failed,
    "no_plan": _no_plan,
    "band_depth_unsaid": _no_depth,
    "do_not_hold_together": _apart,
    "steps_do_not_fit": _cap_alone,
    "no_yarn": ("no yarn of this make is named", "Name its yarn, and say what is on hand."),
    "nothing_weighed": ("nothing of this yarn was weighed, and its label says no thickness", "Weigh one piece."),
    "nothing_left": ("every piece is knitted", "Sew it, and press Finished."),
    "knitted": ("this piece is knitted", "Ask for one that is still to knit."),
    "no_such_piece": ("this make has no such piece to knit", "Ask for one that it has."),
    "sheet_faults": ("the sheet does not come out when it is knitted through in figures", "Knit from the counts."),
}
