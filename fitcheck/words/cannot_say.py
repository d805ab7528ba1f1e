"""What cannot be said: why, and what would help."""

from __future__ import annotations

import re

from fitcheck.estimates.numbers import CannotSay
from fitcheck.knitting.refusals import CannotShape
from fitcheck.records.points import POINTS
from fitcheck.words.names import point_name
from fitcheck.words.phrases import capital, sentence, small_first
from fitcheck.words.said import MOST_HEAD
from fitcheck.words.unshaped import unshaped, unshaped_heading
from fitcheck.words.why_not import what_would_help, why_not

WHY_NOT = {
    "prior_needed": "too few swatches were measured to tell how they scatter",
    "no_such_stage": "no swatch of this fabric was read at that stage",
    "dial_too_far": "that dial lies too far from the swatches",
    "line_not_determined": "the swatches scatter too much to tell one dial from the next",
    "too_few_points": "three swatches at different dials are needed to see how they scatter",
    "one_place_only": "all swatches were knitted at the same dial",
    "pinned": "pins held the piece while it was read, so the tape measured the pins",
}
_CANNOT_HELP = {"prior_needed": "Measure more swatches before and after finishing."}

ALL_KNITTED = "Everything is knitted."
IS_FINISHED = "The sweater is finished."
"""What stands where the counts, seams and yarn of a sweater that is finished stood."""
TO_SEW = "Sew it in the order of its seams, pick up its bands, then press Finished."
"""What stands there while it is to be sewn."""


def cannot_say_sentence(reason: CannotSay) -> str:
    """Why it cannot be said, and what would help: "Cannot say: ... Say ..."."""
    return " ".join(part for part in cannot_say_parts(reason) if part)


def cannot_say_parts(reason: CannotSay) -> tuple[str, str]:
    """Why it cannot be said, and what would help; empty where nothing would."""
    if isinstance(reason, CannotShape):
        return unshaped(reason)
    told = _why_not(reason)
    return f"Cannot say: {told}" if told else "Cannot say.", _what_would_help(reason)


def cannot_say_first(reason: CannotSay) -> list[str]:
    """The same with a heading that is short enough: what cannot be said, why where that takes long, what would help."""
    if isinstance(reason, CannotShape):
        return list(unshaped_heading(reason))
    told, help_ = cannot_say_parts(reason)
    if len(told) <= MOST_HEAD:
        return [told, help_]
    return (
        [help_, capital(_why_not(reason))]
        if help_ and len(help_) <= MOST_HEAD
        else ["Cannot say yet what to do.", capital(_why_not(reason)), help_]
    )


def _why_not(reason: CannotSay) -> str:
    """The reason with a small letter and a full stop; empty where there is none."""
    if isinstance(reason, CannotShape):
        return small_first(unshaped(reason)[0])
    return small_first(sentence(WHY_NOT.get(reason.code) or why_not(reason)))


def _what_would_help(reason: CannotSay) -> str:
    if isinstance(reason, CannotShape):
        return unshaped(reason)[1]
    return sentence(_CANNOT_HELP.get(reason.code) or what_would_help(reason))


def refused_sentence(key: str, reason: CannotSay) -> str:
    """A point that could not be compared, with the reason; its sign or tag says "cannot say"."""
    told = " ".join(part for part in (_why_not(reason) or "cannot say.", _what_would_help(reason)) if part)
    if key in POINTS:
        # The catalogue's name may be a heading ("armhole depth, straight"); in a sentence it is a noun.
        name = POINTS[key].name
        noun = point_name(key) if "," in name else name
        told = re.sub(rf"\b(its |no |the )?{re.escape(name)}", lambda match: f"{match[1] or 'the '}{noun}", told)
    return f"{capital(point_name(key))}: {told}"
