"""The straight line against formulas written out, and its refusals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.straight_line import (
    fit_straight_line,
    inverse_predict,
    predict,
    whitening_matrix,
)

X = np.array([1.0, 2.0, 3.5, 5.0, 8.0])
Y = np.array([2.1, 3.9, 7.2, 9.8, 16.3])


def test_agrees_with_scipy_linregress() -> None:
    line, other = fit_straight_line(X, Y), stats.linregress(X, Y)
    np.testing.assert_allclose(line.slope, other.slope, rtol=1e-13)
    np.testing.assert_allclose(line.intercept, other.intercept, rtol=1e-11)
    np.testing.assert_allclose(math.sqrt(line.covariance[1, 1]), other.stderr, rtol=1e-11)
    np.testing.assert_allclose(math.sqrt(line.covariance[0, 0]), other.intercept_stderr, rtol=1e-11)
    np.testing.assert_allclose(line.r_squared, other.rvalue**2, rtol=1e-12)


def test_full_covariance_is_the_textbook_formula() -> None:
    scatter = np.random.default_rng(3).normal(size=(5, 5))
    covariance = scatter @ scatter.T + 0.1 * np.eye(5)
    line = fit_straight_line(X, Y, covariance)
    design = np.column_stack([np.ones(5), X])
    expected = np.linalg.inv(design.T @ np.linalg.inv(covariance) @ design)
    theta = expected @ design.T @ np.linalg.inv(covariance) @ Y
    np.testing.assert_allclose([line.intercept, line.slope], theta, rtol=1e-9)
    np.testing.assert_allclose(line.covariance, expected, rtol=1e-9)
    residual = Y - design @ theta
    np.testing.assert_allclose(line.rss, residual @ np.linalg.inv(covariance) @ residual, rtol=1e-9)


def test_weights_are_a_covariance_up_to_the_residual_variance() -> None:
    variances = np.array([1.0, 4.0, 1.0, 9.0, 2.0])
    weighted = fit_straight_line(X, Y, weights=1 / variances)
    known = fit_straight_line(X, Y, np.diag(variances))
    np.testing.assert_allclose(weighted.slope, known.slope, rtol=1e-12)
    np.testing.assert_allclose(
        weighted.covariance, known.covariance * known.residual_sd**2, rtol=1e-10
    )
    assert known.coverage_factor == pytest.approx(1.959964, abs=1e-6)
    assert weighted.coverage_factor == pytest.approx(3.182446, abs=1e-6)


@given(
    st.floats(-50, 50),
    st.floats(-50, 50),
    st.permutations(range(5)),
)
def test_adding_a_line_adds_its_coefficients_in_any_order(
    a: float, b: float, order: list[int]
) -> None:
    base, moved = fit_straight_line(X, Y), fit_straight_line(X[order], (Y + a + b * X)[order])
    assert moved.intercept == pytest.approx(base.intercept + a, abs=1e-11)
    assert moved.slope == pytest.approx(base.slope + b, abs=1e-11)
    np.testing.assert_allclose(moved.covariance, base.covariance, rtol=1e-8)


def test_heights_of_one_line_are_correlated() -> None:
    line = fit_straight_line(X, Y)
    two = predict(line, np.array([3.0, 4.0]))
    rise = math.sqrt(two.covariance[0, 0] + two.covariance[1, 1] - 2 * two.covariance[0, 1])
    assert rise == pytest.approx(math.sqrt(line.covariance[1, 1]), rel=1e-9)


def test_a_weighted_line_needs_the_uncertainty_of_a_new_reading() -> None:
    line = fit_straight_line(X, Y, np.eye(5) * 0.04)
    with pytest.raises(OutOfRangeError, match="give u_reading"):
        inverse_predict(line, 8.0)
    found = inverse_predict(line, 8.0, n_repeats=4, u_reading=0.2)
    u_line = float(predict(line, np.array([found.value])).u[0])
    assert found.u == pytest.approx(math.hypot(0.1, u_line) / line.slope, rel=1e-12)


def test_level_points() -> None:
    line = fit_straight_line(X, np.full(5, 3.0), weights=np.ones(5))
    assert line.r_squared == 0.0
    assert line.intercept == pytest.approx(3.0, abs=1e-14)


@pytest.mark.parametrize(
    ("x", "y", "match"),
    [
        (X, Y[:4], "one y for each x"),
        (X[:2], Y[:2], "number of points = 2"),
        (np.full(5, 2.0), Y, "spread of x"),
        (X, np.array([1.0, 2.0, np.nan, 3.0, 4.0]), "finite numbers"),
    ],
)
def test_refuses_points(x: FloatArray, y: FloatArray, match: str) -> None:
    with pytest.raises(OutOfRangeError, match=match):
        fit_straight_line(x, y)


def test_refuses_weightings() -> None:
    with pytest.raises(OutOfRangeError, match="not both"):
        fit_straight_line(X, Y, np.eye(5), weights=np.ones(5))
    with pytest.raises(OutOfRangeError, match="weight = 0"):
        fit_straight_line(X, Y, weights=np.array([1.0, 1.0, 0.0, 1.0, 1.0]))
    with pytest.raises(OutOfRangeError, match="number of weights"):
        fit_straight_line(X, Y, weights=np.ones(4))
    with pytest.raises(OutOfRangeError, match="Give 5 x 5"):
        whitening_matrix(np.eye(4), 5)
    with pytest.raises(OutOfRangeError, match="smallest eigenvalue"):
        whitening_matrix(np.ones((3, 3)), 3)
    with pytest.raises(OutOfRangeError, match="asymmetry"):
        whitening_matrix(np.array([[1.0, 0.5], [0.0, 1.0]]), 2)


def test_refuses_to_read_back() -> None:
    level = fit_straight_line(np.array([-1.0, 0.0, 1.0]), np.zeros(3))
    with pytest.raises(OutOfRangeError, match="slope = 0"):
        inverse_predict(level, 1.0)
    line = fit_straight_line(X, Y)
    with pytest.raises(OutOfRangeError, match="repeated readings = 0"):
        inverse_predict(line, 1.0, n_repeats=0)
    with pytest.raises(OutOfRangeError, match="u_reading = -1"):
        inverse_predict(line, 1.0, u_reading=-1.0)
