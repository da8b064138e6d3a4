"""The cup as it is: from true amounts and nuisances to what happens in it.

This is the one forward model. Planning, bench checks, the joint fit, slips, simulated data and
marking all call `cup_state` and read an observable off it. `docs/model.md` derives it.

Every array has the runs on its last axis; leading axes (draws, perturbed parameters) broadcast.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.tables import reference_table
from tarebook.model.contents import Contents as Contents
from tarebook.model.cup_chemistry import cup_chemistry, protons_of_extent, reacting_solid
from tarebook.model.delivery import liquid_densities
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.gas_space import ATMOSPHERE, head_gas
from tarebook.model.gas_space import PASCAL_LITRES as PASCAL_LITRES
from tarebook.model.gas_space import WATER_MOLAR_MASS as WATER_MOLAR_MASS
from tarebook.model.heat import (
    evaporated_while_waiting,
    heat_taken,
    temperature_after,
    time_to_cool,
    vapour_per_gas,
    warming,
)
from tarebook.model.limiting import extents
from tarebook.model.own_acid import own_acid
from tarebook.model.parameters import AIR_CO2_PRESSURE, Parameters
from tarebook.model.release import Amounts, Doubt, Release, Released, by_equilibrium, mixture_of
from tarebook.series.experiment import Experiment

DISSOLVED_VOLUME: Final = 0.00027
"""Volume that a gram of dissolved sample adds, L/g: NaHCO3 in water, from its density table."""


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
        By the equation: what the limiting reactant gives, step by step where there are two.
    gas_released : ndarray, [g]
        What has left the liquid.
    dissolved : ndarray, [g]
        gas_made - gas_released: gas that stayed in the liquid in whatever form; below 0 where
        excess bicarbonate, left under little CO2, gives off more than the equation says.
    head_gas : ndarray, [g]
        Mass by which the gas lying in the vessel outweighs the air it displaced; all of the gas
        in a closed vessel, which no air leaves.
    vapour, evaporated : ndarray, [g]
        Water that left with the gas, and while waiting.
    temperature : ndarray, [K]
        Of the liquid at the last weighing.
    gas_pressure : ndarray, [Pa]
        Of CO2, that the liquid is in balance with at the last weighing.
    liquid, liquid_density : ndarray, [g] and [g/L]
        True mass and density of what was poured.
    ph, ionic_strength : ndarray, [1] and [mol/kg]
        At the last weighing; 7 and 0 stand where no equilibrium is solved and mean nothing.
    extrapolated : ndarray of bool
        Where the activity model is beyond its range.
    u_ph : ndarray, [1]
        Standard uncertainty of pH that the chemistry itself leaves; 0 unless the release says it.
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
    u_ph: FloatArray


def cup_state(
    experiment: Experiment,
    parameters: Parameters,
    contents: Contents,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
    release: Release = by_equilibrium,
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
    release : Release
        The chemistry of the liquid.

    Returns
    -------
    CupState
        All arrays broadcast to one shape.

    Raises
    ------
    OutOfRangeError
        If a temperature, a molality or an ionic strength leaves the range of the constants.
    """
    parameters = parameters.under(effects)
    reaction = experiment.reaction
    own = own_acid(experiment)
    chemistry = cup_chemistry(reaction, own.formulas)
    reagent = parameters.concentration * contents.reagent
    reach = extents(experiment, parameters, reagent, contents.sample)
    extent = reach.reached
    analyte = reach.by_analyte * reaction.analyte_coefficient
    own_protons = reach.by_own_acid * (protons_of_extent(reaction) or 1.0)
    made = reach.gas * reaction.gas_coefficient
    volume = contents.reagent + contents.diluent
    densities = liquid_densities(experiment, contents.temperature)
    of_stock, of_diluent = densities[0] * contents.reagent, densities[1] * contents.diluent
    liquid = of_stock + of_diluent
    reacted = extent * reaction.analyte_coefficient
    change = np.zeros_like(made)
    solid = reacting_solid(reaction)
    if solid and CupEffect.COOLING in effects:
        heat = parameters.heat_kept * heat_taken(solid, analyte, reacted)
        humid = parameters.vapour_saturation
        change = warming(experiment.room, contents.temperature, heat, liquid, made, humid)
    cooling = time_to_cool(experiment.vessel, liquid, volume)
    temperature = temperature_after(contents.temperature, change, contents.minutes, cooling)
    pressure = _pressure(parameters, contents)
    found = None
    released = made
    if chemistry and CupEffect.DISSOLVED_GAS in effects:
        dissolved = analyte if chemistry.analyte.dissolves else reacted
        amounts = Amounts(
            analyte=dissolved,
            reagent=reagent,
            left_over=np.maximum(analyte - dissolved, 0.0),
            own_protons=own_protons,
            own_acid=own,
        )
        water = of_stock - reaction.reagent_molar_mass.value * reagent + of_diluent
        bound = sum(one.water * amount for one, amount in amounts.of_substances(chemistry))
        # HCO3- + H+ and CO3^2- + 2 H+ both give one water with each CO2.
        water = (water + WATER_MOLAR_MASS * (bound + made)) / 1000.0
        doubt = Doubt(
            first_pk_shift=parameters.first_pk_shift,
            activity=parameters.activity,
            saturation=parameters.saturation,
        )
        found = release(mixture_of(chemistry, amounts, water, temperature, pressure, doubt))
        released = found.gas
    elif CupEffect.DISSOLVED_GAS in effects:
        released = made - _held_back(reaction.gas, made, volume, temperature, pressure)
    gas_molar_mass = reaction.gas_molar_mass.value
    values: dict[str, Any] = {
        "reagent_amount": reagent,
        "analyte_amount": analyte,
        "own_acid_amount": own_protons,
        "excess": reach.excess,
        "gas_made": made * gas_molar_mass,
        "gas_released": released * gas_molar_mass,
        "dissolved": (made - released) * gas_molar_mass,
        "temperature": temperature,
        "gas_pressure": pressure,
        "liquid": liquid,
        "liquid_density": liquid / np.maximum(volume, 1e-9),
        **_lost_besides(experiment, parameters, contents, released, change, cooling, effects),
        **_solution(found),
    }
    values |= _kept_in(contents, values)
    shape = np.broadcast_shapes(*(np.shape(value) for value in values.values()))
    return CupState(
        **{
            name: value if np.shape(value) == shape else np.broadcast_to(value, shape)
            for name, value in values.items()
        }
    )


def _kept_in(contents: Contents, values: dict[str, Any]) -> dict[str, FloatArray]:
    """Return what is otherwise in closed vessels: all gas lies there, and no water leaves.

    How the gas parts between liquid and space under its own pressure is not worked out: mass does
    not tell, and pH and dissolved gas of a closed vessel are not given.
    """
    if not contents.sealed.any():
        return {}
    inside = {"head_gas": values["gas_released"], "vapour": 0.0, "evaporated": 0.0}
    return {name: np.where(contents.sealed, kept, values[name]) for name, kept in inside.items()}


def _held_back(
    gas: str,
    made: FloatArray,
    volume: FloatArray,
    temperature: FloatArray,
    pressure: FloatArray,
) -> FloatArray:
    """Return the gas that stays dissolved where no equilibrium is solved, [mol]: Henry's law."""
    row = reference_table("tarebook.model", "cup")["dissolved_gas"].get(gas)
    if row is None:
        return np.zeros_like(made)
    at_reference, change = row
    henry = at_reference * np.exp(change * (1.0 / temperature - 1.0 / 298.15))
    return np.asarray(np.minimum(henry * pressure / ATMOSPHERE * volume, made))


def _pressure(parameters: Parameters, contents: Contents) -> FloatArray:
    """Return the pressure of CO2 at the last weighing: first order from the first to the room's."""
    over = parameters.gas_pressure - AIR_CO2_PRESSURE
    return np.asarray(AIR_CO2_PRESSURE + over * np.exp(-parameters.degassing * contents.minutes))


def _lost_besides(
    experiment: Experiment,
    parameters: Parameters,
    contents: Contents,
    released: FloatArray,
    change: FloatArray,
    cooling: FloatArray,
    effects: frozenset[CupEffect],
) -> dict[str, FloatArray]:
    """Return the gas that lies in the vessel and the water that leaves it, [g]."""
    room, start = experiment.room, contents.temperature
    lying = vapour = evaporated = 0.0 * released
    if parameters.head_fraction.any():
        volume = contents.reagent + contents.diluent
        temperature = temperature_after(start, change, contents.minutes, cooling)
        lying = parameters.head_fraction * head_gas(
            room, experiment.vessel, experiment.reaction, volume, released, temperature
        )
    if CupEffect.VAPOUR in effects:
        carried = vapour_per_gas(room, parameters.vapour_saturation, start, change)
        vapour = WATER_MOLAR_MASS * carried * released
    if parameters.evaporation.any():
        evaporated = evaporated_while_waiting(
            room, parameters.evaporation, start, change, contents.minutes, cooling
        )
    return {"head_gas": lying, "vapour": vapour, "evaporated": evaporated}


def _solution(found: Released | None) -> dict[str, FloatArray | BoolArray]:
    if found is None:
        none = np.array(0.0)
        return {
            "ph": none + 7.0, "ionic_strength": none, "extrapolated": none > 1.0, "u_ph": none,
        }  # fmt: skip
    return {
        "ph": found.ph,
        "ionic_strength": found.ionic_strength,
        "extrapolated": found.extrapolated,
        "u_ph": np.array(0.0) if found.u_ph is None else found.u_ph,
    }
