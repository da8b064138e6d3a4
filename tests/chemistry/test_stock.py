"""Strengths of stocks: values, uncertainties against drawn samples, refusals."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from tarebook.chemistry.density import concentration
from tarebook.chemistry.molar_mass import molar_mass
from tarebook.chemistry.stock import (
    from_dilution,
    from_mass_fraction_and_density,
    from_mass_per_volume,
    from_mass_percent,
    from_molarity,
    from_titration,
    from_tolerance,
    from_weighed_solid,
)
from tarebook.chemistry.strength_inputs import UnitMismatchError
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Measured, Source

INVENTED = Source("invented for this test", "declared")
DRAWS = 200_000


def measured(value: float, u: float, unit: str) -> Measured:
    return Measured(value=value, u=u, unit=unit, source=INVENTED)


def drawn(quantity: Measured, seed: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    rng = np.random.Generator(np.random.SFC64(seed))
    return rng.normal(quantity.value, quantity.u, DRAWS)


def assert_like_draws(found: Measured, draws: np.ndarray[tuple[int], np.dtype[np.float64]]) -> None:
    # Standard deviation of 200,000 draws: 0.16 % by chance; 1 % leaves room for second order.
    assert found.unit == "mol/L"
    assert found.u == pytest.approx(float(np.std(draws)), rel=0.01)
    assert found.value == pytest.approx(float(np.mean(draws)), rel=1e-3)


def test_label_in_moles_per_litre() -> None:
    label = from_tolerance(1.0, 0.01, "mol/L", INVENTED)
    assert label.u == pytest.approx(0.01 / math.sqrt(3), rel=1e-14)
    assert from_molarity(label) == label


def test_vinegar_label() -> None:
    # 5 g in 100 mL / 60.052 g/mol, computed.
    label = from_tolerance(5.0, 0.1, "g/100 mL", INVENTED)
    strength = from_mass_per_volume("CH3COOH", label)
    assert strength.value == pytest.approx(0.8326, rel=0, abs=5e-5)
    assert from_mass_per_volume("CH3COOH", measured(50.0, 0.0, "g/L")).value == strength.value
    draws = 10 * drawn(label, 1) / drawn(molar_mass("CH3COOH"), 2)
    assert_like_draws(strength, draws)
    assert strength.source.basis == "computed"


def test_mass_fraction_and_density() -> None:
    w, rho = measured(0.372, 0.002, "1"), measured(1190.0, 2.0, "g/L")
    strength = from_mass_fraction_and_density("HCl", w, rho)
    draws = drawn(w, 1) * drawn(rho, 2) / drawn(molar_mass("HCl"), 3)
    assert_like_draws(strength, draws)
    percent = from_mass_fraction_and_density("HCl", measured(37.2, 0.2, "%"), rho)
    assert percent.value == pytest.approx(strength.value, rel=1e-14)
    assert percent.u == pytest.approx(strength.u, rel=1e-12)


def test_mass_percent_counts_the_density_of_the_table_through_the_label() -> None:
    percent = measured(10.0, 0.2, "%")
    temperature, water = measured(293.15, 1.0, "K"), measured(998.2067, 0.05, "g/L")
    strength = from_mass_percent("HCl", percent, temperature=temperature, water_density=water)
    rng = np.random.Generator(np.random.SFC64(7))
    draws = concentration(
        "HCl",
        drawn(percent, 1) / 100,
        temperature=drawn(temperature, 2),
        water_density=drawn(water, 3),
    )
    table = 0.10 * rng.normal(0.0, 0.3, DRAWS) / 36.458  # 0.3 g/L stated at 10 %
    mass = 1 + rng.normal(0.0, molar_mass("HCl").u / 36.458, DRAWS)
    assert_like_draws(strength, (draws + table) * mass)
    # Without the slope of the density the label alone would give less.
    assert strength.u > strength.value * 0.02 * 1.02


def test_weighed_solid() -> None:
    mass, purity = measured(2.10, 0.002, "g"), measured(99.5, 0.2, "%")
    volume = measured(0.25, 0.0002, "L")
    strength = from_weighed_solid("NaHCO3", mass, purity, volume)
    draws = (
        drawn(mass, 1) * drawn(purity, 2) / 100
        / drawn(molar_mass("NaHCO3"), 3) / drawn(volume, 4)
    )  # fmt: skip
    assert_like_draws(strength, draws)


def test_a_hydrate_is_weighed_with_its_water() -> None:
    inputs = measured(2.0, 0.0, "g"), measured(1.0, 0.0, "1"), measured(0.1, 0.0, "L")
    wet = from_weighed_solid("CuSO4.5H2O", *inputs).value
    dry = from_weighed_solid("CuSO4", *inputs).value
    assert dry / wet == pytest.approx(249.677 / 159.602, rel=1e-5)


def test_dilution() -> None:
    stock, taken = measured(1.0, 0.004, "mol/L"), measured(0.025, 0.00003, "L")
    flask = measured(0.25, 0.0001, "L")
    strength = from_dilution(stock, taken, flask)
    assert_like_draws(strength, drawn(stock, 1) * drawn(taken, 2) / drawn(flask, 3))


def test_titration_repeats_shrink_only_the_scatter() -> None:
    titrant, aliquot = measured(0.1, 0.0, "mol/L"), measured(0.010, 0.0, "L")
    volumes = [0.02001, 0.02004, 0.01998, 0.02005]
    titres = [measured(volume, 0.00002, "L") for volume in volumes]
    found = from_titration(titrant, titres, aliquot)
    scatter = float(np.std(volumes, ddof=1)) / 2
    mean = float(np.mean(volumes))
    assert found.value == pytest.approx(0.1 * mean / 0.010, rel=1e-14)
    assert found.u == pytest.approx(found.value * math.hypot(0.00002, scatter) / mean, rel=1e-12)
    single = from_titration(titrant, titres[:1], aliquot)
    assert single.u == pytest.approx(0.1 * 0.00002 / 0.010, rel=1e-12)


def test_titration_ratio() -> None:
    # Citric acid takes three of base: a third of a mole for each mole of titrant.
    base, acid = measured(0.1, 0.0005, "mol/L"), measured(0.010, 0.00002, "L")
    titre = measured(0.030, 0.00003, "L")
    found = from_titration(base, [titre], acid, ratio=1 / 3)
    assert found.value == pytest.approx(0.1, rel=1e-14)
    assert_like_draws(found, drawn(base, 1) * drawn(titre, 2) / drawn(acid, 3) / 3)


GOOD = measured(1.0, 0.0, "L")


@pytest.mark.parametrize(
    ("call", "error", "message"),
    [
        (lambda: from_molarity(measured(1.0, 0.0, "g/L")), UnitMismatchError, "mol/L"),
        (lambda: from_molarity(measured(0.0, 0.0, "mol/L")), OutOfRangeError, "concentration"),
        (
            lambda: from_mass_per_volume("HCl", measured(5.0, 0.0, "%")),
            UnitMismatchError,
            "g/100 mL or g/L",
        ),
        (
            lambda: from_weighed_solid(
                "NaCl", measured(1.0, 0.0, "g"), measured(99.9, 0.0, "1"), GOOD
            ),
            OutOfRangeError,
            "Write 99.9 % as 0.999",
        ),
        (
            lambda: from_dilution(measured(1.0, 0.0, "mol/L"), GOOD, measured(0.5, 0.0, "L")),
            OutOfRangeError,
            "finished solution",
        ),
        (
            lambda: from_titration(measured(1.0, 0.0, "mol/L"), [], GOOD),
            OutOfRangeError,
            "number of titres",
        ),
        (
            lambda: from_titration(measured(1.0, 0.0, "mol/L"), [GOOD], GOOD, ratio=0.0),
            OutOfRangeError,
            "ratio",
        ),
    ],
)
def test_refuses(call: Callable[[], Measured], error: type[Exception], message: str) -> None:
    with pytest.raises(error, match=message):
        call()
