"""The change-over on data of the literature, against general-purpose packages."""

import math

import numpy as np
import piecewise_regression
import pytest

from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverFit

# Stagnant band height, 28 points: thesis data of R. A. Cook in D. W. Bacon, D. G. Watts, Biometrika
# 58 (1971) 525-534, in the version of the R package segmented 2.2-0, data set stagnant; secondary.
# fmt: off
LOG_FLOW = np.array([
    -0.80, 0.01, -0.25, -0.25, -0.12, -0.12, -0.94, 0.11, 0.11, -0.63, -0.63, -1.39, -1.39, 0.70,
    0.70, 0.34, 1.19, 0.59, 0.85, 0.85, 0.99, 0.99, 0.25, -1.08, -1.08, 0.44, 0.34, 0.25,
])
LOG_HEIGHT = np.array([
    0.90, 0.51, 0.65, 0.67, 0.60, 0.59, 0.92, 0.43, 0.43, 0.81, 0.83, 1.12, 1.12, -0.13,
    -0.14, 0.25, -0.65, -0.01, -0.30, -0.33, -0.46, -0.43, 0.33, 0.99, 1.03, 0.13, 0.24, 0.30,
])
# fmt: on


@pytest.fixture(scope="module")
def stagnant() -> ChangeoverFit:
    return fit_changeover(LOG_FLOW, LOG_HEIGHT, right="line")


@pytest.mark.published(
    "Data: Bacon, Watts, Biometrika 58 (1971) 525-534. Estimates: output of the R package "
    "segmented 1.6-2 on them, not a printed table; secondary"
)
def test_stagnant_band_height(stagnant: ChangeoverFit) -> None:
    # An iterative search stops a little off the optimum, here by 1e-9.
    np.testing.assert_allclose(stagnant.breakpoint, 0.041_105_785_7, rtol=0, atol=5e-9)
    u = np.sqrt(np.diag(stagnant.covariance))
    np.testing.assert_allclose(u[4], 0.022_834_806_8, rtol=0, atol=5e-11)
    np.testing.assert_allclose(stagnant.intercept, 0.544_661_08, rtol=0, atol=5e-9)
    np.testing.assert_allclose(stagnant.slope, -0.422_076_81, rtol=0, atol=5e-9)
    np.testing.assert_allclose(stagnant.right_slope, -1.020_567_5, rtol=0, atol=5e-8)
    np.testing.assert_allclose(u[1:3], [0.011_487_31, 0.015_067_94], rtol=0, atol=5e-9)
    residual_sd = math.sqrt(stagnant.rss / stagnant.dof)
    np.testing.assert_allclose(residual_sd, 0.019_515_16, rtol=0, atol=5e-9)
    np.testing.assert_allclose(stagnant.rss, 0.009_140_197_232, rtol=0, atol=5e-13)
    assert stagnant.dof == 24


@pytest.mark.published(
    "The three local minima of the same data (0.0085, 0.0411, 0.1125), found with the R package "
    "segmented 1.6-2 from several starts; secondary"
)
def test_stagnant_has_three_minima_and_the_global_one_is_taken(stagnant: ChangeoverFit) -> None:
    recorded = np.array([0.0085, 0.0411, 0.1125])
    recorded_rss = [0.009_837_3, 0.009_140_2, 0.012_646_2]
    breaks, rss = np.transpose(stagnant.local_minima)
    np.testing.assert_allclose(rss, recorded_rss, rtol=0, atol=5e-8)
    np.testing.assert_allclose(breaks[:2], recorded[:2], rtol=0, atol=0.000_05)
    # The third is so flat that the sum at the recorded place and at the exact minimum, 0.11226,
    # differ by less than 1e-7: only the sum can be held to the last digit.
    np.testing.assert_allclose(breaks[2], recorded[2], rtol=0, atol=0.000_3)
    assert stagnant.breakpoint == breaks[1]


def test_stagnant_against_piecewise_regression(stagnant: ChangeoverFit) -> None:
    """Not printed anywhere: a general-purpose package run on the same data, beside our own."""
    np.random.seed(2)  # noqa: NPY002 (the package draws its starts from the global generator)
    other = piecewise_regression.Fit(LOG_FLOW, LOG_HEIGHT, n_breakpoints=1, n_boot=20)
    results = other.get_results()
    names = ["const", "alpha1", "alpha2", "breakpoint1"]
    estimates = [results["estimates"][name]["estimate"] for name in names]
    errors = [results["estimates"][name]["se"] for name in names]
    found = [stagnant.intercept, stagnant.slope, stagnant.right_slope, stagnant.breakpoint]
    np.testing.assert_allclose(found, estimates, rtol=1e-7)
    u = [math.sqrt(stagnant.covariance[i, i]) for i in (0, 1, 2, 4)]
    np.testing.assert_allclose(u, errors, rtol=1e-7)
    np.testing.assert_allclose(stagnant.rss, results["rss"], rtol=1e-9)
