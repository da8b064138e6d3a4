"""One reduced experiment for every renderer, through the same pipeline that people use."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tarebook.api.reduce_series import reduce, reduce_table
from tarebook.core.phrase import Phrase
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.joint.results import FullReduction
from tarebook.report.outcome import Outcome
from tarebook.series.definition import parse_definition

DEFINITION = """
title = "How much bicarbonate do the pool granules hold?"
invented = "Invented data: made up to test the report; no one weighed these cups."

[reaction]
equation = "NaHCO3 + HCl -> NaCl + H2O + CO2"
sample = "NaHCO3"
reagent = "HCl"
gas = "CO2"

[sample]
name = "pool granules"
nominal_g = 1.5
claimed_mass_fraction = 0.95
claimed_tolerance = 0.01

[reagent]
name = "hydrochloric acid"

[reagent.strength]
given_as = "mol per L"
mol_per_L = 0.750
relative_u = 0.005

[series]
total_mL = 40
reagent_mL = [6, 10, 14, 18, 22, 26, 30, 34, 38]

[instruments.reagent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "B"

[instruments.diluent]
kind = "graduated cylinder"
capacity_mL = 50
grade = "B"

[instruments.balance]
readability_g = 0.01
"""

READINGS = """\
run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g,temperature_C,minutes,note
1,12.16,6.0,34.4,52.35,1.49,53.66,20.4,10,
2,12.14,10.5,30.0,52.47,1.51,53.64,21.2,10,
3,11.91,13.7,25.5,50.88,1.48,51.92,21.0,10,
4,12.31,18.3,21.9,52.33,1.50,53.24,20.8,10,
5,12.10,22.1,18.1,52.19,1.48,52.99,20.8,10,
6,12.34,26.5,14.2,53.14,1.48,53.92,21.1,10,
7,12.25,29.9,10.2,52.32,1.48,53.11,20.8,10,
8,12.39,34.4,6.2,53.12,1.54,53.95,21.0,10,
9,12.20,38.1,2.0,52.50,1.51,,20.9,10,the cup was knocked over
"""

NO_CHANGEOVER = "\n".join(READINGS.splitlines()[:5]) + "\n"
"""The first four runs: the reagent limits in all of them."""


def outcome_of(readings: str, definition: str = DEFINITION) -> Outcome:
    return reduce_table(
        parse_definition(definition), parse_sheet(readings), seed=20, draws=4_000, made_on=""
    )


@pytest.fixture(scope="session")
def outcome() -> Outcome:
    """Nine runs: one without a final mass, the others fit to use."""
    return outcome_of(READINGS)


@pytest.fixture(scope="session")
def usual_outcome(outcome: Outcome) -> Outcome:
    """The same where the model of the cup could not be fitted."""
    why = Phrase("no-joint-fit")
    return replace(outcome, full=FullReduction(runs=(), series=None, no_series_because=why))


@pytest.fixture(
    scope="session",
    params=["clean-pool-granules", "messy-pool-granules", "weak-acid-foot-bath"],
)
def example(request: pytest.FixtureRequest) -> Outcome:
    """Each of the example folders."""
    folder = Path(__file__).parents[2] / "examples" / str(request.param)
    return reduce(folder, draws=4_000, today=False)


@pytest.fixture(scope="session")
def impossible_outcome() -> Outcome:
    """The same with a minus before the vessel with liquid of run 3."""
    return outcome_of(READINGS.replace("3,11.91,13.7,25.5,50.88", "3,11.91,13.7,25.5,-50.88"))


@pytest.fixture(scope="session")
def odd_outcome() -> Outcome:
    """The same with a slip: in run 3 the vessel with liquid weighs 10 g too much."""
    return outcome_of(READINGS.replace("3,11.91,13.7,25.5,50.88", "3,11.91,13.7,25.5,60.88"))


@pytest.fixture(scope="session")
def open_outcome() -> Outcome:
    """A row that never changes over."""
    return outcome_of(NO_CHANGEOVER)


@pytest.fixture(scope="session")
def meeting_outcome() -> Outcome:
    """Readings whose best two lines meet at a run itself, run 5."""
    finals = ("53.63", "53.63", "51.94", "53.25", "52.95", "53.94", "53.13", "53.94")
    lines = READINGS.splitlines()
    rows = [
        ",".join([*row.split(",")[:6], final, *row.split(",")[7:]])
        for row, final in zip(lines[1:9], finals, strict=True)
    ]
    return outcome_of("\n".join([lines[0], *rows]) + "\n")
