"""The activity model by itself."""

from __future__ import annotations

import numpy as np
import pytest

from tarebook.chemistry.equilibrium.activity import (
    debye_hueckel_slope,
    debye_hueckel_slope_direct,
    shielding,
    shielding_slope,
    water_density,
)


def test_polynomial_follows_the_formula() -> None:
    t = np.linspace(278.15, 313.15, 301)
    np.testing.assert_allclose(
        debye_hueckel_slope(t), debye_hueckel_slope_direct(t), rtol=0, atol=3e-9
    )


def test_limiting_law() -> None:
    assert float(shielding(np.array(1e-4))) == pytest.approx(-1e-4, rel=2e-4)


def test_slope_of_the_shielding() -> None:
    root, h = np.linspace(0.01, 2.0, 50), 1e-6
    central = (shielding(root + h) - shielding(root - h)) / (2 * h)
    np.testing.assert_allclose(shielding_slope(root), central, rtol=1e-8)


def test_water_is_densest_near_4_degrees() -> None:
    t = np.array([273.15, 277.13, 283.15])
    rho = water_density(t)
    assert rho[1] > rho[0]
    assert rho[1] > rho[2]
