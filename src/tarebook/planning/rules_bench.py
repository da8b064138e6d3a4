"""What can be wrong on the bench: balances, the room in the vessel, what dissolves."""

from __future__ import annotations

import math
from collections.abc import Iterator

from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT, millilitres
from tarebook.measurement.weighing import mass_loss_u, repeatability_with_floor
from tarebook.model.cup import PASCAL_LITRES
from tarebook.model.water import water_beside_gas
from tarebook.planning.advice import Advice
from tarebook.planning.expected import foam_volume, solubility
from tarebook.planning.facts import Facts, shown


def sample_on_balance(known: Facts) -> Iterator[Advice]:
    """Notice: a portion too small for its balance."""
    rule = reference_table("tarebook.planning", "vessel")["sample_weighing"]
    own, mass = known.experiment.equipment.sample_balance, known.experiment.sample.nominal_mass
    s = repeatability_with_floor(own)
    relative = 2.0 * s / mass
    if relative <= rule["look_above"]:
        return
    severe = relative > rule["stop_above"]
    yield Advice(
        code="sample-too-small-for-balance",
        severity="stop" if severe else "look",
        message=f"{mass:g} g of sample on the {own.name} is known to "
        f"{float(f'{100 * relative:.2g}'):.12g} % at best (two standard deviations).",
        do="",
        evidence={
            "sample_g": mass,
            "repeatability_g": s,
            "least_for_5_percent_g": 2.0 * s / rule["stop_above"],
            "least_for_1_percent_g": 2.0 * s / rule["look_above"],
        },
    )


def loss_on_balance(known: Facts) -> Iterator[Advice]:
    """Notice: a mass lost that the balance hardly resolves."""
    rule = reference_table("tarebook.planning", "vessel")["mass_lost"]
    equipment = known.experiment.equipment
    u, most = mass_loss_u(equipment.balance, equipment.sample_balance), float(known.lost.max())
    times = most / u
    if times >= rule["look_below"]:
        return
    severe = times < rule["stop_below"]
    yield Advice(
        code="mass-lost-too-small",
        severity="stop" if severe else "look",
        message=f"No cup loses more than {most:.2g} g, only {times:.2g} times what the balance "
        f"resolves (u = {u:.2g} g).",
        do="",
        evidence={"largest_loss_g": most, "u_loss_g": u, "loss_over_u": times},
    )


def water_rivals_gas(known: Facts) -> Iterator[Advice]:
    """Notice: water that leaves a warm or waiting cup and rivals the gas."""
    found = water_beside_gas(known.gas, known.water)
    if not found.shows:
        return
    gas, water, severe = found.gas, found.water, found.hides_it
    name = known.experiment.reaction.gas
    cannot = (
        "the mass lost cannot tell what the sample holds"
        if severe
        else ("what the sample holds is known less well for it")
    )
    yield Advice(
        code="water-rivals-gas",
        severity="stop" if severe else "look",
        message=f"In the cup with most gas about {1000.0 * water:.2g} mg of water leave as vapour "
        f"and by evaporation beside {1000.0 * gas:.2g} mg of {name}: {cannot}.",
        do="Weigh as soon as the fizzing stops, let it react in more liquid so that it stays cool, "
        "or take a flask with a narrow neck; for a light gas its volume says more than its mass.",
        evidence={"water_g": water, "gas_g": gas, "water_over_gas": found.over_gas},
    )


def vessel_room(known: Facts) -> Iterator[Advice]:
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
        yield Advice(
            code="vessel-foams-over",
            severity="stop" if total + certain * foam > capacity else "look",
            message=f"{shown(total)} of liquid and, by a rule of thumb, about {shown(foam)} of "
            f"foam do not fit into the {shown(capacity)} {experiment.vessel.name}; what foams "
            "over is lost and counted as gas.",
            do="",
            evidence=evidence,
        )
    elif capacity - total < head_share() * total:
        yield Advice(
            code="vessel-rather-full",
            severity="look",
            message=f"{shown(total)} of liquid leave {shown(capacity - total)} of the "
            f"{shown(capacity)} {experiment.vessel.name} free; as much room above the liquid as "
            "the liquid takes is common practice.",
            do="",
            evidence=evidence,
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


def dissolves(known: Facts) -> Iterator[Advice]:
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
    yield Advice(
        code="sample-does-not-dissolve",
        severity="stop",
        message=f"In the cup with the least reagent {left:.2g} g of {reaction.analyte} are left, "
        f"but {shown(experiment.total_volume)} of water hold about {holds:.2g} g (20 °C).",
        do="",
        evidence={"left_g": left, "holds_g": holds, "g_per_100_g": 100.0 * limit},
    )


def _whole(mass: float) -> str:
    """Return a mass with three digits, never with a power of ten."""
    return f"{float(f'{mass:.3g}'):.12g}"


def balance_holds(known: Facts) -> Iterator[Advice]:
    """Notice: vessel, liquid and sample too heavy for the balance."""
    experiment, balance = known.experiment, known.experiment.equipment.balance
    if math.isinf(balance.capacity):
        return
    mass = experiment.reagent.density.value * experiment.total_volume
    mass += experiment.sample.nominal_mass
    if mass >= balance.capacity:
        yield Advice(
            code="balance-overloaded",
            severity="stop",
            message=f"Liquid and sample alone weigh {_whole(mass)} g; the {balance.name} takes "
            f"{balance.capacity:g} g.",
            do="Use a smaller total volume or a balance for more.",
            evidence={"contents_g": mass, "capacity_g": balance.capacity},
        )
    else:
        yield Advice(
            code="empty-vessel-at-most",
            severity="note",
            message=f"The {balance.name} takes {balance.capacity:g} g: the empty vessel may weigh "
            f"up to {_whole(balance.capacity - mass)} g.",
            do="Weigh one empty vessel before the lesson.",
            evidence={"contents_g": mass, "capacity_g": balance.capacity},
        )
