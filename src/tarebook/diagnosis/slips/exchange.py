"""Slips that runs share: numbers in each other's rows, a column one row off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.diagnosis.slips.case import Case
from tarebook.diagnosis.slips.cups import (
    DILUENT,
    FINAL,
    LIQUID,
    REAGENT,
    SAMPLE,
    TARE,
    Views,
    view,
)
from tarebook.diagnosis.slips.habits import HABITUAL
from tarebook.diagnosis.slips.hypotheses import log_rate_of_none
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.diagnosis.slips.likelihood import Rest, log_chances, rest_without
from tarebook.diagnosis.slips.shared import SharedFit, information
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import READ

TOGETHER: Final = (
    (TARE,),
    (LIQUID,),
    (SAMPLE,),
    (FINAL,),
    (REAGENT,),
    (DILUENT,),
    (REAGENT, DILUENT),
    (SAMPLE, FINAL),
    (LIQUID, FINAL),
    (LIQUID, SAMPLE, FINAL),
)
"""Columns that end up in another run's row together."""

SHORTEST_BLOCK: Final = 3
"""Two rows one off are two runs exchanged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """Readings of some runs in the rows of others.

    Attributes
    ----------
    kind : SlipKind
        Two runs exchanged, or a column one row off.
    quantities : tuple of Quantity
    source : mapping of run to run
        Where each run's own readings stand.
    log_evidence : float
        Of the runs concerned, the rate of the slip included.
    log_rate : float
        Of the slip, made in this way.
    probability : float, [1]
    """

    kind: SlipKind
    quantities: tuple[Quantity, ...]
    source: dict[str, str]
    log_evidence: float
    log_rate: float
    probability: float = 0.0


def pairs_exchanged(
    cases: Sequence[Case], fit: SharedFit, doubtful: Sequence[int]
) -> Iterator[Exchange]:
    """Yield how two doubtful runs would do with each other's readings."""
    n = len(cases)
    pairs = [(i, j) for a, i in enumerate(doubtful) for j in doubtful[a + 1 :]]
    if not pairs:
        return
    moves = [(rows, i, j) for i, j in pairs for rows in TOGETHER if _both_read(cases, rows, i, j)]
    both = [(rows, *order) for rows, i, j in moves for order in ((i, j), (j, i))]
    views = _with_others_readings(cases, fit, both)
    rate = cases[0].odds.rate(SlipKind.RUNS_EXCHANGED) / (n * (n - 1) / 2 * len(TOGETHER))
    rests = {pair: rest_without(fit, list(pair)) for pair in pairs}
    for place, (rows, i, j) in enumerate(moves):
        log = math.log(rate)
        for half, (run, other) in enumerate(((i, j), (j, i))):
            one = views.pick([2 * place + half])
            log += _log_of(cases, rests[i, j], one, rows, run, other)
        if any(cases[i].values[row] != cases[j].values[row] for row in rows):
            yield Exchange(
                kind=SlipKind.RUNS_EXCHANGED,
                quantities=tuple(READ[row] for row in rows),
                source={cases[i].run: cases[j].run, cases[j].run: cases[i].run},
                log_evidence=log,
                log_rate=math.log(rate),
            )


def columns_shifted(cases: Sequence[Case], fit: SharedFit) -> Iterator[Exchange]:
    """Yield how the row would do with one column moved up or down by one run, from some run on."""
    n = len(cases)
    starts = range(n - SHORTEST_BLOCK + 1)
    rows_read = [
        row for row in (TARE, LIQUID, FINAL, SAMPLE, REAGENT, DILUENT)
        if all(row in case.values for case in cases)
    ]  # fmt: skip
    if not starts or not rows_read:
        return
    rate = cases[0].odds.rate(SlipKind.COLUMN_SHIFTED) / (2 * len(starts) * 6)
    moves = [((row,), i, j) for row in rows_read for i in range(n) for j in range(n)]
    views = _with_others_readings(cases, fit, moves)
    says, pulls = information(views)
    for r, row in enumerate(rows_read):
        for start in starts:
            for shift in (1, -1):
                source = np.arange(n)
                source[start:] = start + (np.arange(n - start) + shift) % (n - start)
                where = [int(r * n * n + i * n + source[i]) for i in range(n)]
                log = math.log(rate)
                for i in range(n):
                    others = [where[k] for k in range(n) if k != i]
                    moved, covariance = fit.solved(
                        says[others].sum(axis=0), pulls[others].sum(axis=0)
                    )
                    rest = Rest(moved=moved, covariance=covariance)
                    one = views.pick([where[i]])
                    log += _log_of(cases, rest, one, (row,), i, int(source[i]))
                yield Exchange(
                    kind=SlipKind.COLUMN_SHIFTED,
                    quantities=(READ[row],),
                    source={cases[i].run: cases[source[i]].run for i in range(n) if source[i] != i},
                    log_evidence=log,
                    log_rate=math.log(rate),
                )


def log_row(cases: Sequence[Case], fit: SharedFit) -> float:
    """Return the logarithm of the evidence of a row in which nothing more went wrong."""
    log = 0.0
    for i in range(len(cases)):
        log += _log_of(cases, rest_without(fit, [i]), fit.views.pick([i]), (), i, i)
    return log


def _both_read(cases: Sequence[Case], rows: tuple[int, ...], i: int, j: int) -> bool:
    return all(row in cases[run].values for run in (i, j) for row in rows)


def _with_others_readings(
    cases: Sequence[Case], fit: SharedFit, moves: Sequence[tuple[tuple[int, ...], int, int]]
) -> Views:
    """Return the views of runs that have some readings of another run: (rows, run, other)."""
    cups = fit.cups.pick([run for _, run, _ in moves])
    for place, (rows, _, other) in enumerate(moves):
        for row in rows:
            cups.observed[row, place] = fit.cups.observed[row, other]
    return view(cases[0].experiment, fit.prior, fit.shared, cups)


def _log_of(
    cases: Sequence[Case], rest: Rest, one: Views, rows: tuple[int, ...], run: int, other: int
) -> float:
    """Return the logarithm of the chance of a run's sheet with another's readings in it."""
    case = cases[run]
    values = dict(case.values) | {row: cases[other].values[row] for row in rows}
    log = log_rate_of_none(case.odds)
    log += float(log_chances(rest, one)[0])
    for row in HABITUAL:
        if row in values:
            log += float(case.habits.log_density(row, run, np.array(values[row])))
    return log


def put_back(table: RunTable, exchange: Exchange) -> RunTable:
    """Return readings as they would stand in their own rows; the table itself stays as it is."""
    back = {theirs: run for run, theirs in exchange.source.items()}
    readings = tuple(
        replace(reading, run=back[reading.run])
        if reading.quantity in exchange.quantities and reading.run in back
        else reading
        for reading in table.readings
    )
    return replace(table, readings=readings)
