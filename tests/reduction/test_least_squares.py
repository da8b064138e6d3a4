"""What the fits share: weights, and what cannot be fitted."""

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.least_squares import checked_points, whitening_matrix

X = np.array([1.0, 2.0, 3.5, 5.0, 8.0])
Y = np.array([2.1, 3.9, 7.2, 9.8, 16.3])


def test_whitened_readings_have_unit_covariance() -> None:
    scatter = np.random.default_rng(3).normal(size=(5, 5))
    covariance = scatter @ scatter.T + 0.1 * np.eye(5)
    whitening = whitening_matrix(covariance, 5)
    np.testing.assert_allclose(whitening @ covariance @ whitening.T, np.eye(5), atol=1e-9)
    np.testing.assert_allclose(whitening.T @ whitening, np.linalg.inv(covariance), rtol=1e-9)


@pytest.mark.parametrize(
    ("x", "y", "match"),
    [
        (X, Y[:4], "one y for each x"),
        (X[:2], Y[:2], "number of points = 2"),
        (X, np.array([1.0, 2.0, np.nan, 3.0, 4.0]), "finite numbers"),
    ],
)
def test_refuses_points(x: FloatArray, y: FloatArray, match: str) -> None:
    with pytest.raises(OutOfRangeError, match=match):
        checked_points(x, y, 3)


def test_refuses_covariances() -> None:
    with pytest.raises(OutOfRangeError, match="Give 5 x 5"):
        whitening_matrix(np.eye(4), 5)
    with pytest.raises(OutOfRangeError, match="smallest eigenvalue"):
        whitening_matrix(np.ones((3, 3)), 3)
    with pytest.raises(OutOfRangeError, match="asymmetry"):
        whitening_matrix(np.array([[1.0, 0.5], [0.0, 1.0]]), 2)
