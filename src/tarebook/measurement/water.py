"""Density of water."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarebook.core.arrays import NumberArray
from tarebook.core.units import celsius
from tarebook.measurement.ranges import require_within

# Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301-309; coefficients as in ten
# public programs that agree digit for digit; basis: secondary.
# Density of air-free ocean water at 101325 Pa, t in degC (ITS-90), result in kg/m3 = g/L.
A1: Final = -3.983035
A2: Final = 301.797
A3: Final = 522528.9
A4: Final = 69.34881
A5: Final = 999.97495

# Isothermal compressibility from the same paper, 1/Pa with t in degC; basis: secondary.
K0: Final = 5.074e-10
K1: Final = -3.26e-12
K2: Final = 4.16e-14

REFERENCE_PRESSURE: Final = 101325.0
"""Pressure of the density formula, Pa."""


def water_density(
    temperature: NumberArray | float, pressure: NumberArray | float = REFERENCE_PRESSURE
) -> NumberArray:
    """Return the density of air-free water.

    Parameters
    ----------
    temperature : ndarray, any shape, [K]
        From 273.15 to 313.15 K (0 to 40 degC).
    pressure : ndarray, shape of `temperature` or scalar, [Pa]
        5 kPa change the density by 2.3 parts in a million.

    Returns
    -------
    ndarray, shape of `temperature`, [g/L]
        Density; complex where the input is, so that it can be differentiated by a complex step.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside 0 to 40 degC or not a number.

    References
    ----------
    .. [1] M. Tanaka et al., Recommended table for the density of water between 0 degC and 40 degC,
       Metrologia 38 (2001) 301-309.

    Examples
    --------
    >>> water_density(np.array([293.15, 298.15])).round(4)
    array([998.2067, 997.047 ])
    """
    t = celsius(np.asarray(temperature))
    require_within("water temperature", t, 0.0, 40.0, "degC")
    density = A5 * (1.0 - (t + A1) ** 2 * (t + A2) / (A3 * (t + A4)))
    compressibility = K0 + K1 * t + K2 * t**2
    result: NumberArray = density * (
        1.0 + compressibility * (np.asarray(pressure) - REFERENCE_PRESSURE)
    )
    return result
