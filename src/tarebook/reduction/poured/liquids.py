"""Cups before the sample goes in: the joint fit, held to the readings of the liquid.

It is the same problem as that of a finished row, with the same forward model: what has not been
read stands still, and of the effects only those count that act on a liquid that was poured.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.measurement.own_errors import own_u
from tarebook.measurement.volumes import shared_u
from tarebook.model.delivery import liquid_mass, liquid_reading, reagent_density
from tarebook.model.effects import CupEffect
from tarebook.model.parameters import NAMES
from tarebook.records.readings import VOLUMES, Quantity, Reading, RunTable
from tarebook.records.stage import Stage, stage_of_run
from tarebook.reduction.joint.distributions import normal_estimate
from tarebook.reduction.joint.problem import (
    LATENT,
    LINEAR,
    N_SHARED,
    READ,
    JointProblem,
    joint_problem,
)
from tarebook.reduction.joint.runs import derived
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.poured.results import PouredCup, PouredRow
from tarebook.series.experiment import Experiment

OF_LIQUIDS = frozenset({CupEffect.CALIBRATION, CupEffect.HOLD_UP, CupEffect.BUOYANCY})
"""Effects that act on a liquid that was poured and weighed."""

READ_OF_LIQUIDS = frozenset({Quantity.TARE, *VOLUMES, Quantity.LIQUID})

LIQUID_TEMPERATURES = (278.15, 313.15)
"""K; where the densities hold, with room to spare."""

LEAST_LIQUID = 0.001
"""L; of a cup with less than a pour leaves behind there is nothing to say."""

FREE = (
    "concentration",
    "scale_reagent",
    "scale_diluent",
    "hold_up_reagent",
    "hold_up_diluent",
)
"""The shared parameters that act on the liquid; the others stand still."""


def reduce_poured(
    experiment: Experiment,
    table: RunTable,
    unusable: Mapping[str, Phrase],
    doubtful: Collection[str],
) -> PouredRow:
    """Return what is known of the cups that hold liquid.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Whatever has been read; only the readings of the liquid are looked at.
    unusable : mapping of str to Phrase
        Runs with a reading that cannot be, and why: nothing is said of them.
    doubtful : collection of str
        Runs whose liquid does not weigh what its volumes say: their mass is not used.

    Raises
    ------
    OutOfRangeError
        If a temperature is outside the range of the densities.
    """
    runs = tuple(
        run
        for run in table.runs
        if run not in unusable
        and stage_of_run(table, run).place >= Stage.POURED.place
        and _read_volume(table, run) > LEAST_LIQUID
    )
    liquids = replace(table, readings=tuple(r for r in table.readings if _counts(r)))
    try:
        solution = _solved(_problem(experiment, liquids, runs, doubtful))
    except (NoFitError, OutOfRangeError):
        # Masses that fit no volumes at all: the volumes are what is left.
        doubtful = runs
        solution = _solved(_problem(experiment, liquids, runs, doubtful))
    return PouredRow(
        cups=_cups(solution, liquids, doubtful),
        hold_up_reagent=_shared(solution, {"hold_up_reagent": 1.0}, "L"),
        hold_up_diluent=_shared(solution, {"hold_up_diluent": 1.0}, "L"),
        hold_up_both=_shared(solution, {"hold_up_reagent": 1.0, "hold_up_diluent": 1.0}, "L"),
        strength=_shared(solution, {"concentration": 1.0}, "mol/L"),
        left_out={run: why for run, why in unusable.items() if run in table.runs},
    )


def _read_volume(table: RunTable, run: str) -> float:
    """Return the volume that was read, [L]; without bound where one was not read."""
    return sum(math.inf if v is None else v for v in (table.mean_of(run, q) for q in VOLUMES))


def _counts(reading: Reading) -> bool:
    """Return whether a reading is of the liquid; the room stands in for a temperature that is not.

    A temperature at which no liquid stands on a bench has a finding of its own.
    """
    if reading.quantity is Quantity.TEMPERATURE:
        low, high = LIQUID_TEMPERATURES
        return low <= reading.value <= high
    return reading.quantity in READ_OF_LIQUIDS


def _solved(problem: JointProblem) -> Solution:
    return solve(problem, start=problem.start(), fixed=_fixed(problem))


def _problem(
    experiment: Experiment, table: RunTable, runs: tuple[str, ...], doubtful: Collection[str]
) -> JointProblem:
    """Return the problem of the liquids, without the masses that are in doubt."""
    problem = joint_problem(experiment, table, runs, OF_LIQUIDS)
    u, taken = problem.u.copy(), problem.taken.copy()
    liquid = READ.index(Quantity.LIQUID)
    in_doubt = np.array([run in doubtful for run in runs], dtype=np.bool_)
    u[liquid, in_doubt], taken[liquid, in_doubt] = math.inf, False
    problem = replace(problem, u=u, taken=taken)
    # The mass says what the plan only asked for: where one volume is missing, it alone speaks.
    for quantity, missing in _recoverable(problem).items():
        u[READ.index(quantity), missing] = experiment.total_volume
    return replace(problem, u=u)


def _recoverable(problem: JointProblem) -> dict[Quantity, BoolArray]:
    """Return where a volume was not read and follows from the mass and the other volume."""
    taken = dict(zip(READ, problem.taken, strict=True))
    weighed = taken[Quantity.TARE] & taken[Quantity.LIQUID]
    first, second = VOLUMES
    return {
        first: weighed & ~taken[first] & taken[second],
        second: weighed & ~taken[second] & taken[first],
    }


def _fixed(problem: JointProblem) -> BoolArray:
    """Return the unknowns on which no reading of a liquid depends."""
    fixed = np.ones(problem.n_unknowns, dtype=np.bool_)
    fixed[[NAMES.index(name) for name in FREE]] = False
    fixed[len(NAMES) + LINEAR.index(Quantity.TARE)] = False
    for index, quantity in enumerate(LATENT):
        fixed[_latent(problem, index)] = quantity is Quantity.SAMPLE
    return fixed


def _latent(problem: JointProblem, index: int) -> slice:
    start = N_SHARED + index * problem.n_runs
    return slice(start, start + problem.n_runs)


def _shared(solution: Solution, weights: Mapping[str, float], unit: str) -> Estimate:
    """Return a sum of shared parameters that are fitted on their own scale."""
    where = [NAMES.index(name) for name in weights]
    factors = np.array(list(weights.values()))
    u2 = float(factors @ solution.covariance.shared[np.ix_(where, where)] @ factors)
    value = float(factors @ solution.unknowns[where])
    return normal_estimate(value, math.sqrt(max(u2, 0.0)), unit)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Weighed:
    """Liquid by mass and by volume with their standard uncertainties, each shape (n,), [g]."""

    by_mass: FloatArray
    u_mass: FloatArray
    by_volume: FloatArray
    u_volume: FloatArray


def _cups(solution: Solution, table: RunTable, doubtful: Collection[str]) -> tuple[PouredCup, ...]:
    problem = solution.problem
    contents, amount = solution.about.contents, solution.about.state.reagent_amount
    poured = derived(solution, contents.reagent), derived(solution, contents.diluent)
    moles = derived(solution, amount)
    strength = derived(solution, amount / np.maximum(contents.reagent + contents.diluent, 1e-9))
    weighed = _weighed(problem, table)
    recoverable = _recoverable(problem)
    cups = []
    for at, run in enumerate(problem.runs):
        taken = dict(zip(READ, problem.taken[:, at].tolist(), strict=True))
        has_mass = taken[Quantity.TARE] and bool(table.of(run, Quantity.LIQUID))
        has_volume = taken[Quantity.REAGENT] and taken[Quantity.DILUENT]
        by_mass = _of(weighed.by_mass, weighed.u_mass, at) if has_mass else None
        by_volume = _of(weighed.by_volume, weighed.u_volume, at) if has_volume else None
        recovered = {
            quantity: _reading(solution, quantity, at)
            for quantity in VOLUMES
            if recoverable[quantity][at]
        }
        cups.append(
            PouredCup(
                run=run,
                reagent=poured[0].at(at, "L"),
                diluent=poured[1].at(at, "L"),
                amount=moles.at(at, "mol"),
                concentration=strength.at(at, "mol/L"),
                by_mass=by_mass,
                by_volume=by_volume,
                left_behind=_difference(by_volume, by_mass),
                recovered=recovered,
                from_plan=tuple(q for q in VOLUMES if not taken[q] and q not in recovered),
                mass_is_doubtful=run in doubtful,
            )
        )
    return tuple(cups)


def _of(value: FloatArray, u: FloatArray, at: int) -> Estimate:
    return normal_estimate(float(value[at]), float(u[at]), "g")


def _difference(first: Estimate | None, second: Estimate | None) -> Estimate | None:
    if first is None or second is None:
        return None
    return normal_estimate(first.value - second.value, math.hypot(first.u, second.u), "g")


def _reading(solution: Solution, quantity: Quantity, at: int) -> Estimate:
    """Return what an instrument should have shown in a run, [L]."""
    latent = LATENT.index(quantity)
    place = _latent(solution.problem, latent).start + at
    u = math.sqrt(max(float(solution.covariance.own[at, latent, latent]), 0.0))
    return normal_estimate(float(solution.unknowns[place]), u, "L")


def _weighed(problem: JointProblem, table: RunTable) -> _Weighed:
    """Return the liquids as a balance shows them and as their volumes have it."""
    experiment, equipment = problem.experiment, problem.experiment.equipment
    keep = np.isin(table.runs, problem.runs)
    tare, liquid = (table.mean(q, 0.0)[keep] for q in (Quantity.TARE, Quantity.LIQUID))
    noise = np.array([table.noise(q)[keep] for q in (Quantity.TARE, Quantity.LIQUID)])
    own = equipment.balance.weighing_u**2 * np.where(np.isfinite(noise), noise, 1.0)
    u_mass = np.sqrt(own.sum(axis=0) + problem.linearity_u[0] ** 2)
    reagent, diluent = (np.maximum(problem.observed[READ.index(q)], 0.0) for q in VOLUMES)
    mass = liquid_mass(experiment, reagent, diluent, problem.temperature)
    volume = np.maximum(reagent + diluent, 1e-9)
    per_litre = reagent_density(experiment, problem.temperature)
    pours = ((equipment.reagent, reagent), (equipment.diluent, diluent))
    parts = [
        (per_litre * u(instrument, volume)) ** 2
        for instrument, volume in pours
        for u in (own_u, shared_u)
    ]
    none = [poured == 0 for _, poured in pours for _ in range(2)]
    variance = np.sum([np.where(no, 0.0, part) for no, part in zip(none, parts, strict=True)], 0)
    return _Weighed(
        by_mass=liquid - tare,
        u_mass=u_mass,
        by_volume=liquid_reading(mass, mass / volume, experiment.room),
        u_volume=np.sqrt(variance),
    )
