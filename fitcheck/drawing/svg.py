"""SVG as text: numbers, escaping, shapes by class, and how wide a text can get.

No style attribute and no script anywhere, so a page with a strict content policy can hold every drawing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from html import escape as _escape

from fitcheck.drawing.look import SCREEN, TEXT, Look

Point = tuple[float, float]

# Widths in ems, no narrower than in the fonts that stand in when ours is missing.
_EMS = {
    **dict.fromkeys(" .,:;'|", 0.34),
    **dict.fromkeys("fijlrtI()/-", 0.42),
    **dict.fromkeys("mwMW%@…", 1.0),
    **dict.fromkeys("abcdeghknopqsuvxyzJ", 0.64),
}
_WIDE = 0.84
_FIGURE = 0.64
_SIGN = 0.84

FRACTION = re.compile(r"(?<![\w/.,])\d\d?/(?:2|4|8|16)(?![\w/])")
"""A fraction of an inch as it is written and typed; no part of a date, of an address, of a ratio."""


def escape(text: str) -> str:
    """Text for an element or an attribute."""
    return _escape(text, quote=True)


def n(value: float) -> str:
    """A coordinate: two decimals at most, never "-0"."""
    return f"{round(value, 2) + 0.0:g}" if -9999 < value < 9999 else f"{value:.2f}"


@lru_cache(maxsize=1024)
def text_width(text: str, size: float = TEXT) -> float:
    """Upper bound of a text's width [units]: wide enough for the fonts that stand in when ours is missing.

    size  height of the text [units]
    """
    ems = sum(
        _FIGURE if character.isdigit() else _SIGN if character in "+−" else _EMS.get(character, _WIDE)
        for character in text
    )
    return ems * size


def wrapped(text: str, width: float, lines: int) -> list[str]:
    """Break a text into at most so many lines of a width [units]; what is left over ends in "…"."""
    broken: list[str] = []
    words = text.split()
    line = ""
    for place, word in enumerate(words):
        tried = f"{line} {word}" if line else word
        if line and text_width(tried) > width:
            if len(broken) == lines - 1:
                return [*broken, shortened(" ".join([line, *words[place:]]), width)]
            broken.append(line)
            line = word
        else:
            line = tried
    return [*broken, shortened(line, width)] if line else broken


def shortened(text: str, width: float) -> str:
    """A text cut to a width [units], ending in "…" where it was cut."""
    if text_width(text) <= width:
        return text
    while text and text_width(f"{text}…") > width:
        text = text[:-1]
    return f"{text.rstrip()}…"


def path(look: Look, name: str, d: str, more: str = "") -> str:
    """A path of a class."""
    return f'<path{look[name]} d="{d}"{more}/>'


def rect(look: Look, name: str, x: float, y: float, width: float, height: float) -> str:
    """A rectangle of a class [units]."""
    return f'<rect{look[name]} x="{n(x)}" y="{n(y)}" width="{n(width)}" height="{n(height)}"/>'


def circle(look: Look, name: str, x: float, y: float, r: float) -> str:
    """A circle of a class [units]."""
    return f'<circle{look[name]} cx="{n(x)}" cy="{n(y)}" r="{n(r)}"/>'


def pill(look: Look, name: str, x: float, y: float, width: float, height: float) -> str:
    """A bar with round ends of a class about a place, a disc where it is as wide as high [units]."""
    corner = f'x="{n(x - width / 2)}" y="{n(y - height / 2)}" width="{n(width)}" height="{n(height)}"'
    return f'<rect{look[name]} {corner} rx="{n(height / 2)}"/>'


def text(look: Look, name: str, x: float, y: float, content: str, anchor: str = "start") -> str:
    """A text of a class, its fractions as elements of the class `frac`; anchor: start, middle or end."""
    return f'<text{look[name]} x="{n(x)}" y="{n(y)}"{_anchored(anchor, content)}</text>'


def cell(x: float, content: str, anchor: str = "start") -> str:
    """A text of a row that says for all of its texts which class they have and how far down they stand."""
    return f'<text x="{n(x)}"{_anchored(anchor, content)}</text>'


def _anchored(anchor: str, content: str) -> str:
    at = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f"{at}>" + FRACTION.sub(r'<tspan class="frac">\g<0></tspan>', escape(content))


def drawing(
    name: str,
    width: float,
    height: float,
    inside: Iterable[str],
    *,
    label: str = "",
    ids: str = "",
    look: Look = SCREEN,
    root: str = "",
    sized: bool = False,
    wide: int | None = None,
    file: bool = False,
) -> str:
    """A whole drawing as one svg element.

    name   its class
    label  what it shows, one sentence; empty: it only repeats what the page says beside it
    ids    prefix of the ids inside, one of its own per drawing on a page
    root   further attributes of the element
    sized  it has its width and height [units] wherever it stands
    wide   it is shown so wide [px]; as wide as there is room otherwise
    file   the text of a file of its own, with its size at 96 units to the inch and paper under it: what shows the
           file may be dark
    """
    box = f' viewBox="0 0 {n(width)} {n(height)}"'
    size = f' width="{n(width)}" height="{n(height)}"'
    role, title = ' aria-hidden="true"', ""
    if label:
        role, title = f' role="img" aria-labelledby="{ids}-t"', f'<title id="{ids}-t">{escape(label)}</title>'
    space = f' xmlns="{look.alone["xmlns"]}"' if look.alone else ""
    font = f' font-family="{look.alone["font-family"]}"' if look.alone else ""
    root += f' width="{wide}"' if wide else ""
    head = f'<svg{root}{space} class="{name}"{size if sized else ""}{box}{role}{font}'
    if not file:
        return f"{head}>{title}{''.join(inside)}</svg>"
    paper = rect(look, "paper", 0.0, 0.0, width, height)
    whole = f"{head}{size}>{title}{paper}{''.join(inside)}</svg>"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{whole}\n'


def polyline(points: Sequence[Point]) -> str:
    """Path data through points."""
    first, *rest = points
    return f"M{n(first[0])} {n(first[1])}" + "".join(f"L{n(x)} {n(y)}" for x, y in rest)
