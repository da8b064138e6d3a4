"""Time on the bench: groups, balances, and how long everyone stands in line.

A discrete-event simulation: every group works through its own list of steps; some of them need a
place at a station (a balance) that others want too. Who comes first is served first.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import simpy

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.series.experiment import Experiment

BALANCE, SAMPLE_BALANCE = "balance", "sample balance"
REPLICATES = 20
"""Lessons simulated for one answer."""

SEARCH_REPLICATES = 8
MOST_BALANCES = 40
STAGGERS = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0)
"""Minutes between the starts of two groups that are tried."""


@dataclass(frozen=True, slots=True)
class Work:
    """A step that needs nobody else, [min]."""

    minutes: float


@dataclass(frozen=True, slots=True)
class Visit:
    """A step at a station, [min] of service."""

    station: str
    minutes: float
    stage: str = ""


@dataclass(frozen=True, slots=True)
class Mark:
    """Start a clock of this name, which `Until` waits for."""

    name: str


@dataclass(frozen=True, slots=True)
class Until:
    """Wait until some minutes after a mark."""

    name: str
    minutes: float


Step: TypeAlias = Work | Visit | Mark | Until


@dataclass(frozen=True, slots=True)
class Plan:
    """One group: when it starts, [min], and what it does."""

    start: float
    steps: tuple[Step, ...]


@dataclass(slots=True)
class _Seen:
    """What one simulated lesson showed."""

    waits: list[float] = field(default_factory=list)
    arrivals: list[float] = field(default_factory=list)
    stages: list[str] = field(default_factory=list)
    stations: list[str] = field(default_factory=list)
    ends: list[float] = field(default_factory=list)
    busy: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lesson:
    """What the visits of one simulated lesson were like; arrays over visits in order of arrival.

    Attributes
    ----------
    waits, arrivals : ndarray, [min]
    stages, stations : tuple of str
    ends : ndarray, [min]
        When each group was done.
    busy : mapping of station to float, [min]
        Service given, over all places of the station.
    """

    waits: FloatArray
    arrivals: FloatArray
    stages: tuple[str, ...]
    stations: tuple[str, ...]
    ends: FloatArray
    busy: Mapping[str, float]


def run(plans: Sequence[Plan], places: Mapping[str, int]) -> Lesson:
    """Return what happens when groups work through their plans.

    Parameters
    ----------
    plans : sequence of Plan
    places : mapping of station to int
        How many can be served at once.

    Examples
    --------
    >>> two = [Plan(0.0, (Visit("balance", 3.0),)), Plan(1.0, (Visit("balance", 3.0),))]
    >>> lesson = run(two, {"balance": 1})
    >>> lesson.waits.tolist(), lesson.ends.tolist()
    ([0.0, 2.0], [3.0, 6.0])
    """
    world = simpy.Environment()
    stations = {name: simpy.Resource(world, capacity=count) for name, count in places.items()}
    seen = _Seen(busy=dict.fromkeys(places, 0.0))
    for plan in plans:
        world.process(_group(world, stations, plan, seen))
    world.run()
    order = np.argsort(np.asarray(seen.arrivals), kind="stable")
    return Lesson(
        waits=np.asarray(seen.waits, dtype=np.float64)[order],
        arrivals=np.asarray(seen.arrivals, dtype=np.float64)[order],
        stages=tuple(seen.stages[i] for i in order),
        stations=tuple(seen.stations[i] for i in order),
        ends=np.asarray(seen.ends, dtype=np.float64),
        busy=seen.busy,
    )


def _group(
    world: simpy.Environment, stations: Mapping[str, simpy.Resource], plan: Plan, seen: _Seen
) -> Generator[simpy.Event, Any, None]:
    clocks: dict[str, float] = {}
    yield world.timeout(plan.start)
    for step in plan.steps:
        if isinstance(step, Work):
            yield world.timeout(step.minutes)
        elif isinstance(step, Mark):
            clocks[step.name] = world.now
        elif isinstance(step, Until):
            yield world.timeout(max(0.0, clocks[step.name] + step.minutes - world.now))
        else:
            arrived = world.now
            with stations[step.station].request() as place:
                yield place
                seen.arrivals.append(arrived)
                seen.waits.append(world.now - arrived)
                seen.stages.append(step.stage)
                seen.stations.append(step.station)
                seen.busy[step.station] += step.minutes
                yield world.timeout(step.minutes)
    seen.ends.append(world.now)


def erlang_c(servers: int, load: float) -> float:
    """Return the probability that a customer of an M/M/c queue has to wait.

    Parameters
    ----------
    servers : int
    load : float, [1]
        Arrival rate times mean service time, in (0, servers).

    Raises
    ------
    OutOfRangeError
        If the queue would grow without end.

    References
    ----------
    .. [1] A. K. Erlang, 1917; in any text on queues, from memory. The sum is done by the recursion
       of Erlang's B: B(c) = a B(c-1) / (c + a B(c-1)), C = B / (1 - (a/c)(1 - B)).

    Examples
    --------
    One server waits as often as it is busy; for two, C = a^2 / (2 + a).

    >>> erlang_c(1, 0.5), round(erlang_c(2, 1.0), 6)
    (0.5, 0.333333)
    """
    if not 0 < load < servers:
        raise OutOfRangeError("load", load, "1", f"(0, {servers})", "Take more servers.")
    blocked = 1.0
    for count in range(1, servers + 1):
        blocked = load * blocked / (count + load * blocked)
    return blocked / (1.0 - load / servers * (1.0 - blocked))


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
    groups, balances, sample_balances : int
        `sample_balances` is 0 where the sample is weighed on the same balances.
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
    sample_balances: int
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
        sample_balances=balances if own else 0,
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
        With the shortest stagger of the starts after which nobody waits long, if there is one.
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
            if few_wait(tried):
                shifted = tried
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
