"""What fits by generalised least squares share: points, weights, and the factor of an interval."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError


def coverage_factor(dof: int | None) -> float:
    """Return the factor of a two-sided 95 % interval.

    Parameters
    ----------
    dof : int or None, [1]
        Degrees of freedom of an estimated variance; None if the variance is known.

    Returns
    -------
    float, [1]
        Student's t, or the normal quantile. Its square is the 95 % point of F(1, dof), or of
        chi-squared with one degree of freedom.

    Examples
    --------
    >>> round(coverage_factor(5), 3), round(coverage_factor(None), 3)
    (2.571, 1.96)
    """
    from scipy.special import ndtri, stdtrit

    return float(ndtri(0.975) if dof is None else stdtrit(dof, 0.975))


def checked_points(x: FloatArray, y: FloatArray, n_least: int) -> tuple[FloatArray, FloatArray]:
    """Return x and y as arrays of floats, shape (n,) each, or say why they cannot be fitted.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points.
    n_least : int
        Fewest points that will do.

    Raises
    ------
    OutOfRangeError
        If the shapes differ, there are too few points or a number is not finite.
    """
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    if x.ndim != 1 or x.shape != y.shape:
        raise OutOfRangeError("number of y", y.size, "1", f"{{{x.size}}}", "Give one y for each x.")
    if x.size < n_least:
        raise OutOfRangeError(
            "number of points", x.size, "1", f"the range of {n_least} and more", "Add runs."
        )
    for name, numbers in (("x", x), ("y", y)):
        bad = numbers[~np.isfinite(numbers)]
        if bad.size:
            raise OutOfRangeError(name, float(bad[0]), "1", "finite numbers", "Leave the run out.")
    return x, y


def whitening_matrix(covariance: FloatArray, n: int) -> FloatArray:
    """Return W with W' W the inverse of a covariance: readings W y have unit covariance.

    Parameters
    ----------
    covariance : ndarray, shape (n, n)
        Symmetric and positive definite.
    n : int
        Number of points it must fit.

    Returns
    -------
    ndarray, shape (n, n)
        Inverse of the lower Cholesky factor.

    Raises
    ------
    OutOfRangeError
        If the shape is wrong, or the matrix is not symmetric and positive definite.

    Examples
    --------
    >>> whitening_matrix(np.diag([4.0, 0.25]), 2)
    array([[0.5, 0. ],
           [0. , 2. ]])
    """
    covariance = np.asarray(covariance, dtype=float)
    if covariance.shape != (n, n):
        raise OutOfRangeError(
            "size of the covariance", covariance.size, "1", f"{{{n * n}}}", f"Give {n} x {n}."
        )
    worst = float(np.max(np.abs(covariance - covariance.T)))
    if not worst <= 1e-9 * float(np.max(np.abs(covariance))):
        raise OutOfRangeError("asymmetry of the covariance", worst, "1", "{0}", "Make C = C'.")
    try:
        factor = np.linalg.cholesky(covariance)
    except np.linalg.LinAlgError as error:
        smallest = float(np.linalg.eigvalsh(covariance)[0])
        raise OutOfRangeError(
            "smallest eigenvalue of the covariance", smallest, "1", "(0, inf)",
            "Every reading needs an uncertainty of its own.",
        ) from error  # fmt: skip
    return np.linalg.inv(factor)
