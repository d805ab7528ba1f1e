"""The arithmetic of the fabric model: everything linear and normal at each node of a grid over (tau, tauC).

Shapes, in this order where they occur: 2 directions, U values of tauC, T values of tau (or G nodes kept of
U x T), N specimens, S stages (stage 0 is blocked), p parameters theta = (A, beta, delta, C_1 .. C_{S-1}), and after
them A', the intercept of pieces whose dial nobody said, where there are any.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from fitcheck.estimates.student import normal_cdf, normal_quantile
from fitcheck.records.frozen import frozen

Matrix = NDArray[np.float64]
Mask = NDArray[np.bool_]

MOST_STEPS = 60
"""Steps to a quantile: halving alone would end within these."""
LAST_STEP = 3e-4
"""Newton's steps to a quantile end at one of this many SDs, for the next one would be of the order of its square."""
LEAST_DENSITY = 1e-300
"""Far out a density is 0; a step over this leaves the bracket and is replaced."""

TAU_NODES, CHANGE_NODES = 24, 16
TAU_NODES_ALONE = 48
DROP_LOG_WEIGHT = 18.0
"""Nodes whose log weight lies further than this under the highest do not count (1.5e-8 of it)."""
LEAST_TOP = 0.09
"""The grids reach at least to an SD of 9 %."""
NEAR_ENOUGH = 5e-4
"""A slope times the furthest dial that moves by less is not made linear about again: a width moves by its product with
what is open of that slope, a hundredth of a millimetre in half a metre [1]."""
LEAST_STRETCH = 0.2
"""1 + beta z is kept above this while the logarithm is made linear: no dial shrinks a stitch to a fifth."""


@frozen(eq=False)
class Table:
    """The readings as the arithmetic wants them, both directions stacked.

    y       ln(mm per stitch or row) less the prior mean of A, 0 where nothing was read [1], shape (2, N, S)
    v       relative variance of the reading, 1 where nothing was read [1], shape (2, N, S)
    seen    whether it was read, shape (2, N, S)
    z       dial less the centre dial [dial numbers], shape (N,)
    piece   1 for pieces, 0 for swatches, shape (N,)
    share   SD between specimens of that kind over tau [1], shape (N,)
    spread  variance from a dial that was not written down, over beta^2 [dial numbers^2], shape (N,)
    apart   whether its dial is unknown, so that A' stands for A + ln(1 + beta z) + delta, shape (N,)
    m0      prior mean of theta (A counted from its prior mean), shape (2, p)
    k0      prior precision of theta, shape (2, p)
    tau_scale, change_scale   scales of the half-normal priors, infinite = flat [1]
    """

    y: Matrix
    v: Matrix
    seen: Mask
    z: Matrix
    piece: Matrix
    share: Matrix
    spread: Matrix
    apart: Mask
    m0: Matrix
    k0: Matrix
    tau_scale: float
    change_scale: float

    @property
    def any_unblocked(self) -> bool:
        """Whether anything was read before blocking."""
        return bool(self.seen[:, :, 1:].any())


@frozen(eq=False)
class Nodes:
    """The posterior: a mixture of normals, one per node.

    tau, tau_change, weight   shape (G,); the weights add up to 1
    mean, cov                 of theta, shapes (2, G, p) and (2, G, p, p)
    a, c, t                   a_i = X_i'D_i 1, c_i = 1/(1/sigma_i^2 + 1'D_i 1), t_i = 1'D_i y_i per specimen,
                              shapes (2, G, N, p), (2, G, N), (2, G, N)
    beta0                     slope about which ln(1 + beta z) was made linear, shape (2,)
    x                         design rows of the blocked specimens, shape (2, N, p)
    offset                    what linear_dial adds to them, shape (2, N)
    """

    tau: Matrix
    tau_change: Matrix
    weight: Matrix
    mean: Matrix
    cov: Matrix
    a: Matrix
    c: Matrix
    t: Matrix
    beta0: Matrix
    x: Matrix
    offset: Matrix


def linear_dial(beta0: Matrix, z: Matrix) -> tuple[Matrix, Matrix]:
    """Return offset and gradient of ln(1 + beta z) ~ offset + gradient beta about beta0.

    gradient = z / (1 + beta0 z), offset = ln(1 + beta0 z) - gradient beta0; beta0 (2, 1), z (M,) -> (2, M).
    """
    stretch = np.maximum(1 + beta0 * z, LEAST_STRETCH)
    gradient = z / stretch
    return np.log(stretch) - gradient * beta0, gradient


def _design(table: Table, beta0: Matrix) -> tuple[Matrix, Matrix]:
    """Design X (2, N, S, p) and offset (2, N) about beta0 (2,)."""
    _, n, s = table.y.shape
    offset, gradient = linear_dial(beta0[:, None], table.z)
    X = np.zeros((2, n, s, table.m0.shape[1]))
    X[..., 0] = 1
    X[..., 1] = gradient[:, :, None]
    X[..., 2] = table.piece[:, None]
    X[:, table.apart, :, :3] = 0
    X[:, table.apart, :, -1] = 1
    for k in range(1, s):
        X[:, :, k, 2 + k] = -1
    return X, offset


@frozen(eq=False)
class _Pass:
    """One evaluation on a grid: log posterior density of the nodes [U, T] and what the nodes need.

    precision  K of theta, whose inverse is wanted only of the nodes that are kept
    """

    log_density: Matrix
    mean: Matrix
    precision: Matrix
    a: Matrix
    c: Matrix
    t: Matrix


def _evaluate(table: Table, X: Matrix, offset: Matrix, tau: Matrix, tau_change: Matrix) -> _Pass:
    """Evaluate posterior and marginal likelihood for tau (T,) x tauC (U,).

    K = K0 + sum(X'DX - c a a'),  h = K0 m0 + sum(X'Dy - c a 1'Dy)
    2 log p = -[m0'K0m0 + sum(y'Dy - c (1'Dy)^2) - h'K^-1 h] + log|K0|/|K| + sum[log|D| - log(1 + s^2 1'D1)]
    """
    _, n, s = table.y.shape
    p, U = X.shape[-1], len(tau_change)
    # Counted from the prior mean, so that a prior known to the last digit cancels nothing: h = sum(...) then.
    centred = table.y - offset[:, :, None] - (X @ table.m0[:, None, :, None])[..., 0]
    y = np.where(table.seen, centred, 0.0)
    unblocked = np.arange(s) > 0
    total = table.v[:, None] + (unblocked * tau_change[:, None, None] ** 2)  # (2, U, N, S)
    seen = table.seen[:, None]
    D = seen / total
    log_det_D = np.where(seen, -np.log(total), 0.0).sum((2, 3))
    flat = D.reshape(2, U, n * s)
    rows = X.reshape(2, n * s, p)
    XDX = (flat @ (rows[..., :, None] * rows[..., None, :]).reshape(2, n * s, p * p)).reshape(2, U, p, p)
    XDy = flat @ (rows * y.reshape(2, n * s, 1))
    yDy = (flat @ (y * y).reshape(2, n * s, 1))[..., 0]
    a = (D[..., None, :] @ X[:, None])[..., 0, :]  # (2, U, N, p)
    d = D.sum(-1)
    t = (D * y[:, None]).sum(-1)  # (2, U, N)
    # A dial that was not written down adds (beta z)^2 with z ~ N(0, spread): at the slope's prior mean.
    sigma2 = (table.share * tau[:, None]) ** 2 + table.spread * table.m0[:, None, None, 1] ** 2  # (2, T, N)
    sigma2 = np.broadcast_to(sigma2, (2, len(tau), n))[:, None]
    spread_out = 1 + sigma2 * d[:, :, None]  # (2, U, T, N)
    c = sigma2 / spread_out
    aa = (a[..., :, None] * a[..., None, :]).reshape(2, U, n, p * p)
    K = XDX[:, :, None] - (c @ aa).reshape(*c.shape[:3], p, p)
    K += np.eye(p) * table.k0[:, None, None, :, None]
    h = XDy[:, :, None] - (c * t[:, :, None]) @ a
    mean = np.linalg.solve(K, h[..., None])[..., 0]
    log_det_K = np.linalg.slogdet(K)[1]
    fit = yDy[:, :, None] - (c @ (t**2)[..., None])[..., 0]
    twice = (h * mean).sum(-1) - fit - log_det_K + log_det_D[:, :, None] - np.log(spread_out).sum(-1)
    prior = -0.5 * ((tau / table.tau_scale) ** 2)[None] - 0.5 * ((tau_change / table.change_scale) ** 2)[:, None]
    m0 = table.m0[:, None, None]
    return _Pass(0.5 * twice.sum(0) + prior, mean + m0, K, a, c, t + (a * m0).sum(-1))


@lru_cache
def _gauss_legendre(count: int) -> tuple[Matrix, Matrix]:
    """Nodes and weights on 0..1, kept because finding them takes longer than using them."""
    x, w = np.polynomial.legendre.leggauss(count)
    return (x + 1) / 2, w / 2


def _squared_nodes(low: float, high: float, count: int) -> tuple[Matrix, Matrix]:
    """Gauss-Legendre nodes and weights in x for low + (high - low) x^2: close together near low."""
    x, w = _gauss_legendre(count)
    return low + (high - low) * x**2, w * 2 * x * (high - low)


def _range_kept(nodes: Matrix, kept: Mask, top: float) -> tuple[float, float]:
    """Range of the nodes that count, one node wider at both ends."""
    first, last = np.flatnonzero(kept)[[0, -1]]
    low = float(nodes[first - 1]) if first > 0 else 0.0
    return low, float(nodes[last + 1]) if last + 1 < len(nodes) else top


def grid_top(table: Table) -> float:
    """Top of both grids: 9 %, or three SDs of the readings of one stage and direction [1]."""
    top = LEAST_TOP
    for direction in range(2):
        for stage in range(table.y.shape[2]):
            y = table.y[direction, table.seen[direction, :, stage], stage]
            if len(y) > 1:
                top = max(top, 3 * float(np.std(y, ddof=1)))
    return top


def solve(table: Table) -> Nodes:
    """Posterior on the refined grid, ln(1 + beta z) made linear again once, and twice where that moved the slope.

    24 x 16 nodes over (tau, tauC), 48 x 1 when everything was read blocked (tauC then keeps its prior and
    touches nothing else); squared spacing. A first grid, half as dense each way, tells the range where the log weight
    is within 18 of the highest.
    """
    top = grid_top(table)
    both = table.any_unblocked
    many = TAU_NODES if both else TAU_NODES_ALONE
    # Half as many each way find where the weight lies.
    tau, tau_w = _squared_nodes(0.0, top, many // 2)
    change, change_w = _squared_nodes(0.0, top, CHANGE_NODES // 2) if both else (np.zeros(1), np.ones(1))
    beta0 = table.m0[:, 1]
    X, offset = _design(table, beta0)
    for refined in range(3):
        run = _evaluate(table, X, offset, tau, change)
        if refined == 0:
            kept = run.log_density > run.log_density.max() - DROP_LOG_WEIGHT
            tau, tau_w = _squared_nodes(*_range_kept(tau, kept.any(0), top), many)
            if both:
                change, change_w = _squared_nodes(*_range_kept(change, kept.any(1), top), CHANGE_NODES)
            # The slope at the likeliest node is near enough to be the next place to make linear about.
            likeliest = np.unravel_index(int(run.log_density.argmax()), run.log_density.shape)
            beta0 = run.mean[:, likeliest[0], likeliest[1], 1]
            X, offset = _design(table, beta0)
            continue
        weight = np.exp(run.log_density - run.log_density.max()) * change_w[:, None] * tau_w
        weight /= weight.sum()
        slope = (run.mean[..., 1] * weight).sum((1, 2))
        if refined == 2 or np.abs(slope - beta0).max() * np.abs(table.z).max(initial=0.0) < NEAR_ENOUGH:
            break
        beta0 = slope
        X, offset = _design(table, beta0)
    u, t = np.nonzero(weight > math.exp(-DROP_LOG_WEIGHT) * weight.max())
    kept_weight = weight[u, t]
    return Nodes(
        tau=tau[t],
        tau_change=change[u],
        weight=kept_weight / kept_weight.sum(),
        mean=run.mean[:, u, t],
        cov=np.asarray(np.linalg.inv(run.precision[:, u, t]), dtype=np.float64),
        a=run.a[:, u],
        c=run.c[:, u, t],
        t=run.t[:, u],
        beta0=beta0,
        x=X[:, :, 0],
        offset=offset,
    )


def log_density(table: Table, tau: Matrix, tau_change: Matrix, beta0: Matrix) -> Matrix:
    """Log posterior density of (tau, tauC), less a constant, for tau (T,) x tauC (U,) -> (U, T)."""
    X, offset = _design(table, beta0)
    return _evaluate(table, X, offset, tau, tau_change).log_density


def half_normal_nodes(scale: float) -> tuple[Matrix, Matrix]:
    """Nodes and weights of a half-normal distribution, for a spread that no reading speaks of."""
    nodes, w = _squared_nodes(0.0, 6 * scale, TAU_NODES_ALONE)
    weight = w * np.exp(-0.5 * (nodes / scale) ** 2)
    return nodes, weight / weight.sum()


def mixture_moments(mean: Matrix, sd: Matrix, weight: Matrix) -> tuple[Matrix, Matrix]:
    """Mean and SD of mixtures of normals; mean and sd (..., G), weight (G,) -> (...,)."""
    centre = mean @ weight
    return centre, np.sqrt(((mean - centre[..., None]) ** 2 + sd**2) @ weight)


def equal_parts(sd: Matrix, weight: Matrix, parts: int) -> Matrix:
    """Root mean squares of the equally likely parts of a spread that is not known, the smallest first (parts,).

    sd, weight  at each node (G,); the mean of the squares is that of all nodes
    """
    order = np.argsort(sd, kind="stable")
    likely, square = (np.concatenate([[0.0], np.cumsum(part[order])]) for part in (weight, weight * sd**2))
    ends = np.interp(np.linspace(0.0, likely[-1], parts + 1), likely, square)
    return np.asarray(np.sqrt(parts * np.diff(ends)))


def mixture_cdf(at: Matrix, mean: Matrix, sd: Matrix, weight: Matrix) -> Matrix:
    """Distribution function of mixtures; at (...,), mean and sd (..., G), weight (G,) -> (...,)."""
    below: Matrix = normal_cdf((at[..., None] - mean) / sd) @ weight
    return below


def mixture_quantiles(mean: Matrix, sd: Matrix, weight: Matrix, probabilities: Matrix) -> Matrix:
    """Quantiles of mixtures of normals; mean and sd (M, G), probabilities (Q,) -> (M, Q).

    Newton's steps inside a bracket that begins as mean -+ 6 SD of the mixture, which holds every probability
    from .03 to .97 by Chebyshev's inequality; a step that would leave it is replaced by half the bracket. Ends
    after steps of at most 3e-4 of an SD, two to four as a rule: what is left is of the order of their square, 1e-7.
    """
    centre, spread = (moment[:, None] for moment in mixture_moments(mean, sd, weight))
    low, high = (np.repeat(centre + side * spread, len(probabilities), 1) for side in (-6, 6))
    x: Matrix = centre + spread * np.array([normal_quantile(float(p)) for p in probabilities])
    for _ in range(MOST_STEPS):
        z = x[..., None] - mean[:, None]
        z /= sd[:, None]
        off = normal_cdf(z) @ weight - probabilities
        z *= z
        z *= -0.5
        np.exp(z, out=z)
        z /= sd[:, None]
        density = z @ weight / math.sqrt(2 * math.pi)
        low, high = np.where(off < 0, x, low), np.where(off < 0, high, x)
        step = off / np.maximum(density, LEAST_DENSITY)
        new = x - step
        x = np.where((low <= new) & (new <= high), new, (low + high) / 2)
        if (np.abs(step) <= LAST_STEP * spread).all():
            break
    return x
