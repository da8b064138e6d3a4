"""Wishes granted, or refused with the nearest thing that works."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

import numpy as np

from tarebook.core.errors import TarebookError
from tarebook.core.units import litres, millilitres
from tarebook.planning.advice import Advice
from tarebook.planning.changes import (
    TWO_DIGITS,
    pleasing_numbers,
    with_row,
    with_sample,
    with_stock,
    with_total,
)
from tarebook.planning.contents import content_range
from tarebook.planning.judge import faults
from tarebook.planning.remedies import PLACEMENT
from tarebook.planning.rows import equivalence_range, even_row, grid
from tarebook.planning.rules_row import FEWEST_RUNS
from tarebook.planning.wishes import ImpossibleWishError, Wishes
from tarebook.series.experiment import Experiment

MOST_RUNS = 60
"""A row of more is a course of its own."""

TOTALS_ML = tuple(
    float(v) for v in (*np.arange(2, 10, 0.5), *np.arange(10, 100, 1), *np.arange(100, 1001, 10))
)
"""Total volumes that are tried, in mL."""


def granted(experiment: Experiment, wishes: Wishes) -> Experiment:
    """Return the experiment with the wishes fulfilled and a row laid out for them.

    Without a wished amount it is the experiment itself, row and all.

    Parameters
    ----------
    experiment : Experiment
    wishes : Wishes

    Raises
    ------
    ImpossibleWishError
        With why, and the nearest that works.
    """
    if not wishes.any_amount:
        return experiment
    n_runs = len(experiment.planned) if wishes.n_runs is None else wishes.n_runs
    if not FEWEST_RUNS <= n_runs <= MOST_RUNS:
        nearest = FEWEST_RUNS if n_runs < FEWEST_RUNS else MOST_RUNS
        because = (
            "fewer than two runs on either side show no change-over"
            if n_runs < FEWEST_RUNS
            else f"a row of more than {MOST_RUNS} cannot be laid out"
        )
        raise ImpossibleWishError(f"--runs {n_runs}", because, f"Use --runs {nearest}.")
    changed = _amounts(experiment, wishes)
    planned = _laid_out(changed, n_runs, wishes)
    if planned is not None and not _stops(planned):
        return planned
    raise _refusal(wishes, changed, planned, n_runs)


def _amounts(experiment: Experiment, wishes: Wishes) -> Experiment:
    changed = experiment
    if wishes.total_volume is not None:
        if not 0 < wishes.total_volume < math.inf:
            raise _not_positive("--total-mL", millilitres(wishes.total_volume))
        changed = with_total(changed, wishes.total_volume)
    if wishes.sample_mass is not None:
        if not 0 < wishes.sample_mass < math.inf:
            raise _not_positive("--sample-g", wishes.sample_mass)
        changed = with_sample(changed, wishes.sample_mass)
    if wishes.stock is not None:
        if not 0 < wishes.stock < math.inf:
            raise _not_positive("--stock-mol-per-L", wishes.stock)
        changed = with_stock(changed, wishes.stock)
    return changed


def _not_positive(option: str, value: float) -> ImpossibleWishError:
    return ImpossibleWishError(f"{option} {value:g}", "it must be a number above zero", "")


def _laid_out(experiment: Experiment, n_runs: int, wishes: Wishes) -> Experiment | None:
    """Return the experiment with the best even row; None where there is none."""
    if experiment.total_volume > experiment.vessel.capacity:
        return None
    try:
        row = even_row(experiment, n_runs, content_range(experiment), wishes.best)
    except TarebookError:
        return None
    return None if row is None else with_row(experiment, row)


def _stops(experiment: Experiment) -> tuple[Advice, ...]:
    found = faults(experiment, content_range(experiment))
    return tuple(advice for advice in found if advice.severity == "stop")


def _refusal(
    wishes: Wishes, changed: Experiment, planned: Experiment | None, n_runs: int
) -> ImpossibleWishError:
    """Return the refusal: the wishes, why they cannot be had, and the nearest that works."""
    because = _because(changed, planned, n_runs)
    return ImpossibleWishError(
        _spoken(wishes), because, nearest_that_works(changed, n_runs, wishes)
    )


def nearest_that_works(changed: Experiment, n_runs: int, wishes: Wishes) -> str:
    """Return a sentence: the nearest other stock, sample or total with which a row can be planned.

    Parameters
    ----------
    changed : Experiment
    n_runs : int
    wishes : Wishes
    """
    works = [
        words
        for words in (
            _nearest(_stocks(changed), with_stock, changed, n_runs, wishes, "--stock-mol-per-L"),
            _nearest(_samples(changed), with_sample, changed, n_runs, wishes, "--sample-g"),
            _nearest(_totals(changed), with_total, changed, n_runs, wishes, "--total-mL"),
        )
        if words
    ]
    if not works:
        return "No single other amount mends it; change two at once."
    return f"Works instead (checked with the model): {', or '.join(works)}."


def _spoken(wishes: Wishes) -> str:
    parts = []
    if wishes.total_volume is not None:
        parts.append(f"--total-mL {millilitres(wishes.total_volume):g}")
    if wishes.n_runs is not None:
        parts.append(f"--runs {wishes.n_runs}")
    if wishes.sample_mass is not None:
        parts.append(f"--sample-g {wishes.sample_mass:g}")
    if wishes.stock is not None:
        parts.append(f"--stock-mol-per-L {wishes.stock:g}")
    return " ".join(parts)


def _because(changed: Experiment, planned: Experiment | None, n_runs: int) -> str:
    if planned is not None:
        return _clause(_stops(planned)[0].message)
    if changed.total_volume > changed.vessel.capacity:
        return f"the {changed.vessel.name} holds {millilitres(changed.vessel.capacity):g} mL"
    volumes = grid(changed).reagent
    equipment = changed.equipment
    total = f"{millilitres(changed.total_volume):g} mL"
    if len(volumes) < n_runs:
        return (
            f"with the {equipment.reagent.name} and the {equipment.diluent.name} a row of "
            f"{n_runs} different pours to {total} cannot be measured"
        )
    apart = _apart_from_placement(changed)
    if apart:
        return _clause(apart)
    low, high = equivalence_range(changed, content_range(changed))
    at = f"{millilitres(low):.3g} to {millilitres(high):.3g} mL"
    ends = f"{millilitres(volumes[0]):g} to {millilitres(volumes[-1]):g} mL"
    return (
        f"the change-over lies at {at} of reagent, and with this ware and {total} in all a row can "
        f"go from {ends}, with at least two runs on either side"
    )


def _apart_from_placement(experiment: Experiment) -> str:
    """Return what is wrong wherever the runs are placed; empty if nothing."""
    try:
        found = _stops(experiment)
    except TarebookError as error:
        first = str(error).partition(". ")[0]
        return f"The solution is beyond what the model of the cup holds for ({first})."
    return next((advice.message for advice in found if advice.code not in PLACEMENT), "")


def _clause(message: str) -> str:
    text = message.rstrip(".")
    return text[0].lower() + text[1:]


Change = Callable[[Experiment, float], Experiment]


def _stocks(experiment: Experiment) -> Iterable[float]:
    return pleasing_numbers(experiment.reagent.concentration.value)


def _samples(experiment: Experiment) -> Iterable[float]:
    return pleasing_numbers(experiment.sample.nominal_mass, TWO_DIGITS)


def _totals(experiment: Experiment) -> Iterable[float]:
    total = millilitres(experiment.total_volume)
    return (litres(v) for v in sorted(TOTALS_ML, key=lambda v: (abs(v - total), v)))


def _nearest(
    values: Iterable[float],
    change: Change,
    experiment: Experiment,
    n_runs: int,
    wishes: Wishes,
    option: str,
) -> str:
    """Return the nearest value of one amount with which a row can be laid out; empty if none."""
    for value in values:
        try:
            tried = change(experiment, value)
        except TarebookError:
            continue
        planned = _laid_out(tried, n_runs, wishes)
        if planned is not None and not _stops(planned):
            shown = millilitres(value) if option == "--total-mL" else value
            return f"{option} {shown:g}"
    return ""
