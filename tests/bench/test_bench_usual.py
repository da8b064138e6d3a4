"""Speed of the usual sum, as ratios against references that run beside it.

The reference of the Monte Carlo is what numpy alone needs to draw the same random numbers: the same
generator, the same shapes, nothing done with them. All that the usual sum does with a number (add
it to a reading, fit two lines, sort 51 results for their intervals) may cost four times that.
"""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture
from uncertainties import ufloat

from tarebook.measurement.effects import Shape
from tarebook.measurement.montecarlo import blocks
from tarebook.records.readings import RunTable
from tarebook.records.sheet import parse_sheet
from tarebook.reduction.reading_errors import Target, error_sources
from tarebook.reduction.results import SetAside
from tarebook.reduction.row_axis import row_axis
from tarebook.reduction.usual_draws import BLOCK
from tarebook.reduction.usual_series import reduce_usual, usual_readings
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

POOL = Path(__file__).parents[1] / "snapshots" / "pool"
NOTHING = SetAside(unusable={}, doubtful={})
DRAWS = 1_000_000
MOST_RATIO = 5.0
MOST_BYTES = 2 * 1024**3


def load() -> tuple[Experiment, RunTable]:
    return (
        parse_definition((POOL / "experiment.toml").read_text(encoding="utf-8")),
        parse_sheet((POOL / "readings.csv").read_text(encoding="utf-8")),
    )


def seconds(*works: Callable[[], object], rounds: int) -> list[float]:
    """Return the least time of each piece of work, taken in turns after one round to warm up.

    Other work on the machine only adds to a time, and in turns it adds to all of them.
    """
    times: list[list[float]] = [[] for _ in works]
    for number in range(rounds + 1):
        for work, taken in zip(works, times, strict=True):
            begun = time.perf_counter()
            work()
            if number:
                taken.append(time.perf_counter() - begun)
    return [min(taken) for taken in times]


def draw_alone(experiment: Experiment, table: RunTable) -> None:
    """Draw the random numbers of the Monte Carlo and nothing else."""
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)
    n_runs = len(readings.runs)
    for rng, size in blocks(1, DRAWS, BLOCK):
        for source in sources:
            shape = (1 if source.shared else n_runs, size)
            if source.shape is Shape.NORMAL:
                rng.standard_normal(shape)
            else:
                rng.random(shape)
                if source.shape is Shape.TRIANGULAR:
                    rng.random(shape)
        rng.standard_normal(size)  # the label's claim


def test_a_million_draws(benchmark: BenchmarkFixture) -> None:
    experiment, table = load()

    def usual() -> object:
        return reduce_usual(experiment, table, NOTHING, seed=1, draws=DRAWS)

    benchmark.pedantic(usual, rounds=5, warmup_rounds=1)  # type: ignore[no-untyped-call]
    ours, numpy_alone = seconds(usual, lambda: draw_alone(experiment, table), rounds=7)
    ratio = ours / numpy_alone
    benchmark.extra_info["ratio to drawing alone"] = ratio
    print(
        f"\nusual sum, {DRAWS:,} draws of 8 runs: {ours:.2f} s; numpy draws the same numbers in "
        f"{numpy_alone:.2f} s; ratio {ratio:.2f} (at most {MOST_RATIO:g})"
    )
    assert ratio <= MOST_RATIO


def test_memory_of_a_million_draws(benchmark: BenchmarkFixture) -> None:
    """Arrays as numpy asks for them, at the most at one time."""
    experiment, table = load()

    def peak() -> int:
        tracemalloc.start()
        reduce_usual(experiment, table, NOTHING, seed=1, draws=DRAWS)
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return most

    most = benchmark.pedantic(peak, rounds=1)  # type: ignore[no-untyped-call]
    print(f"\nusual sum, {DRAWS:,} draws of 8 runs: at most {most / 1024**2:.0f} MiB at one time")
    assert most <= MOST_BYTES


def test_beside_linear_propagation_by_uncertainties(benchmark: BenchmarkFixture) -> None:
    """The same eight runs by a package that propagates to first order with correlations.

    It gives the u of amounts, losses and yields of a content that is given: no change-over, no
    interval that is not symmetric, no chance of either reactant limiting. So its time is printed
    for scale only; its figures are a check of ours.
    """
    experiment, table = load()
    readings, _ = usual_readings(table, NOTHING, row_axis(experiment))
    sources = error_sources(experiment, readings.volume, readings.counts)
    reaction = experiment.reaction

    def by_uncertainties() -> list[float]:
        shared = {s.target: ufloat(0.0, float(s.u[0])) for s in sources if s.shared}
        strength = experiment.reagent.concentration.value + shared[Target.CONCENTRATION]
        us = []
        for index in range(len(readings.runs)):
            own = {
                target: sum(
                    ufloat(0.0, float(s.u[index]))
                    for s in sources
                    if s.target is target and not s.shared
                )
                for target in (Target.VOLUME, Target.LIQUID, Target.SAMPLE, Target.FINAL)
            }
            volume = float(readings.volume[index]) * (1 + shared[Target.SCALE])
            acid = strength * (volume + own[Target.VOLUME])
            sample = float(readings.sample[index]) + own[Target.SAMPLE] + shared[Target.SAMPLE]
            lost = float(readings.liquid[index]) + own[Target.LIQUID] + sample
            lost = lost - float(readings.final[index]) - own[Target.FINAL] - shared[Target.FINAL]
            salt = sample * 0.95 / reaction.analyte_molar_mass.value
            limiting = acid if acid.nominal_value < salt.nominal_value else salt
            percent = 100 * lost / (limiting * reaction.gas_molar_mass.value)
            us += [acid.std_dev, lost.std_dev, percent.std_dev]
        return us

    us = benchmark.pedantic(  # type: ignore[no-untyped-call]
        by_uncertainties, rounds=20, warmup_rounds=2
    )
    linear, drawn = seconds(
        by_uncertainties,
        lambda: reduce_usual(experiment, table, NOTHING, seed=1, draws=100_000),
        rounds=10,
    )
    ratio = drawn / linear
    benchmark.extra_info["100,000 draws, in times of it"] = ratio
    print(
        f"\nlinear by uncertainties: {1000 * linear:.1f} ms; usual sum with 100,000 draws: "
        f"{1000 * drawn:.1f} ms; ratio {ratio:.1f}"
    )
    found = reduce_usual(experiment, table, NOTHING, seed=1, draws=100_000)
    widened = max(1.0, found.series.birge if found.series else 1.0)
    for run, (acid, lost, _) in zip(found.runs, np.reshape(us, (-1, 3)), strict=True):
        assert acid * 0.98 < run.reagent.u < acid * widened * 1.02
        assert lost * 0.98 < run.gas_found.u < lost * widened * 1.02
