"""The walk that a request is about: the piece being read, the records behind it, its steps, and the round."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any
from urllib.parse import urlencode

from flask import abort, request

from fitcheck.advice.rounds import How, Round, Step, fitting_how, points_to_read, round_of, steps_of
from fitcheck.advice.target.wanted import stage_of
from fitcheck.records.constructions import CONSTRUCTIONS
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen
from fitcheck.records.garments import Garment
from fitcheck.records.households import by_key
from fitcheck.records.makes import Make, Piece
from fitcheck.records.stages import PieceStage
from fitcheck.reports.open_points import open_points, times_of
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import NotFound
from fitcheck.words.names import short_stage
from fitcheck.words.phrases import spaced
from fitcheck.words.walking import how_overhang, tape_drawn, walk, where_the_tape_lies
from webui.pages import views
from webui.pages.walk.steps import (
    carried_on,
    title_of,
    wanted_mm,
)


@frozen
class Walk:
    """A piece being read: the records behind it, its steps, and the round that is read."""

    make: Make
    piece: Piece
    stage: int
    garment: Garment | None
    how: How
    steps: tuple[Step, ...]
    round: Round
    report: Report | None
    unit: str

    @property
    def name(self) -> str:
        """The piece in words."""
        return spaced(self.piece.piece)

    @property
    def order(self) -> list[Step]:
        """The steps of this round."""
        return [step for step in self.steps if step.id in self.round.steps]

    def step(self, step_id: str | None) -> Step | None:
        """A step by its id."""
        return by_key(self.steps, step_id)

    def is_done(self, step: Step) -> bool:
        """Whether the round has read it as often as it asks."""
        return self.round.is_done(step)

    @property
    def more(self) -> str:
        """What the pages of a round carry along whose point is read several times."""
        return next((f"{key}:{self.round.look}:{times}" for key, times in self.round.times.items()), "")

    def reading_of(self, step: Step) -> str:
        """Which of several readings of a step comes next: "reading 2 of 3"; empty where there is one."""
        times = self.round.times.get(step.id, 1)
        return walk("reading_of", number=min(self.round.read(step) + 1, times), count=times) if times > 1 else ""

    @property
    def may_be_finished_since(self) -> bool:
        """Whether the piece was only weighed as it came off the machine: it is washed before it is read."""
        return self.piece.stages[self.stage].kind == "off_machine" and not is_read(self.piece)

    @property
    def stage_words(self) -> str:
        """The stage that it is read at, in words."""
        return short_stage(self.piece.stages[self.stage].kind)

    @property
    def sweater(self) -> str:
        """The sweater beside it, in words."""
        return self.garment.name if self.garment else "sweater"

    def tape_at(self, point: str) -> str:
        """Where the tape goes at a point."""
        return where_the_tape_lies(point, CONSTRUCTIONS[self.make.construction], self.piece.piece)

    def how_of(self, step: Step) -> str:
        """Where the tape goes; for an overhang, how the piece is laid."""
        where = self.tape_at(step.point)
        return how_overhang(where) if self.how == "overhang" else where

    def said_of(self, step: Step) -> str:
        """Whose the point is, where two things lie on the table."""
        if self.how != "both":
            return ""
        return "sweater" if step.side == "garment" else self.name

    def title_of(self, step: Step) -> str:
        """A step's point as a heading."""
        return title_of(step.point)

    def label_of(self, step: Step) -> str:
        """The drawing in words."""
        return tape_drawn(self.name, self.tape_at(step.point))

    @property
    def points(self) -> list[str]:
        """The points of its steps, each once."""
        return list(dict.fromkeys(step.point for step in self.steps))

    @property
    def references(self) -> dict[str, float]:
        """What each point is compared with when it is typed [mm]."""
        return wanted_mm(self.make, self.piece.piece, self.garment)

    def url(self, name: str = "", **query: str | None) -> str:
        """A page of this walk."""
        said = {"piece": self.piece.id, "how": self.how, **query}
        return f"/makes/{self.make.id}/walk{name}?{urlencode({key: value for key, value in said.items() if value})}"


def records_of(make_key: str) -> tuple[Make, Piece | None]:
    """The make, and the piece that is asked for or was last begun; a page that is not there otherwise."""
    try:
        make: Make = views.store().get("makes", make_key).record
    except NotFound:
        abort(404)
    asked = request.args.get("piece")
    if asked is not None:
        piece = by_key(make.pieces, asked)
        if piece is None:
            abort(404)
        return make, piece
    every = make.standing
    return make, every[-1] if every else None


def is_read(piece: Piece) -> bool:
    """Whether anything was read on a piece, at any stage."""
    return any(stage.readings or stage.overhangs for stage in piece.stages)


def walk_of(make_key: str, kind: str = "") -> Walk | None:
    """The walk that a request is about; None where the piece has no stage to read it at.

    kind  of the stage that is read, where that is another than the piece has, as if it were begun; empty: as it is
    """
    make, piece = records_of(make_key)
    stage = stage_of(piece) if piece is not None else None
    if piece is None or stage is None:
        return None
    if kind and kind != piece.stages[stage].kind:
        make, piece, stage = _as_if_begun(make, piece, kind)
    garment = _garment(make)
    how = fitting_how(request.args.get("how"), make, piece, stage)
    points = points_to_read(make, piece, stage, garment)
    only = request.args.get("points", "").split(",")
    if asked := [key for key in points if key in only]:
        points = asked
    steps = steps_of(make, piece, stage, garment, how, points)
    report = _report(make, piece)
    next_one = request.args.get("round") == "next"
    round_ = round_of(steps, open_points(report), leave_unread=next_one)
    more = request.args.get("more", "")
    round_ = carried_on(round_, more, steps) if more else replace(round_, times=times_of(report, round_, steps))
    return Walk(make, piece, stage, garment, how, tuple(steps), round_, report, _unit())


def _as_if_begun(make: Make, piece: Piece, kind: str) -> tuple[Make, Piece, int]:
    """A make and its piece with a stage of a kind, and the number of that stage."""
    there = [place for place, stage in enumerate(piece.stages) if stage.kind == kind]
    if there:
        return make, piece, there[-1]
    begun = piece.model_copy(
        update={"stages": [*piece.stages, PieceStage.model_validate({"kind": kind, "on": date.today()})]}
    )
    pieces = [begun if other.id == piece.id else other for other in make.pieces]
    return make.model_copy(update={"pieces": pieces}), begun, len(piece.stages)


def with_stage(document: dict[str, Any], piece_id: str, kind: str) -> dict[str, Any]:
    """A make's document in which a piece has a stage of a kind: the one that it has, else one that begins today."""
    stages = by_id(document["pieces"], piece_id).setdefault("stages", [])
    if all(stage["kind"] != kind for stage in stages):
        stages.append({"kind": kind, "on": date.today().isoformat()})
    return document


def by_id(entries: Iterable[dict[str, Any]], key: str) -> dict[str, Any]:
    """The part of a document with an id."""
    return next(entry for entry in entries if entry["id"] == key)


def _unit() -> str:
    return "mm" if request.args.get("unit") == "mm" else views.unit()


def _garment(make: Make) -> Garment | None:
    if make.fits.garment is None:
        return None
    try:
        garment: Garment = views.store().get("garments", make.fits.garment).record
    except NotFound:
        return None
    return garment


def _report(make: Make, piece: Piece) -> Report | None:
    try:
        return views.listed_report_of(make.id, piece.id)
    except FitcheckError:
        return None
