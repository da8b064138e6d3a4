"""The equivalence point: where both reactants are just used up."""

from __future__ import annotations

from tarebook.core.arrays import FloatArray
from tarebook.model.cup_chemistry import cup_chemistry
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
    chemistry = cup_chemistry(reaction)
    protons = chemistry.analyte.protons if chemistry else 1.0
    need = parameters.content / reaction.analyte_molar_mass.value
    if CupEffect.OWN_ACID in effects:
        need = need - parameters.own_acid / protons
    moles = mass * need * reaction.reagent_coefficient / reaction.analyte_coefficient
    scale = parameters.scale_reagent if CupEffect.CALIBRATION in effects else 0.0 * moles
    held = parameters.hold_up_reagent if CupEffect.HOLD_UP in effects else 0.0 * moles
    return reading_for(moles / parameters.concentration, scale, held)
