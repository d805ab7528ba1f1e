"""A part of a programme beyond the full scan, as an integer programme for HiGHS (``scipy.optimize.milp``).

    x_jv = 1 where count j is v, sum_v x_jv = 1;  y_ks = 1 where sum k comes to s, sum_s y_ks = 1
    sum c N - at within a limit, or a whole number of steps;  E times SCALE is least

A lifted demand d has z_d = 1, which loosens it by LOOSENED. HiGHS stops at a gap of 1e-6, so E is scaled up, and now
and then it prints on the standard output of the process: `_quiet` keeps that away from whoever reads there.
"""

from __future__ import annotations

import contextlib
import math
import os
import sys
import threading
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from fitcheck.advice.rest.count_series import CountsError
from fitcheck.advice.rest.parts import Chosen, Part
from fitcheck.advice.rest.programme import Demand
from fitcheck.advice.rest.rule import ALIKE, EXACT, UNLIKELY, WORTH

SCALE = 1e4
LOOSENED = 2000.0
"""Stitches or rows that a lifted demand may be off: more than any piece has."""

Row = Mapping[int, float]


class Exact:
    """The part with variables, and rows low <= sum <= high; as `Scan` chooses, so does this."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._whole: list[bool] = []
        self._most: list[float] = []
        self._least: list[float] = []
        self._rows: list[tuple[Row, float, float]] = []
        self._loss: dict[int, float] = {}
        self._log_fit: dict[int, float] = {}
        self._width: dict[int, float] = {}
        self._counts: dict[str, dict[int, float]] = {}
        self._planned: dict[int, float] = {}
        for choice in part.choices:
            picks = {self._variable(): count for count in choice.losses}
            self._rows.append((dict.fromkeys(picks, 1.0), 1.0, 1.0))
            self._counts[choice.key] = {variable: float(count) for variable, count in picks.items()}
            self._width |= self._counts[choice.key]
            for variable, count in picks.items():
                self._loss[variable] = choice.losses[count]
                self._log_fit[variable] = _log(choice.fits, count)
                if choice.planned is not None:
                    self._planned[variable] = float(count == choice.planned)
        for of in part.sums:
            low, high = self._range(of.terms)
            picks = {self._variable(): at for at in range(low, high + 1)}
            self._rows.append((dict.fromkeys(picks, 1.0), 1.0, 1.0))
            equal = {**self._total(of.terms), **{variable: -float(at) for variable, at in picks.items()}}
            self._rows.append((equal, 0.0, 0.0))
            for variable, at in picks.items():
                self._loss[variable] = of.losses[at]
                self._log_fit[variable] = _log(of.fits, at)
        self._lifted = {demand.key: self._variable(most=float(demand.price < math.inf)) for demand in part.demands}
        for demand in part.demands:
            self._hold(demand)

    def least(self, keep: Collection[str]) -> float | None:
        """The least E with the demands of these names; None where no counts keep them."""
        solved = self._solved(self._loss, self._keeping(keep))
        return None if solved is None else self.part.loss(self._read(solved))

    def choose(self, keep: Collection[str]) -> Chosen | None:
        """The counts to take, as `Scan.choose`."""
        keeping = self._keeping(keep)
        best = self._solved(self._loss, keeping)
        if best is None:
            return None
        least = self.part.loss(self._read(best))
        limit = least + ALIKE
        if self._planned:
            every = float(sum(choice.planned is not None for choice in self.part.choices))
            stand = [*keeping, (self._planned, every, math.inf)]
            planned = self._solved(self._loss, stand)
            loss = math.inf if planned is None else self.part.loss(self._read(planned))
            keeping, limit = (stand, loss) if loss <= least + WORTH else (keeping, min(limit, loss - WORTH))
        alike = [*keeping, (self._loss, -math.inf, limit + EXACT)]
        likely = self._solved({variable: -log for variable, log in self._log_fit.items()}, alike)
        if likely is None:
            return self._read(best)
        log_fit = math.fsum(self._log_fit.get(variable, 0.0) for variable, at in enumerate(likely) if at > 0.5)
        as_likely = [*alike, (self._log_fit, log_fit - 1e-7, math.inf)]
        widest = self._solved({variable: -width for variable, width in self._width.items()}, as_likely)
        return self._read(likely if widest is None else widest)

    def to_lift(self, ways: int) -> list[tuple[str, ...]]:
        """Up to so many sets of demands to lift, the cheapest first, none of which holds another."""
        liftable = {demand.key: demand.price for demand in self.part.demands if demand.price < math.inf}
        price = {self._lifted[key]: of for key, of in liftable.items()}
        cuts: list[tuple[Row, float, float]] = []
        listed: list[tuple[str, ...]] = []
        while len(listed) < ways and (cheapest := self._solved(price, cuts)) is not None:
            paid = sum(of * round(cheapest[variable]) for variable, of in price.items())
            solved = self._solved(self._loss, [*cuts, (price, -math.inf, paid + EXACT)]) or cheapest
            lifted = tuple(key for key in liftable if solved[self._lifted[key]] > 0.5)
            listed.append(lifted)
            if not lifted:
                break
            cuts.append(({self._lifted[key]: 1.0 for key in lifted}, -math.inf, len(lifted) - 1.0))
        return listed

    def _variable(self, *, least: float = 0.0, most: float = 1.0) -> int:
        self._whole.append(True)
        self._least.append(least)
        self._most.append(most)
        return len(self._whole) - 1

    def _range(self, terms: Mapping[str, int]) -> tuple[int, int]:
        """The least and the largest sum of the candidates."""
        ends = [
            sorted((times * min(choice.losses), times * max(choice.losses)))
            for choice in self.part.choices
            if (times := terms.get(choice.key))
        ]
        return sum(low for low, _ in ends), sum(high for _, high in ends)

    def _total(self, terms: Mapping[str, int]) -> dict[int, float]:
        """sum c N in the variables."""
        return {
            variable: times * count for key, times in terms.items() for variable, count in self._counts[key].items()
        }

    def _hold(self, demand: Demand) -> None:
        """Add the rows of a demand, loosened where it is lifted."""
        total, lifted = self._total(demand.terms), self._lifted[demand.key]
        if demand.within is not None:
            self._rows.append(({**total, lifted: -LOOSENED}, -math.inf, demand.at + float(demand.within)))
            self._rows.append(({**total, lifted: LOOSENED}, demand.at - float(demand.within), math.inf))
            return
        step = float(demand.step or 1)
        steps = self._variable(least=-LOOSENED, most=LOOSENED)
        over = self._variable(most=step - 1)
        self._rows.append(({**total, steps: -step, over: -1.0}, float(demand.at), float(demand.at)))
        self._rows.append(({over: 1.0, lifted: 1.0 - step}, -math.inf, 0.0))

    def _keeping(self, keep: Collection[str]) -> list[tuple[Row, float, float]]:
        """Rows that hold some demands and let the others go, whatever their price."""
        return [({variable: 1.0}, 0.0, 0.0) for key, variable in self._lifted.items() if key in keep]

    def _solved(self, price: Row, more: Sequence[tuple[Row, float, float]]) -> list[float] | None:
        """Values of the variables; None where none keep every row."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        rows = [*self._rows, *more]
        places = [(at, column, factor) for at, (row, _, _) in enumerate(rows) for column, factor in row.items()]
        at, columns, factors = zip(*places, strict=True)
        # A place has 32 bits in HiGHS, and not every scipy makes them so.
        where = np.array((at, columns), dtype=np.int32)
        table = csr_array((factors, (where[0], where[1])), shape=(len(rows), len(self._whole)))
        low, high = np.array([row[1] for row in rows]), np.array([row[2] for row in rows])
        objective = np.zeros(len(self._whole))
        objective[list(price)] = np.array(list(price.values())) * SCALE
        options: dict[str, Any] = {"mip_rel_gap": 0.0}
        with _quiet():
            solved = milp(
                objective,
                integrality=np.array(self._whole, dtype=np.int64),
                bounds=Bounds(np.array(self._least), np.array(self._most)),
                constraints=LinearConstraint(table, low, high),
                options=options,
            )
        if solved.status == 2:
            return None
        if solved.x is None:
            raise CountsError(
                f"choices: read {len(self.part.choices)} counts that hang together, and the integer programme ended "
                f"with {solved.message!r}; counts that fewer demands tie together are accepted. Leave one out."
            )
        return [float(value) for value in solved.x]

    def _read(self, values: Sequence[float]) -> Chosen:
        """The counts that some values of the variables stand for."""
        return {
            key: int(next(count for variable, count in picks.items() if values[variable] > 0.5))
            for key, picks in self._counts.items()
        }


def _log(fits: Mapping[int, float], count: int) -> float:
    """Logarithm of a chance; 0 where nothing hangs on it."""
    return math.log(max(fits.get(count, 1.0), UNLIKELY))


_ONE_AT_A_TIME = threading.Lock()
"""Two threads that put file descriptor 1 back would put back each other's nowhere."""


@contextlib.contextmanager
def _quiet() -> Iterator[None]:
    """Send what is written to file descriptor 1 nowhere, and put it back."""
    with _ONE_AT_A_TIME:
        sys.stdout.flush()
        out, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(nowhere, 1)
            yield
        finally:
            os.dup2(out, 1)
            os.close(nowhere)
            os.close(out)
