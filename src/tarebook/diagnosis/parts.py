"""Checks of readings that are made of others: two ends of a burette, a holder, counted pieces."""

from __future__ import annotations

from collections.abc import Iterator

from tarebook.core.units import millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.records.complete import asked_of
from tarebook.records.instruments import instrument_of
from tarebook.records.readings import PAIRS, Quantity, RunTable, parts_of
from tarebook.series.experiment import Experiment

PIECE_SPREAD = 0.25
"""A portion may differ by so much of itself from what its pieces should weigh: a tablet broken by
hand easily does by 15 % (common practice), one that was counted wrong by more."""


def missing_part(experiment: Experiment, table: RunTable, run: str, quantity: Quantity) -> Quantity:
    """Return what was not read of a quantity: itself, or the first of the two readings it takes."""
    pair = PAIRS.get(quantity)
    if pair is None:
        return quantity
    read = [part for part in pair.in_order if table.of(run, part)]
    if not read and not set(pair.in_order) <= set(asked_of(experiment, run)):
        return quantity
    return next((part for part in pair.in_order if part not in read), quantity)


def check_parts(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    """Yield what is odd about readings that are made of others.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    for run in table.runs:
        yield from _told_twice(experiment, table, run)
        yield from _unequal_ends(table, run)
        yield from _pieces(experiment, table, run)


def _told_twice(experiment: Experiment, table: RunTable, run: str) -> Iterator[Finding]:
    """Yield a finding where a value was written down that its two readings contradict."""
    for quantity, pair in PAIRS.items():
        value = table.mean_of(run, quantity)
        more, less = table.mean_of(run, pair.more), table.mean_of(run, pair.less)
        written = table.written(run, quantity)
        if value is None or more is None or less is None or not written:
            continue
        instrument = instrument_of(experiment, quantity)
        finest = 0.0 if instrument is None else instrument.finest_reading
        says, outward = more - less, 1.0 if quantity.is_mass else millilitres(1.0)
        if abs(value - says) <= 2.0 * finest * (1 + 1e-9):
            continue
        yield Finding(
            code="parts-disagree",
            severity=Severity.LOOK,
            run=run,
            reading=quantity.value,
            evidence={
                quantity.value: written[0].typed,
                pair.more.value: table.of(run, pair.more)[0].typed,
                pair.less.value: table.of(run, pair.less)[0].typed,
            },
            values={
                "typed": written[0].typed,
                "more": pair.more,
                "less": pair.less,
                "unit": quantity.unit,
                "differ_by": says * outward,
            },
        )


def _unequal_ends(table: RunTable, run: str) -> Iterator[Finding]:
    """Yield a finding where a burette has more starts than ends, or the other way round."""
    for quantity, pair in PAIRS.items():
        ends = [table.of(run, part) for part in (pair.less, pair.more)]
        if not all(ends) or table.of(run, quantity):
            continue
        starts, stops = (len(parts_of(readings[0].typed)) for readings in ends)
        if starts != stops:
            yield Finding(
                code="fillings-incomplete",
                severity=Severity.LOOK,
                run=run,
                reading=pair.more.value,
                evidence={pair.less.value: ends[0][0].typed, pair.more.value: ends[1][0].typed},
                values={"starts": starts, "ends": stops},
            )


def _pieces(experiment: Experiment, table: RunTable, run: str) -> Iterator[Finding]:
    """Yield a finding where a portion does not weigh what the pieces counted for it should."""
    piece = experiment.sample.piece
    pieces, mass = (table.mean_of(run, q) for q in (Quantity.PIECES, Quantity.SAMPLE))
    if piece is None or not pieces or not mass:
        return
    usual = pieces * piece.mass
    if abs(mass - usual) <= PIECE_SPREAD * usual:
        return
    yield Finding(
        code="pieces-disagree",
        severity=Severity.LOOK,
        run=run,
        reading=Quantity.SAMPLE.value,
        evidence={"pieces": pieces, "sample_g": mass, "piece_g": piece.mass},
        values={"n": 1 if pieces <= 1 else 2, "should_g": usual},
    )
