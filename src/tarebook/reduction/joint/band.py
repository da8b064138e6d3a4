"""The fitted curve along the row, with the band of its uncertainty, for the picture."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.contents import Contents, planned_portions, pour
from tarebook.model.cup import cup_state
from tarebook.model.cup_chemistry import solves_equilibrium
from tarebook.model.observables import Seen
from tarebook.model.parameters import NAMES, Parameters
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.distributions import NORMAL_95
from tarebook.reduction.joint.problem import READ
from tarebook.reduction.joint.results import BandPoint
from tarebook.reduction.joint.slopes import by_parameters, perturbed_parameters
from tarebook.reduction.joint.solution import Solution

BAND_POINTS = 61
"""Points of the model's curve along the row."""


def fitted_band(solution: Solution) -> tuple[BandPoint, ...]:
    """Return the fitted curve along the row, with its 95 % band.

    For the nominal sample mass, from no reagent to nothing but reagent; or where the sample grows
    for the reagent that each cup asks for, from none to the largest sample. Where the model does
    not reach so far, as with a strong stock, from the least to the most of the row, and empty if
    not even there.

    Parameters
    ----------
    solution : Solution
        With its covariance.
    """
    problem = solution.problem
    grows = Quantity.REAGENT if problem.experiment.grows == "reagent" else Quantity.SAMPLE
    used = problem.observed[READ.index(grows)]
    least, most = float(np.min(used)), float(np.max(used))
    all_of_it = problem.experiment.total_volume if grows is Quantity.REAGENT else most
    for low, high in ((0.0, all_of_it), (least, most)):
        try:
            return _band(solution, np.linspace(low, high, BAND_POINTS))
        except OutOfRangeError:
            continue
    return ()


def _band(solution: Solution, along: FloatArray) -> tuple[BandPoint, ...]:
    problem, n_names = solution.problem, len(NAMES)
    experiment, effects = problem.experiment, problem.effects
    parameters = perturbed_parameters(problem, solution.unknowns)
    same = np.ones_like(along)
    if experiment.grows == "reagent":
        reading, sample = along, same * experiment.sample.nominal_mass
    else:
        reading, sample = same * experiment.common_reagent, along
    contents = _planned(solution, parameters, reading, sample)
    state = cup_state(experiment, parameters, contents, effects)
    tare = np.zeros_like(reading)
    lost = Seen(experiment, parameters, contents, tare, state, effects).lost
    slopes = by_parameters(problem, lost)
    inner = solution.covariance.shared[:n_names, :n_names]
    u = np.sqrt(np.maximum(np.einsum("ip,ij,jp->p", slopes, inner, slopes), 0.0))
    is_solved = solves_equilibrium(experiment.reaction, effects)
    return tuple(
        BandPoint(
            reagent=float(reading[i]),
            sample=float(sample[i]),
            lost=float(lost[0, i]),
            low=float(lost[0, i] - NORMAL_95 * u[i]),
            high=float(lost[0, i] + NORMAL_95 * u[i]),
            ph=float(state.ph[0, i]) if is_solved else None,
        )
        for i in range(len(along))
    )


def _planned(
    solution: Solution, parameters: Parameters, reading: FloatArray, sample: FloatArray
) -> Contents:
    """Return vessels as a plan would have them: reagent as read, the rest of the total volume."""
    problem, same = solution.problem, np.ones_like(reading)
    portions = replace(
        planned_portions(problem.experiment, reading, sample),
        temperature=same * float(np.mean(problem.temperature)),
        minutes=same * float(np.mean(problem.minutes)),
    )
    return pour(portions, parameters, problem.effects)
