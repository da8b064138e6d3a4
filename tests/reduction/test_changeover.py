"""The change-over: exact cases, brute force, symmetries, coverage."""

import pickle
from typing import Any, Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.reduction.broken_line import free_fits
from tarebook.reduction.changeover import fit_changeover
from tarebook.reduction.changeover_results import ChangeoverNotFound
from tarebook.reduction.drawn_changeovers import changeover_of_draws

X = np.array([3.0, 6.0, 9.0, 12.0, 15.0, 18.0, 21.0, 24.0])
Y = np.minimum(0.04 * X, 0.532) + 0.01 * np.array([0.5, -1.0, 0.8, -0.2, 1.0, -0.9, 0.3, 0.4])


def a_covariance(n: int, seed: int) -> FloatArray:
    scatter = np.random.default_rng(seed).normal(size=(n, n))
    return 1e-4 * (0.2 * scatter @ scatter.T + np.eye(n))


def scanned(x: FloatArray, y: FloatArray, covariance: FloatArray, psi: float, right: str) -> float:
    """Return the sum of squares for a given break by a separate linear fit."""
    columns = [np.ones_like(x), np.minimum(x - psi, 0.0)]
    columns += [np.maximum(x - psi, 0.0)] if right == "line" else []
    design, inverse = np.column_stack(columns), np.linalg.inv(covariance)
    theta = np.linalg.solve(design.T @ inverse @ design, design.T @ inverse @ y)
    left = y - design @ theta
    return float(left @ inverse @ left)


def profile(
    x: FloatArray,
    y: FloatArray,
    breaks: FloatArray,
    covariance: FloatArray | None,
    right: Literal["plateau", "line"],
) -> FloatArray:
    """Return the sums of squares for given breaks, out of the free fits that the search uses."""
    gaps = free_fits(x, y, covariance, right)
    psi = breaks - gaps.centre
    gap = np.clip(np.searchsorted(gaps.edges, psi, side="right") - 1, 0, gaps.rss.size - 1)
    return gaps.profile(gap, psi)


@st.composite
def broken_lines(draw: st.DrawFn) -> tuple[FloatArray, float, float, float, float]:
    steps = draw(st.lists(st.floats(0.5, 3.0), min_size=5, max_size=11))
    x = np.cumsum(steps)
    gap = draw(st.integers(1, x.size - 3))
    at = x[gap] + draw(st.floats(0.05, 0.95)) * (x[gap + 1] - x[gap])
    slope = draw(st.floats(0.05, 20.0)) * draw(st.sampled_from([-1.0, 1.0]))
    bend = draw(st.floats(0.5, 2.0))
    return x, draw(st.floats(-10.0, 10.0)), slope, slope * (1.0 - bend), float(at)


@given(broken_lines(), st.randoms(use_true_random=False))
def test_exact_plateaus_are_recovered(
    case: tuple[FloatArray, float, float, float, float], random: Any
) -> None:
    x, intercept, slope, _, at = case
    x = np.array(random.sample(x.tolist(), x.size))
    fit = fit_changeover(x, intercept + slope * np.minimum(x, at))
    assert fit.breakpoint == pytest.approx(at, abs=1e-7)
    assert fit.slope == pytest.approx(slope, abs=1e-7)
    assert fit.plateau == pytest.approx(intercept + slope * at, abs=1e-7)
    drawn = changeover_of_draws(x[np.newaxis], (intercept + slope * np.minimum(x, at))[np.newaxis])
    assert drawn.found[0]
    assert drawn.breakpoint[0] == pytest.approx(at, abs=1e-6)


@given(broken_lines())
def test_exact_broken_lines_are_recovered(
    case: tuple[FloatArray, float, float, float, float],
) -> None:
    x, intercept, slope, right_slope, at = case
    y = intercept + slope * np.minimum(x, at) + right_slope * np.maximum(x - at, 0.0)
    fit = fit_changeover(x, y, right="line")
    assert fit.breakpoint == pytest.approx(at, abs=1e-6)
    assert fit.right_slope == pytest.approx(right_slope, abs=1e-6)


@given(
    st.floats(0.1, 10.0),
    st.floats(-20.0, 20.0),
    st.floats(0.1, 10.0) | st.floats(-10.0, -0.1),
    st.floats(-20.0, 20.0),
    st.permutations(range(8)),
)
def test_moves_with_the_scales_whatever_the_order(
    sx: float, tx: float, sy: float, ty: float, order: list[int]
) -> None:
    base = fit_changeover(X, Y)
    moved = fit_changeover((sx * X + tx)[order], (sy * Y + ty)[order])
    assert moved.breakpoint == pytest.approx(sx * base.breakpoint + tx, abs=1e-8)
    u, expected = (np.sqrt(fit.covariance[4, 4]) for fit in (moved, base))
    assert u == pytest.approx(sx * expected, rel=1e-6)
    assert moved.plateau == pytest.approx(sy * base.plateau + ty, abs=1e-9)
    assert moved.rss == pytest.approx(sy**2 * base.rss, rel=1e-6)


def test_two_lines_seen_in_a_mirror() -> None:
    y = Y - 0.01 * np.maximum(X - 13.3, 0.0)
    covariance = a_covariance(8, 4)
    base = fit_changeover(X, y, covariance, right="line")
    mirrored = fit_changeover(-X, y, covariance, right="line")
    assert mirrored.breakpoint == pytest.approx(-base.breakpoint, rel=1e-10)
    assert mirrored.slope == pytest.approx(-base.right_slope, rel=1e-9)
    assert mirrored.plateau_u == pytest.approx(base.plateau_u, rel=1e-9)


def test_mole_ratio_series() -> None:
    """The data are a textbook problem on tutorsglobe.com (5626077); 8.0 mL was worked out by hand.

    Basis: inputs secondary, answer computed: 0.125 per mL up to 1.000.
    """
    volume = np.array([0.0, 1.0, 3.0, 4.0, 5.0, 6.0, 10.0, 12.0])
    absorbance = np.array([0.0, 0.125, 0.375, 0.5, 0.625, 0.75, 1.0, 1.0])
    fit = fit_changeover(volume, absorbance)
    assert fit.breakpoint == pytest.approx(8.0, abs=1e-12)
    assert fit.slope == pytest.approx(0.125, abs=1e-14)
    assert (fit.dof, fit.birge) == (5, 1.0)


@pytest.mark.parametrize("right", ["plateau", "line"])
@pytest.mark.parametrize("seed", range(6))
def test_profile_is_that_of_separate_linear_fits(
    right: Literal["plateau", "line"], seed: int
) -> None:
    """Full covariance, replicated x, any order: scan against the closed form and its minimum."""
    rng = np.random.default_rng(seed)
    x = np.array([3.0, 6.0, 6.0, 9.0, 12.0, 15.0, 18.0, 18.0, 21.0])[rng.permutation(9)]
    y = np.minimum(0.04 * x, 0.53) + rng.normal(scale=0.02, size=9)
    covariance = a_covariance(9, seed)
    grid = np.linspace(6.0, 18.0, 601)
    expected = np.array([scanned(x, y, covariance, psi, right) for psi in grid])
    found = profile(x, y, grid, covariance, right)
    np.testing.assert_allclose(found, expected, rtol=1e-8)
    fit = fit_changeover(x, y, covariance, right=right)
    assert fit.rss <= np.min(expected) + 1e-9
    at_best = scanned(x, y, covariance, fit.breakpoint, right)
    assert fit.rss == pytest.approx(at_best, rel=1e-8)
    inner = (expected[1:-1] < expected[:-2]) & (expected[1:-1] < expected[2:])
    minima = np.array([at for at, _ in fit.local_minima])
    inside = minima[(minima > grid[1]) & (minima < grid[-2])]
    np.testing.assert_allclose(inside, grid[1:-1][inner], atol=0.021)


def test_covariance_of_the_parameters_is_that_of_small_changes() -> None:
    covariance = a_covariance(8, 2)
    fit = fit_changeover(X, Y, covariance)
    columns = []
    for run in range(8):
        shift = np.zeros(8)
        shift[run] = 1e-6
        up, down = (
            fit_changeover(X, Y + shift, covariance),
            fit_changeover(X, Y - shift, covariance),
        )
        columns.append([
            (getattr(up, name) - getattr(down, name)) / 2e-6
            for name in ("intercept", "slope", "right_slope", "plateau", "breakpoint")
        ])  # fmt: skip
    jacobian = np.transpose(columns)
    np.testing.assert_allclose(
        fit.covariance, jacobian @ covariance @ jacobian.T, rtol=1e-5, atol=1e-12
    )
    assert fit.birge == pytest.approx(np.sqrt(fit.rss / 5))


def test_a_break_at_a_run() -> None:
    """The free fits of both gaps next to x = 3 meet outside them: the best break is the run."""
    x = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0])
    y = np.array([0.0, 1.0, 2.0, 3.6, 3.0, 3.0, 3.0])
    fit = fit_changeover(x, y)
    assert fit.breakpoint == 3.0
    drawn = changeover_of_draws(x[np.newaxis], y[np.newaxis])
    assert drawn.breakpoint[0] == pytest.approx(3.0, abs=1e-12)
    assert fit.rss == pytest.approx(scanned(x, y, np.eye(7), 3.0, "plateau"), rel=1e-10)
    assert (3.0, fit.rss) in fit.local_minima
    assert fit.covariance[4, 4] > 0


@pytest.mark.slow
@pytest.mark.parametrize("seed", [None, 11])
def test_the_plateau_is_as_sure_as_it_says(seed: int | None) -> None:
    """Intervals of 95 % hold the truth, with the variance from the residuals or a known one."""
    covariance = None if seed is None else a_covariance(8, seed)
    rng = np.random.default_rng(20)
    root = np.linalg.cholesky(1.44e-4 * np.eye(8) if covariance is None else covariance)
    hits = []
    for _ in range(2000):
        y = np.minimum(0.04 * X, 0.04 * 13.3) + root @ rng.normal(size=8)
        try:
            fit = fit_changeover(X, y, covariance)
        except ChangeoverNotFound:
            continue
        factor = stats.norm.ppf(0.975) if covariance is not None else stats.t.ppf(0.975, fit.dof)
        hits.append(abs(fit.plateau - 0.04 * 13.3) <= factor * fit.plateau_u)
    assert len(hits) > 0.99 * 2000
    assert 0.93 < np.mean(hits) < 0.97


@pytest.mark.parametrize(
    ("y", "right", "side"),
    [
        (0.04 * X, "plateau", "right"),
        (np.minimum(0.04 * X, 0.9), "plateau", "right"),
        (np.minimum(0.04 * X, 0.15), "plateau", "left"),
        (np.full(8, 0.3), "plateau", "both"),
        (0.1 + 0.04 * X, "line", "both"),
        (np.abs(X - 22.5), "line", "right"),
        (np.abs(X - 4.5), "line", "left"),
    ],
)
def test_says_which_side_lacks_runs(
    y: FloatArray, right: Literal["plateau", "line"], side: str
) -> None:
    with pytest.raises(ChangeoverNotFound) as caught:
        fit_changeover(X, y, right=right)
    assert caught.value.side == side
    assert "Add runs" in str(caught.value)
    assert str(pickle.loads(pickle.dumps(caught.value))) == str(caught.value)
    if right == "plateau":
        assert not changeover_of_draws(X[np.newaxis], y[np.newaxis]).found[0]


def test_a_plateau_of_one_repeated_amount_counts_its_runs() -> None:
    x = np.array([1.0, 2.0, 3.0, 4.0, 6.0, 6.0])
    y = np.minimum(x, 5.0) + np.array([0.0, 0.01, -0.01, 0.0, 0.01, -0.01])
    assert 4.0 < fit_changeover(x, y).breakpoint < 6.0
    with pytest.raises(ChangeoverNotFound, match="on the right"):
        fit_changeover(x[:5], y[:5])


def test_refusals() -> None:
    with pytest.raises(OutOfRangeError, match="number of points = 3"):
        fit_changeover(X[:3], Y[:3])
    with pytest.raises(OutOfRangeError, match="number of points = 4"):
        fit_changeover(X[:4], Y[:4], right="line")
    with pytest.raises(OutOfRangeError, match="different x = 3"):
        fit_changeover(np.array([1.0, 1.0, 2.0, 3.0]), Y[:4])
