"""Slopes of the joint problem: difference quotients of all unknowns in one call of the model.

A run's readings depend on that run's unknowns and the shared ones only, so one perturbation of the
sample mass serves all runs at once: a Jacobian costs one call of the model, with all shared and 3
own perturbations of every run stacked on the leading axis.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.kept import kept_for
from tarebook.model.linear import moved, quotients
from tarebook.model.observables import IN_VESSEL
from tarebook.model.parameters import NAMES, Parameters, parameters_at
from tarebook.model.priors import whitening
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.arrow import Slopes
from tarebook.reduction.joint.problem import (
    LATENT,
    LINEAR,
    N_SHARED,
    READ,
    JointProblem,
    Predicted,
    predict,
    rows_of,
)

STEP = 1e-3
"""Of a difference quotient, in natural steps: small against curvature, large against rounding."""

N_CURVED = len(LATENT) - 1
"""Latent unknowns that the model bends: volumes and sample. The tare only adds."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Point:
    """Unknowns with what the model says of them, and its slopes.

    Attributes
    ----------
    unknowns : ndarray, shape (m,)
    rows : ndarray, shape (r,)
        Residuals over u.
    slopes : Slopes
        Of the predictions over u; those of the rows are minus them.
    predicted : Predicted
        At the unknowns and at all sets of `perturbed`.
    """

    unknowns: FloatArray
    rows: FloatArray
    slopes: Slopes
    predicted: Predicted

    @property
    def chi2(self) -> float:
        """Sum of squares of all rows."""
        return float(self.rows @ self.rows)


def perturbed(problem: JointProblem, unknowns: FloatArray, central: bool) -> FloatArray:
    """Return sets of unknowns, each with one group moved by a step: shape (k, m).

    The first set is the unknowns as they are; then one set forward for each shared parameter and
    one for each curved latent unknown of all runs at once; then, if `central`, the same backward.
    """
    n, sizes = problem.n_runs, STEP * problem.scales()
    steps = np.zeros((len(NAMES) + N_CURVED, len(unknowns)))
    names = np.arange(len(NAMES))
    steps[names, names] = sizes[names]
    for i in range(N_CURVED):
        group = slice(N_SHARED + i * n, N_SHARED + (i + 1) * n)
        steps[len(NAMES) + i, group] = sizes[group]
    return moved(unknowns, steps, central=central)


def perturbed_parameters(problem: JointProblem, unknowns: FloatArray) -> Parameters:
    """Return the parameters, then each moved forward, then each moved backward: (1 + 2 m, 1)."""
    own = np.diag(STEP * problem.scales()[: len(NAMES)])
    return parameters_at(moved(unknowns[: len(NAMES)], own, central=True)[:, np.newaxis])


def by_parameters(problem: JointProblem, values: FloatArray) -> FloatArray:
    """Return derivatives with the parameters of values at `perturbed_parameters`, shape (m, ...).

    Parameters
    ----------
    problem : JointProblem
    values : ndarray, shape (1 + 2 m, ...)
    """
    steps = STEP * problem.scales()[: len(NAMES)]
    return quotients(values, steps.reshape(-1, *(1,) * (values.ndim - 1)))


def derivatives(problem: JointProblem, values: FloatArray) -> FloatArray:
    """Return derivatives of per-run values with respect to all curved unknowns.

    Parameters
    ----------
    problem : JointProblem
    values : ndarray, shape (k, ..., n)
        At the sets that `perturbed` returns.

    Returns
    -------
    ndarray, shape (len(NAMES) + N_CURVED, ..., n)
        Of run i's value with respect to the shared parameters and to run i's own unknowns.
    """
    n_groups, n = len(NAMES) + N_CURVED, problem.n_runs
    steps = STEP * problem.scales()
    width = np.empty((n_groups, n))
    width[: len(NAMES)] = steps[: len(NAMES), None]
    width[len(NAMES) :] = steps[N_SHARED : N_SHARED + N_CURVED * n].reshape(N_CURVED, n)
    width = width.reshape((n_groups, *(1,) * (values.ndim - 2), n))
    return quotients(values, width)


def linearise(problem: JointProblem, unknowns: FloatArray, central: bool) -> Point:
    """Return a point with the slopes about it.

    Parameters
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (m,)
    central : bool
        Whether the differences go both ways, for twice the time.
    """
    return _point(problem, unknowns, predict(problem, perturbed(problem, unknowns, central)))


def linearised_and_rows(
    problem: JointProblem, unknowns: FloatArray, sets: FloatArray
) -> tuple[Point, FloatArray]:
    """Return a point with forward slopes, and the rows at other sets of unknowns.

    Parameters
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (m,)
    sets : ndarray, shape (k, m)

    Raises
    ------
    OutOfRangeError
        If one of them is beyond the model.
    """
    about = perturbed(problem, unknowns, central=False)
    predicted = predict(problem, np.concatenate([about, sets]))
    rows = rows_of(problem, sets, predicted.readings[len(about) :])
    return _point(problem, unknowns, predicted.only(len(about))), rows


def linearised_both_ways(problem: JointProblem, unknowns: FloatArray) -> tuple[Point, Point]:
    """Return a point with forward slopes and with central ones, for little more than one of them.

    Parameters
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (m,)

    Raises
    ------
    OutOfRangeError
        If one of the sets about it is beyond the model.
    """
    predicted = predict(problem, perturbed(problem, unknowns, central=True))
    forward = predicted.only(1 + len(NAMES) + N_CURVED)
    return _point(problem, unknowns, forward), _point(problem, unknowns, predicted)


def _point(problem: JointProblem, unknowns: FloatArray, predicted: Predicted) -> Point:
    return Point(
        unknowns=unknowns,
        rows=rows_of(problem, unknowns[None, :], predicted.readings[:1])[0],
        slopes=_slopes(problem, derivatives(problem, predicted.readings)),
        predicted=predicted,
    )


def _slopes(problem: JointProblem, derived: FloatArray) -> Slopes:
    """Return the slopes of all rows, given those of the readings with all curved unknowns."""
    n, n_names, inverse = problem.n_runs, len(NAMES), 1.0 / problem.u
    whitened = derived * inverse
    shared = np.zeros((n, len(READ), N_SHARED))
    shared[:, :, :n_names] = np.moveaxis(whitened[:n_names], -1, 0).swapaxes(1, 2)
    for index, quantity in enumerate(LINEAR):
        reading = READ.index(quantity)
        weighed = problem.portioned if quantity is Quantity.SAMPLE else True
        shared[:, reading, n_names + index] = inverse[reading] * weighed
    own = np.zeros((n, len(READ), len(LATENT)))
    own[:, :, :N_CURVED] = np.moveaxis(whitened[n_names:], -1, 0).swapaxes(1, 2)
    for quantity in IN_VESSEL:
        own[:, READ.index(quantity), N_CURVED] = inverse[READ.index(quantity)]
    return Slopes(shared=shared, own=own, known=known_rows(problem))


@kept_for
def known_rows(problem: JointProblem) -> FloatArray:
    """Return the rows that say what was known beforehand, by the shared unknowns."""
    n_names = len(NAMES)
    known = np.zeros((N_SHARED, N_SHARED))
    known[:n_names, :n_names] = whitening(problem.priors)
    linear = np.arange(n_names, N_SHARED)
    known[linear, linear] = 1.0 / np.where(problem.linearity_u > 0, problem.linearity_u, 1e-9)
    return known
