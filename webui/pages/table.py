"""The Table, where one starts: what is to be done now, by what each make waits for, and the doors to a new one."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from flask import Blueprint, Response, request

from fitcheck.records.faults import FitcheckError
from fitcheck.records.makes import Make
from fitcheck.store.faults import FileFault, ImportConflicts, StaleWrite
from fitcheck.store.households import Listed
from fitcheck.words import deeds
from fitcheck.words import table as words
from fitcheck.words.dates import write_day
from webui.forms.typed import MOST_REVISION, whole_number
from webui.pages import ground, invented, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.lines import Group, Line, drawn, grouped, lines_of, own_first

pages = Blueprint("table", __name__)

A_PAGE = 16
"""Makes on a page: each that nobody looked at since it was changed takes 40 ms, and of one page no more than 1 s."""


@shown_by("table.html", "table")
class TablePage(Page):
    """Makes that are not finished, by what each waits for.

    alone   the only one of them, whose answer is the heading
    groups  all others;  mixed: some of them are invented and some are not
    today   in words
    """

    groups: list[Group]
    alone: Line | None
    head: str
    today: str
    mixed: bool
    pages: list[tuple[int, bool]]
    invented_here: bool
    empty: bool


@pages.get("/")
def table() -> Response:
    """What is to be done next on every make that is not finished."""
    household = views.store().household()
    under_way = [make for make in own_first(household.makes) if make.finished is None]
    makes, numbers = _page_of(under_way)
    lines = drawn(makes, household.garments)
    alone = lines[0] if len(under_way) == 1 else None
    groups = [] if alone else grouped(lines)
    counts = {group.key: len(group.lines) for group in groups}
    return views.show(
        TablePage(
            groups=groups,
            alone=alone,
            head=(alone.cast_on or alone.answer.head) if alone else words.head(counts, len(under_way)),
            today=write_day(date.today()),
            mixed=_mixed(lines),
            pages=numbers,
            invented_here=invented.here(household),
            empty=not household.makes and not household.garments,
        )
    )


@shown_by("makes.html", "makes")
class MakesPage(Page):
    """Every make with its dates: those under way, and the finished ones."""

    under_way: list[Line]
    finished: list[Line]
    head: str
    mixed: bool
    pages: list[tuple[int, bool]]
    deleted: list[Listed]


@pages.get("/makes")
def makes() -> Response:
    """Every make with its dates, the finished ones too."""
    household = views.store().household()
    every = sorted(own_first(household.makes), key=lambda make: make.finished is not None)
    makes, numbers = _page_of(every)
    lines = lines_of(makes)
    finished = sum(make.finished is not None for make in every)
    return views.show(
        MakesPage(
            under_way=[line for line in lines if not line.finished],
            finished=[line for line in lines if line.finished],
            head=words.makes_here(len(every) - finished, finished),
            mixed=_mixed(lines),
            pages=numbers,
            deleted=[
                kept
                for kept in views.store().list("makes", deleted=True).records
                if not invented.put_away(household, "makes", kept.key)
            ],
        )
    )


@pages.post("/unit")
def unit() -> Response:
    """Remember the unit on this device and go back."""
    chosen = request.form.get("unit")
    response = notices.go(request.form.get("back", "/"))
    if chosen in ("cm", "in"):
        response.set_cookie(views.UNIT_COOKIE, chosen, max_age=views.A_YEAR, httponly=True, samesite="Lax")
    return response


@pages.post("/undo")
def undo() -> Response:
    """Take the latest change of a record back; when it was changed again meanwhile, say so and change nothing."""
    back = request.form.get("back", "/")
    kind, key = request.form.get("kind", ""), request.form.get("key", "")
    revision = whole_number(request.form.get("revision", ""), 0, MOST_REVISION)
    try:
        done = views.store().undo(kind, key, -1 if revision is None else revision)
    except StaleWrite:
        return notices.go(back, deeds.NOT_UNDONE)
    except FileFault:
        raise  # answered as every form is that could not be kept
    except FitcheckError as error:
        return notices.go(back, str(error))
    if done.deleted and ground.shows(back, kind, key):
        back = ground.list_of(kind)
    redone = request.form.get("redo") == "yes"
    said = deeds.DONE_AGAIN if redone else deeds.UNDONE
    return notices.go(back, said, done, redo=not redone)


@pages.post("/invented")
def bring() -> Response:
    """Bring the invented household in."""
    try:
        invented.bring(views.store())
    except ImportConflicts as error:
        return notices.go("/", str(error))
    return notices.go("/", deeds.INVENTED_HERE)


@pages.post("/invented/remove")
def remove() -> Response:
    """Take the invented household away."""
    stayed = invented.remove(views.store())
    return notices.go("/", deeds.invented_gone(stayed))


def _mixed(lines: Sequence[Line]) -> bool:
    """Whether invented makes stand among others, so that they are to be told apart."""
    return len({line.invented for line in lines}) > 1


def _page_of(makes: Sequence[Make]) -> tuple[Sequence[Make], list[tuple[int, bool]]]:
    """The makes of the page that is asked for, and the numbers of all pages where there are several."""
    asked = request.args.get("page", "1")
    last = max(1, -(-len(makes) // A_PAGE))
    at = min(max(1, int(asked)), last) if asked.isdecimal() and len(asked) < 6 else 1
    shown = makes[(at - 1) * A_PAGE : at * A_PAGE]
    return shown, [(page, page == at) for page in range(1, last + 1)] if last > 1 else []
