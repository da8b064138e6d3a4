"""The full reduction of a series: the joint fit and everything that is read off it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from typing import Final

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase, beyond_range
from tarebook.core.quantity import Estimate
from tarebook.model.cup_chemistry import assumptions, gas_kept_is_unknown
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.equivalence import equivalence_mass, equivalence_reading
from tarebook.model.parameters import NAMES, Parameters
from tarebook.records.instruments import balance_of, ware_of
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.claim import compare_with_claim
from tarebook.reduction.joint.band import fitted_band
from tarebook.reduction.joint.determined import OpenContentError, require_content
from tarebook.reduction.joint.distributions import BEYOND_BELIEF, chi2_tail, normal_estimate
from tarebook.reduction.joint.learned import confounded, parameter_estimates, uninformed
from tarebook.reduction.joint.missing import missing_readings
from tarebook.reduction.joint.problem import (
    LINEAR,
    READ,
    JointProblem,
    joint_problem,
)
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.results import BeyondModel, FullReduction, FullSeries
from tarebook.reduction.joint.runs import fitted_runs
from tarebook.reduction.joint.slopes import by_parameters, perturbed_parameters
from tarebook.reduction.joint.solution import NoFitError, Solution
from tarebook.reduction.joint.solve import solve
from tarebook.reduction.joint.trial import CONTENT
from tarebook.reduction.joint.waterfall import waterfall
from tarebook.reduction.joint.within import cups_beyond
from tarebook.reduction.results import BudgetShare, SetAside
from tarebook.series.experiment import Experiment

FEWEST_RUNS = 3

IMPOSSIBLE: Final = Phrase.of("readings-against-model")

NO_CHEMISTRY: Final = Phrase.of("gas-kept-unknown")


def reduce_full(
    experiment: Experiment,
    table: RunTable,
    set_aside: SetAside,
    usual_content: float | None,
    effects: frozenset[CupEffect] = ALL_EFFECTS,
    *,
    pictures: bool = True,
) -> FullReduction:
    """Return the joint fit of a series.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    set_aside : SetAside
        Runs whose readings must not shape the result.
    usual_content : float or None, [g/g]
        Result of the textbook calculation, from which the waterfall begins.
    effects : frozenset of CupEffect
    pictures : bool
        Whether to make the waterfall and the band, which take most of the time; a whole course is
        reduced without them.
    """
    if gas_kept_is_unknown(experiment.reaction):
        return replace(_nothing(NO_CHEMISTRY), is_withheld=True)
    runs = tuple(
        run
        for run in table.runs
        if run not in set_aside.unusable
        and run not in set_aside.doubtful
        and any(table.of(run, quantity) for quantity in READ)
    )
    try:
        return _reduced(experiment, table, runs, usual_content, effects, pictures)
    except OutOfRangeError as error:
        beyond = cups_beyond(experiment, table, runs, usual_content, effects)
        within = tuple(run for run in runs if run not in {each.run for each in beyond})
        if not beyond or len(within) < FEWEST_RUNS:
            return _nothing(beyond_range(error), beyond)
    try:
        reduced = _reduced(experiment, table, within, usual_content, effects, pictures)
    except OutOfRangeError as error:
        return _nothing(beyond_range(error), beyond)
    return replace(reduced, beyond=beyond)


def _reduced(
    experiment: Experiment,
    table: RunTable,
    runs: tuple[str, ...],
    usual_content: float | None,
    effects: frozenset[CupEffect],
    pictures: bool,
) -> FullReduction:
    """Return the joint fit of some runs; what the readings rule out is no result."""
    if len(runs) < FEWEST_RUNS:
        return _nothing(Phrase.of("too-few-for-model", runs=len(runs), needed=FEWEST_RUNS))
    try:
        solution = solve(joint_problem(experiment, table, runs, effects))
        require_content(solution)
    except NoFitError:
        return _nothing(Phrase.of("no-joint-fit"))
    except OpenContentError as error:
        return replace(
            _nothing(error.why),
            is_withheld=True,
            is_open=True,
            gas_is_hidden=error.gas_is_hidden,
        )
    is_possible = chi2_tail(solution.chi2, solution.dof) >= BEYOND_BELIEF
    series = _series(solution, usual_content, pictures and is_possible)
    if is_possible:
        return FullReduction(runs=fitted_runs(solution), series=series, no_series_because=None)
    return FullReduction(
        runs=(),
        series=None,
        no_series_because=IMPOSSIBLE,
        rejected=series,
        is_withheld=True,
        rejected_runs=fitted_runs(solution),
    )


def _nothing(why: Phrase, beyond: tuple[BeyondModel, ...] = ()) -> FullReduction:
    return FullReduction(runs=(), series=None, no_series_because=why, beyond=beyond)


def _series(solution: Solution, usual_content: float | None, pictures: bool) -> FullSeries:
    experiment = solution.problem.experiment
    low, high, method = content_interval(solution)
    content = Estimate(
        value=float(solution.unknowns[CONTENT]),
        u=math.sqrt(solution.covariance.shared[CONTENT, CONTENT]),
        low=low,
        high=high,
        unit="g/g",
    )
    parameters = parameter_estimates(solution, content)
    by_name = {parameter.name: parameter.value for parameter in parameters}
    claimed = experiment.sample.claimed_mass_fraction
    return FullSeries(
        sample_mass_fraction=content,
        equivalence=_equivalence(solution, equivalence_reading, "L"),
        equivalence_sample=(
            _equivalence(solution, equivalence_mass, "g") if experiment.grows == "sample" else None
        ),
        own_acid=by_name["own_acid"],
        hold_up=by_name["hold_up_reagent"],
        hold_up_diluent=by_name["hold_up_diluent"],
        chi2=solution.chi2,
        dof=solution.dof,
        p_chi2=chi2_tail(solution.chi2, solution.dof),
        interval_method=method,
        parameters=parameters,
        confounded=confounded(solution),
        uninformed=uninformed(parameters),
        assumptions=assumptions(experiment),
        missing=missing_readings(solution),
        budget=_budget(solution),
        claim=compare_with_claim(content, claimed) if claimed else None,
        waterfall=waterfall(solution, usual_content) if pictures else (),
        band=fitted_band(solution) if pictures else (),
    )


def _budget(solution: Solution) -> tuple[BudgetShare, ...]:
    """Return what each reading and each prior adds to the variance of the content.

    At the minimum the content is a linear function of the rows, each of unit variance; the squares
    of its coefficients add up to its variance.
    """
    problem, n = solution.problem, solution.problem.n_runs
    coefficients = solution.slopes.along(solution.covariance.column(CONTENT))
    totals: dict[str, float] = defaultdict(float)
    labels = [label for quantity in READ for label in [_instrument_of(problem, quantity)] * n]
    labels += [prior.label for prior in problem.priors]
    balances = (balance_of(problem.experiment, quantity) for quantity in LINEAR)
    labels += [f"{balance.name}: linearity" for balance in balances]
    for label, coefficient in zip(labels, coefficients, strict=True):
        totals[label] += float(coefficient) ** 2
    whole = sum(totals.values())
    shares = [BudgetShare(source=label, share=part / whole) for label, part in totals.items()]
    kept = [share for share in shares if share.share > 0]
    return tuple(sorted(kept, key=lambda share: -share.share))


def _instrument_of(problem: JointProblem, quantity: Quantity) -> str:
    if quantity.is_mass:
        return f"{balance_of(problem.experiment, quantity).name}: single weighings"
    liquid = "reagent" if quantity is Quantity.REAGENT else "diluent"
    return f"{ware_of(problem.experiment, quantity).name}: single pours of {liquid}"


def _equivalence(
    solution: Solution,
    place: Callable[[Experiment, Parameters, frozenset[CupEffect]], FloatArray],
    unit: str,
) -> Estimate:
    """Return where both reactants are used up, in the unit of what `place` returns."""
    problem = solution.problem
    parameters = perturbed_parameters(problem, solution.unknowns)
    found = place(problem.experiment, parameters, problem.effects)[:, 0]
    slopes = by_parameters(problem, found)
    inner = solution.covariance.shared[: len(NAMES), : len(NAMES)]
    return normal_estimate(float(found[0]), math.sqrt(float(slopes @ inner @ slopes)), unit)
