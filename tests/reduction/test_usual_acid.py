"""The textbook calculation where acid is more than what was poured, or is taken up in two steps."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tarebook.core.phrase import Phrase
from tarebook.model.effects import CupEffect
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.reading_errors import declared_acid
from tarebook.reduction.results import SetAside, UsualReduction
from tarebook.reduction.usual_fit import BEFORE_GAS
from tarebook.reduction.usual_series import reduce_usual
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"
NOTHING = SetAside(unusable={}, doubtful={})
NO_GAS_KEPT = frozenset({CupEffect.OWN_ACID})
"""All that leaves the cup is the gas of the equation, as the textbook calculation has it."""


def definition(name: str) -> Experiment:
    return parse_definition((EXAMPLES / name / "experiment.toml").read_text(encoding="utf-8"))


def as_in_the_textbook(experiment: Experiment, content: float, seed: int = 3) -> RunTable:
    parameters = central_parameters(experiment).with_values(content=np.asarray(content))
    rng = np.random.default_rng(seed)
    return simulate(experiment, parameters, rng, effects=NO_GAS_KEPT).table


def reduced(experiment: Experiment, table: RunTable) -> UsualReduction:
    return reduce_usual(experiment, table, NOTHING, seed=1, draws=4_000)


@pytest.mark.parametrize("seed", range(4))
def test_washing_soda_has_two_lines_from_half_of_the_acid_on(seed: int) -> None:
    """Na2CO3 + 2 HCl: no gas up to half, one CO2 for each proton from there, then the plateau."""
    soda = definition("washing-soda-crystals")
    usual = reduced(soda, as_in_the_textbook(soda, 0.95, seed))
    series = usual.series
    assert series is not None
    plateau, cross = series.sample_mass_fraction, series.content_from_equivalence
    assert plateau.value == pytest.approx(0.95, abs=4 * plateau.u)
    assert plateau.u < 0.01
    assert cross.value == pytest.approx(0.95, abs=4 * cross.u)
    assert cross.u < 0.03
    at = series.equivalence.value / series.nominal_mass
    before = {run.run for run in usual.runs if run.not_in_fit == BEFORE_GAS}
    assert before
    assert before.isdisjoint(point.run for point in series.curve)
    for point in series.curve:
        assert point.grown / series.nominal_mass > 0.45 * at
    # The line starts at half of the equivalence point, not at no acid.
    start = -series.fit.intercept / series.fit.slope
    assert start == pytest.approx(0.5 * at, rel=0.05)


def test_a_cup_of_soda_with_a_quarter_of_the_acid_expects_no_gas() -> None:
    soda = definition("washing-soda-crystals")
    usual = reduced(soda, as_in_the_textbook(soda, 0.95))
    first = usual.runs[0]
    assert first.limiting == "reagent"
    assert first.gas_expected is not None
    assert first.gas_expected.value == 0.0
    assert first.yield_percent is None
    assert first.yield_of_claim_percent is None
    for run in usual.runs:
        if run.not_in_fit is None and run.yield_percent is not None:
            assert run.yield_percent.value == pytest.approx(100, abs=4 * run.yield_percent.u)


def test_acid_of_the_sample_counts_with_the_acid_poured() -> None:
    """Declared own acid: yields are about 100 % in every cup, in that of plain water too."""
    tablet = definition("fizzing-tablet-hand-soak")
    acid = declared_acid(tablet)
    assert acid is not None
    assert acid.value > 1e-3
    usual = reduced(tablet, as_in_the_textbook(tablet, 0.58))
    series = usual.series
    assert series is not None
    for run in usual.runs:
        assert run.yield_percent is not None
        assert run.yield_percent.value == pytest.approx(100, abs=4 * run.yield_percent.u)
    cross = series.content_from_equivalence
    assert cross.value == pytest.approx(0.58, abs=4 * cross.u)
    # Without it the second way would lack what the sample brings: 84 g/mol for each proton.
    bare = replace(tablet, sample=replace(tablet.sample, own_acid=None, acids=()))
    less = reduced(bare, as_in_the_textbook(tablet, 0.58)).series
    assert less is not None
    gap = cross.value - less.content_from_equivalence.value
    assert gap == pytest.approx(acid.value * 84.0066, rel=0.01)


def test_an_acid_whose_amount_nobody_knows_is_not_counted() -> None:
    tablet = definition("fizzing-tablet-hand-soak")
    sample = replace(tablet.sample, own_acid=None, acids=(), acid_is_unknown=True)
    assert declared_acid(replace(tablet, sample=sample)) is None


def test_an_odd_cup_of_soda_stays_out_of_the_lines_for_its_own_reason() -> None:
    soda = definition("washing-soda-crystals")
    table = as_in_the_textbook(soda, 0.95)
    last = table.runs[-1]
    aside = SetAside(unusable={}, doubtful={last: Phrase("spilt")})
    usual = reduce_usual(soda, table, aside, seed=1, draws=2_000)
    by_run = {run.run: run.not_in_fit for run in usual.runs}
    assert by_run[last] == Phrase("spilt")
    assert by_run[table.runs[0]] == BEFORE_GAS
    assert table.mean_of(last, Quantity.FINAL) is not None
