"""What has to be on the bench: how much of it, with the margin."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tarebook.core.tables import reference_table
from tarebook.core.units import millilitres
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.planning.prepare.batches import rounded_up
from tarebook.planning.prepare.items import Item, Unit
from tarebook.planning.prepare.stock_check import REPEATS, StockCheck
from tarebook.planning.prepare.stock_recipe import StockRecipe
from tarebook.planning.prepare.stock_ware import ROUND_TO, for_the_stock
from tarebook.series.experiment import Experiment

RINSING_WATER = 0.2
"""Water for rinsing, L per vessel of the row; from memory."""

STAFF = 2
"""Instructor and technician wear goggles too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplies:
    """All that is needed.

    Attributes
    ----------
    groups, balances, people : int
    margin : float, [1]
    bench : tuple of Item
        For the trays of the groups.
    room : tuple of Item
        There once for all.
    stock_needed : float, [L]
        With rinsing and margin; what the recipe makes is at least this much.
    stock_per_group, diluent_per_group : float, [L]
        What stands on a group's tray.
    sample_per_group : float, [g]
    """

    groups: int
    balances: int
    people: int
    margin: float
    bench: tuple[Item, ...]
    room: tuple[Item, ...]
    stock_needed: float
    stock_per_group: float
    diluent_per_group: float
    sample_per_group: float


def portions(experiment: Experiment) -> tuple[float, float, float]:
    """Return what a group's tray holds: reagent and diluent, [L], and sample, [g], with margin."""
    said = experiment.preparation
    more = 1.0 + said.margin
    reagent = sum(run.reagent for run in experiment.planned) + said.rinsing
    diluent = sum(run.diluent for run in experiment.planned) + said.rinsing
    sample = sum(run.sample for run in experiment.planned)
    return (
        rounded_up(reagent * more, ROUND_TO),
        rounded_up(diluent * more, ROUND_TO),
        math.ceil(sample * more),
    )


def stock_needed(experiment: Experiment, groups: int) -> float:
    """Return the stock that all trays hold, and three aliquots for its titration, [L]."""
    return groups * portions(experiment)[0] + REPEATS * 0.025


def supplies(
    experiment: Experiment,
    groups: int,
    balances: int,
    recipe: StockRecipe,
    check: StockCheck | None,
) -> Supplies:
    """Return what has to be on the bench and in the room.

    Parameters
    ----------
    experiment : Experiment
    groups, balances : int
    recipe : StockRecipe
    check : StockCheck or None
    """
    said, equipment = experiment.preparation, experiment.equipment
    reagent, diluent, sample = portions(experiment)
    n = len(experiment.planned)
    spare = reference_table("tarebook.planning", "bench")["vessels"]["spare_share"]
    vessels = math.ceil(groups * n * (1.0 + spare))
    people = groups * said.students_per_group + STAFF
    one = _Once(groups)
    bench = (
        Item(
            key="vessel",
            detail=experiment.vessel.name,
            per_group=n,
            total=vessels,
            unit="pieces",
        ),
        one.each("reagent bottle", experiment.reagent.name, float(millilitres(reagent)), "mL"),
        one.each("diluent bottle", experiment.diluent, float(millilitres(diluent)), "mL"),
        one.each("sample jar", experiment.sample.name, sample, "g"),
        one.ware(equipment.reagent, experiment.reagent.name),
        one.ware(equipment.diluent, experiment.diluent),
        Item(key="weighing boat", detail="", per_group=n, total=vessels, unit="pieces"),
        one.each("spatula", "", 1, "pieces"),
        one.each("thermometer", "", 1, "pieces"),
        one.each("bench sheets", "", n, "pieces"),
        one.each("tray", "", 1, "pieces"),
    )
    own = equipment.sample_balance is not equipment.balance
    room = [
        Item(
            key="balance",
            detail="",
            size=equipment.balance.readability,
            size_unit="g",
            per_group=0,
            total=balances,
            unit="pieces",
        ),
        *(
            [
                Item(
                    key="sample balance",
                    detail="",
                    size=equipment.sample_balance.readability,
                    size_unit="g",
                    per_group=0,
                    total=balances,
                    unit="pieces",
                )
            ]
            if own
            else []
        ),
        Item(
            key="goggles", detail="", per_group=said.students_per_group, total=people, unit="pieces"
        ),
        Item(
            key="gloves", detail="", per_group=said.students_per_group, total=people, unit="pieces"
        ),
        Item(
            key="rinsing water",
            detail="",
            per_group=0,
            total=float(millilitres(groups * n * RINSING_WATER)),
            unit="mL",
        ),
        Item(
            key="waste bucket",
            detail="",
            per_group=0,
            total=max(1, math.ceil(groups * n * experiment.total_volume / 8.0)),
            unit="pieces",
        ),
        Item(
            key="paper towels",
            detail="",
            per_group=0,
            total=max(1, math.ceil(groups / 5)),
            unit="pieces",
        ),
    ]
    room += for_the_stock(recipe, check)
    return Supplies(
        groups=groups,
        balances=balances,
        people=people,
        margin=said.margin,
        bench=bench,
        room=tuple(room),
        stock_needed=stock_needed(experiment, groups),
        stock_per_group=reagent,
        diluent_per_group=diluent,
        sample_per_group=sample,
    )


class _Once:
    """Items of which every group has the same."""

    def __init__(self, groups: int) -> None:
        self.groups = groups

    def each(self, key: str, detail: str, per_group: float, unit: Unit) -> Item:
        return Item(
            key=key, detail=detail, per_group=per_group, total=self.groups * per_group, unit=unit
        )

    def ware(self, instrument: VolumeInstrument, liquid: str) -> Item:
        return Item(
            key=instrument.kind.value,
            detail=liquid,
            per_group=1,
            total=self.groups,
            unit="pieces",
            size=float(millilitres(instrument.capacity)),
            size_unit="mL",
        )
