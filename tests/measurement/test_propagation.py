import math

import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import stats
from uncertainties import umath

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.propagation import (
    Method,
    NotAnalyticError,
    correlation,
    covariance_of_means,
    coverage_factor,
    effective_dof,
    jacobian,
    propagate,
    second_order_variance,
    variance_contributions,
)


def bent(x: NumberArray) -> NumberArray:
    """Return three outputs of three inputs, none of them linear."""
    a, b, c = np.moveaxis(x, -1, 0)
    return np.stack([a * b / c, np.exp(-a / b) * c, np.sqrt(a * c) + np.log(b)], axis=-1)


def mixed_covariance(spread: FloatArray) -> FloatArray:
    r = np.array([[1.0, 0.6, -0.2], [0.6, 1.0, 0.1], [-0.2, 0.1, 1.0]])
    return r * np.outer(spread, spread)


positive = arrays(np.float64, 3, elements=st.floats(0.5, 20))
fractions = arrays(np.float64, 3, elements=st.floats(1e-4, 0.05))


@given(positive, fractions)
def test_the_same_as_the_library_uncertainties(values: FloatArray, parts: FloatArray) -> None:
    covariance = mixed_covariance(parts * values)
    a, b, c = uncertainties.correlated_values(values, covariance)
    theirs = [a * b / c, umath.exp(-a / b) * c, umath.sqrt(a * c) + umath.log(b)]
    y, ours, _ = propagate(bent, values, covariance)
    np.testing.assert_allclose(y, [one.nominal_value for one in theirs], rtol=1e-12, atol=1e-300)
    expected = np.array(uncertainties.covariance_matrix(theirs))
    slack = 1e-10 * np.sqrt(np.outer(np.diag(expected), np.diag(expected)))
    assert (np.abs(ours - expected) <= slack + 1e-300).all()


@pytest.mark.parametrize("method", ["complex", "central"])
def test_many_runs_at_once_are_one_run_many_times(method: Method) -> None:
    rng = np.random.Generator(np.random.SFC64(3))
    values = rng.uniform(1, 5, (4, 6, 3))
    covariance = mixed_covariance(np.array([0.1, 0.02, 0.3]))
    y, spread, slopes = propagate(bent, values, covariance, method=method)
    assert (y.shape, spread.shape, slopes.shape) == ((4, 6, 3), (4, 6, 3, 3), (4, 6, 3, 3))
    one = propagate(bent, values[2, 5], covariance, method=method)
    np.testing.assert_allclose(spread[2, 5], one.covariance, rtol=1e-12, atol=0)
    np.testing.assert_allclose(slopes[2, 5], one.jacobian, rtol=1e-12, atol=0)
    single = propagate(lambda x: bent(x)[..., 0], values, covariance, method=method)
    assert (single.y.shape, single.covariance.shape) == ((4, 6), (4, 6))
    np.testing.assert_allclose(single.covariance, spread[..., 0, 0], rtol=1e-12, atol=0)
    np.testing.assert_allclose(single.jacobian, slopes[..., 0, :], rtol=1e-12, atol=0)


def test_each_run_may_have_its_own_covariance() -> None:
    values = np.array([[1.0, 2.0, 3.0], [2.0, 3.0, 4.0]])
    stack = np.stack([mixed_covariance(np.full(3, u)) for u in (0.01, 0.02)])
    methods: tuple[Method, ...] = ("complex", "central")
    for method in methods:
        together = propagate(bent, values, stack, method=method)
        for run in range(2):
            alone = propagate(bent, values[run], stack[run])
            np.testing.assert_allclose(
                together.covariance[run], alone.covariance, rtol=1e-7, atol=1e-15
            )


def test_central_differences_agree_with_the_complex_step() -> None:
    values = np.array([3.0, 2.0, 5.0])
    exact, near = jacobian(bent, values), jacobian(bent, values, method="central")
    np.testing.assert_allclose(near, exact, rtol=1e-8, atol=1e-9)


def test_a_zero_input_is_moved_by_its_uncertainty() -> None:
    slopes = jacobian(
        lambda x: np.sin(x[..., 0] * 1e6),
        np.array([0.0]),
        method="central",
        scale=np.array([1e-7]),
    )
    assert slopes[0] == pytest.approx(1e6, rel=1e-6)


def test_a_lost_imaginary_part_is_noticed() -> None:
    with pytest.raises(NotAnalyticError, match="method='central'"):
        jacobian(lambda x: np.abs(x[..., 0]), np.array([-2.0]))
    slope = jacobian(lambda x: np.abs(x[..., 0]), np.array([-2.0]), method="central")
    assert slope[0] == pytest.approx(-1.0)


def test_contributions_add_up_and_are_squares_where_independent() -> None:
    values = np.array([3.0, 2.0, 5.0])
    covariance = mixed_covariance(np.array([0.1, 0.2, 0.3]))
    _, spread, slopes = propagate(bent, values, covariance)
    parts = variance_contributions(slopes[0], covariance)
    assert parts.sum() == pytest.approx(spread[0, 0])
    independent = np.diag(np.diag(covariance))
    np.testing.assert_allclose(
        variance_contributions(slopes[0], independent),
        slopes[0] ** 2 * np.diag(covariance),
        rtol=1e-14,
        atol=0,
    )


def test_degrees_of_freedom() -> None:
    assert effective_dof(np.array([1.0, 0.0]), np.array([7.0, 2.0])) == pytest.approx(7.0)
    assert math.isinf(effective_dof(np.array([1.0, 2.0]), np.array([np.inf, np.inf])))
    # two equal parts: (2 u^2)^2 / (2 u^4 / nu) = 2 nu
    many = effective_dof(np.ones((5, 2)), np.array([6.0, 6.0]))
    np.testing.assert_allclose(many, np.full(5, 12.0), rtol=1e-14, atol=0)


def test_coverage_factors_are_quantiles_of_t() -> None:
    dof = np.array([1.0, 2.5, 9.0, 1e6, np.inf])
    reference = stats.t.ppf(0.975, dof)
    np.testing.assert_allclose(coverage_factor(dof), reference, rtol=1e-9, atol=0)


@pytest.mark.parametrize(("dof", "level"), [(0.0, 0.95), (math.nan, 0.95), (5.0, 95.0)])
def test_a_coverage_factor_needs_sense(dof: float, level: float) -> None:
    with pytest.raises(OutOfRangeError):
        coverage_factor(dof, level)


def test_second_order_of_a_square() -> None:
    # x^2 of a normal x has the variance 4 m^2 u^2 + 2 u^4 exactly
    extra = second_order_variance(lambda x: x[..., 0] ** 2, np.array([3.0]), np.array([0.5]))
    assert extra == pytest.approx(2 * 0.5**4, rel=1e-9)


def test_second_order_of_a_product_and_of_a_cube() -> None:
    # x y: u_x^2 u_y^2 beyond first order; x^3: f_i f_iii + f_ii^2 / 2 = 18 m^2 + 18 m^2, times u^4
    values, u = np.array([[3.0, 4.0], [0.0, 2.0]]), np.array([0.1, 0.2])
    product = second_order_variance(lambda x: x[..., 0] * x[..., 1], values, u)
    np.testing.assert_allclose(product, [4e-4, 4e-4], rtol=1e-7, atol=0)
    cube = second_order_variance(lambda x: x[..., 0] ** 3, values, u)
    # a step of a tenth of u sees a little of the higher terms
    np.testing.assert_allclose(cube, 36 * values[:, 0] ** 2 * 0.1**4, rtol=1e-5, atol=1e-7)


def test_second_order_with_a_mixed_third_derivative() -> None:
    # x y^2 at (a, b): f_x f_xyy u_x^2 u_y^2 = b^2 * 2, f_xy^2 = 4 b^2 twice halved,
    # f_yy^2 / 2 = 2 a^2 for u_y^4
    a, b, u_x, u_y = 3.0, 5.0, 0.1, 0.2
    extra = second_order_variance(
        lambda x: x[..., 0] * x[..., 1] ** 2, np.array([a, b]), np.array([u_x, u_y])
    )
    by_hand = (2 * b**2 + 4 * b**2) * (u_x * u_y) ** 2 + 2 * a**2 * u_y**4
    assert extra == pytest.approx(by_hand, rel=1e-7)


def test_covariance_of_means_is_the_sample_covariance_over_n() -> None:
    rng = np.random.Generator(np.random.SFC64(8))
    readings = rng.normal(size=(6, 3))
    np.testing.assert_allclose(
        covariance_of_means(readings), np.cov(readings, rowvar=False) / 6, rtol=1e-12, atol=0
    )
    np.testing.assert_allclose(
        correlation(covariance_of_means(readings)),
        np.corrcoef(readings, rowvar=False),
        rtol=1e-12,
        atol=0,
    )
    with pytest.raises(OutOfRangeError, match="number of readings"):
        covariance_of_means(readings[:1])
