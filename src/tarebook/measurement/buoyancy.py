"""Mass from the reading of a balance: the air carries part of what is weighed."""

from __future__ import annotations

from typing import Final

import numpy as np

from tarebook.core.arrays import NumberArray
from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.air import CONVENTIONAL_DENSITY

WEIGHT_DENSITY: Final = 8000.0
"""Density that the weights behind a balance count as, g/L (OIML D 28; basis: memory)."""


def buoyancy_factor(
    object_density: NumberArray | float,
    air_density: NumberArray | float = CONVENTIONAL_DENSITY,
    weight_density: NumberArray | float = WEIGHT_DENSITY,
) -> NumberArray:
    """Return what a reading is multiplied by to give a mass.

    Parameters
    ----------
    object_density : ndarray, any shape, [g/L]
        Density of what is weighed.
    air_density : ndarray or float, [g/L]
        Density of the air around it.
    weight_density : ndarray or float, [g/L]
        Density of the weights the balance was adjusted with.

    Returns
    -------
    ndarray, broadcast shape of the inputs, [1]
        (1 - air / weights) / (1 - air / object).

    Raises
    ------
    OutOfRangeError
        If an object is not denser than the air, or a number is missing.

    Notes
    -----
    For the difference of two weighings of one vessel only what was added counts.

    References
    ----------
    .. [1] OIML D 28:2004, Conventional value of the result of weighing in air.

    Examples
    --------
    >>> float(buoyancy_factor(998.2).round(6))
    1.001053
    """
    density, air = np.asarray(object_density), np.asarray(air_density)
    afloat = ~(np.real(density) > np.real(air)) | ~(np.real(air) >= 0)
    if afloat.any():
        first = float(np.real(np.broadcast_to(density, afloat.shape))[afloat].flat[0])
        raise OutOfRangeError(
            "density of what is weighed",
            first,
            "g/L",
            "values above that of the air, which is 0 or more",
            "Densities are in g/L: water has 998.",
        )
    factor: NumberArray = (1.0 - air / np.asarray(weight_density)) / (1.0 - air / density)
    return factor
