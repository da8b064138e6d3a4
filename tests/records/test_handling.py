"""Who did what with the cups, and when."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tarebook.records.handling import handling_of
from tarebook.records.readings import Quantity, Reading, RunTable
from tarebook.records.stage import READ_BY, Stage

NINE = dt.datetime(2027, 3, 2, 9, 0, tzinfo=dt.UTC)


def reading(quantity: Quantity, minute: int, who: str) -> Reading:
    return Reading(
        run="1", quantity=quantity, value=1.0, typed="1", place="", who=who,
        taken=NINE + dt.timedelta(minutes=minute),
    )  # fmt: skip


def test_each_step_names_its_people_and_its_times() -> None:
    table = RunTable(
        runs=("1",),
        readings=(
            reading(Quantity.LIQUID, 12, "Ada"),
            reading(Quantity.TARE, 2, "Ben"),
            reading(Quantity.REAGENT, 5, "Ada"),
            reading(Quantity.SAMPLE, 40, ""),
        ),
    )
    poured, weighed = handling_of(table)
    assert poured.stage is Stage.POURED
    assert poured.who == ("Ben", "Ada")
    assert (poured.first.minute, poured.last.minute) == (2, 12)
    assert weighed.stage is Stage.SAMPLE_WEIGHED
    assert weighed.who == ()


def test_a_sheet_says_nothing_of_people() -> None:
    one = replace(reading(Quantity.TARE, 0, ""), taken=None)
    assert handling_of(RunTable(runs=("1",), readings=(one,))) == ()


def test_every_quantity_belongs_to_a_step() -> None:
    assert set(READ_BY) == set(Quantity)
