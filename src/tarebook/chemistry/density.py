"""Density of aqueous solutions, and with it the way between mass fraction and concentration.

A solution is taken apart into its water and its solute: ``1/rho = (1 - w)/rho_water + w * v``. The
apparent specific volume `v` changes far more slowly than the density, so it is what is
interpolated: along straight lines in the mass fraction between the rows of the table, and in a
straight line in temperature through its columns at 20 and 25 degC. The water carries the rest of
the temperature dependence; its density is an argument, since it belongs to the measurement.

Solutes are told apart by composition. That makes CH3COOH, C2H4O2 and HC2H3O2 the same, and cannot
tell isomers apart: the sucrose row is no use for lactose.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeAlias

import numpy as np

from tarebook.chemistry.formula import Formula, parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.core.units import kelvin

_TABLE = reference_table("tarebook.chemistry", "solution_density")
_LOW, _HIGH = kelvin(5.0), kelvin(40.0)
_T20, _T25 = kelvin(20.0), kelvin(25.0)
_NEWTON_STEPS = 60

Number: TypeAlias = NumberArray | complex
"""An array or one number, real or complex."""

Real: TypeAlias = FloatArray | float
"""An array or one number."""

SOLUTES: tuple[str, ...] = tuple(row["key"] for row in _TABLE["solutes"])
"""The solutes of the table, by the formula of what is dissolved, without its water."""


class UnknownSoluteError(TarebookError, LookupError):
    """The table of solution densities does not hold the solute.

    Parameters
    ----------
    solute : str
        What was asked for.
    hint : str
        What to do.
    """

    code = "unknown-solute"

    def __init__(self, solute: str, hint: str) -> None:
        super().__init__(solute, hint)
        self.solute, self.hint = solute, hint

    def __str__(self) -> str:
        return f"no density table for {self.solute}. Allowed: {', '.join(SOLUTES)}. {self.hint}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """One solute's rows: apparent specific volumes [L/g] at 20 and 25 degC over mass fraction."""

    key: str
    fractions: FloatArray
    volumes: FloatArray  # at 20 degC
    slopes: FloatArray  # d(volume)/dT, [L/(g K)]
    u_fractions: FloatArray
    u_densities: FloatArray
    molar_mass: float
    source: Source


def solute_key(solute: str) -> str:
    """Return the name under which the table holds a solute.

    Parameters
    ----------
    solute : str
        Formula in any spelling.

    Returns
    -------
    str
        One of `SOLUTES`.

    Raises
    ------
    FormulaError
        If the text is no formula.
    UnknownSoluteError
        If the table does not hold it.

    Examples
    --------
    >>> solute_key("HC2H3O2")
    'CH3COOH'
    """
    return _grid(solute).key


def density_source(solute: str) -> Source:
    """Return where a solute's densities come from.

    Raises
    ------
    FormulaError, UnknownSoluteError
        As `solute_key`.
    """
    return _grid(solute).source


def largest_mass_fraction(solute: str) -> float:
    """Return the mass fraction [g/g] where a solute's table ends.

    Raises
    ------
    FormulaError, UnknownSoluteError
        As `solute_key`.
    """
    return float(_grid(solute).fractions[-1])


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
    grid = _grid(solute)
    _check(grid, mass_fraction, temperature)
    water = np.asarray(water_density)
    fraction = np.asarray(mass_fraction)
    density: NumberArray = 1.0 / (
        (1.0 - fraction) / water + fraction * _apparent(grid, fraction, temperature)[0]
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
    grid = _grid(solute)
    _check(grid, mass_fraction, temperature)
    own = np.interp(mass_fraction, grid.u_fractions, grid.u_densities)
    kelvins = np.asarray(temperature)
    bend = np.abs((kelvins - _T20) * (kelvins - _T25)) * np.asarray(mass_fraction)
    u: FloatArray = np.hypot(own, float(_TABLE["temperature"]["u_kg_m3_K2"]) * bend)
    return u


def mixture_density(
    mass_fractions: Mapping[str, Number],
    *,
    temperature: Number,
    water_density: Number,
) -> NumberArray:
    """Return the density of water with several solutes.

    Masses add, and so do apparent volumes: each solute takes the apparent specific volume that it
    has alone in water at its own mass fraction of the whole. What solutes do to one another is
    left out.

    Parameters
    ----------
    mass_fractions : mapping of str to ndarray, [g/g]
        Mass fraction of each solute in the whole; water is the rest.
    temperature : ndarray, [K]
        278.15 to 313.15.
    water_density : ndarray, [g/L]
        Of water at `temperature`. All broadcast; complex numbers pass through.

    Returns
    -------
    ndarray, broadcast shape, [g/L]
        Density; that of water if there are no solutes.

    Raises
    ------
    FormulaError, UnknownSoluteError, OutOfRangeError
        As `solution_density`; also if the mass fractions sum to more than 1.

    Examples
    --------
    >>> mixture_density(
    ...     {"NaCl": 0.02, "CH3COOH": 0.05}, temperature=293.15, water_density=998.2067
    ... ).round(1)
    np.float64(1019.5)
    """
    rest: NumberArray = np.asarray(1.0)
    volume: NumberArray = np.asarray(0.0)
    for solute, value in mass_fractions.items():
        grid = _grid(solute)
        fraction = np.asarray(value)
        _check(grid, fraction, temperature)
        rest = rest - fraction
        volume = volume + fraction * _apparent(grid, fraction, temperature)[0]
    if np.any(np.real(rest) < 0):
        total = 1.0 - float(np.min(np.real(rest)))
        raise OutOfRangeError("sum of the mass fractions", total, "1", "[0, 1]")
    density: NumberArray = 1.0 / (rest / np.asarray(water_density) + volume)
    return density


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
    result: NumberArray = np.asarray(mass_fraction) * density / _grid(solute).molar_mass
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
    grid = _grid(solute)
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
        volume, slope = _apparent(grid, fraction, kelvins)
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


@cache
def _grid(solute: str) -> _Grid:
    """Return the rows of a solute, worked out from the densities of the table."""
    formula = parse_formula(solute)
    for row in _TABLE["solutes"]:
        if parse_formula(row["key"]).composition == formula.composition:
            return _grid_of(row)
    raise UnknownSoluteError(formula.text, _hint(formula))


def _grid_of(row: Mapping[str, Any]) -> _Grid:
    fractions = np.array(row["w_percent"]) / 100.0
    columns = []
    for celsius in ("20C", "25C"):
        water = float(_TABLE["water"][f"rho_{celsius}_kg_m3"])
        densities = np.array(row[f"rho_{celsius}_kg_m3"])
        columns.append((1.0 / densities - (1.0 - fractions) / water) / fractions)
    at_20, at_25 = columns
    slopes = (at_25 - at_20) / (_T25 - _T20)
    # Below the first row the apparent volume stays what it is there; at 0 it no longer counts.
    return _Grid(
        key=str(row["key"]),
        fractions=np.concatenate([[0.0], fractions]),
        volumes=np.concatenate([at_20[:1], at_20]),
        slopes=np.concatenate([slopes[:1], slopes]),
        u_fractions=np.concatenate([[0.0], np.array(row["u_w_percent"]) / 100.0]),
        u_densities=np.concatenate([[0.0], np.array(row["u_kg_m3"])]),
        molar_mass=molar_mass(str(row["key"])).value,
        source=Source(row["source"], row["basis"]),
    )


def _hint(formula: Formula) -> str:
    if formula.charge:
        return "Name the whole salt or acid, not one ion."
    if "." in formula.text or "·" in formula.text:
        return "Name the solute without its water of crystallisation, and give its own mass."
    return "Give the density yourself."


def _apparent(
    grid: _Grid, fraction: Number, temperature: Number
) -> tuple[NumberArray, NumberArray]:
    """Return the apparent specific volume [L/g] and its slope over the mass fraction."""
    nodes = grid.fractions
    cell = np.searchsorted(nodes, np.asarray(fraction).real, side="right") - 1
    cell = np.clip(cell, 0, len(nodes) - 2)
    warmer = np.asarray(temperature) - _T20
    steps = np.diff(nodes)
    rise = (np.diff(grid.volumes) / steps)[cell] + (np.diff(grid.slopes) / steps)[cell] * warmer
    start = grid.volumes[cell] + grid.slopes[cell] * warmer
    return start + rise * (fraction - nodes[cell]), rise


def _check(grid: _Grid, fraction: Number, temperature: Number) -> None:
    """Refuse what lies outside the table."""
    end = grid.fractions[-1]
    parts = np.asarray(fraction).real
    if not (np.all(parts >= 0) and np.all(parts <= end)):
        worst = float(np.max(parts)) if not np.all(parts <= end) else float(np.min(parts))
        raise OutOfRangeError(
            f"mass fraction of {grid.key}",
            worst,
            "g/g",
            f"[0, {end:g}]",
            "Write 5 % as 0.05; for a stronger solution give the density yourself.",
        )
    kelvins = np.asarray(temperature).real
    if not (np.all(kelvins >= _LOW) and np.all(kelvins <= _HIGH)):
        worst = float(np.max(kelvins)) if not np.all(kelvins <= _HIGH) else float(np.min(kelvins))
        raise OutOfRangeError(
            "temperature", worst, "K", f"[{_LOW}, {_HIGH}]", "Add 273.15 to degrees Celsius."
        )
