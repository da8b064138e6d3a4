"""Straight lines whose answers stand in print."""

import math

import numpy as np
import pytest

from tarebook.reduction.straight_line import fit_straight_line, inverse_predict, predict

# fmt: off
NORRIS_X = np.array([
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1,
    887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
])
NORRIS_Y = np.array([
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
    668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3,
    888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
])
GUM_T = np.array([
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
])
GUM_B = np.array([
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
])
# fmt: on


@pytest.mark.published(
    "NIST Statistical Reference Datasets (StRD), Linear Regression, Norris: certified values; "
    "secondary"
)
def test_norris() -> None:
    line = fit_straight_line(NORRIS_X, NORRIS_Y)
    u = np.sqrt(np.diag(line.covariance))
    found = [
        line.intercept,
        u[0],
        line.slope,
        u[1],
        line.residual_sd,
        line.r_squared,
        line.rss,
        (line.slope / u[1]) ** 2,  # the F ratio of a straight line
    ]
    certified = [
        -0.262323073774029,
        0.232818234301152,
        1.00211681802045,
        0.000429796848199937,
        0.884796396144373,
        0.999993745883712,
        26.6173985294224,
        5436385.54079785,
    ]
    # 15 digits are certified; 1e-10 is what double precision keeps of them for points near a line.
    np.testing.assert_allclose(found, certified, rtol=1e-10, atol=0)
    assert line.dof == 34


@pytest.mark.published(
    "JCGM 100:2008 (GUM), H.3, Table H.6: thermometer corrections, line in t - 20 degC; secondary"
)
def test_gum_h3() -> None:
    line = fit_straight_line(GUM_T - 20.0, GUM_B)
    u = np.sqrt(np.diag(line.covariance))
    np.testing.assert_allclose(line.intercept, -0.1712, rtol=0, atol=0.000_05)
    np.testing.assert_allclose(u[0], 0.0029, rtol=0, atol=0.000_05)
    np.testing.assert_allclose(line.slope, 0.002_18, rtol=0, atol=0.000_005)
    np.testing.assert_allclose(u[1], 0.000_67, rtol=0, atol=0.000_005)
    np.testing.assert_allclose(line.covariance[0, 1] / (u[0] * u[1]), -0.93, rtol=0, atol=0.005)
    np.testing.assert_allclose(line.residual_sd, 0.0035, rtol=0, atol=0.000_05)
    assert line.dof == 9
    at_30 = predict(line, np.array([10.0]))
    np.testing.assert_allclose(at_30.value, [-0.1494], rtol=0, atol=0.000_05)
    np.testing.assert_allclose(at_30.u, [0.0041], rtol=0, atol=0.000_05)
    without_covariance = math.hypot(u[0], 10.0 * u[1])
    np.testing.assert_allclose(without_covariance, 0.0073, rtol=0, atol=0.000_05)


@pytest.mark.published(
    "Documentation of the Python package GTC, variant of GUM H.3 with a systematic u = 0.005 "
    "common to all corrections: u(y1) = 0.00576893, u(y2) = 0.00066794; secondary"
)
def test_gum_h3_with_a_common_systematic_part() -> None:
    own = fit_straight_line(GUM_T - 20.0, GUM_B).residual_sd
    covariance = own**2 * np.eye(11) + 0.005**2
    line = fit_straight_line(GUM_T - 20.0, GUM_B, covariance)
    u = np.sqrt(np.diag(line.covariance))
    np.testing.assert_allclose(u, [0.005_768_93, 0.000_667_94], rtol=0, atol=0.000_000_005)


@pytest.mark.published(
    "D. L. Massart et al., Handbook of Chemometrics and Qualimetrics Part A (1997), ch. 8, p. 175 "
    "(one decimal), seven digits as in the tests of the R package chemCal; secondary"
)
@pytest.mark.parametrize(
    ("y", "n_repeats", "book", "value", "u", "half_width"),
    [
        (15.0, 1, (6.1, 4.9), 6.093_81, 1.767_278, 4.906_751),
        (90.0, 1, (43.9, 4.9), 43.939_83, 1.767_747, 4.908_053),
        (90.0, 5, (43.9, 3.2), 43.939_83, 1.141_204, 3.168_489),
    ],
)
def test_massart_reading_back(
    y: float, n_repeats: int, book: tuple[float, float], value: float, u: float, half_width: float
) -> None:
    x = np.array([0.0, 10.0, 20.0, 30.0, 40.0, 50.0])
    line = fit_straight_line(x, np.array([4.0, 21.2, 44.6, 61.8, 78.0, 105.2]))
    found = inverse_predict(line, y, n_repeats=n_repeats)
    np.testing.assert_allclose([found.value, found.half_width], book, rtol=0, atol=0.05)
    np.testing.assert_allclose(found.value, value, rtol=0, atol=0.000_005)
    np.testing.assert_allclose(found.u, u, rtol=0, atol=0.000_000_5)
    np.testing.assert_allclose(found.half_width, half_width, rtol=0, atol=0.000_000_5)
