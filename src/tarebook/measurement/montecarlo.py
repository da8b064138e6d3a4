"""Monte Carlo: reproducible blocks of draws and what is read off them."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError

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


def coverage_interval(samples: FloatArray, level: float = 0.95) -> tuple[FloatArray, FloatArray]:
    """Return the ends of a coverage interval that leaves out as much on both sides.

    Parameters
    ----------
    samples : ndarray, shape (draws, ...)
        Draws, at least one of which falls outside the interval.
    level : float, [1]
        Coverage probability, in (0, 1).

    Returns
    -------
    low, high : ndarray, shape of `samples` without the first axis
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
    runs = np.ascontiguousarray(np.moveaxis(np.asarray(samples, dtype=np.float64), 0, -1))
    n_draws = runs.shape[-1]
    inside = math.floor(level * n_draws + 0.5)
    outside = n_draws - inside
    if outside < 1 or inside < 1:
        least = math.ceil(1.0 / min(level, 1.0 - level))
        raise OutOfRangeError("number of draws", n_draws, "1", f"[{least}, inf)", "Draw more.")
    ordered = np.sort(runs, axis=-1)
    first = (outside + 1) // 2 - 1  # the standard counts draws from 1
    return ordered[..., first], ordered[..., first + inside]
