"""Slips that runs share: numbers in each other's rows, a column one row off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray, IntArray
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
from tarebook.diagnosis.slips.likelihood import (
    IMPOSSIBLE,
    Rest,
    log_chances,
    log_likelihood,
    rest_without,
)
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

MOST_WEIGHED: Final = 16_000
"""Views of runs that are weighed for columns one row off: all there are in a row of 37."""

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


def columns_shifted(cases: Sequence[Case], fit: SharedFit) -> list[Exchange]:
    """Return how the row would do with one column moved up or down by one run, from some run on.

    Of a long row those are weighed that promise most.
    """
    n = len(cases)
    starts = range(n - SHORTEST_BLOCK + 1)
    rows_read = [
        row for row in (TARE, LIQUID, FINAL, SAMPLE, REAGENT, DILUENT)
        if all(row in case.values for case in cases)
    ]  # fmt: skip
    if not starts or not rows_read:
        return []
    rate = cases[0].odds.rate(SlipKind.COLUMN_SHIFTED) / (2 * len(starts) * 6)
    moved = _Moved(cases, fit, rows_read)
    tried = [(row, start, shift) for row in rows_read for start in starts for shift in (1, -1)]
    most = max(MOST_WEIGHED // n, 1)
    if len(tried) > most:
        glance = moved.at_a_glance()
        promised = [float(glance[moved.places(*each)].sum()) for each in tried]
        best = np.argsort(-np.array(promised), kind="stable")[:most]
        tried = [tried[place] for place in sorted(best.tolist())]
    found = []
    for row, start, shift in tried:
        source = _source(n, start, shift)
        found.append(
            Exchange(
                kind=SlipKind.COLUMN_SHIFTED,
                quantities=(READ[row],),
                source={cases[i].run: cases[source[i]].run for i in range(n) if source[i] != i},
                log_evidence=math.log(rate) + moved.log_of(row, start, shift),
                log_rate=math.log(rate),
            )
        )
    return found


def _source(n: int, start: int, shift: int) -> list[int]:
    """Return in which row each run's own reading stands, from `start` on one row off."""
    rest = n - start
    return [*range(start), *(start + (i + shift) % rest for i in range(rest))]


class _Moved:
    """Each run as read and with its neighbors' readings, column by column.

    A column one row off gives every run the reading of the run after or before; the last gets that
    of the first one, or the other way round.

    Parameters
    ----------
    cases : sequence of Case
    fit : SharedFit
    rows : list of int
        Columns, as places in `READ`.
    """

    def __init__(self, cases: Sequence[Case], fit: SharedFit, rows: list[int]) -> None:
        n = len(cases)
        self.fit, self.n, self.rows = fit, n, rows
        runs = np.arange(n)
        last = np.full(n, n - 1)
        # In this order: as read; then of each column after, before, last from each, each from last.
        one = [(runs, np.minimum(runs + 1, n - 1)), (runs, np.maximum(runs - 1, 0))]
        one += [(last, runs), (runs, last)]
        run = np.concatenate([runs, *(place for _ in rows for place, _ in one)])
        other = np.concatenate([runs, *(theirs for _ in rows for _, theirs in one)])
        column = np.concatenate([np.full(n, rows[0]), np.repeat(rows, len(one) * n)])
        moves = [((int(c),), int(i), int(j)) for c, i, j in zip(column, run, other, strict=True)]
        self.views = _with_others_readings(cases, fit, moves)
        self.says, self.pulls = information(self.views)
        self.usual = self._usual(cases, run, other, column)

    def _usual(
        self, cases: Sequence[Case], run: IntArray, other: IntArray, column: IntArray
    ) -> FloatArray:
        """Return the part of each run's evidence that its sheet has by itself."""
        habits = cases[0].habits
        of_run: FloatArray = np.full(self.n, log_rate_of_none(cases[0].odds))
        for row in HABITUAL:
            there = np.array([case.index for case in cases if row in case.values], dtype=np.intp)
            values = np.array([cases[i].values[row] for i in there])
            of_run[there] += habits.log_density(row, there, values)
        usual: FloatArray = of_run[run]
        for row in self.rows:
            if row not in HABITUAL:
                continue
            at = np.flatnonzero(column == row)
            values = np.array([case.values[row] for case in cases])
            usual[at] += habits.log_density(row, run[at], values[other[at]])
            usual[at] -= habits.log_density(row, run[at], values[run[at]])
        return usual

    def places(self, row: int, start: int, shift: int) -> IntArray:
        """Return where each run's views stand if a column is one row off from a run on."""
        n = self.n
        first = n * (1 + 4 * self.rows.index(row))
        where = np.arange(n)
        if shift > 0:
            where[start : n - 1] += first
            where[n - 1] = first + 2 * n + start
        else:
            where[start] = first + 3 * n + start
            where[start + 1 :] += first + n
        return where

    def at_a_glance(self) -> FloatArray:
        """Return the evidence of each as seen from the runs as they were read."""
        moved, covariance = self.fit.without([])
        rest = Rest(moved=moved, covariance=covariance)
        return self.usual + log_chances(rest, self.views)

    def log_of(self, row: int, start: int, shift: int) -> float:
        """Return the evidence of a row, each run as seen from the others of that row."""
        where = self.places(row, start, shift)
        one, says, pulls = self.views.pick(where), self.says[where], self.pulls[where]
        precision = self.fit.prior.precision
        covariance = np.linalg.inv(says.sum(axis=0) - says + precision)
        pull = pulls.sum(axis=0) - pulls - precision @ self.fit.shared
        moved = np.einsum("nst,nt->ns", covariance, pull)
        gap = one.gap - np.einsum("nas,ns->na", one.by_shared, moved)
        spread = one.own + one.by_shared @ covariance @ np.swapaxes(one.by_shared, 1, 2)
        log = np.where(one.possible, log_likelihood(gap, spread), IMPOSSIBLE)
        return float(log.sum() + self.usual[where].sum())


def log_row(cases: Sequence[Case], fit: SharedFit) -> FloatArray:
    """Return the logarithm of each run's evidence in a row in which nothing more went wrong."""
    return np.array(
        [
            _log_of(cases, rest_without(fit, [i]), fit.views.pick([i]), (), i, i)
            for i in range(len(cases))
        ]
    )


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
