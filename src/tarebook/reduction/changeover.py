"""Where a broken straight line changes over, and how well that is known.

Left of the change-over the reagent limits and y = a + b x; right of it the sample limits and y
stays at the plateau p (or follows a second line). The break is where both meet, (p - a)/b. For a
mixing series x is reagent volume per gram of sample and y mass lost per gram of sample, but
nothing here depends on the units: results carry those of x and y.

The sum of squares as a function of the break can have several local minima, so the search is
global and needs no start value [1]_: `broken_line` fits both sides freely for every gap between
neighbouring x and gives the exact profile in each. Its minima lie where the two sides meet inside
their gap, or at an x; and the breaks within a limit solve a quadratic in each gap, so the profile
interval is exact too.

References
----------
.. [1] D. J. Hudson, Fitting segmented curves whose join points have to be estimated, J. Am. Stat.
   Assoc. 61 (1966) 1097-1129.
.. [2] D. W. Bacon, D. G. Watts, Estimating the transition between two intersecting straight lines,
   Biometrika 58 (1971) 525-534.
.. [3] G. A. F. Seber, A. J. Lee, Linear Regression Analysis, 2nd ed., Wiley, 2003.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar, Literal, TypeAlias

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.reduction.broken_line import (
    N_DISTINCT,
    NEAR,
    NOTHING_LEFT,
    Gaps,
    Right,
    free_fits,
)
from tarebook.reduction.drawn_broken_lines import BLOCK, best_of_block
from tarebook.reduction.straight_line import checked_points, coverage_factor, whitening_matrix

Side: TypeAlias = Literal["left", "right", "both"]


class ChangeoverNotFound(TarebookError, ValueError):  # noqa: N818 (the outcome, not a mishap)
    """The points do not show a change-over with at least two runs on each side of it.

    Parameters
    ----------
    side : {"left", "right", "both"}
        Where runs are lacking; "both" if the points follow one straight line.
    low, high : float
        Where the best broken line would have its break, in the unit of x.
    fix : str
        What to do about it.

    Examples
    --------
    >>> print(ChangeoverNotFound("right", 9.0, 10.0, "Add runs with more reagent."))
    No change-over found: the best break lies from 9 to 10 and leaves fewer than 2 runs on the \
right; at least 2 are needed on each side. Add runs with more reagent.
    """

    code: ClassVar[str] = "no-changeover"

    def __init__(self, side: Side, low: float, high: float, fix: str) -> None:
        super().__init__(side, low, high, fix)
        self.side, self.low, self.high, self.fix = side, low, high, fix

    def __str__(self) -> str:
        if self.side == "both":
            found = f"the points from {self.low:g} to {self.high:g} follow one straight line"
        else:
            found = (
                f"the best break lies from {self.low:g} to {self.high:g} and leaves fewer than 2 "
                f"runs on the {self.side}"
            )
        return f"No change-over found: {found}; at least 2 are needed on each side. {self.fix}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProfileInterval:
    """Breaks that the points do not exclude.

    Attributes
    ----------
    low, high : float
        Outermost ends. On an open side this is the end of the series, and the break may lie beyond.
    open_low, open_high : bool
        Whether a curve without a change-over on that side fits within the limit as well.
    pieces : tuple of (float, float)
        The breaks within the limit; more than one piece where the profile has several dips.
    limit : float
        The sum of squares that bounds the interval.
    """

    low: float
    high: float
    open_low: bool
    open_high: bool
    pieces: tuple[tuple[float, float], ...]
    limit: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChangeoverFit:
    """The broken line of least (generalised) squares.

    Attributes
    ----------
    intercept, slope : float
        Left line.
    right_slope : float
        Slope of the right side; 0 for a plateau.
    plateau : float
        Level of the plateau; the level at the break where the right side is a line.
    breakpoint : float
        x of the change-over.
    covariance : ndarray, shape (5, 5)
        Of (intercept, slope, right_slope, plateau, breakpoint), to first order; its rank is 3 for a
        plateau and 4 for a line, as the break follows from the others. Scaled by the residual
        variance unless the covariance of the readings was given.
    breakpoint_u, plateau_u : float
        Standard errors to first order.
    breakpoint_interval : ProfileInterval
        95 % profile interval; prefer it to `breakpoint_u`, as it is not symmetric.
    plateau_low, plateau_high : float
        95 % interval, plateau_u times `coverage_factor` to either side.
    coverage_factor : float, [1]
        Student's t with `dof`, or 1.96 if the covariance of the readings was given.
    covariance_known : bool
        Whether it was given.
    rss : float
        Weighted sum of squared residuals; chi-squared if the covariance was given.
    dof : int
        Points less 3 (plateau) or 4 (line).
    residual_sd : float
        sqrt(rss / dof).
    birge : float, [1]
        sqrt(chi2 / dof) if the covariance was given: about 1 if it and the model hold. Nothing is
        scaled by it here. 1 by construction otherwise.
    fitted, residuals : ndarray, shape (n,)
        In the order of the input.
    local_minima : tuple of (float, float)
        (break, rss) of every local minimum of the profile, from left to right.
    """

    intercept: float
    slope: float
    right_slope: float
    plateau: float
    breakpoint: float
    covariance: FloatArray
    breakpoint_u: float
    plateau_u: float
    breakpoint_interval: ProfileInterval
    plateau_low: float
    plateau_high: float
    coverage_factor: float
    covariance_known: bool
    rss: float
    dof: int
    residual_sd: float
    birge: float
    fitted: FloatArray
    residuals: FloatArray
    local_minima: tuple[tuple[float, float], ...]

    @property
    def identified(self) -> bool:
        """Whether the 95 % interval of the break is closed on both sides."""
        return not (self.breakpoint_interval.open_low or self.breakpoint_interval.open_high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnChangeovers:
    """Change-overs of many drawn series.

    Attributes
    ----------
    intercept, slope, plateau, breakpoint : ndarray, shape (d,)
        Estimates. Where `found` is False: the best broken line among those with two runs on each
        side, which is not the best of all.
    found : ndarray of bool, shape (d,)
        False where `fit_changeover` would raise `ChangeoverNotFound`.
    """

    intercept: FloatArray
    slope: FloatArray
    plateau: FloatArray
    breakpoint: FloatArray
    found: BoolArray


def fit_changeover(
    x: FloatArray,
    y: FloatArray,
    covariance: FloatArray | None = None,
    *,
    right: Right = "plateau",
) -> ChangeoverFit:
    """Fit a broken straight line with unknown break: the best of all, not of a start value.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points in any order, x taken as exact, at least four different x; n is at least 4 for a
        plateau and 5 for a line.
    covariance : ndarray, shape (n, n), optional
        Known covariance of y. Without it all points weigh alike and the residuals supply the
        variance.
    right : {"plateau", "line"}
        What lies right of the break.

    Returns
    -------
    ChangeoverFit
        Estimates, covariance, 95 % intervals. The interval of the break is bounded by
        rss (1 + F(1, dof)/dof), or by rss + chi-squared(1) if the covariance is known.

    Raises
    ------
    ChangeoverNotFound
        If the best broken line has fewer than two runs on a side, or no break at all.
    OutOfRangeError
        If the points or the covariance cannot be used.

    Notes
    -----
    The first-order standard errors take the side of each point as settled. With the break at an x,
    the larger of the two one-sided errors is given.

    References
    ----------
    .. [1] D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097-1129.
    .. [2] D. W. Bacon, D. G. Watts, Biometrika 58 (1971) 525-534.
    .. [3] G. A. F. Seber, A. J. Lee, Linear Regression Analysis, 2nd ed., Wiley, 2003.

    Examples
    --------
    >>> volume = np.array([0.0, 1.0, 3.0, 4.0, 5.0, 6.0, 10.0, 12.0])
    >>> fit = fit_changeover(volume, np.minimum(0.125 * volume, 1.0))
    >>> round(fit.breakpoint, 9), round(fit.plateau, 9), fit.identified
    (8.0, 1.0, True)
    """
    x, y = checked_points(x, y, N_DISTINCT if right == "plateau" else N_DISTINCT + 1)
    gaps = free_fits(x, y, covariance, right)
    gap, psi, rss = _global_minimum(gaps, right)
    dof = x.size - gaps.theta.shape[1]
    known = covariance is not None
    scale = 1.0 if known else rss / dof
    factor = coverage_factor(None if known else dof)
    values, cov = _estimates(gaps, gap, psi, right)
    cov = cov * scale
    intercept, slope, right_slope, plateau, at = values
    fitted = plateau + slope * np.minimum(x - at, 0.0) + right_slope * np.maximum(x - at, 0.0)
    plateau_u = math.sqrt(cov[3, 3])
    return ChangeoverFit(
        intercept=intercept,
        slope=slope,
        right_slope=right_slope,
        plateau=plateau,
        breakpoint=at,
        covariance=cov,
        breakpoint_u=math.sqrt(cov[4, 4]),
        plateau_u=plateau_u,
        breakpoint_interval=_interval(gaps, psi, rss + factor**2 * scale),
        plateau_low=plateau - factor * plateau_u,
        plateau_high=plateau + factor * plateau_u,
        coverage_factor=factor,
        covariance_known=known,
        rss=rss,
        dof=dof,
        residual_sd=math.sqrt(rss / dof),
        birge=math.sqrt(rss / dof) if known else 1.0,
        fitted=fitted,
        residuals=y - fitted,
        local_minima=_local_minima(gaps),
    )


def changeover_profile(
    x: FloatArray,
    y: FloatArray,
    breakpoints: FloatArray,
    covariance: FloatArray | None = None,
    *,
    right: Right = "plateau",
) -> FloatArray:
    """Return the least sum of squares as a function of the break.

    Parameters
    ----------
    x, y, covariance, right
        As for `fit_changeover`.
    breakpoints : ndarray, shape (m,)
        Breaks between the smallest and the largest x. In the first gap (and, for a line, in the
        last) the side with one run fits exactly and the profile is flat.

    Returns
    -------
    ndarray, shape (m,)
        Sum of squares, chi-squared if the covariance is given.

    Raises
    ------
    OutOfRangeError
        If a break lies outside the series, or the points or the covariance cannot be used.

    Examples
    --------
    >>> volume = np.array([0.0, 1.0, 2.0, 3.0, 4.0])
    >>> lost = np.array([0.0, 1.0, 2.0, 2.0, 2.0])
    >>> changeover_profile(volume, lost, np.array([2.0, 4.0])).round(6)
    array([0. , 0.7])
    """
    x, y = checked_points(x, y, N_DISTINCT)
    gaps = free_fits(x, y, covariance, right)
    psi = np.asarray(breakpoints, dtype=float) - gaps.centre
    slack = NEAR * (gaps.edges[-1] - gaps.edges[0])
    outside = ~((psi >= gaps.edges[0] - slack) & (psi <= gaps.edges[-1] + slack))
    if np.any(outside):
        raise OutOfRangeError(
            "break", float(psi[outside][0]) + gaps.centre, "1",
            f"[{np.min(x):g}, {np.max(x):g}]", "Stay within the series.",
        )  # fmt: skip
    gap = np.clip(np.searchsorted(gaps.edges, psi, side="right") - 1, 0, gaps.rss.size - 1)
    return gaps.profile(gap, psi)


def changeover_of_draws(
    x: FloatArray, y: FloatArray, weighting: FloatArray | None = None
) -> DrawnChangeovers:
    """Fit a rising line and a plateau to each of many series, without a loop over the series.

    Parameters
    ----------
    x, y : ndarray, shape (d, n)
        One series per row, the runs in the same columns throughout, n at least 4. The runs of a row
        are sorted by its own x and their weights or covariance go with them, so neighbours may
        change places from draw to draw. A transposed (n, d) array costs nothing extra.
    weighting : ndarray, shape (n,) or (n, n), optional
        One dimension: weights of y, inversely as its variance; a common factor is of no account.
        Two dimensions: the covariance of y. Without it all runs weigh alike.

    Returns
    -------
    DrawnChangeovers
        Row by row what `fit_changeover` gives for a plateau.

    Raises
    ------
    OutOfRangeError
        If the arrays do not fit each other, a number is not finite, or a row has fewer than four
        different x.

    References
    ----------
    .. [1] D. J. Hudson, J. Am. Stat. Assoc. 61 (1966) 1097-1129.

    Examples
    --------
    >>> x = np.array([[0.0, 1.0, 2.0, 3.0, 4.0], [0.0, 1.1, 2.0, 3.0, 4.0]])
    >>> y = np.minimum(2.0 * x, np.array([[3.0], [5.0]]))
    >>> changeover_of_draws(x, y).breakpoint.round(9)
    array([1.5, 2.5])
    """
    x, y = _checked_draws(x, y)
    n_draws, n = x.shape
    precision = _precision(weighting, n)
    nominal = np.argsort(x.mean(axis=0), kind="stable")
    precision = precision[nominal] if precision.ndim == 1 else precision[np.ix_(nominal, nominal)]
    x_centre, y_centre = float(x.mean()), float(y.mean())
    values, found = np.empty((3, n_draws)), np.empty(n_draws, dtype=bool)
    for start in range(0, n_draws, BLOCK):
        part = slice(start, start + BLOCK)
        values[:, part], found[part] = best_of_block(
            x[part].T[nominal] - x_centre, y[part].T[nominal] - y_centre, precision
        )
    slope, plateau, at = values[0], values[1] + y_centre, values[2] + x_centre
    return DrawnChangeovers(
        intercept=plateau - slope * at, slope=slope, plateau=plateau, breakpoint=at, found=found
    )


def _checked_draws(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return x and y as arrays of floats, or say why they cannot be fitted."""
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.ndim != 2 or x.shape != y.shape:
        raise OutOfRangeError(
            "number of y", y.size, "1", f"{{{x.size}}}", "Give x and y as (d, n)."
        )
    if x.shape[1] < N_DISTINCT:
        raise OutOfRangeError(
            "number of points", x.shape[1], "1", f"[{N_DISTINCT}, inf)", "Add runs."
        )
    for name, numbers in (("x", x), ("y", y)):
        if not np.all(np.isfinite(numbers)):
            bad = float(numbers[~np.isfinite(numbers)][0])
            raise OutOfRangeError(name, bad, "1", "finite numbers", "Leave the run out.")
    return x, y


def _precision(weighting: FloatArray | None, n: int) -> FloatArray:
    """Return weights, shape (n,), or an inverse covariance that is not diagonal, shape (n, n)."""
    if weighting is None:
        return np.ones(n)
    weighting = np.asarray(weighting, dtype=float)
    if weighting.ndim != 1:
        whitening = whitening_matrix(weighting, n)
        precision = whitening.T @ whitening
        diagonal = np.diag(precision)
        return diagonal if np.count_nonzero(precision) == n else precision
    if weighting.shape != (n,):
        raise OutOfRangeError("number of weights", weighting.size, "1", f"{{{n}}}")
    if not (np.all(weighting > 0) and np.all(np.isfinite(weighting))):
        raise OutOfRangeError("weight", float(np.min(weighting)), "1", "(0, inf)")
    return weighting


def _global_minimum(gaps: Gaps, right: Right) -> tuple[int, float, float]:
    """Return gap, break and sum of squares of the best broken line, or say what it lacks."""
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


def _estimates(
    gaps: Gaps, gap: int, psi: float, right: Right
) -> tuple[tuple[float, float, float, float, float], FloatArray]:
    """Return intercept, slope, right slope, level at the break, break; and their covariance."""
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


def _local_minima(gaps: Gaps) -> tuple[tuple[float, float], ...]:
    """Return (break, rss) of every local minimum, from left to right."""
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


def _interval(gaps: Gaps, best: float, limit: float) -> ProfileInterval:
    """Return all breaks whose profile is within the limit, from the quadratic in each gap."""
    pieces: list[tuple[float, float]] = [(best, best)]
    for gap in range(gaps.rss.size):
        low, high = float(gaps.edges[gap]), float(gaps.edges[gap + 1])
        room = limit - float(gaps.rss[gap])
        if room < 0:
            continue
        c2 = gaps.d1[gap] ** 2 - room * gaps.q2[gap]
        c1 = 2 * gaps.d0[gap] * gaps.d1[gap] - room * gaps.q1[gap]
        c0 = gaps.d0[gap] ** 2 - room * gaps.q0[gap]
        roots = [root for root in _real_roots(float(c2), float(c1), float(c0)) if low < root < high]
        ends = [low, *sorted(roots), high]
        for start, end in pairwise(ends):
            middle = (start + end) / 2
            if c0 + middle * (c1 + middle * c2) <= 0:
                pieces.append((start, end))
    near = NEAR * float(gaps.edges[-1] - gaps.edges[0])
    merged: list[tuple[float, float]] = []
    for start, end in sorted(pieces):
        if merged and start <= merged[-1][1] + near:
            merged[-1] = (merged[-1][0], max(merged[-1][1], end))
        else:
            merged.append((start, end))
    c = gaps.centre
    return ProfileInterval(
        low=merged[0][0] + c,
        high=merged[-1][1] + c,
        open_low=bool(merged[0][0] <= gaps.edges[0]),
        open_high=bool(merged[-1][1] >= gaps.edges[-1]),
        pieces=tuple((start + c, end + c) for start, end in merged),
        limit=limit,
    )


def _real_roots(c2: float, c1: float, c0: float) -> list[float]:
    """Return the real roots of c2 t^2 + c1 t + c0, without cancellation."""
    discriminant = c1 * c1 - 4 * c2 * c0
    if discriminant < 0:
        return []
    half = -(c1 + math.copysign(math.sqrt(discriminant), c1)) / 2
    return ([half / c2] if c2 != 0 else []) + ([c0 / half] if half != 0 else [])
