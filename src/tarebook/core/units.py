"""The one unit set in memory and the way in and out of it.

In memory every number is in g, L, mol, K or J (g/mol, g/L and mol/L then need no factor of 1000).
A name that leaves memory carries its unit (``sample_g``, ``reagent_mL``), so the only conversions
there are stand here, and only readers of input and writers of output call them.
"""

from __future__ import annotations

from typing import TypeVar

from tarebook.core.arrays import FloatArray

Number = TypeVar("Number", float, FloatArray)

GAS_CONSTANT = 8.314462618
"""Molar gas constant, J/(mol K): exact since the 2019 revision of the SI (CODATA 2018)."""

ZERO_CELSIUS = 273.15
"""0 degC in K, exact by definition."""


def litres(millilitres: Number) -> Number:
    """Return litres from millilitres.

    Examples
    --------
    >>> litres(25.0)
    0.025
    """
    return millilitres / 1000.0


def millilitres(litres: Number) -> Number:
    """Return millilitres from litres.

    Examples
    --------
    >>> millilitres(0.025)
    25.0
    """
    return litres * 1000.0


def kelvin(celsius: Number) -> Number:
    """Return kelvin from degrees Celsius.

    Examples
    --------
    >>> kelvin(25.0)
    298.15
    """
    return celsius + ZERO_CELSIUS


def celsius(kelvin: Number) -> Number:
    """Return degrees Celsius from kelvin.

    Examples
    --------
    >>> celsius(298.15)
    25.0
    """
    return kelvin - ZERO_CELSIUS
