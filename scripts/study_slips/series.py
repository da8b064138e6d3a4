"""Simulated series in which a number can be changed, or what one cup really holds."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
from scripts.study_slips.worlds import World

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.slips.kinds import SlipKind
from tarebook.model.cup import Contents, cup_state
from tarebook.model.effects import ALL_EFFECTS
from tarebook.model.observables import Seen
from tarebook.model.parameters import NAMES, Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.model.simulate import Simulated
from tarebook.records.readings import Quantity, RunTable, memory_value
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

TOP = Path(__file__).parents[2]
EXAMPLES = ("clean-pool-granules", "weak-acid-foot-bath")

CLAIM_IS_OFF = 0.05
"""Standard deviation of a content about the one claimed."""


@dataclass(frozen=True, slots=True)
class Planted:
    """A slip put into a series.

    Attributes
    ----------
    kind : SlipKind
    runs : tuple of str
    quantities : tuple of Quantity
        Where it shows, the reading that carries it first.
    truth : str
        What should have been written; empty where the number is right and the cup is wrong.
    """

    kind: SlipKind
    runs: tuple[str, ...]
    quantities: tuple[Quantity, ...]
    truth: str = ""


@dataclass(frozen=True, slots=True)
class Slipped:
    """A series with slips, and without them."""

    experiment: Experiment
    clean: RunTable
    table: RunTable
    planted: tuple[Planted, ...]


@cache
def experiment(name: str) -> Experiment:
    """Return the experiment of an example folder."""
    text = (TOP / "examples" / name / "experiment.toml").read_text(encoding="utf-8")
    return parse_definition(text)


def drawn(of: Experiment, rng: np.random.Generator) -> Parameters:
    """Return a truth drawn from the priors, with a content near the claimed one."""
    many = drawn_parameters(of, rng, 1)
    one = {name: np.asarray(getattr(many, name)).reshape(()) for name in NAMES}
    claimed = of.sample.claimed_mass_fraction
    if claimed is None:
        raise ValueError(f"{of.title}: no content is claimed to draw about")
    one["content"] = np.array(min(claimed.value + CLAIM_IS_OFF * rng.standard_normal(), 1.0))
    return Parameters(**one)


def typed(table: RunTable, run: str, quantity: Quantity) -> str:
    """Return a number as it stands on the sheet."""
    return table.of(run, quantity)[0].typed


def number_like(text: str, value: float) -> str:
    """Return a value with as many decimals as a number has."""
    return f"{value:.{len(text.partition('.')[2])}f}"


def rewritten(table: RunTable, run: str, quantity: Quantity, text: str) -> RunTable:
    """Return readings with another number in one place."""
    value = memory_value(quantity, float(text))
    readings = tuple(
        replace(r, typed=text, value=value) if r.run == run and r.quantity is quantity else r
        for r in table.readings
    )
    return replace(table, readings=readings)


def moved(table: RunTable, run: str, quantity: Quantity, change: float) -> RunTable:
    """Return readings with one number larger, in the unit of the sheet."""
    text = typed(table, run, quantity)
    return rewritten(table, run, quantity, number_like(text, float(text) + change))


def with_cup(
    series: Simulated,
    of: Experiment,
    index: int,
    world: World,
    *,
    strength: float = 1.0,
    **contents: float,
) -> RunTable:
    """Return the readings if one cup had really held something else; the volumes stay written."""
    inside = {name: getattr(series.contents, name).copy() for name in Contents.__slots__}
    for name, value in contents.items():
        inside[name][index] = value
    factor = np.ones(len(inside["sample"]))
    factor[index] = strength
    changed = series.parameters.with_values(concentration=series.parameters.concentration * factor)
    before = _shown(of, series.parameters, series.contents, world)
    after = _shown(of, changed, Contents(**inside), world)
    run = series.table.runs[index]
    table = moved(series.table, run, Quantity.LIQUID, float(after[0][index] - before[0][index]))
    return moved(table, run, Quantity.FINAL, float(after[1][index] - before[1][index]))


def _shown(
    of: Experiment, parameters: Parameters, contents: Contents, world: World
) -> tuple[FloatArray, FloatArray]:
    state = cup_state(of, parameters, contents, ALL_EFFECTS, world.release)
    shown = Seen(of, parameters, contents, np.zeros(len(contents.sample)), state)
    return shown.of(Quantity.LIQUID), shown.of(Quantity.FINAL)
