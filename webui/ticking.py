"""Deeds are ticked as done: exactly those that are, of the plan that was shown, however often it is said."""

from __future__ import annotations

from collections.abc import Iterable

from fitcheck.reports.plans import plan_of
from fitcheck.store.faults import StaleWrite
from fitcheck.store.stored import Stored
from webui.service import Service
from webui.taking import AnswerChanged

MOST_DEEDS = 40
"""The largest number of a deed."""


def tick(service: Service, key: str, piece: str | None, deeds: Iterable[int], digest: str) -> Stored:
    """Keep which deeds of a plan are done, and return the make.

    piece   key of the piece that the report is about; None is the last one that was read
    deeds   their numbers, all of them: the others are not done
    digest  of the report that showed them

    Raises AnswerChanged where the report is another now, NotFound, ReportError.
    """
    while True:
        stored = service.store.get("makes", key)
        report = service.answers.of(key, piece).report
        if report.digest != digest:
            raise AnswerChanged(report)
        document, own = stored.doc, report.head.piece
        others = [done for done in document.get("done", []) if done["piece"] != own]
        numbers = sorted(set(deeds))
        document["done"] = [*others, {"piece": own, "plan": plan_of(report), "deeds": numbers}] if numbers else others
        try:
            return service.store.put("makes", key, document, stored.revision)
        except StaleWrite:
            continue
