"""All of the preparation at once, as the sheets need it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.planning.prepare.bench_plan import BenchPlan, bench_plan
from tarebook.planning.prepare.expected import ExpectedLoss, expected_loss
from tarebook.planning.prepare.gas import GasDanger, gas_danger
from tarebook.planning.prepare.hazards import Hazard, hazards
from tarebook.planning.prepare.neutralise import Waste, waste
from tarebook.planning.prepare.stock_check import StockCheck, stock_check
from tarebook.planning.prepare.stock_recipe import StockRecipe, stock_recipe
from tarebook.planning.prepare.supplies import Supplies, stock_needed, supplies
from tarebook.planning.prepare.ventilation import AirLoad, air_load
from tarebook.series.experiment import Experiment

MOST_GROUPS = 500
MOST_SHEETS = 5000
MOST_BALANCES = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """Everything that is worked out before the lesson.

    Attributes
    ----------
    gas : GasDanger or None
        What is against letting the gas into the room, for so many groups.
    """

    experiment: Experiment
    groups: int
    balances: int
    recipe: StockRecipe
    check: StockCheck | None
    supplies: Supplies
    bench: BenchPlan
    gas: GasDanger | None
    hazards: tuple[Hazard, ...]
    air: AirLoad
    waste: Waste
    expected: ExpectedLoss | None


def prepare(
    experiment: Experiment, groups: int, balances: int, rng: np.random.Generator
) -> Prepared:
    """Work out what a lesson needs.

    Parameters
    ----------
    experiment : Experiment
    groups, balances : int
    rng : numpy.random.Generator
        Of the simulated lessons.

    Raises
    ------
    InputError
        If the wishes cannot be met, with what can.
    """
    _check_wishes(experiment, groups, balances)
    recipe = stock_recipe(experiment, stock_needed(experiment, groups))
    check = stock_check(experiment)
    needed = supplies(experiment, groups, balances, recipe, check)
    bench = bench_plan(experiment, groups, balances, rng)
    return Prepared(
        experiment=experiment,
        groups=groups,
        balances=balances,
        recipe=recipe,
        check=check,
        supplies=needed,
        bench=bench,
        gas=gas_danger(experiment, groups),
        hazards=hazards(experiment, recipe, check),
        air=air_load(experiment, groups, bench.as_wished.end, needed.people),
        waste=waste(experiment, groups, recipe.total),
        expected=expected_loss(experiment),
    )


def _check_wishes(experiment: Experiment, groups: int, balances: int) -> None:
    faults = []
    runs = len(experiment.planned)
    most = min(MOST_GROUPS, MOST_SHEETS // runs)
    if not 1 <= groups <= most:
        faults.append(
            Fault(
                where=AskedFor.GROUPS,
                found=str(groups),
                allowed=f"1 to {most} groups with {runs} runs each",
                do="One group is a demonstration." if groups < 1 else "Prepare them in parts.",
            )
        )
    if not 1 <= balances <= MOST_BALANCES:
        faults.append(
            Fault(
                where=AskedFor.BALANCES,
                found=str(balances),
                allowed=f"1 to {MOST_BALANCES}",
                do="Without a balance there is nothing to weigh.",
            )
        )
    if faults:
        raise InputError(faults)
