"""What a stock is made from: as the definition says, or the usual thing for its solute."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from tarebook.chemistry.density import concentration, solution_density
from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.stock import from_tolerance
from tarebook.core.errors import Fault, InputError
from tarebook.core.quantity import Basis, Measured, Source
from tarebook.core.tables import reference_table
from tarebook.measurement.water import water_density
from tarebook.series.experiment import Experiment


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """What is bought, in memory units.

    Attributes
    ----------
    key : str
        Of the substance in the tables; empty for one that they do not hold.
    name : str
        As the definition has it; empty if it names none.
    solute, solid : str
        Formulas; `solid` is empty for a liquid.
    mass_fraction : Measured, [1]
        Of the solute in a liquid, of the solid in what is weighed.
    density, concentration : Measured or None, [g/L] and [mol/L]
        None for a solid.
    heat : str
        ``"strong"``, ``"warm"``, ``"little"`` or ``"cools"``; empty if it is not known.
    enthalpy : float or None, [J/mol]
        Of dissolving.
    solubility : float or None, [g/kg]
        Of the solute in water.
    """

    key: str
    name: str
    solute: str
    solid: str
    mass_fraction: Measured
    density: Measured | None = None
    concentration: Measured | None = None
    heat: str = ""
    enthalpy: float | None = None
    solubility: float | None = None


def known_solutes() -> tuple[str, ...]:
    """Return the solutes for which the tables know what is bought."""
    return tuple(row["solute"] for row in _rows())


def bought_row(solute: str) -> dict[str, Any] | None:
    """Return the row of the table of what is bought for a solute; None if there is none."""
    composition = parse_formula(solute).composition
    for row in _rows():
        names = [row["solute"], *([row["solid"]] if "solid" in row else [])]
        if any(parse_formula(name).composition == composition for name in names):
            return dict(row)
    return None


def supply_of(experiment: Experiment) -> Supply:
    """Return what is bought: as the definition says, or the usual thing for this solute."""
    solute, bought = experiment.reaction.reagent, experiment.preparation.bought
    row = bought_row(solute)
    if bought is not None and bought.solution is not None:
        solution = bought.solution
        grams = solution.concentration.value * experiment.reaction.reagent_molar_mass.value
        fraction = grams / solution.density.value
        relative = solution.concentration.u / solution.concentration.value
        return Supply(
            key=row["key"] if row else "",
            name=bought.name,
            solute=solute,
            solid="",
            mass_fraction=Measured(
                value=fraction,
                u=relative * fraction,
                unit="1",
                source=solution.concentration.source,
            ),
            density=solution.density,
            concentration=solution.concentration,
            heat=row["heat"] if row and "solid" not in row else "",
        )
    if bought is not None:
        declared = Source("the definition", "declared")
        return Supply(
            key=row["key"] if row else "",
            name=bought.name,
            solute=solute,
            solid=bought.solid,
            mass_fraction=Measured(value=bought.purity, u=0.0, unit="1", source=declared),
            heat=row["heat"] if row and "solid" in row else "",
            enthalpy=_joules(row) if row and "solid" in row else None,
            solubility=row.get("solubility_g_per_kg") if row else None,
        )
    if row is None:
        raise no_recipe(experiment)
    return _usual(row, solute, experiment.room.temperature)


def _usual(row: dict[str, Any], solute: str, temperature: float) -> Supply:
    basis: Basis = row["basis"]
    source = Source(row["source"], basis)
    if "solid" in row:
        purity = from_tolerance(row["purity"], row["tolerance"], "1", source)
        return Supply(
            key=row["key"],
            name="",
            solute=solute,
            solid=row["solid"],
            mass_fraction=purity,
            heat=row["heat"],
            enthalpy=_joules(row),
            solubility=row.get("solubility_g_per_kg"),
        )
    fraction = from_tolerance(row["mass_fraction"], row["tolerance"], "1", source)
    molar = molar_mass(solute).value
    if "density_g_per_mL" in row:
        density = Measured(
            value=1000.0 * row["density_g_per_mL"],
            u=1000.0 * row["density_u_g_per_mL"],
            unit="g/L",
            source=source,
        )
        strength = fraction.value * density.value / molar
    else:
        water = float(water_density(temperature))
        w = np.float64(fraction.value)
        density = Measured(
            value=float(
                solution_density(row["solute"], w, temperature=temperature, water_density=water)
            ),
            u=1.0,
            unit="g/L",
            source=source,
        )
        strength = float(
            concentration(row["solute"], w, temperature=temperature, water_density=water)
        )
    relative = math.hypot(fraction.u / fraction.value, density.u / density.value)
    return Supply(
        key=row["key"],
        name="",
        solute=solute,
        solid="",
        mass_fraction=fraction,
        density=density,
        concentration=Measured(value=strength, u=strength * relative, unit="mol/L", source=source),
        heat=row["heat"],
    )


def _joules(row: dict[str, Any]) -> float | None:
    value = row.get("enthalpy_kJ_per_mol")
    return None if value is None else 1000.0 * float(value)


def _rows() -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = reference_table("tarebook.planning", "bought")["bought"]
    return rows


def no_recipe(experiment: Experiment) -> InputError:
    """Return the fault that nothing says from what the stock is made."""
    fault = Fault(
        where="experiment.toml, key prepare.bought",
        found=f"nothing that says from what the stock of {experiment.reaction.reagent} is made",
        allowed=f"a table [prepare.bought]; without it only {', '.join(known_solutes())} are known",
        do='Add it: name = "...", and strength = { given_as = ... } or solid = "FORMULA".',
    )
    return InputError([fault])
