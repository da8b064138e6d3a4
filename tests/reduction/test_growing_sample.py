"""A row in which the sample grows: the textbook calculation drawn along the sample."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from scripts.study_laboratories.laboratory import Laboratory, laboratories
from scripts.study_laboratories.physics import PHYSICS
from scripts.study_laboratories.series import generator
from tests.words import said

from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.results import SetAside, UsualReduction, UsualSeries
from tarebook.reduction.usual_fit import BEFORE_GAS, HELD_BACK, STAYS_DISSOLVED
from tarebook.reduction.usual_series import reduce_usual
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

NOTHING = SetAside(unusable={}, doubtful={})
TESTS = Path(__file__).parents[1]
HERE = Path(__file__).parents[2]
SODA_ACID = HERE / "examples" / "soda-grows-in-acid" / "experiment.toml"
WASHING_SODA = TESTS / "laboratories" / "washing-soda-grows-in-acid" / "experiment.toml"
BICARBONATE, DECAHYDRATE, CARBON_DIOXIDE = 84.006, 286.138, 44.009
"""g/mol, from the IUPAC 2021 abridged atomic weights."""

STRENGTH = {"soda": 0.350, "washing soda": 0.400}
VOLUMES = (40.0, 39.6, 40.3, 40.1, 39.8, 40.0, 40.4, 39.9, 40.0, 40.2)
"""mL: no two cups get quite the same."""


def experiment_of(path: Path, **change: str) -> Experiment:
    text = path.read_text(encoding="utf-8")
    for old, new in change.items():
        old = old.replace("_eq_", " = ")
        assert old in text
        text = text.replace(old, new)
    return parse_definition(text)


def row_of_gas(experiment: Experiment, gas: list[float]) -> RunTable:
    """Return readings of cups that lost just this gas and nothing else."""
    lines = ["run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g"]
    for planned, volume, lost in zip(experiment.planned, VOLUMES, gas, strict=False):
        sample = f"{planned.sample:.3f}" if planned.sample else ""
        final = 52.0 + planned.sample - lost
        lines.append(f"{planned.run},12.0,{volume},0,52.0,{sample},{final:.9f}")
    return parse_sheet("\n".join(lines) + "\n")


def hydrogen_carbonate_gas(experiment: Experiment, content: float, own_acid: float) -> list[float]:
    """Return the gas by pen and paper, one CO2 for each proton and each NaHCO3, [g]."""
    gas = []
    for planned, volume in zip(experiment.planned, VOLUMES, strict=False):
        base = content * planned.sample / BICARBONATE
        acid = STRENGTH["soda"] * volume / 1000 + own_acid * planned.sample
        gas.append(CARBON_DIOXIDE * min(base, acid))
    return gas


def carbonate_gas(experiment: Experiment, content: float) -> list[float]:
    """Return the gas by pen and paper: a second proton for each CO2 once all have their first."""
    gas = []
    for planned, volume in zip(experiment.planned, VOLUMES, strict=False):
        base = content * planned.sample / DECAHYDRATE
        acid = STRENGTH["washing soda"] * volume / 1000
        gas.append(CARBON_DIOXIDE * min(base, max(acid - base, 0.0)))
    return gas


def reduced(experiment: Experiment, gas: list[float]) -> tuple[UsualReduction, UsualSeries]:
    found = reduce_usual(experiment, row_of_gas(experiment, gas), NOTHING, seed=3, draws=2000)
    assert found.series is not None, found.no_series_because
    return found, found.series


def test_slope_and_break_say_the_content_of_an_ideal_row() -> None:
    experiment = experiment_of(SODA_ACID)
    _, series = reduced(experiment, hydrogen_carbonate_gas(experiment, 0.9, 0.0))
    assert series.axis.grows == "sample"
    assert series.axis.fixed == pytest.approx(0.040)
    assert series.sample_mass_fraction.value == pytest.approx(0.9, rel=1e-5)
    assert series.content_from_equivalence.value == pytest.approx(0.9, rel=1e-5)
    at = 0.350 * 0.040 * BICARBONATE / 0.9
    assert series.equivalence_sample is not None
    assert series.meets_at == series.equivalence_sample
    assert series.meets_at.value == pytest.approx(at, rel=1e-5)
    assert series.meets_at.unit == "g"
    assert series.equivalence.value == pytest.approx(1.2 * 0.9 / BICARBONATE / 0.350, rel=1e-5)
    assert series.fit.right_slope == 0.0
    assert series.birge < 0.1


def test_gas_that_all_cups_keep_moves_the_line_and_leaves_its_slope() -> None:
    experiment = experiment_of(SODA_ACID)
    gas = [max(each - 0.05, 0.0) for each in hydrogen_carbonate_gas(experiment, 0.9, 0.0)]
    _, series = reduced(experiment, gas)
    assert series.sample_mass_fraction.value == pytest.approx(0.9, rel=2e-3)
    assert series.fit.intercept == pytest.approx(-0.05, abs=2e-3)


def test_own_acid_makes_gas_beyond_the_break_and_counts_at_it() -> None:
    change = {"own_acid_mmol_per_g_eq_0.0": "own_acid_mmol_per_g = 2.0"}
    experiment = experiment_of(SODA_ACID, **change)
    _, series = reduced(experiment, hydrogen_carbonate_gas(experiment, 0.9, 0.002))
    assert series.sample_mass_fraction.value == pytest.approx(0.9, rel=1e-5)
    assert series.content_from_equivalence.value == pytest.approx(0.9, rel=1e-5)
    assert series.fit.right_slope == pytest.approx(0.002 * CARBON_DIOXIDE, rel=1e-4)
    assert series.meets_at.value == pytest.approx(0.014 / (0.9 / BICARBONATE - 0.002), rel=1e-5)


def test_washing_soda_rises_and_falls_again() -> None:
    experiment = experiment_of(WASHING_SODA)
    found, series = reduced(experiment, carbonate_gas(experiment, 0.95))
    assert series.sample_mass_fraction.value == pytest.approx(0.95, rel=1e-5)
    assert series.content_from_equivalence.value == pytest.approx(0.95, rel=1e-5)
    assert series.fit.right_slope == pytest.approx(-series.fit.slope, rel=1e-6)
    at = 0.400 * 0.040 / 2 * DECAHYDRATE / 0.95
    assert series.meets_at.value == pytest.approx(at, rel=1e-5)
    off = {run.run: run.not_in_fit for run in found.runs if run.not_in_fit}
    assert off == {experiment.planned[-1].run: BEFORE_GAS}


def test_a_cup_whose_gas_stays_dissolved_lies_on_no_line() -> None:
    change = {"[0, 0.4, 0.7, 1.0, 1.2, 1.4, 1.7, 2.0]": "[0.1, 0.4, 0.7, 1.0, 1.2, 1.4, 1.7, 2.0]"}
    experiment = experiment_of(SODA_ACID, **change)
    gas = [max(each - 0.05, 0.0) for each in hydrogen_carbonate_gas(experiment, 0.9, 0.0)]
    found, series = reduced(experiment, gas)
    off = {run.run: run.not_in_fit for run in found.runs if run.not_in_fit}
    assert off == {experiment.planned[0].run: STAYS_DISSOLVED}
    assert series.sample_mass_fraction.value == pytest.approx(0.9, rel=2e-3)


def test_a_row_that_stops_before_the_break_says_what_it_lacks() -> None:
    change = {"[0, 0.4, 0.7, 1.0, 1.2, 1.4, 1.7, 2.0]": "[0, 0.4, 0.6, 0.7, 0.9, 1.0, 1.2, 1.4]"}
    experiment = experiment_of(SODA_ACID, **change)
    gas = hydrogen_carbonate_gas(experiment, 0.9, 0.0)
    found = reduce_usual(experiment, row_of_gas(experiment, gas), NOTHING, seed=3, draws=2000)
    assert found.series is None
    assert "g of sample for 40 mL of reagent" in said(found.no_series_because)
    assert said(found.no_series_because).endswith("Add runs with more sample")


def test_what_one_cup_keeps_more_than_another_is_in_the_budget() -> None:
    experiment = experiment_of(SODA_ACID)
    _, series = reduced(experiment, hydrogen_carbonate_gas(experiment, 0.9, 0.0))
    shares = {share.source: share.share for share in series.budget}
    assert shares[HELD_BACK] > 0.3
    assert sum(shares.values()) == pytest.approx(1.0)


LABORATORIES = {
    laboratory.name: laboratory
    for laboratory in laboratories()
    if laboratory.experiment.grows == "sample"
}
SERIES = 24
LOW, HIGH = -0.035, 0.02
"""Where the mean error of slope and break may lie: cups with more sample keep more gas, and what
stays in the cylinder is not in the textbook's acid."""


@pytest.mark.parametrize("physics", PHYSICS)
@pytest.mark.parametrize("name", LABORATORIES)
def test_simulated_rows(name: str, physics: str) -> None:
    """Both contents are near the truth, and their intervals hold it, in rows of a whole cup."""
    laboratory: Laboratory = LABORATORIES[name]
    errors, held, scatter = [], [], []
    for number in range(SERIES):
        truth, made = PHYSICS[physics].series(laboratory, generator(laboratory, 1, number))
        found = reduce_usual(laboratory.experiment, made.table, NOTHING, seed=1, draws=1000)
        assert found.series is not None, found.no_series_because
        content = float(truth.content)
        both = (found.series.sample_mass_fraction, found.series.content_from_equivalence)
        errors.append([each.value / content - 1.0 for each in both])
        held.append([each.low <= content <= each.high for each in both])
        scatter.append(found.series.birge)
    off = np.mean(errors, axis=0)
    assert np.all((off > LOW) & (off < HIGH))
    assert np.all(np.mean(held, axis=0) >= 0.75)
    assert math.sqrt(float(np.mean(np.square(scatter)))) < 1.5
