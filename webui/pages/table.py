"""The Table, where one starts: what is to be done now, one line per make, and the doors to a new one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import Blueprint, Response, request

from fitcheck import words
from fitcheck.records.faults import FitcheckError
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Advice, Report
from fitcheck.store.faults import ImportConflicts, StaleWrite, StoreError
from fitcheck.store.households import Listed
from fitcheck.words import deeds
from fitcheck.words import pages as say
from fitcheck.words.dates import write_day
from webui.pages import invented, notices, views
from webui.pages.context import Page, shown_by
from webui.pages.make.path import WAITING

pages = Blueprint("table", __name__)

A_PAGE = 10
ALL_A_PAGE = 24


@shown_by("table.html", "table")
class TablePage(Page):
    """Makes that are not finished, with what each waits for."""

    lines: list[dict[str, Any]]
    alone: dict[str, Any] | None
    head: Any | str
    pages: list[tuple[int, bool]]
    invented_here: bool
    empty: bool


@pages.get("/")
def table() -> Response:
    """One line per make that is not finished, with its next act."""
    household = views.store().household()
    under_way = [make for make in _own_first(household.makes) if make.finished is None]
    lines, numbers = _page_of(under_way, A_PAGE)
    alone = lines[0] if len(under_way) == 1 else None
    return views.show(
        TablePage(
            lines=lines,
            alone=alone,
            head=alone["answer"].head if alone else _head(len(under_way), lines),
            pages=numbers,
            invented_here=invented.here(household),
            empty=not household.makes and not household.garments,
        )
    )


@shown_by("makes.html", "makes")
class MakesPage(Page):
    """Every make, the finished ones too."""

    lines: list[dict[str, Any]]
    count: int
    pages: list[tuple[int, bool]]
    deleted: list[Listed]


@pages.get("/makes")
def makes() -> Response:
    """Every make, the finished ones too."""
    household = views.store().household()
    every = _own_first(household.makes)
    lines, numbers = _page_of(every, ALL_A_PAGE)
    return views.show(
        MakesPage(
            lines=lines,
            count=len(every),
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
    revision = request.form.get("revision", "")
    try:
        done = views.store().undo(kind, key, int(revision) if revision.isdecimal() else -1)
    except StaleWrite:
        return notices.go(back, deeds.NOT_UNDONE)
    except FitcheckError as error:
        return notices.go(back, str(error))
    redone = request.form.get("redo") == "yes"
    said = deeds.DONE_AGAIN if redone else deeds.UNDONE
    return notices.go(back, said, done, redo=not redone)


@pages.post("/invented")
def bring() -> Response:
    """Bring the invented household in."""
    try:
        invented.bring(views.store())
    except (ImportConflicts, StoreError) as error:
        return notices.go("/", str(error))
    return notices.go("/", deeds.INVENTED_HERE)


@pages.post("/invented/remove")
def remove() -> Response:
    """Take the invented household away."""
    stayed = invented.remove(views.store())
    return notices.go("/", deeds.invented_gone(stayed))


def _own_first(makes: Sequence[Make]) -> list[Make]:
    """The latest first, and the invented ones after all others."""
    latest = makes[::-1]
    return [make for made_up in (False, True) for make in latest if invented.is_invented(make.id) == made_up]


def _line(make: Make) -> dict[str, Any]:
    latest = views.report_of(make.id)
    report = latest if make.finished else _waiting(make, latest)
    return {
        "key": make.id,
        "piece": report.head.piece if report is not latest else "",
        "name": make.name,
        "wearer": report.head.wearer,
        "answer": views.answer_of(report),
        "waits": words.waits_words(report),
        "changed": views.changed_since_looked(make.id, latest.digest),
        "finished": write_day(make.finished),
        "invented": invented.is_invented(make.id),
    }


def _waiting(make: Make, latest: Report) -> Report:
    """The report on the piece that still waits for something, the last begun first; else on the latest."""
    pieces = [piece for piece in reversed(make.standing) if piece.stages]
    for piece in pieces if len(pieces) > 1 else []:
        report = latest if piece.id == latest.head.piece else views.report_of(make.id, piece.id)
        if isinstance(report.recommendation, Advice) and report.recommendation.action in WAITING:
            return report
    return latest


def _head(count: int, lines: list[dict[str, Any]]) -> str:
    return say.under_way(count, sum(bool(line["waits"]) for line in lines))


def _page_of(makes: Sequence[Make], a_page: int) -> tuple[list[dict[str, Any]], list[tuple[int, bool]]]:
    """The lines of the page that is asked for, and the numbers of all pages where there are several."""
    asked = request.args.get("page", "1")
    last = max(1, -(-len(makes) // a_page))
    at = min(max(1, int(asked)), last) if asked.isdecimal() and len(asked) < 6 else 1
    lines = [_line(make) for make in makes[(at - 1) * a_page : at * a_page]]
    return lines, [(page, page == at) for page in range(1, last + 1)] if last > 1 else []
