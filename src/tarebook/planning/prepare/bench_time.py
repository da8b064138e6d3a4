"""How long a lesson takes: what a group does, how long that takes, and the queue it makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.planning.prepare.queue import Lesson, Mark, Plan, Step, Until, Visit, Work, run
from tarebook.series.experiment import Experiment

BALANCE, SAMPLE_BALANCE = "balance", "sample balance"

REPLICATES = 20
"""Lessons simulated for one answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How long the steps take, [min]: means; `spread` is their standard deviation over mean."""

    weighing: float
    pouring: float
    adding: float
    fizzing: float
    waiting: float
    spread: float
    source: Source


def pace(experiment: Experiment) -> Pace:
    """Return how long the steps take: as the definition says, else as the table assumes."""
    table = reference_table("tarebook.planning", "bench")["durations"]
    said = experiment.preparation.durations
    all_said = None not in (said.weighing, said.pouring, said.adding, said.fizzing)
    declared = Source("the definition", "declared")
    return Pace(
        weighing=said.weighing or table["weighing_minutes"],
        pouring=said.pouring or table["pouring_minutes"],
        adding=said.adding or table["adding_minutes"],
        fizzing=said.fizzing or table["fizzing_minutes"],
        waiting=experiment.procedure.minutes,
        spread=table["spread"],
        source=declared if all_said else Source(table["source"], table["basis"]),
    )


def group_steps(experiment: Experiment, pace: Pace, rng: np.random.Generator) -> tuple[Step, ...]:
    """Return what one group does, with the durations it happens to take.

    The vessels are carried in trays of `cups_per_visit`. For each tray: weigh the empty vessels,
    pour, weigh again, weigh the portions, add them. When all trays fizz, the last weighings follow
    in the order of the trays, each no sooner than its fizzing and its waiting are over.
    """
    n = len(experiment.planned)
    size = experiment.preparation.cups_per_visit
    trays = [min(size, n - first) for first in range(0, n, size)]
    shape = 1.0 / pace.spread**2

    def took(mean: float, count: int) -> float:
        # The sum of `count` gamma times of one mean and spread.
        return float(rng.gamma(shape * count, mean / shape)) if mean > 0 else 0.0

    own = experiment.equipment.sample_balance is not experiment.equipment.balance
    portions = SAMPLE_BALANCE if own else BALANCE
    steps: list[Step] = []
    for number, cups in enumerate(trays):
        steps += [
            Visit(BALANCE, took(pace.weighing, cups), "tare"),
            Work(took(pace.pouring, cups)),
            Visit(BALANCE, took(pace.weighing, cups), "liquid"),
            Visit(portions, took(pace.weighing, cups), "sample"),
            Work(took(pace.adding, cups)),
            Mark(str(number)),
        ]
    for number, cups in enumerate(trays):
        fizz = max(took(pace.fizzing, 1) for _ in range(cups))
        steps += [
            Until(str(number), fizz + pace.waiting),
            Visit(BALANCE, took(pace.weighing, cups), "final"),
        ]
    return tuple(steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchTime:
    """What the lesson will be like with some balances and some stagger.

    Attributes
    ----------
    groups, balances : int
    stagger : float, [min]
        Between the starts of two groups.
    mean_wait, long_wait : float, [min]
        Per visit to a balance: mean, and what one visit in twenty exceeds.
    wait_per_group : float, [min]
        A group's waiting in all.
    end, late_end : float, [min]
        When the last group is done: mean, and what one lesson in ten exceeds.
    busy : float, [1]
        Share of the time until the end in which the main balances are in use.
    jam_from, jam_to : float, [min]
        The quarter of the lesson with the longest waits.
    jam_stage : str
        For which weighing most is waited then; empty if nobody waits.
    """

    groups: int
    balances: int
    stagger: float
    mean_wait: float
    long_wait: float
    wait_per_group: float
    end: float
    late_end: float
    busy: float
    jam_from: float
    jam_to: float
    jam_stage: str


def bench_time(
    experiment: Experiment,
    groups: int,
    balances: int,
    rng: np.random.Generator,
    *,
    stagger: float = 0.0,
    replicates: int = REPLICATES,
) -> BenchTime:
    """Return what the lesson will be like.

    Parameters
    ----------
    experiment : Experiment
    groups, balances : int
        As many balances for the sample as for the vessels, if it has its own.
    rng : numpy.random.Generator
    stagger : float, [min]
    replicates : int
        Lessons simulated.

    Raises
    ------
    OutOfRangeError
        If there is no group or no balance.
    """
    for name, count in (("number of groups", groups), ("number of balances", balances)):
        if count < 1:
            raise OutOfRangeError(name, count, "1", "[1, inf)")
    steps_take = pace(experiment)
    own = experiment.equipment.sample_balance is not experiment.equipment.balance
    places = {BALANCE: balances} | ({SAMPLE_BALANCE: balances} if own else {})
    lessons = [
        run(
            [
                Plan(stagger * number, group_steps(experiment, steps_take, rng))
                for number in range(groups)
            ],
            places,
        )
        for _ in range(replicates)
    ]
    waits = np.concatenate([lesson.waits for lesson in lessons])
    ends = np.array([float(np.max(lesson.ends)) for lesson in lessons])
    busy = np.mean(
        [lesson.busy[BALANCE] / (balances * end) for lesson, end in zip(lessons, ends, strict=True)]
    )
    jam_from, jam_to, stage = _jam(lessons, float(np.mean(ends)))
    return BenchTime(
        groups=groups,
        balances=balances,
        stagger=stagger,
        mean_wait=float(np.mean(waits)),
        long_wait=float(np.quantile(waits, 0.95)),
        wait_per_group=float(np.sum(waits)) / (groups * replicates),
        end=float(np.mean(ends)),
        late_end=float(np.quantile(ends, 0.9)),
        busy=float(busy),
        jam_from=jam_from,
        jam_to=jam_to,
        jam_stage=stage,
    )


def _jam(lessons: Sequence[Lesson], end: float) -> tuple[float, float, str]:
    """Return the quarter of the lesson in which most is waited, and for what."""
    arrivals = np.concatenate([lesson.arrivals for lesson in lessons])
    waits = np.concatenate([lesson.waits for lesson in lessons])
    stages = np.array([stage for lesson in lessons for stage in lesson.stages])
    quarter = np.clip((4.0 * arrivals / end).astype(int), 0, 3)
    total = np.bincount(quarter, weights=waits, minlength=4)
    worst = int(np.argmax(total))
    if total[worst] <= 0:
        return 0.0, 0.0, ""
    names = sorted(set(stages))
    inside = quarter == worst
    by_stage = [float(np.sum(waits[inside & (stages == name)])) for name in names]
    return worst * end / 4.0, (worst + 1) * end / 4.0, str(names[int(np.argmax(by_stage))])
