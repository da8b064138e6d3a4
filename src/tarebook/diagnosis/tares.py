"""Empty vessels that read zero: a way of weighing, unless the vessel shows in the masses after it.

Who sets the balance to zero with the empty vessel on it writes 0.000 for it, in all cups or in
some. Then the vessel with liquid weighs what its liquid weighs. Where it weighs a vessel more, the
zero was not that of this vessel, and only the zero is wrong: all else is made of differences.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.diagnosis.left_behind import left_behind
from tarebook.findings.finding import Finding, Severity
from tarebook.measurement.volumes import shared_u
from tarebook.model.delivery import liquid_mass, liquid_reading, reagent_density
from tarebook.records.pours import pours
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.series.experiment import Experiment

SURELY: Final = 6.0
"""Standard uncertainties of the liquid's mass from which a vessel beside it shows."""

LIKE_A_VESSEL: Final = 0.25
"""Part of a vessel's mass within which vessels of one kind are alike, and far from two vessels or
none: assumption (a pack of cups scatters by 2 to 5 %)."""

FEWEST_ALIKE: Final = 2
"""Vessels that must agree on what a vessel weighs where no other one was weighed empty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroTares:
    """Empty vessels written as zero although they show in the vessels with liquid.

    Attributes
    ----------
    runs : tuple of str
    vessel : float, [g]
        What a vessel weighs: of those weighed empty, else of these.
    """

    runs: tuple[str, ...]
    vessel: float


def by_volumes(experiment: Experiment, table: RunTable, keep: BoolArray) -> FloatArray:
    """Return what a balance would show for the liquid of some runs by its volumes, [g].

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    keep : ndarray of bool, shape (n,)
        Runs with both volumes, and something in them.
    """
    reagent = table.mean(Quantity.REAGENT, 0.0)[keep]
    diluent = table.mean(Quantity.DILUENT, 0.0)[keep]
    mass = liquid_mass(experiment, reagent, diluent, liquid_temperature(experiment, table)[keep])
    return liquid_reading(mass, mass / (reagent + diluent), experiment.room)


def liquid_temperature(experiment: Experiment, table: RunTable) -> FloatArray:
    """Return the temperature of each run's liquid, kept where liquids are, [K]."""
    read = table.mean(Quantity.TEMPERATURE, experiment.room.temperature)
    kept: FloatArray = np.clip(read, 278.15, 313.15)
    return kept


def zero_tares_contradicted(experiment: Experiment, table: RunTable) -> ZeroTares | None:
    """Return the runs whose empty vessel is written as zero and shows in the masses after it.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable

    Returns
    -------
    ZeroTares or None
        None where every zero may be what it says, or where another slip explains it as well: one
        cup alone may have been filled too far.
    """
    tare = table.mean(Quantity.TARE, math.nan)
    reagent, diluent = (table.mean(each, math.nan) for each in VOLUMES)
    # What is impossible or not there compares as false.
    poured = (reagent >= 0.0) & (diluent >= 0.0) & (reagent + diluent > 0.0)
    zero = (tare == 0.0) & table.taken(Quantity.LIQUID) & poured
    if not zero.any():
        return None
    over = table.mean(Quantity.LIQUID, 0.0)[zero] - by_volumes(experiment, table, zero)
    held, u = _liquid_left(experiment, table, zero)
    vessels = over + held
    real = tare[tare > 0.0]
    shows = vessels > SURELY * u
    if not shows.any():
        return None
    alike_from = FEWEST_ALIKE if real.size == 0 else 1
    vessel = float(np.median(real if real.size else vessels[shows]))
    alike = shows & (np.abs(vessels - vessel) < LIKE_A_VESSEL * vessel + u)
    if np.count_nonzero(alike) < max(alike_from, 0 if real.size else math.ceil(0.5 * over.size)):
        return None
    runs = [run for run, is_zero in zip(table.runs, zero, strict=True) if is_zero]
    return ZeroTares(
        runs=tuple(run for run, one in zip(runs, alike, strict=True) if one), vessel=vessel
    )


def _liquid_left(
    experiment: Experiment, table: RunTable, keep: BoolArray
) -> tuple[FloatArray, FloatArray]:
    """Return what the pours of some runs leave behind and how sure their liquid's mass is, [g]."""
    per_litre = reagent_density(experiment, liquid_temperature(experiment, table)[keep])
    equipment = experiment.equipment
    found = [pours(experiment, table, quantity) for quantity in VOLUMES]
    fillings = np.array([each.fillings[keep] for each in found])
    held, u = left_behind(experiment).of(fillings)
    square = u**2
    for each, ware in zip(found, (equipment.reagent, equipment.diluent), strict=True):
        square = square + (per_litre * each.own_u[keep]) ** 2
        square = square + (per_litre * shared_u(ware, np.maximum(each.volume[keep], 0.0))) ** 2
    return held, np.sqrt(square + 2.0 * equipment.balance.weighing_u**2)


def without_zeros(table: RunTable, zeros: ZeroTares | None) -> RunTable:
    """Return the readings without the zeros that are not what they say."""
    if zeros is None:
        return table
    return table.without((run, Quantity.TARE) for run in zeros.runs)


def zeros_finding(zeros: ZeroTares) -> Finding:
    """Return what is said of empty vessels that are written as zero and are not."""
    runs, vessel = zeros.runs, zeros.vessel
    return Finding(
        code="zero-not-of-this-vessel",
        severity=Severity.STOP,
        run=runs[0] if len(runs) == 1 else "",
        reading=Quantity.TARE.value,
        runs=runs,
        readings=tuple((run, Quantity.TARE) for run in runs),
        evidence={"vessel_g": vessel, "runs": ", ".join(runs)},
        values={"n": len(runs), "runs": runs},
    )
