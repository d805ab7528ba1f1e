"""Drawings inside a page: what the page's own style says of a class need not be sent again with every line of it."""

from __future__ import annotations

import re

from markupsafe import Markup

_TAG = re.compile(r'<[a-z]+ class="[^"]*"[^>]*>')
_LOOK = re.compile(r' (?:fill|stroke|stroke-width|font-size|font-weight)="[^"]*"')
_ROOT = re.compile(r' xmlns="[^"]*"| font-family="[^"]*"')


def inline(svg: str) -> Markup:
    """A drawing without the look that the page gives every class of it; a third of its bytes, the same picture."""
    begin, mark, rest = svg.partition(">")
    return Markup(_ROOT.sub("", begin) + mark + _TAG.sub(lambda tag: _LOOK.sub("", tag[0]), rest))
