"""Several swatches at one stage, typed in one grid."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from flask import Blueprint, Response

from fitcheck.records.frozen import frozen
from fitcheck.words import deeds, shelves
from fitcheck.words.dates import write_day
from fitcheck.words.figures import Tape
from webui.forms.drafts import Draft
from webui.forms.fields import Filled
from webui.forms.several_swatches import (
    FIRST_ROWS,
    MOST_SWATCHES,
    SETTINGS,
    SEVERAL,
    lines_of,
    per_span,
    read_lines,
    refuse_line,
)
from webui.forms.swatches import KNITTED
from webui.pages import given_back, ground, views
from webui.pages.context import Page, shown_by
from webui.pages.shelves.swatches import made_up_name

pages = Blueprint("several_swatches", __name__, url_prefix="/swatches")
ROOM = "swatches"
KIND = "swatches"


@frozen
class Grid:
    """The grid as a page draws it.

    form    its fields
    gives   what the readings of each line give as they stand: "24.6 st · 35.2 rows"; empty where nothing yet
    more    whether one more line fits
    keep    the button that keeps it
    """

    form: Filled
    gives: Sequence[str]
    more: bool
    keep: str


def grid_of(draft: Draft) -> Grid:
    """The grid of a draft."""
    tape, lines = ground.tape(), lines_of(draft)
    gives = [_gives(per_span(draft, number, ground.unit(), tape.span_mm), tape) for number in range(lines)]
    typed = sum(bool(draft.text(f"across_{number}")) for number in range(lines))
    return Grid(ground.filled(SEVERAL, draft), gives, lines < MOST_SWATCHES, shelves.keep_lines(typed))


def _gives(figures: Mapping[str, float], tape: Tape) -> str:
    stitches, rows = (tape.number(figures[name], 1) if name in figures else "" for name in ("stitches", "rows"))
    return shelves.own_gauge(stitches, rows)


def empty_draft() -> Draft:
    """An empty grid: yarn, machine, settings and marks as for the last swatch."""
    household = ground.household()
    typed = {**SEVERAL.begin(), "lines": str(FIRST_ROWS), "on": write_day(date.today())}
    if household.swatches:
        last = household.swatches[-1]
        written = KNITTED.write(last, ground.unit())
        typed |= {name: written[name] for name in ("yarn", "machine", *SETTINGS)}
        typed |= {name: str(span.between) for name, span in (("stitches", last.stitches), ("rows", last.rows)) if span}
    elif len(household.machines) == 1:
        typed["machine"] = household.machines[0].id
    return ground.begun(typed)


@shown_by("several_swatches.html", ROOM)
class SeveralSwatchesPage(Page):
    """The grid by itself."""

    grid: Grid


@pages.get("/several")
@given_back.draws_form
def several() -> Response:
    """An empty grid."""
    return _show(empty_draft())


@pages.post("/several")
def add() -> Response:
    """One more line, or every line as a swatch of its own."""
    draft = ground.draft()
    if draft.text("do") == "line":
        draft.typed["lines"] = str(min(lines_of(draft) + 1, MOST_SWATCHES))
        return _show(draft)
    lines = read_lines(draft, ground.unit(), ground.measurer())
    if not draft.fits:
        return _show(draft, 422)
    kept = []
    for number, (line, document) in enumerate(lines):
        name = made_up_name(ground.household(), document)
        stored = line.keep_new(ground.store(), KIND, name, {**document, "name": name})
        if stored is None:
            refuse_line(draft, number, line)
            return _show(draft, 422)
        kept.append(stored)
    only = kept[0] if len(kept) == 1 else None
    return ground.go("/swatches", deeds.swatches_kept(len(kept)), only)


def _show(draft: Draft, status: int = 200) -> Response:
    return views.show(SeveralSwatchesPage(grid_of(draft)), status)
