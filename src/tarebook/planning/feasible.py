"""Wishes granted, or refused with the nearest thing that works."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

import numpy as np

from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.phrase import Phrase, beyond_range
from tarebook.core.units import litres, millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.findings.instruments import called
from tarebook.planning.changes import (
    PLEASING,
    TWO_DIGITS,
    can_be_taken,
    other_samples,
    pleasing_numbers,
    strongest_stock,
    with_row,
    with_sample,
    with_stock,
    with_total,
)
from tarebook.planning.contents import content_range
from tarebook.planning.judge import faults
from tarebook.planning.refusals import Amount, ImpossibleWishError, Nearest, Wished
from tarebook.planning.remedies import PLACEMENT
from tarebook.planning.rows import even_row, grid
from tarebook.planning.rules_bench import head_share
from tarebook.planning.rules_row import FEWEST_RUNS
from tarebook.planning.span import equivalence_range
from tarebook.planning.wishes import Wishes
from tarebook.series.experiment import Experiment

Change = Callable[[Experiment, float], Experiment]

SANE = (1e-6, 1e6)
"""Amounts, in mL, g or mol/L as they are typed, outside of which nothing is searched."""

NEARBY = 100.0
"""A search goes to so many times more or less."""

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
    if not wishes.amounts:
        return experiment
    if experiment.grows == "sample":
        raise ImpossibleWishError(wishes.amounts, Phrase.of("refusal-sample-grows"))
    n_runs = len(experiment.planned) if wishes.n_runs is None else wishes.n_runs
    _require_a_row(n_runs)
    _require_sane(wishes)
    _require_what_can_be_had(experiment, wishes, n_runs)
    changed = _amounts(experiment, wishes)
    planned = _laid_out(changed, n_runs, wishes)
    if planned is not None and not _stops(planned):
        return planned
    because = _because(changed, planned, n_runs)
    raise ImpossibleWishError(wishes.amounts, because, _instead(experiment, wishes, n_runs))


def _require_a_row(n_runs: int) -> None:
    """Refuse a number of runs with which nothing can be shown or laid out."""
    if FEWEST_RUNS <= n_runs <= MOST_RUNS:
        return
    few = n_runs < FEWEST_RUNS
    wished, nearest = (
        Amount(of=Wished.N_RUNS, value=number)
        for number in (n_runs, FEWEST_RUNS if few else MOST_RUNS)
    )
    key = "refusal-too-few-runs" if few else "refusal-too-many-runs"
    because = Phrase.of(key, fewest=FEWEST_RUNS, most=MOST_RUNS)
    raise ImpossibleWishError([wished], because, Nearest(amounts=(nearest,), checked=False))


def _amounts(experiment: Experiment, wishes: Wishes) -> Experiment:
    changed = experiment
    if wishes.total_volume is not None:
        changed = with_total(changed, wishes.total_volume)
    if wishes.sample_mass is not None:
        changed = with_sample(changed, wishes.sample_mass)
    if wishes.stock is not None:
        changed = with_stock(changed, wishes.stock)
    return changed


def _require_what_can_be_had(experiment: Experiment, wishes: Wishes, n_runs: int) -> None:
    """Refuse a stock stronger than its bottle and a portion that no pieces or scale can give."""
    stock, mass = wishes.stock, wishes.sample_mass
    strongest = strongest_stock(experiment)
    if stock is not None and stock > strongest:
        bought = experiment.preparation.bought
        if bought is None or bought.solution is None:
            name, key = experiment.reaction.reagent, "refusal-no-such-solution"
        else:
            name = bought.name
            key = "refusal-stronger-than-bottle" if name else "refusal-stronger-than-bought"
        because = Phrase.of(key, name=name, strongest_mol_per_L=strongest)
        only, others = Wishes(stock=stock, best=wishes.best), replace(wishes, stock=None)
    elif mass is not None and not can_be_taken(experiment, mass):
        piece, own = experiment.sample.piece, experiment.equipment.sample_balance
        if piece is not None:
            part = piece.mass * piece.part
            because = Phrase.of("refusal-between-pieces", piece_g=piece.mass, part_g=part)
        elif mass < own.readability:
            return  # How badly so little is known is said by the rule of the balance.
        else:
            because = Phrase.of("refusal-between-steps", balance=called(own))
        only, others = Wishes(sample_mass=mass, best=wishes.best), replace(wishes, sample_mass=None)
    else:
        return
    found = _one_changed(experiment, _amounts(experiment, others), n_runs, wishes, only)
    raise ImpossibleWishError(only.amounts, because, Nearest(amounts=found))


def _require_sane(wishes: Wishes) -> None:
    """Refuse an amount that is no amount at all: from such a number nothing can be searched."""
    for amount in wishes.amounts:
        if amount.of is Wished.N_RUNS:
            continue
        typed = millilitres(amount.value) if amount.of is Wished.TOTAL_VOLUME else amount.value
        least, most = SANE
        if not least <= typed <= most:
            because = Phrase.of("refusal-no-amount", of=amount.of, least=least, most=most)
            raise ImpossibleWishError([amount], because)


def _laid_out(experiment: Experiment, n_runs: int, wishes: Wishes) -> Experiment | None:
    """Return the experiment with the best even row; None where there is none."""
    if experiment.total_volume > experiment.vessel.capacity:
        return None
    try:
        row = even_row(experiment, n_runs, content_range(experiment), wishes.best)
    except TarebookError:
        return None
    return None if row is None else with_row(experiment, row)


def _stops(experiment: Experiment) -> tuple[Finding, ...]:
    found = faults(experiment, content_range(experiment))
    return tuple(finding for finding in found if finding.severity is Severity.STOP)


def _instead(experiment: Experiment, wishes: Wishes, n_runs: int) -> Nearest:
    """Return what works instead: one amount changed, else each wish alone, as near as can be."""
    found = _one_changed(experiment, _amounts(experiment, wishes), n_runs, wishes)
    if found:
        return Nearest(amounts=found)
    alone: list[Amount] = []
    for wish in _apart(wishes):
        changed = _amounts(experiment, wish)
        planned = _laid_out(changed, n_runs, wish)
        if planned is not None and not _stops(planned):
            alone += wish.amounts
        else:
            alone += _one_changed(experiment, changed, n_runs, wish, only=wish)
    return Nearest(amounts=tuple(alone), all_else_as_defined=True)


def _apart(wishes: Wishes) -> tuple[Wishes, ...]:
    """Return the wished amounts one by one."""
    each = (
        Wishes(total_volume=wishes.total_volume, best=wishes.best),
        Wishes(sample_mass=wishes.sample_mass, best=wishes.best),
        Wishes(stock=wishes.stock, best=wishes.best),
    )
    return tuple(wish for wish in each if wish.amounts)


def nearest_that_works(changed: Experiment, n_runs: int, wishes: Wishes) -> Nearest:
    """Return the nearest other stock, sample or total with which a row can be planned.

    Parameters
    ----------
    changed : Experiment
    n_runs : int
    wishes : Wishes
    """
    return Nearest(amounts=_one_changed(changed, changed, n_runs, wishes))


def _one_changed(
    experiment: Experiment,
    changed: Experiment,
    n_runs: int,
    wishes: Wishes,
    only: Wishes | None = None,
) -> tuple[Amount, ...]:
    """Return the nearest stock, sample and total with which a row can be laid out, each alone.

    Parameters
    ----------
    experiment : Experiment
        The definition's; a search for another amount reaches beyond its own.
    changed : Experiment
        With the wishes.
    n_runs : int
    wishes : Wishes
    only : Wishes, optional
        Look for other values of these amounts alone.
    """
    ways: tuple[tuple[float | None, Iterable[float], Change, Wished], ...] = (
        (wishes.stock, _stocks(experiment, changed), with_stock, Wished.STOCK),
        (wishes.sample_mass, _samples(experiment, changed), with_sample, Wished.SAMPLE_MASS),
        (wishes.total_volume, _totals(changed), with_total, Wished.TOTAL_VOLUME),
    )
    found = (
        (of, _nearest(values, change, changed, n_runs, wishes))
        for wished, values, change, of in ways
        if only is None or wished is not None
    )
    return tuple(Amount(of=of, value=value) for of, value in found if value is not None)


def _because(changed: Experiment, planned: Experiment | None, n_runs: int) -> Phrase:
    if planned is not None:
        return _stops(planned)[0].phrase
    vessel, total = changed.vessel, changed.total_volume
    if total > vessel.capacity:
        capacity_mL = millilitres(vessel.capacity)  # noqa: N806 - the unit is part of the name
        return Phrase.of("refusal-vessel-too-small", vessel=vessel.name, capacity_mL=capacity_mL)
    volumes = grid(changed).reagent
    if len(volumes) < n_runs:
        ware = (changed.equipment.reagent.name, changed.equipment.diluent.name)
        return Phrase.of(
            "refusal-not-measurable",
            ware=tuple(dict.fromkeys(ware)),
            runs=n_runs,
            total_mL=millilitres(total),
        )
    apart = _apart_from_placement(changed)
    if apart is not None:
        return apart
    low, high = equivalence_range(changed, content_range(changed))
    return Phrase.of(
        "refusal-out-of-reach",
        low_mL=millilitres(low),
        high_mL=millilitres(high),
        first_mL=millilitres(float(volumes[0])),
        last_mL=millilitres(float(volumes[-1])),
        total_mL=millilitres(total),
    )


def _apart_from_placement(experiment: Experiment) -> Phrase | None:
    """Return what is wrong wherever the runs are placed; None if nothing."""
    try:
        found = _stops(experiment)
    except TarebookError as error:
        return beyond(error)
    return next((one.phrase for one in found if one.code not in PLACEMENT), None)


def beyond(error: TarebookError) -> Phrase:
    """Return where the model ends, from what it raised.

    Parameters
    ----------
    error : TarebookError
    """
    if not isinstance(error, OutOfRangeError):
        return Phrase.of("refusal-model-ends")
    if error.value < 0:
        return Phrase.of("refusal-no-room-for-water")
    return Phrase.of("refusal-beyond-model", where=beyond_range(error))


def _stocks(experiment: Experiment, changed: Experiment) -> Iterable[float]:
    own, now = (each.reagent.concentration.value for each in (experiment, changed))
    strongest = strongest_stock(experiment)
    return (c for c in pleasing_numbers(now, reach=_reach(own, now)) if c <= strongest)


def _samples(experiment: Experiment, changed: Experiment) -> Iterable[float]:
    own, now = (each.sample.nominal_mass for each in (experiment, changed))
    reach = _reach(own, now)
    # From far away two digits are finer than anybody needs.
    return other_samples(changed, TWO_DIGITS if reach == NEARBY else PLEASING, reach)


def _reach(own: float, now: float) -> float:
    """Return how far to look from a wished amount: beyond the definition's own."""
    return max(NEARBY, 2.0 * max(own / now, now / own))


def _totals(experiment: Experiment) -> Iterable[float]:
    """Return other totals, the nearest first, with as much head space as is common practice."""
    total, holds = millilitres(experiment.total_volume), experiment.vessel.capacity
    roomy = [v for v in TOTALS_ML if litres(v) * (1.0 + head_share()) <= holds * (1.0 + 1e-9)]
    return (litres(v) for v in sorted(roomy, key=lambda v: (abs(v - total), v)))


def _nearest(
    values: Iterable[float], change: Change, experiment: Experiment, n_runs: int, wishes: Wishes
) -> float | None:
    """Return the nearest value of one amount with which a row can be laid out, if there is one."""
    for value in values:
        try:
            tried = change(experiment, value)
        except TarebookError:
            continue
        planned = _laid_out(tried, n_runs, wishes)
        if planned is not None and not _stops(planned):
            return value
    return None
