"""What instruments show of a cup: the observables.

An observable is a function of the state of the cup. The mass is the first; a temperature, a gas
volume, a precipitate or an absorbance is one more function here and touches nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.buoyancy import WEIGHT_DENSITY, buoyancy_factor
from tarebook.model.cup import DISSOLVED_VOLUME, Contents, CupState
from tarebook.model.delivery import liquid_reading, reading_for
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.gas_space import room_air_density
from tarebook.model.parameters import Parameters
from tarebook.series.experiment import Experiment

SOLID_DENSITY = 2200.0
"""Of the sample, g/L: sodium bicarbonate (`chemicals` 1.5.2); it matters only to the buoyancy."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ExpectedReadings:
    """What the instruments of the series would show without errors of their own.

    Attributes
    ----------
    reagent, diluent : ndarray, [L]
    liquid, final : ndarray, [g]
        Vessel with liquid, vessel at the end.
    sample : ndarray, [g]
    """

    reagent: FloatArray
    diluent: FloatArray
    liquid: FloatArray
    sample: FloatArray
    final: FloatArray


def expected_readings(
    experiment: Experiment,
    parameters: Parameters,
    contents: Contents,
    tare: FloatArray,
    state: CupState,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> ExpectedReadings:
    """Return what would be read.

    Parameters
    ----------
    experiment : Experiment
    parameters : Parameters
    contents : Contents
    tare : ndarray, [g]
        Reading of the empty vessel.
    state : CupState
        Of these contents.
    effects : frozenset of CupEffect
    """
    scale = 1.0 if CupEffect.CALIBRATION in effects else 0.0
    held = 1.0 if CupEffect.HOLD_UP in effects else 0.0
    return ExpectedReadings(
        reagent=reading_for(
            contents.reagent, scale * parameters.scale_reagent, held * parameters.hold_up_reagent
        ),
        diluent=reading_for(
            contents.diluent, scale * parameters.scale_diluent, held * parameters.hold_up_diluent
        ),
        liquid=tare + _liquid_shown(experiment, state, effects),
        sample=_sample_shown(experiment, contents, effects),
        final=tare + _contents_shown(experiment, contents, state, effects),
    )


def _liquid_shown(
    experiment: Experiment, state: CupState, effects: frozenset[CupEffect]
) -> FloatArray:
    if CupEffect.BUOYANCY not in effects:
        return state.liquid
    return liquid_reading(state.liquid, state.liquid_density, experiment.room)


def _sample_shown(
    experiment: Experiment, contents: Contents, effects: frozenset[CupEffect]
) -> FloatArray:
    if CupEffect.BUOYANCY not in effects:
        return contents.sample
    return contents.sample / float(
        buoyancy_factor(SOLID_DENSITY, room_air_density(experiment.room))
    )


def _contents_shown(
    experiment: Experiment, contents: Contents, state: CupState, effects: frozenset[CupEffect]
) -> FloatArray:
    """Return what a balance shows for all that is in the vessel at the end, the vessel apart."""
    lost = state.gas_released + state.vapour + state.evaporated - state.head_gas
    mass = state.liquid + contents.sample - lost
    if CupEffect.BUOYANCY not in effects:
        return mass
    air = room_air_density(experiment.room)
    # A closed vessel goes on displacing what it did when it was closed, on the solid.
    of_a_gram = np.where(contents.sealed, 1.0 / SOLID_DENSITY, DISSOLVED_VOLUME)
    volume = state.liquid / state.liquid_density + of_a_gram * contents.sample
    return (mass - air * volume) / (1.0 - air / WEIGHT_DENSITY)
