"""What the liquids of a row will lack of what their volumes say, before any is poured."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from tarebook.core.arrays import BoolArray, FloatArray
from tarebook.core.quantity import COVERAGE_95
from tarebook.core.units import millilitres
from tarebook.diagnosis.left_behind import grams_per_litre, left_behind
from tarebook.diagnosis.liquid import (
    FEWEST_FOR_A_MEDIAN,
    LOOK_AT,
    MEDIAN_OVER_MEAN,
    compare_liquid,
)
from tarebook.diagnosis.tares import by_volumes
from tarebook.measurement.volumes import shared_u
from tarebook.records.pours import pours
from tarebook.records.readings import VOLUMES, Quantity, RunTable, table_of
from tarebook.series.experiment import Experiment

_VESSEL: Final = 50.0
"""Any mass of an empty vessel will do: it cancels."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiquidToCome:
    """How much less than by its volumes the liquid of a vessel will weigh, [g].

    Attributes
    ----------
    least, most : float
        What the vessels are expected to lack, the one with least and the one with most.
    usual : float
        Most that a good group's vessels lack, 95 times in 100.
    of_vessel : float
        A vessel farther than this from the others of its group that were poured alike gets the
        finding ``liquid-mass-disagrees``; infinite where there are too few of them.
    of_group : float
        So far, and no farther, all vessels of a good group may lie from those of the others: one
        group in 2000 is beyond by chance.
    beside_others : bool
        Whether there are enough groups to compare one with; else `of_group` is about what the
        vessels are expected to lack.
    """

    least: float
    most: float
    usual: float
    of_vessel: float
    of_group: float
    beside_others: bool


def liquid_to_come(experiment: Experiment, groups: int = 1) -> LiquidToCome:
    """Return what the liquids of the planned row will lack, and from where on one is odd.

    Poured as planned, with what is known beforehand of ware, hand and balance.

    Parameters
    ----------
    experiment : Experiment
    groups : int
        Of the room. Fewer than four show no middle to compare with: then the limit of a group is
        about what is expected.
    """
    poured = [run for run in experiment.planned if run.reagent + run.diluent > 0]
    table = _as_planned(experiment, tuple(run.run for run in poured))
    found = [pours(experiment, table, liquid) for liquid in VOLUMES]
    fillings = np.array([each.fillings for each in found])
    lacks, unsure = left_behind(experiment).of(fillings)
    table = _weighed(experiment, table, lacks)
    check = compare_liquid(experiment, table)
    shared = unsure**2 + _of_scales(experiment, table) ** 2
    alike = _alike(fillings)
    enough = np.count_nonzero(alike) >= FEWEST_FOR_A_MEDIAN
    own = check.u[alike] ** 2 * MEDIAN_OVER_MEAN**2 / np.count_nonzero(alike)
    of_group = np.sqrt(shared[alike] + own)
    others = groups - 1
    beside_others = others >= FEWEST_FOR_A_MEDIAN
    if beside_others:
        of_group = of_group * math.sqrt(1.0 + MEDIAN_OVER_MEAN**2 / others)
    return LiquidToCome(
        least=float(lacks.min()),
        most=float(lacks.max()),
        usual=float(np.max(lacks + COVERAGE_95 * np.sqrt(shared + check.u**2))),
        of_vessel=LOOK_AT * float(check.u[alike].max()) if enough else math.inf,
        of_group=LOOK_AT * float(of_group.max()),
        beside_others=beside_others,
    )


def _as_planned(experiment: Experiment, runs: tuple[str, ...]) -> RunTable:
    """Return the volumes of the plan as if they had been read, and empty vessels."""
    planned = [run for run in experiment.planned if run.run in runs]
    return table_of(
        runs,
        {
            Quantity.REAGENT: [repr(millilitres(run.reagent)) for run in planned],
            Quantity.DILUENT: [repr(millilitres(run.diluent)) for run in planned],
            Quantity.TARE: [repr(_VESSEL)] * len(runs),
        },
    )


def _weighed(experiment: Experiment, table: RunTable, lacks: FloatArray) -> RunTable:
    """Return the same with the vessels weighed, each lacking what its pours leave behind."""
    shown = by_volumes(experiment, table, np.ones(len(table.runs), dtype=np.bool_))
    typed = {
        quantity: [one.typed for run in table.runs for one in table.of(run, quantity)]
        for quantity in (Quantity.REAGENT, Quantity.DILUENT, Quantity.TARE)
    }
    return table_of(
        table.runs, {**typed, Quantity.LIQUID: [repr(float(m)) for m in _VESSEL + shown - lacks]}
    )


def _of_scales(experiment: Experiment, table: RunTable) -> FloatArray:
    """Return how unsure the scales of both vessels leave the mass of each liquid, [g]."""
    ware = (experiment.equipment.reagent, experiment.equipment.diluent)
    parts = [
        per_litre * shared_u(instrument, table.mean(quantity, 0.0))
        for per_litre, instrument, quantity in zip(
            grams_per_litre(experiment), ware, VOLUMES, strict=True
        )
    ]
    of_scales: FloatArray = np.hypot(*parts)
    return of_scales


def _alike(fillings: FloatArray) -> BoolArray:
    """Return the vessels of the largest group that were filled alike."""
    _, of_kind, counts = np.unique(fillings, axis=1, return_inverse=True, return_counts=True)
    alike: BoolArray = of_kind.reshape(-1) == np.argmax(counts)
    return alike
