"""Two lines beside a straight line, one through the origin, and a quadratic."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from tarebook.core.arrays import FloatArray
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverNotFound
from tarebook.reduction.shapes import (
    CLEARLY,
    Shape,
    ShapeFit,
    better_than_two_lines,
    compare_shapes,
)

X = np.array([2.0, 5.0, 8.0, 11.0, 14.0, 17.0, 20.0, 23.0, 26.0])
U = 0.01
KNOWN = U**2 * np.eye(X.size)


def compared(y: FloatArray) -> tuple[ShapeFit, ...]:
    try:
        lines = fit_changeover(X, y, KNOWN)
    except ChangeoverNotFound:
        lines = None
    return compare_shapes(X, y, lines, KNOWN)


def noise(seed: int) -> FloatArray:
    return U * np.random.default_rng(seed).standard_normal(X.size)


def test_the_sum_of_squares_through_the_origin_is_that_of_noint1() -> None:
    """NIST StRD, Linear Regression, NoInt1: y = 130..140 at x = 60..70, through the origin.

    Certified: residual standard deviation 3.56753034006338 with 10 degrees of freedom (the data and
    the value from memory; they belong together only if both are right).
    """
    x, y = np.arange(60.0, 71.0), np.arange(130.0, 141.0)
    bent = np.where(x > 65.0, 135.0, y)  # two lines need a break; it is not what is looked at
    shapes = compare_shapes(x, y, fit_changeover(x, bent))
    (found,) = (fit for fit in shapes if fit.shape is Shape.THROUGH_ORIGIN)
    assert np.sqrt(found.rss / 10) == pytest.approx(3.56753034006338, rel=1e-12)
    assert found.n_parameters == 1


def test_the_criterion_is_twice_the_log_likelihood_and_what_parameters_win() -> None:
    """Differences of AIC against the log-likelihood of a general-purpose package."""
    y = np.minimum(0.03 * X, 0.45) + noise(1)
    lines = fit_changeover(X, y, KNOWN)
    found = {fit.shape: fit for fit in compare_shapes(X, y, lines, KNOWN)}
    quadratic = np.polyval(np.polyfit(X, y, 2), X)
    zero = np.zeros(X.size)
    normal = multivariate_normal(mean=zero, cov=KNOWN)
    two_lines = lines.height(X)
    for shape, fitted, k in ((Shape.QUADRATIC, quadratic, 3), (Shape.TWO_LINES, two_lines, 3)):
        log = float(normal.logpdf(y - fitted)) - float(normal.logpdf(zero))
        assert found[shape].aic == pytest.approx(-2.0 * log + 2.0 * k, rel=1e-9)
        assert found[shape].n_parameters == k
    assert sum(fit.weight for fit in found.values()) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("true", "shape"),
    [
        (np.minimum(0.03 * X, 0.45), Shape.TWO_LINES),
        (0.02 * X, Shape.THROUGH_ORIGIN),
        (0.10 + 0.02 * X, Shape.STRAIGHT),
        (0.05 * X - 0.0009 * X**2, Shape.QUADRATIC),
    ],
)
def test_the_curve_that_made_the_points_is_mostly_the_best(true: FloatArray, shape: Shape) -> None:
    best = [compared(true + noise(seed))[0].shape for seed in range(40)]
    assert best.count(shape) >= 28


def test_two_lines_are_given_up_only_for_a_clearly_better_curve() -> None:
    bent = compared(np.minimum(0.03 * X, 0.45) + noise(2))
    assert better_than_two_lines(bent) is None
    smooth = compared(0.05 * X - 0.0009 * X**2 + noise(3))
    better = better_than_two_lines(smooth)
    lines = next(fit for fit in smooth if fit.shape is Shape.TWO_LINES)
    if lines.difference >= CLEARLY:
        assert better is smooth[0]
    else:
        assert better is None


def test_without_known_errors_few_points_pay_more_for_a_parameter() -> None:
    y = np.minimum(0.03 * X, 0.45) + noise(4)
    shapes = compare_shapes(X, y, fit_changeover(X, y))
    n = X.size
    for fit in shapes:
        k = fit.n_parameters + 1
        expected = n * np.log(fit.rss / n) + 2 * k + 2 * k * (k + 1) / (n - k - 1)
        assert fit.aic == pytest.approx(expected, rel=1e-12)
