import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest_benchmark.fixture import BenchmarkFixture

from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.effects import Shape, draw
from tarebook.measurement.montecarlo import (
    IntervalKind,
    blocks,
    coverage_interval,
    numerical_tolerance,
    summary,
    unsteadiness,
)


def test_blocks_do_not_depend_on_threads() -> None:
    def work(part: tuple[np.random.Generator, int]) -> float:
        rng, size = part
        return float(draw(Shape.NORMAL, 1.0, rng, size).sum())

    alone = [work(part) for part in blocks(42, 50_000, block=8_000)]
    with ThreadPoolExecutor(2) as pool:
        together = list(pool.map(work, blocks(42, 50_000, block=8_000)))
    assert alone == together
    assert len(set(alone)) == 7
    assert sum(size for _, size in blocks(42, 50_000, block=8_000)) == 50_000


def test_a_longer_run_starts_with_the_shorter_one() -> None:
    short = [rng.random() for rng, _ in blocks(1, 200_000)]
    long = [rng.random() for rng, _ in blocks(1, 300_000)]
    assert long[:2] == short
    assert [rng.random() for rng, _ in blocks(2, 200_000)] != short


@pytest.mark.parametrize("arguments", [(-1, 10, 10), (1, 0, 10), (1, 10, 0)])
def test_a_run_needs_sense(arguments: tuple[int, int, int]) -> None:
    with pytest.raises(OutOfRangeError, match="Monte Carlo run"):
        list(blocks(*arguments))


@given(
    st.integers(20, 300),
    st.sampled_from([0.05, 0.3, 0.5, 0.68, 0.9, 0.95]),
    st.integers(0, 10**6),
)
def test_the_shortest_interval_is_the_shortest(n_draws: int, level: float, seed: int) -> None:
    samples = np.sort(np.random.Generator(np.random.SFC64(seed)).gamma(2.0, size=n_draws))
    inside = math.floor(level * n_draws + 0.5)
    low, high = coverage_interval(samples[::-1], level, "shortest")
    widths = [samples[r + inside] - samples[r] for r in range(n_draws - inside)]
    assert high - low == min(widths)
    first, last = coverage_interval(samples[::-1], level)
    assert ((samples >= first) & (samples <= last)).sum() == inside + 1
    left, right = (samples < first).sum(), (samples > last).sum()
    assert abs(int(left) - int(right)) <= 1
    assert high - low <= last - first


@pytest.mark.parametrize("kind", ["symmetric", "shortest"])
@pytest.mark.parametrize("axis", [0, 1, -1])
def test_trailing_axes_are_kept_apart(kind: IntervalKind, axis: int) -> None:
    rng = np.random.Generator(np.random.SFC64(9))
    samples = rng.normal(size=(400, 3, 2)) * np.arange(1, 7).reshape(3, 2)
    moved = np.moveaxis(samples, 0, axis)
    low, high = coverage_interval(moved, 0.9, kind, axis)
    assert low.shape == high.shape == (3, 2)
    alone = coverage_interval(samples[:, 2, 1], 0.9, kind)
    assert (low[2, 1], high[2, 1]) == alone


@pytest.mark.parametrize(
    ("n_draws", "level", "message"),
    [(100, 1.0, "0.95"), (100, math.nan, "0.95"), (5, 0.95, r"\[20, inf\)")],
)
def test_an_interval_needs_draws_and_sense(n_draws: int, level: float, message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        coverage_interval(np.arange(float(n_draws)), level)


def test_a_summary_says_how_to_run_it_again() -> None:
    rng = np.random.Generator(np.random.SFC64(4))
    samples = rng.normal(5.0, 2.0, (100_000, 2))
    result = summary(samples, seed=4, kind="shortest")
    assert (result.seed, result.draws, result.kind, result.level) == (4, 100_000, "shortest", 0.95)
    # five standard deviations of a mean and of a standard deviation
    np.testing.assert_allclose(result.mean, 5.0, rtol=0, atol=5 * 2 / math.sqrt(100_000))
    np.testing.assert_allclose(result.u, 2.0, rtol=0, atol=5 * 2 / math.sqrt(200_000))
    np.testing.assert_allclose(result.high - result.low, 2 * 1.96 * 2, rtol=0.02, atol=0)


def test_a_run_becomes_steady() -> None:
    means = np.array([rng.normal(1.0, 0.5, size).mean() for rng, size in blocks(6, 1_000_000)])
    # the mean of 10 blocks of 1e5 has a standard deviation of 0.0005
    assert 0.0003 < float(unsteadiness(means)) < 0.0025
    assert float(unsteadiness(means)) < float(numerical_tolerance(0.5))
    with pytest.raises(OutOfRangeError, match="number of blocks"):
        unsteadiness(means[:1])


@pytest.mark.parametrize(
    ("u", "digits", "tolerance"), [(0.0754, 2, 0.0005), (32.0, 1, 5.0), (9.99, 2, 0.05)]
)
def test_numerical_tolerance(u: float, digits: int, tolerance: float) -> None:
    assert float(numerical_tolerance(u, digits)) == pytest.approx(tolerance)


def test_no_tolerance_without_uncertainty() -> None:
    with pytest.raises(OutOfRangeError, match="standard uncertainty"):
        numerical_tolerance(np.array([0.1, 0.0]))


@pytest.mark.parametrize("shape", list(Shape))
def test_speed_of_drawing(benchmark: BenchmarkFixture, shape: Shape) -> None:
    rng = np.random.Generator(np.random.SFC64(1))
    benchmark(draw, shape, 2.0, rng, (100_000, 12))


@pytest.mark.parametrize("kind", ["symmetric", "shortest"])
def test_speed_of_intervals(benchmark: BenchmarkFixture, kind: IntervalKind) -> None:
    samples = np.random.Generator(np.random.SFC64(1)).normal(size=(100_000, 12))
    benchmark(coverage_interval, samples, 0.95, kind)
