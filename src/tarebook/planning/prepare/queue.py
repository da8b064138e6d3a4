"""A queue: groups work through their steps; some of them need a place that others want too.

A discrete-event simulation. Who comes first is served first.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import simpy

from tarebook.core.arrays import FloatArray


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
