"""What the equation says of each run of the plan: the sums that every sheet rests on."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.core.units import GAS_CONSTANT
from tarebook.series.experiment import Experiment

PASCAL_LITRES = 1000.0
"""Pa L in one J: the one place where a gas law meets litres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunSums:
    """One planned run by the equation alone, [mol] and [g].

    Attributes
    ----------
    run : str
    reagent, analyte : float, [mol]
    reagent_limits : bool
    gas : float, [mol]
    gas_mass : float, [g]
    reagent_left, analyte_left : float, [mol]
    """

    run: str
    reagent: float
    analyte: float
    reagent_limits: bool
    gas: float
    gas_mass: float
    reagent_left: float
    analyte_left: float


def content(experiment: Experiment) -> float:
    """Return the mass fraction of analyte that the sums take: the claimed one, else 1, [g/g]."""
    claimed = experiment.sample.claimed_mass_fraction
    return claimed.value if claimed else 1.0


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
    analyte = experiment.sample.nominal_mass * share / reaction.analyte_molar_mass.value
    sums = []
    for planned in experiment.planned:
        reagent = planned.reagent * experiment.reagent.concentration.value
        by_reagent = reagent / reaction.reagent_coefficient
        by_analyte = analyte / reaction.analyte_coefficient
        extent = min(by_reagent, by_analyte)
        gas = extent * reaction.gas_coefficient
        sums.append(
            RunSums(
                run=planned.run,
                reagent=reagent,
                analyte=analyte,
                reagent_limits=by_reagent < by_analyte,
                gas=gas,
                gas_mass=gas * reaction.gas_molar_mass.value,
                reagent_left=reagent - extent * reaction.reagent_coefficient,
                analyte_left=analyte - extent * reaction.analyte_coefficient,
            )
        )
    return tuple(sums)


def gas_per_group(experiment: Experiment) -> tuple[float, ...]:
    """Return the most gas that each run can give, [mol]: the sample pure, nothing dissolved."""
    return tuple(one.gas for one in run_sums(experiment, 1.0))


def equivalence_volume(experiment: Experiment) -> float:
    """Return the reagent that uses up the nominal sample by the equation alone, [L]."""
    reaction = experiment.reaction
    analyte = (
        experiment.sample.nominal_mass * content(experiment) / reaction.analyte_molar_mass.value
    )
    moles = analyte * reaction.reagent_coefficient / reaction.analyte_coefficient
    return moles / experiment.reagent.concentration.value


def molar_volume(experiment: Experiment) -> float:
    """Return the volume of a mole of gas in the room, [L/mol]."""
    room = experiment.room
    return GAS_CONSTANT * room.temperature / room.pressure * PASCAL_LITRES
