"""What has to be on the bench: how much of it, with the margin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from tarebook.core.tables import reference_table
from tarebook.core.units import millilitres
from tarebook.measurement.volumes import VolumeInstrument
from tarebook.planning.prepare.batches import rounded_up
from tarebook.planning.prepare.stock_check import BURETTE, REPEATS, StockCheck
from tarebook.planning.prepare.stock_recipe import StockRecipe, Way
from tarebook.series.experiment import Experiment

Unit: TypeAlias = Literal["mL", "g", "pieces"]

ROUND_TO = 0.010
"""Volumes put out are rounded up to this, L."""

RINSING_WATER = 0.2
"""Water for rinsing, L per vessel of the row; from memory."""

CONICAL_FLASK = 0.250
"""For the titration, L: common practice, no source."""

STAFF = 2
"""Instructor and technician wear goggles too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One line of the list.

    Attributes
    ----------
    key : str
        What it is, for the language file.
    detail : str
        Name as the definition has it; may be empty.
    size : float, [`size_unit`]
        Of ware or of the last digit of a balance; 0 if it has none.
    per_group : float
        For one group; 0 for what is there once.
    total : float
        With the margin.
    work : str
        What ware of the prep room is for; empty for all else.
    unit : str
        ``"mL"``, ``"g"`` or ``"pieces"``: these figures leave memory, so volumes are in mL.
    """

    key: str
    detail: str
    per_group: float
    total: float
    unit: Unit
    size: float = 0.0
    size_unit: Literal["", "mL", "g"] = ""
    work: Literal["", "stock", "titration"] = ""


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
    sample = len(experiment.planned) * experiment.sample.nominal_mass
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
    room += _for_the_stock(recipe, check)
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


def _for_the_stock(recipe: StockRecipe, check: StockCheck | None) -> list[Item]:
    supply, count = recipe.supply, recipe.n_batches
    items = []
    if recipe.way is Way.AS_BOUGHT:
        items.append(
            Item(
                key="stock as bought",
                detail=supply.name,
                per_group=0,
                total=float(millilitres(recipe.total)),
                unit="mL",
            )
        )
    elif recipe.way is Way.LIQUID:
        items.append(
            Item(
                key="bought liquid",
                detail=supply.name,
                per_group=0,
                total=float(millilitres(count * recipe.volume)),
                unit="mL",
            )
        )
    else:
        items.append(
            Item(
                key="bought solid",
                detail=supply.name,
                per_group=0,
                total=count * recipe.mass,
                unit="g",
            )
        )
    items += _stock_ware(recipe)
    if check is not None:
        items += _titration_ware(check)
        titrant = rounded_up(REPEATS * check.titre + BURETTE, ROUND_TO)
        items.append(
            Item(
                key="titrant",
                detail=check.titrant,
                per_group=0,
                total=float(millilitres(titrant)),
                unit="mL",
            )
        )
    return items


def _stock_ware(recipe: StockRecipe) -> list[Item]:
    """Return the ware in which the stock is made; batches are made one after the other."""
    if recipe.way is Way.AS_BOUGHT:
        return []
    ware = [] if recipe.by_mass else [("beaker", recipe.batch)]
    if recipe.measuring is not None:
        ware.append(("graduated cylinder", recipe.measuring.capacity))
    ware.append(("container" if recipe.by_mass else "volumetric flask", recipe.batch))
    count = recipe.n_batches if recipe.by_mass else 1
    return [_in_room(key, size, "stock", count if key == "container" else 1) for key, size in ware]


def _titration_ware(check: StockCheck) -> list[Item]:
    ware = [
        _in_room("burette", BURETTE, "titration"),
        _in_room("transfer pipette", check.aliquot, "titration"),
        _in_room("conical flask", CONICAL_FLASK, "titration", REPEATS),
        Item(key="indicator", detail=check.indicator, per_group=0, total=1, unit="pieces"),
    ]
    if check.dilution > 1:
        ware += [
            _in_room("transfer pipette", check.flask / check.dilution, "titration"),
            _in_room("volumetric flask", check.flask, "titration"),
        ]
    return ware


def _in_room(key: str, litres: float, work: Literal["stock", "titration"], count: int = 1) -> Item:
    return Item(
        key=key,
        detail="",
        size=float(millilitres(litres)),
        size_unit="mL",
        per_group=0,
        total=count,
        unit="pieces",
        work=work,
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
