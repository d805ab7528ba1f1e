"""What belongs together on a line stays together: a figure and its unit, "9 in 10", a whole number and its eighths,
a date. It is done to every text that a template is given; what is safe already (a field's value, a drawing, the
sentences of a script) stays as it is, so values in attributes are escaped where they stand."""

from __future__ import annotations

import re

from markupsafe import Markup

NBSP = "\u00a0"
JOINER = "\u2060"
"""Word joiner: no break on either side of it, no width."""
_FIGURE = re.compile(r"\d\s")
_UNIT = re.compile(r"(?<=\d)\s+(?=(?:cm|mm|in|g|m)\b(?!-)|%)")
_CHANCE = re.compile(rf"(?<=\d{NBSP}in)\s+(?=\d)")
_EIGHTHS = re.compile(r"(?<=\d)\s+(?=\d\d?/\d\d?\b)")
_DAY = re.compile(r"\b(\d\d?)\s(Jan|Feb|Mar|Apr|May|June|July|Aug|Sept|Oct|Nov|Dec)\s(?=\d{4}\b)")
_HYPHEN = re.compile(r"(?<=\w)-(?=\w)")
_TAG = re.compile(r"(<[^>]*>)")


def unbroken(text: str) -> str:
    """A text whose figures do not part from their units at the end of a line.

    >>> unbroken("Likely 2.6 cm: 9 in 10.").replace("\\u00a0", "_")
    'Likely 2.6_cm: 9_in_10.'
    """
    if not _FIGURE.search(text):
        return text
    text = _CHANCE.sub(NBSP, _UNIT.sub(NBSP, text))
    return _DAY.sub(rf"\1{NBSP}\2{NBSP}", _EIGHTHS.sub(NBSP, text))


def unparted(heading: Markup) -> Markup:
    """A heading whose words do not part at a hyphen; what stands in its tags stays as it is."""
    return Markup("".join(_HYPHEN.sub(f"-{JOINER}", part) if part[:1] != "<" else part for part in _TAG.split(heading)))  # noqa: S704 - was markup
