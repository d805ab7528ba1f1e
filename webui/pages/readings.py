"""Readings of a make's piece and of what it must fit: listed per point, and where a question about one leads."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fitcheck.advice.wanted import stage_of
from fitcheck.records.faults import Question
from fitcheck.records.households import Household
from fitcheck.records.makes import Make, Piece
from fitcheck.records.readings import Reading
from fitcheck.report import Report
from fitcheck.store.places import Where
from fitcheck.words import piece_name, reference_name

_STEP = re.compile(r"([a-z_]+)(?:\[([^\]]*)\])?")
_LISTS = ("readings", "overhangs", "body", "head", "across", "along")


@dataclass(frozen=True, slots=True)
class Line:
    """One reading as it is listed.

    whose  the piece or the sweater, in words
    place  record and place in the store, as "makes grey pieces/back/stages/0/readings/chest"
    """

    text: str
    whose: str
    place: str
    id: str
    aside: str
    confirmed: bool
    told: str


def lines_of(found: Report, make: Make, household: Household) -> Mapping[str, list[Line]]:
    """Every reading behind the points of a report: of the piece at the stage that was judged, and of its reference."""
    lines: dict[str, list[Line]] = {}
    piece = next((one for one in make.pieces if one.id == found.head.piece), None)
    at = stage_of(piece) if piece else None
    if piece is not None and at is not None:
        stage = piece.stages[at]
        begin = f"makes {make.id} pieces/{piece.id}/stages/{at}"
        for name, points, what in (
            ("readings", stage.readings, piece_name(found.head)),
            ("overhangs", stage.overhangs, "overhang"),
        ):
            for key, listed in points.items():
                lines.setdefault(key, []).extend(_line(one, what, f"{begin}/{name}/{key}") for one in listed)
    garment = next((one for one in household.garments if one.id == make.fits.garment), None)
    occasion = next((one for one in garment.occasions if one.id == make.fits.occasion), None) if garment else None
    if garment is not None and occasion is not None:
        for key, listed in occasion.readings.items():
            place = f"garments {garment.id} occasions/{occasion.id}/readings/{key}"
            lines.setdefault(key, []).extend(_line(one, reference_name(found.head), place) for one in listed)
    return lines


def _line(one: Reading, whose: str, place: str) -> Line:
    text = one.text if one.unit is None or not one.text[-1:].isnumeric() else f"{one.text} {one.unit}"
    told = [f"laying {one.laying}" if one.laying else "", f"round {one.look}" if one.look > 1 else "", one.by]
    if one.at:
        told.append(f"{one.at:%Y-%m-%d %H:%M}")
    beside = ", ".join(part for part in told if part)
    return Line(text, whose, place, one.id or "", one.set_aside, one.confirmed, beside)


def where_of(place: str) -> Where:
    """The place that a form carries, taken apart."""
    kind, _, rest = place.partition(" ")
    key, _, inside = rest.partition(" ")
    return Where(kind, key, inside)


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with where its answer goes.

    kind, key  the record;  steps  the way to the value inside its document
    reading    whether it is a reading, which is set aside and added to, never overwritten
    """

    question: Question
    kind: str
    key: str
    steps: tuple[str | int, ...]

    @property
    def reading(self) -> bool:
        """Whether it is about one reading."""
        return len(self.steps) > 1 and isinstance(self.steps[-1], int) and any(one in _LISTS for one in self.steps)

    @property
    def can_keep(self) -> bool:
        """Whether it can be confirmed where it stands."""
        within = self.steps[-2] if len(self.steps) > 1 else ""
        return self.reading or (self.kind == "makes" and within in ("numbers", "counts"))


def asked_of(question: Question) -> Asked | None:
    """Take the place of a question apart: "makes[grey].pieces[0].stages[0].readings.chest[2]"."""
    steps: list[str | int] = []
    for part in re.findall(r"[^.\[\]]+|\[[^\]]*\]", question.place):
        inner = part[1:-1] if part.startswith("[") else None
        if inner is None:
            steps.append(part)
        else:
            steps.append(int(inner) if inner.isdecimal() and steps and len(steps) > 1 else inner)
    if len(steps) < 3 or not isinstance(steps[0], str):
        return None
    return Asked(question, steps[0], str(steps[1]), tuple(steps[2:]))


def answered(asked: Asked, document: dict[str, Any], text: str, unit: str) -> dict[str, Any]:
    """The document with the question answered.

    text  what is meant instead, with or without its unit; empty keeps what was typed
    """
    inside: Any = document
    for step in asked.steps[:-1]:
        inside = inside[step]
    last = asked.steps[-1]
    if asked.reading:
        old = inside[last]
        if not text:
            old["confirmed"] = True
            return document
        old["set_aside"] = f"typed again: {text}"
        same = {name: old[name] for name in ("laying", "look", "by", "tape") if name in old}
        inside.append({"text": text, "unit": unit, **same})
        return document
    if not text:
        inside[last]["confirmed"] = True
    else:
        inside[last] = {**inside[last], "length": text}
    return document


def standing(make: Make) -> list[Piece]:
    """The pieces that no other was knitted again for, in the order of the make."""
    replaced = {one.replaces for one in make.pieces}
    return [one for one in make.pieces if one.id not in replaced]
