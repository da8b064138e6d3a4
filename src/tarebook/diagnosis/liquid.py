"""Liquid weighed against liquid read: what is in the cup should weigh what its volumes say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.diagnosis.findings import Finding, Severity
from tarebook.measurement.volumes import own_u, shared_u
from tarebook.model.delivery import liquid_mass, liquid_reading, reagent_density
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

LOOK_AT = 3.0
STOP_AT = 6.0
"""Multiples of the standard uncertainty. At 3 one run in 370 is odd by chance; at 6 none is."""

FEWEST_FOR_A_MEDIAN = 3
"""With fewer runs the common liquid left behind cannot be told from one odd run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidCheck:
    """The comparison, for the runs that allow it.

    Attributes
    ----------
    runs : tuple of str
    difference : ndarray, shape (n,), [g]
        Liquid as weighed minus liquid by its volumes, as a balance would show both. Liquid left
        behind at each pour makes it negative.
    u : ndarray, shape (n,), [g]
        Standard uncertainty that each run's difference has of its own.
    common : float, [g]
        Median of the differences: what all runs share; 0 with too few runs.
    odd : ndarray, shape (n,), [1]
        (difference - common) / u.
    """

    runs: tuple[str, ...]
    difference: FloatArray
    u: FloatArray
    common: float
    odd: FloatArray


def compare_liquid(experiment: Experiment, table: RunTable) -> LiquidCheck:
    """Return liquid mass against volume x density, run by run.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        Runs that lack a mass or a volume, or that hold no liquid, are left out.
    """
    equipment = experiment.equipment
    keep = _comparable(table)
    runs = tuple(run for run, kept in zip(table.runs, keep, strict=True) if kept)
    reagent = table.mean(Quantity.REAGENT, 0.0)[keep]
    diluent = table.mean(Quantity.DILUENT, 0.0)[keep]
    weighed = (table.mean(Quantity.LIQUID, 0.0) - table.mean(Quantity.TARE, 0.0))[keep]
    temperature = np.clip(
        table.mean(Quantity.TEMPERATURE, experiment.room.temperature)[keep], 278.15, 313.15
    )
    mass = liquid_mass(experiment, reagent, diluent, temperature)
    density = mass / (reagent + diluent)
    difference = weighed - liquid_reading(mass, density, experiment.room)
    per_litre = reagent_density(experiment, temperature)
    own = (per_litre * own_u(equipment.reagent, reagent) * (reagent > 0)) ** 2
    own += (per_litre * own_u(equipment.diluent, diluent) * (diluent > 0)) ** 2
    own += 2.0 * equipment.balance.weighing_u**2
    # A scale error grows with the volume: about its mean over the row it is no common difference.
    for instrument, volume in ((equipment.reagent, reagent), (equipment.diluent, diluent)):
        if len(runs):
            own += (per_litre * shared_u(instrument, np.abs(volume - volume.mean()))) ** 2
    u = np.sqrt(own)
    common = float(np.median(difference)) if len(runs) >= FEWEST_FOR_A_MEDIAN else 0.0
    return LiquidCheck(
        runs=runs, difference=difference, u=u, common=common, odd=(difference - common) / u
    )


def _comparable(table: RunTable) -> BoolArray:
    needed = (Quantity.REAGENT, Quantity.DILUENT, Quantity.LIQUID, Quantity.TARE)
    keep: BoolArray = np.all([table.taken(quantity) for quantity in needed], axis=0)
    for quantity in (Quantity.REAGENT, Quantity.DILUENT):
        keep &= table.mean(quantity, -1.0) >= 0
    keep &= table.mean(Quantity.REAGENT, 0.0) + table.mean(Quantity.DILUENT, 0.0) > 0
    keep &= table.mean(Quantity.LIQUID, 0.0) > table.mean(Quantity.TARE, 0.0)
    return keep


def check_liquid(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    """Yield a finding for each run whose liquid does not weigh what its volumes say."""
    yield from odd_liquids(compare_liquid(experiment, table))


def odd_liquids(check: LiquidCheck) -> Iterator[Finding]:
    """Yield a finding for each run of a comparison that is odd; none for one or two runs.

    With so few the check cannot tell an odd run from what every pour leaves behind.
    """
    if len(check.runs) < FEWEST_FOR_A_MEDIAN:
        return
    for run, difference, u, odd in zip(
        check.runs, check.difference, check.u, check.odd, strict=True
    ):
        if abs(odd) <= LOOK_AT:
            continue
        more = "more" if difference > check.common else "less"
        common = ""
        if check.common:
            common = f" (in the other runs the difference is about {check.common:+.2f} g)"
        yield Finding(
            code="liquid-mass-disagrees",
            severity=Severity.STOP if abs(odd) > STOP_AT else Severity.LOOK,
            run=run,
            reading=Quantity.LIQUID.value,
            message=f"Run {run}: the liquid weighs {abs(difference - check.common):.2f} g {more} "
            f"than its two volumes say{common}.",
            do="While the cup stands there: weigh it again, then read both volumes on the sheet "
            "again. One of the four numbers is wrong, or something was spilt or poured twice.",
            evidence={
                "difference_g": float(difference),
                "common_g": check.common,
                "u_g": float(u),
                "how_many_u": float(abs(odd)),
            },
        )
