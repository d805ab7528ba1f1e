"""Deeds that are done over the API: those of the plan that was shown, or refused with the new answer."""

from __future__ import annotations

import re
from typing import Any

from flask import Response

from fitcheck.records.refusals import shown
from webui.api.calls import Call, refuse
from webui.api.computed import in_words
from webui.api.problems import problem
from webui.api.records import changed
from webui.service import service
from webui.taking import AnswerChanged
from webui.ticking import MOST_DEEDS, tick

_DIGEST = re.compile(r"[0-9a-f]{64}")


def keep(call: Call) -> Response:
    """Keep which deeds of the advised plan are done; the same request once more changes nothing."""
    body = call.object(("deeds", "report"), needed=("deeds", "report"))
    deeds, digest = _numbers(body["deeds"]), body["report"]
    if not isinstance(digest, str) or not _DIGEST.fullmatch(digest):
        refuse("report", shown(digest), "The digest of the report that showed the deeds.")
    try:
        return changed(tick(service(), call.path["key"], call.key("piece"), deeds, digest))
    except AnswerChanged as error:
        return problem("answer-changed", str(error), report=error.report.digest, verdict=in_words(error.report, "cm"))


def _numbers(deeds: Any) -> list[int]:
    """The numbers of deeds that were sent."""
    if not isinstance(deeds, list):
        refuse("deeds", shown(deeds), "The numbers of the deeds that are done.")
    for place, number in enumerate(deeds):
        if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= MOST_DEEDS:
            refuse(f"deeds.{place}", shown(number), f"A whole number from 1 to {MOST_DEEDS}.")
    return deeds
