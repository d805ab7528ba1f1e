"""Wordings that nothing says: what a newcomer stumbled over, and words that a calm colleague does not use."""

from __future__ import annotations

import re

OUTLAWED = re.compile(
    r"back back|sleeve’s sleeve|usual hand|minutes of tape|not on offer|least to lose|underarm anew"
    r"|to be called|\bon the line\b|bound to no size|with misfits|as the pattern means it",
    re.IGNORECASE,
)
"""Words of the workshop."""
NEVER = ("error", "invalid", "significant", "confidence", "optimal", "fail", "please", "oops")
"""Words of a program."""
