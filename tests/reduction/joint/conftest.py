"""Series for the joint fit: a definition, readings with and without errors."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.core.units import celsius, millilitres
from tarebook.model.cup import cup_state
from tarebook.model.observables import Seen
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import central_parameters, drawn_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable, table_of
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

DEFINITION = """
title = "Bicarbonate in invented granules"
invented = "made up to test the fit"

[reaction]
equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
sample = "NaHCO3"
reagent = "HCl"
gas = "CO2"

[sample]
name = "granules"
nominal_g = 1.5
own_acid_mmol_per_g = 0.0
own_acid_u_mmol_per_g = 0.03

[reagent]
name = "acid"

[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.750
relative_u = 0.003

[series]
total_mL = 40
reagent_mL = [5, 10, 14, 18, 22, 26, 30, 35]

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

[vessel]
capacity_mL = 200
opening_diameter_cm = 7.0
height_cm = 8.5
"""

Build = Callable[..., Experiment]
Drawn = tuple[RunTable, Parameters]


@pytest.fixture(scope="session")
def build() -> Build:
    """Return the experiment, with texts of its definition replaced: build({"old": "new"})."""

    def built(changes: dict[str, str] | None = None) -> Experiment:
        text = DEFINITION
        for old, new in (changes or {}).items():
            assert old in text
            text = text.replace(old, new)
        return parse_definition(text)

    return built


@pytest.fixture(scope="session")
def granules(build: Build) -> Experiment:
    return build()


@pytest.fixture(scope="session")
def exact() -> Callable[..., RunTable]:
    """Return readings without any error, to the last digit, of a cup with given parameters."""

    def made(experiment: Experiment, content: float, **values: float) -> RunTable:
        chosen = {"content": content, **values}
        parameters = central_parameters(experiment).with_values(
            **{name: np.array(value) for name, value in chosen.items()}
        )
        rng = np.random.Generator(np.random.SFC64(1))
        contents = simulate(experiment, parameters, rng).contents
        state = cup_state(experiment, parameters, contents)
        tare = np.linspace(15.0, 16.0, len(experiment.planned), dtype=np.float64)
        shown = Seen(experiment, parameters, contents, tare, state)
        columns = {
            Quantity.TARE: tare,
            Quantity.REAGENT: millilitres(shown.of(Quantity.REAGENT)),
            Quantity.DILUENT: millilitres(shown.of(Quantity.DILUENT)),
            Quantity.LIQUID: shown.of(Quantity.LIQUID),
            Quantity.SAMPLE: shown.of(Quantity.SAMPLE),
            Quantity.FINAL: shown.of(Quantity.FINAL),
            Quantity.TEMPERATURE: celsius(contents.temperature),
            Quantity.MINUTES: contents.minutes,
        }
        typed = {q: [repr(float(v)) for v in column] for q, column in columns.items()}
        return table_of([run.run for run in experiment.planned], typed)

    return made


@pytest.fixture(scope="session")
def drawn() -> Callable[..., list[Drawn]]:
    """Return series with their truths: everything drawn, the content from a range."""

    def made(
        experiment: Experiment, n: int, seed: int, low: float = 0.75, high: float = 1.0
    ) -> list[Drawn]:
        rng = np.random.Generator(np.random.SFC64(seed))
        found = []
        for _ in range(n):
            draws = drawn_parameters(experiment, rng, 1)
            truth = Parameters(**{name: getattr(draws, name)[0, 0] for name in NAMES})
            truth = truth.with_values(content=np.array(rng.uniform(low, high)))
            found.append((simulate(experiment, truth, rng).table, truth))
        return found

    return made


@pytest.fixture(scope="session")
def without() -> Callable[..., RunTable]:
    """Return a table that lacks a quantity in some runs, or in all."""

    def made(table: RunTable, *quantities: Quantity, runs: tuple[str, ...] = ()) -> RunTable:
        lacking = runs or table.runs
        kept = tuple(
            reading
            for reading in table.readings
            if not (reading.quantity in quantities and reading.run in lacking)
        )
        return RunTable(runs=table.runs, readings=kept)

    return made
