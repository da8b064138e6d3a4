"""Whether the gas of a row may be let into a room at all: said before anything else."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from tarebook.chemistry.formula import parse_formula
from tarebook.core.quantity import Source
from tarebook.core.tables import reference_table
from tarebook.planning.prepare.amounts import gas_per_group, molar_volume
from tarebook.series.experiment import Experiment, GasDecision

CUBIC_METRE = 1000.0
"""In L."""

FLAMMABLE_SHARE = 0.25
"""Share of the lower flammable limit that counts as the limit: a rule of the trade, from memory."""


class Danger(StrEnum):
    """Why a gas is not let into a room without a decision."""

    POISONOUS = "poisonous"
    ABOVE_LIMIT = "above its limit"
    NO_LIMIT_KNOWN = "no limit known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the air at the workplace may hold of a gas.

    Attributes
    ----------
    name : str
        Of the gas, in English.
    average, short, flammable : float or None, [1]
        Parts by volume over the shift, for a short time, and from which on it burns.
    poisonous : bool
        Over the vessel it is far above its limit, whatever the room is like.
    source : Source
    """

    name: str
    average: float | None
    short: float | None
    flammable: float | None
    poisonous: bool
    source: Source

    @property
    def strictest(self) -> float | None:
        """The lowest limit, [1]; of the flammable range a quarter of the lower end."""
        flammable = None if self.flammable is None else FLAMMABLE_SHARE * self.flammable
        named = [limit for limit in (self.average, self.short, flammable) if limit is not None]
        return min(named) if named else None


@dataclass(frozen=True, slots=True, kw_only=True)
class GasDanger:
    """A gas that no class works with unless a person in charge has decided so.

    Attributes
    ----------
    gas : str
        Formula.
    danger : Danger
    groups : int
        That work at once.
    volume : float, [L]
        Of gas that they make at most, at the temperature and pressure of the room.
    room : float, [L]
    share : float, [1]
        Of that gas in the air of the room if nothing leaves.
    limit : float or None, [1]
        The strictest; None where none is known.
    decision : GasDecision or None
        Who decided, if anyone has.
    """

    gas: str
    danger: Danger
    groups: int
    volume: float
    room: float
    share: float
    limit: float | None
    decision: GasDecision | None


def limits_of(gas: str) -> Limits | None:
    """Return the limits of a gas; None where the table holds no such gas.

    Parameters
    ----------
    gas : str
        Formula.

    Examples
    --------
    >>> cyanide = limits_of("HCN")
    >>> cyanide.poisonous, round(1e6 * cyanide.strictest, 2), limits_of("F2")
    (True, 0.9, None)
    """
    for row in reference_table("tarebook.planning", "hazards")["gases"]:
        if same_gas(gas, row["formula"]):
            return _limits(row)
    return None


def gas_volume(experiment: Experiment, groups: int) -> float:
    """Return the most gas that groups can make, [L]: sample pure, nothing dissolved."""
    return groups * sum(gas_per_group(experiment)) * molar_volume(experiment)


def room_volume(experiment: Experiment) -> float:
    """Return the volume of the room, [L]: the definition's, else an ordinary classroom's."""
    table = reference_table("tarebook.planning", "hazards")
    return experiment.preparation.room_volume or CUBIC_METRE * float(table["room"]["volume_m3"])


def gas_danger(experiment: Experiment, groups: int = 1) -> GasDanger | None:
    """Return what is against letting the gas into the room; None if nothing is.

    Parameters
    ----------
    experiment : Experiment
    groups : int
        That work at once.
    """
    gas = experiment.reaction.gas
    limits = limits_of(gas)
    volume, room = gas_volume(experiment, groups), room_volume(experiment)
    limit = None if limits is None else limits.strictest
    danger = _danger(limits, limit, volume / room)
    if danger is None:
        return None
    return GasDanger(
        gas=gas,
        danger=danger,
        groups=groups,
        volume=volume,
        room=room,
        share=volume / room,
        limit=limit,
        decision=experiment.preparation.gas_decision,
    )


def same_gas(one: str, other: str) -> bool:
    """Return whether two formulas have one composition."""
    return parse_formula(one).composition == parse_formula(other).composition


def _danger(limits: Limits | None, limit: float | None, share: float) -> Danger | None:
    if limits is None:
        return Danger.NO_LIMIT_KNOWN
    if limits.poisonous:
        return Danger.POISONOUS
    return Danger.ABOVE_LIMIT if limit is not None and share >= limit else None


def _limits(row: dict[str, Any]) -> Limits:
    percent = row.get("flammable_percent")
    return Limits(
        name=row["name"],
        average=_parts(row.get("average_ppm")),
        short=_parts(row.get("short_ppm")),
        flammable=None if percent is None else percent / 100.0,
        poisonous=row.get("poisonous", False),
        source=Source(row["source"], row["basis"]),
    )


def _parts(ppm: float | None) -> float | None:
    return None if ppm is None else ppm * 1e-6
