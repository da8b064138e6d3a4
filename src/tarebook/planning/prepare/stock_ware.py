"""What the prep room needs for the stock and its titration."""

from __future__ import annotations

from typing import Literal

from tarebook.core.units import millilitres
from tarebook.planning.prepare.batches import rounded_up
from tarebook.planning.prepare.items import Item
from tarebook.planning.prepare.stock_check import BURETTE, REPEATS, StockCheck
from tarebook.planning.prepare.stock_recipe import StockRecipe, Way

ROUND_TO = 0.010
"""Volumes put out are rounded up to this, L."""

CONICAL_FLASK = 0.250
"""For the titration, L: common practice, no source."""


def for_the_stock(recipe: StockRecipe, check: StockCheck | None) -> list[Item]:
    """Return what is bought for the stock, its ware, and what titrates it."""
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
