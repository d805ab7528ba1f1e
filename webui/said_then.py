"""What was said of a make then, from the history of its records; worked out once."""

from __future__ import annotations

from fitcheck.records.makes import Make
from fitcheck.reports.said_then import SaidThen, answer_then
from fitcheck.store.households import state
from fitcheck.store.revisions import there
from webui.service import Service


def said_then(service: Service, make: Make) -> SaidThen:
    """Return the answer that the counts of a make were taken from, else the last before it was finished."""
    return service.cache.get("said_then", lambda: _of(service, make.id), lambda: _worked_out(service, make))


def _of(service: Service, key: str) -> tuple[str, str, int]:
    """What it is a function of: the history before a revision of the make, which is only ever added to."""
    with service.store.database.reading() as connection:
        return state(connection)[0], key, there(connection, "makes", key).revision


def _worked_out(service: Service, make: Make) -> SaidThen:
    if not make.taken:
        before = service.store.before_finishing(make.id)
        return SaidThen(None, answer_then(before, make.id) if before is not None else None)
    *_, last = make.taken
    before = service.store.before_taking(make.id, last.report)
    report = answer_then(before, make.id, last.report) if before is not None else None
    return SaidThen(last.at.astimezone().date(), report)
