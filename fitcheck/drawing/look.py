"""How every line, fill and text looks: classes for a page's CSS, presentation attributes for a file that stands alone.

Ink is what is wanted, pencil is what was measured: the pattern of a line says whose it is, its weight how well
it is known. Attributes have no specificity, so a page overrides every one of them by class.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from fitcheck.records.frozen import frozen

TEXT = 12.5
"""Height of text [units]: 12 px on a screen of 320 px, when a drawing is 288 units wide."""
WIDTH = 288.0
"""Width of every drawing for a page [units]."""
SHEET_UNIT_MM = 0.256
"""One unit of a drawing on a printed sheet [mm]: text of 12.5 units is 3.2 mm, 9 points, there."""
FONT = "Sheet, 'Source Sans 3', system-ui, 'Segoe UI', Roboto, 'Noto Sans', 'DejaVu Sans', sans-serif"


@frozen
class Look:
    """How the classes of a drawing look.

    classes  each class with the text of its attributes, the class itself included
    alone    name space and font of the drawing's own element, where it does not stand in a page that says them
    """

    classes: Mapping[str, str]
    alone: Mapping[str, str]

    def __getitem__(self, name: str) -> str:
        return self.classes[name]


@frozen
class _Colours:
    paper: str
    shade: str
    ink: str
    ink_2: str
    pencil: str
    line: str
    rule_2: str
    rule_1: str


_LIGHT = _Colours("#FBFAF6", "#EFEDE4", "#1B2228", "#434D54", "#0A4F70", "#6F7B82", "#B9CBD1", "#DCE6E8")
_PRINT = _Colours("#fff", "#f0f0f0", "#000", "#333", "#000", "#777", "#c4c4c4", "#e4e4e4")

# Stroke widths: [px on a page, mm on paper].
_WIDTHS = {
    "q1": (0.6, 0.13),
    "q2": (0.7, 0.18),
    "hs": (0.9, 0.25),
    "centre": (0.7, 0.18),
    "o-ref": (1.2, 0.35),
    "o-piece": (2.2, 0.7),
    "o-thin": (0.9, 0.25),
    "t-line": (0.8, 0.25),
    "t-end": (1.6, 0.5),
    "t-lead": (0.7, 0.18),
    "t-key": (1.3, 0.35),
    "d-mark": (1.0, 0.25),
    "d-gap": (1.6, 0.5),
    "frame": (1.5, 0.5),
    "cell": (1.0, 0.25),
    "r-br": (1.6, 0.42),
    "r-want": (0.9, 0.25),
    "r-edge": (1.1, 0.3),
    "r-mm": (0.8, 0.2),
    "r-half": (0.8, 0.2),
    "r-cm": (1.1, 0.3),
    "r-intend": (1.6, 0.42),
    "r-dot": (1.5, 0.4),
    "r-ring": (2.2, 0.56),
    "r-dash": (1.6, 0.42),
    "g-br": (1.7, 0.45),
    "g-edge": (1.1, 0.3),
    "g-ring": (2.0, 0.5),
    "g-dash": (1.6, 0.42),
    "p-band": (0.8, 0.2),
    "p-line": (1.4, 0.4),
    "c-edge": (1.0, 0.25),
    "c-off": (1.0, 0.25),
    "w-out": (1.6, 0.42),
    "w-tick": (0.8, 0.2),
    "z-pill": (1.4, 0.4),
    "s-bar": (3.5, 0.9),
    "s-end": (1.6, 0.42),
    "s-notch": (1.6, 0.42),
    "s-link": (1.0, 0.25),
    "s-loop": (1.3, 0.32),
}
_DASHES = {
    "o-ref": "9 3.5",
    "centre": "14 3 2 3",
    "r-dash": "6 3",
    "g-dash": "3 2.4",
}
_IN_GARMENT = ("centre", "o-ref", "o-piece", "o-thin", "t-line", "t-end", "t-lead", "d-mark", "d-gap")


_STROKES = {
    "q1": "rule_1",
    "q2": "rule_2",
    "hs": "ink_2",
    "centre": "ink_2",
    "o-ref": "ink",
    "t-lead": "line",
    "d-mark": "ink",
    "frame": "ink",
    "cell": "line",
    "r-want": "ink_2",
    "g-edge": "line",
    "r-dot": "paper",
    "p-band": "pencil",
    "c-off": "line",
    "w-tick": "line",
    "s-link": "line",
    "s-loop": "pencil",
    **dict.fromkeys(
        ("o-piece", "o-thin", "t-line", "t-end", "t-key", "d-gap", "r-intend", "p-line", "w-out", "z-pill"), "pencil"
    ),
}
"""Colour of a line, by its name among `_Colours`; ink for every other."""
_FILLS = {
    "t-key": "paper",
    "r-band": "shade",
    "r-wantm": "ink_2",
    "r-int": "pencil",
    "r-dot": "ink",
    "r-ring": "paper",
    "g-fill": "ink",
    "g-ring": "paper",
    "ho": "pencil",
    "p-band": "shade",
    "p-fill": "ink",
    "paper": "paper",
    "c-on": "ink",
    "c-off": "paper",
    "w-done": "ink",
    "z-pill": "paper",
    "z-best": "ink",
}
"""Colour of an area; every other is empty."""
_TEXTS = {
    "t-keyn": ("ink", 600, False),
    "t-val": ("ink", 500, True),
    "d-let": ("ink", 650, True),
    "r-num": ("ink", 400, False),
    "r-side": ("ink_2", 400, True),
    "l-text": ("ink", 400, False),
    "l-label": ("ink_2", 400, False),
    "z-name": ("ink", 600, False),
    "z-named": ("paper", 600, False),
}
"""Colour and weight of a text, and whether the paper shows around its letters."""


def _look(colours: _Colours, *, paper: bool, styled: bool = False) -> Look:
    """styled: the page's own style says colours, widths, dashes and joins."""
    classes = {}
    for name in {*_WIDTHS, *_FILLS}:
        look = {} if styled else _drawn(name, colours, paper=paper) | _form(name, paper=paper)
        classes[name] = _attributes({"class": name} | look)
    for name, (colour, weight, halo) in _TEXTS.items():
        look = {"fill": getattr(colours, colour), "font-size": f"{TEXT:g}", "font-weight": str(weight)}
        if halo:
            look |= {
                "stroke": colours.paper,
                "stroke-width": "3.5",
                "stroke-linejoin": "round",
                "paint-order": "stroke",
            }
        classes[name] = _attributes({"class": name} | ({} if styled else look))
    alone = {} if styled else {"xmlns": "http://www.w3.org/2000/svg", "font-family": FONT}
    return Look(MappingProxyType(classes), MappingProxyType(alone))


def _drawn(name: str, colours: _Colours, *, paper: bool) -> dict[str, str]:
    """Fill, stroke and its width of a class."""
    look = {"fill": getattr(colours, _FILLS[name]) if name in _FILLS else "none"}
    if name in _WIDTHS:
        px, mm = _WIDTHS[name]
        look["stroke"] = getattr(colours, _STROKES.get(name, "ink"))
        look["stroke-width"] = f"{round(mm / SHEET_UNIT_MM, 3) if paper else px:g}"
    return look


def _form(name: str, *, paper: bool) -> dict[str, str]:
    """Dashes and joins of a class."""
    form = {}
    if name in _DASHES:
        scale = 1 / SHEET_UNIT_MM / 4 if paper else 1.0
        form["stroke-dasharray"] = " ".join(f"{float(dash) * scale:.3g}" for dash in _DASHES[name].split())
    if name in _IN_GARMENT and not paper:
        form["vector-effect"] = "non-scaling-stroke"
    if name == "o-piece":
        form["stroke-linejoin"] = "round"
    return form


def _attributes(attributes: Mapping[str, str]) -> str:
    return "".join(f' {name}="{value}"' for name, value in attributes.items())


SCREEN = _look(_LIGHT, paper=False)
"""The light look of a page."""
PAGE = _look(_LIGHT, paper=False, styled=True)
"""For a page whose own style says how every class looks: a third of the bytes, the same picture."""
PRINT = _look(_PRINT, paper=True, styled=True)
"""For a sheet of SHEET_UNIT_MM, whose page says how every class looks on paper."""
