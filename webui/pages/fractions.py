"""Fractions of an inch set as fractions: the style sheet raises the numerator and lowers the denominator of what has
the class `frac`. Only the fraction has it, since the letters' own feature would raise every other figure as well; the
text stays "13/16", so that it is heard and copied as it is typed. It is done to every text that a template is given,
after `unbroken`; what stands where an element cannot, in an attribute, an option, the title, is escaped there."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup, escape

from fitcheck.drawing.svg import FRACTION


def with_fractions(value: Any) -> Any:
    """A text as markup in which each fraction of an inch is an element; without one, and anything else, as it is.

    >>> with_fractions("21 13/16 in")
    Markup('21 <span class="frac">13/16</span> in')
    """
    if not isinstance(value, str) or isinstance(value, Markup) or not FRACTION.search(value):
        return value
    return Markup(FRACTION.sub(r'<span class="frac">\g<0></span>', str(escape(value))))  # noqa: S704 - escaped here
