import math
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest_benchmark.fixture import BenchmarkFixture

from tarebook.core.errors import OutOfRangeError
from tarebook.measurement.effects import Shape, draw
from tarebook.measurement.montecarlo import blocks, coverage_interval


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


@pytest.mark.parametrize(("arguments", "sizes"), [((0, 1, 10), [1]), ((1, 3, 1), [1, 1, 1])])
def test_the_smallest_run_that_has_sense(arguments: tuple[int, int, int], sizes: list[int]) -> None:
    assert [size for _, size in blocks(*arguments)] == sizes


@pytest.mark.parametrize("arguments", [(-1, 10, 10), (1, 0, 10), (1, 10, 0)])
def test_a_run_needs_sense(arguments: tuple[int, int, int]) -> None:
    with pytest.raises(OutOfRangeError, match="Monte Carlo run"):
        list(blocks(*arguments))


@given(
    st.integers(20, 300),
    st.sampled_from([0.05, 0.3, 0.5, 0.68, 0.9, 0.95]),
    st.integers(0, 10**6),
)
def test_as_many_draws_are_left_out_on_both_sides(n_draws: int, level: float, seed: int) -> None:
    samples = np.sort(np.random.Generator(np.random.SFC64(seed)).gamma(2.0, size=n_draws))
    inside = math.floor(level * n_draws + 0.5)
    first, last = coverage_interval(samples[::-1], level)
    assert ((samples >= first) & (samples <= last)).sum() == inside + 1
    left, right = (samples < first).sum(), (samples > last).sum()
    assert abs(int(left) - int(right)) <= 1


def test_trailing_axes_are_kept_apart() -> None:
    rng = np.random.Generator(np.random.SFC64(9))
    samples = rng.normal(size=(400, 3, 2)) * np.arange(1, 7).reshape(3, 2)
    low, high = coverage_interval(samples, 0.9)
    assert low.shape == high.shape == (3, 2)
    alone = coverage_interval(samples[:, 2, 1], 0.9)
    assert (low[2, 1], high[2, 1]) == alone


@pytest.mark.parametrize(
    ("n_draws", "level", "message"),
    [(100, 1.0, "0.95"), (100, math.nan, "0.95"), (5, 0.95, r"\[20, inf\)")],
)
def test_an_interval_needs_draws_and_sense(n_draws: int, level: float, message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        coverage_interval(np.arange(float(n_draws)), level)


@pytest.mark.parametrize("shape", list(Shape))
def test_speed_of_drawing(benchmark: BenchmarkFixture, shape: Shape) -> None:
    rng = np.random.Generator(np.random.SFC64(1))
    benchmark(draw, shape, 2.0, rng, (100_000, 12))


def test_speed_of_intervals(benchmark: BenchmarkFixture) -> None:
    samples = np.random.Generator(np.random.SFC64(1)).normal(size=(100_000, 12))
    benchmark(coverage_interval, samples, 0.95)
