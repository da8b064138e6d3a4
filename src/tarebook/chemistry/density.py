"""Density of aqueous solutions, and with it the way between mass fraction and concentration.

A solution is taken apart into its water and its solute: ``1/rho = (1 - w)/rho_water + w * v``. The
apparent specific volume `v` changes far more slowly than the density, so it is what is
interpolated: along straight lines in the mass fraction between the rows of the table, and in a
straight line in temperature through its columns at 20 and 25 degC. The water carries the rest of
the temperature dependence; its density is an argument, since it belongs to the measurement.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np

from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.solution_table import (
    T20,
    T25,
    TEMPERATURE_BEND_U,
    UNLISTED,
    Number,
    apparent_volume,
    check_in_table,
    solute_table,
)
from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import OutOfRangeError

_NEWTON_STEPS = 60

Real: TypeAlias = FloatArray | float
"""An array or one number."""


def solution_density(
    solute: str,
    mass_fraction: Number,
    *,
    temperature: Number,
    water_density: Number,
) -> NumberArray:
    """Return the density of an aqueous solution of one solute.

    Parameters
    ----------
    solute : str
        Formula of the solute without its water of crystallisation.
    mass_fraction : ndarray, [g/g]
        Of the solute in the solution.
    temperature : ndarray, [K]
        278.15 to 313.15.
    water_density : ndarray, [g/L]
        Of water at `temperature`. All three broadcast; complex numbers pass through, so the
        function can be differentiated by a complex step.

    Returns
    -------
    ndarray, broadcast shape, [g/L]
        Density at ordinary pressure.

    Raises
    ------
    FormulaError, UnknownSoluteError
        As `solute_key`.
    OutOfRangeError
        If a mass fraction is outside the table or a temperature outside 5 to 40 degC.

    References
    ----------
    .. [1] Laliberte and Cooper, J. Chem. Eng. Data 49 (2004) 1141: the additive apparent volumes.
    .. [2] The table names the source of each solute's rows.

    Examples
    --------
    >>> solution_density("NaCl", 0.10, temperature=293.15, water_density=998.2067).round(2)
    np.float64(1070.75)
    """
    grid = solute_table(solute)
    check_in_table(grid, mass_fraction, temperature)
    water = np.asarray(water_density)
    fraction = np.asarray(mass_fraction)
    density: NumberArray = 1.0 / (
        (1.0 - fraction) / water + fraction * apparent_volume(grid, fraction, temperature)[0]
    )
    return density


def solution_density_uncertainty(
    solute: str, mass_fraction: Real, *, temperature: Real
) -> FloatArray:
    """Return the standard uncertainty of `solution_density`, apart from that of its inputs.

    Two independent parts: the table's own, judged by how far handbooks disagree with it, and the
    straight line in temperature, whose error grows with |t - 20||t - 25| and the mass fraction.

    Parameters
    ----------
    solute : str
        As for `solution_density`.
    mass_fraction : ndarray, [g/g]
        Of the solute in the solution.
    temperature : ndarray, [K]
        278.15 to 313.15; broadcasts with `mass_fraction`.

    Returns
    -------
    ndarray, broadcast shape, [g/L]
        Standard uncertainty, fully shared between values of one solute.

    Raises
    ------
    FormulaError, UnknownSoluteError, OutOfRangeError
        As `solution_density`.

    Examples
    --------
    >>> solution_density_uncertainty("CH3COOH", 0.05, temperature=293.15).round(3)
    np.float64(0.3)
    """
    grid = solute_table(solute)
    check_in_table(grid, mass_fraction, temperature)
    own = np.interp(mass_fraction, grid.u_fractions, grid.u_densities)
    kelvins = np.asarray(temperature)
    bend = np.abs((kelvins - T20) * (kelvins - T25)) * np.asarray(mass_fraction)
    u: FloatArray = np.hypot(own, TEMPERATURE_BEND_U * bend)
    return u


def estimated_density(
    solute: str, amount_concentration: Real, *, water_density: Real
) -> tuple[FloatArray, FloatArray]:
    """Return the density of a solution that the table does not hold, with its uncertainty.

    Its solute takes the apparent specific volume that acids have; they differ by what the
    uncertainty says.

    Parameters
    ----------
    solute : str
        Formula without water of crystallisation.
    amount_concentration : ndarray, [mol/L]
    water_density : ndarray, [g/L]
        At the temperature of the solution; broadcasts with the concentration.

    Returns
    -------
    density, u : ndarray, broadcast shape, [g/L]

    Raises
    ------
    FormulaError
        If the text is no formula.

    Examples
    --------
    >>> density, u = estimated_density("C4H6O6", 0.5, water_density=998.2067)  # tartaric acid
    >>> density.round(), u.round()
    (np.float64(1031.0), np.float64(15.0))
    """
    dissolved = np.asarray(amount_concentration) * molar_mass(solute).value
    water = np.asarray(water_density)
    density: FloatArray = water + dissolved * (1.0 - UNLISTED.value * water)
    u: FloatArray = dissolved * water * UNLISTED.u
    return density, u


def concentration(
    solute: str,
    mass_fraction: Number,
    *,
    temperature: Number,
    water_density: Number,
) -> NumberArray:
    """Return the amount concentration of a solution of known mass fraction.

    Parameters
    ----------
    solute, mass_fraction, temperature, water_density
        As for `solution_density`.

    Returns
    -------
    ndarray, broadcast shape, [mol/L]
        mass fraction * density / molar mass, at `temperature`.

    Raises
    ------
    FormulaError, UnknownSoluteError, OutOfRangeError
        As `solution_density`.

    Examples
    --------
    >>> concentration("HCl", 0.10, temperature=293.15, water_density=998.2067).round(4)
    np.float64(2.8726)
    """
    density = solution_density(
        solute, mass_fraction, temperature=temperature, water_density=water_density
    )
    result: NumberArray = np.asarray(mass_fraction) * density / solute_table(solute).molar_mass
    return result


def mass_fraction_of(
    solute: str,
    amount_concentration: Real,
    *,
    temperature: Real,
    water_density: Real,
) -> FloatArray:
    """Return the mass fraction of a solution of known amount concentration.

    The inverse of `concentration`: Newton's method on whole arrays, kept inside a bracket.

    Parameters
    ----------
    solute : str
        As for `solution_density`.
    amount_concentration : ndarray, [mol/L]
        At `temperature`.
    temperature : ndarray, [K]
        278.15 to 313.15.
    water_density : ndarray, [g/L]
        Of water at `temperature`. All three broadcast.

    Returns
    -------
    ndarray, broadcast shape, [g/g]
        Mass fraction.

    Raises
    ------
    FormulaError, UnknownSoluteError
        As `solute_key`.
    OutOfRangeError
        If the concentration is negative or beyond the end of the table.

    Examples
    --------
    >>> mass_fraction_of("HCl", 2.8726, temperature=293.15, water_density=998.2067).round(5)
    np.float64(0.1)
    """
    grid = solute_table(solute)
    wanted, kelvins, water = np.broadcast_arrays(
        np.asarray(amount_concentration, dtype=np.float64) * grid.molar_mass,
        np.asarray(temperature, dtype=np.float64),
        np.asarray(water_density, dtype=np.float64),
    )
    end = float(grid.fractions[-1])
    most = end * solution_density(solute, end, temperature=kelvins, water_density=water)
    within = (wanted >= 0) & (wanted <= most * (1.0 + 1e-12))  # the end itself, rounded, is in
    if not np.all(within):
        worst = float(wanted[~within].flat[0]) / grid.molar_mass
        top = float(np.min(most)) / grid.molar_mass
        raise OutOfRangeError(
            f"concentration of {grid.key}", worst, "mol/L", f"[0, {top:.4g}]", "Dilute it first."
        )
    low, high = np.zeros_like(wanted), np.full_like(wanted, end)
    fraction: FloatArray = np.minimum(wanted / water, end)
    for _ in range(_NEWTON_STEPS):
        volume, slope = apparent_volume(grid, fraction, kelvins)
        density = 1.0 / ((1.0 - fraction) / water + fraction * volume)
        excess = fraction * density - wanted
        high = np.where(excess > 0, fraction, high)
        low = np.where(excess < 0, fraction, low)
        rise = density - fraction * density**2 * (volume - 1.0 / water + fraction * slope)
        step = fraction - excess / rise
        step = np.where((step < low) | (step > high), 0.5 * (low + high), step)
        # Newton squares the error: a last step of 1e-10 leaves nothing but rounding.
        settled = np.all(np.abs(step - fraction) <= 1e-10 * step)
        fraction = np.asarray(step, dtype=np.float64)
        if settled:
            break
    return fraction
