"""Advised counts become the planned ones: exactly those that were shown, by one change, once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any

from fitcheck.advice.rest.taking import CountToTake
from fitcheck.records.faults import FitcheckError
from fitcheck.records.makes import Make
from fitcheck.reports.shapes import Report
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from fitcheck.words import deeds
from webui.service import Service

Counts = Mapping[str, Mapping[str, int]]
"""Counts per kind of piece and point of measure."""


class AnswerChanged(FitcheckError):  # noqa: N818 - it names what is the matter
    """The answer is another than the one that was shown; `report` is the new one."""

    def __init__(self, report: Report) -> None:
        super().__init__(deeds.ANSWER_CHANGED)
        self.report = report


def as_counts(to_take: Sequence[CountToTake]) -> dict[str, dict[str, int]]:
    """Counts to take per kind of piece and point of measure."""
    counts: dict[str, dict[str, int]] = {}
    for count in to_take:
        counts.setdefault(count.piece, {})[count.point] = count.count
    return counts


def take_counts(service: Service, key: str, piece: str | None, counts: Counts, digest: str) -> Stored:
    """Make the counts that a report advised the planned ones, and return the make.

    piece   key of the piece that the report is about; None is the last one that was read
    counts  the counts as they were shown
    digest  of the report that showed them

    What was taken before, from the same report, is not taken again. Raises AnswerChanged where the report or its
    counts are others now, NotFound, ReportError.
    """
    store = service.store
    while True:
        stored = store.get("makes", key)
        if _taken_before(stored.record, counts, digest):
            return stored
        report = service.answers.of(key, piece).report
        if report.digest != digest or as_counts(report.to_take) != counts:
            raise AnswerChanged(report)
        document = stored.doc
        for count in report.to_take:
            document.setdefault("planned", {}).setdefault(count.piece, {})[count.point] = count.count
        at = datetime.now(UTC).isoformat(timespec="seconds")
        document["taken"] = [*document.get("taken", []), *(_written(count, at, digest) for count in report.to_take)]
        try:
            return store.put("makes", key, document, stored.revision)
        except StaleWrite:
            continue


def _written(count: CountToTake, at: str, digest: str) -> dict[str, Any]:
    before = {} if count.instead_of is None else {"instead_of": count.instead_of}
    return {"piece": count.piece, "point": count.point, "count": count.count, **before, "at": at, "report": digest}


def _taken_before(make: Make, counts: Counts, digest: str) -> bool:
    before: dict[str, dict[str, int]] = {}
    for taken in make.taken:
        if taken.report == digest:
            before.setdefault(taken.piece, {})[taken.point] = taken.count
    return bool(before) and before == counts
