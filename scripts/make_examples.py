"""Make the readings of the example folders from their definitions: simulated, with fixed seeds.

Run it from the top of the repository: python scripts/make_examples.py
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from tarebook.model.parameters import Parameters
from tarebook.model.priors import central_parameters
from tarebook.model.simulate import simulate
from tarebook.records.readings import Quantity, RunTable, memory_value
from tarebook.records.sheet import write_sheet
from tarebook.series.definition import parse_definition
from tarebook.series.experiment import Experiment

EXAMPLES = Path(__file__).parents[1] / "examples"

Slip = tuple[str, Quantity, str]
"""Run, quantity and what was written down in place of what was read; empty for nothing."""


def truth(experiment: Experiment, content: float, **values: float) -> Parameters:
    """Return parameters near the middle of what is known, with a content of our choice."""
    chosen: Mapping[str, float] = {"content": content, **values}
    return central_parameters(experiment).with_values(
        **{name: np.array(value) for name, value in chosen.items()}
    )


def with_slips(table: RunTable, slips: list[Slip]) -> RunTable:
    """Return readings as a hurried group would have written them down."""
    written = {(run, quantity): typed for run, quantity, typed in slips}
    readings = []
    for reading in table.readings:
        typed = written.get((reading.run, reading.quantity), reading.typed)
        if typed:
            value = memory_value(reading.quantity, float(typed))
            readings.append(replace(reading, typed=typed, value=value))
    return replace(table, readings=tuple(readings))


def swapped(typed: str, first: int, second: int) -> str:
    """Return a number with two of its digits swapped."""
    letters = list(typed)
    letters[first], letters[second] = letters[second], letters[first]
    return "".join(letters)


def pool_slips(table: RunTable) -> list[Slip]:
    """Return what the hurried group did: forgot, swapped digits, changed the unit, guessed."""

    def typed(run: str, quantity: Quantity) -> str:
        return table.of(run, quantity)[0].typed

    reagent = typed("4", Quantity.REAGENT)
    milligrams = f"{1000 * float(typed('6', Quantity.SAMPLE)):.0f}"
    return [
        ("2", Quantity.TARE, ""),
        ("4", Quantity.REAGENT, swapped(reagent, 1, 3)),
        ("6", Quantity.SAMPLE, milligrams),
        ("7", Quantity.DILUENT, typed("7", Quantity.DILUENT) + "4"),
    ]


def make(name: str, content: float, seed: int, messy: bool, **values: float) -> None:
    """Write the readings of one example."""
    folder = EXAMPLES / name
    experiment = parse_definition((folder / "experiment.toml").read_text(encoding="utf-8"))
    rng = np.random.Generator(np.random.SFC64(seed))
    table = simulate(experiment, truth(experiment, content, **values), rng).table
    if messy:
        table = with_slips(table, pool_slips(table))
    (folder / "readings.csv").write_text(write_sheet(table), encoding="utf-8")
    print(f"{name}: {len(table.runs)} runs")


def main() -> None:
    """Make them all."""
    pool = {"concentration": 0.7495, "scale_reagent": 0.0012, "scale_diluent": -0.0016}
    make("clean-pool-granules", 0.944, 11, messy=False, **pool)
    make("messy-pool-granules", 0.944, 12, messy=True, **pool)
    make(
        "weak-acid-foot-bath",
        0.742,
        13,
        messy=False,
        concentration=0.797,
        own_acid=0.00085,
        scale_reagent=-0.003,
        gas_pressure=101000.0,
    )
    make("fizzing-tablet-hand-soak", 0.573, 24, messy=False, own_acid=0.00314)
    make("egg-shells-in-acid", 0.938, 15, messy=False, concentration=0.802)
    make("washing-soda-crystals", 0.972, 16, messy=False, scale_reagent=0.0015)
    make("soda-grows-in-acid", 0.917, 17, messy=False, concentration=0.3495)


if __name__ == "__main__":
    main()
