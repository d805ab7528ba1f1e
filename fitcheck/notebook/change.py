"""Change in finishing: how much a fabric grew or shrank between two measurings.

Inside it is 100 ln(after/before) [log points], which adds up over washes; shown it is percent with the sign
of ISO 5077, minus = shrinkage.
"""

from __future__ import annotations

import math

from fitcheck.estimates.numbers import Basis, Estimate, Interval
from fitcheck.estimates.readings import ReadingsError, combine
from fitcheck.records.frozen import frozen


@frozen
class Change:
    """Dimensional change of one thing in one direction.

    log_percent  y = 100 ln(after/before) [log points]
    u            standard uncertainty of y [log points]
    percent      100 (after/before - 1), minus = shrinkage (ISO 5077) [%]
    dof          degrees of freedom of u
    basis        measured, assumed or mixed
    """

    log_percent: float
    u: float
    percent: float
    dof: float
    basis: Basis = "measured"

    def interval(self, level: float = 0.90) -> Interval:
        """Two-sided interval in percent, from the one in log points [%]."""
        inside = Estimate(self.log_percent, self.u, self.dof).interval(level)
        return Interval(_percent(inside.low), _percent(inside.high), level)


def finishing_change(before: Estimate | float, after: Estimate | float) -> Change:
    """Change from one stage of finishing to a later one, one direction.

    y = 100 ln(after/before), u^2 = 100^2 (u_after^2/after^2 + u_before^2/before^2) [log points], degrees of
    freedom by Welch-Satterthwaite; the scale of the tape cancels when both were read with the same one.

    before, after  the same distance at both stages [one unit]; a plain number is taken as exact

    Errors: ReadingsError for anything that is not above zero.
    Source: ISO 5077:2007 (sign, length and width separately); AATCC 135.

    >>> round(finishing_change(29.0, 28.0).percent, 2)  # stitches of a swatch 29 -> 28 mm apart: shrunk
    -3.45
    """
    start, end = _log_points(before, "before"), _log_points(after, "after")
    y = combine(end, start, weights=(1.0, -1.0))
    return Change(y.value, y.u, _percent(y.value), y.dof, y.basis)


def _log_points(given: Estimate | float, name: str) -> Estimate:
    known = given if isinstance(given, Estimate) else Estimate(float(given))
    if not (math.isfinite(known.value) and known.value > 0.0):
        raise ReadingsError(f"{name}: read {known.value:g}; a length above 0 is needed to take a ratio.")
    return Estimate(
        100.0 * math.log(known.value),
        100.0 * known.u / known.value,
        known.dof,
        source=known.source,
        basis=known.basis,
    )


def _percent(log_points: float) -> float:
    return 100.0 * math.expm1(log_points / 100.0)
