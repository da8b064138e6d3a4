"""A whole series weighed: which runs are in doubt, and what may have happened in each."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.case import Case, case_of, is_far_from_plan
from tarebook.diagnosis.slips.cups import (
    CONCENTRATION,
    DILUENT,
    REAGENT,
    SAMPLE,
    TARE,
    cups_of,
    shared_prior,
)
from tarebook.diagnosis.slips.exchange import (
    Exchange,
    columns_shifted,
    log_row,
    pairs_exchanged,
    put_back,
)
from tarebook.diagnosis.slips.habits import Habits, habits_of
from tarebook.diagnosis.slips.kinds import LOOK_FROM, SlipKind
from tarebook.diagnosis.slips.likelihood import misfits, rest_without
from tarebook.diagnosis.slips.odds import SlipOdds
from tarebook.diagnosis.slips.rows import RowSlip, weigh_rows
from tarebook.diagnosis.slips.shared import (
    MOST_TOGETHER,
    SharedFit,
    Walk,
    fit_shared,
    fitting,
    spread_over,
    together,
)
from tarebook.diagnosis.slips.weigh import FAR_FROM_USUAL, RunWeights, weigh_run
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.series.experiment import Experiment

WORTH_WEIGHING: Final = 9.0
"""Sum of squares of a run's two differences from which it is weighed: 1 % of good runs."""

MANY_DOUBTFUL: Final = 3
MANY_PART: Final = 0.05
"""Of a long row so many runs in doubt are many: 1 % are by chance."""

SHIFTS_TRIED: Final = 6

MOST_WEIGHED: Final = MOST_TOGETHER
MOST_PAIRED: Final = 20
"""Runs in doubt that are held against all slips, and against one another: those that differ most.
Of the others it is said that they were not."""

SAMPLED: Final = 10
"""Runs not in doubt that stand for all such runs of a long row."""

PULLED: Final = 2.0
"""Standard uncertainties by which the fit moves the stock, from which another one is tried."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeriesWeights:
    """What may have gone wrong in a series.

    Attributes
    ----------
    experiment : Experiment
    table : RunTable
        As it was weighed: with a shifted column put back, if there is one.
    fit : SharedFit
    habits : Habits
    cases : tuple of Case
    misfit : ndarray, shape (n,)
        Sums of squares of each run's two differences as seen from the others; nan where unread.
    runs : tuple of RunWeights
        Of the runs in doubt.
    exchanged : tuple of Exchange
        Of two runs, the most probable first.
    shifted : Exchange or None
        The column that is one row off, if one probably is.
    rows : tuple of RowSlip
        What is probably wrong with all runs alike, the most probable first: `fit` is with that.
    not_weighed : tuple of str
        Runs in doubt that were not held against slips: so many are, and others more so.
    """

    experiment: Experiment
    table: RunTable
    fit: SharedFit
    habits: Habits
    cases: tuple[Case, ...]
    misfit: FloatArray
    runs: tuple[RunWeights, ...]
    exchanged: tuple[Exchange, ...]
    shifted: Exchange | None
    rows: tuple[RowSlip, ...]
    not_weighed: tuple[str, ...] = ()

    @property
    def not_paired(self) -> bool:
        """Whether not all pairs of runs in doubt were held against each other's readings."""
        return len(self.runs) > MOST_PAIRED


def weigh_series(
    experiment: Experiment, table: RunTable, odds: SlipOdds, *, may_shift: bool = True
) -> SeriesWeights | None:
    """Return what may have gone wrong in a series, or None if no run has been read yet.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Whatever there is so far.
    odds : SlipOdds
    may_shift : bool
        Whether a column may be one row off.

    Raises
    ------
    OutOfRangeError
        If the model does not hold for what the definition asks for.
    """
    runs = tuple(run for run in table.runs if any(table.of(run, q) for q in READ))
    if not runs:
        return None
    problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
    cups = cups_of(problem)
    fit = fit_shared(experiment, shared_prior(problem), cups)
    habits = habits_of(experiment, runs, cups)
    cases = tuple(case_of(experiment, table, odds, habits, runs, i) for i in range(len(runs)))
    misfit = _misfits(fit)
    doubtful = _doubtful(cases, fit, misfit)
    weights = {i: weigh_run(cases[i], fit) for i in _worst(doubtful, misfit)}
    rows: tuple[RowSlip, ...] = ()
    of_row = 0.0
    many = _row_may_be_off(fit, doubtful)
    # What bends the whole row looks like a slip in the cups that it bends most.
    if many or doubtful:
        tried = weigh_rows(experiment, fit, odds, thoroughly=many)
        of_row = sum(slip.probability for slip in tried)
        rows = tried if of_row >= LOOK_FROM else ()
    # What explains every run needs no column one row off.
    settled = bool(rows) and bool(rows[0].fit.kept.all())
    if may_shift and not settled and _column_may_be_off(fit, misfit, doubtful):
        shifted = _shifted(cases, fit, weights)
        if shifted is not None:
            moved = put_back(table, shifted)
            again = weigh_series(experiment, moved, odds, may_shift=False)
            return replace(again, shifted=shifted) if again else None
    if rows:
        fit = rows[0].fit
        misfit = _misfits(fit)
        # The cups of a row that is off in another way are judged once that is settled.
        alone = rows[0].kind is SlipKind.OTHER_STOCK_THROUGHOUT
        doubtful = _doubtful(cases, fit, misfit) if alone else []
        weights = {i: weigh_run(cases[i], fit) for i in _worst(doubtful, misfit)}
    else:
        weights = {i: weighed.unless(of_row) for i, weighed in weights.items()}
    return SeriesWeights(
        experiment=experiment,
        table=table,
        fit=fit,
        habits=habits,
        cases=cases,
        misfit=misfit,
        runs=tuple(weights.values()),
        exchanged=_exchanged(cases, fit, weights, misfit),
        shifted=None,
        rows=rows,
        not_weighed=tuple(runs[i] for i in doubtful if i not in weights),
    )


def _worst(doubtful: Iterable[int], misfit: FloatArray, most: int = MOST_WEIGHED) -> list[int]:
    """Return at most so many runs in doubt, those that differ most, in the order of the sheet."""
    by_misfit = sorted(doubtful, key=lambda i: -np.nan_to_num(misfit[i], nan=-1.0))
    return sorted(by_misfit[:most])


def _misfits(fit: SharedFit) -> FloatArray:
    """Return each run's sum of squares as seen from the others."""
    found = np.empty(fit.cups.n)
    for run in range(fit.cups.n):
        one = fit.views.pick([run])
        found[run] = float(misfits(rest_without(fit, [run]), one)[0])
    return found


def _doubtful(cases: tuple[Case, ...], fit: SharedFit, misfit: FloatArray) -> list[int]:
    """Return the runs whose hypotheses are worth weighing."""
    found = []
    for i, case in enumerate(cases):
        far = [
            abs(case.habits.odd(row, i, case.values[row])) > FAR_FROM_USUAL
            for row in (REAGENT, DILUENT, TARE, SAMPLE)
            if row in case.values
        ]
        # A cup that the model cannot be asked about is judged only if nobody can have meant it.
        if not bool(fit.views.possible[i]) and not is_far_from_plan(case):
            continue
        if misfit[i] > WORTH_WEIGHING or any(far):
            found.append(i)
    return found


def _row_may_be_off(fit: SharedFit, doubtful: list[int]) -> bool:
    """Return whether something may be wrong with all runs alike."""
    pulled = abs(float(fit.shared[CONCENTRATION])) > PULLED
    many = max(MANY_DOUBTFUL, MANY_PART * fit.cups.n)
    return pulled or len(doubtful) >= many or not fit.agrees


def _column_may_be_off(fit: SharedFit, misfit: FloatArray, doubtful: list[int]) -> bool:
    """Return whether many runs are off: some by much, or the others by a little each."""
    in_doubt = set(doubtful) | {int(i) for i in np.flatnonzero(~fit.kept & fit.views.possible)}
    judged = [i for i in range(fit.cups.n) if i not in in_doubt and math.isfinite(misfit[i])]
    others = [float(misfit[i]) for i in judged]
    n = len(others)
    # Two differences a run: the sum of squares is 2 n, give or take 2 root n.
    return len(in_doubt) >= MANY_DOUBTFUL or sum(others) > 2.0 * n + 6.0 * math.sqrt(n)


def _shifted(
    cases: tuple[Case, ...], fit: SharedFit, weights: dict[int, RunWeights]
) -> Exchange | None:
    """Return the column that is probably one row off, if one is.

    The shared unknowns of a row with a shifted column are off too: the best few are fitted anew.
    """
    found = sorted(columns_shifted(cases, fit), key=lambda exchange: -exchange.log_evidence)
    single = _single(cases, fit, weights)
    if len(cases) > MOST_TOGETHER:
        # Each takes its time to be fitted anew: the best one, and only if it promises something.
        found = [exchange for exchange in found[:1] if exchange.log_evidence > single]
    walks = [_fitting_anew(cases, exchange) for exchange in found[:SHIFTS_TRIED]]
    tried = together(cases[0].experiment, walks)
    if not tried:
        return None
    best = max(tried, key=lambda exchange: exchange.log_evidence)
    probability = 1.0 / (1.0 + math.exp(min(single - best.log_evidence, 700.0)))
    return replace(best, probability=probability) if probability > 0.5 else None


def _single(cases: tuple[Case, ...], fit: SharedFit, weights: dict[int, RunWeights]) -> float:
    """Return the logarithm of the evidence that only slips in single runs were made, or none.

    What slips add to the evidence of a run that is not in doubt is little and much the same for
    all: of a long row some stand for all of them.
    """
    others = [i for i in range(len(cases)) if i not in weights]
    known = sum(weighed.log_evidence for weighed in weights.values())
    if len(cases) <= MOST_TOGETHER:
        return known + sum(weigh_run(cases[i], fit).log_evidence for i in others)
    plain = log_row(cases, fit)
    some = [others[place] for place in spread_over(len(others), SAMPLED)]
    added = [weigh_run(cases[i], fit).log_evidence - float(plain[i]) for i in some]
    return known + float(plain[others].sum()) + len(others) * float(np.mean(added))


def _fitting_anew(cases: tuple[Case, ...], exchange: Exchange) -> Walk[Exchange]:
    """Walk to the evidence of a column put back into its own rows."""
    experiment, odds = cases[0].experiment, cases[0].odds
    runs = tuple(case.run for case in cases)
    table = put_back(cases[0].table, exchange)
    problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
    fit = yield from fitting(shared_prior(problem), cups_of(problem))
    habits = habits_of(experiment, runs, fit.cups)
    moved = tuple(case_of(experiment, table, odds, habits, runs, i) for i in range(len(runs)))
    return replace(exchange, log_evidence=exchange.log_rate + float(log_row(moved, fit).sum()))


def _exchanged(
    cases: tuple[Case, ...],
    fit: SharedFit,
    weights: dict[int, RunWeights],
    misfit: FloatArray,
) -> tuple[Exchange, ...]:
    """Return the exchanges of two doubtful runs with their probabilities."""
    index = {case.run: i for i, case in enumerate(cases)}
    found = list(pairs_exchanged(cases, fit, _worst(weights, misfit, MOST_PAIRED)))
    logs = [
        e.log_evidence - sum(weights[index[run]].log_evidence for run in e.source) for e in found
    ]
    if not found:
        return ()
    parts = np.exp(np.minimum(np.array(logs), 600.0))
    whole = 1.0 + float(parts.sum())
    with_probability = [
        replace(e, probability=float(part) / whole) for e, part in zip(found, parts, strict=True)
    ]
    return tuple(sorted(with_probability, key=lambda e: -e.probability))


def seen_from_others(weights: SeriesWeights, run: int) -> tuple[float, float]:
    """Return the two differences of a run, as read, as seen from the others, [g]."""
    gap, _ = rest_without(weights.fit, [run]).gaps(weights.fit.views.pick([run]))
    return float(gap[0, 0]), float(gap[0, 1])
