"""Change-overs of many drawn series: what `fit_changeover` finds, with no loop over the series."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.broken_line import N_DISTINCT
from tarebook.reduction.drawn_broken_lines import BLOCK, best_of_block
from tarebook.reduction.least_squares import whitening_matrix


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
            "number of points", x.shape[1], "1", f"the range of {N_DISTINCT} and more", "Add runs."
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
