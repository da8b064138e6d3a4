"""The best broken line of many drawn series: a loop over the gaps, none over the draws.

The estimator is that of `broken_line` with a plateau on the right, from sums over the runs left of
each gap. Arrays have the runs along the first axis and the draws along the last.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.broken_line import N_DISTINCT, NEAR, IndexArray

BLOCK = 8192
"""Draws at a time: the sums of a block then stay in the processor's cache."""


def best_of_block(
    x: FloatArray, y: FloatArray, precision: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Return the best broken line with two runs on each side, and whether it is the best of all.

    Parameters
    ----------
    x, y : ndarray, shape (n, m)
        Runs about in order of x, n at least 4; counted from about their means, as the sums of
        squares lose digits otherwise.
    precision : ndarray, shape (n,) or (n, n)
        Weights, or inverse covariance, of y.

    Returns
    -------
    values : ndarray, shape (3, m)
        Slope, plateau and break.
    found : ndarray of bool, shape (m,)
        Whether no break nearer an end of the series, and no simpler curve, fits as well.

    Raises
    ------
    OutOfRangeError
        If a draw has fewer than four different x.

    References
    ----------
    .. [1] D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097-1129.
    """
    precision = precision[..., np.newaxis]
    steps = x[1:] - x[:-1]
    if np.min(steps) < 0:
        order = np.argsort(x, axis=0, kind="stable")
        x, y = np.take_along_axis(x, order, axis=0), np.take_along_axis(y, order, axis=0)
        steps = x[1:] - x[:-1]
        if precision.ndim == 2:
            precision = precision[order, 0]
        else:
            precision = precision[order[:, np.newaxis], order[np.newaxis], 0]
    ties = not np.min(steps) > 0
    if ties:
        _check_distinct(steps)
    sums = _weighted_sums(x, y, precision) if precision.ndim == 2 else _full_sums(x, y, precision)
    search = _Search(x, sums, ties=ties)
    search.meet_inside_the_gaps()
    search.meet_at_an_x()
    found = search.best < search.simpler
    level = np.flatnonzero(
        y[0] == y[1]
    )  # exactly level draws have no break, whatever rounding says
    found[level] &= np.any(y[:, level] != y[0, level], axis=0)
    return search.values, found


def _check_distinct(steps: FloatArray) -> None:
    """Raise if a draw, given by the steps between its x, has too few different ones."""
    fewest = 1 + int(np.min(np.count_nonzero(steps, axis=0)))
    if fewest < N_DISTINCT:
        raise OutOfRangeError(
            "number of different x", fewest, "1", f"the range of {N_DISTINCT} and more",
            "Plan runs with other amounts of reagent.",
        )  # fmt: skip


def _running_sums(terms: FloatArray) -> FloatArray:
    """Return the sums over the first 1, 2, ... rows: `numpy.cumsum`, at twice its speed here."""
    sums = terms.copy()
    for row in range(1, terms.shape[0]):
        sums[row] += sums[row - 1]
    return sums


class _Normal(NamedTuple):
    """Normal equations of both free fits: left intercept and slope, level on the right."""

    n11: FloatArray
    n12: FloatArray
    n22: FloatArray
    n13: FloatArray
    n23: FloatArray
    n33: FloatArray
    r1: FloatArray
    r2: FloatArray
    r3: FloatArray
    yy: FloatArray
    coupled: bool

    def solve(
        self, r1: FloatArray, r2: FloatArray, r3: FloatArray
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return the solution for a right-hand side, the level eliminated first."""
        if not self.coupled:  # weights only: the sides do not know of each other
            slope = (self.n11 * r2 - self.n12 * r1) / (self.n11 * self.n22 - self.n12 * self.n12)
            return (r1 - self.n12 * slope) / self.n11, slope, r3 / self.n33
        e1, e2 = self.n13 / self.n33, self.n23 / self.n33
        m11, m12 = self.n11 - e1 * self.n13, self.n12 - e1 * self.n23
        m22 = self.n22 - e2 * self.n23
        g1, g2 = r1 - e1 * r3, r2 - e2 * r3
        slope = (m11 * g2 - m12 * g1) / (m11 * m22 - m12 * m12)
        intercept = (g1 - m12 * slope) / m11
        return intercept, slope, r3 / self.n33 - e1 * intercept - e2 * slope

    def free(self) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        """Return intercept, slope, level and sum of squares of the free fits."""
        a, b, p = self.solve(self.r1, self.r2, self.r3)
        return a, b, p, self.yy - a * self.r1 - b * self.r2 - p * self.r3

    def joined(self, psi: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Return slope, level and sum of squares when both sides must meet at psi."""
        a, b, p, rss = self.free()
        pull = self.solve(np.ones_like(psi), psi, -np.ones_like(psi))
        apart = a + b * psi - p
        share = apart / (pull[0] + psi * pull[1] - pull[2])
        return b - share * pull[1], p - share * pull[2], rss + share * apart

    def two_levels(self) -> FloatArray:
        """Return the sum of squares of a level on each side."""
        determinant = self.n11 * self.n33 - self.n13**2
        left = (self.n33 * self.r1 - self.n13 * self.r3) / determinant
        right = (self.n11 * self.r3 - self.n13 * self.r1) / determinant
        return self.yy - left * self.r1 - right * self.r3


def _weighted_sums(x: FloatArray, y: FloatArray, w: FloatArray) -> _Normal:
    """Return the normal equations for each number of runs left; `w` is (n, 1) or (n, m)."""
    wx, wy = w * x, w * y
    n11, r1 = _running_sums(w), _running_sums(wy)
    zero = np.zeros((x.shape[0], 1))
    return _Normal(
        n11=n11,
        n12=_running_sums(wx),
        n22=_running_sums(wx * x),
        n13=zero,
        n23=zero,
        n33=n11[-1] - n11,
        r1=r1,
        r2=_running_sums(wx * y),
        r3=r1[-1] - r1,
        yy=np.sum(wy * y, axis=0),
        coupled=False,
    )


def _full_sums(x: FloatArray, y: FloatArray, p: FloatArray) -> _Normal:
    """Return the normal equations for each number of runs left; `p` is (n, n, 1) or (n, n, m)."""
    px, py = p * x, np.sum(p * y, axis=1)
    to_left = np.arange(x.shape[0])  # a double sum over the first k rows and k columns
    double, double_x = (np.cumsum(np.cumsum(q, axis=0), axis=1) for q in (p, px))
    double_xx = np.cumsum(np.cumsum(px * x[:, np.newaxis], axis=0), axis=1)
    n11, n12 = double[to_left, to_left], double_x[to_left, to_left]
    n13 = double[:, -1] - n11
    r1 = np.cumsum(py, axis=0)
    return _Normal(
        n11=n11,
        n12=n12,
        n22=double_xx[to_left, to_left],
        n13=n13,
        n23=double_x[-1] - n12,  # x left, 1 right: p is symmetric
        n33=double[-1, -1] - n11 - 2 * n13,
        r1=r1,
        r2=np.cumsum(x * py, axis=0),
        r3=r1[-1] - r1,
        yy=np.sum(y * py, axis=0),
        coupled=True,
    )


class _Search:
    """The best broken line so far of every draw.

    Attributes
    ----------
    values : ndarray, shape (3, m)
        Slope, plateau and break of the best one that has two runs on each side.
    best, simpler : ndarray, shape (m,)
        Its sum of squares, and the least one of those that have not (as far as it is below `best`).
    free : ndarray, shape (n, m)
        Sum of squares of the free fits with k runs left, a lower bound for that gap; infinite where
        there is no such gap.
    """

    def __init__(self, x: FloatArray, sums: _Normal, *, ties: bool) -> None:
        n, m = x.shape
        self.x, self.sums, self.ties = x, sums, ties
        self.values = np.empty((3, m))
        self.best = np.full(m, np.inf)
        self.free = np.full((n, m), np.inf)
        self.simpler = self._normal(1).two_levels()
        self.second = x[1]
        if ties:
            self.second = np.min(np.where(x > x[0], x, np.inf), axis=0)
            for k in range(2, n - 2):  # the first x may have been measured k times
                first = np.flatnonzero((x[k - 1] == x[0]) & (x[k] > x[0]))
                self.simpler[first] = self._normal(k, first).two_levels()

    def _normal(self, k: int, draws: IndexArray | None = None) -> _Normal:
        """Return the normal equations with k runs left."""
        row = [*(entry[k - 1] for entry in self.sums[:-2]), self.sums.yy]
        if draws is not None:  # weights common to all draws stay as they are
            row = [entry[draws] if entry.size == self.best.size else entry for entry in row]
        return _Normal._make([*row, self.sums.coupled])

    def _gap(self, k: int) -> BoolArray | None:
        """Return where there is a gap after run k with two different x left; None: everywhere."""
        if not self.ties:
            return None
        gap: BoolArray = (self.x[k - 1] > self.x[0]) & (self.x[k] > self.x[k - 1])
        return gap

    def meet_inside_the_gaps(self) -> None:
        """Try the free fits of each gap where they meet inside it."""
        n = self.x.shape[0]
        for k in range(2, n):
            low, width = self.x[k - 1], self.x[k] - self.x[k - 1]
            # A level left side never meets the plateau, and equal x give no line: the quotient is
            # then not finite, and no comparison below holds.
            with np.errstate(divide="ignore", invalid="ignore"):
                a, b, p, rss = self._normal(k).free()
                into = (p - a) / b - low
            gap = self._gap(k)
            self.free[k] = rss if gap is None else np.where(gap, rss, np.inf)
            slack = NEAR * width
            meets = (into >= -slack) & (into <= width + slack) & (self.free[k] < np.inf)
            if k == 2 or self.ties:  # at the second x the first run says nothing: `simpler`
                meets &= (low > self.second) | (into > slack)
            if k == n - 1 or self.ties:
                last = self.x[k] == self.x[-1]
                beyond = meets & last & (into > (slack if k == n - 1 else width - slack))
                self.simpler[beyond] = np.minimum(self.simpler, rss)[beyond]
                meets &= ~beyond
            better = np.flatnonzero(meets & (rss < self.best))
            self.best[better] = rss[better]
            self.values[:, better] = b[better], p[better], into[better] + low[better]

    def meet_at_an_x(self) -> None:
        """Try breaks at an x, where the free fits of its gap leave room for something better."""
        n = self.x.shape[0]
        for k in range(2, n):
            at = self.x[k - 1]
            inner = (at > self.second) & (at < self.x[-1])
            draws = np.flatnonzero(inner & (self.free[k] < self.best))
            slope, level, rss = self._normal(k, draws).joined(at[draws])
            kept = rss < self.best[draws]
            better = draws[kept]
            self.best[better] = rss[kept]
            self.values[:, better] = slope[kept], level[kept], at[better]
        # A break at the last x is a straight line. It matters only where it beats the best.
        for k in range(2 if self.ties else n - 1, n):
            end = self.x[k]
            rival = self.free[k] < np.minimum(self.best, self.simpler)
            draws = np.flatnonzero((end == self.x[-1]) & rival)
            _, _, rss = self._normal(k, draws).joined(end[draws])
            self.simpler[draws] = np.minimum(self.simpler[draws], rss)
