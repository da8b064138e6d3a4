"""The table of solution densities: solutes, their rows, and what is interpolated in them.

Solutes are told apart by composition. That makes CH3COOH, C2H4O2 and HC2H3O2 the same, and cannot
tell isomers apart: the sucrose row is no use for lactose.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, TypeAlias

import numpy as np

from tarebook.chemistry.formula import Formula, parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.quantity import Measured, Source
from tarebook.core.tables import reference_table
from tarebook.core.units import kelvin

_TABLE = reference_table("tarebook.chemistry", "solution_density")
_LOW, _HIGH = kelvin(5.0), kelvin(40.0)
T20, T25 = kelvin(20.0), kelvin(25.0)
"""The table's two columns, K."""

TEMPERATURE_BEND_U: Final = float(_TABLE["temperature"]["u_kg_m3_K2"])
"""u of the density for each K from 20 and each K from 25 degC and each g/g, g/(L K2)."""

UNLISTED: Final = Measured(
    value=_TABLE["unlisted"]["volume_L_kg"] / 1000.0,
    u=_TABLE["unlisted"]["u_L_kg"] / 1000.0,
    unit="L/g",
    source=Source(_TABLE["unlisted"]["source"], _TABLE["unlisted"]["basis"]),
)
"""Apparent specific volume of an acid that the table does not hold."""

Number: TypeAlias = NumberArray | complex
"""An array or one number, real or complex."""

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
class SoluteTable:
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
    return solute_table(solute).key


def density_source(solute: str) -> Source:
    """Return where a solute's densities come from.

    Raises
    ------
    FormulaError, UnknownSoluteError
        As `solute_key`.
    """
    return solute_table(solute).source


@cache
def solute_table(solute: str) -> SoluteTable:
    """Return the rows of a solute, worked out from the densities of the table.

    Parameters
    ----------
    solute : str
        Formula in any spelling.

    Raises
    ------
    FormulaError
        If the text is no formula.
    UnknownSoluteError
        If the table does not hold it.
    """
    formula = parse_formula(solute)
    for row in _TABLE["solutes"]:
        if parse_formula(row["key"]).composition == formula.composition:
            return _read(row)
    raise UnknownSoluteError(formula.text, _hint(formula))


def _read(row: Mapping[str, Any]) -> SoluteTable:
    fractions = np.array(row["w_percent"]) / 100.0
    columns = []
    for celsius in ("20C", "25C"):
        water = float(_TABLE["water"][f"rho_{celsius}_kg_m3"])
        densities = np.array(row[f"rho_{celsius}_kg_m3"])
        columns.append((1.0 / densities - (1.0 - fractions) / water) / fractions)
    at_20, at_25 = columns
    slopes = (at_25 - at_20) / (T25 - T20)
    # Below the first row the apparent volume stays what it is there; at 0 it no longer counts.
    return SoluteTable(
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


def apparent_volume(
    grid: SoluteTable, fraction: Number, temperature: Number
) -> tuple[NumberArray, NumberArray]:
    """Return the apparent specific volume [L/g] and its slope over the mass fraction.

    Parameters
    ----------
    grid : SoluteTable
    fraction : ndarray, [g/g]
        Within the table.
    temperature : ndarray, [K]
    """
    nodes = grid.fractions
    cell = np.searchsorted(nodes, np.asarray(fraction).real, side="right") - 1
    cell = np.clip(cell, 0, len(nodes) - 2)
    warmer = np.asarray(temperature) - T20
    steps = np.diff(nodes)
    rise = (np.diff(grid.volumes) / steps)[cell] + (np.diff(grid.slopes) / steps)[cell] * warmer
    start = grid.volumes[cell] + grid.slopes[cell] * warmer
    return start + rise * (fraction - nodes[cell]), rise


def check_in_table(grid: SoluteTable, fraction: Number, temperature: Number) -> None:
    """Refuse what lies outside the table.

    Parameters
    ----------
    grid : SoluteTable
    fraction : ndarray, [g/g]
    temperature : ndarray, [K]

    Raises
    ------
    OutOfRangeError
    """
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
