"""From the definition's table of the weighing to how cups and portions are weighed.

A run weighed in a closed vessel is the one step of the whole work that can burst something. So the
definition is refused unless the vessel is made for pressure and the gas stays far below what it
holds, whatever is poured: all of the portion counts as pure and all of its gas as lying above the
liquid, as an ideal gas.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tarebook.core.errors import Fault, InputError
from tarebook.core.units import GAS_CONSTANT, litres, millilitres
from tarebook.series import schema
from tarebook.series.experiment import (
    PlannedRun,
    Reaction,
    Room,
    SampleIn,
    SealedVessel,
    Tare,
    Vessel,
    Weighing,
)
from tarebook.series.faults import did_you_mean

OF_THE_RATING: Final = 0.5
"""Share of the rated pressure that the gas may reach: a margin of two, our own choice."""

PASCAL_LITRES: Final = 1000.0
"""Pa L in one J."""

ONLY_GAS: Final = "CO2"
"""A gas that burns is never shut in together with air, and a poisonous one never under pressure."""

NEVER: Final = "Never stopper a glass vessel or a cup."


def read_weighing(
    table: schema.WeighingTable,
    reaction: Reaction,
    planned: tuple[PlannedRun, ...],
    vessel: Vessel,
    room: Room,
) -> Weighing:
    """Return how cups and portions are weighed.

    Parameters
    ----------
    table : WeighingTable
    reaction : Reaction
    planned : tuple of PlannedRun
    vessel : Vessel
        The open one; a closed vessel holds as much unless the table says otherwise.
    room : Room

    Returns
    -------
    Weighing

    Raises
    ------
    InputError
        If a run is weighed closed and the vessel is not known to hold the gas.
    """
    return Weighing(
        tare=Tare(table.tare),
        sample_in=SampleIn(table.sample_in),
        sealed=_sealed(table, reaction, planned, vessel, room),
    )


def _sealed(
    table: schema.WeighingTable,
    reaction: Reaction,
    planned: tuple[PlannedRun, ...],
    vessel: Vessel,
    room: Room,
) -> SealedVessel | None:
    faults = list(_faults_of_runs(table, planned))
    if reaction.gas != ONLY_GAS and table.sealed_runs:
        faults.append(
            Fault(
                where="sealed_runs",
                found=f"a row that makes {reaction.gas}",
                allowed="only a row that makes carbon dioxide",
                do="Leave the key out: this gas must never be shut in.",
            )
        )
    rated = table.sealed_vessel_rated_kPa
    if table.sealed_runs and rated is None:
        faults.append(
            Fault(
                where="sealed_vessel_rated_kPa",
                found="nothing, and runs are to be weighed in a closed vessel",
                allowed="the pressure above the room's for which the maker rates the vessel, kPa",
                do=f"{NEVER} Take a vessel that its maker rates for pressure and write the rating, "
                "or leave sealed_runs out.",
            )
        )
    if faults:
        raise InputError(faults)
    if rated is None or not table.sealed_runs:
        return None
    capacity = vessel.capacity
    if table.sealed_vessel_mL is not None:
        capacity = litres(table.sealed_vessel_mL)
    closed = [run for run in planned if run.run in table.sealed_runs]
    faults = [f for run in closed for f in _too_much(run, reaction, room, capacity, 1000.0 * rated)]
    if faults:
        raise InputError(faults)
    return SealedVessel(
        runs=frozenset(table.sealed_runs),
        rated=1000.0 * rated,
        capacity=capacity,
        most=max(highest_pressure(run, reaction, room, capacity) for run in closed),
    )


def highest_pressure(run: PlannedRun, reaction: Reaction, room: Room, capacity: float) -> float:
    """Return the pressure above the room's that a portion makes if it is pure, [Pa].

    Infinite where the liquid leaves no space. Nothing counts as dissolved, and nothing as lacking
    acid: a wrong pour must not burst the vessel either.

    Parameters
    ----------
    run : PlannedRun
    reaction : Reaction
    room : Room
    capacity : float, [L]
        Of the closed vessel.
    """
    space = capacity - run.reagent - run.diluent
    if space <= 0:
        return float("inf")
    return _energy(run, reaction, room) * PASCAL_LITRES / space


def _energy(run: PlannedRun, reaction: Reaction, room: Room) -> float:
    """Return pressure times volume of all the gas of a portion, [J]."""
    gas = run.sample / reaction.mass_ratio.value / reaction.gas_molar_mass.value
    gas *= reaction.gas_coefficient / reaction.analyte_coefficient
    return gas * GAS_CONSTANT * room.temperature


def _faults_of_runs(
    table: schema.WeighingTable, planned: tuple[PlannedRun, ...]
) -> Iterator[Fault]:
    names = [run.run for run in planned]
    for run in table.sealed_runs:
        if run not in names:
            yield Fault(
                where="sealed_runs",
                found=f"run {run[:60]!r}",
                allowed=f"runs of the series: {', '.join(names)}",
                do=did_you_mean(run, names, "Name the runs as the series does."),
            )
    if names and set(names) <= set(table.sealed_runs):
        yield Fault(
            where="sealed_runs",
            found="every run of the series",
            allowed="one run, or a few",
            do="A closed vessel shows that no mass is lost, and nothing of the content: keep the "
            "others open.",
        )
    for key in ("sealed_vessel_rated_kPa", "sealed_vessel_mL"):
        if getattr(table, key) is not None and not table.sealed_runs:
            yield Fault(
                where=key,
                found="no sealed_runs beside it",
                allowed="both or neither",
                do='Say which runs are weighed closed, as in sealed_runs = ["9"], or remove it.',
            )


def _too_much(
    run: PlannedRun, reaction: Reaction, room: Room, capacity: float, rated: float
) -> Iterator[Fault]:
    pressure = highest_pressure(run, reaction, room, capacity)
    allowed = OF_THE_RATING * rated
    if pressure < allowed:
        return
    liquid = run.reagent + run.diluent
    least = liquid + _energy(run, reaction, room) * PASCAL_LITRES / allowed
    smaller = run.sample * allowed / pressure
    portion = f"less than {smaller:.2g} g of sample in this run, " if smaller > 0 else ""
    reaches = f"can reach {pressure / 1000.0:.0f} kPa"
    if capacity <= liquid:
        reaches = "has no space above the liquid"
    yield Fault(
        where="sealed_vessel_rated_kPa",
        found=f"{rated / 1000.0:g} kPa, and the gas of run {run.run} {reaches} in a vessel of "
        f"{millilitres(capacity):g} mL",
        allowed=f"gas below half of the rating, {allowed / 1000.0:g} kPa",
        do=f"{NEVER} Take {portion}a vessel of more than {millilitres(least):.0f} mL or one with a "
        "higher rating, or weigh this run open.",
    )
