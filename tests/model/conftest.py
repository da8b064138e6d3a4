"""Experiments for the model: one definition, changed line by line."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.model.cup import Contents
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

DEFINITION = """
title = "Bicarbonate in invented granules"
invented = "made up to test the model"

[reaction]
equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
sample = "NaHCO3"
reagent = "HCl"
gas = "CO2"

[sample]
name = "granules"
nominal_g = 1.5

[reagent]
name = "acid"

[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.750
relative_u = 0.005

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

[room]
temperature_C = 20
pressure_kPa = 101.325
relative_humidity_percent = 50
"""

Build = Callable[..., Experiment]


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
def cups() -> Callable[..., Contents]:
    """Return what is in vessels: mL, g, minutes and degC, each one number or a row."""

    def made(
        reagent: object,
        diluent: object = None,
        sample: object = 1.5,
        minutes: object = 10.0,
        celsius: object = 20.0,
    ) -> Contents:
        acid = np.asarray(reagent, dtype=np.float64) / 1000.0
        water = 0.040 - acid if diluent is None else np.asarray(diluent, dtype=np.float64) / 1000.0

        def row(value: object) -> FloatArray:
            return np.asarray(value, dtype=np.float64) + 0.0 * acid

        return Contents(
            reagent=acid,
            diluent=row(water),
            sample=row(sample),
            temperature=row(celsius) + 273.15,
            minutes=row(minutes),
        )

    return made
