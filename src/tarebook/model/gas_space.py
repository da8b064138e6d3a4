"""The gas above the liquid: what lies in the vessel, what vapour leaves, what evaporates.

References
----------
.. [1] R. B. Bird, W. E. Stewart, E. N. Lightfoot, Transport Phenomena, 2nd ed., section 18.2:
   evaporation by diffusion through stagnant air (from memory).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.units import GAS_CONSTANT
from tarebook.measurement.air import air_density, saturation_vapour_pressure
from tarebook.series.experiment import Reaction, Room, Vessel

WATER_MOLAR_MASS: Final = 18.015
"""g/mol, from the IUPAC 2021 abridged atomic weights."""

PASCAL_LITRES: Final = 1000.0
"""Pa L in one J: the one place where a gas law meets litres."""

DIFFUSION: Final = 2.42e-5
"""Of water vapour in air at 20 degC and 1 atm, m2/s; from memory. It goes with T^1.75 / p."""

ATMOSPHERE: Final = 101325.0
"""Pa, exact by definition."""

CO2_COMPRESSIBILITY: Final = 0.9947
"""p V / (n R T) of CO2 at 20 to 25 degC and 1 atm (CoolProp 8.0.0); other gases count as ideal."""


@lru_cache(maxsize=256)
def room_air_density(room: Room) -> float:
    """Return the density of the room's air, [g/L]."""
    return float(air_density(room.temperature, room.pressure, room.relative_humidity))


def head_gas(
    room: Room,
    vessel: Vessel,
    reaction: Reaction,
    liquid_volume: FloatArray,
    released: FloatArray,
    temperature: FloatArray,
) -> FloatArray:
    """Return by how much the gas that filled the head space outweighs the air there, [g].

    A gas that flows into a mixed space of volume V fills 1 - exp(-v/V) of it with volume v. The gas
    is saturated with water vapour. A gas lighter than air gives a negative answer.

    Parameters
    ----------
    room : Room
    vessel : Vessel
    reaction : Reaction
    liquid_volume : ndarray, [L]
    released : ndarray, [mol]
        Gas that left the liquid.
    temperature : ndarray, [K]
        Of liquid and gas.
    """
    space = np.maximum(vessel.capacity - liquid_volume, 1e-6)
    molar_volume = GAS_CONSTANT * temperature / room.pressure * PASCAL_LITRES
    if reaction.gas == "CO2":
        molar_volume = CO2_COMPRESSIBILITY * molar_volume
    filled = -np.expm1(-np.maximum(released, 0.0) * molar_volume / space)
    moist = saturation_vapour_pressure(temperature) / room.pressure
    mass = (1.0 - moist) * reaction.gas_molar_mass.value + moist * WATER_MOLAR_MASS
    return np.asarray(filled * space * (mass / molar_volume - room_air_density(room)))


def still_air_evaporation(room: Room, area: float, gap: float) -> float:
    """Return the water that diffuses through still air from the liquid to the rim, [g/min].

    Parameters
    ----------
    room : Room
    area : float, [m2]
        Of the liquid.
    gap : float, [m]
        From the liquid to the rim.

    Examples
    --------
    >>> room = Room(temperature=293.15, pressure=101325.0, relative_humidity=0.5)
    >>> round(1000 * still_air_evaporation(room, 1e-4, 0.030), 4)  # mg/min from 1 cm2
    0.0426
    """
    saturated = float(saturation_vapour_pressure(room.temperature))
    drive = math.log(
        (room.pressure - room.relative_humidity * saturated) / (room.pressure - saturated)
    )
    diffusion = DIFFUSION * (room.temperature / 293.15) ** 1.75 * ATMOSPHERE / room.pressure
    flux = diffusion * room.pressure / (GAS_CONSTANT * room.temperature * gap) * drive
    return float(60.0 * WATER_MOLAR_MASS * flux * area)
