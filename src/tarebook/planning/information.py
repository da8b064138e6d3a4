"""What a planned run would tell: its part of the information matrix of the joint fit.

The joint fit knows of each run's own unknowns (true volumes, sample mass, tare) only what that
run's readings say. Those unknowns are therefore eliminated run by run: of the six readings of a
run, four go into them and two directions remain that speak of what all runs share. What is left of
the whole fit is a matrix of the shared unknowns, to which every run adds a part of its own; that is
what makes placing the runs a small problem.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.model.contents import planned_fillings
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.parameters import NAMES
from tarebook.model.priors import priors
from tarebook.planning.changes import row_of, samples_of, sealed_of
from tarebook.planning.exchange import ridged
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.problem import (
    LATENT,
    N_SHARED,
    READ,
    JointProblem,
    linearity_u,
    readings_u,
)
from tarebook.reduction.joint.slopes import (
    by_parameters,
    known_rows,
    linearise,
    perturbed_parameters,
)
from tarebook.reduction.joint.trial import CONTENT
from tarebook.series.experiment import Experiment

GRAMS_PER_LITRE_OF_VESSEL = 80.0
"""Mass of the empty vessel; it only adds to two readings, so any number does."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scenario:
    """Runs as planned, and one content that they might meet.

    Attributes
    ----------
    problem : JointProblem
        Its readings are those expected without errors.
    unknowns : ndarray, shape (problem.n_unknowns,)
    slopes : ndarray, shape (N_SHARED + 4, 6, n)
        Of each reading over its u with respect to the shared unknowns in natural steps (see
        `natural_steps`) and then to the run's own unknowns.
    factors : ndarray, shape (n, 2, N_SHARED)
        Rows that each run adds for the shared unknowns.
    across : ndarray, shape (n, 6, 2)
        The two directions among the six readings that do not go into the run's own unknowns.
    content_goal, equivalence_goal : ndarray, shape (N_SHARED,)
        Gradients of the content [g/g] and of the equivalence reading [L] in natural steps.
    equivalence : float, [L]
    """

    problem: JointProblem
    unknowns: FloatArray
    slopes: FloatArray
    factors: FloatArray
    across: FloatArray
    content_goal: FloatArray
    equivalence_goal: FloatArray
    equivalence: float


def planned_problem(
    experiment: Experiment, reagent: FloatArray, sample: FloatArray | None = None
) -> JointProblem:
    """Return planned runs as a joint problem whose readings are the targets.

    Parameters
    ----------
    experiment : Experiment
        Of its own row only which runs are closed is looked at, where these are the same runs.
    reagent : ndarray, shape (n,), [L]
        Target of each run; the diluent makes it up to the total volume.
    sample : ndarray, shape (n,), [g], optional
        The nominal mass if not given.
    """
    n = len(reagent)
    targets = {
        Quantity.REAGENT: reagent,
        Quantity.DILUENT: np.maximum(experiment.total_volume - reagent, 0.0),
        Quantity.SAMPLE: np.full(n, experiment.sample.nominal_mass) if sample is None else sample,
    }
    tare = np.full(n, GRAMS_PER_LITRE_OF_VESSEL * experiment.vessel.capacity)
    observed = np.array([targets.get(quantity, tare) for quantity in READ])
    return JointProblem(
        experiment=experiment,
        effects=ALL_EFFECTS,
        runs=tuple(str(number + 1) for number in range(n)),
        observed=observed,
        u=readings_u(experiment, observed),
        taken=np.ones((len(READ), n), dtype=np.bool_),
        pours=planned_fillings(experiment, reagent, targets[Quantity.DILUENT]),
        portioned=targets[Quantity.SAMPLE] > 0.0,
        temperature=np.full(n, experiment.room.temperature),
        minutes=np.full(n, experiment.procedure.minutes),
        waited=np.ones(n, dtype=np.bool_),
        sealed=_sealed_as_planned(experiment, reagent, targets[Quantity.SAMPLE]),
        priors=priors(experiment),
        linearity_u=linearity_u(experiment),
    )


def _sealed_as_planned(
    experiment: Experiment, reagent: FloatArray, sample: FloatArray
) -> BoolArray:
    """Return which runs are closed: those of the plan, if this is the planned row; else none."""
    is_planned = np.array_equal(reagent, row_of(experiment)) and np.array_equal(
        sample, samples_of(experiment)
    )
    return sealed_of(experiment) if is_planned else np.zeros(len(reagent), dtype=np.bool_)


def scenario(
    experiment: Experiment,
    reagent: FloatArray,
    content: float,
    sample: FloatArray | None = None,
) -> Scenario:
    """Return what planned runs would tell if the content were as given.

    Parameters
    ----------
    experiment : Experiment
    reagent : ndarray, shape (n,), [L]
    content : float, [g/g]
    sample : ndarray, shape (n,), [g], optional

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    problem = planned_problem(experiment, reagent, sample)
    unknowns = problem.start()
    unknowns[CONTENT] = content
    point = linearise(problem, unknowns, central=True)
    problem = replace(problem, observed=point.predicted.readings[0])
    steps = natural_steps(experiment)
    shared, own = point.slopes.shared * steps, point.slopes.own
    full, _ = np.linalg.qr(own, mode="complete")
    across = full[:, :, len(LATENT) :]
    volumes = equivalence_reading(experiment, perturbed_parameters(problem, unknowns))[:, 0]
    equivalence_goal = np.zeros(N_SHARED)
    equivalence_goal[: len(NAMES)] = by_parameters(problem, volumes) * steps[: len(NAMES)]
    content_goal = np.zeros(N_SHARED)
    content_goal[CONTENT] = steps[CONTENT]
    return Scenario(
        problem=problem,
        unknowns=unknowns,
        slopes=np.moveaxis(np.concatenate([shared, own], axis=-1), -1, 0).swapaxes(1, 2),
        factors=np.swapaxes(np.swapaxes(shared, 1, 2) @ across, 1, 2),
        across=across,
        content_goal=content_goal,
        equivalence_goal=equivalence_goal,
        equivalence=float(volumes[0]),
    )


def natural_steps(experiment: Experiment) -> FloatArray:
    """Return the size of a natural step of each shared unknown, shape (N_SHARED,).

    The prior's u where there is one, 0.02 g/g for the content; an ideal balance gets 0.1 mg.
    """
    return planned_problem(experiment, np.zeros(1)).scales()[:N_SHARED]


def prior_information(experiment: Experiment) -> FloatArray:
    """Return what is known before any run: shape (N_SHARED, N_SHARED), in natural steps."""
    problem = planned_problem(experiment, np.zeros(1))
    rows = known_rows(problem) * problem.scales()[:N_SHARED]
    known: FloatArray = rows.T @ rows
    return known


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidates:
    """Runs that could be planned, in each of several scenarios.

    Attributes
    ----------
    reagent : ndarray, shape (c,), [L]
    factors : ndarray, shape (s, c, 2, N_SHARED)
    base : ndarray, shape (N_SHARED, N_SHARED)
    content_goal, equivalence_goal : ndarray, shape (s, N_SHARED)
    contents : ndarray, shape (s,), [g/g]
    """

    reagent: FloatArray
    factors: FloatArray
    base: FloatArray
    content_goal: FloatArray
    equivalence_goal: FloatArray
    contents: FloatArray


def candidates(
    experiment: Experiment,
    reagent: FloatArray,
    contents: FloatArray,
    sample: FloatArray | None = None,
) -> Candidates:
    """Return what each of some runs would tell, at each of some contents.

    Parameters
    ----------
    experiment : Experiment
    reagent : ndarray, shape (c,), [L]
    contents : ndarray, shape (s,), [g/g]
    sample : ndarray, shape (c,), [g], optional
        The nominal mass if not given.
    """
    scenarios = [scenario(experiment, reagent, float(content), sample) for content in contents]
    return Candidates(
        reagent=reagent,
        factors=np.array([each.factors for each in scenarios]),
        base=prior_information(experiment),
        content_goal=np.array([each.content_goal for each in scenarios]),
        equivalence_goal=np.array([each.equivalence_goal for each in scenarios]),
        contents=contents,
    )


def within_model(experiment: Experiment, reagent: FloatArray, contents: FloatArray) -> int:
    """Return how many of some runs, from the one with the least reagent, the model holds for.

    More reagent means more ions, and the activity model ends somewhere.

    Parameters
    ----------
    experiment : Experiment
    reagent : ndarray, shape (c,), [L], ascending
    contents : ndarray, shape (s,), [g/g]
    """

    def holds(count: int) -> bool:
        try:
            for content in (contents.min(), contents.max()):
                scenario(experiment, reagent[count - 1 : count], float(content))
        except OutOfRangeError:
            return False
        return True

    low, high = 0, len(reagent)
    if high and holds(high):
        return high
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def expected_u(
    experiment: Experiment,
    reagent: FloatArray,
    contents: FloatArray,
    sample: FloatArray | None = None,
) -> Uncertainties:
    """Return how well a row would determine content and equivalence, over some contents."""
    return uncertainties(candidates(experiment, reagent, contents, sample))


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncertainties:
    """Root mean square over the scenarios of the standard uncertainties of a row.

    Attributes
    ----------
    content : float, [g/g]
    equivalence : float, [L]
    """

    content: float
    equivalence: float


def uncertainties(row: Candidates, left_out: int | None = None) -> Uncertainties:
    """Return how well a row determines content and equivalence if each candidate is run once.

    Parameters
    ----------
    row : Candidates
    left_out : int, optional
        A run to leave out.
    """
    keep = [i for i in range(len(row.reagent)) if i != left_out]
    own = np.einsum("scki,sckj->sij", row.factors[:, keep], row.factors[:, keep])
    inverse = np.linalg.inv(ridged(row.base, row.factors) + own)

    def rms(goal: FloatArray) -> float:
        return math.sqrt(float(np.einsum("si,sij,sj->s", goal, inverse, goal).mean()))

    return Uncertainties(content=rms(row.content_goal), equivalence=rms(row.equivalence_goal))
