"""Propagation of uncertainty to first order.

A model is a function of an array whose last axis holds the inputs. It returns one number, or a last
axis of several, for each run in the leading axes, and is called once for all runs and all
derivatives; no loop runs over runs.

Derivatives are taken by a complex step: the imaginary part of f(x + ih), over h, is the derivative
to all digits, for there is no difference in which digits could cancel. That needs a model made of
analytic functions. ``abs``, ``maximum`` and comparisons are not: ``np.abs`` drops the imaginary
part without a word, and the derivative would come out as zero. At a kink no first-order method is
valid, and Monte Carlo is.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, NamedTuple, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import TarebookError

Model: TypeAlias = Callable[[NumberArray], NumberArray]
"""Function of inputs, shape (..., n), to outputs, shape (...) or (..., m)."""

COMPLEX_STEP = 1e-30


class NotAnalyticError(TarebookError, ArithmeticError):
    """A model gave up the imaginary part, so a complex step cannot differentiate it."""

    code: ClassVar[str] = "not-analytic"

    def __str__(self) -> str:
        return (
            "The model returned real numbers for complex inputs, so its derivative would read as "
            "zero. Allowed are analytic functions. Write the model without abs, maximum and "
            "float()."
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


def jacobian(model: Model, values: FloatArray) -> FloatArray:
    """Return the derivatives of a model.

    Parameters
    ----------
    model : callable
        See the module.
    values : ndarray, shape (..., n)
        Inputs of each run.

    Returns
    -------
    ndarray, shape (..., n) or (..., m, n)
        Derivatives; without the axis m if the model returns one number.

    Raises
    ------
    NotAnalyticError
        If the model returned real numbers.

    Examples
    --------
    >>> jacobian(lambda x: x[..., 0] * x[..., 1] ** 2, np.array([3.0, 2.0]))
    array([ 4., 12.])
    """
    inputs = np.asarray(values, dtype=np.float64)
    n_inputs = inputs.shape[-1]
    # One leading axis says which input is moved.
    unit = np.eye(n_inputs).reshape((n_inputs,) + (1,) * (inputs.ndim - 1) + (n_inputs,))
    outputs = np.asarray(model(inputs + 1j * COMPLEX_STEP * unit))
    if not np.iscomplexobj(outputs):
        raise NotAnalyticError
    return np.moveaxis(outputs.imag / COMPLEX_STEP, 0, -1)


def propagate(model: Model, values: FloatArray, covariance: FloatArray) -> Propagation:
    """Propagate a covariance through a model to first order.

    Parameters
    ----------
    model : callable
        See the module.
    values : ndarray, shape (..., n)
        Inputs of each run.
    covariance : ndarray, shape (n, n) or (..., n, n)
        Covariance of the inputs.

    Returns
    -------
    Propagation
        Outputs, their covariance J C J', and J.

    Raises
    ------
    NotAnalyticError
        If the model returned real numbers.

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
    slopes = jacobian(model, inputs)
    y = np.asarray(model(inputs), dtype=np.float64)
    if y.ndim == inputs.ndim - 1:  # one number for each run
        spread_out = np.einsum("...i,...ij,...j->...", slopes, covariance, slopes)
    else:
        spread_out = slopes @ covariance @ np.swapaxes(slopes, -1, -2)
    return Propagation(y, spread_out, slopes)
