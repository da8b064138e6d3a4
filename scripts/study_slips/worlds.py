"""Where the readings come from: our own model, another chemistry, another law of noise."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scripts.study_joint_fit import by_phreeqc

from tarebook.core.arrays import FloatArray
from tarebook.core.units import millilitres
from tarebook.measurement.effects import Shape, draw
from tarebook.measurement.own_errors import own_u
from tarebook.model.cup import Contents, cup_state
from tarebook.model.delivery import delivered
from tarebook.model.observables import Seen
from tarebook.model.parameters import Parameters
from tarebook.model.release import Release, by_equilibrium
from tarebook.model.simulate import Simulated, simulate
from tarebook.records.readings import Quantity, table_of
from tarebook.series.experiment import Experiment

DEGREES = 4
"""Of freedom of Student's t: errors beyond four u are 75 times as frequent as with a normal."""


@dataclass(frozen=True, slots=True)
class World:
    """A way to make readings.

    Attributes
    ----------
    name : str
    release : Release
        The chemistry of the cup.
    heavy_tails : bool
        Whether errors of readings follow Student's t, their u the same.
    """

    name: str
    release: Release = by_equilibrium
    heavy_tails: bool = False

    def simulate(
        self, of: Experiment, parameters: Parameters, rng: np.random.Generator
    ) -> Simulated:
        """Return a clean series of this world."""
        series = simulate(of, parameters, rng, release=self.release)
        return _with_heavy_tails(series, of, rng) if self.heavy_tails else series


OWN = World("our own model")
PAIRS = World("PHREEQC with ion pairs", release=by_phreeqc)
TAILS = World("heavier tails", heavy_tails=True)
WORLDS = {world.name: world for world in (OWN, PAIRS, TAILS)}


def _with_heavy_tails(series: Simulated, of: Experiment, rng: np.random.Generator) -> Simulated:
    """Return the same pours and portions, read and weighed with errors of heavier tails."""
    n = len(series.table.runs)

    def error(u: FloatArray | float) -> FloatArray:
        # The variance of Student's t is DEGREES / (DEGREES - 2).
        return np.asarray(u * rng.standard_t(DEGREES, n) * math.sqrt((DEGREES - 2) / DEGREES))

    table, parameters, equipment = series.table, series.parameters, of.equipment
    reagent = table.mean(Quantity.REAGENT, 0.0)
    diluent = table.mean(Quantity.DILUENT, 0.0)
    contents = Contents(
        reagent=delivered(
            np.maximum(reagent + error(own_u(equipment.reagent, reagent)), 0.0),
            parameters.scale_reagent,
            parameters.hold_up_reagent,
        ),
        diluent=delivered(
            np.maximum(diluent + error(own_u(equipment.diluent, diluent)), 0.0),
            parameters.scale_diluent,
            parameters.hold_up_diluent,
        ),
        sample=series.contents.sample,
        temperature=series.contents.temperature,
        minutes=series.contents.minutes,
    )
    tare = table.mean(Quantity.TARE, 0.0)
    state = cup_state(of, parameters, contents)
    shown = Seen(of, parameters, contents, tare, state)
    main, own = equipment.balance, equipment.sample_balance
    linear = draw(Shape.RECTANGULAR, main.linearity_u, rng, 2)
    linear_own = draw(Shape.RECTANGULAR, own.linearity_u, rng, 1)
    columns = {
        Quantity.TARE: tare + linear[0] + error(main.weighing_u),
        Quantity.LIQUID: shown.of(Quantity.LIQUID) + error(main.weighing_u),
        Quantity.SAMPLE: shown.of(Quantity.SAMPLE) + linear_own[0] + error(own.weighing_u),
        Quantity.FINAL: shown.of(Quantity.FINAL) + linear[1] + error(main.weighing_u),
        Quantity.REAGENT: millilitres(reagent),
        Quantity.DILUENT: millilitres(diluent),
    }
    written = {
        quantity: [
            f"{value:.{len(table.of(run, quantity)[0].typed.partition('.')[2])}f}"
            for run, value in zip(table.runs, column, strict=True)
        ]
        for quantity, column in columns.items()
    }
    for quantity in (Quantity.TEMPERATURE, Quantity.MINUTES):
        written[quantity] = [table.of(run, quantity)[0].typed for run in table.runs]
    return Simulated(
        table=table_of(table.runs, written), parameters=parameters, contents=contents, state=state
    )
