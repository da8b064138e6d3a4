"""The full reduction of a series: the joint fit and everything that is read off it."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.quantity import Estimate
from tarebook.model.cup import Contents, cup_state
from tarebook.model.cup_chemistry import assumptions, solves_equilibrium
from tarebook.model.delivery import delivered
from tarebook.model.effects import ALL_EFFECTS, CupEffect
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.observables import expected_readings
from tarebook.model.parameters import NAMES
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.claim import compare_with_claim
from tarebook.reduction.joint.learned import (
    NORMAL_95,
    confounded,
    parameter_estimates,
    uninformed,
)
from tarebook.reduction.joint.missing import missing_readings
from tarebook.reduction.joint.problem import (
    N_SHARED,
    READ,
    JointProblem,
    joint_problem,
    parameters_of,
    predict,
)
from tarebook.reduction.joint.profile import content_interval
from tarebook.reduction.joint.results import (
    BandPoint,
    FullReduction,
    FullRun,
    FullSeries,
    ReadingResidual,
)
from tarebook.reduction.joint.solve import (
    CONTENT,
    CONTENT_RANGE,
    N_CURVED,
    STEP,
    NoFitError,
    Solution,
    derivatives,
    perturbed,
    solve,
)
from tarebook.reduction.joint.waterfall import waterfall
from tarebook.reduction.results import BudgetShare, SetAside
from tarebook.series.experiment import Experiment

FEWEST_RUNS = 3
OPEN_U = 0.4
"""g/g; with a standard uncertainty above it the interval spans all contents there are."""

BAND_POINTS = 61
"""Points of the model's curve along the row."""


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
        Result of the usual sum, from which the waterfall begins.
    effects : frozenset of CupEffect
    pictures : bool
        Whether to make the waterfall and the band, which take most of the time; a whole course is
        reduced without them.
    """
    runs = tuple(
        run
        for run in table.runs
        if run not in set_aside.unusable
        and run not in set_aside.doubtful
        and any(table.of(run, quantity) for quantity in READ)
    )
    if len(runs) < FEWEST_RUNS:
        why = f"{len(runs)} usable runs are too few for the full model; it needs {FEWEST_RUNS}"
        return FullReduction(runs=(), series=None, no_series_because=why)
    try:
        solution = solve(joint_problem(experiment, table, runs, effects))
        require_content(solution)
        return FullReduction(
            runs=_runs(solution),
            series=_series(solution, usual_content, pictures),
            no_series_because="",
        )
    except (OutOfRangeError, NoFitError, OpenContentError) as error:
        return FullReduction(runs=(), series=None, no_series_because=str(error))


class OpenContentError(TarebookError, ArithmeticError):
    """The readings leave open what the sample holds.

    Attributes
    ----------
    content, u : float, [g/g]
        Where the fit ended.
    why : str
        What the readings lack, and what to do.
    """

    code = "open-content"

    def __init__(self, content: float, u: float, why: str) -> None:
        super().__init__(content, u, why)
        self.content, self.u, self.why = content, u, why

    def __str__(self) -> str:
        return f"The fit ends at a content of {self.content:.2f} ± {self.u:.2g} g/g. {self.why}"


def require_content(solution: Solution) -> None:
    """Refuse a fit whose content is at the end of its range or open.

    Raises
    ------
    OpenContentError
    """
    content = float(solution.unknowns[CONTENT])
    u = math.sqrt(solution.covariance[CONTENT, CONTENT])
    low, high = CONTENT_RANGE
    if np.all(solution.predicted.state.excess < 0) and (u > OPEN_U or content >= high):
        why = "The reagent is used up in every run: add runs with more of it, or with less sample."
    elif not low < content < high:
        why = (
            f"That is the end of what is looked at ({low:g} to {high:g}): check the strength of "
            "the stock, the reaction and the units of the masses."
        )
    elif u > OPEN_U:
        why = "The readings do not say what the sample holds: too many of them are missing."
    else:
        return
    raise OpenContentError(content, u, why)


def _series(solution: Solution, usual_content: float | None, pictures: bool) -> FullSeries:
    experiment = solution.problem.experiment
    low, high, method = content_interval(solution)
    content = Estimate(
        value=float(solution.unknowns[CONTENT]),
        u=math.sqrt(solution.covariance[CONTENT, CONTENT]),
        low=low,
        high=high,
        unit="g/g",
    )
    parameters = parameter_estimates(solution, content)
    by_name = {parameter.name: parameter.value for parameter in parameters}
    claimed = experiment.sample.claimed_mass_fraction
    return FullSeries(
        sample_mass_fraction=content,
        equivalence=_equivalence(solution),
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
        assumptions=assumptions(experiment.reaction),
        missing=missing_readings(solution),
        budget=_budget(solution),
        claim=compare_with_claim(content, claimed) if claimed else None,
        waterfall=waterfall(solution, usual_content) if pictures else (),
        band=_band(solution) if pictures else (),
    )


def _budget(solution: Solution) -> tuple[BudgetShare, ...]:
    """Return what each reading and each prior adds to the variance of the content.

    At the minimum the content is a linear function of the rows, each of unit variance; the squares
    of its coefficients add up to its variance.
    """
    problem, n = solution.problem, solution.problem.n_runs
    coefficients = solution.covariance[CONTENT] @ solution.jacobian.T
    totals: dict[str, float] = defaultdict(float)
    labels = [label for quantity in READ for label in [_instrument_of(problem, quantity)] * n]
    labels += [prior.label for prior in problem.priors]
    labels += [f"{problem.experiment.equipment.balance.name}: linearity"] * 2
    labels += [f"{problem.experiment.equipment.sample_balance.name}: linearity"]
    for label, coefficient in zip(labels, coefficients, strict=True):
        totals[label] += float(coefficient) ** 2
    whole = sum(totals.values())
    shares = [BudgetShare(source=label, share=part / whole) for label, part in totals.items()]
    kept = [share for share in shares if share.share > 0]
    return tuple(sorted(kept, key=lambda share: -share.share))


def _instrument_of(problem: JointProblem, quantity: Quantity) -> str:
    equipment = problem.experiment.equipment
    if quantity is Quantity.REAGENT:
        return f"{equipment.reagent.name}: single pours of reagent"
    if quantity is Quantity.DILUENT:
        return f"{equipment.diluent.name}: single pours of diluent"
    balance = equipment.sample_balance if quantity is Quantity.SAMPLE else equipment.balance
    return f"{balance.name}: single weighings"


def chi2_tail(chi2: float, dof: int) -> float:
    """Return the chance that a chi-squared variable exceeds a value.

    For whole degrees of freedom the integral is a finite sum, so that no library need be loaded.

    Parameters
    ----------
    chi2 : float
    dof : int
        With none there is nothing to exceed: 1.

    References
    ----------
    .. [1] Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5 (from
       memory; compared with a general library in the tests).

    Examples
    --------
    >>> round(chi2_tail(3.841459, 1), 6)
    0.05
    """
    if dof <= 0:
        return 1.0
    half = chi2 / 2.0
    if dof % 2:
        total, term, first = math.erfc(math.sqrt(half)), math.sqrt(half) / math.gamma(1.5), 0.5
    else:
        total, term, first = 0.0, 1.0, 0.0
    for k in range(1, (dof - dof % 2) // 2 + 1):
        total += term * math.exp(-half)
        term *= half / (k + first)
    return total


def _equivalence(solution: Solution) -> Estimate:
    problem = solution.problem
    sets = perturbed(problem, solution.unknowns, central=True)
    volumes = equivalence_reading(problem.experiment, parameters_of(sets), problem.effects)[:, 0]
    half = len(NAMES) + N_CURVED
    steps = STEP * problem.scales()[: len(NAMES)]
    slopes = (volumes[1 : 1 + len(NAMES)] - volumes[1 + half : 1 + half + len(NAMES)]) / (2 * steps)
    inner = solution.covariance[: len(NAMES), : len(NAMES)]
    return _normal(float(volumes[0]), math.sqrt(float(slopes @ inner @ slopes)), "L")


def _normal(value: float, u: float, unit: str) -> Estimate:
    return Estimate(
        value=value, u=u, low=value - NORMAL_95 * u, high=value + NORMAL_95 * u, unit=unit
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Derived:
    """Values of each run with their standard uncertainties, shape (n,)."""

    value: FloatArray
    u: FloatArray

    def at(self, run: int, unit: str) -> Estimate:
        return _normal(float(self.value[run]), float(self.u[run]), unit)


def _derive(solution: Solution, values: FloatArray) -> _Derived:
    """Return per-run values, computed at the sets of `perturbed`, with their uncertainties.

    Parameters
    ----------
    values : ndarray, shape (k, n)
    """
    problem, n = solution.problem, solution.problem.n_runs
    slopes = derivatives(problem, values, central=True)
    u = np.empty(n)
    for run in range(n):
        own = [N_SHARED + i * n + run for i in range(N_CURVED)]
        where = [*range(len(NAMES)), *own]
        inner = solution.covariance[np.ix_(where, where)]
        u[run] = math.sqrt(max(float(slopes[:, run] @ inner @ slopes[:, run]), 0.0))
    return _Derived(value=values[0], u=u)


def _runs(solution: Solution) -> tuple[FullRun, ...]:
    problem = solution.problem
    sets = perturbed(problem, solution.unknowns, central=True)
    predicted = predict(problem, sets)
    state = predicted.state
    reagent = _derive(solution, state.reagent_amount)
    sample = _derive(solution, state.analyte_amount)
    made = _derive(solution, state.gas_made)
    excess = _derive(solution, state.excess)
    retained = _derive(solution, state.dissolved + state.head_gas)
    # What the balance would have lost without any effect, less what it did lose.
    sample_reading = predicted.readings[:, READ.index(Quantity.SAMPLE)]
    liquid_reading = predicted.readings[:, READ.index(Quantity.LIQUID)]
    final_reading = predicted.readings[:, READ.index(Quantity.FINAL)]
    lost = liquid_reading + sample_reading - final_reading
    correction = _derive(solution, state.gas_made - lost)
    ph = _derive(solution, state.ph)
    is_solved = solves_equilibrium(problem.experiment.reaction, problem.effects)
    residuals = _residuals(solution)
    return tuple(
        FullRun(
            run=run,
            reagent=reagent.at(index, "mol"),
            sample=sample.at(index, "mol"),
            limiting="reagent" if excess.value[index] < 0 else "sample",
            p_reagent_limiting=_probability_below_zero(excess.value[index], excess.u[index]),
            gas_full=_gas_full(problem, index, correction),
            gas_expected=made.at(index, "g"),
            retained=retained.at(index, "g"),
            dissolved=float(state.dissolved[0, index]),
            head_gas=float(state.head_gas[0, index]),
            vapour=float(state.vapour[0, index]),
            evaporated=float(state.evaporated[0, index]),
            ph=ph.at(index, "1") if is_solved else None,
            extrapolated=bool(state.extrapolated[0, index]),
            residuals=residuals[index],
        )
        for index, run in enumerate(problem.runs)
    )


def _probability_below_zero(value: float, u: float) -> float:
    """Return the chance that a normal quantity lies below zero."""
    return 0.5 * math.erfc(float(value) / max(float(u), 1e-300) / math.sqrt(2.0))


def _gas_full(problem: JointProblem, run: int, correction: _Derived) -> Estimate | None:
    """Return the gas made: the mass lost as read, and what the model adds to it."""
    masses = (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    where = [READ.index(quantity) for quantity in masses]
    if not problem.taken[where, run].all():
        return None
    liquid, sample, final = problem.observed[where, run]
    u2 = float(np.sum(problem.u[where, run] ** 2)) + float(np.sum(problem.linearity_u[1:] ** 2))
    value = liquid + sample - final + correction.value[run]
    return _normal(float(value), math.sqrt(u2 + float(correction.u[run]) ** 2), "g")


def _residuals(solution: Solution) -> tuple[tuple[ReadingResidual, ...], ...]:
    problem, n = solution.problem, solution.problem.n_runs
    n_readings = len(READ) * n
    part = solution.jacobian[:n_readings]
    leverage = np.einsum("ij,jk,ik->i", part, solution.covariance, part).reshape(len(READ), n)
    rows = solution.rows[:n_readings].reshape(len(READ), n)
    expected = solution.predicted.readings[0]
    standardised = rows / np.sqrt(np.maximum(1.0 - leverage, 1e-6))
    return tuple(
        tuple(
            ReadingResidual(
                reading=quantity.value,
                observed=float(problem.observed[i, run]),
                expected=float(expected[i, run]),
                u=float(problem.u[i, run]),
                standardised=float(standardised[i, run]),
                leverage=float(leverage[i, run]),
            )
            for i, quantity in enumerate(READ)
            if problem.taken[i, run]
        )
        for run in range(n)
    )


def _band(solution: Solution) -> tuple[BandPoint, ...]:
    """Return the fitted curve for the nominal sample mass, with the band of its uncertainty."""
    problem = solution.problem
    experiment = problem.experiment
    sets = perturbed(problem, solution.unknowns, central=True)
    keep = [0, *range(1, 1 + len(NAMES))]
    keep += [1 + len(NAMES) + N_CURVED + i for i in range(len(NAMES))]
    parameters = parameters_of(sets[keep])
    reading = np.linspace(0.0, experiment.total_volume, BAND_POINTS)
    held = 1.0 if CupEffect.HOLD_UP in problem.effects else 0.0
    scale = 1.0 if CupEffect.CALIBRATION in problem.effects else 0.0
    diluent = experiment.total_volume - reading
    contents = Contents(
        reagent=np.maximum(
            delivered(reading, scale * parameters.scale_reagent, held * parameters.hold_up_reagent),
            0.0,
        ),
        diluent=np.maximum(
            delivered(diluent, scale * parameters.scale_diluent, held * parameters.hold_up_diluent),
            0.0,
        ),
        sample=np.full(BAND_POINTS, experiment.sample.nominal_mass),
        temperature=np.full(BAND_POINTS, float(np.mean(problem.temperature))),
        minutes=np.full(BAND_POINTS, float(np.mean(problem.minutes))),
    )
    state = cup_state(experiment, parameters, contents, problem.effects)
    is_solved = solves_equilibrium(experiment.reaction, problem.effects)
    tare = np.zeros(BAND_POINTS)
    shown = expected_readings(experiment, parameters, contents, tare, state, problem.effects)
    lost = shown.liquid + shown.sample - shown.final
    n_names = len(NAMES)
    steps = STEP * problem.scales()[:n_names]
    slopes = (lost[1 : 1 + n_names] - lost[1 + n_names :]) / (2.0 * steps[:, None])
    inner = solution.covariance[:n_names, :n_names]
    u = np.sqrt(np.maximum(np.einsum("ip,ij,jp->p", slopes, inner, slopes), 0.0))
    return tuple(
        BandPoint(
            reagent=float(reading[i]),
            lost=float(lost[0, i]),
            low=float(lost[0, i] - NORMAL_95 * u[i]),
            high=float(lost[0, i] + NORMAL_95 * u[i]),
            ph=float(state.ph[0, i]) if is_solved else None,
        )
        for i in range(BAND_POINTS)
    )
