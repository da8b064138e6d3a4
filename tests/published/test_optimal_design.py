"""The exchange against designs that are known in closed form."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from tarebook.core.arrays import FloatArray
from tarebook.planning.exchange import exchange

FROM_LIBRARY_MANUAL = (
    "D. Rasch, J. Pilz, L. R. Verdooren, A. Gebhardt, Optimal Experimental Design with R, Chapman "
    "and Hall 2011, as the manual of the R package OPDOE carries it: the D-optimal design for a "
    "polynomial of degree k on [-1, 1] has its k + 1 points at the roots of (1 - x^2) P_k'(x), the "
    "runs spread equally; basis: secondary"
)


def designed(
    rows: FloatArray, x: FloatArray, n_runs: int, goal: FloatArray | None = None
) -> Counter[float]:
    """Return how often each candidate is taken, from a few random starts."""
    rng = np.random.Generator(np.random.SFC64(1))
    starts = rng.integers(0, len(x), (10, n_runs))
    found = exchange(
        rows[None, :, None, :],
        np.zeros((rows.shape[1], rows.shape[1])),
        np.ones((n_runs, len(x)), dtype=np.bool_),
        None if goal is None else goal[None],
        starts,
    )
    return Counter(round(float(x[place]), 9) for place in found.chosen)


@pytest.mark.published(FROM_LIBRARY_MANUAL)
@pytest.mark.parametrize("n_runs", [2, 4, 10])
def test_straight_line_has_half_its_runs_at_each_end(n_runs: int) -> None:
    x = np.linspace(-1.0, 1.0, 81)
    assert designed(np.stack([np.ones(81), x], axis=1), x, n_runs) == {
        -1.0: n_runs // 2,
        1.0: n_runs // 2,
    }


@pytest.mark.published(FROM_LIBRARY_MANUAL)
@pytest.mark.parametrize("n_runs", [3, 9, 12])
def test_parabola_has_a_third_at_each_end_and_in_the_middle(n_runs: int) -> None:
    x = np.linspace(-1.0, 1.0, 81)
    rows = np.stack([np.ones(81), x, x**2], axis=1)
    assert designed(rows, x, n_runs) == dict.fromkeys((-1.0, 0.0, 1.0), n_runs // 3)


@pytest.mark.published(FROM_LIBRARY_MANUAL)
def test_cubic_has_its_inner_points_at_the_roots_of_the_legendre_derivative() -> None:
    x = np.linspace(-1.0, 1.0, 2001)
    rows = np.stack([x**power for power in range(4)], axis=1)
    found = sorted(designed(rows, x, 8).items())
    inner = 1.0 / np.sqrt(5.0)
    np.testing.assert_allclose(
        [at for at, _ in found], [-1.0, -inner, inner, 1.0], rtol=0, atol=0.0005
    )  # half the distance of two candidates
    assert [times for _, times in found] == [2, 2, 2, 2]


@pytest.mark.published(
    "R. G. Duggleby, J. Theor. Biol. 81 (1979) 671-684, and A. C. Atkinson, A. N. Donev, Optimum "
    "Experimental Designs, Oxford 1992: locally D-optimal for v = V x / (K + x) up to x_max are "
    "x_max and K x_max / (2 K + x_max), half the runs each; basis: secondary, as quoted in an "
    "example of a general design library"
)
@pytest.mark.parametrize(("constant", "most"), [(1.0, 5.0), (2.0, 10.0), (4.0, 3.0)])
def test_michaelis_menten_has_two_points(constant: float, most: float) -> None:
    x = np.linspace(most / 2000.0, most, 2000)
    rows = np.stack([x / (constant + x), -x / (constant + x) ** 2], axis=1)
    found = sorted(designed(rows, x, 6).items())
    expected = [constant * most / (2.0 * constant + most), most]
    half_a_candidate = most / 4000.0
    np.testing.assert_allclose([at for at, _ in found], expected, rtol=0, atol=half_a_candidate)
    assert [times for _, times in found] == [3, 3]


@pytest.mark.published(
    "J. Kiefer, J. Wolfowitz, Ann. Math. Stat. 30 (1959) 271-294: for the highest coefficient of a "
    "polynomial of degree m the best points are the extremes of the Chebyshev polynomial, the ends "
    "with weight 1/(2 m) and the others with 1/m; basis: memory"
)
def test_curvature_of_a_parabola_wants_half_of_the_runs_in_the_middle() -> None:
    x = np.linspace(-1.0, 1.0, 81)
    rows = np.stack([np.ones(81), x, x**2], axis=1)
    found = designed(rows, x, 12, goal=np.array([0.0, 0.0, 1.0]))
    assert found == {-1.0: 3, 0.0: 6, 1.0: 3}


def test_two_lines_that_meet_have_three_points() -> None:
    """Derived: y = a + b min(x, c) has gradient (1, x, 0) below c and (1, c, b) above.

    With as many points as parameters the determinant is a product of the squared determinant and
    the weights, so a third of the runs go to each. det = x_2 - x_1 for two points below c and one
    above (times b): the largest is had with the lowest x and the last candidate below c. Any point
    above c does.
    """
    start, slope, corner = 0.1, 0.4, 0.55
    x = np.linspace(0.0, 1.0, 21)  # 0.5 is the last candidate below the corner, 0.55 is left out
    x = x[np.abs(x - corner) > 1e-9]
    below = x < corner
    rows = np.stack([np.ones(20), np.minimum(x, corner), np.where(below, 0.0, slope)], axis=1)
    assert start + slope * corner == pytest.approx(float(rows[-1] @ [start, slope, 0.0]))
    found = designed(rows, x, 9)
    assert found[0.0] == 3
    assert found[0.5] == 3
    assert sum(times for at, times in found.items() if at > corner) == 3
