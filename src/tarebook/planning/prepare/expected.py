"""What the balance will show of the gas, by the forward model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.cup import Contents, cup_state
from tarebook.model.cup_chemistry import cup_chemistry
from tarebook.model.priors import central_parameters
from tarebook.planning.prepare.amounts import content
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExpectedLoss:
    """Arrays over the planned runs, [g].

    Attributes
    ----------
    lost : ndarray
        What is missing on the balance at the last weighing.
    stays : ndarray
        Gas made that has not left the liquid.
    """

    lost: FloatArray
    stays: FloatArray


def expected_loss(experiment: Experiment) -> ExpectedLoss | None:
    """Return what the balance is expected to miss in every planned run, poured as planned.

    Parameters
    ----------
    experiment : Experiment

    Returns
    -------
    ExpectedLoss or None
        None where the model does not know the reaction or the strength is beyond its constants.
    """
    if cup_chemistry(experiment.reaction) is None:
        return None
    planned = experiment.planned
    n = len(planned)
    parameters = central_parameters(experiment).with_values(content=np.array(content(experiment)))
    contents = Contents(
        reagent=np.array([run.reagent for run in planned]),
        diluent=np.array([run.diluent for run in planned]),
        sample=np.array([run.sample for run in planned]),
        temperature=np.full(n, experiment.room.temperature),
        minutes=np.full(n, experiment.procedure.minutes),
    )
    try:
        state = cup_state(experiment, parameters, contents)
    except OutOfRangeError:
        return None
    lost = state.gas_released + state.vapour + state.evaporated - state.head_gas
    return ExpectedLoss(lost=lost, stays=state.dissolved)
