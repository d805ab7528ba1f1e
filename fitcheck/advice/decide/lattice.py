"""Standard normal points that are the same in every answer."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from fitcheck.advice.decide.state import Array
from fitcheck.estimates.student import normal_quantile

EVENED = 3
"""How often a lattice is evened out: after the third time no column comes nearer to the normal distribution."""


@lru_cache(maxsize=32)
def lattice(size: int, dimensions: int) -> Array:
    """Standard normal points, size x dimensions, on a lattice of the generalised golden ratio and its mirror.

    Fixed and low-discrepancy: the same state gives the same mean to the last digit. Every column takes the quantiles
    of the normal distribution once each, and is then whitened, so that means are zero, variances one and correlations
    zero exactly; as whitening mixes the columns, both are done in turn. Whitened alone a column of 12 had 1 of 10
    points within .3 SD of the middle instead of 1 of 4. Size is even and more than twice the dimensions.
    """
    z = (0.5 + np.outer(np.arange(1, size // 2 + 1), _steps(dimensions))) % 1.0 - 0.5
    away = np.array([normal_quantile(0.5 + (place + 0.5) / size) for place in range(size // 2)])
    for _ in range(EVENED):
        z = np.sign(z) * away[np.abs(z).argsort(axis=0).argsort(axis=0)]
        z = np.linalg.solve(np.linalg.cholesky(z.T @ z / len(z)), z.T).T
    return np.concatenate([z, -z])


@lru_cache(maxsize=32)
def fan(size: int, each: int) -> Array:
    """Standard normal points of two columns, each x size x 2: of every row one in each of equal parts of the chance.

    They lie elsewhere in the parts from row to row, and the second half of the rows is the mirror of the first: where
    the chance of a limit that few rows decide is wanted, a single point a row has it off by as much as .04. Size even.
    """
    within = np.outer(np.arange(1, size // 2 + 1), _steps(2)) % 1.0
    parts = (np.arange(each)[:, None, None] + within) / each
    z = np.array([normal_quantile(part) for part in parts.ravel()]).reshape(parts.shape)
    return np.concatenate([z, -z], axis=1)


def _steps(dimensions: int) -> Array:
    """Steps of the generalised golden ratio, a column each [1]."""
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    return np.asarray(root ** -np.arange(1, dimensions + 1))


def root_of(covariance: Array) -> Array:
    """The symmetric square root of a covariance matrix that may be singular.

    It alone is unique: sign and order of eigenvectors hang on the last figure, and with them the truths of a lattice.
    """
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray((vectors * np.sqrt(np.clip(values, 0.0, None))) @ vectors.T, dtype=np.float64)
