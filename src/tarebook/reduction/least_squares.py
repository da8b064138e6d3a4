"""What fits by generalised least squares share: their points and the weights of these."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError


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
