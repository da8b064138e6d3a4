"""The joint fit: time of one series and of a course.

Times are given by the clock and by the processor's own count, which a busy machine does not
stretch, and in units of one call of the forward model for 17 sets of unknowns, in the same run.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from statistics import median

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.full import reduce_full
from tarebook.reduction.joint.problem import joint_problem, predict
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.slopes import perturbed
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.results import SetAside
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLE = Path(__file__).parents[2] / "examples" / "clean-pool-granules" / "experiment.toml"
NONE = SetAside(unusable={}, doubtful={})
GROUPS = 250


def experiment() -> Experiment:
    return parse_definition(EXAMPLE.read_text(encoding="utf-8"))


def tables(n: int, seed: int) -> list[RunTable]:
    """Series of groups that share a definition and nothing else."""
    one = experiment()
    rng = np.random.Generator(np.random.SFC64(seed))
    found = []
    for _ in range(n):
        drawn = drawn_parameters(one, rng, 1)
        truth = Parameters(**{name: getattr(drawn, name)[0, 0] for name in NAMES})
        truth = truth.with_values(content=np.array(rng.uniform(0.8, 1.0)))
        found.append(simulate(one, truth, rng).table)
    return found


def processor_time(repeats: int, work: Callable[[], object]) -> float:
    """Return the median time on the processor, s."""
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return median(times)


def test_one_series(benchmark: BenchmarkFixture) -> None:
    """Fit, covariance and interval of eight runs: 40 different series, the median of them."""
    one, series = experiment(), tables(40, 1)
    times: list[tuple[float, float]] = []

    def fit(table: RunTable) -> None:
        start = time.perf_counter(), time.process_time()
        content_interval(solve(joint_problem(one, table, table.runs, ALL_EFFECTS)))
        times.append((time.perf_counter() - start[0], time.process_time() - start[1]))

    def fits() -> None:
        for table in series:
            fit(table)

    run = benchmark.pedantic
    run(fits, rounds=3, warmup_rounds=1)  # type: ignore[no-untyped-call] # half typed
    problem = joint_problem(one, series[0], series[0].runs, ALL_EFFECTS)
    sets = perturbed(problem, problem.start(), central=False)
    call = processor_time(50, lambda: predict(problem, sets))
    clock, processor = (median(column) for column in zip(*times, strict=True))
    benchmark.extra_info.update(median_ms=1e3 * clock, calls=processor / call)
    print(
        f"\nfit of 8 runs with covariance and interval: median {1e3 * clock:.1f} ms (aim 50), "
        f"{1e3 * processor:.1f} ms on the processor: {processor / call:.0f} calls of the model of "
        f"{1e3 * call:.2f} ms"
    )
    assert processor / call < 30


def test_everything_of_one_series(benchmark: BenchmarkFixture) -> None:
    """With waterfall, band and all that is shown."""
    one, (table,) = experiment(), tables(1, 2)
    run = benchmark.pedantic
    run(lambda: reduce_full(one, table, NONE, 0.88), rounds=7, warmup_rounds=1)  # type: ignore[no-untyped-call] # half typed
    assert benchmark.stats is not None
    clock = benchmark.stats.stats.median
    whole = processor_time(7, lambda: reduce_full(one, table, NONE, 0.88))
    plain = processor_time(7, lambda: reduce_full(one, table, NONE, 0.88, pictures=False))
    benchmark.extra_info.update(median_ms=1e3 * clock, ratio=whole / plain)
    print(
        f"\nfull reduction with waterfall and band: median {1e3 * clock:.0f} ms (aim 150), "
        f"{1e3 * whole:.0f} ms on the processor, {whole / plain:.1f} times the "
        f"{1e3 * plain:.0f} ms without them"
    )
    assert whole / plain < 12


def reduced(table: RunTable) -> float:
    """Return the content of one group; at the top of the module so that a process can find it."""
    found = reduce_full(experiment_of_this_process(), table, NONE, None, pictures=False)
    assert found.series is not None
    return found.series.sample_mass_fraction.value


_KEPT: dict[int, Experiment] = {}


def experiment_of_this_process() -> Experiment:
    return _KEPT.setdefault(os.getpid(), experiment())


def test_a_course(benchmark: BenchmarkFixture) -> None:
    """250 groups, on one process and on two."""
    series = tables(GROUPS, 3)
    start = time.perf_counter(), time.process_time()
    alone = [reduced(table) for table in series]
    one_core, processor = time.perf_counter() - start[0], time.process_time() - start[1]

    def together() -> list[float]:
        with ProcessPoolExecutor(2) as pool:
            return list(pool.map(reduced, series, chunksize=10))

    run = benchmark.pedantic
    found = run(together, rounds=1)  # type: ignore[no-untyped-call] # half typed
    assert benchmark.stats is not None
    two_cores = benchmark.stats.stats.min
    benchmark.extra_info.update(one_process_s=one_core, two_processes_s=two_cores)
    print(
        f"\n{GROUPS} groups: {two_cores:.1f} s on two processes (aim 10), {one_core:.1f} s on one "
        f"(ratio {one_core / two_cores:.2f}), {processor:.1f} s on the processor"
    )
    np.testing.assert_allclose(found, alone, rtol=1e-9)
