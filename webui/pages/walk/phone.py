"""Everything that the walk on a phone needs, so that no step of it needs the network."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import request

from fitcheck.advice.rounds import Step
from fitcheck.drawing.laid_tape import LaidTape, Picture
from fitcheck.records.readings import Reading
from fitcheck.words import point_name
from fitcheck.words.phone import READING, WALK
from webui.pages import ground
from webui.pages.walk.begun import Walk
from webui.pages.walk.steps import check_of, rules_for_phone, tape_for_phone, title_of


def phone_data(walk: Walk, drawn: Picture) -> dict[str, Any]:
    """Everything that the walk on a phone needs, so that no step of it needs the network."""
    references = walk.references
    return {
        "scope": f"{walk.make.id}/{walk.piece.id}/{walk.stage}/{walk.how}",
        "unit": walk.unit,
        "how": walk.how,
        "mark": ground.mark(),
        "parts": ground.parts(),
        "thumb": "left" if request.cookies.get("thumb") == "left" else "right",
        "by": ground.measurer(),
        "piece": walk.name,
        "stage": walk.stage_words,
        "garment_shares": walk.how == "both",
        "look": walk.round.look,
        "order": list(walk.round.steps),
        "times": dict(walk.round.times),
        "start": request.args.get("point") or "",
        "standing": walk.url("/standing"),
        "say": READING | WALK,
        "tape": tape_for_phone(),
        "rules": rules_for_phone(walk.unit),
        "steps": [_step(walk, step, references, drawn.tapes.get(step.point)) for step in walk.steps],
    }


def _step(walk: Walk, step: Step, references: Mapping[str, float], drawn: LaidTape | None) -> dict[str, Any]:
    """What the phone needs of one step.

    references  what each point is compared with [mm]
    drawn       its tape on the outline; None where it has none
    """
    return {
        "id": step.id,
        "point": step.point,
        "side": step.side,
        "title": title_of(step.point),
        "short": point_name(step.point),
        "how": walk.how_of(step),
        "whose": walk.said_of(step),
        "label": walk.label_of(step),
        "lies": drawn.lies if drawn is not None else "",
        "near": drawn.near if drawn is not None else "",
        "place": step.place.address,
        "readings": f"/api/v1/{step.place.kind}/{step.place.key}/readings/",
        "check": check_of(step, walk.piece, references, walk.how),
        "kept": [_kept(reading) for reading in step.readings],
    }


def _kept(reading: Reading) -> dict[str, Any]:
    return {
        "id": reading.id,
        "text": reading.text,
        "unit": reading.length.unit,
        "mm": reading.length.value_mm,
        "look": reading.look,
        "laying": reading.laying,
        "at": reading.at.isoformat() if reading.at else "",
    }
