"""Amounts that make a plan work: searched among pleasing numbers, each checked with the model."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from tarebook.core.arrays import FloatArray
from tarebook.core.errors import TarebookError
from tarebook.core.phrase import Phrase, Value
from tarebook.core.tables import reference_table
from tarebook.core.units import litres, millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.measurement.instruments import balance
from tarebook.measurement.weighing import Balance
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
DISSOLVES = "sample-does-not-dissolve"
MENDED = PLACEMENT | WEIGHING | VESSEL | {DISSOLVES}
"""Codes of findings for which remedies are looked for."""


class RemedyKind(StrEnum):
    """What is changed."""

    STOCK = "stock"
    SAMPLE = "sample"
    ROW = "row"
    BALANCE = "balance"
    VESSEL = "vessel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """A change that makes a plan work; the same model has checked that it does.

    Attributes
    ----------
    kind : RemedyKind
    use : Phrase
        What to use instead.
    value : float
        The new amount in its memory unit; the step of an even row.
    equivalence : float, [L]
        Where the equivalence point then lies.
    """

    kind: RemedyKind
    use: Phrase
    value: float
    equivalence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What a look at a row found.

    Attributes
    ----------
    findings : tuple of Finding
    remedies : mapping of str to tuple of Remedy
        What would mend it, by the code of the finding.
    """

    findings: tuple[Finding, ...]
    remedies: Mapping[str, tuple[Remedy, ...]]


def with_remedies(
    experiment: Experiment, contents: ContentRange, best: Best, found: Iterable[Finding]
) -> Judged:
    """Return findings with what to do; each remedy silences its finding and raises no stop.

    Parameters
    ----------
    experiment : Experiment
    contents : ContentRange
    best : Best
    found : iterable of Finding
        Of `faults`.
    """
    findings, remedies = [], {}
    for finding in found:
        if finding.code in MENDED:
            ways = _remedies(experiment, contents, best, finding)
            remedies[finding.code] = ways
            finding = replace(finding, do=_do(ways))
        findings.append(finding)
    return Judged(findings=tuple(findings), remedies=remedies)


def works(experiment: Experiment, contents: ContentRange, without: str = "") -> bool:
    """Return whether a plan has no finding of severity stop, nor the named one of any severity."""
    try:
        left = faults(experiment, contents)
    except TarebookError:
        return False
    return not any(each.severity is Severity.STOP or each.code == without for each in left)


def _do(ways: tuple[Remedy, ...]) -> Phrase:
    """Return what to do, with the remedies that were found."""
    if not ways:
        return Phrase.of("remedy-none")
    return Phrase.of("remedy-any", n=len(ways), ways=tuple(remedy.use for remedy in ways))


def _remedies(
    experiment: Experiment, contents: ContentRange, best: Best, finding: Finding
) -> tuple[Remedy, ...]:
    """Return what would mend a finding whose code is in `MENDED`."""
    code = finding.code
    if code in PLACEMENT:
        return tuple(_placements(experiment, contents, best, code))
    if code in VESSEL:
        return tuple(_vessels(experiment, contents, best, code))
    if code == DISSOLVES:
        return tuple(_samples(experiment, contents, best, code, lower=True))
    ways = tuple(_weighings(experiment, contents, best, code))
    if not ways and finding.severity is Severity.STOP:
        # What leaves a caution is better than nothing.
        return tuple(_samples(experiment, contents, best, "", lower=False))
    return ways


def _placements(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    """Yield another stock, another sample mass, another row."""
    for strength in other_stocks(experiment):
        changed = with_stock(experiment, strength)
        if placement_is_good(changed, contents) and works(changed, contents, code):
            use = Phrase.of(
                "remedy-stock", strength_mol_per_L=strength, name=experiment.reagent.name
            )
            yield _remedy(changed, contents, RemedyKind.STOCK, use, strength)
            break
    for other in other_samples(experiment, TWO_DIGITS):
        changed = with_sample(experiment, other)
        if placement_is_good(changed, contents) and works(changed, contents, code):
            use = Phrase.of("remedy-sample", sample_g=other)
            yield _remedy(changed, contents, RemedyKind.SAMPLE, use, other)
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
        use = Phrase.of("remedy-row", **_ends(row), step_mL=millilitres(step))
        yield _remedy(changed, contents, RemedyKind.ROW, use, step)


def _ends(row: FloatArray) -> dict[str, Value]:
    """Return the first and the last pour of a row."""
    return {"first_mL": millilitres(float(row[0])), "last_mL": millilitres(float(row[-1]))}


def _samples(
    experiment: Experiment, contents: ContentRange, best: Best, code: str, *, lower: bool
) -> Iterator[Remedy]:
    """Yield the nearest other sample mass that works, the row laid out anew for it if need be."""
    mass = experiment.sample.nominal_mass
    for other in other_samples(experiment, TWO_DIGITS):
        if (other < mass) is not lower:
            continue
        changed = with_sample(experiment, other)
        use = Phrase.of("remedy-sample", sample_g=other)
        if not placement_is_good(changed, contents):
            n_runs = max(len(changed.planned), FEWEST_RUNS)
            row = even_row(changed, n_runs, contents, best)
            if row is None:
                continue
            changed = with_row(changed, row)
            use = Phrase.of("remedy-sample-and-row", sample_g=other, **_ends(row))
        if works(changed, contents, code):
            yield _remedy(changed, contents, RemedyKind.SAMPLE, use, other)
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
        # A finer balance cannot mend where the equivalence point lies; that has its own finding.
        left = faults(changed, contents)
        if not any(each.code == code for each in left):
            use = balance_phrase(finer)
            yield _remedy(changed, contents, RemedyKind.BALANCE, use, finer.readability)
            return


def balance_phrase(finer: Balance) -> Phrase:
    """Return a balance of the table, by its finest step."""
    return Phrase.of("plan-balance", step_g=finer.readability)


def _vessels(
    experiment: Experiment, contents: ContentRange, best: Best, code: str
) -> Iterator[Remedy]:
    """Yield a larger vessel or less sample."""
    for size in VESSELS_ML:
        if litres(float(size)) <= experiment.vessel.capacity:
            continue
        changed = with_vessel(experiment, litres(float(size)))
        if not any(each.code in VESSEL for each in faults(changed, contents)):
            use = Phrase.of("remedy-vessel", capacity_mL=float(size))
            yield _remedy(changed, contents, RemedyKind.VESSEL, use, litres(float(size)))
            break
    if code == "vessel-foams-over":
        yield from _samples(experiment, contents, best, code, lower=True)


def _remedy(
    changed: Experiment, contents: ContentRange, kind: RemedyKind, use: Phrase, value: float
) -> Remedy:
    at = facts(changed, contents).at
    return Remedy(kind=kind, use=use, value=value, equivalence=at)
