"""Why something cannot be said, and what would help: the sentences of every code of a reason.

A reason that was read back from data carries its sentences itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fitcheck.estimates.numbers import CannotSay
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from fitcheck.words.bed import LOOSER_DIAL
from fitcheck.words.phrases import capital, spaced
from fitcheck.words.why_no_rest import SAID_OF_THE_REST, no_counts

Sentences = tuple[str, str]
"""Why it cannot be said, and what would help; empty where nothing would."""
Values = Mapping[str, Any]
"""What the sentences name: keys of points, pieces and constructions, counts, dials."""


@frozen
class WrittenReason:
    """A reason as data: its code and both sentences."""

    code: str
    why: str
    what_would_help: str


def written_reason(reason: CannotSay) -> WrittenReason:
    """A reason with its sentences, ready for JSON."""
    return WrittenReason(reason.code, *_sentences(reason))


def why_not(reason: CannotSay) -> str:
    """Why it cannot be said, one sentence; as a part of another it has neither capital nor full stop everywhere."""
    return _sentences(reason)[0]


def what_would_help(reason: CannotSay) -> str:
    """What would help, one sentence; empty where nothing would."""
    return _sentences(reason)[1]


def _sentences(reason: CannotSay) -> Sentences:
    if reason.why or reason.what_would_help or reason.code not in _SAID:
        return reason.why, reason.what_would_help
    said = _SAID[reason.code]
    return said(reason.values) if callable(said) else said


def _name(key: str) -> str:
    return POINTS[key].name


_ODD_SHAPES = {
    "shoulder_beyond_chest": "the shoulder is wider than the chest",
    "slant_too_short": "the slanting measure is shorter than its straight part",
}


def _no_swatch(values: Values) -> Sentences:
    if values.get("of") == "make":
        return "The make names no swatch.", "Wash and block a swatch, and name it in the make."
    return "no swatch was measured", "Knit one."


def _no_specimen(values: Values) -> Sentences:
    if values.get("of") == "yarn":
        return (
            "no swatch of this yarn was measured",
            "Knit one in the middle of the dial, wash and block it, and measure it.",
        )
    return (
        "No swatch and no piece of this fabric was measured.",
        "Knit a swatch, wash and block it like the garment, and measure it.",
    )


def _no_dial(values: Values) -> Sentences:
    match values.get("of"):
        case "swatches":
            return "nobody wrote down the dial of a swatch", "Write down the dial of every swatch."
        case "machine":
            return "neither a machine nor a dial is written down", "Name the machine, or write down the dial."
    return (
        "No dial number was written down for any swatch or piece of this fabric.",
        "Write down the dial number of the swatches.",
    )


def _dial_too_far(values: Values) -> Sentences:
    if "dial" not in values:
        return "every click lies too far from the swatches", "Check the dials that were written down."
    dial, centre = values["dial"], values["centre"]
    return (
        f"Dial {dial:g} lies too far from dial {centre:g}, about which the swatches lie.",
        "Knit a swatch nearer to that dial.",
    )


def _one_dial(values: Values) -> Sentences:
    swatches, pieces, near = values["swatches"], values["pieces"], values["near"]
    if swatches and pieces:
        who = "everything was"
    else:
        noun, plural, number = ("swatch", "swatches", swatches) if swatches else ("piece", "pieces", pieces)
        few = {1: f"the only {noun} was", 2: f"both {plural} were"}
        who = few.get(number, f"all {number} {plural} were")
    help_ = f"One at {' or '.join(map(str, near))} would tell." if near else ""
    return f"{who} knitted at {values['dial']}", help_


def _no_wanted_gauge(values: Values) -> Sentences:
    if values.get("of") == "table":
        return (
            "the size table has neither a gauge nor stitches beside widths that agree",
            "Type the pattern’s gauge.",
        )
    return "no size table says which gauge is wanted", "Type the pattern’s gauge, or its stitches and widths."


def _no_wanted_width(values: Values) -> Sentences:
    counted = " that the sizes have a count for" if values.get("of") == "sizes" else ""
    return (
        f"No width is wanted{counted}.",
        "Say what the chest should be: a number, or the chest of a garment that fits.",
    )


def _no_wanted_figure(values: Values) -> Sentences:
    name = _name(values["point"])
    measure = f"the {name} of the garment" if values.get("of") == "piece" else f"{name} of a garment that fits"
    return f"Nothing says what {name} should be.", f"Measure {measure}, or give a number."


def _cannot_carry(values: Values) -> Sentences:
    if "piece" in values:
        return (
            f"Piece {values['piece']!r} was read at a stage that no swatch of this fabric was read at.",
            "Wash and block the piece, or measure a swatch at that stage and again washed and blocked.",
        )
    return (
        "the piece is not washed and blocked, and no swatch of this yarn was measured before and after",
        "Wash and block it as the garment will be washed, let it dry, and read it again.",
    )


def _not_copied(values: Values) -> Sentences:
    if "point" not in values:
        return (
            "every figure of the garment that was read is one that is not to be copied",
            "Give numbers, or read the garment washed and dried flat.",
        )
    copied = f"its {_name(values['point'])} is not to be copied."
    if values["as_read"] == "worn":
        return f"The garment was read worn, and {copied}", "Read the garment washed and dried flat, or give numbers."
    return f"The garment stretches, and {copied}", "Give numbers: its widths are not to be copied."


def _construction_differs(values: Values) -> Sentences:
    """Built otherwise at a point; or a sleeve, compared by centre back neck to cuff alone, without its beginning."""
    if "point" in values:
        theirs, ours = (CONSTRUCTIONS[values[whose]].name for whose in ("theirs", "ours"))
        by_cuff = "; sleeves compare by centre back neck to cuff" if "sleeve" in POINTS[values["point"]].pieces else ""
        return (
            f"The garment is built otherwise ({theirs}, not {ours}): its {_name(values['point'])} lies elsewhere.",
            f"Type what it must measure there{by_cuff}.",
        )
    if "begins_at" in values:
        start = values["begins_at"]
        name = _name(start) if start else "the sleeve’s beginning"
        return (
            f"From centre back neck to cuff the sleeve is known only once {name} of this sweater is.",
            f"Give {name} as a number, or measure it on the garment." if start else "Give a number.",
        )
    return (
        "Sleeves of different constructions compare only by centre back neck to cuff.",
        "Measure the garment from the middle of the back neck over the shoulder to the cuff.",
    )


def _mixed_definitions(values: Values) -> Sentences:
    own, missing = _name(values["point"]), " and ".join(map(_name, values["missing"]))
    return (
        f"The garment has {_name(values['known'])}, the piece {own}: not one tape.",
        f"Measure {missing} of the garment, or {own} itself.",
    )


def _shape_impossible(values: Values) -> Sentences:
    odd = _ODD_SHAPES[values["odd"]]
    return (
        f"{_name(values['point'])} cannot be reckoned from {_name(values['known'])}: {odd}.",
        f"Measure {', '.join(map(_name, values['measured']))} once more.",
    )


def _not_on_piece(values: Values) -> Sentences:
    kind = values["piece"]
    names = ", ".join(point.name for point in POINTS.values() if kind in point.pieces)
    return f"A {spaced(kind)} has no {_name(values['point'])}.", f"Points of this piece: {names}."


def _not_in_construction(values: Values) -> Sentences:
    lacks = CONSTRUCTIONS[values["construction"]].lacks[values["point"]]
    return f"{capital(lacks)}.", "Leave this point out."


def _needles(values: Values) -> Sentences:
    return (
        f"The {spaced(values['piece'])} has {values['stitches']} stitches at the {_name(values['point'])}; "
        f"this bed has {values['needles']} needles.",
        LOOSER_DIAL,
    )


def _no_outline(values: Values) -> Sentences:
    if "construction" in values:
        return CONSTRUCTIONS[values["construction"]].not_drawn, "No outline: rulers only."
    widths = " or ".join(map(_name, values["widths"]))
    return "too little was measured to draw the piece", f"Read {widths} and a length."


def _of_point(why: str, help_: str) -> Callable[[Values], Sentences]:
    """Sentences that name one point."""
    return lambda values: (why.format(_name(values["point"])), help_.format(_name(values["point"])))


_SAID: Mapping[str, Sentences | Callable[[Values], Sentences]] = {
    # What can be done with a piece
    "nothing_to_change": ("nothing would change that pays for the trouble", ""),
    "seams_apart": ("a seam with a piece that is knitted would be too far apart to be sewn", ""),
    "no_gain": ("more tape would not change the plan by enough to pay for itself", ""),
    "three_looks": ("the piece was judged three times; more tape would hardly settle it", ""),
    "tape_cannot_settle": ("no sensible number of readings would settle it", ""),
    "no_length": ("no length that ends at a hem or cuff was read", "Read the body length."),
    "fibre_unsaid": (
        "the fibre is not said, and cotton, acrylic and superwash do not hold a stretch",
        "Say the yarn’s fibres.",
    ),
    "does_not_hold": ("this yarn does not hold a piece that is blocked larger", ""),
    "too_wide": ("the piece is too wide, and blocking only enlarges", ""),
    "nothing_small": ("nothing on the piece is too small", ""),
    "stretched_enough": ("it was stretched already by as much, or as often, as holds", ""),
    "no_underarm": ("no point above a row that it could be ripped back to was read", ""),
    "nothing_left": ("no other piece is still to be knitted", ""),
    "nothing_answers": ("no other piece can make up any of the points that were read", ""),
    "finished": ("the make is finished", ""),
    # Whether a piece can be judged
    "no_piece": ("no piece of this make was read", "Lay a washed and blocked piece flat and read it."),
    "not_read": ("the piece was not read at any stage", "Read it washed, blocked and dry."),
    "nothing_to_compare": (
        "no point was read that anything says how large it should be",
        "Read the same point on the piece and on the garment, or the overhang.",
    ),
    "cannot_carry": _cannot_carry,
    "pinned": (
        "the piece was read while pins held it: it measures its pins",
        "Take the pins out, wait until the next day, and read it lying free.",
    ),
    "not_judged": ("no point was judged", ""),
    "no_outline": _no_outline,
    # What a point must measure
    "no_wanted_figure": _no_wanted_figure,
    "not_copied": _not_copied,
    "reference_missing": lambda values: (
        f"The garment {values['garment']} or its measuring {values['occasion']} is not in the wardrobe.",
        "Choose a garment of the wardrobe and one of its measurings.",
    ),
    "construction_differs": _construction_differs,
    "mixed_definitions": _mixed_definitions,
    "shape_impossible": _shape_impossible,
    "body_unsaid": _of_point(
        "Ease is given at {0}, but the body was not measured there.", "Measure {0} of the wearer, or give a number."
    ),
    "round_of_a_length": _of_point("{0} has no round measure.", "Say {0} as a flat figure."),
    "panel_width_unsaid": _of_point(
        "Side panels carry a part of {0}; how wide they are is not said.",
        "Give the finished width of one side panel.",
    ),
    "front_band_unsaid": (
        "How wide the front band is when the fronts are closed is not said.",
        "Give the depth of the front band.",
    ),
    "neck_band_unsaid": (
        "The garment was measured inside its neck band; how deep this one’s will be is not said.",
        "Give the neck band’s depth, or the neck width from seam to seam.",
    ),
    "overlap_unsaid": _of_point("A seam at {0} is overlapped; by how much is not said.", "Give the overlap."),
    "not_on_piece": _not_on_piece,
    "not_in_construction": _not_in_construction,
    "half_front": _of_point(
        "A half front does not reach across: {0} cannot be measured on it.",
        "Measure the shoulder seam and the chest instead.",
    ),
    "overhang_half_front": _of_point(
        "A half front laid on the garment ends at neither side: no overhang at {0}.",
        "Measure {0} of the half front instead.",
    ),
    # What a fabric does
    "no_swatch": _no_swatch,
    "no_specimen": _no_specimen,
    "no_such_stage": lambda values: (
        f"Nothing was measured at the stage {values['stage']!r}.",
        "Measure a swatch at that stage, and again washed and blocked.",
    ),
    "no_dial": _no_dial,
    "dial_too_far": _dial_too_far,
    "one_dial": _one_dial,
    "dial_kept": ("what is seamed to the pieces keeps their dial", ""),
    "no_wanted_gauge": _no_wanted_gauge,
    "line_not_determined": lambda values: (
        f"the {values['points']} points scatter so much that at level {values['level']:g} the line may as well be flat",
        "Add a swatch at a dial number further from the others.",
    ),
    "too_few_points": lambda values: (
        f"a line needs 3 points to show its own scatter, and there are {values['points']}",
        "Add a swatch at another dial number.",
    ),
    "one_place_only": lambda values: (
        f"all {values['points']} points are at {values['place']:g}",
        "Add a swatch at a higher or lower dial number.",
    ),
    "prior_needed": lambda values: (
        f"with flat priors, {values['swatches']} swatches set no limit to the spread between swatches or to the mean",
        "Measure more swatches before and after, or give tau_scale and prior_sd.",
    ),
    # Sizes and counts
    "no_size_table": ("No size table of a pattern was typed.", "Type the pattern’s counts for two sizes."),
    "no_cells": (
        "No size has both a stitch count and a printed width.",
        "Type the count and the width of one point for two sizes or more.",
    ),
    "no_wanted_width": _no_wanted_width,
    "no_rows_read": (
        "No rows of this fabric were measured.",
        "Measure along the rows of a washed and blocked swatch too.",
    ),
    "no_size": ("No size has a count.", ""),
    "one_size": ("There is only one size to look at.", "Type the counts of a second size."),
    "nothing_to_mix": (
        "A mix needs a wanted width of the body and one of shoulder, neck or sleeve, with counts.",
        "Say what shoulder width and chest should be.",
    ),
    "no_better_mix": lambda values: (f"No mix of two sizes is likelier to fit than size {values['size']} alone.", ""),
    "needles": _needles,
    "all_band": _of_point("The band takes all of the {0}.", "Check the depth of the band."),
    "no_count": lambda values: (
        "The table has no stitch count there.",
        f"Type the stitches at the {_name(values['point']).split(',')[0]}, size by size.",
    ),
    "pattern_gauge_unsaid": (
        "What gauge the counts were made for is not known.",
        "Type the printed gauge, or a printed measure beside each count.",
    ),
    "no_counts": no_counts,
    "counts_knitted": ("the piece that is knitted has its counts", ""),
    **SAID_OF_THE_REST,
    "band_not_swatched": (
        "no swatch of this make is named as a rib",
        "Swatch the rib, and call its stitch pattern so.",
    ),
}
