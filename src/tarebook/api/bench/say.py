"""What is said of a run while it stands on the bench: what its readings mean, and what is odd."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np

from tarebook.api.bench.finals import Finals
from tarebook.api.handover import known_draws
from tarebook.core import defaults
from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import celsius, millilitres
from tarebook.diagnosis.bench import (
    LiquidInCup,
    expected_next,
    liquid_in_cup,
)
from tarebook.diagnosis.liquid import (
    LiquidCheck,
    compare_liquid,
    odd_liquids,
)
from tarebook.diagnosis.readings import check_readings
from tarebook.diagnosis.slips.check import NOT_WEIGHED
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.numbers import meant_numbers
from tarebook.diagnosis.slips.robust import told_once, without_doubtful
from tarebook.diagnosis.to_come import Belief, Range
from tarebook.findings.finding import Finding, Severity, most_severe_first
from tarebook.model.parameters import Parameters
from tarebook.model.priors import Prior, priors
from tarebook.records.fold import Conflict
from tarebook.records.readings import (
    MASSES,
    QUANTITY_OF_COLUMN,
    VOLUMES,
    Quantity,
    Reading,
    RunTable,
    memory_value,
)
from tarebook.series.experiment import Experiment

NOT_YET = frozenset({"run-missing", "reading-missing", "run-not-planned"})
"""Findings of a finished sheet; at the bench a blank is a step that comes."""

WEIGHINGS = 2
"""Weighings of one cup without which a slip in it cannot be told from another."""

LIKELY = (
    SlipKind.DIGITS_SWAPPED,
    SlipKind.POINT_SHIFTED,
    SlipKind.OTHER_UNIT,
    SlipKind.DIGIT_WRONG,
)
"""Slips that are worth naming for one odd number, the first that fits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What is the same for all runs of a group, so that it is worked out once.

    Attributes
    ----------
    liquid : LiquidCheck
    odd_liquids : tuple of Finding
    slips : mapping of run to tuple of Finding
        What probably went wrong, and odd portions that the mass confirms.
    before : Before
    """

    liquid: LiquidCheck
    odd_liquids: tuple[Finding, ...]
    slips: Mapping[str, tuple[Finding, ...]]
    before: Before


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """What is known before any reading; worked out once for an experiment.

    Attributes
    ----------
    priors : tuple of Prior
    draws : Parameters
        From the priors.
    finals : Finals
        Ranges that were worked out from them already.
    """

    priors: tuple[Prior, ...]
    draws: Parameters
    finals: Finals = field(default_factory=Finals)


def known_before(experiment: Experiment) -> Before:
    """Return what is known before any reading; always the same."""
    return Before(priors=priors(experiment), draws=known_draws(experiment))


def look_at_group(
    experiment: Experiment, table: RunTable, before: Before, slips: tuple[Finding, ...]
) -> Look:
    """Return what is the same for all runs of a group.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Of the group.
    before : Before
    slips : tuple of Finding
        What probably went wrong so far; it is worked out elsewhere, since it takes the longest.
    """
    # What a slip spoils in one run must not make the others look odd.
    liquid = compare_liquid(experiment, without_doubtful(table, slips), before.priors)
    odd = tuple(odd_liquids(liquid))
    return Look(liquid=liquid, odd_liquids=odd, slips=_slips(table, slips), before=before)


def _slips(table: RunTable, found: tuple[Finding, ...]) -> dict[str, tuple[Finding, ...]]:
    """Return what is said of slips under each run; what is said of the row, under the last one.

    Of a run that was weighed only once nothing is said: there the range speaks, of the one reading
    that is outside it.
    """
    begun = [run for run in table.runs if any(table.of(run, quantity) for quantity in Quantity)]
    of_run: dict[str, list[Finding]] = {}
    for finding in found:
        if finding.code == NOT_WEIGHED:
            # Of the definition, which nobody at the bench can mend.
            continue
        for run in finding.all_runs or ("",):
            if run and sum(bool(table.of(run, mass)) for mass in MASSES) < WEIGHINGS:
                continue
            of_run.setdefault(run or begun[-1], []).append(finding)
    return {run: tuple(findings) for run, findings in of_run.items()}


def look_at_run(
    experiment: Experiment,
    table: RunTable,
    run: str,
    belief: Belief,
    conflicts: tuple[Conflict, ...],
    look: Look,
) -> tuple[Mapping[Quantity, Range], tuple[Finding, ...]]:
    """Return what is to be expected of a run, and what there is to say of it now.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Of the group.
    run : str
    belief : Belief
    conflicts : tuple of Conflict
        Of the group.
    look : Look
        At the group as a whole.

    Returns
    -------
    ranges : mapping of Quantity to Range
        Without those of which the model cannot say anything.
    said : tuple of Finding
        The most severe first.
    """
    liquid = liquid_in_cup(experiment, table, run, look.liquid, look.before.priors)
    rng = np.random.Generator(np.random.SFC64(defaults.SEED))
    ranges: Mapping[Quantity, Range] = {}
    # A reading so far off that no constant holds for it has a finding of its own.
    with contextlib.suppress(OutOfRangeError):
        ranges = expected_next(
            experiment, table, run, belief, liquid, look.before.draws, rng,
            final=look.before.finals.range_of,
        )  # fmt: skip
    return ranges, _said(experiment, table, run, liquid, ranges, conflicts, look)


def _said(
    experiment: Experiment,
    table: RunTable,
    run: str,
    liquid: LiquidInCup | None,
    ranges: Mapping[Quantity, Range],
    conflicts: tuple[Conflict, ...],
    look: Look,
) -> tuple[Finding, ...]:
    alone = table.only(run)
    found = [
        finding
        for finding in check_readings(experiment, alone)
        if finding.run == run and finding.code not in NOT_YET
    ]
    found += [finding for finding in look.odd_liquids if finding.run == run]
    slips = look.slips.get(run, ())
    found = list(told_once(found, slips))
    told = {finding.reading for finding in found}
    if not any(finding.severity is not Severity.NOTE for finding in slips):
        found += [finding for finding in _outside(alone, ranges) if finding.reading not in told]
    found += [_conflict(one) for one in conflicts if one.run == run]
    return most_severe_first((*found, *_meaning(alone, liquid, ranges)))


def _outside(alone: RunTable, ranges: Mapping[Quantity, Range]) -> Iterator[Finding]:
    for reading in alone.readings:
        expected = ranges.get(reading.quantity)
        if expected is None or expected.holds(reading.value):
            continue
        low, high = (_outward(reading.quantity, end) for end in (expected.low, expected.high))
        unit = reading.quantity.unit
        between = (_digits(low, reading), _digits(high, reading))
        yield Finding(
            code="outside-expected",
            severity=Severity.LOOK,
            run=reading.run,
            reading=reading.quantity.value,
            evidence={
                reading.quantity.value: reading.typed,
                f"low_{unit}": low,
                f"high_{unit}": high,
            },
            values={"typed": reading.typed, "low": between[0], "high": between[1]},
            do=_what_now(reading, expected),
        )


def _what_now(reading: Reading, expected: Range) -> Phrase:
    """Return what to do about an odd number, after the likeliest slip that would explain it."""
    now = Phrase.of("read-again", quantity=reading.quantity)
    meant = meant_numbers(reading.typed)
    for kind in LIKELY:
        fitting = [
            one.text
            for one in sorted(meant, key=lambda one: -one.chance)
            if one.kind is kind and expected.holds(memory_value(reading.quantity, float(one.text)))
        ]
        if fitting:
            return Phrase.of(
                "would-fit", kind=kind, typed=fitting[0], quantity=reading.quantity, now=now
            )
    return now


def _meaning(
    alone: RunTable, by_volume: LiquidInCup | None, ranges: Mapping[Quantity, Range]
) -> Iterator[Finding]:
    run = alone.runs[0]
    mean = {
        quantity: value
        for quantity in (*MASSES, *VOLUMES)
        if (value := alone.mean_of(run, quantity)) is not None
    }
    tare, liquid = mean.get(Quantity.TARE), mean.get(Quantity.LIQUID)
    if tare is not None and liquid is not None and by_volume is not None and liquid > tare:
        weighed = liquid - tare
        apart = weighed - by_volume.by_volume
        yield Finding(
            code="liquid-meaning",
            severity=Severity.NOTE,
            run=run,
            reading=Quantity.LIQUID.value,
            evidence={"weighed_g": weighed, "by_volume_g": by_volume.by_volume},
            values={
                "apart_g": abs(apart),
                "way": "less" if apart < 0 else "more",
                "left_g": abs(by_volume.shift),
                "left_u_g": 2 * by_volume.u,
            },
        )
    sample, final = mean.get(Quantity.SAMPLE), mean.get(Quantity.FINAL)
    if liquid is None or sample is None or final is None:
        return
    lost = liquid + sample - final
    expected = ranges.get(Quantity.FINAL)
    beside: dict[str, Value] = {"expected": expected is not None}
    if expected is not None:
        least, most = liquid + sample - expected.high, liquid + sample - expected.low
        beside |= {"least_g": max(least, 0.0), "most_g": most}
    yield Finding(
        code="loss-meaning",
        severity=Severity.NOTE,
        run=run,
        reading=Quantity.FINAL.value,
        evidence={"lost_g": lost},
        values=beside,
    )


def _conflict(conflict: Conflict) -> Finding:
    quantity = conflict.column
    return Finding(
        code="two-readings",
        severity=Severity.LOOK,
        run=conflict.run,
        reading=quantity,
        evidence={event.id: event.typed for event in conflict.events},
        values={
            "column": _column(quantity),
            "values": tuple(event.typed or Phrase("taken-back") for event in conflict.events),
        },
    )


def _column(column: str) -> Phrase | str:
    """Return what stands in a column: a reading has a name, what else is noted has its column's."""
    return Phrase(f"quantity-{column}") if column in QUANTITY_OF_COLUMN else column


def too_many(run: str, n_entries: int, most: int) -> Finding:
    """Return what is said of a run instead of looking at it.

    Parameters
    ----------
    run : str
    n_entries : int
    most : int
        Entries of a run that is looked at.
    """
    return Finding(
        code="too-many-entries",
        severity=Severity.LOOK,
        run=run,
        reading="",
        evidence={"n_entries": n_entries},
        values={"most": most},
    )


def _outward(quantity: Quantity, value: float) -> float:
    """Return a value of the memory in the unit of its column."""
    if quantity.is_volume:
        return millilitres(value)
    return celsius(value) if quantity is Quantity.TEMPERATURE else value


def _digits(value: float, reading: Reading) -> str:
    """Return a bound with as many decimals as the reading has, but two at least."""
    _, _, part = reading.typed.partition(".")
    return f"{value:.{min(max(len(part), 1), 6)}f}"


def outward(quantity: Quantity, expected: Range) -> dict[str, float | str]:
    """Return a range as the bench page gets it, in the unit of the column."""
    return {
        "low": _outward(quantity, expected.low),
        "high": _outward(quantity, expected.high),
        "unit": quantity.unit,
    }
