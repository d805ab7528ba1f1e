"""Numbers with uncertainty: an estimate, an interval, a quantity to print, and "cannot say".

Lengths are millimetres inside.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field
from typing import Any, Literal

from fitcheck.estimates.student import MANY_DOF, student_quantile
from fitcheck.records.frozen import frozen

Basis = Literal["measured", "assumed", "mixed"]


@frozen
class Interval:
    """A closed interval at a level; both ends in the unit of the thing that it is about."""

    low: float
    high: float
    level: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


@frozen
class Estimate:
    """A value with its standard uncertainty and degrees of freedom.

    value   [unit of the readings, mm for lengths]
    u       standard uncertainty [same unit]
    dof     degrees of freedom of u (infinite when u is taken as known)
    outliers  places (0-based) of readings outside the critical range, to be questioned
    source  estimates with the same non-empty source share one variance estimate (one pool of repeatability),
            so their squares are added before Welch-Satterthwaite counts them
    basis   measured, assumed or mixed
    """

    value: float
    u: float = 0.0
    dof: float = math.inf
    outliers: tuple[int, ...] = ()
    source: str = ""
    basis: Basis = "measured"

    def interval(self, level: float = 0.90) -> Interval:
        """Two-sided interval value +- t u at the level (0 < level < 1)."""
        half = student_quantile(0.5 + level / 2, self.dof) * self.u if self.u else 0.0
        return Interval(self.value - half, self.value + half, level)


@frozen
class CannotSay:
    """An answer: it cannot be said. The sentences, why and what would help, are made by ``words.why_not``.

    code                  stable name of the reason
    why, what_would_help  one sentence each, where it was read back from data; else empty
    values                what the sentences name: keys of points and pieces, counts, dials

    Written as text it is the plain form: "too few points: points 2".
    """

    code: str
    why: str = ""
    what_would_help: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)

    def __init__(self, code: str, why: str = "", what_would_help: str = "", **values: Any) -> None:
        object.__setattr__(self, "code", code)
        object.__setattr__(self, "why", why)
        object.__setattr__(self, "what_would_help", what_would_help)
        object.__setattr__(self, "values", values)

    def __str__(self) -> str:
        named = "; ".join(f"{name.replace('_', ' ')} {value}" for name, value in self.values.items())
        return self.code.replace("_", " ") + (f": {named}" if named else "")

    def __bool__(self) -> bool:
        return False


@frozen
class Quantity:
    """A number as the report carries it.

    value, low, high, u [unit]; level: chance that the interval holds the truth; dof: degrees of freedom of u,
    None when many; basis: measured | assumed | mixed.
    """

    value: float
    low: float
    high: float
    level: float
    u: float
    dof: float | None
    unit: str
    basis: Basis = "measured"


def quantity(estimate: Estimate, unit: str, level: float = 0.90) -> Quantity:
    """Turn an estimate into the report's Quantity with its two-sided interval at the level."""
    limits = estimate.interval(level)
    dof = None if estimate.dof >= MANY_DOF else estimate.dof
    return Quantity(estimate.value, limits.low, limits.high, level, estimate.u, dof, unit, estimate.basis)


@frozen
class Assumed:
    """Something taken for granted because it was not said.

    code       stable name of the assumption
    about      what it is about: a point of measure, a piece, or empty for the whole make
    value, u   the value taken and its standard uncertainty [unit]; None where it is no number
    share      share of the variance of the difference that it brings, worst point [1]; 0 = costs no certainty
    """

    code: str
    about: str = ""
    value: float | None = None
    u: float | None = None
    unit: str = ""
    share: float = 0.0
