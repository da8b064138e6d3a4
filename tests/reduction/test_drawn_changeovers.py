"""Change-overs of many draws: what the fit finds one by one."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverNotFound
from tarebook.reduction.drawn_changeovers import changeover_of_draws

X = np.array([3.0, 6.0, 9.0, 12.0, 15.0, 18.0, 21.0, 24.0])
Y = np.minimum(0.04 * X, 0.532) + 0.01 * np.array([0.5, -1.0, 0.8, -0.2, 1.0, -0.9, 0.3, 0.4])


def a_covariance(n: int, seed: int) -> FloatArray:
    scatter = np.random.default_rng(seed).normal(size=(n, n))
    return 1e-4 * (0.2 * scatter @ scatter.T + np.eye(n))


def compare_draw_by_draw(
    x: FloatArray, y: FloatArray, weighting: FloatArray | None, covariance: FloatArray | None
) -> int:
    """Compare every draw with the fit of its own and return how many were not found."""
    drawn = changeover_of_draws(x, y, weighting)
    for row in range(x.shape[0]):
        try:
            fit = fit_changeover(x[row], y[row], covariance)
        except ChangeoverNotFound:
            assert not drawn.found[row]
            continue
        assert drawn.found[row]
        np.testing.assert_allclose(
            [drawn.intercept[row], drawn.slope[row], drawn.plateau[row], drawn.breakpoint[row]],
            [fit.intercept, fit.slope, fit.plateau, fit.breakpoint],
            rtol=1e-7,
            atol=1e-9,
        )
    assert np.all(np.isfinite(drawn.breakpoint))
    return int(np.sum(~drawn.found))


@pytest.mark.parametrize("weighting", ["none", "weights", "diagonal", "full"])
@pytest.mark.parametrize("spread", [0.0, 0.1, 2.0])
def test_draws_are_the_fits_one_by_one(weighting: str, spread: float) -> None:
    """With a spread of 2 neighbouring runs change places; the noise makes some draws fail."""
    rng = np.random.default_rng(8)
    x = X[rng.permutation(8)] + spread * rng.normal(size=(400, 8))
    y = np.minimum(0.04 * x, 0.532) + rng.normal(scale=0.1, size=(400, 8))
    weights = rng.uniform(0.3, 3.0, size=8)
    full = a_covariance(8, 1)
    given, covariance = {
        "none": (None, None),
        "weights": (weights, np.diag(1 / weights)),
        "diagonal": (np.diag(1 / weights), np.diag(1 / weights)),
        "full": (full, full),
    }[weighting]
    assert 0 < compare_draw_by_draw(x, y, given, covariance) < 200


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize(
    "x",
    [
        [1.0, 2.0, 3.0, 4.0],
        [1.0, 1.0, 1.0, 2.0, 3.0, 4.0, 4.0],
        [1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 5.0, 5.0],
        [1.0, 1.0, 2.0, 3.0, 4.0, 4.0, 4.0, 4.0],
    ],
)
def test_draws_with_equal_amounts(x: list[float], full: bool) -> None:
    rng = np.random.default_rng(5)
    n = len(x)
    many = np.tile(x, (300, 1))
    y = np.minimum(many, 2.6) + rng.normal(scale=0.3, size=many.shape)
    covariance = a_covariance(n, 3) if full else None
    assert compare_draw_by_draw(many, y, covariance, covariance) < 300


def test_one_draw_alone_is_the_same_as_among_many() -> None:
    """Blocks must not matter, down to blocks in which a single draw needs a step."""
    rng = np.random.default_rng(6)
    x = X + 0.5 * rng.normal(size=(9000, 8))
    y = np.minimum(0.04 * x, 0.532) + rng.normal(scale=0.05, size=x.shape)
    full = a_covariance(8, 1)
    for weighting in (None, full):
        many = changeover_of_draws(x, y, weighting)
        for row in (0, 4000, 8191, 8192, 8999):
            one = changeover_of_draws(x[[row]], y[[row]], weighting)
            assert one.breakpoint[0] == pytest.approx(many.breakpoint[row], rel=1e-8)
            assert one.found[0] == many.found[row]


def test_refusals() -> None:
    with pytest.raises(OutOfRangeError, match="different x = 3"):
        changeover_of_draws(np.array([[1.0, 1.0, 2.0, 3.0]]), Y[np.newaxis, :4])
    with pytest.raises(OutOfRangeError, match=r"\(d, n\)"):
        changeover_of_draws(X, Y)
    with pytest.raises(OutOfRangeError, match="number of weights"):
        changeover_of_draws(X[np.newaxis], Y[np.newaxis], np.ones(7))
    with pytest.raises(OutOfRangeError, match="weight = -1"):
        changeover_of_draws(X[np.newaxis], Y[np.newaxis], -np.ones(8))
    with pytest.raises(OutOfRangeError, match="y = nan"):
        changeover_of_draws(X[np.newaxis], np.full((1, 8), np.nan))
    with pytest.raises(OutOfRangeError, match="number of points = 3"):
        changeover_of_draws(X[np.newaxis, :3], Y[np.newaxis, :3])


def test_speed_of_a_million_draws(benchmark: Any) -> None:
    rng = np.random.default_rng(1)
    x = X + 0.1 * rng.normal(size=(1_000_000, 8))
    y = np.minimum(0.04 * x, 0.532) + rng.normal(scale=0.012, size=x.shape)
    found = benchmark(changeover_of_draws, x, y, rng.uniform(0.5, 2.0, size=8))
    assert np.mean(found.found) > 0.99
