import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from uncertainties import umath

from tarebook.core.arrays import FloatArray, NumberArray
from tarebook.core.propagation import NotAnalyticError, jacobian, propagate


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


def test_many_runs_at_once_are_one_run_many_times() -> None:
    rng = np.random.Generator(np.random.SFC64(3))
    values = rng.uniform(1, 5, (4, 6, 3))
    covariance = mixed_covariance(np.array([0.1, 0.02, 0.3]))
    y, spread, slopes = propagate(bent, values, covariance)
    assert (y.shape, spread.shape, slopes.shape) == ((4, 6, 3), (4, 6, 3, 3), (4, 6, 3, 3))
    one = propagate(bent, values[2, 5], covariance)
    np.testing.assert_allclose(spread[2, 5], one.covariance, rtol=1e-12, atol=0)
    np.testing.assert_allclose(slopes[2, 5], one.jacobian, rtol=1e-12, atol=0)
    single = propagate(lambda x: bent(x)[..., 0], values, covariance)
    assert (single.y.shape, single.covariance.shape) == ((4, 6), (4, 6))
    np.testing.assert_allclose(single.covariance, spread[..., 0, 0], rtol=1e-12, atol=0)
    np.testing.assert_allclose(single.jacobian, slopes[..., 0, :], rtol=1e-12, atol=0)


def test_each_run_may_have_its_own_covariance() -> None:
    values = np.array([[1.0, 2.0, 3.0], [2.0, 3.0, 4.0]])
    stack = np.stack([mixed_covariance(np.full(3, u)) for u in (0.01, 0.02)])
    together = propagate(bent, values, stack)
    for run in range(2):
        alone = propagate(bent, values[run], stack[run])
        np.testing.assert_allclose(
            together.covariance[run], alone.covariance, rtol=1e-12, atol=1e-15
        )


def test_a_lost_imaginary_part_is_noticed() -> None:
    with pytest.raises(NotAnalyticError, match="without abs"):
        jacobian(lambda x: np.abs(x[..., 0]), np.array([-2.0]))
