"""Fractions of an inch set as fractions: the style sheet raises the numerator and lowers the denominator of what has
the class `frac`. Only the fraction has it, since the letters' own feature would raise every other figure as well; the
text stays "13/16", so that it is heard and copied as it is typed. It is done to every text that a template is given,
after `unbroken`; what stands where an element cannot, in an attribute, an option, the title, is escaped there."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from markupsafe import Markup, escape

from fitcheck.drawing.svg import FRACTION
from webui.pages.unbroken import unbroken


def as_set(value: Any) -> Any:
    """A value that a template is given, as it stands in the page: a text whose figures do not part, with fractions."""
    return _as_set(value) if isinstance(value, str) and not isinstance(value, Markup) else value


@lru_cache(maxsize=2048)
def _as_set(text: str) -> str:
    """Nine in ten texts of a page are those of the page before."""
    return with_fractions(unbroken(text))


def with_fractions(text: str) -> str:
    """A text as markup in which each fraction of an inch is an element; without one as it is.

    >>> with_fractions("21 13/16 in")
    Markup('21 <span class="frac">13/16</span> in')
    """
    if not FRACTION.search(text):
        return text
    return Markup(FRACTION.sub(r'<span class="frac">\g<0></span>', str(escape(text))))  # noqa: S704 - escaped here
