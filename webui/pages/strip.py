"""The strip of a form that is filled with a tape: drawings, what is said of each field, and the style that lights up.

Which tape lights up is a rule of style, `form:has(.at-chest:focus-within) .of-chest`, a group of them for each point of
the catalogue: it needs no script.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cache

from flask import Blueprint, Response, make_response, request
from markupsafe import Markup

from fitcheck.drawing.strip import PIECES, kind_of_point, strip_drawings
from fitcheck.drawing.tapes import in_order
from fitcheck.records.constructions import CONSTRUCTIONS, USUAL
from fitcheck.records.frozen import frozen
from fitcheck.records.points import POINTS
from webui.forms.garments import point_heading
from webui.pages import views

pages = Blueprint("strip", __name__)


@frozen
class Strip:
    """A strip.

    drawings  kind, viewBox and svg of each outline; the first is shown while no field is in hand
    says      key, heading and where the tape goes, for each point
    figures   of the points that have a disc
    """

    drawings: Sequence[tuple[str, str, Markup]]
    says: Sequence[tuple[str, str, str]]
    figures: Mapping[str, int]


def strip_of(
    keys: Sequence[str], *, piece: str = "", construction: str = USUAL, figures: Mapping[str, int] | None = None
) -> Strip:
    """The strip for fields of some points; piece, construction, figures: as `strip_drawings` takes them."""
    built = construction if construction in CONSTRUCTIONS else USUAL
    drawings = strip_drawings(keys, piece=piece, construction=built, figures=figures)
    return Strip(
        [(drawing.kind, drawing.box, views.svg_markup(drawing.inside)) for drawing in drawings],
        [(key, point_heading(key), POINTS[key].tape) for key in keys],
        figures or {},
    )


def figures_of(shown: Sequence[str], there: Iterable[str] = ()) -> dict[str, int]:
    """The figures of points that have a field: those that they have on every drawing of the record, the body first.

    there  points that it has been read at
    """
    every = {*shown, *there}
    ordered = [key for kind in PIECES for key in in_order(key for key in every if kind_of_point(key) == kind)]
    return {key: ordered.index(key) + 1 for key in shown}


@pages.get("/tapes.css")
def tapes() -> Response:
    """The rules that light up the tape of the field in hand."""
    response = make_response(tapes_css())
    response.mimetype = "text/css"
    response.headers["Cache-Control"] = "private, no-cache"
    response.add_etag()
    response.make_conditional(request)
    return response


@cache
def tapes_css() -> str:
    """The rules, a group for each point of the catalogue."""
    of_any = f":is({','.join(f'.at-{key}' for key in POINTS)})"
    rules = [
        f"form:has({of_any}:focus-within) .rest-say{{display:none}}",
        f"form:has({of_any}:focus-within) .hand :is(.t-line,.t-end,.t-key){{stroke:var(--line)}}",
    ]
    for key in POINTS:
        hand, kind = f"form:has(.at-{key}:focus-within) .hand", kind_of_point(key)
        rules += [
            f"{hand} .of-{key} :is(.t-line,.t-end){{stroke:var(--pencil);stroke-width:3.4}}",
            f"{hand} .of-{key} .t-band{{stroke:var(--tint)}}",
            f"{hand} .of-{key} .t-key{{fill:var(--pencil);stroke:var(--pencil)}}",
            f"{hand} .of-{key} .t-keyn{{fill:var(--paper)}}",
            f"{hand} .of-{key}{{visibility:visible}}",
            f"{hand} .for-{key}{{display:block}}",
            f"{hand}:has(.on-{kind}) .on:not(.on-{kind}){{display:none}}",
            f"{hand} .on-{kind}{{display:block}}",
        ]
    return "\n".join(rules) + "\n"
