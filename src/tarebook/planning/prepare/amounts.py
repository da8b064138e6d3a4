"""What the equation says of each run of the plan: the sums that every sheet rests on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.units import GAS_CONSTANT
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.effects import CupEffect
from tarebook.model.equivalence import equivalence_mass as model_equivalence_mass
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.gas_space import PASCAL_LITRES as PASCAL_LITRES
from tarebook.model.limiting import Extents, extents
from tarebook.model.own_acid import own_acid
from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters
from tarebook.planning.contents import content_range
from tarebook.series.experiment import Experiment

BY_EQUATION = frozenset({CupEffect.OWN_ACID})
"""What the sums on paper take into account: all acid in the vessel, and nothing else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSums:
    """One planned run by the equation alone, [mol] and [g].

    Attributes
    ----------
    run : str
    reagent, analyte : float, [mol]
    own_acid : float, [mol]
        Protons that the sample brings.
    reagent_limits : bool
        Whether all acid in the vessel, that of the sample and that poured, is used up first.
    gas : float, [mol]
    gas_mass : float, [g]
    reagent_left, analyte_left : float, [mol]
        Acid that is left of the sample's counts as reagent.
    """

    run: str
    reagent: float
    analyte: float
    own_acid: float
    reagent_limits: bool
    gas: float
    gas_mass: float
    reagent_left: float
    analyte_left: float


def content(experiment: Experiment) -> float:
    """Return the mass fraction of analyte that plan and sheets take, [g/g]."""
    return content_range(experiment).centre


def run_sums(experiment: Experiment, mass_fraction: float | None = None) -> tuple[RunSums, ...]:
    """Return the sums of every planned run.

    Parameters
    ----------
    experiment : Experiment
    mass_fraction : float, [g/g], optional
        Of the analyte in the sample; else `content`.
    """
    reaction = experiment.reaction
    share = content(experiment) if mass_fraction is None else mass_fraction
    reagent = np.array([run.reagent for run in experiment.planned])
    reagent = reagent * experiment.reagent.concentration.value
    sample = np.array([run.sample for run in experiment.planned])
    reach = extents(experiment, _expected(experiment, share), reagent, sample)
    gas = reach.gas * reaction.gas_coefficient
    return tuple(
        RunSums(
            run=planned.run,
            reagent=float(reagent[i]),
            analyte=float(reach.by_analyte[i] * reaction.analyte_coefficient),
            own_acid=float(reach.by_own_acid[i] * protons_of_extent(reaction)),
            reagent_limits=bool(reach.excess[i] < 0),
            gas=float(gas[i]),
            gas_mass=float(gas[i] * reaction.gas_molar_mass.value),
            reagent_left=float(_left(reach)[0][i] * reaction.reagent_coefficient),
            analyte_left=float(_left(reach)[1][i] * reaction.analyte_coefficient),
        )
        for i, planned in enumerate(experiment.planned)
    )


def _left(reach: Extents) -> tuple[np.ndarray, np.ndarray]:
    return reach.by_acid - reach.reached, reach.by_analyte - reach.reached


def _expected(experiment: Experiment, mass_fraction: float) -> Parameters:
    return central_parameters(experiment).with_values(content=np.array(mass_fraction))


def gas_per_group(experiment: Experiment) -> tuple[float, ...]:
    """Return the most gas that each run can give, [mol]: the sample pure, nothing dissolved."""
    return tuple(one.gas for one in run_sums(experiment, 1.0))


def equivalence_volume(experiment: Experiment) -> float:
    """Return the reagent that uses up the nominal sample by the equation alone, [L].

    It is what students find from the numbers of the handout; on the ware a little more is read, see
    `equivalence_as_read`. Negative if the sample's own acid is more than its analyte takes up.
    """
    parameters = _expected(experiment, content(experiment))
    return float(equivalence_reading(experiment, parameters, BY_EQUATION))


def equivalence_mass(experiment: Experiment) -> float:
    """Return the sample that uses up the reagent of a row in which the sample grows, [g].

    Infinite if the sample's own acid is more than its analyte takes up.

    Parameters
    ----------
    experiment : Experiment
        Its runs hold the same volume of reagent.
    """
    parameters = _expected(experiment, content(experiment))
    return float(model_equivalence_mass(experiment, parameters, BY_EQUATION))


def equivalence_as_read(experiment: Experiment) -> float:
    """Return where both are used up as the ware is read: some of each pour stays behind in it.

    [L] of reagent; [g] of sample where that grows: then some of the reagent is missing. It is what
    the plan shows, what the axis of a row has, and what the readings will give.
    """
    parameters = _expected(experiment, content(experiment))
    if experiment.grows == "sample":
        return float(model_equivalence_mass(experiment, parameters))
    return float(equivalence_reading(experiment, parameters))


def own_protons(experiment: Experiment) -> float:
    """Return the protons that a gram of sample brings, as plan and sheets take it, [mol/g]."""
    counts = protons_of_extent(experiment.reaction) > 0
    return own_acid(experiment).protons.value if counts else 0.0


def molar_volume(experiment: Experiment) -> float:
    """Return the volume of a mole of gas in the room, [L/mol]."""
    room = experiment.room
    return GAS_CONSTANT * room.temperature / room.pressure * PASCAL_LITRES
