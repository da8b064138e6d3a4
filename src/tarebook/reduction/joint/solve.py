"""Damped Gauss-Newton for the joint problem, with the covariance at the end.

A run's readings depend on that run's unknowns and the shared ones only, so one perturbation of the
sample mass serves all runs at once: a Jacobian costs one call of the model, with 13 shared and 3
own perturbations of every run stacked on the leading axis.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import TarebookError
from tarebook.model.parameters import NAMES
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import (
    LATENT,
    N_SHARED,
    READ,
    JointProblem,
    Predicted,
    predict,
    rows_of,
)

MOST_STEPS = 40
FEW_ENOUGH = 1e-7
"""The sum of squares has settled when a step takes less than this off it."""

STEP = 1e-3
"""Of a difference quotient, in natural steps: small against curvature, large against rounding."""

MOST_DAMPING = 1e8

CONTENT = NAMES.index("content")
CONTENT_RANGE = (1e-3, 1.5)
"""Trial steps are kept in here; a content above 1 is a finding, not an impossibility."""

N_CURVED = len(LATENT) - 1
"""Latent unknowns that the model bends: volumes and sample. The tare only adds."""


class NoFitError(TarebookError, ArithmeticError):
    """The joint fit did not settle."""

    code = "no-joint-fit"

    def __str__(self) -> str:
        return f"The joint fit did not settle in {MOST_STEPS} steps."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Solution:
    """The minimum of a joint problem, with m unknowns and r rows.

    Attributes
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (m,)
    predicted : Predicted
        At the minimum, k = 1.
    rows : ndarray, shape (r,)
        Residuals over u; those of readings not taken are 0.
    jacobian : ndarray, shape (r, m)
        Of the predicted values over u; the rows' own is minus it.
    covariance : ndarray, shape (m, m)
    steps : int
    """

    problem: JointProblem
    unknowns: FloatArray
    predicted: Predicted
    rows: FloatArray
    jacobian: FloatArray
    covariance: FloatArray
    steps: int

    @property
    def chi2(self) -> float:
        """Sum of squares of all rows."""
        return float(self.rows @ self.rows)

    @property
    def dof(self) -> int:
        """Rows that say something, less unknowns."""
        says = int(np.count_nonzero(np.any(self.jacobian != 0.0, axis=1)))
        return max(says - len(self.unknowns), 0)


def solve(
    problem: JointProblem,
    *,
    start: FloatArray | None = None,
    fixed: BoolArray | None = None,
    with_covariance: bool = True,
) -> Solution:
    """Return the unknowns that make the sum of squares smallest.

    Parameters
    ----------
    problem : JointProblem
    start : ndarray, shape (m,), optional
        Where to begin; else the priors and the readings.
    fixed : ndarray of bool, shape (m,), optional
        Unknowns to leave where they start.
    with_covariance : bool
        Whether to finish with central differences and the covariance.

    Raises
    ------
    NoFitError
        If it does not settle.
    """
    unknowns = problem.start() if start is None else start.copy()
    free = np.ones(len(unknowns), dtype=np.bool_) if fixed is None else ~fixed
    damping, steps = 1e-6, 0
    rows, jacobian, predicted = _linearise(problem, unknowns, central=False)
    settled = False
    while not settled and steps < MOST_STEPS:
        steps += 1
        normal = jacobian[:, free].T @ jacobian[:, free]
        gradient = jacobian[:, free].T @ rows
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), gradient)
        trial = unknowns.copy()
        trial[free] += step
        trial = _kept_in_range(problem, trial)
        new_rows, new_jacobian, new_predicted = _linearise(problem, trial, central=False)
        gain = float(rows @ rows - new_rows @ new_rows)
        if gain >= -FEW_ENOUGH:
            settled = gain < FEW_ENOUGH
            unknowns, rows, jacobian, predicted = trial, new_rows, new_jacobian, new_predicted
            damping = max(damping / 10.0, 1e-9)
        else:
            damping *= 30.0
            # Without equilibrium the model has a kink at the change-over, and a minimum on a kink
            # has no vanishing gradient: no step, however short, gains anything there.
            settled = damping > MOST_DAMPING
    if not settled:
        raise NoFitError
    covariance = np.zeros((len(unknowns), len(unknowns)))
    if with_covariance:
        rows, jacobian, predicted = _linearise(problem, unknowns, central=True)
        inner = np.linalg.inv(jacobian[:, free].T @ jacobian[:, free])
        covariance[np.ix_(free, free)] = inner
    return Solution(
        problem=problem,
        unknowns=unknowns,
        predicted=predicted,
        rows=rows,
        jacobian=jacobian,
        covariance=covariance,
        steps=steps,
    )


def _kept_in_range(problem: JointProblem, unknowns: FloatArray) -> FloatArray:
    n = problem.n_runs
    unknowns[CONTENT] = np.clip(unknowns[CONTENT], *CONTENT_RANGE)
    for index, quantity in enumerate(LATENT[:N_CURVED]):
        part = slice(N_SHARED + index * n, N_SHARED + (index + 1) * n)
        least = 1e-3 if quantity is Quantity.SAMPLE else 0.0
        unknowns[part] = np.maximum(unknowns[part], least)
    return unknowns


def perturbed(problem: JointProblem, unknowns: FloatArray, central: bool) -> FloatArray:
    """Return sets of unknowns, each with one group moved by a step: shape (k, m).

    The first set is the unknowns as they are; then one set forward for each shared parameter and
    one for each curved latent unknown of all runs at once; then, if `central`, the same backward.
    """
    n, steps = problem.n_runs, STEP * problem.scales()
    groups = [slice(i, i + 1) for i in range(len(NAMES))]
    groups += [slice(N_SHARED + i * n, N_SHARED + (i + 1) * n) for i in range(N_CURVED)]
    signs = (1.0, -1.0) if central else (1.0,)
    sets = np.tile(unknowns, (1 + len(signs) * len(groups), 1))
    for s, sign in enumerate(signs):
        for g, group in enumerate(groups):
            sets[1 + s * len(groups) + g, group] += sign * steps[group]
    return sets


def derivatives(problem: JointProblem, values: FloatArray, central: bool) -> FloatArray:
    """Return derivatives of per-run values with respect to all curved unknowns.

    Parameters
    ----------
    problem : JointProblem
    values : ndarray, shape (k, ..., n)
        At the sets that `perturbed` returns.
    central : bool

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
    forward = values[1 : 1 + n_groups]
    if central:
        slopes: FloatArray = (forward - values[1 + n_groups :]) / (2.0 * width)
    else:
        slopes = (forward - values[0]) / width
    return slopes


def _linearise(
    problem: JointProblem, unknowns: FloatArray, central: bool
) -> tuple[FloatArray, FloatArray, Predicted]:
    """Return rows, Jacobian of the predictions over u, and the prediction itself."""
    predicted = predict(problem, perturbed(problem, unknowns, central))
    rows = rows_of(problem, unknowns[None, :], predicted.readings[:1])[0]
    slopes = derivatives(problem, predicted.readings, central)
    return rows, _jacobian(problem, slopes), _first(predicted)


def _jacobian(problem: JointProblem, slopes: FloatArray) -> FloatArray:
    n, n_names = problem.n_runs, len(NAMES)
    n_readings = len(READ) * n
    jacobian = np.zeros((n_readings + N_SHARED, problem.n_unknowns))
    inverse = 1.0 / problem.u
    whitened = slopes * inverse
    jacobian[:n_readings, :n_names] = whitened[:n_names].reshape(n_names, -1).T
    runs = np.arange(n)
    for latent in range(N_CURVED):
        for reading in range(len(READ)):
            values = whitened[n_names + latent, reading]
            jacobian[reading * n + runs, N_SHARED + latent * n + runs] = values
    for quantity in (Quantity.TARE, Quantity.LIQUID, Quantity.FINAL):
        reading = READ.index(quantity)
        jacobian[reading * n + runs, N_SHARED + N_CURVED * n + runs] = inverse[reading]
    for index, quantity in enumerate((Quantity.TARE, Quantity.FINAL, Quantity.SAMPLE)):
        reading = READ.index(quantity)
        jacobian[reading * n + runs, n_names + index] = inverse[reading]
    width = np.array([prior.u for prior in problem.priors])
    shared = np.arange(n_names)
    jacobian[n_readings + shared, shared] = 1.0 / width
    linear = np.arange(n_names, N_SHARED)
    small = np.where(problem.linearity_u > 0, problem.linearity_u, 1e-9)
    jacobian[n_readings + linear, linear] = 1.0 / small
    return jacobian


def _first(predicted: Predicted) -> Predicted:
    """Return the prediction at the unknowns themselves, k = 1."""

    def first(part: Any) -> Any:
        whole = {name: getattr(part, name) for name in type(part).__slots__}
        own = {n: v[:1] if v.ndim == 2 else v for n, v in whole.items()}  # others: the same for all
        return type(part)(**own)

    return Predicted(
        parameters=first(predicted.parameters),
        contents=first(predicted.contents),
        state=first(predicted.state),
        readings=predicted.readings[:1],
    )
