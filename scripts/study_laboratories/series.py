"""One series of a laboratory: made, reduced as a user's is, held against the truth."""

from __future__ import annotations

import time
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np
from scripts.study_laboratories.laboratory import Laboratory
from scripts.study_laboratories.physics import PHYSICS

from tarebook.api.reduce_series import FEWEST_DRAWS, reduce_table
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.findings.finding import Finding, Severity

FAILED = "reduce-failed"
"""Counts as a stop: an error in place of an outcome."""

BLOCK = 10
"""Series that a worker makes at a time."""


@dataclass(frozen=True, slots=True)
class One:
    """What came of one clean series.

    Attributes
    ----------
    number : int
    content : float, [g/g]
        The truth.
    found, u, low, high : float, [g/g]
        Of what is printed as the answer, by the full model wherever that has one; nan where none
        is.
    usual : float, [g/g]
        By the textbook calculation; nan where it states none.
    why_none : str
        Why the full model states none.
    stops, looks : tuple of str
        Codes of the findings of these severities.
    seconds : float
    """

    number: int
    content: float
    found: float
    u: float
    low: float
    high: float
    usual: float
    why_none: str
    stops: tuple[str, ...]
    looks: tuple[str, ...]
    seconds: float

    @property
    def has_result(self) -> bool:
        """Whether a content is stated."""
        return not np.isnan(self.found)

    @property
    def holds(self) -> bool:
        """Whether the 95 % interval holds the truth."""
        return self.low <= self.content <= self.high


def generator(laboratory: Laboratory, seed: int, number: int) -> np.random.Generator:
    """Return the generator of a series: the same for one name, seed and number."""
    letters = list(laboratory.name.encode())
    stream = np.random.SeedSequence(seed, spawn_key=(*letters, number))
    return np.random.Generator(np.random.SFC64(stream))


def one_series(laboratory: Laboratory, physics: str, seed: int, number: int) -> One:
    """Return what comes of one series.

    Parameters
    ----------
    laboratory : Laboratory
    physics : str
        One of `PHYSICS`.
    seed, number : int
    """
    rng = generator(laboratory, seed, number)
    try:
        truth, made = PHYSICS[physics].series(laboratory, rng)
    except OutOfRangeError as error:
        return _nothing(number, f"not made: {error}")
    start = time.perf_counter()
    try:
        outcome = reduce_table(
            laboratory.experiment,
            made.table,
            seed=seed,
            draws=FEWEST_DRAWS,
            made_on="",
            pictures=False,
        )
    except TarebookError as error:
        return _nothing(number, f"reduce failed: {error}", FAILED)
    seconds = time.perf_counter() - start
    usual = outcome.usual.series
    content = outcome.series.sample_mass_fraction if outcome.series else None
    why = outcome.full.no_series_because
    return One(
        number=number,
        content=float(truth.content),
        found=content.value if content else np.nan,
        u=content.u if content else np.nan,
        low=content.low if content else np.nan,
        high=content.high if content else np.nan,
        usual=usual.sample_mass_fraction.value if usual else np.nan,
        why_none=why.key if why else "",
        stops=_codes(outcome.findings, Severity.STOP),
        looks=_codes(outcome.findings, Severity.LOOK),
        seconds=seconds,
    )


def _nothing(number: int, why: str, *stops: str) -> One:
    """Return what is to be said of a series that could not even be made, or reduced."""
    return One(
        number=number,
        content=np.nan,
        found=np.nan,
        u=np.nan,
        low=np.nan,
        high=np.nan,
        usual=np.nan,
        why_none=why,
        stops=stops,
        looks=(),
        seconds=0.0,
    )


def many(
    laboratory: Laboratory, physics: str, seed: int, numbers: Iterable[int], processes: int
) -> list[One]:
    """Return what comes of many series."""
    work = partial(one_series, laboratory, physics, seed)
    if processes > 1:
        with ProcessPoolExecutor(processes) as pool:
            return list(pool.map(work, numbers, chunksize=BLOCK))
    return [work(number) for number in numbers]


def _codes(findings: Iterable[Finding], severity: Severity) -> tuple[str, ...]:
    return tuple(dict.fromkeys(f.code for f in findings if f.severity is severity))
