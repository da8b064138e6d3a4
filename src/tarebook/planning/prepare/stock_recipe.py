"""How the stock is made from what is bought."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.stock import from_dilution, from_tolerance, from_weighed_solid
from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.quantity import Measured, Source
from tarebook.measurement.instruments import volume_instrument
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.measurement.water import water_density
from tarebook.model.heat import HEAT_CAPACITY
from tarebook.planning.prepare.batches import (
    batches,
    cylinder,
    two_digits_down,
    volume_to_take,
)
from tarebook.planning.prepare.supply import Supply, bought_row, no_recipe, supply_of
from tarebook.series.experiment import Bought, Experiment

CAN_TOLERANCE = 0.003
"""Relative half-width of a batch made up by mass: scale, and density of the stock."""

FIRST_WATER = 0.6
"""Share of the finished volume that is water before the acid goes in; from memory."""


class Way(StrEnum):
    """How the stock comes about."""

    AS_BOUGHT = "as bought"
    LIQUID = "liquid"
    SOLID = "solid"


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
    bought = experiment.preparation.bought
    if bought is not None and bought.is_the_stock and bought.solution is not None:
        return _as_it_comes(experiment, bought, volume)
    supply = supply_of(experiment)
    n_batches, size, by_mass = batches(volume, hot=supply.heat == "strong")
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
        raise no_recipe(experiment)
    try:
        taken = volume_to_take(wanted.value, size, supply.concentration.value)
    except OutOfRangeError as error:
        raise _too_weak(error, supply) from None
    mass = taken * supply.density.value
    ware = cylinder(taken)
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


def _too_weak(error: OutOfRangeError, supply: Supply) -> InputError:
    strongest = supply.concentration.value if supply.concentration else 0.0
    fault = Fault(
        where="experiment.toml, key reagent.strength",
        found=f"a stock of {error.value:.4g} mol/L from {supply.name or 'what is bought'}, which "
        f"has {strongest:.4g} mol/L",
        allowed=f"at most {strongest:.4g} mol/L from it",
        do=f"Plan a stock of {two_digits_down(strongest):g} mol/L, or buy something stronger "
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
        do=f"Plan a stock of {two_digits_down(most):g} mol/L or weaker.",
    )
    return InputError([fault])
