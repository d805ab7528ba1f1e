"""The rest of a sweater: its seams, and its yarn."""

from __future__ import annotations

from flask import Blueprint, Response

from fitcheck.records.makes import Make
from fitcheck.words.seams import SeamsSaid, seams_said
from fitcheck.words.yarn_left import YarnSaid, yarn_said
from webui.beginning import rest_of_make
from webui.pages import ground, views
from webui.pages.context import Page, shown_by
from webui.pages.make.found import make_of, report_or_404
from webui.pages.make.path import Tick, path_of
from webui.service import service

pages = Blueprint("the_rest", __name__)


@shown_by("make_seams.html", "makes")
class SeamsPage(Page):
    """What is sewn to what, in the order of making up.

    longest  the longest edge of all: bars are to one scale [mm]
    """

    make: Make
    ticks: tuple[Tick, ...]
    said: SeamsSaid
    longest: float


@shown_by("make_yarn.html", "makes")
class YarnPage(Page):
    """Whether the yarn lasts, and what each piece takes.

    weigh  where the weight of a piece is typed; empty without a piece
    """

    make: Make
    ticks: tuple[Tick, ...]
    said: YarnSaid
    weigh: str


@pages.get("/makes/<key>/rest/seams")
def seams(key: str) -> Response:
    """Every pair of edges that is sewn together, and whether it fits."""
    record = make_of(key)
    the_rest, _ = rest_of_make(service(), key)
    said = seams_said(the_rest.answer, ground.tape())
    longest = max((edge.mm for seam in said.seams for edge in seam.edges), default=1.0)
    return views.show(SeamsPage(record, path_of(record, report_or_404(key, None), "The rest"), said, longest))


@pages.get("/makes/<key>/rest/yarn")
def yarn(key: str) -> Response:
    """Whether the yarn lasts for the pieces still to knit."""
    record = make_of(key)
    the_rest, _ = rest_of_make(service(), key)
    weigh = f"/makes/{key}/pieces/{record.standing[-1].id}" if record.standing else ""
    ticks = path_of(record, report_or_404(key, None), "The rest")
    return views.show(YarnPage(record, ticks, yarn_said(the_rest.answer, ground.tape()), weigh))
