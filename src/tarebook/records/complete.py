"""What is read in a run, and what follows from it: differences, and zeros that nobody writes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from tarebook.records.readings import (
    BASE,
    NEEDED,
    PAIRS,
    PLUS,
    Origin,
    Pair,
    Quantity,
    Reading,
    RunTable,
    condensed,
    memory_value,
    number_value,
    parts_of,
)
from tarebook.series.experiment import Experiment, ReadAs, SampleIn, Tare

_WORKING_ORDER = (
    Quantity.TARE,
    # Acid goes into water, never water into acid.
    Quantity.DILUENT,
    Quantity.REAGENT,
    # The thermometer takes drops away with it: it goes in before the liquid is weighed.
    Quantity.TEMPERATURE,
    Quantity.LIQUID,
    Quantity.SAMPLE,
    Quantity.FINAL,
    Quantity.MINUTES,
)


def asked_of(experiment: Experiment, run: str = "") -> tuple[Quantity, ...]:
    """Return what is to be read, in the order of work.

    Parameters
    ----------
    experiment : Experiment
    run : str
        Of this run: what its plan sets to nothing is not asked for. Else of any run of the series.
    """
    nothing = planned_nothing(experiment, run)
    return tuple(
        part
        for quantity in _WORKING_ORDER
        if quantity not in nothing
        for part in _parts_asked(experiment, quantity)
    )


def columns_of(experiment: Experiment) -> tuple[Quantity, ...]:
    """Return the columns of a blank sheet of a series."""
    asked = asked_of(experiment)
    if set(asked) == set(BASE):
        return BASE
    return tuple(quantity for quantity in Quantity if quantity in asked)


def is_needed(quantity: Quantity) -> bool:
    """Return whether the sums of a run rest on a quantity, by itself or as one of two readings."""
    return quantity in NEEDED or any(quantity in pair.in_order for pair in PAIRS.values())


def quantity_of(part: Quantity) -> Quantity:
    """Return what is found from a reading: itself, or the difference of which it is one.

    Examples
    --------
    >>> quantity_of(Quantity.HOLDER_AFTER).value, quantity_of(Quantity.FINAL).value
    ('sample_g', 'final_g')
    """
    return next((whole for whole, pair in PAIRS.items() if part in pair.in_order), part)


def last_part(experiment: Experiment, quantity: Quantity) -> Quantity:
    """Return the reading with which a quantity is known: itself, or the second of its two."""
    parts = _parts_asked(experiment, quantity)
    return parts[-1] if parts else quantity


def not_asked(experiment: Experiment, run: str) -> tuple[Quantity, ...]:
    """Return what the series reads and the plan of a run does not ask for."""
    asked = asked_of(experiment, run)
    return tuple(quantity for quantity in asked_of(experiment) if quantity not in asked)


def planned_nothing(experiment: Experiment, run: str) -> frozenset[Quantity]:
    """Return what the plan of a run sets to nothing: a pour of 0 mL, the sample of a blank cup."""
    planned = experiment.planned_run(run)
    if planned is None:
        return frozenset()
    asked = {
        Quantity.REAGENT: planned.reagent,
        Quantity.DILUENT: planned.diluent,
        Quantity.SAMPLE: planned.sample,
    }
    return frozenset(quantity for quantity, much in asked.items() if much == 0.0)


def _parts_asked(experiment: Experiment, quantity: Quantity) -> tuple[Quantity, ...]:
    """Return what is read for a quantity: itself, or the two readings of which it is made."""
    equipment, weighing = experiment.equipment, experiment.weighing
    in_two = {
        Quantity.REAGENT: equipment.reagent_read is ReadAs.START_AND_END,
        Quantity.DILUENT: equipment.diluent_read is ReadAs.START_AND_END,
        Quantity.SAMPLE: weighing.sample_in is SampleIn.HOLDER,
    }
    if quantity is Quantity.TARE and weighing.tare is Tare.ZEROED:
        return ()
    parts = PAIRS[quantity].in_order if in_two.get(quantity) else (quantity,)
    if quantity is Quantity.SAMPLE and experiment.sample.piece is not None:
        return (Quantity.PIECES, *parts)
    return parts


def completed(experiment: Experiment, table: RunTable) -> RunTable:
    """Return readings as the calculations see them: with what follows from them and from the plan.

    Of a thing that was read very often one reading stands for all (`condensed`). A difference
    stands for what was read in two columns; of a run that was begun, a blank where the plan asks
    for nothing is 0, and so is the empty cup on which the balance was set to zero.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        May be completed already; it is then returned as it is.
    """
    table = condensed(table)
    more = [
        reading
        for run in table.runs
        if any(table.written(run, quantity) for quantity in Quantity)
        for reading in (*_differences(table, run), *_zeros(experiment, table, run))
        if (run, reading.quantity) not in table.left_out
    ]
    if not more:
        return table
    return replace(table, readings=(*table.readings, *more))


def _differences(table: RunTable, run: str) -> Iterator[Reading]:
    for quantity, pair in PAIRS.items():
        if not table.of(run, quantity):
            yield from _difference(table, run, quantity, pair)


def _difference(table: RunTable, run: str, quantity: Quantity, pair: Pair) -> Iterator[Reading]:
    more, less = table.of(run, pair.more), table.of(run, pair.less)
    if not more or not less:
        return
    parts = [parts_of(reading.typed) for reading in (more[0], less[0])]
    if len(parts[0]) != len(parts[1]):
        # A refilled burette has as many starts as ends; which of them is missing, nobody knows.
        return
    fillings = [str(Decimal(a) - Decimal(b)) for a, b in zip(*parts, strict=True)]
    if len(more) > 1 or len(less) > 1:
        mean = _mean(more) - _mean(less)
        decimals = 1 + max(_decimals(reading.typed) for reading in (*more, *less))
        fillings = [f"{mean:.{decimals}f}"]
    typed = PLUS.join(fillings)
    yield Reading(
        run=run,
        quantity=quantity,
        value=memory_value(quantity, number_value(typed)),
        typed=typed,
        place=more[0].place,
        origin=Origin.DIFFERENCE,
        noise=_noise_of_difference(table, run, pair) if quantity.is_mass else 1.0,
    )


def _noise_of_difference(table: RunTable, run: str, pair: Pair) -> float:
    return sum(1.0 / table.independent(run, part) for part in pair.in_order)


def _mean(readings: tuple[Reading, ...]) -> float:
    return sum(reading.in_column for reading in readings) / len(readings)


def _decimals(typed: str) -> int:
    return max(len(part.partition(".")[2]) for part in parts_of(typed))


def _zeros(experiment: Experiment, table: RunTable, run: str) -> Iterator[Reading]:
    """Yield the zeros of a run that nobody wrote down, because nothing was there to read."""
    nothing = set(planned_nothing(experiment, run))
    if experiment.weighing.tare is Tare.ZEROED:
        nothing.add(Quantity.TARE)
    for quantity in sorted(nothing):
        pair = PAIRS.get(quantity)
        begun = any(table.of(run, part) for part in pair.in_order) if pair else False
        if not table.of(run, quantity) and not begun:
            yield Reading(
                run=run,
                quantity=quantity,
                value=0.0,
                typed="0",
                place=f"run {run}, {quantity.value}",
                origin=Origin.PLAN,
            )
