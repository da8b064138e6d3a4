"""The least sum of squares over the break, and what it says of the lines.

Its minima lie where the two sides meet inside their gap, or at an x.
"""

from __future__ import annotations

import math

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.reduction.broken_line import NEAR, NOTHING_LEFT, Gaps, Right
from tarebook.reduction.changeover_results import ChangeoverNotFound


def global_minimum(gaps: Gaps, right: Right) -> tuple[int, float, float]:
    """Return gap, break and sum of squares of the best broken line, or say what it lacks.

    Parameters
    ----------
    gaps : Gaps
    right : {"plateau", "line"}

    Raises
    ------
    ChangeoverNotFound
        If it has fewer than two runs on a side, or no break at all.
    """
    low, high = float(gaps.edges[0]) + gaps.centre, float(gaps.edges[-1]) + gaps.centre
    if gaps.rss_simple <= NOTHING_LEFT * gaps.total:
        raise ChangeoverNotFound("both", low, high, "Add runs on both sides of the change-over.")
    gap, psi = gaps.crossings()
    at_x = np.arange(1, gaps.rss.size)  # the x that ends gap at_x - 1 and begins gap at_x
    gap = np.concatenate([gap, at_x, at_x[-1:]])
    psi = np.concatenate([psi, gaps.edges[1:]])
    # Where both sides meet the sum is that of the free fit: adding 0/var again would only round.
    n_cross = gap.size - at_x.size - 1
    rss = np.concatenate([gaps.rss[gap[:n_cross]], gaps.profile(gap[n_cross:], psi[n_cross:])])
    best = int(np.argmin(rss))
    _check_sides(gaps, float(psi[best]), right)
    chosen = int(gap[best])
    if best >= n_cross:
        before, after = _u_break(gaps, chosen - 1, psi[best]), _u_break(gaps, chosen, psi[best])
        chosen = chosen - 1 if before > after else chosen
    return chosen, float(psi[best]), float(rss[best])


def _check_sides(gaps: Gaps, psi: float, right: Right) -> None:
    """Raise if a break leaves fewer than two runs on a side."""
    first, last = gaps.edges[1], gaps.edges[-2]
    if psi <= first + NEAR * (gaps.edges[2] - first):
        raise ChangeoverNotFound(
            "left", float(gaps.edges[0]) + gaps.centre, float(first) + gaps.centre,
            "Add runs with less reagent or more sample.",
        )  # fmt: skip
    if right == "line":
        too_far = psi >= last - NEAR * (last - gaps.edges[-3])
    elif gaps.n_right[-1] < 2:
        too_far = psi > last + NEAR * (gaps.edges[-1] - last)
    else:
        too_far = psi >= gaps.edges[-1] - NEAR * (gaps.edges[-1] - last)
    if too_far:
        raise ChangeoverNotFound(
            "right", float(last) + gaps.centre, float(gaps.edges[-1]) + gaps.centre,
            "Add runs with more reagent or less sample.",
        )  # fmt: skip


def _u_break(gaps: Gaps, gap: int, psi: float) -> float:
    """Return the unscaled first-order standard error of a break in a gap; -1 in a flat one."""
    if gaps.flat[gap]:
        return -1.0
    theta, difference = _joined(gaps, gap, psi)
    variance = float(difference @ gaps.cov[gap] @ difference)
    return math.sqrt(variance) / abs(_change_of_slope(theta))


def _joined(gaps: Gaps, gap: int, psi: float) -> tuple[FloatArray, FloatArray]:
    """Return the parameters in a gap when both sides must meet at psi, and the row that says so."""
    difference = np.array([1.0, psi, -1.0, -psi])[: gaps.theta.shape[1]]
    pull = gaps.cov[gap] @ difference
    theta = gaps.theta[gap] - pull * (difference @ gaps.theta[gap]) / (difference @ pull)
    return theta, difference


def _change_of_slope(theta: FloatArray) -> float:
    """Return left slope less right slope."""
    return float(theta[1] - (theta[3] if theta.size == 4 else 0.0))


def estimates(
    gaps: Gaps, gap: int, psi: float, right: Right
) -> tuple[tuple[float, float, float, float, float], FloatArray]:
    """Return intercept, slope, right slope, level at the break, break; and their covariance.

    Parameters
    ----------
    gaps : Gaps
    gap : int
    psi : float
        Break, counted from the centre.
    right : {"plateau", "line"}
    """
    theta, difference = _joined(gaps, gap, psi)
    rows = np.zeros((5, theta.size))
    rows[0, :2] = 1.0, -gaps.centre
    rows[1, 1] = 1.0
    if right == "line":
        rows[2, 3] = 1.0
    rows[4] = -difference / _change_of_slope(theta)
    rows[3] = theta[1] * rows[4]
    rows[3, :2] += 1.0, psi
    intercept, slope, right_slope = rows[:3] @ theta
    values = (intercept, slope, right_slope, theta[0] + theta[1] * psi, psi + gaps.centre)
    a, b, c, level, at = (float(value) for value in values)
    return (a, b, c, level, at), rows @ gaps.cov[gap] @ rows.T


def local_minima(gaps: Gaps) -> tuple[tuple[float, float], ...]:
    """Return (break, rss) of every local minimum, from left to right.

    Parameters
    ----------
    gaps : Gaps
    """
    gap, psi = gaps.crossings()
    found = list(zip(psi.tolist(), gaps.rss[gap].tolist(), strict=True))
    near = NEAR * float(gaps.edges[-1] - gaps.edges[0])
    after = np.flatnonzero(~gaps.flat[1:] & ~gaps.flat[:-1]) + 1
    psi = gaps.edges[after]
    dips = (gaps.slope_of_profile(after - 1, psi) < 0) & (gaps.slope_of_profile(after, psi) > 0)
    found += zip(psi[dips].tolist(), gaps.profile(after[dips], psi[dips]).tolist(), strict=True)
    minima: list[tuple[float, float]] = []
    for at, rss in sorted(found):
        if not minima or at - minima[-1][0] > near:
            minima.append((at, rss))
    return tuple((at + gaps.centre, rss) for at, rss in minima)
