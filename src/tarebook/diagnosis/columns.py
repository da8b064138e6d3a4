"""Two columns of the sheet in each other's place, told by the plan and plain sums.

Of such a row nothing else can be judged: every cup looks wrong, and no fit of the model makes sense
of it. So it is looked for first. It costs a few sums, and one fit where they find something.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.phrase import Phrase
from tarebook.diagnosis.slips.shared import SharedFit, shared_fit
from tarebook.diagnosis.tares import liquid_temperature
from tarebook.findings.finding import Finding, Severity
from tarebook.model.delivery import diluent_density, reagent_density
from tarebook.records.readings import VOLUMES, Origin, Quantity, Reading, RunTable, memory_value
from tarebook.reduction.joint.distributions import normal_estimate
from tarebook.reduction.joint.problem import READ
from tarebook.series.experiment import Experiment

WITHHELD: Final = Phrase.of("columns-exchanged-withheld")

FEWEST_RUNS: Final = 3
"""Runs with readings in both columns, from which columns are looked at."""

OF_TOTAL: Final = 0.05
"""Spread of a volume about its plan, and of what a balance says of two volumes, as a part of the
total: assumption, wide enough for a careless pour."""

OF_PORTION: Final = 0.25
"""Spread of a portion about what was asked for, in parts of it: assumption."""

OF_VESSEL: Final = 0.1
"""Spread of the vessels about their median, in parts of it: assumption (a pack of cups scatters by
2 to 5 %, beakers by more)."""

OF_LOSS: Final = 0.1
LEAST_LOSS: Final = 0.05
"""Spread of the ends between which a cup loses mass, in parts of its portion and in g: assumption.
"""

DRIED: Final = 0.01
"""Part of the liquid that may dry away: assumption."""

MOST_OF_ONE: Final = 25.0
"""Square that one difference counts at most: one slip must not outweigh a row."""

ODD: Final = 9.0
"""Sum of squares of one run from which it is not as it was meant."""

LEAST_ODD: Final = 0.5
"""Part of the runs that are odd where columns are exchanged: a vessel may happen to weigh what was
to be poured."""

MOST_ODD: Final = 0.3
"""Part of the runs that may be odd with the columns put back: they have slips of their own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnsExchanged:
    """Two columns in each other's place.

    Attributes
    ----------
    columns : (Quantity, Quantity)
    runs : tuple of str
        With readings in one of them.
    content, u : float, [g/g]
        What the sample holds with the columns put back, by a fit of what all runs share.
    """

    columns: tuple[Quantity, Quantity]
    runs: tuple[str, ...]
    content: float
    u: float


def columns_exchanged(experiment: Experiment, table: RunTable) -> ColumnsExchanged | None:
    """Return the two columns that stand in each other's place in the whole sheet, or None.

    As written nearly all runs are far from what was meant; with the columns put back nearly all are
    near it in all that the plan and plain sums say, and agree with one another by the model.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    numbers = {quantity: _column(table, quantity) for quantity in READ}
    as_read = _squares(experiment, table, numbers)
    if np.mean(as_read >= ODD) < LEAST_ODD:
        return None
    found: list[tuple[float, tuple[Quantity, Quantity]]] = []
    for one, other in itertools.combinations(READ, 2):
        both = np.isfinite(numbers[one]) & np.isfinite(numbers[other])
        if np.count_nonzero(both) < FEWEST_RUNS:
            continue
        put_back = numbers | {one: numbers[other], other: numbers[one]}
        squares = _squares(experiment, table, put_back)[both]
        if np.mean(as_read[both] >= ODD) >= LEAST_ODD and np.mean(squares >= ODD) <= MOST_ODD:
            found.append((float(squares.mean()), (one, other)))
    if not found:
        return None
    _, pair = min(found, key=lambda each: each[0])
    # Who poured the row from its other end made no slip: volumes alone do not tell these two.
    if set(pair) == set(VOLUMES) and _agreed(experiment, table) is not None:
        return None
    fit = _agreed(experiment, _put_back(table, pair))
    if fit is None:
        return None
    content, u = fit.content(*fit.without([]))
    runs = tuple(run for run in table.runs if any(table.of(run, q) for q in pair))
    return ColumnsExchanged(columns=pair, runs=runs, content=content, u=u)


def _column(table: RunTable, quantity: Quantity) -> FloatArray:
    """Return the numbers of a column in its own unit, g or mL; nan where nothing was written."""
    values = table.mean(quantity, math.nan)
    if any(r.origin is Origin.DIFFERENCE for run in table.runs for r in table.of(run, quantity)):
        return np.full_like(values, math.nan)
    return values / memory_value(quantity, 1.0)


def _squares(
    experiment: Experiment, table: RunTable, numbers: Mapping[Quantity, FloatArray]
) -> FloatArray:
    """Return how far each run is from what was meant: a sum of squares, shape (n,).

    What was not read says nothing.
    """
    tare, liquid, sample, final = (
        numbers[q] for q in (Quantity.TARE, Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    )
    planned = [experiment.planned_run(run) for run in table.runs]
    total = experiment.total_volume / memory_value(Quantity.REAGENT, 1.0)
    found = []
    for quantity in VOLUMES:
        targets = np.array(
            [
                math.nan if p is None else p.reagent if quantity is Quantity.REAGENT else p.diluent
                for p in planned
            ]
        )
        meant = targets / memory_value(quantity, 1.0)
        found.append((numbers[quantity] - meant) / (OF_TOTAL * total))
    asked = np.array([experiment.sample_asked(run) for run in table.runs])
    found.append((sample - asked) / (OF_PORTION * np.maximum(asked, 0.1)))
    vessels = tare[np.isfinite(tare)]
    vessel = float(np.median(vessels)) if vessels.size else math.nan
    # A balance set to zero on each vessel says nothing of the vessels.
    found.append((tare - vessel) / (OF_VESSEL * vessel if vessel > 0.0 else math.inf))
    kelvins, per_ml = liquid_temperature(experiment, table), memory_value(Quantity.REAGENT, 1.0)
    poured = per_ml * (
        reagent_density(experiment, kelvins) * numbers[Quantity.REAGENT]
        + diluent_density(experiment, kelvins) * numbers[Quantity.DILUENT]
    )
    found.append((liquid - tare - poured) / (OF_TOTAL * total))
    reaction = experiment.reaction
    gas = (reaction.gas_coefficient * reaction.gas_molar_mass.value) / (
        reaction.analyte_coefficient * reaction.analyte_molar_mass.value
    )
    lost = liquid + sample - final
    # What happens in a closed vessel stays there: it loses nothing, which is within these ends.
    most = gas * np.maximum(sample, 0.0) + DRIED * total
    beyond = np.maximum(lost - most, 0.0) + np.maximum(-lost, 0.0)
    found.append(beyond / (OF_LOSS * np.abs(sample) + LEAST_LOSS))
    squares = np.minimum(np.nan_to_num(np.array(found)) ** 2, MOST_OF_ONE)
    summed: FloatArray = squares.sum(axis=0)
    return summed


def _agreed(experiment: Experiment, table: RunTable) -> SharedFit | None:
    """Return the fit of what all runs share if nearly all agree with one another, else None."""
    fit = shared_fit(experiment, table)
    if fit is None or not fit.agrees or np.mean(~fit.kept) > MOST_ODD:
        return None
    return fit


def _put_back(table: RunTable, pair: tuple[Quantity, Quantity]) -> RunTable:
    """Return the readings with two columns in each other's place; the table itself stays."""
    return replace(table, readings=tuple(_moved(reading, pair) for reading in table.readings))


def _moved(reading: Reading, pair: tuple[Quantity, Quantity]) -> Reading:
    """Return a reading as it stands in the other of two columns."""
    if reading.quantity not in pair:
        return reading
    one, other = pair
    quantity = other if reading.quantity is one else one
    number = reading.value / memory_value(reading.quantity, 1.0)
    return replace(reading, quantity=quantity, value=memory_value(quantity, number))


def judged(plain: Iterable[Finding], exchanged: ColumnsExchanged | None) -> tuple[Finding, ...]:
    """Return the plain findings, without those that only say that a number is in the wrong column.

    Parameters
    ----------
    plain : iterable of Finding
    exchanged : ColumnsExchanged or None
    """
    if exchanged is None:
        return tuple(plain)
    columns = {quantity.value for quantity in exchanged.columns}
    return tuple(finding for finding in plain if finding.reading not in columns)


def columns_finding(exchanged: ColumnsExchanged) -> Finding:
    """Return what is said of two columns in each other's place."""
    one, other = exchanged.columns
    return Finding(
        code="columns-exchanged",
        severity=Severity.STOP,
        reading=one.value,
        runs=exchanged.runs,
        readings=tuple((run, quantity) for run in exchanged.runs for quantity in (one, other)),
        evidence={
            "columns": f"{one.value}, {other.value}",
            "content_if": exchanged.content,
            "content_u": exchanged.u,
        },
        values={
            "first": one.value,
            "second": other.value,
            "content": normal_estimate(exchanged.content, exchanged.u, "g/g"),
        },
    )
