"""Three invented laboratories whose cups stand filled, with what is really in them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

CYLINDERS = """
[instruments.reagent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "A"

[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "B"

[instruments.balance]
readability_g = 0.001
"""

BURETTES = """
[instruments.reagent]
kind = "burette"
capacity_mL = 50
grade = "B"

[instruments.diluent]
kind = "burette"
capacity_mL = 50
grade = "B"

[instruments.balance]
readability_g = 0.01
"""

DEFINITION = """
title = "Cups that stand filled"
invented = "Invented: no one weighed these cups."

[reaction]
equation = "NaHCO3 + {acid} -> {salt} + H2O + CO2"
sample = "NaHCO3"
reagent = "{acid}"
gas = "CO2"

[sample]
name = "a white solid"
nominal_g = {sample}
claimed_mass_fraction = {claim}
claimed_tolerance = 0.05
{own}

[reagent]
name = "{name}"

[reagent.strength]
given_as = "mol per L"
mol_per_L = {strength}
relative_u = 0.005

[series]
total_mL = 40
reagent_mL = {row}
diluent = "water"
{ware}
"""

LABORATORIES = {
    "hydrochloric acid": DEFINITION.format(
        acid="HCl", salt="NaCl", sample=1.5, claim=0.95, own="", name="hydrochloric acid",
        strength=0.75, row=[5, 10, 14, 18, 22, 26, 30, 35], ware=CYLINDERS,
    ),
    "fizzing tablet": DEFINITION.format(
        acid="CH3COOH", salt="NaCH3COO", sample=1.6, claim=0.60,
        own="own_acid_mmol_per_g = 3.0\nown_acid_u_mmol_per_g = 0.3", name="dilute acetic acid",
        strength=0.80, row=[0, 3, 6, 9, 13, 18, 24, 32], ware=CYLINDERS,
    ),
    "burettes": DEFINITION.format(
        acid="HCl", salt="NaCl", sample=1.2, claim=0.95, own="", name="hydrochloric acid",
        strength=0.60, row=[5, 10, 14, 18, 22, 26, 30, 35], ware=BURETTES,
    ),
}  # fmt: skip

LIQUIDS = (Quantity.TARE, Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID)


def simulated(experiment: Experiment, seed: int) -> Simulated:
    """Return a row that was done to its end, with its truth."""
    rng = np.random.Generator(np.random.SFC64(seed))
    drawn = drawn_parameters(experiment, rng, 1)
    one = type(drawn)(**{name: getattr(drawn, name)[0, 0] for name in drawn.__slots__})
    return simulate(experiment, one, rng)


def poured(experiment: Experiment, seed: int) -> Simulated:
    """Return a row that was only filled, with its truth."""
    made = simulated(experiment, seed)
    readings = tuple(r for r in made.table.readings if r.quantity in LIQUIDS)
    return replace(made, table=replace(made.table, readings=readings))


def changed(table: RunTable, run: str, quantity: Quantity, by: float) -> RunTable:
    """Return a table with one reading off by some grams or litres."""
    readings = []
    for reading in table.readings:
        if (reading.run, reading.quantity) == (run, quantity):
            value = reading.value + by
            typed = f"{value if quantity.is_mass else 1000.0 * value:.3f}"
            reading = replace(reading, value=value, typed=typed)
        readings.append(reading)
    return replace(table, readings=tuple(readings))


def without(table: RunTable, run: str, *quantities: Quantity) -> RunTable:
    """Return a table in which some readings of a run were not taken."""
    kept = tuple(r for r in table.readings if r.run != run or r.quantity not in quantities)
    return replace(table, readings=kept)
