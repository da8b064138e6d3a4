"""Straight lines whose answers stand in print, as the left side of a broken line."""

from typing import NamedTuple

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.reduction.broken_line import free_fits

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


class Line(NamedTuple):
    intercept_and_slope: FloatArray
    covariance: FloatArray  # of unit variance, or of the covariance given
    rss: float


def left_line(x: FloatArray, y: FloatArray, covariance: FloatArray | None = None) -> Line:
    """Return the line that the search for a break fits to all points left of a gap.

    Two level points are put beyond the others, so that there is a gap after the last of these.
    """
    beyond = np.max(x) + np.ptp(x) * np.array([0.5, 1.0])
    whole = None
    if covariance is not None:
        whole = np.eye(x.size + 2)
        whole[: x.size, : x.size] = covariance
    gaps = free_fits(np.append(x, beyond), np.append(y, [0.0, 0.0]), whole, "plateau")
    gap = int(np.searchsorted(gaps.edges, np.max(x) - gaps.centre))
    assert gaps.n_right[gap] == 2
    to_zero = np.array([[1.0, -gaps.centre], [0.0, 1.0]])
    return Line(
        to_zero @ gaps.theta[gap, :2],
        to_zero @ gaps.cov[gap, :2, :2] @ to_zero.T,
        float(gaps.rss[gap]),
    )


@pytest.mark.published(
    "NIST Statistical Reference Datasets (StRD), Linear Regression, Norris: certified values; "
    "secondary"
)
def test_norris() -> None:
    line = left_line(NORRIS_X, NORRIS_Y)
    variance = line.rss / 34
    u = np.sqrt(variance * np.diag(line.covariance))
    intercept, slope = line.intercept_and_slope
    found = [intercept, u[0], slope, u[1], np.sqrt(variance), line.rss, (slope / u[1]) ** 2]
    certified = [
        -0.262323073774029,
        0.232818234301152,
        1.00211681802045,
        0.000429796848199937,
        0.884796396144373,
        26.6173985294224,
        5436385.54079785,  # the F ratio of a straight line
    ]
    # 15 digits are certified; 1e-10 is what double precision keeps of them for points near a line.
    np.testing.assert_allclose(found, certified, rtol=1e-10, atol=0)


@pytest.mark.published(
    "JCGM 100:2008 (GUM), H.3, Table H.6: thermometer corrections, line in t - 20 degC; secondary"
)
def test_gum_h3() -> None:
    line = left_line(GUM_T - 20.0, GUM_B)
    variance = line.rss / 9
    u = np.sqrt(variance * np.diag(line.covariance))
    intercept, slope = line.intercept_and_slope
    np.testing.assert_allclose(intercept, -0.1712, rtol=0, atol=0.000_05)
    np.testing.assert_allclose(u[0], 0.0029, rtol=0, atol=0.000_05)
    np.testing.assert_allclose(slope, 0.002_18, rtol=0, atol=0.000_005)
    np.testing.assert_allclose(u[1], 0.000_67, rtol=0, atol=0.000_005)
    r = variance * line.covariance[0, 1] / (u[0] * u[1])
    np.testing.assert_allclose(r, -0.93, rtol=0, atol=0.005)
    np.testing.assert_allclose(np.sqrt(variance), 0.0035, rtol=0, atol=0.000_05)


@pytest.mark.published(
    "Documentation of the Python package GTC, variant of GUM H.3 with a systematic u = 0.005 "
    "common to all corrections: u(y1) = 0.00576893, u(y2) = 0.00066794; secondary"
)
def test_gum_h3_with_a_common_systematic_part() -> None:
    variance = left_line(GUM_T - 20.0, GUM_B).rss / 9
    covariance = variance * np.eye(11) + 0.005**2
    line = left_line(GUM_T - 20.0, GUM_B, covariance)
    u = np.sqrt(np.diag(line.covariance))
    np.testing.assert_allclose(u, [0.005_768_93, 0.000_667_94], rtol=0, atol=0.000_000_005)
