"""Equilibrium constants at given temperatures, with shifts for the study of their uncertainty."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from tarebook.chemistry.equilibrium.acids import (
    Acid,
    LogK,
    UnknownSubstanceError,
    equilibrium_table,
    log_k,
)
from tarebook.chemistry.equilibrium.activity import HIGHEST, LOWEST, debye_hueckel_slope
from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.units import celsius

LN10 = math.log(10.0)
WATER, HENRY = "water", "henry"
"""Names under which shifts of pKw and of log10 of the Henry constant are given."""

Shifts = Mapping[str, Sequence[ArrayLike]]
"""By name of acid: what to add to each of its pK; ``"water"`` and ``"henry"``: one entry each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Constants:
    """Equilibrium constants, molality scale, zero ionic strength.

    Attributes
    ----------
    k : tuple of tuple of ndarray, [mol/kg]
        For each acid, for each step.
    water : ndarray, [mol2/kg2]
        Ion product.
    henry : ndarray, [mol/(kg Pa)]
        Activity of dissolved CO2 under CO2 of 1 Pa.
    slope : ndarray, [kg^0.5/mol^0.5]
        A ln(10), the Debye-Hueckel slope for ln gamma.
    """

    k: tuple[tuple[FloatArray, ...], ...]
    water: FloatArray
    henry: FloatArray
    slope: FloatArray


def evaluate_log_k(coefficients: LogK, temperature: FloatArray) -> FloatArray:
    """Return log10 K.

    Parameters
    ----------
    coefficients : LogK
        c0 to c4 of c0 + c1*T + c2/T + c3*log10(T) + c4/T**2.
    temperature : ndarray, any shape, [K]
        Temperature.

    Returns
    -------
    ndarray, same shape, [1]
        log10 K.
    """
    return _log_k(coefficients, temperature, 1.0 / temperature, np.log10(temperature))


def _log_k(
    coefficients: LogK, temperature: FloatArray, inverse: FloatArray, log_t: FloatArray
) -> FloatArray:
    """Return log10 K from T, 1/T and log10(T), which all constants share."""
    c0, c1, c2, c3, c4 = coefficients
    total = c2 * inverse
    if c4:
        total = total + (c4 * inverse) * inverse
    total = total + c0
    if c1:
        total = total + c1 * temperature
    if c3:
        total = total + c3 * log_t
    return np.asarray(total)


def water_log_k() -> LogK:
    """Return the coefficients of log10 of the ion product of water."""
    return log_k(equilibrium_table()["water"]["analytic"])


def henry_log_k() -> LogK:
    """Return the coefficients of log10 of the Henry constant of CO2 in mol/(kg atm)."""
    return log_k(equilibrium_table()["henry"]["analytic"])


def checked_temperature(temperature: ArrayLike, acids: Sequence[Acid] = ()) -> FloatArray:
    """Return the temperatures as an array if all constants hold there.

    Parameters
    ----------
    temperature : array_like, any shape, [K]
        Within 278.15 to 313.15 and the range of each acid.
    acids : sequence of Acid, optional
        The acids whose constants are wanted.

    Returns
    -------
    ndarray, same shape, [K]
        The temperatures.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside, or is not a number.
    """
    t = np.asarray(temperature, dtype=np.float64)
    low = max([LOWEST, *(acid.low for acid in acids)])
    high = min([HIGHEST, *(acid.high for acid in acids)])
    if t.size and t.min() >= low and t.max() <= high:
        return t
    bad = ~((t >= low) & (t <= high))
    if bad.any():
        raise OutOfRangeError(
            "temperature",
            celsius(float(t[bad].flat[0])),
            "degC",
            f"[{celsius(low):g}, {celsius(high):g}]",
            "The equilibrium constants hold there; is it in degF, or in degC instead of K?",
        )
    return t


def constants_at(
    acids: Sequence[Acid], temperature: FloatArray, shifts: Shifts | None = None
) -> Constants:
    """Return all constants at given temperatures.

    Parameters
    ----------
    acids : sequence of Acid
        The acids of the system.
    temperature : ndarray, any shape, [K]
        Already checked.
    shifts : Shifts, optional
        Added to the pK (to log10 of the Henry constant for ``"henry"``), broadcastable.

    Returns
    -------
    Constants
        Arrays of the shape of `temperature`, broadcast with the shifts.

    Raises
    ------
    UnknownSubstanceError
        If a shift names no acid of the system.
    OutOfRangeError
        If the number of shifts is not the number of steps.
    """
    shifts = {} if shifts is None else shifts
    known = (*(acid.name for acid in acids), WATER, HENRY)
    for name in shifts:
        if name not in known:
            raise UnknownSubstanceError(name, known)

    inverse, log_t = 1.0 / temperature, np.log10(temperature)

    def k_of(name: str, coefficients: Sequence[LogK], sign: float) -> tuple[FloatArray, ...]:
        n = len(coefficients)
        added = shifts.get(name, (0.0,) * n)
        if len(added) != n:
            raise OutOfRangeError(f"number of shifts for {name}", len(added), "1", f"{{{n}}}")
        return tuple(
            np.exp(LN10 * (_log_k(c, temperature, inverse, log_t) + sign * np.asarray(d)))
            for c, d in zip(coefficients, added, strict=True)
        )

    (water,) = k_of(WATER, (water_log_k(),), -1.0)
    (henry,) = k_of(HENRY, (henry_log_k(),), 1.0)
    return Constants(
        k=tuple(k_of(acid.name, acid.steps, -1.0) for acid in acids),
        water=water,
        henry=henry / float(equilibrium_table()["henry"]["atmosphere_Pa"]),
        slope=np.asarray(LN10 * debye_hueckel_slope(temperature)),
    )
