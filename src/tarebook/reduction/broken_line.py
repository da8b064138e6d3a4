"""The two sides of a broken straight line, fitted freely for every gap the break may lie in.

With both sides fitted freely, the least sum of squares for a break psi in that gap is exactly

    RSS(psi) = RSS_free + d(psi)^2 / var d(psi),   d(psi) = a + b psi - p,

where d is the step between the sides and var d follows from the covariance of the free fit: asking
for d = 0 is one linear constraint. It holds for any covariance of the readings, full ones included.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.least_squares import whitening_matrix

Right: TypeAlias = Literal["plateau", "line"]
IndexArray: TypeAlias = NDArray[np.intp]

N_DISTINCT = 4
"""Fewest different x: two runs on each side."""

NEAR = 1e-9
"""Share of a gap within which a break counts as lying at the x that ends it."""

NOTHING_LEFT = 1e-24
"""Share of the sum of squares that is rounding: a simpler curve then fits the points exactly."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gaps:
    """Free fits of both sides for each of the m gaps between neighbouring distinct x.

    x is counted from `centre`. In gap g the two sides differ by d = d0 + d1 psi, with variance
    q0 + q1 psi + q2 psi^2. In a gap with one x on the side of a free line that line is open, d = 0
    can always be had and the profile is flat: `flat`, with d = 0 and variance 1.
    """

    centre: float
    edges: FloatArray  # (m + 1,)
    n_right: FloatArray  # (m,) number of points right of the gap
    flat: BoolArray  # (m,)
    theta: FloatArray  # (m, q): intercept, slope, level or right intercept[, right slope]
    cov: FloatArray  # (m, q, q)
    rss: FloatArray  # (m,)
    d0: FloatArray
    d1: FloatArray
    q0: FloatArray
    q1: FloatArray
    q2: FloatArray
    rss_simple: float  # of the level (plateau) or the one straight line (line)
    total: float  # whitened sum of squares of y

    def profile(self, gap: IndexArray, psi: FloatArray) -> FloatArray:
        """Return the least sum of squares for breaks psi lying in the given gaps."""
        apart = self.d0[gap] + self.d1[gap] * psi
        variance = self.q0[gap] + self.q1[gap] * psi + self.q2[gap] * psi**2
        result: FloatArray = self.rss[gap] + apart**2 / variance
        return result

    def slope_of_profile(self, gap: IndexArray, psi: FloatArray) -> FloatArray:
        """Return the derivative of the profile, in the given gaps."""
        apart = self.d0[gap] + self.d1[gap] * psi
        variance = self.q0[gap] + self.q1[gap] * psi + self.q2[gap] * psi**2
        rise = self.q1[gap] + 2 * self.q2[gap] * psi
        result: FloatArray = apart * (2 * self.d1[gap] * variance - apart * rise) / variance**2
        return result

    def crossings(self) -> tuple[IndexArray, FloatArray]:
        """Return the gaps in which both sides meet, and where."""
        gap = np.flatnonzero(~self.flat & (self.d1 != 0))
        psi = -self.d0[gap] / self.d1[gap]
        slack = NEAR * np.diff(self.edges)[gap]
        inside = (psi >= self.edges[gap] - slack) & (psi <= self.edges[gap + 1] + slack)
        return gap[inside], psi[inside]


def free_fits(x: FloatArray, y: FloatArray, covariance: FloatArray | None, right: Right) -> Gaps:
    """Fit both sides freely for every gap, all gaps in one stacked decomposition.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points in any order.
    covariance : ndarray, shape (n, n), or None
        Of y; None if all points weigh alike.
    right : {"plateau", "line"}
        What lies right of the break.

    Raises
    ------
    OutOfRangeError
        If there are fewer than four different x, or the covariance cannot be used.

    References
    ----------
    .. [1] D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097-1129.
    """
    whitening = np.eye(x.size) if covariance is None else whitening_matrix(covariance, x.size)
    centre = float(np.mean(x))
    x = x - centre
    edges = np.unique(x)
    if edges.size < N_DISTINCT:
        raise OutOfRangeError(
            "number of different x", edges.size, "1", f"the range of {N_DISTINCT} and more",
            "Plan runs with other amounts of reagent.",
        )  # fmt: skip
    m = edges.size - 1
    left = (x <= edges[:-1, np.newaxis]).astype(float)  # (m, n)
    columns = [left, left * x, 1.0 - left]
    if right == "line":
        columns.append((1.0 - left) * x)
    flat = np.zeros(m, dtype=bool)
    flat[0] = True
    flat[-1] = right == "line"
    target = whitening @ y
    design = whitening @ np.stack(columns, axis=-1)  # (m, n, q)
    theta = np.zeros((m, len(columns)))
    cov = np.zeros((m, len(columns), len(columns)))
    q, r = np.linalg.qr(design[~flat])
    root = np.linalg.inv(r)
    theta[~flat] = (root @ (np.swapaxes(q, 1, 2) @ target[:, np.newaxis]))[..., 0]
    cov[~flat] = root @ np.swapaxes(root, 1, 2)
    rss = np.sum((target - (design @ theta[..., np.newaxis])[..., 0]) ** 2, axis=1)
    for gap, lost in ((0, 1), (m - 1, 3)):
        if flat[gap]:  # a line through one x: its slope says nothing
            rss[gap] = _least_squares(np.delete(design[gap], lost, axis=1), target)
    fixed = np.array([1.0, 0.0, -1.0, 0.0])[: len(columns)]
    moving = np.array([0.0, 1.0, 0.0, -1.0])[: len(columns)]
    simple = np.ones((x.size, 1)) if right == "plateau" else np.column_stack([np.ones_like(x), x])
    return Gaps(
        centre=centre,
        edges=edges,
        n_right=np.sum(1.0 - left, axis=1),
        flat=flat,
        theta=theta,
        cov=cov,
        rss=rss,
        d0=theta @ fixed,
        d1=theta @ moving,
        q0=np.where(flat, 1.0, cov @ fixed @ fixed),
        q1=2 * (cov @ fixed @ moving),
        q2=cov @ moving @ moving,
        rss_simple=_least_squares(whitening @ simple, target),
        total=float(target @ target),
    )


def _least_squares(design: FloatArray, target: FloatArray) -> float:
    """Return the least sum of squares of one linear fit."""
    q, _ = np.linalg.qr(design)
    return float(np.sum((target - q @ (q.T @ target)) ** 2))
