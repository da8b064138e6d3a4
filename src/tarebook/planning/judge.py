"""Judge a planned row: the change-over must fall inside, everything be weighed and held.

Each rule is a function of an experiment and gives an `Advice` or nothing. `faults` runs them all;
`tarebook.planning.remedies` then looks for the amounts with which they fall silent.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.core.tables import reference_table
from tarebook.core.units import GAS_CONSTANT, millilitres
from tarebook.measurement.volumes import SINGLE_MARK
from tarebook.model.cup import PASCAL_LITRES
from tarebook.model.equivalence import equivalence_reading
from tarebook.model.priors import central_parameters
from tarebook.planning.advice import ORDER, Advice
from tarebook.planning.changes import row_of
from tarebook.planning.contents import ContentRange
from tarebook.planning.expected import (
    expected_loss,
    foam_volume,
    mass_loss_u,
    solubility,
)
from tarebook.planning.rows import ON_EACH_SIDE, equivalence_range, readable
from tarebook.series.experiment import Experiment

FEWEST_RUNS = 4
"""Two on either side of the change-over; the joint fit itself needs three."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Facts:
    """What the rules look at, computed once.

    Attributes
    ----------
    row : ndarray, shape (n,), [L]
    at, at_low, at_high : float, [L]
        Equivalence reading at the middle and the ends of the contents planned for.
    lost : ndarray, shape (n,), [g]
        Mass lost at the middle content.
    """

    experiment: Experiment
    contents: ContentRange
    row: FloatArray
    at: float
    at_low: float
    at_high: float
    lost: FloatArray


def facts(experiment: Experiment, contents: ContentRange) -> Facts:
    """Return what the rules look at.

    Raises
    ------
    OutOfRangeError
        If the model cannot be used for these amounts.
    """
    low, high = equivalence_range(experiment, contents)
    middle = central_parameters(experiment).with_values(content=np.array(contents.centre))
    return Facts(
        experiment=experiment,
        contents=contents,
        row=row_of(experiment),
        at=float(equivalence_reading(experiment, middle)),
        at_low=low,
        at_high=high,
        lost=expected_loss(experiment, contents.centre),
    )


def faults(experiment: Experiment, contents: ContentRange) -> tuple[Advice, ...]:
    """Return everything that is wrong or odd with a planned row, the most severe first."""
    known = facts(experiment, contents)
    found = [advice for rule in RULES for advice in rule(known)]
    return tuple(sorted(found, key=lambda advice: ORDER[advice.severity]))


def placement_is_good(experiment: Experiment, contents: ContentRange) -> bool:
    """Return whether the row spans the change-over for every content planned for: quick to tell."""
    low, high = equivalence_range(experiment, contents)
    row = row_of(experiment)
    sides = min(ON_EACH_SIDE, len(row) // 2)
    return bool(np.count_nonzero(row < low) >= sides and np.count_nonzero(row > high) >= sides)


def _mL(volume: float) -> str:  # noqa: N802  the unit is part of the name
    return f"{millilitres(volume):.3g} mL"


def _too_few_runs(known: Facts) -> Iterator[Advice]:
    n = len(known.row)
    if n < FEWEST_RUNS:
        yield Advice(
            code="too-few-runs",
            severity="stop",
            message=f"A row of {n} cannot show a change-over.",
            do=f"Plan at least {FEWEST_RUNS} runs, two on either side of it.",
            evidence={"runs": float(n)},
        )


def _changeover_outside(known: Facts) -> Iterator[Advice]:
    row, at = known.row, known.at
    first, last = float(row.min()), float(row.max())
    if first < at < last:
        return
    where = f"beyond your last cup ({_mL(last)})" if at >= last else (
        f"before your first cup ({_mL(first)})"
    )  # fmt: skip
    limits = "reagent" if at >= last else "sample"
    yield Advice(
        code="change-over-outside",
        severity="stop",
        message=f"The change-over lies at {_mL(at)}, {where}: the {limits} would limit in all of "
        "them.",
        do="",
        evidence={
            "change_over_mL": millilitres(at),
            "first_mL": millilitres(first),
            "last_mL": millilitres(last),
        },
    )


def _changeover_near_edge(known: Facts) -> Iterator[Advice]:
    row, at = known.row, known.at
    if not row.min() < at < row.max():
        return
    before = int(np.count_nonzero(row < known.at_low))
    after = int(np.count_nonzero(row > known.at_high))
    sides = min(ON_EACH_SIDE, len(row) // 2)
    if before >= sides and after >= sides:
        return
    few, side = (before, "before") if before < sides else (after, "beyond")
    yield Advice(
        code="change-over-near-edge",
        severity="look",
        message=f"The change-over may lie anywhere from {_mL(known.at_low)} to "
        f"{_mL(known.at_high)}; only {few} of the cups {'is' if few == 1 else 'are'} {side} that.",
        do="",
        evidence={
            "change_over_low_mL": millilitres(known.at_low),
            "change_over_high_mL": millilitres(known.at_high),
            "runs_before": float(before),
            "runs_after": float(after),
        },
    )


def _sample_on_balance(known: Facts) -> Iterator[Advice]:
    rule = reference_table("tarebook.planning", "vessel")["sample_weighing"]
    own, mass = known.experiment.equipment.sample_balance, known.experiment.sample.nominal_mass
    floor = reference_table("tarebook.measurement", "balances")["minimum_mass"]
    s = max(own.repeatability, float(floor["floor_per_readability"]) * own.readability)
    relative = 2.0 * s / mass
    if relative <= rule["look_above"]:
        return
    severe = relative > rule["stop_above"]
    yield Advice(
        code="sample-too-small-for-balance",
        severity="stop" if severe else "look",
        message=f"{mass:g} g of sample on the {own.name} is known to {100 * relative:.2g} % at "
        f"best (two standard deviations).",
        do="",
        evidence={
            "sample_g": mass,
            "repeatability_g": s,
            "least_for_5_percent_g": 2.0 * s / rule["stop_above"],
            "least_for_1_percent_g": 2.0 * s / rule["look_above"],
        },
    )


def _loss_on_balance(known: Facts) -> Iterator[Advice]:
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


def _vessel_room(known: Facts) -> Iterator[Advice]:
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
            message=f"{_mL(total)} of liquid and, by a rule of thumb, about {_mL(foam)} of foam do "
            f"not fit into the {_mL(capacity)} {experiment.vessel.name}; what foams over is lost "
            "and counted as gas.",
            do="",
            evidence=evidence,
        )
    elif capacity - total < _head_share() * total:
        yield Advice(
            code="vessel-rather-full",
            severity="look",
            message=f"{_mL(total)} of liquid leave {_mL(capacity - total)} of the "
            f"{_mL(capacity)} {experiment.vessel.name} free; as much room above the liquid as "
            "the liquid takes is common practice.",
            do="",
            evidence=evidence,
        )


def _head_share() -> float:
    return float(reference_table("tarebook.planning", "vessel")["head_space"]["per_liquid"])


def _largest_foam(known: Facts) -> float:
    experiment = known.experiment
    room = experiment.room
    moles = max(float(known.lost.max()), 0.0) / experiment.reaction.gas_molar_mass.value
    gas = moles * GAS_CONSTANT * room.temperature / room.pressure * PASCAL_LITRES
    return foam_volume(gas)


def _dissolves(known: Facts) -> Iterator[Advice]:
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
        f"but {_mL(experiment.total_volume)} of water hold about {holds:.2g} g (20 °C).",
        do="",
        evidence={"left_g": left, "holds_g": holds, "g_per_100_g": 100.0 * limit},
    )


def _volumes_readable(known: Facts) -> Iterator[Advice]:
    equipment = known.experiment.equipment
    for words, instrument, volumes in (
        ("reagent", equipment.reagent, known.row),
        ("diluent", equipment.diluent, known.experiment.total_volume - known.row),
    ):
        poured = volumes[volumes > 0]
        odd = poured[~readable(instrument, poured)]
        if odd.size:
            single = instrument.kind in SINGLE_MARK
            step = instrument.capacity if single else instrument.finest_reading
            nearest = [max(round(v / step), 1) * step for v in odd]
            yield Advice(
                code="volume-not-readable",
                severity="stop" if single else "look",
                message=f"The {instrument.name} cannot be read to "
                f"{', '.join(f'{millilitres(v):.6g}' for v in odd)} mL of {words}.",
                do="Use " + ", ".join(f"{millilitres(v):.6g}" for v in nearest) + " mL, or a row "
                "from the table of rows.",
                evidence={"step_mL": millilitres(step)},
            )
        most = float(volumes.max())
        if instrument.kind not in SINGLE_MARK and most > instrument.capacity * (1 + 1e-9):
            yield Advice(
                code="ware-filled-twice",
                severity="look",
                message=f"{_mL(most)} of {words} do not fit into the {instrument.name}: it is "
                "filled twice, and liquid stays behind twice.",
                do="Use a larger one, or count each filling as a reading of its own.",
                evidence={
                    "volume_mL": millilitres(most),
                    "capacity_mL": millilitres(instrument.capacity),
                },
            )


def _balance_holds(known: Facts) -> Iterator[Advice]:
    experiment, balance = known.experiment, known.experiment.equipment.balance
    if math.isinf(balance.capacity):
        return
    mass = experiment.reagent.density.value * experiment.total_volume
    mass += experiment.sample.nominal_mass
    if mass >= balance.capacity:
        yield Advice(
            code="balance-overloaded",
            severity="stop",
            message=f"Liquid and sample alone weigh {mass:.3g} g; the {balance.name} takes "
            f"{balance.capacity:g} g.",
            do="Use a smaller total volume or a balance for more.",
            evidence={"contents_g": mass, "capacity_g": balance.capacity},
        )
    else:
        yield Advice(
            code="empty-vessel-at-most",
            severity="note",
            message=f"The {balance.name} takes {balance.capacity:g} g: the empty vessel may weigh "
            f"up to {balance.capacity - mass:.3g} g.",
            do="Weigh one empty vessel before the lesson.",
            evidence={"contents_g": mass, "capacity_g": balance.capacity},
        )


def _strength_sure(known: Facts) -> Iterator[Advice]:
    reagent = known.experiment.reagent
    if not reagent.strength_is_sure:
        yield Advice(
            code="strength-not-sure",
            severity="look",
            message="The definition does not say how sure the strength of the stock is; the plan "
            "takes it for exact, and the expected ± is too small.",
            do="Give relative_u or tolerance_percent, or titrate the stock.",
        )


def _nothing_claimed(known: Facts) -> Iterator[Advice]:
    contents = known.contents
    if not contents.claimed:
        yield Advice(
            code="content-unknown",
            severity="note",
            message=f"Nothing is claimed of the sample: the row is planned for anything from "
            f"{100 * contents.low:.0f} to {100 * contents.high:.0f} %.",
            do="Give claimed_mass_fraction if a label says it; the row can then be narrower.",
        )


Rule = Callable[[Facts], Iterator[Advice]]

RULES: tuple[Rule, ...] = (
    _too_few_runs,
    _changeover_outside,
    _changeover_near_edge,
    _sample_on_balance,
    _loss_on_balance,
    _vessel_room,
    _dissolves,
    _volumes_readable,
    _balance_holds,
    _strength_sure,
    _nothing_claimed,
)
