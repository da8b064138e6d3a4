"""Heat of the reaction: how warm the liquid gets, what vapour that costs, how it cools again.

References
----------
.. [1] Heats of reaction from enthalpies of formation, `chemistry/tables/substances.toml`.
.. [2] Newton's law of cooling.
.. [3] Heat of vaporisation of water: 44.0 kJ/mol at 298 K, IAPWS-95 by CoolProp 8.0.0.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np

from tarebook.chemistry.substances import Substance
from tarebook.core.arrays import FloatArray
from tarebook.measurement.air import saturation_vapour_pressure
from tarebook.series.experiment import Room, Vessel

HEAT_CAPACITY: Final = 4.18
"""Of the liquid, J/(g K): water at 20 degC (CoolProp 8.0.0); dilute solutions 1 to 2 % less."""

VAPORISATION: Final = 44_000.0
"""Heat of vaporisation of water, J/mol, at 298 K (CoolProp 8.0.0)."""

TO_ROOM: Final = 9.0
"""Heat that bottom, wet wall and surface exchange with the room, W/(m2 K): 5 to 6 by radiation, 3
to 5 by free convection; common tables, from memory. What is not known of it `heat_kept` covers."""

HOTTEST: Final = 363.15
"""K; above it the liquid boils off and the model of quiet evaporation says nothing."""

NODES: Final = (0.1127016653792583, 0.5, 0.8872983346207417)
WEIGHTS: Final = (5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0)
"""Gauss-Legendre nodes and weights on [0, 1], three points."""


def heat_taken(solid: Substance, amount: FloatArray, reacted: FloatArray) -> FloatArray:
    """Return the heat that the reaction takes from the liquid, [J]; negative warms it.

    Parameters
    ----------
    solid : Substance
    amount : ndarray, [mol]
        Of the solid.
    reacted : ndarray, [mol]
        The part of it that found its partner.
    """
    heat = solid.reaction_heat * reacted
    if solid.dissolves:
        heat = heat + solid.solution_heat * (amount - reacted)
    return heat


def warming(
    room: Room,
    start: FloatArray,
    heat: FloatArray,
    liquid: FloatArray,
    gas: FloatArray,
    saturation: FloatArray,
) -> FloatArray:
    """Return by how much the liquid is warmer when the fizzing stops, [K]; negative if colder.

    Vapour that leaves with the gas takes its heat of vaporisation along.

    Parameters
    ----------
    room : Room
    start : ndarray, [K]
        Temperature of the liquid before.
    heat : ndarray, [J]
        That the reaction takes from the liquid.
    liquid : ndarray, [g]
    gas : ndarray, [mol]
        That leaves.
    saturation : ndarray, [1]
        Humidity of that gas, relative to saturation.
    """
    capacity = HEAT_CAPACITY * np.maximum(liquid, 1.0)
    dry = _held(start, -heat / capacity)
    vapour = VAPORISATION * vapour_per_gas(room, saturation, start, dry) * gas
    return _held(start, -(heat + vapour) / capacity)


def vapour_per_gas(
    room: Room, saturation: FloatArray, start: FloatArray, change: FloatArray
) -> FloatArray:
    """Return the water vapour that a mole of gas takes along while the temperature changes, [mol].

    The gas leaves evenly between the first and the last temperature.

    Parameters
    ----------
    room : Room
    saturation : ndarray, [1]
    start : ndarray, [K]
    change : ndarray, [K]
    """
    vapour = saturation * saturation_vapour_pressure(
        start + _nodes(saturation, start, change) * change
    )
    return _weighted(vapour, room.pressure - vapour)


def time_to_cool(vessel: Vessel, liquid: FloatArray, volume: FloatArray) -> FloatArray:
    """Return the time in which an open vessel comes back to the room by a factor e, [min].

    Parameters
    ----------
    vessel : Vessel
    liquid : ndarray, [g]
    volume : ndarray, [L]
        Of that liquid.

    Examples
    --------
    >>> cup = Vessel(name="cup", capacity=0.2, opening_diameter=0.07, height=0.085)
    >>> float(time_to_cool(cup, np.array(40.0), np.array(0.04)).round(1))
    31.0
    """
    base = math.pi * vessel.opening_diameter**2 / 4.0
    area = 2.0 * base + math.pi * vessel.opening_diameter * (volume / 1000.0 / base)
    return np.asarray(HEAT_CAPACITY * np.maximum(liquid, 1.0) / (60.0 * TO_ROOM * area))


def evaporated_while_waiting(
    room: Room,
    rate: FloatArray,
    start: FloatArray,
    change: FloatArray,
    minutes: FloatArray,
    cooling: FloatArray,
) -> FloatArray:
    """Return the water that evaporates from the standing vessel, [g].

    The drive is the vapour pressure of the liquid above that of the room's air; it follows the
    liquid on its way back to the temperature it had before.

    Parameters
    ----------
    room : Room
    rate : ndarray, [g/min]
        From a liquid at the room's temperature.
    start : ndarray, [K]
        Of the liquid before the reaction.
    change : ndarray, [K]
        By which the reaction warmed it.
    minutes : ndarray, [min]
    cooling : ndarray, [min]
        Time in which the vessel comes back to the room by a factor e.
    """
    of_room = _vapour_of_room(room)
    air = room.relative_humidity * of_room
    usual = max(of_room - air, 0.02 * of_room)
    left = change * np.exp(-_nodes(start, change, minutes, cooling) * minutes / cooling)
    drive = _weighted(saturation_vapour_pressure(start + left) - air)
    return np.asarray(rate * minutes * np.maximum(drive, 0.0) / usual)


@lru_cache(maxsize=256)
def _vapour_of_room(room: Room) -> float:
    return float(saturation_vapour_pressure(room.temperature))


def _nodes(*beside: FloatArray) -> FloatArray:
    """Return the nodes on an axis before all axes of some values."""
    return np.array(NODES).reshape(-1, *(1,) * max(np.ndim(value) for value in beside))


def _weighted(values: FloatArray, over: FloatArray | None = None) -> FloatArray:
    """Return the mean of values at the nodes, each over another one if given."""
    first, second, third = (w * value for w, value in zip(WEIGHTS, values, strict=True))
    if over is not None:
        first, second, third = first / over[0], second / over[1], third / over[2]
    mean: FloatArray = first + second + third
    return mean


def temperature_after(
    start: FloatArray, change: FloatArray, minutes: FloatArray, cooling: FloatArray
) -> FloatArray:
    """Return the temperature of the liquid some minutes after the fizzing, [K].

    Parameters
    ----------
    start : ndarray, [K]
    change : ndarray, [K]
    minutes : ndarray, [min]
    cooling : ndarray, [min]
        Time in which the vessel comes back to the room by a factor e.
    """
    return np.asarray(start + change * np.exp(-minutes / cooling))


def _held(start: FloatArray, change: FloatArray) -> FloatArray:
    """Return a change that neither freezes the liquid nor brings it near boiling."""
    return np.asarray(np.clip(start + change, 273.15, HOTTEST) - start)
