"""A metal in acid with its heat: reaction, vapour, warm evaporation, cooling, step by step in time.

The model of the cup is not asked for any of it. The liquid is well mixed; the metal dissolves with
a rate that falls as it is used up; each bubble leaves saturated with vapour at the temperature that
the liquid then has; water evaporates from the warm surface and its heat is paid for by the liquid;
liquid and vessel give heat to the room.

References
----------
.. [1] Enthalpies of formation of the aqueous ions at 298 K, CRC Handbook (from memory): Mg2+
   -466.9, Zn2+ -153.9, Al3+ -531.0, Fe2+ -89.1 kJ/mol; hydrogen ion and gas zero by convention.
.. [2] Heat given to a room by free convection and radiation: 6 to 12 W/(m2 K) in common tables.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.measurement.air import saturation_vapour_pressure
from tarebook.model.cup import Contents, CupState, cup_state
from tarebook.model.effects import CupEffect
from tarebook.model.gas_space import WATER_MOLAR_MASS
from tarebook.model.parameters import Parameters
from tarebook.model.simulate import Cups
from tarebook.series.experiment import Experiment, Room

HEAT = {"Mg": 466.9e3, "Zn": 153.9e3, "Al": 531.0e3, "Fe": 89.1e3}
"""J for each mole of metal that dissolves."""

HEAT_CAPACITY = 4.18
"""Of the liquid, J/(g K)."""

VESSEL_HEAT = 15.0
"""Of as much of the vessel as the liquid touches, J/K: 10 g of polypropylene."""

EVAPORATION_HEAT = 2450.0
"""Of water near room temperature, J/g."""

TO_ROOM = (6.0, 12.0)
"""W/(m2 K), from all that the liquid touches and from its surface."""

DISSOLVING = (0.5, 1.5)
"""Minutes in which the fizzing falls by a factor e."""

FIZZ_ENDS = 5.0
"""The end of the fizzing, in those times: less than a hundredth is left."""

STEP = 0.1
"""Minutes."""


def warm_cups(rng: np.random.Generator) -> Cups:
    """Return what works out cups that the reaction heats."""
    loss, time = rng.uniform(*TO_ROOM), rng.uniform(*DISSOLVING)

    def cups(
        of: Experiment, parameters: Parameters, contents: Contents, effects: frozenset[CupEffect]
    ) -> CupState:
        state = cup_state(of, parameters, contents, effects)
        vapour, evaporated, temperature = _in_time(of, parameters, contents, state, loss, time)
        return replace(state, vapour=vapour, evaporated=evaporated, temperature=temperature)

    return cups


def _in_time(
    of: Experiment,
    parameters: Parameters,
    contents: Contents,
    state: CupState,
    loss: float,
    time: float,
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the water that left with the gas and from the surface, and the last temperature."""
    gas = state.gas_released / of.reaction.gas_molar_mass.value
    heat = HEAT[of.reaction.analyte] * of.reaction.analyte_coefficient
    of_gas = heat / of.reaction.gas_coefficient
    capacity = HEAT_CAPACITY * state.liquid + VESSEL_HEAT
    to_room = 60.0 * loss * _surface(of, contents)
    room, start = of.room.temperature, contents.temperature
    cold = _drive(of.room, np.full_like(gas, room))
    saturation = float(parameters.vapour_saturation)
    temperature = start.astype(np.float64)
    vapour, evaporated = np.zeros_like(gas), np.zeros_like(gas)
    ends = FIZZ_ENDS * time + contents.minutes
    for n in range(math.ceil(float(np.max(ends)) / STEP)):
        step = np.clip(ends - n * STEP, 0.0, STEP)
        made = gas * (math.exp(-n * STEP / time) - np.exp(-(n * STEP + step) / time))
        moist = saturation * saturation_vapour_pressure(temperature)
        with_gas = WATER_MOLAR_MASS * moist / (of.room.pressure - moist) * made
        from_surface = parameters.evaporation * _drive(of.room, temperature) / cold * step
        lost = EVAPORATION_HEAT * (with_gas + from_surface - parameters.evaporation * step)
        away = to_room * (temperature - room) * step + lost
        temperature = temperature + (of_gas * made - away) / capacity
        vapour, evaporated = vapour + with_gas, evaporated + from_surface
    return vapour, evaporated, temperature


def _drive(room: Room, temperature: FloatArray) -> FloatArray:
    """Return what drives vapour from a surface through still air to the rim."""
    outside = room.relative_humidity * float(saturation_vapour_pressure(room.temperature))
    inside = saturation_vapour_pressure(temperature)
    return np.log((room.pressure - outside) / (room.pressure - inside))


def _surface(of: Experiment, contents: Contents) -> FloatArray:
    """Return bottom, wet wall and surface of the liquid, [m2]."""
    width = of.vessel.opening_diameter
    base = math.pi * width**2 / 4.0
    depth = (contents.reagent + contents.diluent) / 1000.0 / base
    return 2.0 * base + math.pi * width * depth
