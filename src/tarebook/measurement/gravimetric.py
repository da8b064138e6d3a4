"""Volume from the reading of a balance, and back."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarebook.core.arrays import NumberArray
from tarebook.core.units import ZERO_CELSIUS
from tarebook.measurement.air import CONVENTIONAL_DENSITY
from tarebook.measurement.buoyancy import WEIGHT_DENSITY, buoyancy_factor
from tarebook.measurement.water import water_density

REFERENCE_TEMPERATURE: Final = ZERO_CELSIUS + 20.0
"""Temperature for which the marks of volumetric ware hold, K."""

EXPANSION: Final = {
    "borosilicate 3.3": 9.9e-6,
    "soda-lime glass": 27e-6,
    "polypropylene": 450e-6,
    "polymethylpentene": 350e-6,
}
"""Coefficients of cubic expansion of ware, 1/K. Basis: memory; the first is borne out by a printed
-0.05 mL for a 1 L flask from 20 to 15 degC."""


def volume_from_reading(
    reading: NumberArray | float,
    density: NumberArray | float,
    air_density: NumberArray | float = CONVENTIONAL_DENSITY,
    weight_density: NumberArray | float = WEIGHT_DENSITY,
) -> NumberArray:
    """Return the volume of a liquid that was weighed.

    Parameters
    ----------
    reading : ndarray, any shape, [g]
        What the balance shows for the liquid.
    density : ndarray or float, [g/L]
        Density of the liquid at its temperature.
    air_density, weight_density : ndarray or float, [g/L]
        As for `buoyancy.buoyancy_factor`.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [L]
        Volume at the temperature of the liquid.

    Raises
    ------
    OutOfRangeError
        If a density is not above that of the air, or a number is missing.

    Examples
    --------
    >>> float(volume_from_reading(9.9736, 997.05, 1.2, 8400.0).round(6))
    0.010014
    """
    factor = buoyancy_factor(density, air_density, weight_density)
    volume: NumberArray = np.asarray(reading) * factor / np.asarray(density)
    return volume


def reading_from_volume(
    volume: NumberArray | float,
    density: NumberArray | float,
    air_density: NumberArray | float = CONVENTIONAL_DENSITY,
    weight_density: NumberArray | float = WEIGHT_DENSITY,
) -> NumberArray:
    """Return what a balance shows for a volume of liquid: the inverse of `volume_from_reading`.

    Parameters
    ----------
    volume : ndarray, any shape, [L]
        Volume at the temperature of the liquid.
    density : ndarray or float, [g/L]
        Density of the liquid at its temperature.
    air_density, weight_density : ndarray or float, [g/L]
        As for `buoyancy.buoyancy_factor`.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [g]
        Reading.

    Raises
    ------
    OutOfRangeError
        If a density is not above that of the air, or a number is missing.
    """
    factor = buoyancy_factor(density, air_density, weight_density)
    reading: NumberArray = np.asarray(volume) * np.asarray(density) / factor
    return reading


def at_reference(
    volume: NumberArray | float, temperature: NumberArray | float, expansion: float
) -> NumberArray:
    """Return the volume at 20 degC of a vessel whose volume is known at another temperature.

    Parameters
    ----------
    volume : ndarray, any shape, [L]
        Volume of the vessel at `temperature`.
    temperature : ndarray or float, [K]
        Temperature of vessel and liquid.
    expansion : float, [1/K]
        Coefficient of cubic expansion of the vessel, e.g. one of `EXPANSION`.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [L]
        Volume at 20 degC, volume (1 - expansion (T - 293.15 K)).

    References
    ----------
    .. [1] ISO 4787, Laboratory glass and plastic ware: volumetric instruments, methods for testing.
    """
    warmer = np.asarray(temperature) - REFERENCE_TEMPERATURE
    at_20: NumberArray = np.asarray(volume) * (1.0 - expansion * warmer)
    return at_20


def z_factor(
    temperature: NumberArray | float,
    air_density: NumberArray | float = CONVENTIONAL_DENSITY,
    *,
    weight_density: float = WEIGHT_DENSITY,
    expansion: float = 0.0,
) -> NumberArray:
    """Return the volume of water for each gram that a balance shows (Z).

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        Temperature of the water, 0 to 40 degC.
    air_density : ndarray or float, [g/L]
        Density of the air, see `air.air_density`.
    weight_density : float, [g/L]
        Density of the weights.
    expansion : float, [1/K]
        Coefficient of cubic expansion of the vessel. The tables of ISO 8655-6 have none.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [L/g]
        1000 Z is in mL/g, or microlitres a milligram, as tables print it.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside 0 to 40 degC or not a number.

    References
    ----------
    .. [1] ISO 8655-6, Piston-operated volumetric apparatus: gravimetric methods; ISO/TR 20461.

    Examples
    --------
    >>> float((1000 * z_factor(293.15)).round(4))
    1.0029
    """
    volume = volume_from_reading(1.0, water_density(temperature), air_density, weight_density)
    return at_reference(volume, temperature, expansion)
