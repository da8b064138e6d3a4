"""The activity model by itself."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tarebook.chemistry.equilibrium import ActivityModel
from tarebook.chemistry.equilibrium.activity import (
    debye_hueckel_slope,
    debye_hueckel_slope_direct,
    log10_gamma_ion,
    water_density,
)
from tarebook.core.errors import OutOfRangeError


def test_polynomial_follows_the_formula() -> None:
    t = np.linspace(278.15, 313.15, 301)
    np.testing.assert_allclose(
        debye_hueckel_slope(t), debye_hueckel_slope_direct(t), rtol=0, atol=3e-9
    )


def test_limiting_law() -> None:
    slope = debye_hueckel_slope(np.array(298.15))
    strength = np.array(1e-8)
    found = log10_gamma_ion(2, strength, slope, ActivityModel())
    assert found == pytest.approx(-float(slope) * 4 * 1e-4, rel=2e-4)


def test_neutral_ion_formula_is_zero() -> None:
    assert not log10_gamma_ion(0, np.array([0.1, 1.0]), np.array(0.51), ActivityModel()).any()


def test_water_is_densest_near_4_degrees() -> None:
    t = np.array([273.15, 277.13, 283.15])
    rho = water_density(t)
    assert rho[1] > rho[0]
    assert rho[1] > rho[2]


@pytest.mark.parametrize("field", ["b", "neutral", "water"])
@pytest.mark.parametrize("value", [-0.1, 5.0, float("nan")])
def test_absurd_constants_are_refused(field: str, value: float) -> None:
    changes: dict[str, Any] = {field: value}
    with pytest.raises(OutOfRangeError, match="kg/mol"):
        ActivityModel(**changes)
