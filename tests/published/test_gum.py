"""JCGM 100:2008 (GUM), annex H: the examples H.1, H.2 and H.3."""

import math

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.propagation import propagate
from tarebook.measurement.effects import Shape, u_of_half_width

# H.1. nm, 1/degC and degC: l_s, d, delta alpha, alpha_s, theta_bar, Delta, delta theta.
# Standard uncertainties as table H.1 prints them; the guide goes on with the printed figures.
GAUGE = np.array([50_000_623.0, 215.0, 0.0, 11.5e-6, -0.1, 0.0, 0.0])
U_GAUGE = np.array([25.0, 9.7, 0.58e-6, 1.2e-6, 0.2, 0.35, 0.029])


def end_gauge(x: NumberArray) -> NumberArray:
    l_s, d, delta_alpha, alpha_s, theta_bar, swing, delta_theta = np.moveaxis(x, -1, 0)
    theta = theta_bar + swing
    length: NumberArray = l_s + d - l_s * (delta_alpha * theta + alpha_s * delta_theta)
    return length


@pytest.mark.published("JCGM 100:2008, H.1.3, table H.1: the standard uncertainties; secondary")
def test_h1_standard_uncertainties() -> None:
    assert math.sqrt(5.8**2 + 3.9**2 + 6.7**2) == pytest.approx(9.7, abs=0.05)
    assert u_of_half_width(1e-6, Shape.RECTANGULAR) == pytest.approx(0.58e-6, abs=0.005e-6)
    assert u_of_half_width(2e-6, Shape.RECTANGULAR) == pytest.approx(1.2e-6, abs=0.05e-6)
    assert u_of_half_width(0.05, Shape.RECTANGULAR) == pytest.approx(0.029, abs=0.0005)


@pytest.mark.published(
    "JCGM 100:2008, H.1.3 and H.1.5: l = 50 000 838 nm, u = 32 nm; unrounded 31.71 nm in the "
    "documentation of a library that works the example; secondary"
)
def test_h1_first_order() -> None:
    length, variance, _ = propagate(end_gauge, GAUGE, np.diag(U_GAUGE**2))
    np.testing.assert_allclose(length, 50_000_838, rtol=0, atol=0.5)
    np.testing.assert_allclose(np.sqrt(variance), 32, rtol=0, atol=0.5)
    np.testing.assert_allclose(np.sqrt(variance), 31.71, rtol=0, atol=0.005)


# H.2. Volts, amperes, radians, read together five times.
READINGS = np.array(
    [
        [5.007, 19.663e-3, 1.0456],
        [4.994, 19.639e-3, 1.0438],
        [5.005, 19.640e-3, 1.0468],
        [4.990, 19.685e-3, 1.0428],
        [4.999, 19.678e-3, 1.0433],
    ]
)


def correlation(covariance: FloatArray) -> FloatArray:
    u = np.sqrt(np.diag(covariance))
    r: FloatArray = covariance / np.outer(u, u)
    return r


def impedance(x: NumberArray) -> NumberArray:
    voltage, current, phase = np.moveaxis(x, -1, 0)
    return np.stack(
        [
            voltage / current * np.cos(phase),
            voltage / current * np.sin(phase),
            voltage / current,
        ],
        axis=-1,
    )


@pytest.mark.published(
    "JCGM 100:2008, H.2.3, table H.3 (readings averaged, then reduced): R, X, Z with u and "
    "correlations; secondary. u(X) is printed as 0.295; all digits of the readings give 0.2956, u "
    "and r of the inputs rounded to two or three digits give 0.2957 and 0.2952: tolerance 0.001 "
    "for u(X) alone"
)
def test_h2_averaged_first() -> None:
    of_means = np.cov(READINGS, rowvar=False) / len(READINGS)  # 5.2.3, equation (17)
    y, covariance, _ = propagate(impedance, READINGS.mean(axis=0), of_means)
    u, r = np.sqrt(np.diag(covariance)), correlation(covariance)
    np.testing.assert_allclose(y, [127.732, 219.847, 254.260], rtol=0, atol=0.0005)
    np.testing.assert_allclose(u[[0, 2]], [0.071, 0.236], rtol=0, atol=0.0005)
    np.testing.assert_allclose(u[1], 0.295, rtol=0, atol=0.001)
    np.testing.assert_allclose(
        [r[0, 1], r[0, 2], r[1, 2]], [-0.588, -0.485, 0.993], rtol=0, atol=0.0005
    )


# H.3. The parameters of the line are those of the printed fit, to all digits that the data give.
T = np.array(
    [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
)
B = np.array(
    [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
)


def correction_at_30(x: NumberArray) -> NumberArray:
    return x[..., 0] + x[..., 1] * (30.0 - 20.0)


@pytest.mark.published(
    "JCGM 100:2008, H.3.3 and H.3.4: y1, y2, their u and r, and b(30) = -0.1494 with u = 0.0041; "
    "secondary. Without the covariance u would come out as 0.0073"
)
def test_h3_covariance_of_slope_and_intercept() -> None:
    line, scatter = np.polyfit(T - 20.0, B, 1, cov=True)
    values, covariance = line[::-1], scatter[::-1, ::-1]
    u = np.sqrt(np.diag(covariance))
    np.testing.assert_allclose(values[0], -0.1712, rtol=0, atol=0.00005)
    np.testing.assert_allclose(values[1], 0.00218, rtol=0, atol=0.000005)
    np.testing.assert_allclose(u[0], 0.0029, rtol=0, atol=0.00005)
    np.testing.assert_allclose(u[1], 0.00067, rtol=0, atol=0.000005)
    np.testing.assert_allclose(correlation(covariance)[0, 1], -0.930, rtol=0, atol=0.0005)
    b, variance, _ = propagate(correction_at_30, values, covariance)
    np.testing.assert_allclose(b, -0.1494, rtol=0, atol=0.00005)
    np.testing.assert_allclose(np.sqrt(variance), 0.0041, rtol=0, atol=0.00005)
    _, alone, _ = propagate(correction_at_30, values, np.diag(u**2))
    np.testing.assert_allclose(np.sqrt(alone), 0.0073, rtol=0, atol=0.00005)
