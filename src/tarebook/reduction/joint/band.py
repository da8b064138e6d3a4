"""The fitted curve along the row, with the band of its uncertainty, for the picture."""

from __future__ import annotations

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.model.cup import Contents, cup_state
from tarebook.model.cup_chemistry import solves_equilibrium
from tarebook.model.delivery import delivered
from tarebook.model.effects import CupEffect
from tarebook.model.observables import expected_readings
from tarebook.model.parameters import NAMES, Parameters
from tarebook.records.pours import n_fillings
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.distributions import NORMAL_95
from tarebook.reduction.joint.problem import READ, parameters_of
from tarebook.reduction.joint.results import BandPoint
from tarebook.reduction.joint.slopes import N_CURVED, STEP, perturbed
from tarebook.reduction.joint.solve import Solution

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
    sets = perturbed(problem, solution.unknowns, central=True)
    forward = 1 + np.arange(n_names)
    backward = forward + n_names + N_CURVED
    parameters = parameters_of(sets[np.concatenate([[0], forward, backward])])
    same = np.ones_like(along)
    if experiment.grows == "reagent":
        reading, sample = along, same * experiment.sample.nominal_mass
    else:
        reading, sample = same * experiment.common_reagent, along
    contents = _planned(solution, parameters, reading, sample)
    state = cup_state(experiment, parameters, contents, effects)
    tare = np.zeros_like(reading)
    shown = expected_readings(experiment, parameters, contents, tare, state, effects)
    lost = shown.liquid + shown.sample - shown.final
    steps = STEP * problem.scales()[:n_names]
    slopes = (lost[forward] - lost[forward + n_names]) / (2.0 * steps[:, None])
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
    problem = solution.problem
    experiment, equipment = problem.experiment, problem.experiment.equipment
    held = 1.0 if CupEffect.HOLD_UP in problem.effects else 0.0
    scale = 1.0 if CupEffect.CALIBRATION in problem.effects else 0.0

    def poured(
        ware: VolumeInstrument, volume: FloatArray, error: FloatArray, hold_up: FloatArray
    ) -> FloatArray:
        left = held * hold_up * n_fillings(ware, volume)
        return np.maximum(delivered(volume, scale * error, left), 0.0)

    rest = experiment.total_volume - reading
    return Contents(
        reagent=poured(
            equipment.reagent, reading, parameters.scale_reagent, parameters.hold_up_reagent
        ),
        diluent=poured(
            equipment.diluent, rest, parameters.scale_diluent, parameters.hold_up_diluent
        ),
        sample=sample,
        temperature=np.full_like(reading, float(np.mean(problem.temperature))),
        minutes=np.full_like(reading, float(np.mean(problem.minutes))),
    )
