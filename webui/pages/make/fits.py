"""What a make must fit: a garment and one of its measurings, numbers, body and ease; wishes and what is allowed."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.records.lengths import write_length
from fitcheck.records.makes import Make
from fitcheck.records.places import Place
from fitcheck.records.points import BODY, DECIDING_FIRST, POINTS, Point
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.fits import FITS
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make import forms as make_forms
from webui.pages.make.found import report_or_404
from webui.pages.make.path import Tick, path_of
from webui.pages.strip import Strip, figures_of, strip_of

pages = Blueprint("fits", __name__)

THEN = ("body_length", "to_underarm", "hem", "neck_width")


def _points(make: Make) -> tuple[list[str], list[str]]:
    """The points of the make: those to see at once, and those that stand folded."""
    kinds = {piece.piece for piece in make.pieces} or {"back", "front", "sleeve"}
    here = [key for key, point in POINTS.items() if not point.pieces or kinds & set(point.pieces)]
    said = {*make.fits.numbers, *make.fits.ease, *make.wishes, *make.tolerances}
    sleeve = () if kinds & set(BODY) else ("upper_arm", "sleeve_to_underarm", "cuff")
    wanted = [*DECIDING_FIRST, *sleeve, *THEN]
    first = [key for key in here if key in wanted or key in said]
    return sorted(first, key=lambda key: wanted.index(key) if key in wanted else len(wanted)), [
        key for key in here if key not in first
    ]


@shown_by("fits.html", "makes")
class FitsPage(Page):
    """What a make must fit: garment, numbers, body and ease; wishes and what is allowed."""

    make: Make
    ticks: tuple[Tick, ...]
    form: Filled
    first: list[Point]
    others: list[Point]
    usual: dict[str, list[str]]
    from_table: str
    open: bool
    strip: Strip


def _form(draft: Draft, status: int, make: Make) -> Response:
    first, rest = _points(make)
    report = report_or_404(make.id, None)
    return views.show(
        FitsPage(
            make=make,
            ticks=path_of(make, report, "What to fit"),
            form=ground.filled(FITS, draft, Place("makes", make.id)),
            first=[POINTS[key] for key in first],
            others=[POINTS[key] for key in rest],
            usual={key: [_usual(mm) for mm in point.tolerance] for key, point in POINTS.items()},
            from_table=make.size or "" if not make.fits.is_said and make.size_table else "",
            strip=strip_of(
                [*first, *rest],
                construction=make.construction,
                figures=figures_of(first, (point.key for point in report.points)),
            ),
            open=any(name.rpartition("-")[2] in rest for name in draft.refusals),
        ),
        status,
    )


make_forms.register(pages, FITS, _form, "fits", "what it must fit")


def _usual(mm: float) -> str:
    return views.marked(write_length(mm, views.unit()))
