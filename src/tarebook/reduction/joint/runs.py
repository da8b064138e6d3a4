"""What the joint fit says of each run: amounts, gas, pH, residuals, each with its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.quantity import Estimate
from tarebook.model.cup import cup_state
from tarebook.model.cup_chemistry import solves_equilibrium
from tarebook.model.parameters import NAMES
from tarebook.model.release import with_uncertainty
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.distributions import chance_below_zero, normal_estimate
from tarebook.reduction.joint.problem import LATENT, N_SHARED, READ, JointProblem
from tarebook.reduction.joint.results import FullRun, ReadingResidual
from tarebook.reduction.joint.slopes import N_CURVED, derivatives
from tarebook.reduction.joint.solution import Solution


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OfRuns:
    """Values of each run with their standard uncertainties, shape (n,)."""

    value: FloatArray
    u: FloatArray

    def at(self, run: int, unit: str) -> Estimate:
        """Return the value of one run, by its place."""
        return normal_estimate(float(self.value[run]), float(self.u[run]), unit)


def derived(solution: Solution, values: FloatArray) -> OfRuns:
    """Return per-run values, computed at the sets of `perturbed`, with their uncertainties.

    Parameters
    ----------
    values : ndarray, shape (k, n)
    """
    problem, n = solution.problem, solution.problem.n_runs
    slopes = derivatives(problem, values)
    shared, own = np.zeros((n, N_SHARED)), np.zeros((n, len(LATENT)))
    shared[:, : len(NAMES)], own[:, :N_CURVED] = slopes[: len(NAMES)].T, slopes[len(NAMES) :].T
    u2 = solution.covariance.spread(shared, own)
    return OfRuns(value=values[0], u=np.sqrt(np.maximum(u2, 0.0)))


def fitted_runs(solution: Solution) -> tuple[FullRun, ...]:
    """Return each run as the fit sees it.

    Parameters
    ----------
    solution : Solution
        With its covariance.
    """
    problem = solution.problem
    predicted = solution.about
    state = predicted.state
    reagent = derived(solution, state.reagent_amount)
    sample = derived(solution, state.analyte_amount)
    made = derived(solution, state.gas_made)
    excess = derived(solution, state.excess)
    retained = derived(solution, state.dissolved + state.head_gas)
    # What the balance would have lost without any effect, less what it did lose.
    sample_reading = predicted.readings[:, READ.index(Quantity.SAMPLE)]
    liquid_reading = predicted.readings[:, READ.index(Quantity.LIQUID)]
    final_reading = predicted.readings[:, READ.index(Quantity.FINAL)]
    lost = liquid_reading + sample_reading - final_reading
    correction = derived(solution, state.gas_made - lost)
    ph = _with_chemistry(solution, derived(solution, state.ph))
    is_solved = solves_equilibrium(problem.experiment.reaction, problem.effects)
    residuals = _residuals(solution)
    return tuple(
        FullRun(
            run=run,
            reagent=reagent.at(index, "mol"),
            sample=sample.at(index, "mol"),
            limiting="reagent" if excess.value[index] < 0 else "sample",
            p_reagent_limiting=chance_below_zero(
                float(excess.value[index]), float(excess.u[index])
            ),
            gas_full=_gas_full(problem, index, correction),
            gas_expected=made.at(index, "g"),
            retained=retained.at(index, "g"),
            dissolved=float(state.dissolved[0, index]),
            head_gas=float(state.head_gas[0, index]),
            vapour=float(state.vapour[0, index]),
            evaporated=float(state.evaporated[0, index]),
            ph=ph.at(index, "1") if is_solved and not problem.sealed[index] else None,
            extrapolated=bool(state.extrapolated[0, index]),
            residuals=residuals[index],
        )
        for index, run in enumerate(problem.runs)
    )


def _with_chemistry(solution: Solution, ph: OfRuns) -> OfRuns:
    """Return pH with the uncertainty that the activity model itself leaves."""
    problem, fitted = solution.problem, solution.predicted
    state = cup_state(
        problem.experiment, fitted.parameters, fitted.contents, problem.effects, with_uncertainty
    )
    return OfRuns(value=ph.value, u=np.hypot(ph.u, state.u_ph[0]))


def _gas_full(problem: JointProblem, run: int, correction: OfRuns) -> Estimate | None:
    """Return the gas made: the mass lost as read, and what the model adds to it."""
    masses = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    where = [READ.index(quantity) for quantity in masses]
    if not problem.taken[where, run].all():
        return None
    liquid, sample, final = problem.observed[where, run]
    u2 = float(np.sum(problem.u[where, run] ** 2)) + float(np.sum(problem.linearity_u[1:] ** 2))
    value = liquid + sample - final + correction.value[run]
    return normal_estimate(float(value), math.sqrt(u2 + float(correction.u[run]) ** 2), "g")


def _residuals(solution: Solution) -> tuple[tuple[ReadingResidual, ...], ...]:
    problem, n = solution.problem, solution.problem.n_runs
    n_readings = len(READ) * n
    leverage = solution.covariance.spread(solution.slopes.shared, solution.slopes.own).T
    rows = solution.rows[:n_readings].reshape(len(READ), n)
    expected = solution.predicted.readings[0]
    standardised = rows / np.sqrt(np.maximum(1.0 - leverage, 1e-6))
    return tuple(
        tuple(
            ReadingResidual(
                reading=quantity.value,
                observed=float(problem.observed[i, run]),
                expected=float(expected[i, run]),
                u=float(problem.u[i, run]),
                standardised=float(standardised[i, run]),
                leverage=float(leverage[i, run]),
            )
            for i, quantity in enumerate(READ)
            if problem.taken[i, run]
        )
        for run in range(n)
    )
