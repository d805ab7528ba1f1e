"""What belongs together on a line stays together: a figure and its unit, "9 in 10", a whole number and its eighths,
a date. It is done to the finished page, in its texts only: fields, their values and scripts stay as they are."""

from __future__ import annotations

import re

NBSP = "\u00a0"
JOINER = "\u2060"
"""Word joiner: no break on either side of it, no width."""
_TEXTS = re.compile(r"<(script|style|textarea)\b.*?</\1>|>[^<>]*\d\s[^<>]*(?=<)", re.S)
_HEADING = re.compile(r"(?<=<h1>)[^<]*-[^<]*(?=</h1>)")
_UNIT = re.compile(r"(?<=\d)\s+(?=(?:cm|mm|in|g|m)\b(?!-)|%)")
_CHANCE = re.compile(rf"(?<=\d{NBSP}in)\s+(?=\d)")
_EIGHTHS = re.compile(r"(?<=\d)\s+(?=\d\d?/\d\d?\b)")
_DAY = re.compile(r"\b(\d\d?)\s(Jan|Feb|Mar|Apr|May|June|July|Aug|Sept|Oct|Nov|Dec)\s(?=\d{4}\b)")
_HYPHEN = re.compile(r"(?<=\w)-(?=\w)")


def unbroken(page: str) -> str:
    """A page [HTML] whose figures do not part from their units at the end of a line.

    >>> unbroken("<p>Likely 2.6 cm: 9 in 10.</p>").replace("\\u00a0", "_")
    '<p>Likely 2.6_cm: 9_in_10.</p>'
    """
    return _HEADING.sub(lambda found: _HYPHEN.sub(f"-{JOINER}", found[0]), _TEXTS.sub(_text, page))


def _text(found: re.Match[str]) -> str:
    text = found[0]
    if found[1]:
        return text
    text = _CHANCE.sub(NBSP, _UNIT.sub(NBSP, text))
    return _DAY.sub(rf"\1{NBSP}\2{NBSP}", _EIGHTHS.sub(NBSP, text))
