"""Slips of every kind, put into a simulated series."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TypeAlias

import numpy as np
from scripts.study_slips.hands import WRITERS, Written
from scripts.study_slips.series import (
    Planted,
    moved,
    number_like,
    rewritten,
    typed,
    with_cup,
)
from scripts.study_slips.worlds import World

from tarebook.core.units import litres, millilitres
from tarebook.diagnosis.slips.kinds import OF_A_ROW, SlipKind
from tarebook.model.simulate import Simulated
from tarebook.records.readings import MASSES, VOLUMES, Quantity, RunTable
from tarebook.reduction.joint.problem import READ
from tarebook.series.experiment import Experiment

Result: TypeAlias = tuple[RunTable, Planted] | None

SHOWS = {
    SlipKind.LIQUIDS_EXCHANGED: (Quantity.REAGENT, Quantity.DILUENT),
    SlipKind.VOLUMES_EXCHANGED: (Quantity.REAGENT, Quantity.DILUENT),
    SlipKind.SAMPLE_MISSING: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_TWICE: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.SAMPLE_LOST: (Quantity.SAMPLE, Quantity.FINAL),
    SlipKind.LIQUID_LOST: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.WEIGHED_EARLY: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.WEIGHED_LATE: (Quantity.FINAL, Quantity.SAMPLE),
    SlipKind.OTHER_STOCK: (Quantity.REAGENT, Quantity.FINAL, Quantity.SAMPLE),
}
"""Slips in the cup leave every number right; these are the readings in which they show."""

OF_ALL = tuple(kind for kind in SlipKind if kind not in OF_A_ROW)
"""A stock that is another one throughout is no slip in a run; a test of its own looks for it."""

OF_TWO_RUNS = (SlipKind.RUNS_EXCHANGED, SlipKind.COLUMN_SHIFTED)
OF_ONE_RUN = tuple(kind for kind in OF_ALL if kind not in OF_TWO_RUNS)

STOCKS = (0.1, 0.25, 0.5, 1.0)
"""Bottles that may stand beside the right one, [mol/L]."""

MOST_STRENGTH = 1.5
"""Of a wrong bottle, in the right strength: beyond it the model of the cup ends."""

COLUMNS = (
    (Quantity.TARE,),
    (Quantity.LIQUID,),
    (Quantity.FINAL,),
    (Quantity.REAGENT, Quantity.DILUENT),
    (Quantity.SAMPLE, Quantity.FINAL),
)


def plant(
    kind: SlipKind, series: Simulated, of: Experiment, world: World, rng: np.random.Generator
) -> Result:
    """Return a series with a slip of one kind, None where it happens to change nothing."""
    if kind in OF_TWO_RUNS:
        return _exchanged(kind, series.table, rng)
    index = int(rng.integers(len(series.table.runs)))
    if kind in SHOWS:
        table = _in_cup(kind, series, of, index, world, rng)
        planted = Planted(kind, (series.table.runs[index],), SHOWS[kind])
        if kind is SlipKind.VOLUMES_EXCHANGED:
            truth = typed(series.table, planted.runs[0], Quantity.REAGENT)
            planted = replace(planted, truth=truth)
        return table, planted
    if kind is SlipKind.TARGET_WRITTEN:
        return _target_written(series, of, index, world, rng)
    return _written(kind, series.table, of, index, rng)


def _written(
    kind: SlipKind, table: RunTable, of: Experiment, index: int, rng: np.random.Generator
) -> Result:
    run = table.runs[index]
    among: tuple[Quantity, ...] = tuple(READ)
    if kind in (SlipKind.LINE_MISREAD, SlipKind.MENISCUS_EDGE):
        among = VOLUMES
    elif kind is SlipKind.NOT_ZEROED:
        among = MASSES
    elif kind is SlipKind.TARE_SUBTRACTED:
        among = (Quantity.LIQUID, Quantity.FINAL)
    quantity = among[int(rng.integers(len(among)))]
    text = typed(table, run, quantity)
    if kind is SlipKind.COPIED:
        new = typed(table, table.runs[_copied_from(len(table.runs), index, rng)], quantity)
    else:
        number = Written(text, typed(table, run, Quantity.TARE), quantity, of)
        new = WRITERS[kind](number, rng)
    if float(new) == float(text) or float(new) < 0:
        return None
    return rewritten(table, run, quantity, new), Planted(kind, (run,), (quantity,), text)


def _copied_from(n: int, index: int, rng: np.random.Generator) -> int:
    """Return the row above in seven of ten, else any other."""
    if index and rng.random() < 0.7:
        return index - 1
    return int(rng.choice([i for i in range(n) if i != index]))


def _target_written(
    series: Simulated, of: Experiment, index: int, world: World, rng: np.random.Generator
) -> Result:
    """A pour that missed its target by 0.5 to 4 mL, and the target written down."""
    planned = of.planned[index]
    quantity = VOLUMES[int(rng.integers(2))]
    name = "reagent" if quantity is Quantity.REAGENT else "diluent"
    target = millilitres(getattr(planned, name))
    off = math.exp(rng.uniform(math.log(0.5), math.log(4.0))) * rng.choice([1.0, -1.0])
    text = typed(series.table, planned.run, quantity)
    there = float(getattr(series.contents, name)[index])
    poured = max(there + litres(target + off - float(text)), 0.0)
    table = with_cup(series, of, index, world, **{name: poured})
    planted = Planted(
        SlipKind.TARGET_WRITTEN, (planned.run,), (quantity,), number_like(text, target + off)
    )
    return rewritten(table, planned.run, quantity, number_like(text, target)), planted


def _in_cup(
    kind: SlipKind,
    series: Simulated,
    of: Experiment,
    index: int,
    world: World,
    rng: np.random.Generator,
) -> RunTable:
    """Return the readings after something went wrong with the cup itself."""
    table, inside = series.table, series.contents
    run, sample = table.runs[index], float(inside.sample[index])
    match kind:
        case SlipKind.VOLUMES_EXCHANGED:
            reagent, diluent = (typed(table, run, quantity) for quantity in VOLUMES)
            table = rewritten(table, run, Quantity.REAGENT, diluent)
            return rewritten(table, run, Quantity.DILUENT, reagent)
        case SlipKind.LIQUIDS_EXCHANGED:
            first, second = float(inside.reagent[index]), float(inside.diluent[index])
            return with_cup(series, of, index, world, reagent=second, diluent=first)
        case SlipKind.SAMPLE_MISSING:
            return with_cup(series, of, index, world, sample=0.0)
        case SlipKind.SAMPLE_TWICE:
            second = of.sample.nominal_mass * (1.0 + 0.03 * rng.standard_normal())
            return with_cup(series, of, index, world, sample=sample + second)
        case SlipKind.SAMPLE_LOST:
            part = min(float(rng.exponential(0.2)), 0.9)
            return with_cup(series, of, index, world, sample=sample * (1.0 - part))
        case SlipKind.LIQUID_LOST:
            # From one drop to forty.
            lost = math.exp(rng.uniform(math.log(0.05), math.log(2.0)))
            return moved(table, run, Quantity.FINAL, -lost)
        case SlipKind.WEIGHED_EARLY:
            # What a first-order release has still to give after one to five of its time constants.
            coming = float(series.state.gas_made[index]) * math.exp(-rng.uniform(1.0, 5.0))
            return moved(table, run, Quantity.FINAL, coming)
        case SlipKind.WEIGHED_LATE:
            late = math.exp(rng.uniform(math.log(60.0), math.log(1440.0)))
            return with_cup(series, of, index, world, minutes=late)
        case _:
            strength = _other_strength(float(series.parameters.concentration), rng)
            return with_cup(series, of, index, world, strength=strength)


def _other_strength(defined: float, rng: np.random.Generator) -> float:
    """Return a wrong bottle's strength over the right one, or that of one that was not mixed."""
    if rng.random() < 0.5:
        return float(rng.uniform(0.6, 0.95))
    wrong = [s / defined for s in STOCKS if s < MOST_STRENGTH * defined]
    return float(rng.choice([factor for factor in wrong if abs(factor - 1.0) > 0.02]))


def _exchanged(kind: SlipKind, table: RunTable, rng: np.random.Generator) -> Result:
    """Two runs' readings exchanged, or a column one row off from some run on, the end to the front
    of it."""
    n = len(table.runs)
    source = list(range(n))
    if kind is SlipKind.RUNS_EXCHANGED:
        quantities = COLUMNS[int(rng.integers(len(COLUMNS)))]
        i, j = (int(k) for k in rng.choice(n, 2, replace=False))
        source[i], source[j] = j, i
    else:
        quantities = COLUMNS[int(rng.integers(3))]
        start = int(rng.integers(n - 2))
        shift = int(rng.choice([1, -1]))
        source[start:] = [start + (k + shift) % (n - start) for k in range(n - start)]
    new = table
    for quantity in quantities:
        for i, other in enumerate(source):
            if i != other:
                text = typed(table, table.runs[other], quantity)
                new = rewritten(new, table.runs[i], quantity, text)
    runs = tuple(table.runs[i] for i, other in enumerate(source) if i != other)
    return new, Planted(kind, runs, quantities)
