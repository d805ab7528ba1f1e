"""SVG as text: numbers, escaping, shapes by class, and how wide a text can get.

No style attribute and no script anywhere, so a page with a strict content policy can hold every drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from html import escape as _escape

from fitcheck.drawing.look import FONT, SCREEN, TEXT, Look

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
    ems = sum(_FIGURE if one.isdigit() else _SIGN if one in "+−" else _EMS.get(one, _WIDE) for one in text)
    return ems * size


def wrapped(text: str, width: float, lines: int) -> list[str]:
    """Break a text into at most so many lines of a width [units]; what is left over ends in "…"."""
    found: list[str] = []
    words = text.split()
    line = ""
    for place, word in enumerate(words):
        tried = f"{line} {word}" if line else word
        if line and text_width(tried) > width:
            if len(found) == lines - 1:
                return [*found, shortened(" ".join([line, *words[place:]]), width)]
            found.append(line)
            line = word
        else:
            line = tried
    return [*found, shortened(line, width)] if line else found


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


def text(look: Look, name: str, x: float, y: float, content: str, anchor: str = "start") -> str:
    """A text of a class; anchor: start, middle or end."""
    at = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text{look[name]} x="{n(x)}" y="{n(y)}"{at}>{escape(content)}</text>'


def drawing(name: str, width: float, height: float, inside: Iterable[str], *, label: str = "", ids: str = "") -> str:
    """A whole drawing as one svg element.

    name   its class
    label  what it shows, one sentence; empty: it only repeats what the page says beside it
    ids    prefix of the ids inside, one of its own per drawing on a page
    """
    if label:
        role = f' role="img" aria-labelledby="{ids}-t"'
        title = f'<title id="{ids}-t">{escape(label)}</title>'
    else:
        role, title = ' aria-hidden="true"', ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{name}" viewBox="0 0 {n(width)} {n(height)}"{role}'
        f' focusable="false" font-family="{FONT}">{title}{"".join(inside)}</svg>'
    )


def polyline(points: Sequence[Point]) -> str:
    """Path data through points."""
    first, *rest = points
    return f"M{n(first[0])} {n(first[1])}" + "".join(f"L{n(x)} {n(y)}" for x, y in rest)


def standalone(svg: str) -> str:
    """A drawing as the text of a file of its own: on paper, height and width of its units at 96 to the inch."""
    head, _, rest = svg.partition(">")
    if ' width="' not in head:
        _, _, box = head.partition('viewBox="')
        _, _, width, height = box.split('"')[0].split()
        head += f' width="{width}" height="{height}"'
        # What shows the file may be dark; a sheet, which has its width, has its paper too.
        before, ends, after = rest.rpartition("</title>") if rest.startswith("<title") else ("", "", rest)
        rest = f"{before}{ends}{rect(SCREEN, 'paper', 0.0, 0.0, float(width), float(height))}{after}"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}>{rest}\n'
