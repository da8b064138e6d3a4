"""How long slips take: one new reading at the bench, and a whole class."""

from __future__ import annotations

import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tarebook.diagnosis.slips.check import check_slips
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[2] / "examples"
GROUPS, CLASS_SECONDS, READING_SECONDS = 250, 20.0, 0.1


def example(name: str) -> tuple[Experiment, RunTable]:
    folder = EXAMPLES / name
    experiment = parse_definition((folder / "experiment.toml").read_text(encoding="utf-8"))
    return experiment, parse_sheet((folder / "readings.csv").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["clean-pool-granules", "messy-pool-granules"])
def test_one_new_reading(benchmark: BenchmarkFixture, name: str) -> None:
    """The series as it stands when its last run but one gets its second reading."""
    experiment, table = example(name)
    last_two = set(table.runs[-2:])
    so_far = RunTable(
        runs=table.runs,
        readings=tuple(
            r for i, r in enumerate(table.readings) if r.run not in last_two or i % 6 < 2
        ),
    )
    run = benchmark.pedantic
    run(check_slips, args=(experiment, so_far), rounds=15, warmup_rounds=2)  # type: ignore[no-untyped-call] # has no types
    assert benchmark.stats is not None
    assert benchmark.stats.stats.median < READING_SECONDS


def _group(seed: int) -> int:
    experiment, messy = example("messy-pool-granules")
    if seed % 5 == 0:
        return len(check_slips(experiment, messy))
    rng = np.random.Generator(np.random.SFC64(seed))
    return len(
        check_slips(experiment, simulate(experiment, central_parameters(experiment), rng).table)
    )


def test_a_class(benchmark: BenchmarkFixture) -> None:
    """250 groups on two cores; every fifth has the messy example's slips."""

    def whole_class() -> float:
        begun = time.perf_counter()
        with ProcessPoolExecutor(2) as pool:
            found = sum(pool.map(_group, range(GROUPS), chunksize=10))
        assert found >= 2 * GROUPS / 5
        return time.perf_counter() - begun

    run = benchmark.pedantic
    seconds = run(whole_class, rounds=1)  # type: ignore[no-untyped-call] # has no types
    assert seconds < CLASS_SECONDS
