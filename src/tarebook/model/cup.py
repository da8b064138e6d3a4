"""The cup as it is: from true amounts and nuisances to what happens in it.

This is the one forward model. Planning, bench checks, the joint fit, slips, simulated data and
marking all call `cup_state` and read an observable off it. `docs/model.md` derives it.

Every array has the runs on its last axis; leading axes (draws, perturbed parameters) broadcast.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.chemistry.equilibrium import Equilibrium, capped
from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.units import GAS_CONSTANT
from tarebook.measurement.air import air_density, saturation_vapour_pressure
from tarebook.measurement.water import water_density
from tarebook.model.cup_chemistry import ANION, CATION, CupChemistry, cup_chemistry
from tarebook.model.delivery import liquid_mass, reagent_density
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.parameters import AIR_CO2_PRESSURE, Parameters
from tarebook.series.experiment import Experiment

WATER_MOLAR_MASS: Final = 18.015
"""g/mol, from the IUPAC 2021 abridged atomic weights."""

HEAT_CAPACITY: Final = 4.18
"""Of the liquid, J/(g K): water at 20 degC (CoolProp 8.0.0); dilute solutions 1 to 2 % less."""

COOLING_MINUTES: Final = 20.0
"""Time in which a cooled open cup comes back to the room by a factor e, min; from memory."""

DISSOLVED_VOLUME: Final = 0.00027
"""Volume that a gram of dissolved sample adds, L/g: NaHCO3 in water, from its density table."""

PASCAL_LITRES: Final = 1000.0
"""Pa L in one J: the one place where a gas law meets litres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What is really in each vessel; arrays with the runs on the last axis.

    Attributes
    ----------
    reagent, diluent : ndarray, [L]
        Volumes delivered.
    sample : ndarray, [g]
        True mass.
    temperature : ndarray, [K]
        Of the liquid before the sample goes in.
    minutes : ndarray, [min]
        From the end of the fizzing to the last weighing.
    """

    reagent: FloatArray
    diluent: FloatArray
    sample: FloatArray
    temperature: FloatArray
    minutes: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CupState:
    """What happened in each vessel by the last weighing; one shape for all arrays.

    Attributes
    ----------
    reagent_amount, analyte_amount, own_acid_amount : ndarray, [mol]
    excess : ndarray, [mol]
        Extent of reaction that the acid allows less that which the analyte allows: negative where
        the reagent limits.
    gas_made : ndarray, [g]
        By the equation: what the limiting reactant gives.
    gas_released : ndarray, [g]
        What has left the liquid.
    dissolved : ndarray, [g]
        gas_made - gas_released: gas that stayed in the liquid in whatever form.
    head_gas : ndarray, [g]
        Mass by which the gas lying in the vessel outweighs the air it displaced.
    vapour, evaporated : ndarray, [g]
        Water that left with the gas, and while waiting.
    temperature : ndarray, [K]
        Of the liquid at the last weighing.
    gas_pressure : ndarray, [Pa]
        Of CO2, that the liquid is in balance with at the last weighing.
    liquid, liquid_density : ndarray, [g] and [g/L]
        True mass and density of what was poured.
    ph, ionic_strength : ndarray, [1] and [mol/kg]
        At the last weighing; pH 7 and 0 where no equilibrium is solved.
    extrapolated : ndarray of bool
        Where the activity model is beyond its range.
    """

    reagent_amount: FloatArray
    analyte_amount: FloatArray
    own_acid_amount: FloatArray
    excess: FloatArray
    gas_made: FloatArray
    gas_released: FloatArray
    dissolved: FloatArray
    head_gas: FloatArray
    vapour: FloatArray
    evaporated: FloatArray
    temperature: FloatArray
    gas_pressure: FloatArray
    liquid: FloatArray
    liquid_density: FloatArray
    ph: FloatArray
    ionic_strength: FloatArray
    extrapolated: BoolArray


def cup_state(
    experiment: Experiment,
    parameters: Parameters,
    contents: Contents,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
) -> CupState:
    """Return what happens in the vessels.

    Parameters
    ----------
    experiment : Experiment
    parameters : Parameters
        Shared by all runs: numbers, or arrays whose last axis is 1.
    contents : Contents
        What is in each vessel.
    effects : frozenset of CupEffect
        Those that count; with none of them, gas_released is gas_made and nothing else leaves.

    Returns
    -------
    CupState
        All arrays broadcast to one shape.

    Raises
    ------
    OutOfRangeError
        If a temperature, a molality or an ionic strength leaves the range of the constants.
    """
    reaction = experiment.reaction
    chemistry = cup_chemistry(reaction)
    protons = chemistry.analyte.protons if chemistry else 1.0
    reagent = parameters.concentration * contents.reagent
    analyte = parameters.content * contents.sample / reaction.analyte_molar_mass.value
    own_acid = _on(CupEffect.OWN_ACID, effects) * parameters.own_acid * contents.sample
    by_acid = reagent / reaction.reagent_coefficient
    by_acid = by_acid + own_acid / (protons * reaction.analyte_coefficient)
    by_analyte = analyte / reaction.analyte_coefficient
    extent = np.maximum(np.minimum(by_acid, by_analyte), 0.0)
    made = extent * reaction.gas_coefficient
    liquid = liquid_mass(experiment, contents.reagent, contents.diluent, contents.temperature)
    temperature = _cooled(chemistry, contents, extent, liquid, effects)
    pressure = _pressure(parameters, contents)
    released, solution = made, None
    if chemistry and CupEffect.DISSOLVED_GAS in effects:
        water = _water(experiment, contents, reagent, extent)
        solution = _equilibrium(
            chemistry, parameters, (analyte, reagent, own_acid), water, temperature, pressure
        )
        released = solution.released * water
    head = _head_gas(experiment, parameters, contents, released, temperature, effects)
    vapour = _vapour(experiment, parameters, released, temperature, effects)
    evaporated = _on(CupEffect.EVAPORATION, effects) * parameters.evaporation * contents.minutes
    volume = contents.reagent + contents.diluent
    gas_molar_mass = reaction.gas_molar_mass.value
    neutral = np.zeros(np.shape(released))
    arrays = np.broadcast_arrays(
        reagent,
        analyte,
        own_acid,
        by_acid - by_analyte,
        made * gas_molar_mass,
        released * gas_molar_mass,
        (made - released) * gas_molar_mass,
        head,
        vapour,
        evaporated,
        temperature,
        pressure,
        liquid,
        liquid / np.maximum(volume, 1e-9),
        solution.ph if solution else neutral + 7.0,
        solution.ionic_strength if solution else neutral,
        solution.extrapolated if solution else neutral > 1.0,
    )
    return CupState(**dict(zip(CupState.__slots__, arrays, strict=True)))


def _on(effect: CupEffect, effects: frozenset[CupEffect]) -> float:
    return 1.0 if effect in effects else 0.0


def _cooled(
    chemistry: CupChemistry | None,
    contents: Contents,
    extent: FloatArray,
    liquid: FloatArray,
    effects: frozenset[CupEffect],
) -> FloatArray:
    """Return the temperature of the liquid at the last weighing."""
    if chemistry is None or CupEffect.COOLING not in effects:
        return contents.temperature + 0.0 * extent
    heat = chemistry.analyte.enthalpy * extent
    fall = heat / (HEAT_CAPACITY * np.maximum(liquid, 1.0))
    return contents.temperature - fall * np.exp(-contents.minutes / COOLING_MINUTES)


def _pressure(parameters: Parameters, contents: Contents) -> FloatArray:
    """Return the pressure of CO2 at the last weighing: first order from the first to the room's."""
    over = parameters.gas_pressure - AIR_CO2_PRESSURE
    return AIR_CO2_PRESSURE + over * np.exp(-parameters.degassing * contents.minutes)


def _water(
    experiment: Experiment, contents: Contents, reagent: FloatArray, extent: FloatArray
) -> FloatArray:
    """Return the water in each vessel, [kg]: of diluent and stock, and made by the reaction."""
    reaction = experiment.reaction
    stock = reagent_density(experiment, contents.temperature) * contents.reagent
    stock = stock - reaction.reagent_molar_mass.value * reagent
    diluent = water_density(contents.temperature) * contents.diluent
    made = sum(n for formula, n in reaction.equation.products if formula.text == "H2O")
    return (stock + diluent + WATER_MOLAR_MASS * made * extent) / 1000.0


def _equilibrium(
    chemistry: CupChemistry,
    parameters: Parameters,
    amounts: tuple[FloatArray, FloatArray, FloatArray],
    water: FloatArray,
    temperature: FloatArray,
    pressure: FloatArray,
) -> Equilibrium:
    analyte, reagent, own_acid = amounts
    totals: dict[str, FloatArray] = {}
    for substance, amount in ((chemistry.analyte, analyte), (chemistry.reagent, reagent)):
        for name, per_mole in substance.acids.items():
            totals[name] = totals.get(name, 0.0) + per_mole * amount / water
    cations, anions = 0.0 * own_acid, own_acid
    for substance, amount in ((chemistry.analyte, analyte), (chemistry.reagent, reagent)):
        cations = cations + max(substance.charge, 0.0) * amount
        anions = anions + max(-substance.charge, 0.0) * amount
    # A sample that takes up protons brings cations in place of anions.
    cations, anions = cations - np.minimum(anions, 0.0), np.maximum(anions, 0.0)
    return capped(
        chemistry.system,
        totals=totals,
        strong={CATION.name: cations / water, ANION.name: anions / water},
        temperature=temperature,
        pressure=pressure,
        shifts={"carbonic": (parameters.first_pk_shift, np.array(0.0))},
    )


def _head_gas(
    experiment: Experiment,
    parameters: Parameters,
    contents: Contents,
    released: FloatArray,
    temperature: FloatArray,
    effects: frozenset[CupEffect],
) -> FloatArray:
    """Return by how much the gas in the vessel outweighs the air it displaced, [g].

    A gas that flows into a mixed space of volume V fills 1 - exp(-v/V) of it with volume v.
    """
    if CupEffect.HEAD_GAS not in effects:
        return 0.0 * released
    room, gas = experiment.room, experiment.reaction.gas_molar_mass.value
    space = np.maximum(experiment.vessel.capacity - contents.reagent - contents.diluent, 1e-6)
    molar_volume = GAS_CONSTANT * temperature / room.pressure * PASCAL_LITRES
    filled = -np.expm1(-np.maximum(released, 0.0) * molar_volume / space)
    moist = saturation_vapour_pressure(temperature) / room.pressure
    density = ((1.0 - moist) * gas + moist * WATER_MOLAR_MASS) / molar_volume
    air = air_density(room.temperature, room.pressure, room.relative_humidity)
    return parameters.head_fraction * filled * space * (density - air)


def _vapour(
    experiment: Experiment,
    parameters: Parameters,
    released: FloatArray,
    temperature: FloatArray,
    effects: frozenset[CupEffect],
) -> FloatArray:
    """Return the water that the gas carries away, [g]."""
    vapour = saturation_vapour_pressure(temperature) * parameters.vapour_saturation
    per_mole = vapour / (experiment.room.pressure - vapour)
    return _on(CupEffect.VAPOUR, effects) * WATER_MOLAR_MASS * per_mole * released
