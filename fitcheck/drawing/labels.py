"""Labels that never overlap: boxes, and positions pushed apart in order."""

from __future__ import annotations

from collections.abc import Sequence

from fitcheck.records.frozen import frozen


@frozen
class Box:
    """An upright box [units], y down."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        """The box with more room on every side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def meets(self, other: Box) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )


def push_apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Positions nearest to the wanted ones (least squares), in their order, a gap apart, within low and high.

    With z_k = wanted_k - k gap in ascending order, the best y_k = z'_k + k gap has z' non-decreasing: pool
    adjacent violators. Where they cannot all fit between low and high, low holds and the last ones pass high.

    >>> push_apart([10.0, 11.0, 50.0], 20.0, 0.0, 100.0)
    [0.5, 20.5, 50.0]
    """
    order = sorted(range(len(wanted)), key=lambda place: wanted[place])
    blocks: list[tuple[float, int]] = []
    for step, place in enumerate(order):
        mean, size = wanted[place] - step * gap, 1
        while blocks and blocks[-1][0] > mean:
            before, count = blocks.pop()
            mean, size = (before * count + mean * size) / (count + size), count + size
        blocks.append((mean, size))
    flat = [mean for mean, size in blocks for _ in range(size)]
    last = high - (len(wanted) - 1) * gap
    positions = [0.0] * len(wanted)
    for step, place in enumerate(order):
        positions[place] = max(min(flat[step], last), low) + step * gap
    return positions
