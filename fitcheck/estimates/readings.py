"""Readings to an estimate: tape, laying and resolution, with the household's pooled repeatability.

Names and units
    k      readings of one thing; m layings of it (lifted, shaken and laid out again)
    L      length that was read [mm]
    l(L)   assumed scatter of one reading of one laying [mm]
    s_r    scatter of one reading of one laying, as learned so far [mm]
    s_L    scatter from one laying to the next [mm]
    d      resolution that a reading was written with [mm]
    phi^2  what the household's readings say about its scatter, as a multiple of the assumed variance [1]
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from fitcheck.estimates.numbers import Basis, Estimate
from fitcheck.records.faults import FitcheckError
from fitcheck.records.frozen import frozen
from fitcheck.records.repeatability import MEDIAN_FACTOR, OVERHANG, TAPE, Repeatability

CRITICAL_RANGE = {2: 2.8, 3: 3.3, 4: 3.6, 5: 3.9, 6: 4.0, 7: 4.2, 8: 4.3, 9: 4.4, 10: 4.5}
"""Readings -> critical range in units of the SD of one reading (ISO 5725-6, 95 %)."""

PRIOR_DOF = 6.0
"""Degrees of freedom that the assumed scatter counts for (assumed)."""


class ReadingsError(FitcheckError, ValueError):
    """Readings, layings, resolutions or estimates that cannot be worked with; the message says why."""


@frozen
class ReadingSet:
    """Readings of one thing with the laying that each was taken of.

    values_mm  readings [mm], shape (k,)
    laying     one label per reading, shape (k,); None when all are of one laying
    """

    values_mm: Sequence[float]
    laying: Sequence[Hashable] | None = None


@frozen
class Pool:
    """The household's repeatability: one conjugate formula from no readings to many.

    phi^2 = (nu0 + sum nu_i ratio_i) / (nu0 + sum nu_i), where ratio_i is a set's variance over the variance
    assumed at its length, so s_r(L) = phi l(L).

    scale2         phi^2 from all evidence; 1 while there is none [1]
    dof            nu0 + sum nu_i
    laying_scale2  the same ratio for the laying, from differences between layings only; 1 while there are
                   none, because readings of one laying say nothing about laying it again [1]
    laying_dof     degrees of freedom between layings; 0 means that the laying is an assumption
    basis          assumed without data, mixed while the data's degrees of freedom do not exceed the prior's,
                   then measured
    prior          what was assumed
    """

    scale2: float = 1.0
    dof: float = PRIOR_DOF
    laying_scale2: float = 1.0
    laying_dof: float = 0.0
    basis: Basis = "assumed"
    prior: Repeatability = TAPE

    @property
    def source(self) -> str:
        """Name of the variance estimate that everything estimated with this pool shares."""
        return self.prior.source

    def s_mm(self, length_mm: float) -> float:
        """SD of one reading of one laying at a length [mm]."""
        return math.sqrt(self.scale2) * self.prior.reading(length_mm)

    def laying_mm(self, length_mm: float) -> float:
        """SD of one laying at a length [mm]."""
        return math.sqrt(self.laying_scale2) * self.prior.laying(length_mm)


def pool_repeatability(
    sets: Sequence[Sequence[float] | ReadingSet],
    *,
    prior_dof: float = PRIOR_DOF,
    frozen: Sequence[tuple[float, float]] = (),
) -> Pool:
    """Pool the scatter of tape readings over all sets of a household.

    s_r^2(L) = l(L)^2 (nu0 + sum nu_i s_i^2 / l(L_i)^2) / (nu0 + sum nu_i), l(L) = hypot(1.5 mm, 0.004 L).
    Within one laying s_i^2 is the readings' variance and nu_i = k - m. Between layings (nu_i = m - 1) the
    variance of the laying means is compared with what is assumed of it, s_L^2 + l^2 mean(1/n_g).

    sets       each a sequence of readings of one laying [mm], or a ReadingSet; sets of fewer than two
               readings contribute nothing; readings set aside must not be among them
    prior_dof  nu0, what the assumed scatter counts for; 0 takes the readings alone
    frozen     further sets of which only (degrees of freedom, variance over the assumed variance) was kept

    Errors: ReadingsError for a reading that is no positive length, unequal numbers of readings and layings,
    or when neither prior nor readings are there.
    Source: pooled variance JCGM 100:2008 (GUM) 4.2.4 and H.5; the prior's weight is assumed.
    """
    return _pooled(sets, TAPE, prior_dof, frozen)


def pool_overhangs(
    sets: Sequence[Sequence[float] | ReadingSet],
    *,
    prior_dof: float = PRIOR_DOF,
    frozen: Sequence[tuple[float, float]] = (),
) -> Pool:
    """Pool the scatter of overhangs (signed differences read with the piece laid on the garment).

    As pool_repeatability, with 2 mm a reading assumed at every length, half its variance from the laying.

    sets  each a sequence of signed differences [mm] read at one point in one laying, or a ReadingSet
    """
    return _pooled(sets, OVERHANG, prior_dof, frozen)


def estimate_readings(
    values_mm: Sequence[float],
    *,
    laying: Sequence[Hashable] | None = None,
    resolution_mm: float | Sequence[float] = 0.0,
    pool: Pool | None = None,
) -> Estimate:
    """Estimate a length from its tape readings.

    value = mean of the readings; u^2 = s_L^2/m + s_r^2/k + d^2/12, with m = k^2 / sum n_g^2 for layings of
    n_g readings, so that more readings of one laying never count as more layings. Degrees of freedom: the
    pool's.

    Readings that range over more than f(k) SDs (hypot(s_r, d/sqrt 12), with s_L where they are of several layings)
    hold an outlier: the farthest from the median is named in ``outliers`` (all of them when several are equally
    far); then value = median and s_r^2/k becomes (1.2533 s_r)^2/k. Without a pool the prior judges, as the
    outlier would otherwise widen its own limits; for the same reason do not put an unanswered
    outlier into the pool that judges it.

    values_mm      readings [mm], shape (k,), each above zero
    laying         label of the laying of each reading, shape (k,); None when all are of one laying
    resolution_mm  d [mm], one for all or one per reading (then the mean of d^2 counts)
    pool           the household's repeatability; None pools this set alone with the prior

    Errors: ReadingsError. Source: JCGM 100:2008 (GUM) 4.2, F.2.2.1; ISO 5725-6 (critical range, median).

    >>> one = estimate_readings([500.0])
    >>> one.value, round(one.u, 4), one.dof, one.basis  # hypot(1.5, 2.0) read, 2.0 laid
    (500.0, 3.2016, 6.0, 'assumed')
    """
    return _estimated(values_mm, laying, resolution_mm, pool, TAPE)


def overhang_estimate(
    values_mm: Sequence[float],
    *,
    laying: Sequence[Hashable] | None = None,
    resolution_mm: float | Sequence[float] = 0.0,
    pool: Pool | None = None,
) -> Estimate:
    """Estimate the difference piece - garment from overhangs read at one point.

    As estimate_readings: u^2 = phi_L^2 2/m + phi^2 2/k + d^2/12 [mm^2]. It carries one error where two
    lengths carry two, and the tape's scale cancels.

    values_mm  signed differences [mm], shape (k,), plus = the piece is larger
    pool       from pool_overhangs; None pools this set alone with the prior

    >>> one = overhang_estimate([-4.0])
    >>> one.value, round(one.u, 9)
    (-4.0, 2.0)
    """
    return _estimated(values_mm, laying, resolution_mm, pool, OVERHANG)


def critical_range(k: int) -> float:
    """Critical range of k readings in units of their SD (k >= 2); from ten readings on the factor for ten.

    Beyond ten the true factor still grows slowly (4.8 at 15), so a reading is questioned rather too often.
    Source: ISO 5725-6, table of f(n) for 95 %.
    """
    if k < 2:
        raise ReadingsError(f"critical range: read {k} readings; at least 2 are needed to have a range.")
    return CRITICAL_RANGE[min(k, 10)]


def type_a(values: Sequence[float]) -> Estimate:
    """Mean of repeated observations with their own scatter: u = s/sqrt(n), n - 1 degrees of freedom.

    values  [any unit], shape (n,), n >= 2. Errors: ReadingsError. Source: JCGM 100:2008 (GUM) 4.2.
    """
    x = _finite(values, "values")
    n = len(x)
    if n < 2:
        raise ReadingsError(f"values: read {n}; their own scatter needs at least 2. For fewer use estimate_readings.")
    return Estimate(_mean(x), math.sqrt(_squares(x, _mean(x)) / (n - 1) / n), float(n - 1))


@frozen
class OneWay:
    """One-way analysis of variance with its variance components.

    msb, msw            mean squares between and within groups [unit^2]
    f                   msb / msw; infinite when nothing scatters within
    sd_within           sqrt(msw) [unit]
    sd_between          sqrt(max(0, (msb - msw)/n)) [unit]
    mean, u_mean        mean of the group means and its standard uncertainty, sqrt(msb/(n groups)) [unit]
    dof_between, dof_within
    """

    msb: float
    msw: float
    f: float
    sd_within: float
    sd_between: float
    mean: float
    u_mean: float
    dof_between: int
    dof_within: int


def one_way(groups: Sequence[Sequence[float]]) -> OneWay:
    """Components of variance between and within groups.

    Balanced groups of n: tau^2 = max(0, (MSB - MSW)/n), which is also the REML estimate. Unequal groups: n is
    the harmonic mean of the sizes (analysis of unweighted means).

    groups  at least two, each of at least one value, one of them of at least two [any unit]
    Errors: ReadingsError. Source: JCGM 100:2008 (GUM) H.5; Pinheiro & Bates (2000) ch. 1.
    """
    spread = _spread([_finite(group, f"groups[{i}]") for i, group in enumerate(groups)])
    if spread.dof_between < 1 or spread.dof_within < 1:
        raise ReadingsError(
            f"groups: read {len(groups)} groups with {spread.dof_within} repeats; at least two groups and "
            "one repeat within a group are needed."
        )
    msw = spread.squares_within / spread.dof_within
    msb = spread.means_variance / spread.inverse_size
    f = msb / msw if msw else (math.inf if msb else 0.0)
    return OneWay(
        msb=msb,
        msw=msw,
        f=f,
        sd_within=math.sqrt(msw),
        sd_between=math.sqrt(max(0.0, (msb - msw) * spread.inverse_size)),
        mean=spread.mean,
        u_mean=math.sqrt(spread.means_variance / (spread.dof_between + 1)),
        dof_between=spread.dof_between,
        dof_within=spread.dof_within,
    )


def combine(*estimates: Estimate, weights: Sequence[float] | None = None) -> Estimate:
    """Linear sum of estimates with independent errors.

    value = sum w_i x_i, u^2 = sum w_i^2 u_i^2, nu = u^4 / sum(u_g^4 / nu_g) (Welch-Satterthwaite). Estimates
    of one non-empty source share one variance estimate: their squares are added first and count once, with
    the lowest of their degrees of freedom.

    estimates  at least one [one unit after weighting]
    weights    w_i, shape (n,); None takes +1 for each. A difference is ``weights=(1, -1)``

    Errors: ReadingsError. Source: JCGM 100:2008 (GUM) 5.1.2, G.4.1 (degrees of freedom not truncated).
    """
    if not estimates:
        raise ReadingsError("estimates: read none; give at least one estimate to combine.")
    factors = (1.0,) * len(estimates) if weights is None else weights
    if len(factors) != len(estimates):
        raise ReadingsError(f"weights: read {len(factors)} for {len(estimates)} estimates; one for each is needed.")
    variance: dict[str | int, float] = {}
    dof: dict[str | int, float] = {}
    first = estimates[0]
    one_source = one_basis = True
    for i, estimate in enumerate(estimates):
        one_source = one_source and estimate.source == first.source
        one_basis = one_basis and estimate.basis == first.basis
        square = (factors[i] * estimate.u) ** 2
        if square == 0.0:
            continue  # exact: it has no variance to count
        if not estimate.dof > 0.0:
            raise ReadingsError(f"estimates[{i}].dof: read {estimate.dof:g}; an uncertain estimate needs more than 0.")
        group = estimate.source or i
        if group in variance:
            variance[group] += square
            dof[group] = min(dof[group], estimate.dof)
        else:
            variance[group], dof[group] = square, estimate.dof
    u2 = math.fsum(variance.values())
    lost = math.fsum([(v / u2) ** 2 / dof[group] for group, v in variance.items()])
    return Estimate(
        value=math.fsum([w * estimate.value for estimate, w in zip(estimates, factors, strict=True)]),
        u=math.sqrt(u2),
        dof=1.0 / lost if lost else math.inf,
        source=first.source if one_source else "",
        basis=first.basis if one_basis else "mixed",
    )


class _Spread(NamedTuple):
    """Scatter within and between groups: what one_way and the pool both need."""

    squares_within: float  # sum of squares about the group means [unit^2]
    dof_within: int
    means_variance: float  # variance of the group means, 0 for one group [unit^2]
    dof_between: int
    inverse_size: float  # mean of 1/n_g
    mean: float  # mean of the group means [unit]


def _spread(groups: Sequence[Sequence[float]]) -> _Spread:
    means = [_mean(group) for group in groups]
    between = len(groups) - 1
    middle = _mean(means) if means else 0.0
    within = [(value - mean) ** 2 for group, mean in zip(groups, means, strict=True) for value in group]
    return _Spread(
        squares_within=math.fsum(within),
        dof_within=len(within) - len(groups),
        means_variance=_squares(means, middle) / between if between > 0 else 0.0,
        dof_between=between,
        inverse_size=math.fsum([1.0 / len(group) for group in groups]) / len(groups) if groups else 0.0,
        mean=middle,
    )


def _pooled(
    sets: Iterable[Sequence[float] | ReadingSet],
    prior: Repeatability,
    prior_dof: float,
    frozen: Sequence[tuple[float, float]] = (),
) -> Pool:
    if not (math.isfinite(prior_dof) and prior_dof >= 0.0):
        raise ReadingsError(f"prior_dof: read {prior_dof:g}; zero or a positive number is accepted.")
    weighted = prior_dof + math.fsum(degrees * ratio for degrees, ratio in frozen)
    dof = prior_dof + math.fsum(degrees for degrees, _ in frozen)
    laying_weighted, laying_dof = 0.0, 0
    for i, readings in enumerate(sets):
        if not isinstance(readings, ReadingSet):
            readings = ReadingSet(readings)
        values = _readings(readings.values_mm, f"sets[{i}]", prior)
        labels = _labels(readings.laying, len(values), f"sets[{i}].laying")
        if len(values) < 2:
            continue
        scatter = _scatter(tuple(values), tuple(labels), prior)
        weighted += scatter.within
        weighted += scatter.between
        laying_weighted += scatter.between
        laying_dof += scatter.dof_between
        dof += scatter.dof_within + scatter.dof_between
    if dof == 0.0:
        raise ReadingsError("sets: read no set of two or more readings, and prior_dof is 0; give readings or a prior.")
    measured = dof - prior_dof
    basis: Basis = "assumed" if measured == 0.0 else ("measured" if measured > prior_dof else "mixed")
    return Pool(
        scale2=weighted / dof,
        dof=dof,
        laying_scale2=(prior_dof + laying_weighted) / (prior_dof + laying_dof) if laying_dof else 1.0,
        laying_dof=float(laying_dof),
        basis=basis,
        prior=prior,
    )


class _Scatter(NamedTuple):
    """What one set says of a hand: its scatter over what is assumed at its length, times the degrees of freedom."""

    within: float  # of readings of one laying [1]
    dof_within: int
    between: float  # from one laying to the next [1]
    dof_between: int


@lru_cache(maxsize=2048)
def _scatter(values: tuple[float, ...], labels: tuple[Hashable, ...], prior: Repeatability) -> _Scatter:
    """The same sets are pooled for the make, for each of its swatches and after every reading: each is looked at once.

    values  two or more [mm];  labels  the laying of each
    """
    length = _mean(values)
    assumed = prior.reading(length) ** 2
    groups: dict[Hashable, list[float]] = {}
    for label, value in zip(labels, values, strict=True):
        groups.setdefault(label, []).append(value)
    spread = _spread(list(groups.values()))
    expected = prior.laying(length) ** 2 + assumed * spread.inverse_size
    between = spread.dof_between * spread.means_variance / expected
    return _Scatter(spread.squares_within / assumed, spread.dof_within, between, spread.dof_between)


def _estimated(
    values_mm: Sequence[float],
    laying: Sequence[Hashable] | None,
    resolution_mm: float | Sequence[float],
    pool: Pool | None,
    prior: Repeatability,
) -> Estimate:
    values = _readings(values_mm, "values_mm", prior)
    k = len(values)
    if k == 0:
        raise ReadingsError("values_mm: read no reading; at least one is needed.")
    labels = _labels(laying, k, "laying")
    judge = Pool(prior=prior) if pool is None else pool
    if judge.prior is not prior and judge.prior != prior:
        raise ReadingsError(f"pool: read a {judge.source}; a {prior.source} is needed for these readings.")
    if pool is None:
        pool = _pooled([ReadingSet(values, labels)], prior, PRIOR_DOF)
    sizes = Counter(labels).values()
    written_var = _resolution2(resolution_mm, k) / 12.0
    outliers = _outliers(values, judge, written_var, several_layings=len(sizes) > 1)
    value = _median(values) if outliers else _mean(values)
    s_reading = pool.s_mm(value) * (MEDIAN_FACTOR if outliers else 1.0)
    layings = k * k / sum(n * n for n in sizes)
    u2 = pool.laying_mm(value) ** 2 / layings + s_reading**2 / k + written_var
    return Estimate(value, math.sqrt(u2), pool.dof, outliers, pool.source, pool.basis)


def _outliers(values: list[float], pool: Pool, written_var: float, *, several_layings: bool) -> tuple[int, ...]:
    if len(values) < 2:
        return ()
    middle = _median(values)
    s = math.hypot(pool.s_mm(middle), math.sqrt(written_var))
    if several_layings:
        s = math.hypot(s, pool.laying_mm(middle))
    if max(values) - min(values) <= critical_range(len(values)) * s:
        return ()
    away = [abs(value - middle) for value in values]
    farthest = max(away)
    return tuple(i for i, distance in enumerate(away) if math.isclose(distance, farthest, rel_tol=1e-9))


def _finite(values: Sequence[float], name: str) -> list[float]:
    numbers = [float(value) for value in values]
    if not all(map(math.isfinite, numbers)):
        i, number = next((i, number) for i, number in enumerate(numbers) if not math.isfinite(number))
        raise ReadingsError(f"{name}[{i}]: read {number}; a finite number is needed.")
    return numbers


def _readings(values: Sequence[float], name: str, prior: Repeatability) -> list[float]:
    numbers = _finite(values, name)
    if prior is not TAPE and prior == OVERHANG:
        return numbers
    if numbers and min(numbers) <= 0.0:
        i, number = next((i, number) for i, number in enumerate(numbers) if number <= 0.0)
        raise ReadingsError(
            f"{name}[{i}]: read {number:g} mm; a length above 0 is needed. "
            "A signed difference is an overhang: use overhang_estimate."
        )
    return numbers


def _labels(laying: Sequence[Hashable] | None, k: int, name: str) -> list[Hashable]:
    labels: list[Hashable] = [0] * k if laying is None else list(laying)
    if len(labels) != k:
        raise ReadingsError(f"{name}: read {len(labels)} layings for {k} readings; one for each is needed.")
    return labels


def _resolution2(resolution_mm: float | Sequence[float], k: int) -> float:
    each = [float(resolution_mm)] * k if isinstance(resolution_mm, int | float) else list(resolution_mm)
    if len(each) != k:
        raise ReadingsError(f"resolution_mm: read {len(each)} for {k} readings; one for all or one for each is needed.")
    for d in each:
        if not (math.isfinite(d) and d >= 0.0):
            raise ReadingsError(f"resolution_mm: read {d}; zero or a positive length is needed.")
    return math.fsum([d * d for d in each]) / k


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _median(values: Sequence[float]) -> float:
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2.0


def _squares(values: Sequence[float], mean: float) -> float:
    return math.fsum([(value - mean) ** 2 for value in values])
