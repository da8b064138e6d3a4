"""How far each reactant lets the reaction go, against sums done one by one."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.limiting import extents
from tarebook.model.priors import central_parameters
from tarebook.series.experiment import Experiment

Build = Callable[..., Experiment]
CARBONATE = {
    "NaHCO3 + HCl -> NaCl + H2O + CO2": "Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2",
    'sample = "NaHCO3"': 'sample = "Na2CO3"',
}
"""A dissolved carbonate: two of acid for one, and the first of them gives no gas."""


@pytest.fixture(scope="module")
def soda(build: Build) -> Experiment:
    return build(CARBONATE)


def test_against_a_loop(soda: Experiment) -> None:
    rng = np.random.Generator(np.random.SFC64(20))
    acid, grams, content = rng.random((50, 8)), rng.random((50, 8)), rng.random((50, 1))
    own = 0.01 * rng.random((50, 1))
    parameters = central_parameters(soda).with_values(content=content, own_acid=own)
    found = extents(soda, parameters, acid, grams)
    molar = soda.reaction.analyte_molar_mass.value
    for place in np.ndindex(50, 8):
        by_acid = acid[place] / 2 + own[place[0], 0] * grams[place] / 2
        by_analyte = content[place[0], 0] * grams[place] / molar
        assert found.excess[place] == pytest.approx(by_acid - by_analyte, rel=1e-12, abs=1e-15)
        reached = min(by_acid, by_analyte)
        assert found.reached[place] == pytest.approx(reached, rel=1e-12)
        # What is beyond the half of the acid, which makes hydrogen carbonate, makes gas.
        gas = max(2 * reached - by_analyte, 0.0)
        assert found.gas[place] == pytest.approx(gas, rel=1e-9, abs=1e-15)


def test_what_is_poured_and_what_is_weighed_broadcast(granules: Experiment) -> None:
    acid, grams = np.array([0.005, 0.01, 0.03]), np.array([[0.84006], [1.68012]])
    kept = acid.copy(), grams.copy()
    pure = central_parameters(granules).with_values(content=np.array(1.0))
    found = extents(granules, pure, acid, grams)
    np.testing.assert_allclose(found.reached, [[0.005, 0.01, 0.01], [0.005, 0.01, 0.02]], rtol=1e-5)
    np.testing.assert_array_equal(acid, kept[0])
    np.testing.assert_array_equal(grams, kept[1])


def test_acid_of_the_sample_counts_only_as_that_effect(granules: Experiment) -> None:
    sour = central_parameters(granules).with_values(content=np.array(1.0), own_acid=np.array(0.002))
    poured, grams = np.array(0.003), np.array(1.0)
    assert float(extents(granules, sour, poured, grams).by_acid) == pytest.approx(0.005)
    acting = sour.under(ALL_EFFECTS - {CupEffect.OWN_ACID})
    without = extents(granules, acting, poured, grams)
    assert float(without.by_acid) == 0.003


def test_a_sample_that_takes_up_acid_lets_nothing_react_backwards(granules: Experiment) -> None:
    base = central_parameters(granules).with_values(
        content=np.array(1.0), own_acid=np.array(-0.002)
    )
    found = extents(granules, base, np.array([0.0, 0.003]), np.array(1.0))
    assert found.reached.tolist() == [0.0, pytest.approx(0.001)]
