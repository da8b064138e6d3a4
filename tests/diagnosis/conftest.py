"""An invented laboratory for the tests of the checks: a fizzing tablet in dilute acetic acid.

Nothing of it exists; the readings are simulated from the model's own physics with a known truth.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import RunTable
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TABLET = """
title = "Sodium hydrogen carbonate in a fizzing tablet"
invented = "The tablet does not exist; the readings are simulated."
[reaction]
equation = "NaHCO3 + CH3COOH -> NaCH3COO + H2O + CO2"
sample = "NaHCO3"
reagent = "CH3COOH"
gas = "CO2"
[sample]
name = "fizzing tablet"
nominal_g = 1.0
claimed_mass_fraction = 0.55
claimed_tolerance = 0.06
{own_acid}
[reagent]
name = "dilute acetic acid"
[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.15
relative_u = 0.005
[series]
total_mL = 50
reagent_mL = {volumes}
[instruments.reagent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "A"
[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "A"
[instruments.balance]
readability_g = 0.001
capacity_g = 300
[instruments.thermometer]
readability_C = 0.5
tolerance_C = 1.0
[vessel]
capacity_mL = 200
opening_diameter_cm = 7.0
height_cm = 8.5
[waiting]
minutes = 10
[room]
temperature_C = 21
pressure_kPa = 101.3
relative_humidity_percent = 50
"""

VOLUMES = (0, 8, 15, 22, 30, 38, 44, 50)


@pytest.fixture(scope="session")
def tablet() -> Callable[..., Experiment]:
    """Return what makes the definition, with what it says of the tablet's own acid."""

    def made(own_acid: str = "", volumes: tuple[float, ...] = VOLUMES) -> Experiment:
        return parse_definition(TABLET.format(own_acid=own_acid, volumes=list(volumes)))

    return made


@pytest.fixture(scope="session")
def row_of() -> Callable[..., RunTable]:
    """Return what simulates the readings of a clean row, with some of the truth given."""

    def made(experiment: Experiment, seed: int, **values: float) -> RunTable:
        rng = np.random.default_rng(seed)
        return simulate(experiment, _truth(experiment, rng, values), rng).table

    return made


def _truth(
    experiment: Experiment, rng: np.random.Generator, values: dict[str, float]
) -> Parameters:
    """Return one draw of what is true of a row, with some of it given."""
    drawn = drawn_parameters(experiment, rng, 1)
    single = {name: np.asarray(getattr(drawn, name)[0, 0]) for name in NAMES}
    return Parameters(**{**single, **{name: np.asarray(value) for name, value in values.items()}})
