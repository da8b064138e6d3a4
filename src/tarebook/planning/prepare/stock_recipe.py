"""How the stock is made from what is bought."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from tarebook.chemistry.density import concentration, solution_density
from tarebook.chemistry.formula import parse_formula
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.stock import from_dilution, from_tolerance, from_weighed_solid
from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.quantity import Basis, Measured, Source
from tarebook.core.tables import reference_table
from tarebook.measurement.instruments import volume_instrument
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.water import water_density
from tarebook.series.experiment import Bought, Experiment

FLASKS = (2.0, 1.0, 0.5, 0.25)
"""Volumetric flasks, L."""

CANS = (10.0, 5.0)
"""Containers in which larger batches are weighed together, L."""

MOST_FLASKS = 4
"""More flasks than this are not filled one after the other: a larger container takes over."""

MOST_WASTE = 1.6
"""Times the volume needed that may be made to save a batch."""

CAN_TOLERANCE = 0.003
"""Relative half-width of a batch made up by mass: scale, and density of the stock."""

FIRST_WATER = 0.6
"""Share of the finished volume that is water before the acid goes in; from memory."""

CYLINDERS = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0)
"""Graduated cylinders with a row in ASTM E1272, L."""

HEAT_CAPACITY = 4.18
"""Of water, J/(g K): CoolProp 8.0.0; dilute solutions are 1 to 2 % lower."""

ENOUGH = 1e-9


class Way(StrEnum):
    """How the stock comes about."""

    AS_BOUGHT = "as bought"
    LIQUID = "liquid"
    SOLID = "solid"


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


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRecipe:
    """What to do to have the stock.

    Attributes
    ----------
    way : Way
    supply : Supply
    wanted : Measured, [mol/L]
    density : float, [g/L]
        Of the stock.
    n_batches : int
    batch, total : float, [L]
    by_mass : bool
        Whether a batch is made up by mass in a large container, not to a mark.
    mass : float, [g]
        Of what is bought, for one batch.
    volume : float, [L]
        The same for a liquid; 0 for a solid.
    water, first_water : float, [L]
        All the water of a batch, about, and what of it goes in first.
    measuring : VolumeInstrument or None
        The cylinder for `volume`; None for a solid or where none is large enough.
    made_by_mass, made_by_volume : Measured or None, [mol/L]
        The strength that can be relied on without a titration.
    rise : float or None, [K]
        By which the batch would warm (or cool) if no heat left it.
    """

    way: Way
    supply: Supply
    wanted: Measured
    density: float
    n_batches: int
    batch: float
    total: float
    by_mass: bool
    mass: float
    volume: float
    water: float
    first_water: float
    measuring: VolumeInstrument | None
    made_by_mass: Measured | None
    made_by_volume: Measured | None
    rise: float | None


def volume_to_take(wanted: float, made_up_to: float, bought: float) -> float:
    """Return the volume of a stronger solution that a weaker one needs, [L].

    Parameters
    ----------
    wanted, bought : float, [mol/L]
    made_up_to : float, [L]
        Volume of the finished solution.

    Raises
    ------
    OutOfRangeError
        If what is bought is weaker than what is wanted.

    Examples
    --------
    >>> volume_to_take(0.5, 2.0, 10.0)
    0.1
    """
    if not 0 < wanted <= bought * (1 + ENOUGH):
        raise OutOfRangeError(
            "strength of the stock",
            wanted,
            "mol/L",
            f"(0, {bought:.4g}]",
            "Diluting cannot make it stronger: buy something stronger or plan a weaker stock.",
        )
    return min(wanted / bought, 1.0) * made_up_to


def batches(volume: float) -> tuple[int, float, bool]:
    """Return how a volume of stock is made: number of batches, size of one [L], whether by mass.

    Parameters
    ----------
    volume : float, [L]
        At least this much is made.

    Examples
    --------
    >>> batches(0.2), batches(1.4), batches(7.0), batches(12.0)
    ((1, 0.25, False), (1, 2.0, False), (4, 2.0, False), (3, 5.0, True))
    """
    if not 0 < volume < math.inf:
        raise OutOfRangeError("volume of stock", volume, "L", "(0, inf)")
    small = [(math.ceil(volume / size - ENOUGH), size) for size in FLASKS]
    small = [pair for pair in small if pair[0] <= MOST_FLASKS]
    chosen = small or [(math.ceil(volume / size - ENOUGH), size) for size in CANS]
    # Few batches are less work; more than half as much again would be waste.
    sparing = [pair for pair in chosen if pair[0] * pair[1] <= MOST_WASTE * volume]
    count, size = min(
        sparing or chosen, key=lambda pair: (pair[0] if sparing else 0, pair[0] * pair[1])
    )
    return count, size, not small


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


def stock_recipe(experiment: Experiment, volume: float) -> StockRecipe:
    """Return how to make a volume of stock.

    Parameters
    ----------
    experiment : Experiment
    volume : float, [L]
        At least this much is wanted.

    Raises
    ------
    InputError
        If nobody says from what this stock is made, or it cannot be made from that.
    """
    reagent = experiment.reagent
    n_batches, size, by_mass = batches(volume)
    bought = experiment.preparation.bought
    if bought is not None and bought.is_the_stock and bought.solution is not None:
        return _as_it_comes(experiment, bought, volume)
    supply = _supply(experiment)
    wanted, density = reagent.concentration, reagent.density.value
    batch_source = Source("volumetric flask, class B", "declared")
    if by_mass:
        made_up_to = from_tolerance(size, CAN_TOLERANCE * size, "L", batch_source)
    else:
        flask = volume_instrument("volumetric flask", size, grade="B")
        made_up_to = Measured(
            value=size, u=flask.tolerance_u, unit="L", source=flask.tolerance_source
        )
    if supply.solid:
        return _from_solid(experiment, supply, n_batches, made_up_to, by_mass=by_mass)
    if supply.concentration is None or supply.density is None:
        raise _no_recipe(experiment)
    try:
        taken = volume_to_take(wanted.value, size, supply.concentration.value)
    except OutOfRangeError as error:
        raise _too_weak(error, supply) from None
    mass = taken * supply.density.value
    ware = _cylinder(taken)
    by_volume = None
    if ware is not None:
        pour = Measured(value=taken, u=ware.tolerance_u, unit="L", source=ware.tolerance_source)
        by_volume = from_dilution(supply.concentration, pour, made_up_to)
    weighed = Measured(value=mass, u=0.0, unit="g", source=batch_source)
    water = (size * density - mass) / float(water_density(experiment.room.temperature))
    return StockRecipe(
        way=Way.LIQUID,
        supply=supply,
        wanted=wanted,
        density=density,
        n_batches=n_batches,
        batch=size,
        total=n_batches * size,
        by_mass=by_mass,
        mass=mass,
        volume=taken,
        water=water,
        first_water=min(FIRST_WATER * size, water),
        measuring=ware,
        made_by_mass=from_weighed_solid(supply.solute, weighed, supply.mass_fraction, made_up_to),
        made_by_volume=by_volume,
        rise=None,
    )


def _as_it_comes(experiment: Experiment, bought: Bought, volume: float) -> StockRecipe:
    """Return the recipe of a stock that is bought ready."""
    reagent = experiment.reagent
    grams = reagent.concentration.value * experiment.reaction.reagent_molar_mass.value
    row = bought_row(experiment.reaction.reagent)
    supply = Supply(
        key=row["key"] if row else "",
        name=bought.name,
        solute=experiment.reaction.reagent,
        solid="",
        mass_fraction=Measured(
            value=grams / reagent.density.value, u=0.0, unit="1", source=reagent.density.source
        ),
        density=reagent.density,
        concentration=reagent.concentration,
    )
    return StockRecipe(
        way=Way.AS_BOUGHT,
        supply=supply,
        wanted=reagent.concentration,
        density=reagent.density.value,
        n_batches=1,
        batch=volume,
        total=volume,
        by_mass=False,
        mass=volume * reagent.density.value,
        volume=volume,
        water=0.0,
        first_water=0.0,
        measuring=None,
        made_by_mass=None,
        made_by_volume=reagent.concentration,
        rise=None,
    )


def _from_solid(
    experiment: Experiment,
    supply: Supply,
    n_batches: int,
    made_up_to: Measured,
    *,
    by_mass: bool,
) -> StockRecipe:
    reagent, size = experiment.reagent, made_up_to.value
    wanted = reagent.concentration
    moles = wanted.value * size
    mass = moles * molar_mass(supply.solid).value / supply.mass_fraction.value
    water_mass = size * reagent.density.value - mass
    dissolved = moles * molar_mass(supply.solute).value
    # Water of crystallisation is water too.
    kilograms = (size * reagent.density.value - dissolved) / 1000.0
    if kilograms <= 0 or (supply.solubility and dissolved / kilograms > supply.solubility):
        raise _too_strong(experiment, supply)
    rise = None
    if supply.enthalpy is not None:
        rise = -supply.enthalpy * moles / (HEAT_CAPACITY * size * reagent.density.value)
    water = water_mass / float(water_density(experiment.room.temperature))
    weighed = Measured(value=mass, u=0.0, unit="g", source=supply.mass_fraction.source)
    return StockRecipe(
        way=Way.SOLID,
        supply=supply,
        wanted=wanted,
        density=reagent.density.value,
        n_batches=n_batches,
        batch=size,
        total=n_batches * size,
        by_mass=by_mass,
        mass=mass,
        volume=0.0,
        water=water,
        first_water=min(FIRST_WATER * size, water),
        measuring=None,
        made_by_mass=from_weighed_solid(supply.solid, weighed, supply.mass_fraction, made_up_to),
        made_by_volume=None,
        rise=rise,
    )


def _supply(experiment: Experiment) -> Supply:
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
        raise _no_recipe(experiment)
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


def _cylinder(volume: float) -> VolumeInstrument | None:
    """Return the smallest cylinder that takes a volume in one pour; None if none does."""
    for size in CYLINDERS:
        if volume <= size * (1 + ENOUGH):
            return volume_instrument("graduated cylinder", size, standard="ASTM E1272", grade="B")
    return None


def _rows() -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = reference_table("tarebook.planning", "bought")["bought"]
    return rows


def _no_recipe(experiment: Experiment) -> InputError:
    fault = Fault(
        where="experiment.toml, key prepare.bought",
        found=f"nothing that says from what the stock of {experiment.reaction.reagent} is made",
        allowed=f"a table [prepare.bought]; without it only {', '.join(known_solutes())} are known",
        do='Add it: name = "...", and strength = { given_as = ... } or solid = "FORMULA".',
    )
    return InputError([fault])


def _too_weak(error: OutOfRangeError, supply: Supply) -> InputError:
    strongest = supply.concentration.value if supply.concentration else 0.0
    fault = Fault(
        where="experiment.toml, key reagent.strength",
        found=f"a stock of {error.value:.4g} mol/L from {supply.name or 'what is bought'}, which "
        f"has {strongest:.4g} mol/L",
        allowed=f"at most {strongest:.4g} mol/L from it",
        do=f"Plan a stock of {_two_digits_down(strongest):g} mol/L, or buy something stronger "
        "([prepare.bought]).",
    )
    return InputError([fault])


def _too_strong(experiment: Experiment, supply: Supply) -> InputError:
    molar = molar_mass(supply.solute).value
    # Per litre of solution; that the solution is heavier than water errs on the safe side.
    most = (supply.solubility or 0.0) / (1.0 + (supply.solubility or 0.0) / 1000.0) / molar
    fault = Fault(
        where="experiment.toml, key reagent.strength",
        found=f"{experiment.reagent.concentration.value:.4g} mol/L of {supply.solute}",
        allowed=f"about {most:.2g} mol/L at most: more does not dissolve at 20 °C",
        do=f"Plan a stock of {_two_digits_down(most):g} mol/L or weaker.",
    )
    return InputError([fault])


def _two_digits_down(value: float) -> float:
    """Return a positive number cut to two significant digits.

    Examples
    --------
    >>> _two_digits_down(0.8326), _two_digits_down(12.9)
    (0.83, 12.0)
    """
    step = 10.0 ** (math.floor(math.log10(value)) - 1)
    return round(math.floor(value / step + ENOUGH) * step, 12)


def rounded_up(volume: float, step: float) -> float:
    """Return a volume rounded up to a step, both [L].

    Examples
    --------
    >>> rounded_up(0.4312, 0.05)
    0.45
    """
    return round(math.ceil(volume / step - ENOUGH) * step, 9)
