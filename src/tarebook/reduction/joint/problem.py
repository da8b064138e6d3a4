"""The joint fit as a least-squares problem: unknowns, rows, and what each row rests on.

Unknown are the parameters that all runs share, the linearity errors of the balances, and of each
run what its instruments should have shown: true volumes, sample mass and tare. Every reading is one
row, every prior is one row; each is divided by its standard uncertainty.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.kept import kept_for
from tarebook.model.contents import Contents, Portions, pour
from tarebook.model.cup import CupState, cup_state
from tarebook.model.effects import CupEffect
from tarebook.model.observables import LINEAR as LINEAR
from tarebook.model.observables import READ as READ
from tarebook.model.observables import Seen
from tarebook.model.parameters import NAMES, Parameters, parameters_at
from tarebook.model.priors import Prior, centres_and_u, priors, whitening
from tarebook.records.complete import completed
from tarebook.records.instruments import balance_of, reading_u
from tarebook.records.pours import asked_fillings, pours
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment

LATENT = (Quantity.REAGENT, Quantity.DILUENT, Quantity.SAMPLE, Quantity.TARE)
"""What is unknown in each run."""

N_SHARED = len(NAMES) + len(LINEAR)

PLAN_RELATIVE_U = 0.05
PLAN_U = 0.0005
"""Where a volume was not read the plan stands in: 5 % and 0.5 mL about the target."""

LEAST_VOLUME_U = 1e-8
"""L, a hundredth of a uL. Where nothing was poured there is no line and no meniscus to err about,
and ware that is declared to be exact still needs something to divide by."""

SAMPLE_RELATIVE_U = 0.05
"""Where the sample was not weighed the mass asked for stands in, to 5 %."""

LEAST_SAMPLE_U = 1e-6
"""g. Into a blank cup no sample goes, and no balance errs about that."""

TARE_U = 50.0
"""Where a vessel was not weighed empty, the others' mean stands in, to 50 g: nothing, in effect."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JointProblem:
    """A series ready for the joint fit.

    Attributes
    ----------
    experiment : Experiment
    effects : frozenset of CupEffect
    runs : tuple of str, length n
    observed : ndarray, shape (6, n)
        Readings in the order of `READ`, in memory units; where none was taken, what stands in.
    u : ndarray, shape (6, n)
        Standard uncertainty that each has of its own; infinite where nothing stands in.
    taken : ndarray of bool, shape (6, n)
    pours : ndarray, shape (2, n), [1]
        How often the ware of reagent and diluent was filled: so often liquid stayed behind.
    temperature, minutes : ndarray, shape (n,)
    portioned : ndarray of bool, shape (n,)
        Where a sample was weighed; into a blank cup nothing was put, and no balance errs about it.
    waited : ndarray of bool, shape (n,)
        Where the minutes were read; elsewhere they are those of the definition, which a parameter
        of the fit stretches.
    sealed : ndarray of bool, shape (n,)
        Where the vessel is closed: nothing leaves it.
    priors : tuple of Prior
        Of the shared parameters, in the order of `NAMES`.
    linearity_u : ndarray, shape (3,), [g]
    """

    experiment: Experiment
    effects: frozenset[CupEffect]
    runs: tuple[str, ...]
    observed: FloatArray
    u: FloatArray
    taken: BoolArray
    pours: FloatArray
    portioned: BoolArray
    temperature: FloatArray
    minutes: FloatArray
    waited: BoolArray
    sealed: BoolArray
    priors: tuple[Prior, ...]
    linearity_u: FloatArray

    @property
    def n_runs(self) -> int:
        """Number of runs."""
        return len(self.runs)

    @property
    def n_unknowns(self) -> int:
        """Number of unknowns."""
        return N_SHARED + len(LATENT) * self.n_runs

    def start(self) -> FloatArray:
        """Return unknowns to begin from: priors at their centre, instruments without error."""
        centre, _ = centres_and_u(self.priors)
        latent = [self.observed[READ.index(quantity)] for quantity in LATENT]
        return np.concatenate([centre, np.zeros(len(LINEAR)), *latent])

    def scales(self) -> FloatArray:
        """Return the size of a natural step of each unknown."""
        return _scales(self)


@kept_for
def _scales(problem: JointProblem) -> FloatArray:
    _, u = centres_and_u(problem.priors)
    latent = [problem.u[READ.index(quantity)] for quantity in LATENT]
    steps = np.concatenate([np.where(np.isinf(u), 0.02, u), problem.linearity_u, *latent])
    return np.where(np.isfinite(steps) & (steps > 0), steps, 1e-4)


def joint_problem(
    experiment: Experiment, table: RunTable, runs: tuple[str, ...], effects: frozenset[CupEffect]
) -> JointProblem:
    """Return the problem of some of the runs of a table.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    runs : tuple of str
        The runs to use.
    effects : frozenset of CupEffect
        Those that the model takes into account.
    """
    table = completed(experiment, table)
    keep = np.array([run in runs for run in table.runs], dtype=np.bool_)
    observed = np.array([table.mean(quantity, math.nan)[keep] for quantity in READ])
    noise = np.array([table.noise(quantity)[keep] for quantity in READ])
    taken = np.isfinite(observed)
    observed, u = _stand_ins(experiment, table, keep, observed, taken)
    u[taken] = (readings_u(experiment, observed) * np.sqrt(np.where(taken, noise, 1.0)))[taken]
    used = [run for run in table.runs if run in runs]
    n_pours = np.zeros((len(VOLUMES), len(used)))
    for place, quantity in enumerate(VOLUMES):
        row, found = READ.index(quantity), pours(experiment, table, quantity)
        u[row, taken[row]] = np.maximum(found.own_u[keep], LEAST_VOLUME_U)[taken[row]]
        # Where nothing was read the plan stands in, fillings and all.
        planned = asked_fillings(experiment, used, quantity, observed[row])
        n_pours[place] = np.where(taken[row], found.fillings[keep], planned)
    portioned = observed[READ.index(Quantity.SAMPLE)] != 0.0
    u[READ.index(Quantity.SAMPLE), ~portioned] = LEAST_SAMPLE_U
    return JointProblem(
        experiment=experiment,
        effects=effects,
        runs=tuple(used),
        observed=observed,
        u=u,
        taken=taken,
        pours=n_pours,
        portioned=portioned,
        temperature=table.mean(Quantity.TEMPERATURE, experiment.room.temperature)[keep],
        minutes=table.mean(Quantity.MINUTES, experiment.procedure.minutes)[keep],
        waited=table.count(Quantity.MINUTES)[keep] > 0,
        sealed=np.array([experiment.is_sealed(run) for run in used], dtype=np.bool_),
        priors=priors(experiment),
        linearity_u=linearity_u(experiment),
    )


def linearity_u(experiment: Experiment) -> FloatArray:
    """Return the standard uncertainties of the straight lines, in the order of `LINEAR`."""
    balances = (balance_of(experiment, quantity) for quantity in LINEAR)
    return np.array([balance.linearity_u for balance in balances])


def readings_u(experiment: Experiment, observed: FloatArray) -> FloatArray:
    """Return the standard uncertainty that one reading of each kind has of its own.

    Parameters
    ----------
    experiment : Experiment
    observed : ndarray, shape (6, n)
        Readings in the order of `READ`; only the volumes matter.

    Returns
    -------
    ndarray, shape (6, n), [L] and [g]
    """
    found = np.empty(observed.shape)
    for row, quantity in enumerate(READ):
        found[row] = reading_u(experiment, quantity, np.nan_to_num(observed[row]))
        if quantity in VOLUMES:
            poured = np.nan_to_num(observed[row]) > 0
            found[row] = np.where(poured, np.maximum(found[row], LEAST_VOLUME_U), LEAST_VOLUME_U)
    return found


def _stand_ins(
    experiment: Experiment,
    table: RunTable,
    keep: BoolArray,
    observed: FloatArray,
    taken: BoolArray,
) -> tuple[FloatArray, FloatArray]:
    """Return what stands in for readings not taken, with how little it is trusted."""
    planned = {run.run: run for run in experiment.planned}
    half = experiment.total_volume / 2.0
    u = np.full(observed.shape, np.inf)
    for row, quantity in enumerate(READ):
        for column, run in enumerate(np.array(table.runs)[keep]):
            if taken[row, column]:
                continue
            plan = planned.get(str(run))
            if quantity in (Quantity.REAGENT, Quantity.DILUENT):
                is_reagent = quantity is Quantity.REAGENT
                target = (plan.reagent if is_reagent else plan.diluent) if plan else half
                trust = PLAN_RELATIVE_U * target + PLAN_U if plan else half
                observed[row, column], u[row, column] = target, trust
            elif quantity is Quantity.SAMPLE:
                asked = experiment.sample_asked(str(run))
                trust = max(SAMPLE_RELATIVE_U * asked, LEAST_SAMPLE_U)
                observed[row, column], u[row, column] = asked, trust
            elif quantity is Quantity.TARE:
                others = observed[row][taken[row]]
                mean = float(others.mean()) if others.size else TARE_U
                observed[row, column], u[row, column] = mean, TARE_U
            else:
                observed[row, column] = 0.0
    return observed, u


Part = TypeVar("Part", Parameters, Contents, CupState)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Predicted:
    """What the model says to k sets of unknowns.

    Attributes
    ----------
    parameters : Parameters
        Each of shape (k, 1).
    contents : Contents
        Each of shape (k, n).
    state : CupState
        Each of shape (k, n).
    readings : ndarray, shape (k, 6, n)
        In the order of `READ`, with the linearity errors.
    """

    parameters: Parameters
    contents: Contents
    state: CupState
    readings: FloatArray

    def only(self, k: int) -> Predicted:
        """Return what it says to the first k sets."""

        def first(part: Part) -> Part:
            whole = {name: getattr(part, name) for name in type(part).__slots__}
            # What has no axis of sets is the same for all.
            own = {name: v[:k] if v.ndim == 2 else v for name, v in whole.items()}
            return type(part)(**own)

        return Predicted(
            parameters=first(self.parameters),
            contents=first(self.contents),
            state=first(self.state),
            readings=self.readings[:k],
        )


def predict(problem: JointProblem, unknowns: FloatArray) -> Predicted:
    """Return what the model says.

    Parameters
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (k, n_unknowns)
    """
    n, experiment, effects = problem.n_runs, problem.experiment, problem.effects
    parameters = parameters_of(unknowns)
    reagent, diluent, sample, tare = (
        unknowns[:, N_SHARED + i * n : N_SHARED + (i + 1) * n] for i in range(len(LATENT))
    )
    # How often was poured is what was written down, not what a trial step says: the liquid left
    # behind would else come and go where nothing was poured.
    portions = Portions(
        reagent=reagent,
        diluent=diluent,
        fillings=problem.pours,
        sample=sample,
        temperature=problem.temperature,
        minutes=problem.minutes,
        waited=problem.waited,
        sealed=problem.sealed,
    )
    contents = pour(portions, parameters, effects)
    state = cup_state(experiment, parameters, contents, effects)
    seen = Seen(experiment, parameters, contents, tare, state, effects)
    # What the ware should have shown is unknown itself.
    readings = np.empty((len(unknowns), len(READ), n))
    for row, quantity in enumerate(READ):
        measured_out = {Quantity.REAGENT: reagent, Quantity.DILUENT: diluent}.get(quantity)
        readings[:, row] = seen.of(quantity) if measured_out is None else measured_out
    for place, quantity in enumerate(LINEAR, start=len(NAMES)):
        line = unknowns[:, place : place + 1]
        # Into a blank cup no portion went that its balance could err about.
        of_portion = quantity is Quantity.SAMPLE
        readings[:, READ.index(quantity)] += line * problem.portioned if of_portion else line
    return Predicted(parameters=parameters, contents=contents, state=state, readings=readings)


def parameters_of(unknowns: FloatArray) -> Parameters:
    """Return the shared parameters of k sets of unknowns, each of shape (k, 1)."""
    return parameters_at(unknowns[:, np.newaxis, : len(NAMES)])


def rows_of(problem: JointProblem, unknowns: FloatArray, readings: FloatArray) -> FloatArray:
    """Return the rows of the least-squares problem: observed minus predicted, over u.

    Parameters
    ----------
    problem : JointProblem
    unknowns : ndarray, shape (k, n_unknowns)
    readings : ndarray, shape (k, 6, n)
        Predicted.

    Returns
    -------
    ndarray, shape (k, 6 n + number of shared unknowns)
        Readings first (0 where none was taken and nothing stands in), then the priors.
    """
    k = unknowns.shape[0]
    from_readings = (problem.observed - readings) / problem.u
    shared = unknowns[:, : len(NAMES)]
    centre, _ = centres_and_u(problem.priors)
    from_priors = (centre - shared) @ whitening(problem.priors).T
    linear = -unknowns[:, len(NAMES) : N_SHARED] / np.where(
        problem.linearity_u > 0, problem.linearity_u, 1e-9
    )
    return np.concatenate([from_readings.reshape(k, -1), from_priors, linear], axis=1)
