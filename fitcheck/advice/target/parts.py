"""The terms that a wanted figure is made of, what was taken for granted, and why one is refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from fitcheck.advice.tape import Taped
from fitcheck.estimates.numbers import Assumed, CannotSay, Estimate
from fitcheck.estimates.readings import combine
from fitcheck.records.frozen import frozen
from fitcheck.records.points import Meant, Point

Source = Literal["garment", "numbers", "ease", "size_table", "overhang"]
SAID = frozenset({"number", "body", "ease", "wish", "wish_flat", "wish_round", "wish_piece"})
"""Codes of the terms that say what the garment should measure, as against what the piece adds to it."""


@frozen
class Part:
    """One term of what a piece must measure: weight x estimate [mm].

    code  figure (the garment's flat figure), number, body, ease, wish, growth, thickness, panel, front_band,
          band, seam_stitch, seam_row, seam_overlap, shoulder (a knitted shoulder that the sleeve answers)
    """

    code: str
    estimate: Estimate
    weight: float = 1.0


def total(parts: Iterable[Part]) -> Estimate:
    """Sum of the parts: values with their weights, variances and degrees of freedom of the uncertain ones."""
    exact, uncertain, weights = 0.0, [], []
    for part in parts:
        if part.estimate.u:
            uncertain.append(part.estimate)
            weights.append(part.weight)
        else:
            exact += part.weight * part.estimate.value
    if not uncertain:
        return Estimate(exact)
    spread = combine(*uncertain, weights=weights)
    if not exact:
        return spread
    return Estimate(spread.value + exact, spread.u, spread.dof, (), spread.source, spread.basis)


def minus(parts: Iterable[Part]) -> list[Part]:
    """The same parts with the other sign."""
    return [Part(part.code, part.estimate, -part.weight) for part in parts]


def per_flat(meant: Meant, point: Point) -> float:
    """Return the factor from what was said to the garment's flat figure (or to the piece, for `piece`)."""
    if meant != "round":
        return 1.0
    if not point.flat:
        raise Refused("round_of_a_length", point=point.key)
    return 0.5


@frozen
class Said:
    """What speaks for a point, before it is brought to the piece: terms on the garment's flat scale.

    on_piece  the terms are of the piece already
    """

    source: Source
    parts: tuple[Part, ...]
    figure: Estimate | None = None
    reference: Taped | None = None
    converted_from: tuple[str, ...] = ()
    on_piece: bool = False


class Refused(Exception):  # noqa: N818 - not an error of the caller: it becomes a value
    """A point that cannot be compared, with its reason."""

    def __init__(self, code: str, /, **values: Any) -> None:
        self.reason = CannotSay(code, **values)


@dataclass(slots=True)
class Notes:
    """What was taken for granted, and what should be asked, while a piece is compared."""

    assumed: dict[tuple[str, str], Assumed] = field(default_factory=dict)
    asks: list[str] = field(default_factory=list)

    def assume(self, code: str, about: str, value: float | None = None, u: float | None = None, unit: str = "") -> None:
        """Note an assumption, once."""
        if (code, about) not in self.assumed:
            self.assumed[code, about] = Assumed(code, about, value, u, unit)

    def share(self, code: str, about: str, share: float) -> None:
        """Note what an assumption brings of a difference's variance; the worst point is kept."""
        noted = self.assumed.get((code, about))
        if noted is not None and share > noted.share:
            self.assumed[code, about] = replace(noted, share=share)

    def ask(self, code: str) -> None:
        """Note a question, once."""
        if code not in self.asks:
            self.asks.append(code)
