"""What can be wrong on the bench: balances, the room in the vessel, what dissolves."""

from __future__ import annotations

import math
from collections.abc import Iterator

from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT, millilitres
from tarebook.findings.finding import Finding, Severity
from tarebook.findings.instruments import called
from tarebook.measurement.weighing import mass_loss_u, repeatability_with_floor
from tarebook.model.cup import PASCAL_LITRES
from tarebook.model.water import water_beside_gas
from tarebook.planning.expected import foam_volume, solubility
from tarebook.planning.facts import Facts, shown


def sample_on_balance(known: Facts) -> Iterator[Finding]:
    """Notice: a portion too small for its balance."""
    rule = reference_table("tarebook.planning", "vessel")["sample_weighing"]
    own, mass = known.experiment.equipment.sample_balance, known.experiment.sample.nominal_mass
    s = repeatability_with_floor(own)
    relative = 2.0 * s / mass
    if relative <= rule["look_above"]:
        return
    severe = relative > rule["stop_above"]
    yield Finding(
        code="sample-too-small-for-balance",
        severity=Severity.STOP if severe else Severity.LOOK,
        evidence={
            "sample_g": mass,
            "repeatability_g": s,
            "least_for_5_percent_g": 2.0 * s / rule["stop_above"],
            "least_for_1_percent_g": 2.0 * s / rule["look_above"],
        },
        values={"balance": called(own), "relative": relative},
    )


def loss_on_balance(known: Facts) -> Iterator[Finding]:
    """Notice: a mass lost that the balance hardly resolves."""
    rule = reference_table("tarebook.planning", "vessel")["mass_lost"]
    equipment = known.experiment.equipment
    u, most = mass_loss_u(equipment.balance, equipment.sample_balance), float(known.lost.max())
    times = most / u
    if times >= rule["look_below"]:
        return
    severe = times < rule["stop_below"]
    yield Finding(
        code="mass-lost-too-small",
        severity=Severity.STOP if severe else Severity.LOOK,
        evidence={"largest_loss_g": most, "u_loss_g": u, "loss_over_u": times},
    )


def water_rivals_gas(known: Facts) -> Iterator[Finding]:
    """Notice: water that leaves a warm or waiting cup and rivals the gas."""
    found = water_beside_gas(known.gas, known.water)
    if not found.shows:
        return
    yield Finding(
        code="water-rivals-gas",
        severity=Severity.STOP if found.hides_it else Severity.LOOK,
        evidence={"water_g": found.water, "gas_g": found.gas, "water_over_gas": found.over_gas},
        values={
            "water_mg": 1000.0 * found.water,
            "gas_mg": 1000.0 * found.gas,
            "gas": known.experiment.reaction.gas,
            "hides": found.hides_it,
        },
    )


def vessel_room(known: Facts) -> Iterator[Finding]:
    """Notice: liquid and foam that do not fit into the vessel, or just so."""
    experiment = known.experiment
    capacity, total = experiment.vessel.capacity, experiment.total_volume
    foam = _largest_foam(known)
    evidence = {
        "capacity_mL": millilitres(capacity),
        "liquid_mL": millilitres(total),
        "foam_mL": millilitres(foam),
    }
    certain = float(reference_table("tarebook.planning", "vessel")["foam"]["certain_part"])
    if total + foam > capacity:
        yield Finding(
            code="vessel-foams-over",
            severity=Severity.STOP if total + certain * foam > capacity else Severity.LOOK,
            evidence=evidence,
            values={"vessel": experiment.vessel.name},
        )
    elif capacity - total < head_share() * total:
        yield Finding(
            code="vessel-rather-full",
            severity=Severity.LOOK,
            evidence=evidence,
            values={"vessel": experiment.vessel.name, "free_mL": millilitres(capacity - total)},
        )


def head_share() -> float:
    """Return the room above the liquid that is common practice, in volumes of the liquid, [1]."""
    return float(reference_table("tarebook.planning", "vessel")["head_space"]["per_liquid"])


def _largest_foam(known: Facts) -> float:
    experiment = known.experiment
    room = experiment.room
    moles = max(float(known.lost.max()), 0.0) / experiment.reaction.gas_molar_mass.value
    gas = moles * GAS_CONSTANT * room.temperature / room.pressure * PASCAL_LITRES
    return foam_volume(gas)


def dissolves(known: Facts) -> Iterator[Finding]:
    """Notice: sample left over that does not dissolve."""
    experiment = known.experiment
    limit = solubility(experiment)
    if limit is None:
        return
    reaction = experiment.reaction
    lost = float(known.lost.min()) / reaction.gas_molar_mass.value / reaction.gas_coefficient
    used = max(lost, 0.0) * reaction.analyte_coefficient * reaction.analyte_molar_mass.value
    left = known.contents.centre * experiment.sample.nominal_mass - used
    holds = limit * 1000.0 * experiment.total_volume
    if left <= holds:
        return
    yield Finding(
        code="sample-does-not-dissolve",
        severity=Severity.STOP,
        evidence={"left_g": left, "holds_g": holds, "g_per_100_g": 100.0 * limit},
        values={"analyte": reaction.analyte, "total": shown(experiment.total_volume)},
    )


def balance_holds(known: Facts) -> Iterator[Finding]:
    """Notice: vessel, liquid and sample too heavy for the balance."""
    experiment, balance = known.experiment, known.experiment.equipment.balance
    if math.isinf(balance.capacity):
        return
    mass = experiment.reagent.density.value * experiment.total_volume
    mass += experiment.sample.nominal_mass
    evidence = {"contents_g": mass, "capacity_g": balance.capacity}
    if mass >= balance.capacity:
        yield Finding(
            code="balance-overloaded",
            severity=Severity.STOP,
            evidence=evidence,
            values={"balance": called(balance)},
        )
    else:
        yield Finding(
            code="empty-vessel-at-most",
            severity=Severity.NOTE,
            evidence=evidence,
            values={"balance": called(balance), "empty_g": balance.capacity - mass},
        )
