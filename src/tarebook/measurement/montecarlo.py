"""Monte Carlo: reproducible blocks of draws and what is read off them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

IntervalKind: TypeAlias = Literal["symmetric", "shortest"]

BLOCK = 100_000


def blocks(seed: int, draws: int, block: int = BLOCK) -> Iterator[tuple[np.random.Generator, int]]:
    """Yield a generator and a number of draws for each block.

    Parameters
    ----------
    seed : int
        Seed of the whole run, 0 or more.
    draws : int
        How many in all.
    block : int
        How many in a block; part of what makes a run reproducible.

    Yields
    ------
    tuple of Generator and int
        Blocks depend on seed and number alone, so any number of threads gives the same draws.

    Raises
    ------
    OutOfRangeError
        If `draws` or `block` is not positive or `seed` is negative.

    Examples
    --------
    >>> [size for _, size in blocks(1, 250_000)]
    [100000, 100000, 50000]
    """
    for name, value, least in (("seed", seed, 0), ("draws", draws, 1), ("block", block, 1)):
        if value < least:
            raise OutOfRangeError(f"{name} of the Monte Carlo run", value, "1", f"[{least}, inf)")
    for number in range(math.ceil(draws / block)):
        chance = np.random.SFC64(np.random.SeedSequence(seed, spawn_key=(number,)))
        yield np.random.Generator(chance), min(block, draws - number * block)


def coverage_interval(
    samples: FloatArray, level: float = 0.95, kind: IntervalKind = "symmetric", axis: int = 0
) -> tuple[FloatArray, FloatArray]:
    """Return the ends of a coverage interval.

    Parameters
    ----------
    samples : ndarray, any shape
        Draws along `axis`, at least one of which falls outside the interval.
    level : float, [1]
        Coverage probability, in (0, 1).
    kind : {"symmetric", "shortest"}
        The same probability left out on both sides, or the shortest interval.
    axis : int
        Axis of the draws.

    Returns
    -------
    low, high : ndarray, shape of `samples` without `axis`
        Two of the draws.

    Raises
    ------
    OutOfRangeError
        If `level` is outside (0, 1) or there are too few draws for it.

    References
    ----------
    .. [1] JCGM 101:2008, 7.7.

    Examples
    --------
    >>> low, high = coverage_interval(np.arange(1000.0))
    >>> float(low), float(high)
    (24.0, 974.0)
    """
    if not 0 < level < 1:
        raise OutOfRangeError("coverage probability", level, "1", "(0, 1)", "Write 95 % as 0.95.")
    # Draws side by side in memory: a whole sort then beats a partition (measured, vector units).
    runs = np.ascontiguousarray(np.moveaxis(np.asarray(samples, dtype=np.float64), axis, -1))
    n_draws = runs.shape[-1]
    inside = math.floor(level * n_draws + 0.5)
    outside = n_draws - inside
    if outside < 1 or inside < 1:
        least = math.ceil(1.0 / min(level, 1.0 - level))
        raise OutOfRangeError("number of draws", n_draws, "1", f"[{least}, inf)", "Draw more.")
    ordered = np.sort(runs, axis=-1)
    if kind == "symmetric":
        first = (outside + 1) // 2 - 1  # the standard counts draws from 1
        return ordered[..., first], ordered[..., first + inside]
    lows, highs = ordered[..., :outside], ordered[..., inside:]
    best = np.argmin(highs - lows, axis=-1)[..., None]
    low = np.take_along_axis(lows, best, axis=-1)[..., 0]
    high = np.take_along_axis(highs, best, axis=-1)[..., 0]
    return low, high


@dataclass(frozen=True, slots=True, kw_only=True)
class MonteCarloResult:
    """What is read off a Monte Carlo run, and what it takes to run it again.

    Attributes
    ----------
    mean, u : ndarray
        Mean and standard deviation of the draws.
    low, high : ndarray
        Ends of the coverage interval.
    level : float, [1]
        Its coverage probability.
    kind : {"symmetric", "shortest"}
        Which interval.
    draws : int
        Number of draws.
    seed : int
        Seed of the run.
    """

    mean: FloatArray
    u: FloatArray
    low: FloatArray
    high: FloatArray
    level: float
    kind: IntervalKind
    draws: int
    seed: int


def summary(
    samples: FloatArray,
    *,
    seed: int,
    level: float = 0.95,
    kind: IntervalKind = "symmetric",
) -> MonteCarloResult:
    """Return mean, standard uncertainty and coverage interval of draws.

    Parameters
    ----------
    samples : ndarray, shape (draws, ...)
        Draws along the first axis.
    seed : int
        Seed they were made with.
    level : float, [1]
        Coverage probability.
    kind : {"symmetric", "shortest"}
        Which interval.

    Returns
    -------
    MonteCarloResult
        Arrays have the shape of `samples` without the first axis.

    Raises
    ------
    OutOfRangeError
        If there are too few draws for `level`.
    """
    low, high = coverage_interval(samples, level, kind)
    return MonteCarloResult(
        mean=np.asarray(samples.mean(axis=0)),
        u=np.asarray(samples.std(axis=0, ddof=1)),
        low=low,
        high=high,
        level=level,
        kind=kind,
        draws=samples.shape[0],
        seed=seed,
    )


def numerical_tolerance(u: FloatArray | float, digits: int = 2) -> FloatArray:
    """Return half a unit of the last digit that is worth printing of an uncertainty.

    Parameters
    ----------
    u : ndarray, any shape
        Standard uncertainties, positive.
    digits : int
        Significant digits worth printing.

    Returns
    -------
    ndarray, shape of `u`
        Numerical tolerance, in the unit of `u`.

    Raises
    ------
    OutOfRangeError
        If a `u` is not positive.

    References
    ----------
    .. [1] JCGM 101:2008, 7.9.2.

    Examples
    --------
    >>> float(numerical_tolerance(0.0754))
    0.0005
    """
    values = np.asarray(u, dtype=np.float64)
    if not (values > 0).all():
        worst = float(values[~(values > 0)].flat[0])
        raise OutOfRangeError("standard uncertainty", worst, "1", "(0, inf)")
    exponent = np.floor(np.log10(values)) - (digits - 1)
    tolerance: FloatArray = 0.5 * 10.0**exponent
    return tolerance


def unsteadiness(block_values: FloatArray) -> FloatArray:
    """Return how far the mean of blocks may still move: twice its standard deviation.

    Parameters
    ----------
    block_values : ndarray, shape (h, ...)
        One number from each block: its mean, u, or an end of its interval.

    Returns
    -------
    ndarray, shape of `block_values` without the first axis
        A run is steady when this is below `numerical_tolerance` for all four numbers.

    Raises
    ------
    OutOfRangeError
        If there are fewer than two blocks.

    References
    ----------
    .. [1] JCGM 101:2008, 7.9.4.
    """
    values = np.asarray(block_values, dtype=np.float64)
    n_blocks = values.shape[0]
    if n_blocks < 2:
        raise OutOfRangeError("number of blocks", n_blocks, "1", "[2, inf)", "Draw more.")
    twice: FloatArray = 2.0 * values.std(axis=0, ddof=1) / math.sqrt(n_blocks)
    return twice
