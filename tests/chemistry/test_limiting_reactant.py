"""The limiting reactant on arrays."""

from __future__ import annotations

import numpy as np
import pytest

from tarebook.chemistry.equation import UnknownSpeciesError, parse_equation
from tarebook.chemistry.stoichiometry import limiting_reactant, theoretical_amount
from tarebook.core.errors import OutOfRangeError

EQUATION = parse_equation("Na2CO3 + 2 HCl -> 2 NaCl + H2O + CO2")


def test_against_a_loop() -> None:
    rng = np.random.Generator(np.random.SFC64(20))
    soda, acid = rng.random((50, 8)), rng.random((50, 8))
    found = limiting_reactant(EQUATION, {"HCl": acid, "Na2CO3": soda})
    assert found.reactants == ("Na2CO3", "HCl")
    for place in np.ndindex(50, 8):
        extents = [soda[place], acid[place] / 2]
        assert found.extent[place] == min(extents)
        assert found.index[place] == extents.index(min(extents))
    np.testing.assert_allclose(
        theoretical_amount(EQUATION, "NaCl", found.extent), np.minimum(2 * soda, acid), rtol=1e-15
    )


def test_broadcasts_and_does_not_touch_its_inputs() -> None:
    soda, acid = np.array([[0.01], [0.03]]), np.array([0.01, 0.02, 0.04])
    kept = soda.copy(), acid.copy()
    found = limiting_reactant(EQUATION, {"Na2CO3": soda, "HCl": acid})
    np.testing.assert_allclose(found.extent, [[0.005, 0.01, 0.01], [0.005, 0.01, 0.02]])
    found.extent[:] = 0.0
    np.testing.assert_array_equal(soda, kept[0])
    np.testing.assert_array_equal(acid, kept[1])


def test_tie_goes_to_the_earlier_reactant() -> None:
    found = limiting_reactant(EQUATION, {"Na2CO3": np.array([0.01]), "HCl": np.array([0.02])})
    assert found.index.tolist() == [0]


def test_a_reactant_left_out_is_in_excess() -> None:
    found = limiting_reactant(EQUATION, {"HCl": np.array([0.02])})
    assert found.reactants == ("HCl",)
    np.testing.assert_allclose(found.extent, [0.01])


def test_single_amount_is_not_shared_with_the_result() -> None:
    soda = np.array([0.01])
    found = limiting_reactant(EQUATION, {"Na2CO3": soda})
    assert not np.shares_memory(found.extent, soda)


@pytest.mark.parametrize("bad", [-1e-9, np.nan])
def test_refuses_what_is_no_amount(bad: float) -> None:
    with pytest.raises(OutOfRangeError, match="amount of HCl"):
        limiting_reactant(EQUATION, {"HCl": np.array([0.01, bad])})


def test_refuses_products_and_nothing() -> None:
    with pytest.raises(UnknownSpeciesError, match="CO2"):
        limiting_reactant(EQUATION, {"CO2": np.array([0.01])})
    with pytest.raises(OutOfRangeError, match="number of amounts"):
        limiting_reactant(EQUATION, {})
    with pytest.raises(UnknownSpeciesError):
        theoretical_amount(EQUATION, "HCl", np.array([0.01]))


def test_speed_of_a_million_draws_of_eight_runs(benchmark) -> None:  # type: ignore[no-untyped-def]  # fixture
    rng = np.random.Generator(np.random.SFC64(1))
    amounts = {"Na2CO3": rng.random((1_000_000, 8)), "HCl": rng.random((1_000_000, 8))}
    found = benchmark(limiting_reactant, EQUATION, amounts)
    assert found.extent.shape == (1_000_000, 8)
