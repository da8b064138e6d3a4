"""Where a broken straight line changes over, and how well that is known.

Left of the change-over the reagent limits and y = a + b x; right of it the sample limits and y
stays at the plateau p (or follows a second line). The break is where both meet, (p - a)/b. For a
mixing series x is reagent volume per gram of sample and y mass lost per gram of sample, but
nothing here depends on the units: results carry those of x and y.

The sum of squares as a function of the break can have several local minima, so the search is
global and needs no start value [1]_: `broken_line` fits both sides freely for every gap between
neighbouring x and gives the exact profile in each. Its minima lie where the two sides meet inside
their gap, or at an x.

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

from tarebook.core.arrays import FloatArray
from tarebook.reduction.broken_line import N_DISTINCT, Right, free_fits
from tarebook.reduction.changeover_profile import estimates, global_minimum, local_minima
from tarebook.reduction.changeover_results import ChangeoverFit
from tarebook.reduction.least_squares import checked_points


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
        Estimates and their covariance.

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
    >>> import numpy as np
    >>> volume = np.array([0.0, 1.0, 3.0, 4.0, 5.0, 6.0, 10.0, 12.0])
    >>> fit = fit_changeover(volume, np.minimum(0.125 * volume, 1.0))
    >>> round(fit.breakpoint, 9), round(fit.plateau, 9)
    (8.0, 1.0)
    """
    x, y = checked_points(x, y, N_DISTINCT if right == "plateau" else N_DISTINCT + 1)
    gaps = free_fits(x, y, covariance, right)
    gap, psi, rss = global_minimum(gaps, right)
    dof = x.size - gaps.theta.shape[1]
    known = covariance is not None
    scale = 1.0 if known else rss / dof
    values, cov = estimates(gaps, gap, psi, right)
    cov = cov * scale
    intercept, slope, right_slope, plateau, at = values
    return ChangeoverFit(
        intercept=intercept,
        slope=slope,
        right_slope=right_slope,
        plateau=plateau,
        breakpoint=at,
        covariance=cov,
        plateau_u=math.sqrt(cov[3, 3]),
        rss=rss,
        dof=dof,
        birge=math.sqrt(rss / dof) if known else 1.0,
        # Divides by zero where two runs are so near one another that no line holds.
        local_minima=local_minima(gaps),
    )
