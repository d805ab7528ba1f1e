"""Standard normal points that are the same in every answer."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from fitcheck.advice.decide.state import Array
from fitcheck.estimates.student import normal_quantile


@lru_cache(maxsize=32)
def lattice(size: int, dimensions: int) -> Array:
    """Standard normal points, size x dimensions, on a lattice of the generalised golden ratio and its mirror.

    Fixed and low-discrepancy: the same state gives the same mean to the last digit. Whitened, so that means are
    zero, variances one and correlations zero exactly; size is even and more than twice the dimensions.
    """
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    steps = root ** -np.arange(1, dimensions + 1)
    half = (0.5 + np.outer(np.arange(1, size // 2 + 1), steps)) % 1.0
    flat = [normal_quantile(p) for p in half.ravel().tolist()]
    z = np.array(flat).reshape(half.shape)
    z = np.concatenate([z, -z])
    return np.asarray(np.linalg.solve(np.linalg.cholesky(z.T @ z / len(z)), z.T).T, dtype=np.float64)


def root_of(covariance: Array) -> Array:
    """The symmetric square root of a covariance matrix that may be singular.

    It alone is unique: sign and order of eigenvectors hang on the last figure, and with them the truths of a lattice.
    """
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray((vectors * np.sqrt(np.clip(values, 0.0, None))) @ vectors.T, dtype=np.float64)
