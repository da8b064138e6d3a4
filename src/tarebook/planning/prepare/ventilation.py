"""The gas of all the cups against the air of the room."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT
from tarebook.planning.prepare.amounts import PASCAL_LITRES, gas_per_group, molar_volume
from tarebook.planning.prepare.gas import Limits, limits_of, room_volume, same_gas
from tarebook.series.experiment import Experiment

CARE = 0.1
"""Share of a limit from which on something is done: a rule of the trade, from memory."""


ABOUT_AS_HEAVY = 0.1
"""Relative difference from the density of air within which a gas neither sinks nor rises."""

AIR_MOLAR_MASS = 28.96
"""Of dry air, g/mol: CIPM-2007 (28.965 with today's carbon dioxide)."""


class AirVerdict(StrEnum):
    """What to do about the air."""

    FINE = "fine"
    VENTILATE = "ventilate"
    TOO_MUCH = "too much"
    POISONOUS = "poisonous"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class AirLoad:
    """What the gas does to the air of the room.

    Attributes
    ----------
    gas : str
    amount : float, [mol]
        Of all groups, if nothing stayed dissolved.
    volume : float, [L]
        At the pressure and temperature of the room.
    room_volume : float, [L]
    air_changes : float, [1/h]
    room_is_assumed : bool
    minutes : float
        Over which the gas comes.
    unventilated, peak : float, [1]
        Rise of its share in the air: with no exchange of air, and at the end with it.
    breathed : float, [1]
        Rise at the end that the people's own breath brings, for CO2; else 0.
    limits : Limits or None
        None where the table holds no such gas.
    verdict : AirVerdict
    most_groups : int or None
        So many groups stay below `CARE` of the strictest limit; None if there is no limit.
    relative_density : float, [1]
        Against air: above 1 the gas sinks.
    stoppered : float, [Pa]
        By which the pressure would rise in one stoppered vessel, in the worst run.
    of_one : float, [L]
        Gas of the run that makes most.
    fizzing : float, [min]
        Over which that gas comes for the most part.
    burns : bool
    """

    gas: str
    amount: float
    volume: float
    room_volume: float
    air_changes: float
    room_is_assumed: bool
    minutes: float
    unventilated: float
    peak: float
    breathed: float
    limits: Limits | None
    verdict: AirVerdict
    most_groups: int | None
    relative_density: float
    stoppered: float
    of_one: float
    fizzing: float
    burns: bool

    @property
    def air_that_burns(self) -> float:
        """Air that the gas of one vessel can turn into a mixture that burns, [L]; 0 if none."""
        flammable = self.limits.flammable if self.limits else None
        return 0.0 if flammable is None else self.of_one / flammable


def rise(volume: float, room: float, changes: float, hours: float) -> float:
    """Return the rise of a gas's share in a well-mixed room at the end of a steady release.

    Parameters
    ----------
    volume : float, [L]
        Gas released over the time.
    room : float, [L]
    changes : float, [1/h]
        Exchanges of the room's air.
    hours : float, [h]

    Returns
    -------
    float, [1]
        volume / room * (1 - exp(-n t)) / (n t); volume / room without exchange.

    Raises
    ------
    OutOfRangeError
        If the room has no volume.

    Examples
    --------
    >>> round(1e6 * rise(34.8, 200e3, 0.0, 1.0), 1), round(1e6 * rise(34.8, 200e3, 2.0, 1.0), 1)
    (174.0, 75.2)
    """
    exchanged = changes * hours
    if exchanged <= 0:
        return volume / room
    return volume / room * -math.expm1(-exchanged) / exchanged


def air_load(experiment: Experiment, groups: int, minutes: float, people: int) -> AirLoad:
    """Return what the gas of all groups does to the air.

    Parameters
    ----------
    experiment : Experiment
    groups : int
    minutes : float, [min]
        From the first portion to the last weighing.
    people : int
        In the room; each breathes out carbon dioxide.
    """
    table = reference_table("tarebook.planning", "hazards")
    said, gas = experiment.preparation, experiment.reaction.gas
    room = room_volume(experiment)
    changes = table["room"]["air_changes_per_hour"]
    if said.air_changes is not None:
        changes = said.air_changes
    per_run, litres_per_mole = gas_per_group(experiment), molar_volume(experiment)
    amount = groups * sum(per_run)
    volume, hours = amount * litres_per_mole, minutes / 60.0
    limits = limits_of(gas)
    unventilated = volume / room
    breath = table["breathing"]["CO2_L_per_hour"] * hours if same_gas(gas, "CO2") else 0.0
    strictest = None if limits is None else limits.strictest
    return AirLoad(
        gas=gas,
        amount=amount,
        volume=volume,
        room_volume=room,
        air_changes=changes,
        room_is_assumed=said.room_volume is None or said.air_changes is None,
        minutes=minutes,
        unventilated=unventilated,
        peak=rise(volume, room, changes, hours),
        breathed=rise(people * breath, room, changes, hours),
        limits=limits,
        verdict=_verdict(limits, strictest, unventilated),
        most_groups=None
        if strictest is None
        else int(CARE * strictest * room * groups / volume)
        if volume > 0
        else groups,
        relative_density=experiment.reaction.gas_molar_mass.value / AIR_MOLAR_MASS,
        stoppered=max(per_run)
        * GAS_CONSTANT
        * experiment.room.temperature
        / max(experiment.vessel.capacity - experiment.total_volume, 1e-3)
        * PASCAL_LITRES,
        of_one=max(per_run) * litres_per_mole,
        fizzing=said.durations.fizzing or _usual_fizzing(),
        burns=bool(limits and limits.flammable),
    )


def _usual_fizzing() -> float:
    table = reference_table("tarebook.planning", "bench")
    return float(table["durations"]["fizzing_minutes"])


def _verdict(limits: Limits | None, strictest: float | None, risen: float) -> AirVerdict:
    if limits is None:
        return AirVerdict.UNKNOWN
    if limits.poisonous:
        return AirVerdict.POISONOUS
    if strictest is None or risen < CARE * strictest:
        return AirVerdict.FINE
    return AirVerdict.VENTILATE if risen < strictest else AirVerdict.TOO_MUCH
