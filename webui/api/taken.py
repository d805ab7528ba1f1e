"""Advised counts over the API: taken as they were shown, or refused with the new answer."""

from __future__ import annotations

import json
import re
from typing import Any

from flask import Response

from fitcheck.records.base import MOST_COUNTED
from fitcheck.records.points import KINDS, POINTS
from fitcheck.records.refusals import shown
from webui.api.calls import Call, refuse
from webui.api.computed import in_words
from webui.api.problems import problem
from webui.api.records import changed
from webui.service import service
from webui.taking import AnswerChanged, Counts, as_counts, take_counts

_DIGEST = re.compile(r"[0-9a-f]{64}")


def take(call: Call) -> Response:
    """Make the advised counts the planned ones; the same request once more changes nothing."""
    body = call.object(("counts", "report"), needed=("counts", "report"))
    counts, digest = _counts(body["counts"]), body["report"]
    if not isinstance(digest, str) or not _DIGEST.fullmatch(digest):
        refuse("report", shown(digest), "The digest of the report that showed the counts.")
    try:
        return changed(take_counts(service(), call.path["key"], call.key("piece"), counts, digest))
    except AnswerChanged as error:
        new = error.report
        said = {"report": new.digest, "counts": as_counts(new.to_take), "verdict": in_words(new, "cm")}
        return problem("answer-changed", str(error), **said)


def _counts(counts: Any) -> Counts:
    """The counts that were sent, each a whole number at a point of a piece."""
    if not isinstance(counts, dict) or not counts:
        accepts = 'What `to_take` of the report lists, per kind of piece and point: {"front": {"chest": 126}}.'
        refuse("counts", shown(counts), accepts)
    for kind, of_points in counts.items():
        if kind not in KINDS:
            refuse("counts", shown(kind), f"One of {', '.join(KINDS)}.")
        if not isinstance(of_points, dict) or not of_points:
            refuse(f"counts.{kind}", shown(of_points), "Counts per point of measure.")
        for point, count in of_points.items():
            if point not in POINTS:
                refuse(f"counts.{kind}", shown(point), "A point of measure.")
            if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_COUNTED:
                refuse(f"counts.{kind}.{point}", json.dumps(count)[:40], f"A whole number from 1 to {MOST_COUNTED}.")
    return counts
