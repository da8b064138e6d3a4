"""Propagation of uncertainty to first order, and the terms beyond it.

A model is a function of an array whose last axis holds the inputs. It returns one number, or a last
axis of several, for each run in the leading axes, and is called once for all runs and all
derivatives; no loop runs over runs.

Derivatives are taken by a complex step: the imaginary part of f(x + ih), over h, is the derivative
to all digits, for there is no difference in which digits could cancel. That needs a model made of
analytic functions. ``abs``, ``maximum`` and comparisons are not: ``np.abs`` drops the imaginary
part without a word, and the derivative comes out as zero. For such a model name the method
``"central"``; at a kink no first-order method is valid, and Monte Carlo is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Literal, NamedTuple, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import OutOfRangeError, TarebookError

Model: TypeAlias = Callable[[NumberArray], NumberArray]
"""Function of inputs, shape (..., n), to outputs, shape (...) or (..., m)."""

Method: TypeAlias = Literal["complex", "central"]

COMPLEX_STEP = 1e-20
RELATIVE_STEP = float(np.finfo(np.float64).eps ** (1 / 3))


class NotAnalyticError(TarebookError, ArithmeticError):
    """A model gave up the imaginary part, so a complex step cannot differentiate it."""

    code: ClassVar[str] = "not-analytic"

    def __str__(self) -> str:
        return (
            "The model returned real numbers for complex inputs, so its derivative would read as "
            "zero. Allowed are analytic functions. Use method='central', or write the model "
            "without abs, maximum and float()."
        )


class Propagation(NamedTuple):
    """Outputs of a model with their covariance.

    Attributes
    ----------
    y : ndarray, shape (...) or (..., m)
        Outputs.
    covariance : ndarray, shape (...) or (..., m, m)
        Variance of the one output, or covariance of the m outputs.
    jacobian : ndarray, shape (..., n) or (..., m, n)
        Derivatives of the outputs with respect to the inputs.
    """

    y: FloatArray
    covariance: FloatArray
    jacobian: FloatArray


def jacobian(
    model: Model,
    values: FloatArray,
    *,
    method: Method = "complex",
    scale: FloatArray | None = None,
) -> FloatArray:
    """Return the derivatives of a model.

    Parameters
    ----------
    model : callable
        See the module.
    values : ndarray, shape (..., n)
        Inputs of each run.
    method : {"complex", "central"}
        Complex step, or central differences.
    scale : ndarray, shape (n,) or (..., n), optional
        For central differences, the size over which an input moves (its uncertainty); keeps the
        step sensible for inputs that are zero.

    Returns
    -------
    ndarray, shape (..., n) or (..., m, n)
        Derivatives; without the axis m if the model returns one number.

    Raises
    ------
    NotAnalyticError
        If a complex step was asked for and the model returned real numbers.

    Examples
    --------
    >>> jacobian(lambda x: x[..., 0] * x[..., 1] ** 2, np.array([3.0, 2.0]))
    array([ 4., 12.])
    """
    inputs = np.asarray(values, dtype=np.float64)
    n_inputs = inputs.shape[-1]
    # One leading axis says which input is moved.
    unit = np.eye(n_inputs).reshape((n_inputs,) + (1,) * (inputs.ndim - 1) + (n_inputs,))
    if method == "complex":
        outputs = np.asarray(model(inputs + 1j * COMPLEX_STEP * unit))
        if not np.iscomplexobj(outputs):
            raise NotAnalyticError
        slopes = outputs.imag / COMPLEX_STEP
    else:
        size = np.abs(inputs) if scale is None else np.maximum(np.abs(inputs), scale)
        step = RELATIVE_STEP * np.where(size > 0, size, 1.0)
        above, below = inputs + step * unit, inputs - step * unit
        # the step as the machine made it, not as it was asked for
        taken = np.einsum("j...j->j...", above - below)
        rise = np.asarray(model(above)) - np.asarray(model(below))
        slopes = rise / taken.reshape(taken.shape + (1,) * (rise.ndim - taken.ndim))
    return np.moveaxis(slopes, 0, -1)


def propagate(
    model: Model, values: FloatArray, covariance: FloatArray, *, method: Method = "complex"
) -> Propagation:
    """Propagate a covariance through a model to first order.

    Parameters
    ----------
    model : callable
        See the module.
    values : ndarray, shape (..., n)
        Inputs of each run.
    covariance : ndarray, shape (n, n) or (..., n, n)
        Covariance of the inputs.
    method : {"complex", "central"}
        How derivatives are taken.

    Returns
    -------
    Propagation
        Outputs, their covariance J C J', and J.

    Raises
    ------
    NotAnalyticError
        If a complex step was asked for and the model returned real numbers.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.2 and 5.2.2; JCGM 102:2011, 6.2.

    Examples
    --------
    >>> y, variance, slopes = propagate(
    ...     lambda x: x[..., 0] / x[..., 1], np.array([6.0, 2.0]), np.diag([0.01, 0.0004]))
    >>> float(y), round(float(variance), 6)
    (3.0, 0.0034)
    """
    inputs = np.asarray(values, dtype=np.float64)
    spread = np.sqrt(np.einsum("...jj->...j", covariance))
    slopes = jacobian(model, inputs, method=method, scale=spread)
    y = np.asarray(model(inputs), dtype=np.float64)
    if y.ndim == inputs.ndim - 1:  # one number for each run
        spread_out = np.einsum("...i,...ij,...j->...", slopes, covariance, slopes)
    else:
        spread_out = slopes @ covariance @ np.swapaxes(slopes, -1, -2)
    return Propagation(y, spread_out, slopes)


def variance_contributions(slopes: FloatArray, covariance: FloatArray) -> FloatArray:
    """Return what each input adds to the variance of an output.

    Parameters
    ----------
    slopes : ndarray, shape (..., n)
        Derivatives of one output.
    covariance : ndarray, shape (n, n) or (..., n, n)
        Covariance of the inputs.

    Returns
    -------
    ndarray, shape (..., n)
        c_j (C c)_j, which is (c_j u_j)^2 for an independent input and may be negative for a
        correlated one. Their sum is the variance of the output.
    """
    pulls = np.einsum("...ij,...j->...i", covariance, slopes)
    parts: FloatArray = slopes * pulls
    return parts


def effective_dof(contributions: FloatArray, dof: FloatArray) -> FloatArray:
    """Return the effective degrees of freedom of a combined standard uncertainty.

    Parameters
    ----------
    contributions : ndarray, shape (..., n)
        Standard uncertainties |c_i| u_i of independent inputs, in the unit of the output.
    dof : ndarray, shape (n,), [1]
        Degrees of freedom of each; infinite where exactly known.

    Returns
    -------
    ndarray, shape (...), [1]
        After Welch and Satterthwaite; infinite if all that counts is exactly known. Round down
        before looking up a printed table of t.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), G.4.1, equation (G.2b).

    Examples
    --------
    >>> float(effective_dof(np.array([5.8, 3.9, 6.7]), np.array([24.0, 5.0, 8.0])).round(1))
    25.4
    """
    fourth = np.asarray(contributions, dtype=np.float64) ** 4 / np.asarray(dof, dtype=np.float64)
    scatter = fourth.sum(axis=-1)
    combined = (np.asarray(contributions) ** 2).sum(axis=-1) ** 2
    result = np.full(scatter.shape, np.inf)
    np.divide(combined, scatter, out=result, where=scatter > 0)
    return result


def coverage_factor(dof: FloatArray | float, level: float = 0.95) -> FloatArray:
    """Return the factor k of a symmetric coverage interval y +- k u.

    Parameters
    ----------
    dof : ndarray, any shape, [1]
        Degrees of freedom, may be infinite.
    level : float, [1]
        Coverage probability, in (0, 1).

    Returns
    -------
    ndarray, shape of `dof`, [1]
        Quantile of the t distribution.

    Raises
    ------
    OutOfRangeError
        If `level` is outside (0, 1) or a `dof` is not positive.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), table G.2.

    Examples
    --------
    >>> float(coverage_factor(16, 0.99).round(2))
    2.92
    """
    degrees = np.asarray(dof, dtype=np.float64)
    if not 0 < level < 1:
        raise OutOfRangeError("coverage probability", level, "1", "(0, 1)", "Write 95 % as 0.95.")
    if not (degrees > 0).all():
        worst = float(degrees[~(degrees > 0)].flat[0])
        raise OutOfRangeError("degrees of freedom", worst, "1", "(0, inf]")
    from scipy.special import ndtri, stdtrit  # half a second, needed only here

    tail = (1.0 + level) / 2.0
    finite = np.where(np.isinf(degrees), 1.0, degrees)
    factor: FloatArray = np.where(np.isinf(degrees), ndtri(tail), stdtrit(finite, tail))
    return factor


def second_order_variance(
    model: Model, values: FloatArray, u: FloatArray, *, step: float = 0.1
) -> FloatArray:
    """Return what the second-order terms add to the variance, for independent inputs.

    Parameters
    ----------
    model : callable
        See the module; returns one number for each run.
    values : ndarray, shape (..., n)
        Inputs of each run.
    u : ndarray, shape (n,) or (..., n)
        Their standard uncertainties.
    step : float, [1]
        Step of the central differences, in standard uncertainties.

    Returns
    -------
    ndarray, shape (...)
        Sum over i and j of (f_ij^2 / 2 + f_i f_ijj) u_i^2 u_j^2, to be added to the first-order
        variance. It can be negative. It assumes normal inputs where i = j.

    Notes
    -----
    Differences are scaled by the uncertainties, so an input without uncertainty costs nothing and a
    large value with a small uncertainty loses no digits.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.1.2, note; H.1.7.
    """
    inputs, widths = np.broadcast_arrays(
        np.asarray(values, dtype=np.float64), np.asarray(u, dtype=np.float64)
    )
    n_inputs = inputs.shape[-1]
    moves = step * widths[..., None, :] * np.eye(n_inputs)  # (..., which, n)

    def at(*shifts: tuple[int, float]) -> FloatArray:
        moved = inputs + sum(times * moves[..., which, :] for which, times in shifts)
        return np.asarray(model(moved), dtype=np.float64)

    here = at()
    up = [at((i, 1.0)) for i in range(n_inputs)]
    down = [at((i, -1.0)) for i in range(n_inputs)]
    total: FloatArray = np.zeros(here.shape)
    for i in range(n_inputs):
        first = (up[i] - down[i]) / (2 * step)
        second = (up[i] - 2 * here + down[i]) / step**2
        third = (at((i, 2.0)) - 2 * up[i] + 2 * down[i] - at((i, -2.0))) / (2 * step**3)
        total = total + second**2 / 2 + first * third
        for j in range(n_inputs):
            if j == i:
                continue
            both, apart = at((i, 1.0), (j, 1.0)), at((i, 1.0), (j, -1.0))
            apart_below, both_below = at((i, -1.0), (j, 1.0)), at((i, -1.0), (j, -1.0))
            mixed = (both - apart - apart_below + both_below) / (4 * step**2)
            bend_above = both - 2 * up[i] + apart
            bend_below = apart_below - 2 * down[i] + both_below
            third = (bend_above - bend_below) / (2 * step**3)
            total = total + mixed**2 / 2 + first * third
    return total


def covariance_of_means(readings: FloatArray) -> FloatArray:
    """Return the covariance of the means of quantities that were read together.

    Parameters
    ----------
    readings : ndarray, shape (k, n)
        k simultaneous readings of n quantities.

    Returns
    -------
    ndarray, shape (n, n)
        Sample covariance over k.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two readings.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 5.2.3, equation (17); H.2.
    """
    table = np.asarray(readings, dtype=np.float64)
    n_readings = table.shape[0]
    if n_readings < 2:
        raise OutOfRangeError("number of readings", n_readings, "1", "[2, inf)", "Read once more.")
    centred = table - table.mean(axis=0)
    covariance: FloatArray = centred.T @ centred / (n_readings * (n_readings - 1))
    return covariance


def correlation(covariance: FloatArray) -> FloatArray:
    """Return the correlation coefficients of a covariance.

    Parameters
    ----------
    covariance : ndarray, shape (..., n, n)
        Covariance with a positive diagonal.

    Returns
    -------
    ndarray, shape (..., n, n), [1]
        Correlation coefficients.
    """
    u = np.sqrt(np.einsum("...jj->...j", covariance))
    coefficients: FloatArray = covariance / (u[..., :, None] * u[..., None, :])
    return coefficients
