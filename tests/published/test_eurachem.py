"""EURACHEM/CITAC CG 4: three examples of the budget of a solution and a titration."""

import math

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.propagation import propagate
from tarebook.measurement.effects import Shape, u_of_half_width

EXPANSION = 2.1e-4  # of water, 1/degC, as the guide takes it


def rectangle(half_width: float) -> float:
    return u_of_half_width(half_width, Shape.RECTANGULAR)


def triangle(half_width: float) -> float:
    return u_of_half_width(half_width, Shape.TRIANGULAR)


# two weighings, linearity 0.00015 g each; the same mass in A2 and A3
U_MASS = math.hypot(rectangle(0.00015), rectangle(0.00015))
U_PURITY = rectangle(0.0005)
ATOMS = np.array([8.0, 5.0, 4.0, 1.0])  # C8H5O4K
WEIGHTS = np.array([12.0107, 1.00794, 15.9994, 39.0983])
U_WEIGHTS = np.array([rectangle(half) for half in (0.0008, 0.00007, 0.0003, 0.0001)])
MOLAR_MASS = float(ATOMS @ WEIGHTS)
U_MOLAR_MASS = math.sqrt(float(((ATOMS * U_WEIGHTS) ** 2).sum()))


def cadmium(x: NumberArray) -> NumberArray:
    mass, purity, volume = np.moveaxis(x, -1, 0)
    c: NumberArray = 1000 * mass * purity / volume
    return c


def sodium_hydroxide(x: NumberArray) -> NumberArray:
    volume, repeatability, mass, purity, molar_mass = np.moveaxis(x, -1, 0)
    c: NumberArray = repeatability * 1000 * mass * purity / (molar_mass * volume)
    return c


def hydrochloric_acid(x: NumberArray) -> NumberArray:
    repeatability, v_t2, v_t1, v_acid, mass, purity, molar_mass = np.moveaxis(x, -1, 0)
    c: NumberArray = repeatability * 1000 * mass * purity * v_t2 / (v_t1 * molar_mass * v_acid)
    return c


@pytest.mark.published(
    "Eurachem/CITAC CG 4, 2nd ed. (2000) table A1.1 for c; 3rd ed. (2012), example A1, for the "
    "parts of u(V) and the unrounded u as another library's documentation carries them; secondary"
)
def test_a1_cadmium_standard() -> None:
    u_volume = math.sqrt(triangle(0.1) ** 2 + 0.02**2 + rectangle(0.084) ** 2)
    u = np.array([0.05, rectangle(0.0001), u_volume])
    c, variance, slopes = propagate(cadmium, np.array([100.28, 0.9999, 100.0]), np.diag(u**2))
    np.testing.assert_allclose(c, 1002.7, rtol=0, atol=0.05)
    np.testing.assert_allclose(np.sqrt(variance), 0.835199, rtol=0, atol=0.5e-6)
    # The printed 0.9 comes of rounding u(V) to 0.07 on the way and rounding up.
    np.testing.assert_allclose(
        np.abs(slopes) * u,
        [0.49995, 0.0578967, 0.666525],
        rtol=0,
        atol=0.5e-5,
    )


@pytest.mark.published(
    "Eurachem/CITAC CG 4, 2nd ed. (2000) table A2.1 for c; 3rd ed. (2012), example A2, for the "
    "parts and the unrounded figures as another library's documentation carries them; secondary"
)
def test_a2_sodium_hydroxide() -> None:
    u_volume = math.hypot(triangle(0.03), 0.006)
    values = np.array([18.64, 1.0, 0.3888, 1.0, MOLAR_MASS])
    u = np.array([u_volume, 0.0005, U_MASS, U_PURITY, U_MOLAR_MASS])
    c, variance, slopes = propagate(sodium_hydroxide, values, np.diag(u**2))
    np.testing.assert_allclose(MOLAR_MASS, 204.2212, rtol=0, atol=0.00005)
    np.testing.assert_allclose(U_MOLAR_MASS, 0.0038, rtol=0, atol=0.00005)
    np.testing.assert_allclose(c, 0.10214, rtol=0, atol=0.000005)
    np.testing.assert_allclose(c, 0.102136159706, rtol=0, atol=1e-12)  # cut off, not rounded
    np.testing.assert_allclose(np.sqrt(variance), 0.000100500722, rtol=0, atol=0.5e-12)
    np.testing.assert_allclose(
        np.abs(slopes) * u,
        [7.47292e-05, 5.10681e-05, 3.21735e-05, 2.94842e-05, 1.88312e-06],
        rtol=0,
        atol=0.5e-10,
    )


def acid(u_repeatability: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return c, u(c) and the contributions of example A3 for a standard deviation of R."""
    u_t2 = math.hypot(triangle(0.03), rectangle(15 * EXPANSION * 4))
    u_t1 = math.hypot(triangle(0.03), rectangle(19 * EXPANSION * 4))
    u_acid = math.hypot(triangle(0.02), rectangle(15 * EXPANSION * 4))
    values = np.array([1.0, 14.89, 18.64, 15.0, 0.3888, 1.0, MOLAR_MASS])
    u = np.array([u_repeatability, u_t2, u_t1, u_acid, U_MASS, U_PURITY, U_MOLAR_MASS])
    c, variance, slopes = propagate(hydrochloric_acid, values, np.diag(u**2))
    return c, np.sqrt(variance), np.abs(slopes) * u


@pytest.mark.published(
    "Eurachem/CITAC CG 4, 2nd ed. (2000) table A3.1 for c; 3rd ed. (2012), example A3, for the "
    "parts and u = 0.0001843 of a single determination as another library's documentation "
    "carries them; secondary"
)
def test_a3_hydrochloric_acid_once() -> None:
    c, u, parts = acid(0.001)
    np.testing.assert_allclose(c, 0.10139, rtol=0, atol=0.000005)
    np.testing.assert_allclose(u, 0.0001843, rtol=0, atol=0.5e-7)
    np.testing.assert_allclose(
        parts,
        [0.000101387, 9.69953e-05, 8.33653e-05, 7.39151e-05, 3.19376e-05, 2.9268e-05, 1.86931e-06],
        rtol=0,
        atol=0.5e-9,
    )


@pytest.mark.published(
    "Eurachem/CITAC CG 4, 2nd ed. (2000) table A3.1: u(c) = 0.00016 mol/L; secondary. The listed "
    "u(R) = 0.001 does not give it; the mean of three determinations, 0.001 / sqrt(3), does"
)
def test_a3_hydrochloric_acid_three_times() -> None:
    _, once, _ = acid(0.001)
    _, thrice, _ = acid(0.001 / math.sqrt(3))
    np.testing.assert_allclose(thrice, 0.00016, rtol=0, atol=0.000005)
    assert abs(once - 0.00016) > 0.00002
