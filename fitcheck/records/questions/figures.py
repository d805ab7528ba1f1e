"""What was typed per point of one garment, piece or body, and what of it is already asked about."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from statistics import median
from typing import NamedTuple

from fitcheck.records.base import as_typed
from fitcheck.records.lengths import Length
from fitcheck.records.places import Place
from fitcheck.records.questions.question import Odd, Question, Slip
from fitcheck.records.readings import Reading


class Figure(NamedTuple):
    """A reading that counts, or a wanted figure, with its place.

    around  what it stands in: its list of readings, or the wanted numbers
    step    its number in that list, or its point
    share   what one of its millimetres is of the flat garment or of the piece: 0.5 for a round figure [1]
    """

    around: Place
    step: int | str
    length: Length
    confirmed: bool = False
    laying: object = None
    share: float = 1.0

    @property
    def place(self) -> Place:
        """Where it stands."""
        return self.around.at(self.step)

    @property
    def read(self) -> str:
        """As typed, with the unit that it was read in."""
        return as_typed(self.length)

    @property
    def mm(self) -> float:
        """Its length to compare with its fellows [mm]."""
        return self.length.value_mm * self.share

    @property
    def unit(self) -> str:
        """The unit that it was read in."""
        return self.length.unit

    def question(self, code: str, odd: Odd, slip: Slip | None = None) -> Question:
        """A question about it."""
        return Question(self.place, self.read, self.unit, code, odd, slip)


@dataclass(slots=True)
class Figures:
    """Figures of one garment, piece or body at one time, per point, and what is already asked about."""

    points: dict[str, list[Figure]]
    asked: set[Place] = field(default_factory=set)
    _middles: dict[str, float | None] = field(default_factory=dict)
    _sure: dict[str, list[float]] = field(default_factory=dict)
    _in_order: dict[str, list[float]] = field(default_factory=dict)
    _stand: dict[Place, tuple[str, float]] = field(default_factory=dict)

    def is_asked(self, figure: Figure) -> bool:
        """Whether it is asked about."""
        return bool(self.asked) and figure.place in self.asked

    def unasked(self, point: str) -> list[Figure]:
        """The figures of a point that are not in question."""
        figures = self.points[point]
        return [figure for figure in figures if figure.place not in self.asked] if self.asked else figures

    def sure(self, point: str) -> list[float]:
        """The same as lengths [mm]."""
        lengths = self._sure.get(point)
        if lengths is None:
            lengths = self._sure[point] = [figure.mm for figure in self.unasked(point)]
        return lengths

    def middle_of_fellows(self, point: str, figure: Figure) -> float | None:
        """Median of the other figures of a point that are not in question [mm]; None without any.

        The figure itself is not in question. Lengths are put in order once, however many figures are looked at.
        """
        lengths = self._in_order.get(point)
        if lengths is None:
            lengths = self._in_order[point] = sorted(self.sure(point))
        fellows = len(lengths) - 1
        if fellows < 1:
            return None
        own = bisect_left(lengths, figure.mm)
        # Without the figure, each place from its own on is that of the next.
        low, high = (lengths[place + (place >= own)] for place in ((fellows - 1) // 2, fellows // 2))
        return (low + high) / 2

    def middle(self, point: str) -> float | None:
        """Median of the figures of a point [mm]; None when there are none, or one of them is in question."""
        if point not in self._middles:
            figures = self.points.get(point)
            known = figures is not None and 0 < len(figures) == len(self.sure(point))
            self._middles[point] = median(self.sure(point)) if known else None
        return self._middles[point]

    def ask(self, question: Question) -> Question:
        """Note that its place is asked about."""
        self.doubt(question.place)
        return question

    def doubt(self, place: Place) -> None:
        """Compare nothing with what stands there from here on; what is known of the others stays known."""
        if place in self.asked:
            return
        self.asked.add(place)
        self._stand = self._stand or {figure.place: (point, figure.mm) for point, figure in self._each()}
        if place not in self._stand:
            return
        point, mm = self._stand[place]
        self._middles.pop(point, None)
        for known in (self._sure, self._in_order):
            if point in known:
                known[point].remove(mm)

    def _each(self) -> Iterator[tuple[str, Figure]]:
        """Every figure with its point."""
        return ((point, figure) for point, figures in self.points.items() for figure in figures)


def figures_of(readings: Sequence[Reading], place: Place) -> list[Figure]:
    """The readings of a list that count."""
    return [
        Figure(place, number, reading.length, reading.confirmed, laying=reading.laying)
        for number, reading in enumerate(readings)
        if reading.counts
    ]


def figures_per_point(readings: Mapping[str, Sequence[Reading]], place: Place) -> Figures:
    """The readings that count, per point."""
    return Figures({point: figures_of(listed, place.at(point)) for point, listed in readings.items()})
