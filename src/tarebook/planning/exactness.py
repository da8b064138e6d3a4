"""How exact a planned reading must be: how near to its target, how closely read.

Two different things. A pour may *miss its target* as long as it is read: it then only moves the
run, and the row is a little better or worse for it. A *misread* number shifts the result. Both are
said for each reading of each run, at the middle content.

The shift is that of the joint fit: with C the covariance of the shared unknowns, A the rows that
the run adds to their information and Q the directions among its readings that they come from, a
reading that is off by d moves the wanted number by g^T C A^T Q^T e d / u.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.planning.changes import row_of, samples_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.exchange import ridged, with_one_more
from tarebook.planning.information import (
    Scenario,
    prior_information,
    scenario,
    within_model,
)
from tarebook.planning.rows import Best, spacing
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import READ, predict
from tarebook.series.experiment import Experiment

HARMLESS_SHIFT = 0.2
"""A misreading is harmless if it moves the result by less than a fifth of its u (2 % in all)."""

HARMLESS_GROWTH = 0.02
"""A missed target is harmless if u of the result grows by less than 2 %."""

SAMPLE_MISSES = (0.0025, 0.005, 0.01, 0.015, 0.02, 0.03, 0.04, 0.06, 0.08, 0.1, 0.15, 0.2, 0.3)
"""Sample masses are tried so far off, relative to the nominal one, either way."""

FINER = 5
"""Missed targets are tried in fifths of the distance of the volumes that rows are made of."""

TEMPERATURE_STEP, MINUTES_STEP = 0.5, 0.5
"""Of the difference quotients, [K] and [min]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCare:
    """How exact one planned reading must be.

    Attributes
    ----------
    run : str
    quantity : Quantity
    target : float or None
        In the memory unit; None where nothing is asked for (a tare, a final mass).
    target_low, target_high : float or None
        A true portion in between is as good as the target; None without a target.
    influence : float, [wanted unit per unit of the reading]
        By how much the result moves for a reading that is too high.
    read_to : float
        A misreading up to this, either way, is harmless; infinite if the reading does not matter.
    """

    run: str
    quantity: Quantity
    target: float | None
    target_low: float | None
    target_high: float | None
    influence: float
    read_to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class KindCare:
    """The same for all readings of one kind: the run that asks for most decides.

    Attributes
    ----------
    quantity : Quantity
    run : str
        Where it matters most.
    read_to : float
    instrument_u : float
        Standard uncertainty that one reading of this kind has of its own; infinite if unknown.
    miss : float or None
        Smallest distance from the target, over the runs, that is still harmless; None without a
        target.
    miss_run : str
        The run that asks for it; empty without a target.
    """

    quantity: Quantity
    run: str
    read_to: float
    instrument_u: float
    miss: float | None
    miss_run: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Exactness:
    """How exact the readings of a row must be.

    Attributes
    ----------
    u : float
        Expected standard uncertainty of the wanted number at the middle content.
    readings : tuple of ReadingCare
    kinds : tuple of KindCare
        The kind whose own error weighs most against what is harmless first.
    """

    u: float
    readings: tuple[ReadingCare, ...]
    kinds: tuple[KindCare, ...]


def exactness(experiment: Experiment, contents: ContentRange, best: Best) -> Exactness:
    """Return how exact the readings of the planned row must be.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    best : Best
        The number whose uncertainty is looked at.
    """
    row, centre = row_of(experiment), contents.centre
    known = scenario(experiment, row, centre, samples_of(experiment))
    goal = known.content_goal if best is Best.CONTENT else known.equivalence_goal
    own = np.einsum("cki,ckj->ij", known.factors, known.factors)
    total = ridged(prior_information(experiment), known.factors[None]) + own
    covariance = np.linalg.inv(total)
    u = math.sqrt(float(goal @ covariance @ goal))
    influence = _influence(known, covariance @ goal)
    temperature, minutes = _from_conditions(known, influence)
    reagent_range = _volume_ranges(experiment, known, total, goal, centre, u)
    sample_range = _sample_ranges(experiment, known, total, goal, centre, u)
    columns: dict[Quantity, FloatArray] = dict(zip(READ, influence, strict=True))
    columns |= {Quantity.TEMPERATURE: temperature, Quantity.MINUTES: minutes}
    cares = []
    for index, planned in enumerate(experiment.planned):
        for quantity, effect in columns.items():
            target, low, high = None, None, None
            if quantity is Quantity.REAGENT:
                target, low, high = planned.reagent, *reagent_range[index]
            elif quantity is Quantity.SAMPLE and planned.sample > 0.0:
                target, low, high = planned.sample, *sample_range[index]
            size = abs(float(effect[index]))
            cares.append(
                ReadingCare(
                    run=planned.run,
                    quantity=quantity,
                    target=target,
                    target_low=low,
                    target_high=high,
                    influence=float(effect[index]),
                    read_to=HARMLESS_SHIFT * u / size if size > 0 else math.inf,
                )
            )
    return Exactness(u=u, readings=tuple(cares), kinds=_kinds(experiment, cares, known))


def _influence(known: Scenario, toward: FloatArray) -> FloatArray:
    """Return the shift of the wanted number for each reading, shape (6, n)."""
    per_direction = known.factors @ toward
    shift: FloatArray = np.einsum("nrk,nk->rn", known.across, per_direction) / known.problem.u
    return shift


def _from_conditions(known: Scenario, influence: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the shift for temperature and waiting time written down too high, shape (n,) each.

    They are not rows of the fit: what the model expects of the readings moves with them.
    """
    shifts = []
    for name, step in (("temperature", TEMPERATURE_STEP), ("minutes", MINUTES_STEP)):
        now = getattr(known.problem, name)
        moved = []
        for sign in (1.0, -1.0):
            problem = replace(known.problem, **{name: np.maximum(now + sign * step, 0.0)})
            moved.append((predict(problem, known.unknowns[None, :]).readings[0], problem))
        width = getattr(moved[0][1], name) - getattr(moved[1][1], name)
        slope = (moved[0][0] - moved[1][0]) / width
        shifts.append(-(influence * slope).sum(axis=0))
    return shifts[0], shifts[1]


def _replaced(
    total: FloatArray, factors: FloatArray, goal: FloatArray, others: FloatArray
) -> FloatArray:
    """Return u of the wanted number if each run were replaced by each other one.

    Parameters
    ----------
    total : ndarray, shape (p, p)
    factors : ndarray, shape (n, k, p)
    goal : ndarray, shape (p,)
    others : ndarray, shape (n, c, k, p) or (1, c, k, p)

    Returns
    -------
    ndarray, shape (n, c)
    """
    rest = total - np.einsum("nki,nkj->nij", factors, factors)
    n = len(factors)
    tried = np.broadcast_to(others, (n, *others.shape[1:]))
    return np.sqrt(with_one_more(np.linalg.inv(rest), tried, np.tile(goal, (n, 1))))


def _volume_ranges(
    experiment: Experiment,
    known: Scenario,
    total: FloatArray,
    goal: FloatArray,
    centre: float,
    u: float,
) -> list[tuple[float, float]]:
    """Return for each run how far the reagent volume may go, [L]."""
    step = spacing(experiment) / FINER
    count = math.ceil(experiment.total_volume / step - 1e-9)
    every: FloatArray = step * np.arange(1, count, dtype=np.float64)
    every = every[: within_model(experiment, every, np.array([centre]))]
    others = scenario(experiment, every, centre).factors[None]
    replaced = _replaced(total, known.factors, goal, others)
    return [
        _around(every, replaced[i] <= (1.0 + HARMLESS_GROWTH) * u, planned.reagent)
        for i, planned in enumerate(experiment.planned)
    ]


def _sample_ranges(
    experiment: Experiment,
    known: Scenario,
    total: FloatArray,
    goal: FloatArray,
    centre: float,
    u: float,
) -> list[tuple[float, float]]:
    """Return for each run how far the sample mass may go, [g]."""
    row, asked = row_of(experiment), samples_of(experiment)
    misses = np.array(SAMPLE_MISSES)
    masses: FloatArray = asked[:, None] * (1.0 + np.concatenate([-misses[::-1], [0.0], misses]))
    n, c = masses.shape
    spread = scenario(experiment, np.repeat(row, c), centre, masses.ravel())
    others = spread.factors.reshape((n, c, *spread.factors.shape[1:]))
    replaced = _replaced(total, known.factors, goal, others)
    fine = replaced <= (1.0 + HARMLESS_GROWTH) * u
    return [_around(masses[i], fine[i], float(asked[i])) for i in range(n)]


def _around(values: FloatArray, fine: FloatArray, target: float) -> tuple[float, float]:
    """Return the ends of the stretch of fine values that holds the target."""
    low = high = target
    for value, good in zip(values[values < target][::-1], fine[values < target][::-1], strict=True):
        if not good:
            break
        low = float(value)
    for value, good in zip(values[values > target], fine[values > target], strict=True):
        if not good:
            break
        high = float(value)
    return low, high


def _kinds(
    experiment: Experiment, cares: list[ReadingCare], known: Scenario
) -> tuple[KindCare, ...]:
    thermometer = experiment.equipment.thermometer
    own = {quantity: float(known.problem.u[i].max()) for i, quantity in enumerate(READ)}
    own[Quantity.TEMPERATURE] = thermometer.reading_u
    own[Quantity.MINUTES] = math.inf
    kinds = []
    for quantity in own:
        of_kind = [care for care in cares if care.quantity is quantity]
        tightest = min(of_kind, key=lambda care: care.read_to)
        misses = [
            (min(care.target - care.target_low, care.target_high - care.target), care.run)
            for care in of_kind
            if care.target is not None
            and 0.0 < care.target < _most(experiment, care.quantity)
            and care.target_low is not None
            and care.target_high is not None
        ]
        miss, miss_run = min(misses) if misses else (None, "")
        kinds.append(
            KindCare(
                quantity=quantity,
                run=tightest.run,
                read_to=tightest.read_to,
                instrument_u=own[quantity],
                miss=miss,
                miss_run=miss_run,
            )
        )
    return tuple(sorted(kinds, key=lambda kind: (_ease(kind), kind.quantity.value)))


def _most(experiment: Experiment, quantity: Quantity) -> float:
    """Return the target from which on nothing can be missed: all reagent, no diluent."""
    return experiment.total_volume if quantity is Quantity.REAGENT else math.inf


def _ease(kind: KindCare) -> float:
    """Return how many times its own u a reading may be off: small asks for care."""
    return math.inf if math.isinf(kind.instrument_u) else kind.read_to / kind.instrument_u
