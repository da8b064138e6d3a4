"""Generalised least squares of a straight line, prediction from it and reading back from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StraightLine:
    """A fitted line y = intercept + slope x.

    Attributes
    ----------
    intercept, slope : float
        Estimates.
    covariance : ndarray, shape (2, 2)
        Covariance of (intercept, slope). Scaled by the residual variance unless the covariance of
        the readings was given.
    residual_sd : float
        sqrt(rss / dof); the Birge ratio if the covariance of the readings was given.
    rss : float
        Weighted sum of squared residuals (chi-squared if the covariance was given).
    r_squared : float, [1]
        Share of the weighted sum of squares about the mean that the line explains; 0 where all y
        are equal.
    n_points, dof : int
        Number of points, and that number less 2.
    coverage_factor : float, [1]
        Multiplies a standard error to give the 95 % half-width: Student's t with `dof`, or the
        normal 1.96 if the covariance was given.
    kind : str
        ``"equal"``, ``"weights"`` or ``"covariance"``: what was known about the readings.
    fitted, residuals : ndarray, shape (n,)
        In the order of the input.
    """

    intercept: float
    slope: float
    covariance: FloatArray
    residual_sd: float
    rss: float
    r_squared: float
    n_points: int
    dof: int
    coverage_factor: float
    kind: str
    fitted: FloatArray
    residuals: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prediction:
    """Heights of a line with their joint covariance.

    Attributes
    ----------
    value, u : ndarray, shape (m,)
        Height of the line and its standard uncertainty.
    covariance : ndarray, shape (m, m)
        Heights of one line are correlated; differences and sums need this.
    """

    value: FloatArray
    u: FloatArray
    covariance: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class InversePrediction:
    """An x read back from a line.

    Attributes
    ----------
    value, u, half_width : float
        Estimate, standard error and half-width of the 95 % interval.
    """

    value: float
    u: float
    half_width: float


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


def fit_straight_line(
    x: FloatArray,
    y: FloatArray,
    covariance: FloatArray | None = None,
    *,
    weights: FloatArray | None = None,
) -> StraightLine:
    """Fit a straight line by generalised least squares.

    Parameters
    ----------
    x, y : ndarray, shape (n,)
        Points, at least three, with two different x; x is taken as exact.
    covariance : ndarray, shape (n, n), optional
        Known covariance of y. The covariance of the line is then not scaled; compare
        `residual_sd` with 1 to see whether the readings bear it out.
    weights : ndarray, shape (n,), optional
        Relative weights of y, known but for a common factor that the residuals supply. Without
        either, all weights are equal.

    Returns
    -------
    StraightLine
        Estimates with their covariance.

    Raises
    ------
    OutOfRangeError
        If the points, weights or covariance cannot be used, or both of the last are given.

    References
    ----------
    .. [1] G. A. F. Seber, A. J. Lee, Linear Regression Analysis, 2nd ed., Wiley, 2003, 3.10.

    Examples
    --------
    >>> line = fit_straight_line(np.array([0.0, 1.0, 2.0, 3.0]), np.array([1.0, 3.0, 5.0, 8.0]))
    >>> round(line.intercept, 6), round(line.slope, 6), line.dof
    (0.8, 2.3, 2)
    """
    x, y = checked_points(x, y, 3)
    if np.ptp(x) == 0:
        raise OutOfRangeError("spread of x", 0.0, "1", "(0, inf)", "Vary x between the runs.")
    whitening, kind = _weighting(covariance, weights, x.size)
    design = whitening @ np.column_stack([np.ones_like(x), x])
    target = whitening @ y
    q, r = np.linalg.qr(design)
    theta = np.linalg.solve(r, q.T @ target)
    root = np.linalg.inv(r)
    rss = float(np.sum((target - design @ theta) ** 2))
    dof = x.size - 2
    known = kind == "covariance"
    fitted = theta[0] + theta[1] * x
    return StraightLine(
        intercept=float(theta[0]),
        slope=float(theta[1]),
        covariance=root @ root.T * (1.0 if known else rss / dof),
        residual_sd=math.sqrt(rss / dof),
        rss=rss,
        r_squared=_r_squared(whitening.sum(axis=1), target, rss, constant=bool(np.ptp(y) == 0)),
        n_points=x.size,
        dof=dof,
        coverage_factor=coverage_factor(None if known else dof),
        kind=kind,
        fitted=fitted,
        residuals=y - fitted,
    )


def predict(line: StraightLine, x: FloatArray) -> Prediction:
    """Return the heights of a line and their joint covariance.

    Parameters
    ----------
    line : StraightLine
        A fitted line.
    x : ndarray, shape (m,)
        Where to read it.

    Returns
    -------
    Prediction
        Heights of the line itself, not of further readings.

    Notes
    -----
    The covariance of slope and intercept counts: far from the middle of the points it is the larger
    part, and leaving it out nearly doubles the uncertainty in the example of the GUM.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), H.3.

    Examples
    --------
    >>> line = fit_straight_line(np.array([0.0, 1.0, 2.0]), np.array([0.0, 1.0, 2.3]))
    >>> predict(line, np.array([1.0])).value.round(3)
    array([1.1])
    """
    x = np.atleast_1d(np.asarray(x, dtype=float))
    rows = np.column_stack([np.ones_like(x), x])
    covariance = rows @ line.covariance @ rows.T
    return Prediction(
        value=line.intercept + line.slope * x,
        u=np.sqrt(np.diag(covariance)),
        covariance=covariance,
    )


def inverse_predict(
    line: StraightLine, y: float, *, n_repeats: int = 1, u_reading: float | None = None
) -> InversePrediction:
    """Return the x at which a line has a height found as the mean of repeated readings.

    Parameters
    ----------
    line : StraightLine
        A fitted line.
    y : float
        Mean of the new readings.
    n_repeats : int, [1]
        Number of new readings.
    u_reading : float, optional
        Standard uncertainty of one new reading. Needed where the points of the line were weighted,
        for the line then does not say how good a reading at `y` is; otherwise the residual
        standard deviation stands for it.

    Returns
    -------
    InversePrediction
        First order in the uncertainties; trust it where the slope is many times its own.

    Raises
    ------
    OutOfRangeError
        If the slope is zero, `n_repeats` is below 1 or `u_reading` is missing or negative.

    References
    ----------
    .. [1] D. L. Massart et al., Handbook of Chemometrics and Qualimetrics: Part A, Elsevier, 1997,
       ch. 8.

    Examples
    --------
    >>> line = fit_straight_line(np.arange(6) * 10.0,
    ...                          np.array([4.0, 21.2, 44.6, 61.8, 78.0, 105.2]))
    >>> round(inverse_predict(line, 90.0, n_repeats=5).value, 1)
    43.9
    """
    if line.slope == 0:
        raise OutOfRangeError("slope", 0.0, "1", "numbers other than 0", "A level line has no x.")
    if n_repeats < 1:
        raise OutOfRangeError("number of repeated readings", n_repeats, "1", "[1, inf)")
    if u_reading is None:
        if line.kind != "equal":
            raise OutOfRangeError(
                "number of uncertainties of a new reading", 0, "1", "{1}",
                "The line was weighted: give u_reading.",
            )  # fmt: skip
        u_reading = line.residual_sd
    if not 0 <= u_reading < math.inf:
        raise OutOfRangeError("u_reading", u_reading, "1", "[0, inf)")
    x = (y - line.intercept) / line.slope
    u = math.hypot(u_reading / math.sqrt(n_repeats), float(predict(line, np.array([x])).u[0]))
    u /= abs(line.slope)
    return InversePrediction(value=x, u=u, half_width=line.coverage_factor * u)


def _weighting(
    covariance: FloatArray | None, weights: FloatArray | None, n: int
) -> tuple[FloatArray, str]:
    """Return the whitening matrix and what it rests on."""
    if covariance is not None:
        if weights is not None:
            raise OutOfRangeError(
                "number of weightings", 2, "1", "[0, 1]", "Give a covariance or weights, not both."
            )
        return whitening_matrix(covariance, n), "covariance"
    if weights is None:
        return np.eye(n), "equal"
    weights = np.asarray(weights, dtype=float)
    if weights.shape != (n,):
        raise OutOfRangeError("number of weights", weights.size, "1", f"{{{n}}}")
    if not (np.all(weights > 0) and np.all(np.isfinite(weights))):
        raise OutOfRangeError("weight", float(np.min(weights)), "1", "(0, inf)")
    return np.diag(np.sqrt(weights)), "weights"


def _r_squared(ones: FloatArray, target: FloatArray, rss: float, *, constant: bool) -> float:
    """Return 1 - rss / (sum of squares about the generalised mean); `ones` is whitened."""
    if constant:
        return 0.0
    about_mean = target - ones * (ones @ target) / (ones @ ones)
    return 1.0 - rss / float(about_mean @ about_mean)
