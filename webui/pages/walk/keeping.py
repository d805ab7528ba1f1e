"""A reading on its way into the store: its round and laying, what it raises, and whether it is there already."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from typing import Any

from fitcheck.advice.rounds import Step
from fitcheck.records.faults import RecordsError
from fitcheck.records.questions.question import Question
from fitcheck.store.places import list_at
from webui.checks import check
from webui.pages import views
from webui.pages.walk.begun import Walk


def marks(walk: Walk, step: Step) -> dict[str, int]:
    """Round and laying of the next reading of a step."""
    look = walk.round.look or min(step.looks, 2) + 1
    return {"look": look, "laying": walk.round.laying(step, look)}


def is_there(step: Step, reading_id: str) -> bool:
    """Whether a reading of this id was kept already."""
    document = views.store().get(step.place.kind, step.place.key).doc
    return any(reading.get("id") == reading_id for reading in list_at(step.place, document))


def asked_about(step: Step, reading: Mapping[str, Any]) -> Question | None:
    """The question that a reading raises if it is kept. Raises RecordsError where it is refused."""
    document = views.store().get(step.place.kind, step.place.key).doc
    readings = list_at(step.place, document)
    if any(there.get("id") == reading["id"] for there in readings):
        return None
    readings.append(dict(reading))
    checked = check(views.store(), step.place.kind, step.place.key, document)
    if checked.faults:
        raise RecordsError(checked.faults)
    last = step.place.numbered(document).at(len(readings) - 1)
    return next((question for question in checked.questions if question.place == last), None)


def new_id() -> str:
    """A name for a reading, unlike any other."""
    return f"w{secrets.token_hex(16)}"
