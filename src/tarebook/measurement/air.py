"""Density of moist air after the formula of the International Committee (CIPM-2007)."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarebook.core.arrays import NumberArray
from tarebook.core.units import celsius
from tarebook.measurement.ranges import require_within

# CIPM-2007: Picard, Davis, Glaeser, Fujii, Metrologia 45 (2008) 149-155; coefficients as in four
# public programs that agree digit for digit; basis: secondary.
# The gas constant belongs to the formula (CODATA 2006) and is not to be brought up to date alone.
R: Final = 8.314472
DRY_AIR_MOLAR_MASS: Final = 28.96546
WATER_MOLAR_MASS: Final = 18.01528
CARBON_MOLAR_MASS: Final = 12.011
STANDARD_CARBON_DIOXIDE: Final = 400e-6

# Saturation vapour pressure exp(A T2 + B T + C + D / T), Pa with T in K.
A: Final = 1.2378847e-5
B: Final = -1.9121316e-2
C: Final = 33.93711047
D: Final = -6.3431645e3

# Enhancement factor alpha + beta p + gamma t2, p in Pa, t in degC.
ALPHA: Final = 1.00062
BETA: Final = 3.14e-8
GAMMA: Final = 5.6e-7

# Compressibility factor, p in Pa, T in K, t in degC.
A0: Final = 1.58123e-6
A1: Final = -2.9331e-8
A2: Final = 1.1043e-10
B0: Final = 5.707e-6
B1: Final = -2.051e-8
C0: Final = 1.9898e-4
C1: Final = -2.376e-6
Z_D: Final = 1.83e-11
Z_E: Final = -0.765e-8

STANDARD_PRESSURE: Final = 101325.0
"""Pressure taken where none is known, Pa."""

CONVENTIONAL_DENSITY: Final = 1.2
"""Density of air that conventional mass assumes, g/L (OIML D 28; basis: memory)."""


def saturation_vapour_pressure(temperature: NumberArray | float) -> NumberArray:
    """Return the saturation vapour pressure of water.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        From 273.15 to 373.15 K.

    Returns
    -------
    ndarray, shape of `temperature`, [Pa]
        Pressure of pure water vapour over liquid water.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside 0 to 100 degC or not a number.

    Notes
    -----
    The formula was made for room temperature. Up to 90 degC it stays within 0.1 % of IAPWS-95
    (compared in the tests), which a cup warmed by its reaction asks for.

    References
    ----------
    .. [1] A. Picard et al., Metrologia 45 (2008) 149-155, appendix A1.

    Examples
    --------
    >>> float(saturation_vapour_pressure(293.15).round(2))
    2339.16
    """
    T = np.asarray(temperature)  # noqa: N806  # as in the formula
    require_within("temperature of water vapour", celsius(T), 0.0, 100.0, "degC")
    pressure: NumberArray = np.exp(A * T**2 + B * T + C + D / T)
    return pressure


def air_density(
    temperature: NumberArray | float,
    pressure: NumberArray | float = STANDARD_PRESSURE,
    relative_humidity: NumberArray | float = 0.5,
    carbon_dioxide: NumberArray | float = STANDARD_CARBON_DIOXIDE,
) -> NumberArray:
    """Return the density of moist air.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        From 273.15 to 313.15 K.
    pressure : ndarray or float, [Pa]
        From 60 to 110 kPa.
    relative_humidity : ndarray or float, [1]
        From 0 to 1.
    carbon_dioxide : ndarray or float, [mol/mol]
        Amount fraction, up to 0.02: a room full of people or of fizzing cups.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [g/L]
        Density.

    Raises
    ------
    OutOfRangeError
        If an input is outside its range or not a number.

    Notes
    -----
    The formula is recommended for 15 to 27 degC (basis: memory). It is let through from 0 to
    40 degC, where it stays within 5 parts in 100 000 of an equation of state for humid air.

    References
    ----------
    .. [1] A. Picard et al., Revised formula for the density of moist air (CIPM-2007), Metrologia 45
       (2008) 149-155.

    Examples
    --------
    >>> float(air_density(293.15).round(5))
    1.19931
    """
    T, p, h = np.asarray(temperature), np.asarray(pressure), np.asarray(relative_humidity)  # noqa: N806
    x_carbon_dioxide = np.asarray(carbon_dioxide)
    require_within("air temperature", celsius(T), 0.0, 40.0, "degC")
    require_within("air pressure", p, 60_000.0, 110_000.0, "Pa")
    require_within("relative humidity", h, 0.0, 1.0, "1")
    require_within("amount fraction of carbon dioxide", x_carbon_dioxide, 0.0, 0.02, "mol/mol")
    t = celsius(T)
    enhancement = ALPHA + BETA * p + GAMMA * t**2
    x_v = h * enhancement * saturation_vapour_pressure(T) / p
    compressibility = (
        1.0
        - p / T * (A0 + A1 * t + A2 * t**2 + (B0 + B1 * t) * x_v + (C0 + C1 * t) * x_v**2)
        + (p / T) ** 2 * (Z_D + Z_E * x_v**2)
    )
    dry = DRY_AIR_MOLAR_MASS + CARBON_MOLAR_MASS * (x_carbon_dioxide - STANDARD_CARBON_DIOXIDE)
    # p M / (Z R T) is in g/m3 here; 1000 L are in a cubic metre.
    density: NumberArray = (
        p * dry / (1000.0 * compressibility * R * T) * (1.0 - x_v * (1.0 - WATER_MOLAR_MASS / dry))
    )
    return density
