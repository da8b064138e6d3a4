"""The lesson as wished for, and the balances or the stagger that would mend it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.tables import reference_table
from tarebook.planning.prepare.bench_time import BenchTime, Pace, bench_time, pace
from tarebook.series.experiment import Experiment

SEARCH_REPLICATES = 8
MOST_BALANCES = 40
STAGGERS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0)
"""Minutes between the starts of two groups that are tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchPlan:
    """The lesson as wished for, and what would help.

    Attributes
    ----------
    as_wished : BenchTime
    fits : bool
        Whether nobody waits long and nine lessons in ten end in time.
    lesson : float, [min]
    more_balances : BenchTime or None
        With the fewest balances that make it fit; None if it fits or none do.
    stagger : BenchTime or None
        With the shortest stagger of the starts after which nobody waits long, if there is one with
        which nine lessons in ten still end in time.
    least_end : float, [min]
        When a lesson ends in which nobody waits for a balance.
    wait_limit : float, [min]
    pace : Pace
    """

    as_wished: BenchTime
    fits: bool
    lesson: float
    more_balances: BenchTime | None
    stagger: BenchTime | None
    least_end: float
    wait_limit: float
    pace: Pace


def bench_plan(
    experiment: Experiment, groups: int, balances: int, rng: np.random.Generator
) -> BenchPlan:
    """Return what the lesson will be like, and the number of balances or the stagger that helps.

    Parameters
    ----------
    experiment : Experiment
    groups, balances : int
    rng : numpy.random.Generator
    """
    limit = float(reference_table("tarebook.planning", "bench")["queue"]["wait_minutes"])
    lesson = experiment.preparation.lesson_minutes
    wished = bench_time(experiment, groups, balances, rng)
    alone = bench_time(experiment, 1, 1, rng)

    def few_wait(time: BenchTime) -> bool:
        return time.long_wait <= limit

    fits = few_wait(wished) and wished.late_end <= lesson
    more = shifted = None
    if not few_wait(wished):
        more = _fewest_balances(experiment, groups, balances, rng, limit)
        for stagger in STAGGERS:
            tried = bench_time(
                experiment, groups, balances, rng, stagger=stagger, replicates=SEARCH_REPLICATES
            )
            if few_wait(tried) or tried.late_end > lesson:
                # Longer ones only end later still.
                shifted = tried if tried.late_end <= lesson else None
                break
    return BenchPlan(
        as_wished=wished,
        fits=fits,
        lesson=lesson,
        more_balances=more,
        stagger=shifted,
        least_end=alone.end,
        wait_limit=limit,
        pace=pace(experiment),
    )


def _fewest_balances(
    experiment: Experiment, groups: int, balances: int, rng: np.random.Generator, limit: float
) -> BenchTime | None:
    """Return the lesson with the fewest balances at which waits stay short, by bisection."""
    low, high = balances, min(groups, MOST_BALANCES)
    best = None
    while high > low:
        middle = (low + high) // 2 if high - low > 1 else high
        tried = bench_time(experiment, groups, middle, rng, replicates=SEARCH_REPLICATES)
        if tried.long_wait <= limit:
            best, high = tried, middle
            if middle == low + 1:
                break
        elif middle == high:
            break
        else:
            low = middle
    return best
