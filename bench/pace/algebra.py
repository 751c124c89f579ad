"""Small dense linear algebra on lists, for matrices of about ten rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from operator import mul

Vector = list[float]
Matrix = list[list[float]]


def dot(a: Sequence[float], b: Sequence[float]) -> float:
    """Inner product of two vectors of equal length."""
    total: float = sum(map(mul, a, b), 0.0)
    return total


def times(m: Matrix, v: Sequence[float]) -> Vector:
    """Matrix times vector."""
    return [dot(row, v) for row in m]


def quadratic(m: Matrix, v: Sequence[float]) -> float:
    """Quadratic form v'Mv."""
    return dot(v, times(m, v))


def inverse(m: Matrix) -> tuple[Matrix, float]:
    """Inverse and log determinant of a symmetric positive definite matrix.

    Raises:
        ValueError: the matrix is not positive definite.

    """
    n = len(m)
    low: Matrix = []
    log_det = 0.0
    for i in range(n):
        row = m[i]
        new: Vector = []
        for j in range(i):
            lj = low[j]
            new.append((row[j] - dot(new, lj)) / lj[j])
        rest = row[i] - dot(new, new)
        if rest <= 0:
            raise ValueError("matrix is not positive definite")
        new.append(math.sqrt(rest))
        low.append(new)
        log_det += math.log(rest)
    # Columns of the inverse of the lower factor, each from its diagonal down; its transpose times
    # itself is what is wanted.
    cols: Matrix = [[] for _ in range(n)]
    for i in range(n):
        li = low[i]
        d = 1.0 / li[i]
        for j in range(i):
            cols[j].append(-d * dot(li[j:i], cols[j]))
        cols[i].append(d)
    out = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            out[i][j] = out[j][i] = dot(cols[i], cols[j][i - j :])
    return out, log_det


def exchangeable_inverse(n: int, variance: float, shared: float) -> Matrix:
    """Inverse of variance·((1 − shared)·I + shared·11'), n × n."""
    own = variance * (1 - shared)
    off = -variance * shared / (own * (own + n * variance * shared))
    return [[off + (1 / own if i == j else 0.0) for j in range(n)] for i in range(n)]
