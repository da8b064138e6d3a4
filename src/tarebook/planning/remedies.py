"""Amounts that make a plan work: searched among pleasing numbers, each checked with the model."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tarebook.core.errors import TarebookError
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.measurement.instruments import balance
from tarebook.measurement.weighing import Balance
from tarebook.planning.advice import Advice, Remedy, RemedyKind
from tarebook.planning.changes import (
    TWO_DIGITS,
    other_samples,
    other_stocks,
    with_balances,
    with_row,
    with_sample,
    with_stock,
    with_vessel,
)
from tarebook.planning.contents import ContentRange
from tarebook.planning.facts import facts
from tarebook.planning.judge import faults, placement_is_good
from tarebook.planning.rows import Best, even_row
from tarebook.planning.rules_row import FEWEST_RUNS
from tarebook.series.experiment import Experiment

VESSELS_ML = (50, 100, 150, 200, 250, 400, 500, 600, 800, 1000, 2000)
"""Sizes of beakers that are made (common practice)."""

FINEST = 1e-4
"""Nobody is told to weigh cups on a finer balance than this, [g]."""

PLACEMENT = frozenset({"change-over-outside", "change-over-near-edge"})
WEIGHING = frozenset({"sample-too-small-for-balance", "mass-lost-too-small"})
VESSEL = frozenset({"vessel-foams-over", "vessel-rather-full"})


def with_remedies(
    experiment: Experiment, contents: ContentRange, best: Best, found: Iterable[Advice]
) -> tuple[Advice, ...]:
    """Return advices with what to do, each remedy checked to silence its advice and raise no stop.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    best : Best
    found : iterable of Advice
        Of `faults`.
    """
    return tuple(_with_remedy(experiment, contents, best, advice) for advice in found)


def works(experiment: Experiment, contents: ContentRange, without: str = "") -> bool:
    """Return whether a plan has no finding of severity stop, nor the named one of any severity."""
    try:
        left = faults(experiment, contents)
    except TarebookError:
        return False
    return not any(each.severity == "stop" or each.code == without for each in left)


def _with_remedy(
    experiment: Experiment, contents: ContentRange, best: Best, advice: Advice
) -> Advice:
    if advice.code in PLACEMENT:
        remedies = tuple(_placements(experiment, contents, best, advice.code))
    elif advice.code in WEIGHING:
        remedies = tuple(_weighings(experiment, contents, best, advice.code))
        if not remedies and advice.severity == "stop":
            # What leaves a caution is better than nothing.
            remedies = tuple(_samples(experiment, contents, best, "", lower=False))
    elif advice.code in VESSEL:
        remedies = tuple(_vessels(experiment, contents, best, advice.code))
    elif advice.code == "sample-does-not-dissolve":
        remedies = tuple(_samples(experiment, contents, best, advice.code, lower=True))
    else:
        return advice
    if not remedies:
        do = "No single change of stock, sample, row or vessel mends it: change two at once."
        return replace(advice, do=do)
    words = [remedy.words for remedy in remedies]
    tail = " (each checked with the model)" if len(words) > 1 else " (checked with the model)"
    return replace(advice, do=f"Use {', or '.join(words)}{tail}.", remedies=remedies)


def _placements(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    """Yield another stock, another sample mass, another row."""
    for strength in other_stocks(experiment):
        changed = with_stock(experiment, strength)
        if placement_is_good(changed, contents) and works(changed, contents, code):
            name = experiment.reagent.name
            yield _remedy(changed, contents, "stock", f"{strength:g} mol/L {name}", strength)
            break
    for other in other_samples(experiment, TWO_DIGITS):
        changed = with_sample(experiment, other)
        if placement_is_good(changed, contents) and works(changed, contents, code):
            yield _remedy(changed, contents, "sample", f"{other:g} g of sample", other)
            break
    yield from _rows(experiment, contents, best, code)


def _rows(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    n_runs = max(len(experiment.planned), FEWEST_RUNS)
    if experiment.grows == "sample":
        return
    row = even_row(experiment, n_runs, contents, best)
    if row is None:
        return
    changed = with_row(experiment, row)
    if works(changed, contents, code):
        step = float(row[1] - row[0])
        words = (
            f"a row from {millilitres(float(row[0])):g} to {millilitres(float(row[-1])):g} mL in "
            f"steps of {millilitres(step):.6g} mL"
        )
        yield _remedy(changed, contents, "row", words, step)


def _samples(
    experiment: Experiment, contents: ContentRange, best: Best, code: str, *, lower: bool
) -> Iterator[Remedy]:
    """Yield the nearest other sample mass that works, the row laid out anew for it if need be."""
    mass = experiment.sample.nominal_mass
    for other in other_samples(experiment, TWO_DIGITS):
        if (other < mass) is not lower:
            continue
        changed, words = with_sample(experiment, other), f"{other:g} g of sample"
        if not placement_is_good(changed, contents):
            n_runs = max(len(changed.planned), FEWEST_RUNS)
            row = even_row(changed, n_runs, contents, best)
            if row is None:
                continue
            changed = with_row(changed, row)
            words += (
                f" with a row from {millilitres(float(row[0])):g} to "
                f"{millilitres(float(row[-1])):g} mL"
            )
        if works(changed, contents, code):
            yield _remedy(changed, contents, "sample", words, other)
            return


def finer_balances(than: Balance) -> Iterator[Balance]:
    """Yield balances of the table that are finer, the nearest class first."""
    rows = reference_table("tarebook.measurement", "balances")["rows"]
    steps = sorted((float(row["readability_g"]) for row in rows), reverse=True)
    for step in steps:
        if step < than.readability * (1.0 - 1e-9):
            yield balance(step)


def _weighings(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    """Yield more sample or a finer balance."""
    yield from _samples(experiment, contents, best, code, lower=False)
    equipment = experiment.equipment
    same = equipment.sample_balance == equipment.balance
    only_sample = code == "sample-too-small-for-balance" and not same
    for finer in finer_balances(equipment.sample_balance if only_sample else equipment.balance):
        changed = with_balances(
            experiment,
            main=None if only_sample else finer,
            own=finer if same or only_sample else None,
        )
        if finer.readability < FINEST:
            return
        # A finer balance cannot mend where the equivalence point lies; that has its own advice.
        left = faults(changed, contents)
        if not any(each.code == code for each in left):
            words = f"a {finer.name}"
            yield _remedy(changed, contents, "balance", words, finer.readability)
            return


def _vessels(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    """Yield a larger vessel or less sample."""
    for size in VESSELS_ML:
        if litres(float(size)) <= experiment.vessel.capacity:
            continue
        changed = with_vessel(experiment, litres(float(size)))
        if not any(each.code in VESSEL for each in faults(changed, contents)):
            yield _remedy(
                changed, contents, "vessel", f"a vessel of {size} mL", litres(float(size))
            )
            break
    if code == "vessel-foams-over":
        yield from _samples(experiment, contents, best, code, lower=True)


def _remedy(
    changed: Experiment, contents: ContentRange, kind: RemedyKind, words: str, value: float
) -> Remedy:
    at = facts(changed, contents).at
    return Remedy(kind=kind, words=words, value=value, equivalence=at)
