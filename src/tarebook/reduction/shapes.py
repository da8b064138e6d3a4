"""Which curve describes a row best: two lines, or something simpler.

Two lines always follow the points more closely than one, for they have more to bend. Akaike's
criterion takes off what the parameters alone would win [1]_: AIC = chi2 + 2 k if the covariance of
the readings is known, n log(rss / n) + 2 (k + 1) and the small-sample term of [2]_ if it is not.
The smallest one loses least of what the points say; exp(-difference / 2) says how well another one
does beside it [3]_. The break counts as a parameter.

References
----------
.. [1] H. Akaike, IEEE Trans. Automatic Control 19 (1974) 716-723 (from memory).
.. [2] C. M. Hurvich, C.-L. Tsai, Biometrika 76 (1989) 297-307 (from memory).
.. [3] K. P. Burnham, D. R. Anderson, Model Selection and Multimodel Inference, 2nd ed., Springer
   2002, chapter 2 (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.reduction.changeover_results import ChangeoverFit
from tarebook.reduction.least_squares import checked_points, whitening_matrix

FEWEST_POINTS = 4

CLEARLY = 6.0
"""Difference of the criterion from which another curve is said to describe the row better: as if it
were twenty times as likely, exp(-3) = 0.05."""


class Shape(StrEnum):
    """A curve through a row."""

    THROUGH_ORIGIN = "straight line through the origin"
    STRAIGHT = "straight line"
    QUADRATIC = "quadratic"
    TWO_LINES = "two lines"


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeFit:
    """One curve through a row.

    Attributes
    ----------
    shape : Shape
    n_parameters : int
        Of the curve, the break included.
    rss : float
        Weighted sum of squares; chi-squared if the covariance is known.
    aic : float, [1]
    difference : float, [1]
        From the smallest of the row: 0 for the curve that describes it best.
    weight : float, [1]
        Akaike weight; those of a row add up to 1.
    """

    shape: Shape
    n_parameters: int
    rss: float
    aic: float
    difference: float
    weight: float


def compare_shapes(
    x: FloatArray,
    y: FloatArray,
    two_lines: ChangeoverFit | None,
    covariance: FloatArray | None = None,
) -> tuple[ShapeFit, ...]:
    """Return the curves through a row, that which describes it best first.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
    two_lines : ChangeoverFit or None
        Of the same points with the same covariance; None where they show no break.
    covariance : ndarray, shape (n, n), optional
        Known covariance of y.

    Returns
    -------
    tuple of ShapeFit

    Raises
    ------
    OutOfRangeError
        If the points or the covariance cannot be used.

    Examples
    --------
    >>> from tarebook.reduction.changeover import fit_changeover
    >>> x = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0])
    >>> y = np.minimum(x, 4.0) + np.array([1.0, -1.0, 1.0, -1.0, 1.0, -1.0, 1.0, -1.0]) / 50.0
    >>> [fit.shape.value for fit in compare_shapes(x, y, fit_changeover(x, y))][:2]
    ['two lines', 'quadratic']
    """
    x, y = checked_points(x, y, FEWEST_POINTS)
    whitening = np.eye(x.size) if covariance is None else whitening_matrix(covariance, x.size)
    target = whitening @ y
    columns = {
        Shape.THROUGH_ORIGIN: x[:, None],
        Shape.STRAIGHT: np.column_stack([np.ones_like(x), x]),
        Shape.QUADRATIC: np.column_stack([np.ones_like(x), x, x**2]),
    }
    found = {
        shape: (design.shape[1], _least_squares(whitening @ design, target))
        for shape, design in columns.items()
    }
    if two_lines is not None:
        found[Shape.TWO_LINES] = (x.size - two_lines.dof, two_lines.rss)
    known = covariance is not None
    aic = {shape: _aic(rss, k, x.size, known=known) for shape, (k, rss) in found.items()}
    least = min(aic.values())
    likely = {shape: math.exp(-(value - least) / 2.0) for shape, value in aic.items()}
    whole = sum(likely.values())
    fits = (
        ShapeFit(
            shape=shape,
            n_parameters=k,
            rss=rss,
            aic=aic[shape],
            difference=aic[shape] - least,
            weight=likely[shape] / whole,
        )
        for shape, (k, rss) in found.items()
    )
    return tuple(sorted(fits, key=lambda fit: fit.aic))


def better_than_two_lines(shapes: tuple[ShapeFit, ...]) -> ShapeFit | None:
    """Return the curve that describes a row clearly better than two lines; None if none does.

    Parameters
    ----------
    shapes : tuple of ShapeFit
        Of one row, the best first.
    """
    lines = next((fit for fit in shapes if fit.shape is Shape.TWO_LINES), None)
    return shapes[0] if lines is not None and lines.difference >= CLEARLY else None


def _aic(rss: float, k: int, n: int, *, known: bool) -> float:
    if known:
        return rss + 2.0 * k
    all_k = k + 1  # the variance is found as well
    if n - all_k - 1 <= 0:
        return math.inf
    small = 2.0 * all_k * (all_k + 1) / (n - all_k - 1)
    return n * math.log(max(rss, 1e-300) / n) + 2.0 * all_k + small


def _least_squares(design: FloatArray, target: FloatArray) -> float:
    """Return the least sum of squares of one linear fit."""
    q, _ = np.linalg.qr(design)
    return float(np.sum((target - q @ (q.T @ target)) ** 2))
