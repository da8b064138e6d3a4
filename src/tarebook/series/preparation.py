"""From what the definition says of the work before the lesson to the memory's units."""

from __future__ import annotations

from dataclasses import replace

from tarebook.chemistry.formula import parse_formula
from tarebook.core.errors import InputError
from tarebook.core.units import litres
from tarebook.series import schema
from tarebook.series.experiment import (
    Bought,
    Confirmed,
    Course,
    Durations,
    GasDecision,
    Preparation,
)
from tarebook.series.possible_strength import other_solid
from tarebook.series.strength import read_reagent


def read_preparation(
    table: schema.PrepareTable,
    course: schema.CourseTable,
    room: schema.RoomTable,
    reagent: schema.ReagentTable,
    solute: str,
    temperature: float,
) -> Preparation:
    """Return what a definition says of the work before the lesson.

    Parameters
    ----------
    table, course, room, reagent : tables of the definition
    solute : str
        Formula of the reagent species.
    temperature : float, [K]

    Raises
    ------
    FormulaError, InputError
        If what is bought cannot be understood.
    """
    return Preparation(
        margin=table.margin_percent / 100.0,
        rinsing=litres(table.rinsing_mL),
        students_per_group=table.students_per_group,
        cups_per_visit=table.cups_per_visit,
        lesson_minutes=table.lesson_minutes,
        room_volume=None if room.volume_m3 is None else 1000.0 * room.volume_m3,
        air_changes=room.air_changes_per_hour,
        durations=Durations(
            weighing=table.weighing_minutes,
            pouring=table.pouring_minutes,
            adding=table.adding_minutes,
            fizzing=table.fizzing_minutes,
        ),
        bought=_bought(table.bought, reagent, solute, temperature),
        confirmed=tuple(
            Confirmed(
                substance=parse_formula(one.substance).text, sheet=one.sheet, by=one.by, on=one.on
            )
            for one in table.confirmed
        ),
        gas_decision=None
        if table.gas_decision is None
        else GasDecision(
            by=table.gas_decision.by, on=table.gas_decision.on, why=table.gas_decision.why
        ),
        course=Course(name=course.name, language=course.language, locale=course.locale),
    )


def _bought(
    table: schema.BoughtTable | None,
    reagent: schema.ReagentTable,
    solute: str,
    temperature: float,
) -> Bought | None:
    """Return what is bought: as the definition says, or as the strength of the stock lets see."""
    if table is not None:
        if table.solid is not None:
            faults = [
                replace(fault, where=f"bought.{fault.where}")
                for fault in other_solid(table.solid, solute)
            ]
            if faults:
                raise InputError(faults)
            return Bought(
                name=table.name, solid=parse_formula(table.solid).text, purity=table.purity
            )
        if table.strength is not None:
            return _solution(table.name, table.strength, solute, temperature)
    strength = reagent.strength
    if isinstance(strength, schema.Dilution):
        return _solution("", strength.of, solute, temperature)
    if isinstance(strength, schema.WeighedSolid):
        return Bought(solid=parse_formula(strength.solid or solute).text, purity=strength.purity)
    if isinstance(strength, schema.MassPercent | schema.MassPerVolume):
        return Bought(
            name=reagent.name,
            solution=read_reagent(reagent, solute, temperature),
            is_the_stock=True,
        )
    return None


def _solution(
    name: str, strength: schema.BoughtStrength, solute: str, temperature: float
) -> Bought:
    as_reagent = schema.ReagentTable(name=name or "bought solution", strength=strength)
    return Bought(name=name, solution=read_reagent(as_reagent, solute, temperature))
