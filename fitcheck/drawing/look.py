"""How every line, fill and text looks: classes for a page's CSS, presentation attributes for a file that stands alone.

Ink is what is wanted, pencil is what was measured: the pattern of a line says whose it is, its weight how well
it is known. Attributes have no specificity, so a page overrides every one of them by class.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

TEXT = 12.5
"""Height of text [units]: 12 px on a screen of 320 px, when a drawing is 288 units wide."""
WIDTH = 288.0
"""Width of every drawing for a page [units]."""
SHEET_UNIT_MM = 0.256
"""One unit of a drawing on a printed sheet [mm]: text of 12.5 units is 3.2 mm, 9 points, there."""
FONT = "Sheet, 'Source Sans 3', system-ui, 'Segoe UI', Roboto, 'Noto Sans', 'DejaVu Sans', sans-serif"


@dataclass(frozen=True, slots=True)
class Look:
    """How the classes of a drawing look.

    classes  each class with the text of its attributes, the class itself included
    alone    name space and font of the drawing's own element, where it does not stand in a page that says them
    """

    classes: Mapping[str, str]
    alone: Mapping[str, str]

    def __getitem__(self, name: str) -> str:
        return self.classes[name]


@dataclass(frozen=True, slots=True)
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
}
_DASHES = {
    "o-ref": "9 3.5",
    "centre": "14 3 2 3",
    "r-dash": "6 3",
    "g-dash": "3 2.4",
}
_IN_GARMENT = ("centre", "o-ref", "o-piece", "o-thin", "t-line", "t-end", "t-lead", "d-mark", "d-gap")


def _look(colours: _Colours, *, paper: bool, styled: bool = False) -> Look:
    strokes = {
        "q1": colours.rule_1,
        "q2": colours.rule_2,
        "hs": colours.ink_2,
        "centre": colours.ink_2,
        "o-ref": colours.ink,
        "t-lead": colours.line,
        "d-mark": colours.ink,
        "frame": colours.ink,
        "cell": colours.line,
        "r-want": colours.ink_2,
        "g-edge": colours.line,
        "r-dot": colours.paper,
        "p-band": colours.pencil,
    }
    pencil = ("o-piece", "o-thin", "t-line", "t-end", "t-key", "d-gap", "r-intend", "p-line")
    fills = {
        "t-key": colours.paper,
        "r-band": colours.shade,
        "r-wantm": colours.ink_2,
        "r-int": colours.pencil,
        "r-dot": colours.ink,
        "r-ring": colours.paper,
        "g-fill": colours.ink,
        "g-ring": colours.paper,
        "ho": colours.pencil,
        "p-band": colours.shade,
        "p-fill": colours.ink,
        "paper": colours.paper,
    }
    texts = {
        "t-keyn": (colours.ink, 600, False),
        "t-val": (colours.ink, 500, True),
        "d-let": (colours.ink, 650, True),
        "r-num": (colours.ink, 400, False),
        "r-side": (colours.ink_2, 400, True),
        "l-text": (colours.ink, 400, False),
        "l-label": (colours.ink_2, 400, False),
    }
    classes = {}
    for name in {*_WIDTHS, *fills}:
        look = {"fill": fills.get(name, "none")}
        form = {}
        if name in _WIDTHS:
            px, mm = _WIDTHS[name]
            look["stroke"] = strokes.get(name, colours.pencil if name in pencil else colours.ink)
            look["stroke-width"] = f"{round(mm / SHEET_UNIT_MM, 3) if paper else px:g}"
            if name in _DASHES:
                scale = 1 / SHEET_UNIT_MM / 4 if paper else 1.0
                form["stroke-dasharray"] = " ".join(f"{float(dash) * scale:.3g}" for dash in _DASHES[name].split())
            if name in _IN_GARMENT and not paper:
                form["vector-effect"] = "non-scaling-stroke"
            if name == "o-piece":
                form["stroke-linejoin"] = "round"
        classes[name] = _attributes({"class": name} | ({} if styled else look) | form)
    for name, (colour, weight, halo) in texts.items():
        look = {"fill": colour, "font-size": f"{TEXT:g}", "font-weight": str(weight)}
        form = {}
        if halo:
            look |= {"stroke": colours.paper, "stroke-width": "3.5"}
            form = {"stroke-linejoin": "round", "paint-order": "stroke"}
        classes[name] = _attributes({"class": name} | ({} if styled else look) | form)
    alone = {} if styled else {"xmlns": "http://www.w3.org/2000/svg", "font-family": FONT}
    return Look(MappingProxyType(classes), MappingProxyType(alone))


def _attributes(attributes: Mapping[str, str]) -> str:
    return "".join(f' {name}="{value}"' for name, value in attributes.items())


SCREEN = _look(_LIGHT, paper=False)
"""The light look of a page."""
PAGE = _look(_LIGHT, paper=False, styled=True)
"""For a page whose own style says how every class looks: a third of the bytes, the same picture."""
PRINT = _look(_PRINT, paper=True)
"""Black on white, weights in millimetres, for a sheet of SHEET_UNIT_MM."""
