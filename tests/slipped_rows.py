"""An invented fizzing tablet, its clean rows, and rows with the same thing wrong in every run."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

WELL_KNOWN = {"own_acid_mmol_per_g": 1.0, "own_acid_u_mmol_per_g": 0.02}

TABLET = """
title = "Sodium hydrogen carbonate in an invented fizzing tablet"

[reaction]
equation = "NaHCO3 + CH3COOH -> NaCH3COO + H2O + CO2"
sample = "NaHCO3"
reagent = "CH3COOH"
gas = "CO2"

[sample]
name = "tablets, crushed"
nominal_g = 2.00
claimed_mass_fraction = 0.58
claimed_tolerance = 0.04
own_acid_mmol_per_g = 3.0
own_acid_u_mmol_per_g = 0.1

[reagent]
name = "dilute acetic acid"

[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.400
relative_u = 0.005

[series]
total_mL = 40
reagent_mL = [0, 4, 8, 12, 16, 20, 25, 30, 36]
diluent = "water"

[instruments.reagent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "B"

[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "B"

[instruments.balance]
readability_g = 0.001
capacity_g = 300

[vessel]
name = "polypropylene cup"
capacity_mL = 200
opening_diameter_cm = 7.0
height_cm = 8.5

[waiting]
minutes = 12

[room]
temperature_C = 21
pressure_kPa = 101.0
relative_humidity_percent = 50
"""


def defined(**changed: object) -> Experiment:
    text = TABLET
    for key, value in changed.items():
        text = re.sub(rf"(?m)^{key} = .*$", f"{key} = {value}", text)
    return parse_definition(text)


def clean(of: Experiment, seed: int, content: float = 0.58, **truths: float) -> Simulated:
    """A clean series of truths drawn from what is known beforehand, but for those given."""
    rng = np.random.Generator(np.random.SFC64(seed))
    many = drawn_parameters(of, rng, 1)
    one = {name: np.asarray(getattr(many, name)).reshape(()) for name in NAMES}
    one["content"] = np.array(content)
    one |= {name: np.array(value) for name, value in truths.items()}
    return simulate(of, Parameters(**one), rng)


def changed(table: RunTable, quantity: Quantity, values: FloatArray) -> RunTable:
    """The same with other masses in a column."""
    column = dict(zip(table.runs, values, strict=True))
    readings = tuple(
        replace(r, value=float(column[r.run]), typed=f"{column[r.run]:.3f}")
        if r.quantity is quantity
        else r
        for r in table.readings
    )
    return replace(table, readings=readings)


def alike(table: RunTable, quantity: Quantity, shift: float) -> RunTable:
    values = np.array([table.mean_of(run, quantity) for run in table.runs])
    return changed(table, quantity, values + shift)
