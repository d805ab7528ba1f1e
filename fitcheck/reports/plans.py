"""What tells one plan from another, so that what was ticked of the one is not done of the other."""

from __future__ import annotations

import hashlib
import json

from fitcheck.advice.alteration import Alteration
from fitcheck.estimates.numbers import CannotSay
from fitcheck.reports.shapes import Report

STEP_MM = 5.0
"""Changes without a count that differ by less than this are the same deed [mm] (assumed: what a tape tells apart)."""
LONG = 16
"""Hexadecimal digits of a plan."""


def plan_of(report: Report) -> str:
    """The advised plan as a digest: the piece, the way to go on and what it changes; empty where nothing is advised.

    Further readings leave it as it is while they change no deed.
    """
    advice = report.recommendation
    if isinstance(advice, CannotSay):
        return ""
    action = next((action for action in report.actions if action.code == advice.action), None)
    if action is None:
        return ""
    told = [
        report.head.piece,
        action.code,
        action.dial,
        action.rip,
        action.stretch_direction,
        action.stretch_percent and round(action.stretch_percent),
        sorted(map(_changed, action.alterations)),
    ]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:LONG]


def _changed(alteration: Alteration) -> list[str]:
    """What answers at which point, by how much: the count where there is one."""
    counted = alteration.count if alteration.count is not None else alteration.stitches
    amount = round(alteration.mm / STEP_MM) if counted is None else counted
    return [alteration.by, alteration.point, str(amount)]
