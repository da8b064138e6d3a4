"""The equivalence point: where both reactants are just used up."""

from __future__ import annotations

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import protons_of_extent
from tarebook.model.delivery import reading_for
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.parameters import Parameters
from tarebook.series.experiment import Experiment


def equivalence_reading(
    experiment: Experiment,
    parameters: Parameters,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> FloatArray:
    """Return the reagent reading at which both reactants are just used up, [L].

    Parameters
    ----------
    experiment : Experiment
        Its nominal sample mass is the one that the volume is for.
    parameters : Parameters
        Numbers or arrays of one shape.
    effects : frozenset of CupEffect
    """
    reaction, mass = experiment.reaction, experiment.sample.nominal_mass
    protons = protons_of_extent(reaction)
    molar_mass = reaction.analyte_molar_mass.value * reaction.analyte_coefficient
    extent_per_gram = parameters.content / molar_mass
    if CupEffect.OWN_ACID in effects and protons:
        extent_per_gram = extent_per_gram - parameters.own_acid / protons
    moles = mass * extent_per_gram * reaction.reagent_coefficient
    scale = parameters.scale_reagent if CupEffect.CALIBRATION in effects else 0.0 * moles
    held = parameters.hold_up_reagent if CupEffect.HOLD_UP in effects else 0.0 * moles
    return reading_for(moles / parameters.concentration, scale, held)
