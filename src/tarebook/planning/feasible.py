"""Wishes granted, or refused with the nearest thing that works."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from tarebook.core.errors import OutOfRangeError, TarebookError
from tarebook.core.units import litres, millilitres
from tarebook.planning.advice import Advice
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
from tarebook.planning.remedies import PLACEMENT
from tarebook.planning.rows import even_row, grid
from tarebook.planning.rules_bench import head_share
from tarebook.planning.rules_row import FEWEST_RUNS
from tarebook.planning.span import equivalence_range
from tarebook.planning.wishes import ImpossibleWishError, Wishes
from tarebook.series.experiment import Experiment

Change = Callable[[Experiment, float], Experiment]

CHANGE_TWO = "No single other amount mends it; change two at once."

SANE = (1e-6, 1e6)
"""Amounts, in the units in which they are typed, outside of which nothing is searched."""

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
    if not wishes.any_amount:
        return experiment
    if experiment.grows == "sample":
        because = "a row in which the sample grows is not laid out by wishes"
        raise ImpossibleWishError(_spoken(wishes), because, "Change sample_g in the definition.")
    n_runs = len(experiment.planned) if wishes.n_runs is None else wishes.n_runs
    if not FEWEST_RUNS <= n_runs <= MOST_RUNS:
        nearest = FEWEST_RUNS if n_runs < FEWEST_RUNS else MOST_RUNS
        because = (
            "fewer than two runs on either side show no equivalence point"
            if n_runs < FEWEST_RUNS
            else f"a row of more than {MOST_RUNS} cannot be laid out"
        )
        raise ImpossibleWishError(f"--runs {n_runs}", because, f"Use --runs {nearest}.")
    _require_sane(wishes)
    _require_what_can_be_had(experiment, wishes, n_runs)
    changed = _amounts(experiment, wishes)
    planned = _laid_out(changed, n_runs, wishes)
    if planned is not None and not _stops(planned):
        return planned
    because = _because(changed, planned, n_runs)
    raise ImpossibleWishError(_spoken(wishes), because, _instead(experiment, wishes, n_runs))


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
        name = (bought.name if bought else "") or "what the stock is made from"
        because = (
            f"no solution of {experiment.reaction.reagent} holds more than {strongest:.3g} mol/L"
            if bought is None or bought.solution is None
            else f"{name} holds {strongest:.3g} mol/L, and it can only be diluted"
        )
        only, others = Wishes(stock=stock, best=wishes.best), replace(wishes, stock=None)
    elif mass is not None and not can_be_taken(experiment, mass):
        piece, own = experiment.sample.piece, experiment.equipment.sample_balance
        if piece is None and mass < own.readability:
            return  # How badly so little is known is said by the rule of the balance.
        because = (
            f"the {own.name} shows no such mass"
            if piece is None
            else f"a piece weighs about {piece.mass:g} g, and a portion is a whole number of "
            f"{piece.mass * piece.part:g} g"
        )
        only, others = Wishes(sample_mass=mass, best=wishes.best), replace(wishes, sample_mass=None)
    else:
        return
    found = _one_changed(experiment, _amounts(experiment, others), n_runs, wishes, only)
    nearest = _works_instead(found) if found else CHANGE_TWO
    raise ImpossibleWishError(_spoken(only), because, nearest)


def _require_sane(wishes: Wishes) -> None:
    """Refuse an amount that is no amount at all: from such a number nothing can be searched."""
    least, most = SANE
    for option, value, unit in (
        ("--total-mL", wishes.total_volume and millilitres(wishes.total_volume), "mL"),
        ("--sample-g", wishes.sample_mass, "g"),
        ("--stock-mol-per-L", wishes.stock, "mol/L"),
    ):
        if value is None or least <= value <= most:
            continue
        because = f"it must be a number above zero, from {least:g} to {most:.0f} {unit}"
        raise ImpossibleWishError(f"{option} {value:g}", because, "")


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


def _instead(experiment: Experiment, wishes: Wishes, n_runs: int) -> str:
    """Return what works instead: one amount changed, else each wish alone, as near as can be."""
    found = _one_changed(experiment, _amounts(experiment, wishes), n_runs, wishes)
    if found:
        return _works_instead(found)
    alone = []
    for wish in _apart(wishes):
        changed = _amounts(experiment, wish)
        planned = _laid_out(changed, n_runs, wish)
        if planned is not None and not _stops(planned):
            alone.append(_spoken(wish))
        else:
            alone += _one_changed(experiment, changed, n_runs, wish, only=wish)
    if not alone:
        return CHANGE_TWO
    return (
        f"Works instead, all else as in the definition (checked with the model): "
        f"{', or '.join(alone)}."
    )


def _apart(wishes: Wishes) -> tuple[Wishes, ...]:
    """Return the wished amounts one by one."""
    each = (
        Wishes(total_volume=wishes.total_volume, best=wishes.best),
        Wishes(sample_mass=wishes.sample_mass, best=wishes.best),
        Wishes(stock=wishes.stock, best=wishes.best),
    )
    return tuple(wish for wish in each if wish.any_amount)


def nearest_that_works(changed: Experiment, n_runs: int, wishes: Wishes) -> str:
    """Return a sentence: the nearest other stock, sample or total with which a row can be planned.

    Parameters
    ----------
    changed : Experiment
    n_runs : int
    wishes : Wishes
    """
    found = _one_changed(changed, changed, n_runs, wishes)
    return _works_instead(found) if found else CHANGE_TWO


def _works_instead(found: Sequence[str]) -> str:
    return f"Works instead (checked with the model): {', or '.join(found)}."


def _one_changed(
    experiment: Experiment,
    changed: Experiment,
    n_runs: int,
    wishes: Wishes,
    only: Wishes | None = None,
) -> list[str]:
    """Return the nearest stock, sample and total with which a row can be laid out, in words.

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
    ways: tuple[tuple[float | None, Iterable[float], Change, str], ...] = (
        (wishes.stock, _stocks(experiment, changed), with_stock, "--stock-mol-per-L"),
        (wishes.sample_mass, _samples(experiment, changed), with_sample, "--sample-g"),
        (wishes.total_volume, _totals(changed), with_total, "--total-mL"),
    )
    found = [
        _nearest(values, change, changed, n_runs, wishes, option)
        for wished, values, change, option in ways
        if only is None or wished is not None
    ]
    return [words for words in found if words]


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
        return clause(_stops(planned)[0].message)
    if changed.total_volume > changed.vessel.capacity:
        return f"the {changed.vessel.name} holds {millilitres(changed.vessel.capacity):g} mL"
    volumes = grid(changed).reagent
    equipment = changed.equipment
    total = f"{millilitres(changed.total_volume):g} mL"
    if len(volumes) < n_runs:
        ware = " and ".join(
            f"the {name}"
            for name in dict.fromkeys((equipment.reagent.name, equipment.diluent.name))
        )
        return f"with {ware} a row of {n_runs} different pours to {total} cannot be measured"
    apart = _apart_from_placement(changed)
    if apart:
        return clause(apart)
    low, high = equivalence_range(changed, content_range(changed))
    at = f"{millilitres(low):.3g} to {millilitres(high):.3g} mL"
    ends = f"{millilitres(volumes[0]):g} to {millilitres(volumes[-1]):g} mL"
    return (
        f"the equivalence point lies at {at} of reagent, and with this ware and {total} in all a "
        f"row can go from {ends}, with at least two runs on either side"
    )


def _apart_from_placement(experiment: Experiment) -> str:
    """Return what is wrong wherever the runs are placed; empty if nothing."""
    try:
        found = _stops(experiment)
    except TarebookError as error:
        return beyond(error)
    return next((advice.message for advice in found if advice.code not in PLACEMENT), "")


def beyond(error: TarebookError) -> str:
    """Return that the model ends, and where, as a sentence."""
    if isinstance(error, OutOfRangeError) and error.value < 0:
        return "So strong a stock leaves no room for water: there is no such solution."
    first = str(error).partition(". ")[0].rstrip(".")
    return f"The solution is beyond what the model of the cup holds for ({first})."


def clause(message: str) -> str:
    """Return a sentence as a part of another."""
    text = message.rstrip(".")
    return text[0].lower() + text[1:]


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
