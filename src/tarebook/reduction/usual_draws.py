"""The usual sum of a series, drawn many times: the samples that every reported number comes from.

Only what is drawn is kept (three arrays of runs x draws and a few of draws); amounts, yields and
their intervals are worked out of it run by run. Blocks of draws and runs are shared among threads;
a block depends on seed and number alone, so the result does not depend on the threads.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from copy import deepcopy
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.measurement.montecarlo import blocks, coverage_interval
from tarebook.reduction.reading_errors import ErrorSource, Shifts, drawn_shifts
from tarebook.reduction.results import RunAmounts, expects_gas
from tarebook.reduction.usual import (
    NO_SHIFTS,
    UsualLine,
    UsualReadings,
    UsualRun,
    usual_amounts,
    usual_lines,
    usual_run,
)
from tarebook.series.experiment import Experiment

BLOCK = 8192
"""Draws at a time: the arrays of a block then stay in the processor's cache."""

FEW_RUNS = 32
"""Of longer rows fewer draws are made at a time, so that a block is no larger."""

THREADS = 2

PILOT = 8192
"""Draws that say about where the ends of an interval lie."""

Item = TypeVar("Item")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeriesModel:
    """What one repetition of the series is computed from.

    Attributes
    ----------
    experiment : Experiment
    readings : UsualReadings
        n runs.
    in_fit : ndarray of bool, shape (n,)
        Runs that the two lines use.
    weights : ndarray, shape (number in the fit,), or None
        Of the runs in the fit; None where the row shows no change-over.
    sources : tuple of ErrorSource
        Of the readings.
    line_sources : tuple of ErrorSource
        The same, and what the lines may err by beside them.
    own_scale : float, [1]
        Factor on the errors that are own to each run, for the two lines: they scatter so much more
        than the instruments explain. A single reading is as sure as its instrument makes it.
    """

    experiment: Experiment
    readings: UsualReadings
    in_fit: BoolArray
    weights: FloatArray | None
    sources: tuple[ErrorSource, ...]
    line_sources: tuple[ErrorSource, ...]
    own_scale: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeriesDraws:
    """Repetitions of a series, d of them.

    Attributes
    ----------
    reagent : ndarray, shape (n, d), [mol]
    gas, sample : ndarray, shape (n, d), [g]
    claimed : ndarray, shape (d,), [g/g]
        Content that the label claims, with its error; 1 where it claims nothing.
    own_acid : ndarray, shape (d,), [mol/g]
    lines : UsualLine or None
        None where the row shows no change-over.
    """

    reagent: FloatArray
    gas: FloatArray
    sample: FloatArray
    claimed: FloatArray
    own_acid: FloatArray
    lines: UsualLine | None

    @property
    def content(self) -> FloatArray:
        """Content with which the sample's amounts are computed: found if it can be."""
        return self.claimed if self.lines is None else self.lines.content

    @property
    def kept(self) -> BoolArray | None:
        """The draws that mean something; None if all do."""
        if self.lines is None or bool(self.lines.found.all()):
            return None
        return self.lines.found


def best_series(model: SeriesModel) -> SeriesDraws:
    """Return the series as read, without errors, as a single draw."""
    return _repeated(model, NO_SHIFTS, NO_SHIFTS, np.zeros(1))


def drawn_series(model: SeriesModel, seed: int, draws: int) -> SeriesDraws:
    """Return repetitions of a series, each with errors of its own.

    Parameters
    ----------
    model : SeriesModel
    seed : int
    draws : int
    """
    n_runs = len(model.readings.runs)
    runs = np.empty((3, n_runs, draws))
    row = np.empty((5, draws))
    found = np.ones(draws, dtype=np.bool_)

    def fill(block: tuple[int, np.random.Generator, int]) -> None:
        start, rng, size = block
        again = deepcopy(rng)
        shifts = drawn_shifts(model.sources, rng, n_runs, size)
        of_lines = shifts
        if model.own_scale != 1.0 or len(model.line_sources) > len(model.sources):
            # The same errors, as much larger as the row scatters about its lines.
            of_lines = drawn_shifts(model.line_sources, again, n_runs, size, model.own_scale)
        part = _repeated(model, shifts, of_lines, rng.standard_normal(size))
        at = slice(start, start + size)
        runs[0, :, at], runs[1, :, at], runs[2, :, at] = part.reagent, part.gas, part.sample
        row[0, at], row[4, at] = part.claimed, part.own_acid
        if part.lines is not None:
            row[1, at], row[2, at] = part.lines.content, part.lines.meets_at
            row[3, at], found[at] = part.lines.content_from_equivalence, part.lines.found

    at_a_time = max(BLOCK * FEW_RUNS // max(n_runs, FEW_RUNS), 1)
    starts = range(0, draws, at_a_time)
    numbered = zip(starts, blocks(seed, draws, at_a_time), strict=True)
    in_threads(fill, [(start, rng, size) for start, (rng, size) in numbered])
    lines = UsualLine(content=row[1], meets_at=row[2], content_from_equivalence=row[3], found=found)
    return SeriesDraws(
        reagent=runs[0],
        gas=runs[1],
        sample=runs[2],
        claimed=row[0],
        own_acid=row[4],
        lines=None if model.weights is None else lines,
    )


def _repeated(
    model: SeriesModel, shifts: Shifts, of_lines: Shifts, claim_noise: FloatArray
) -> SeriesDraws:
    amounts = usual_amounts(model.experiment, model.readings, shifts)
    lines = None
    if model.weights is not None:
        scattered = amounts
        if of_lines is not shifts:
            scattered = usual_amounts(model.experiment, model.readings, of_lines)
        lines = usual_lines(model.experiment, scattered.only(model.in_fit), model.weights)
    claimed = model.experiment.sample.claimed_mass_fraction
    return SeriesDraws(
        reagent=amounts.reagent,
        gas=amounts.gas,
        sample=amounts.sample,
        claimed=(
            np.ones(claim_noise.shape)
            if claimed is None
            else claimed.value + claimed.u * claim_noise
        ),
        own_acid=amounts.own_acid[0],
        lines=lines,
    )


def in_threads(work: Callable[[Item], Result], items: Iterable[Item]) -> list[Result]:
    """Return the results of independent work in the order of the items."""
    listed = list(items)
    if len(listed) < 2:
        return [work(item) for item in listed]
    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(work, listed))


def estimate(
    best: float | FloatArray, drawn: FloatArray, kept: BoolArray | None, unit: str
) -> Estimate:
    """Return value, u and 95 % interval of one number.

    Parameters
    ----------
    best : float
        Without errors.
    drawn : ndarray, shape (d,)
    kept : ndarray of bool, shape (d,), or None
        Draws that mean something; None if all do.
    unit : str
    """
    samples = drawn if kept is None else drawn[kept]
    low, high = interval_of_many(samples)
    return Estimate(
        value=float(best),
        u=_standard_deviation(samples),
        low=float(low),
        high=float(high),
        unit=unit,
    )


def _standard_deviation(samples: FloatArray) -> float:
    """Return the same as `numpy.std` with one degree of freedom less, in fewer passes."""
    from_mean = samples - samples.mean()
    squares = float(np.einsum("i,i->", from_mean, from_mean))
    return math.sqrt(squares / (samples.size - 1))


def interval_of_many(samples: FloatArray) -> tuple[float, float]:
    """Return what `coverage_interval` returns, the same two draws, without sorting all of them.

    The first draws say about where both ends lie; only what is beyond them is looked through.

    Parameters
    ----------
    samples : ndarray, shape (d,)

    Examples
    --------
    >>> samples = np.sin(np.arange(100_000.0))
    >>> interval_of_many(samples) == tuple(map(float, coverage_interval(samples)))
    True
    """
    n, pilot = samples.size, np.sort(samples[:PILOT])
    outside = n - math.floor(0.95 * n + 0.5)
    below, above = (outside + 1) // 2 - 1, outside // 2
    share = (below + 1) / n
    # Six standard deviations of a count further in: the end is hardly ever missed.
    far_in = int(share * PILOT + 6.0 * math.sqrt(share * PILOT)) + 1
    if n >= 4 * PILOT and 2 * far_in < PILOT:
        low = samples[samples <= pilot[far_in]]
        high = samples[samples >= pilot[-1 - far_in]]
        if low.size > below and high.size > above:
            return float(np.partition(low, below)[below]), float(
                np.partition(high, high.size - 1 - above)[high.size - 1 - above]
            )
    whole_low, whole_high = coverage_interval(samples)
    return float(whole_low), float(whole_high)


def run_amounts(
    model: SeriesModel,
    best: SeriesDraws,
    drawn: SeriesDraws,
    index: int,
    why_not_in_fit: Phrase | None,
) -> RunAmounts:
    """Return what is reported of one run.

    Parameters
    ----------
    model : SeriesModel
    best, drawn : SeriesDraws
    index : int
        Of the run.
    why_not_in_fit : Phrase or None
    """
    kept = drawn.kept

    def of(value: FloatArray, samples: FloatArray, unit: str) -> Estimate:
        return estimate(value[0], samples, kept, unit)

    one = _of_run(model, best, index, best.content)
    many = _of_run(model, drawn, index, drawn.content)
    limits = many.reagent_limits
    p_reagent = float(limits.mean() if kept is None else limits[kept].mean())

    def yields(one: UsualRun, many: UsualRun) -> Estimate | None:
        # A cup that may have no gas to expect has no yield that means anything.
        of_kept = many.gas_expected if kept is None else many.gas_expected[kept]
        gas = of(one.gas_expected, many.gas_expected, "g")
        if not (expects_gas(gas) and np.all(of_kept > 0)):
            return None
        return of(one.yield_percent, many.yield_percent, "%")

    of_claim = None
    if model.experiment.sample.claimed_mass_fraction is not None:
        of_claim = yields(
            _of_run(model, best, index, best.claimed), _of_run(model, drawn, index, drawn.claimed)
        )
    return RunAmounts(
        run=model.readings.runs[index],
        reagent=of(best.reagent[index], drawn.reagent[index], "mol"),
        sample=of(one.analyte, many.analyte, "mol"),
        limiting="reagent" if p_reagent > 0.5 else "sample",
        p_reagent_limiting=p_reagent,
        gas_found=of(best.gas[index], drawn.gas[index], "g"),
        gas_expected=of(one.gas_expected, many.gas_expected, "g"),
        yield_percent=yields(one, many),
        yield_of_claim_percent=of_claim,
        not_in_fit=why_not_in_fit,
    )


def _of_run(model: SeriesModel, series: SeriesDraws, index: int, content: FloatArray) -> UsualRun:
    return usual_run(
        model.experiment,
        reagent=series.reagent[index],
        sample=series.sample[index],
        gas=series.gas[index],
        content=content,
        own_acid=series.own_acid,
    )
