"""What must be said of the gas of a row before anything else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from tarebook.planning.advice import Advice
from tarebook.planning.prepare.gas import Danger, GasDanger, gas_danger, limits_of
from tarebook.planning.prepare.ventilation import ABOUT_AS_HEAVY, AIR_MOLAR_MASS
from tarebook.series.experiment import Experiment

Code = Literal["gas-poisonous", "gas-above-limit", "gas-limit-unknown"]

CODES: dict[Danger, Code] = {
    Danger.POISONOUS: "gas-poisonous",
    Danger.ABOVE_LIMIT: "gas-above-limit",
    Danger.NO_LIMIT_KNOWN: "gas-limit-unknown",
}
"""Headings under which the documentation explains each."""

UNDECIDED = (
    "Do not pour anything. Only the person in charge can decide whether this is done at all, and "
    "where: as a rule in a fume cupboard, as a demonstration, or not. Sheets for students are made "
    "once the definition names who decided ([prepare.gas_decision])."
)


ONLY_RATED = (
    "Never stopper a glass vessel or a cup; close only a vessel that its maker rates for the "
    "pressure."
)
"""What is said wherever a run is weighed in a closed vessel."""


def gas_advices(experiment: Experiment, groups: int = 1) -> tuple[Advice, ...]:
    """Return what there is to say of the gas, the gravest first.

    Parameters
    ----------
    experiment : Experiment
    groups : int
        That work at once.
    """
    danger = gas_danger(experiment, groups)
    found = [] if danger is None else [_stop(danger)]
    return (*found, *_flame(experiment), *_closed(experiment))


def is_about_gas(advice: Advice) -> bool:
    """Return whether an advice is one of those that stop a row because of its gas."""
    return advice.code in CODES.values()


def _stop(danger: GasDanger) -> Advice:
    """Return the advice that stops a row; it stays a stop after a decision, which it then names."""
    decision = danger.decision
    evidence: dict[str, float | str] = {
        "gas": danger.gas,
        "groups": float(danger.groups),
        "gas_L": danger.volume,
        "room_m3": danger.room / 1000.0,
        "share_ppm": 1e6 * danger.share,
    }
    if danger.limit is not None:
        evidence["limit_ppm"] = 1e6 * danger.limit
    return Advice(
        code=CODES[danger.danger],
        severity="stop",
        message=_message(danger),
        do=UNDECIDED
        if decision is None
        else f"Decided by {decision.by} on {decision.on.isoformat()}: {decision.why}. Do it only "
        "so, and with that person there.",
        evidence=evidence,
    )


def _message(danger: GasDanger) -> str:
    named = danger.name if danger.name == danger.gas else f"{danger.name} ({danger.gas})"
    who = "one group makes" if danger.groups == 1 else f"{danger.groups} groups make"
    made = (
        f"{who} up to {danger.volume:.2g} L, which is {_ppm(danger.share)} of a room of "
        f"{danger.room / 1000.0:.3g} m³"
    )
    match danger.danger:
        case Danger.POISONOUS:
            limit = "" if danger.limit is None else f" (workplace limit {_ppm(danger.limit)})"
            return (
                f"The gas of this row, {named}, is poisonous{limit}: {made}, and over the vessel "
                "it is undiluted."
            )
        case Danger.ABOVE_LIMIT:
            limit = "" if danger.limit is None else f", {_ppm(danger.limit)}"
            return f"The gas of this row, {named}, goes above its limit{limit}: {made}."
        case Danger.NO_LIMIT_KNOWN:
            return (
                f"The gas of this row is {named}, and no limit for it in the air of a workplace is "
                f"known here: {made}."
            )


def _ppm(share: float) -> str:
    """Return a share of gas in air, in ppm or from one per cent up in per cent."""
    return f"{100.0 * share:.2g} %" if share >= 0.01 else f"{1e6 * share:.3g} ppm"


def _flame(experiment: Experiment) -> Iterator[Advice]:
    gas = experiment.reaction.gas
    limits = limits_of(gas)
    if limits is None or limits.flammable is None:
        return
    rises = ", and a window open at the top: it gathers under the ceiling"
    density = experiment.reaction.gas_molar_mass.value / AIR_MOLAR_MASS
    light = density < 1 - ABOUT_AS_HEAVY
    yield Advice(
        code="gas-burns",
        severity="look",
        message=f"The gas, {limits.name} ({gas}), burns: in air from {_ppm(limits.flammable)} on.",
        do=f"No flame, no spark, no hot plate in the room{rises if light else ''}.",
        evidence={"gas": gas, "flammable_percent": 100.0 * limits.flammable},
    )


def _closed(experiment: Experiment) -> Iterator[Advice]:
    sealed = experiment.weighing.sealed
    if sealed is None:
        return
    runs = [run.run for run in experiment.planned if run.run in sealed.runs]
    if not runs:
        return
    most, rated = sealed.most / 1000.0, sealed.rated / 1000.0
    yield Advice(
        code="vessel-closed",
        severity="look",
        message=f"Run {', '.join(runs)} is weighed in a closed vessel: its gas can reach "
        f"{most:.0f} kPa above the pressure of the room; the vessel is rated for {rated:g} kPa.",
        do=f"{ONLY_RATED} Goggles and a shield; never more sample than asked for; let the gas off "
        "slowly after the last weighing. The person in charge decides.",
        evidence={"runs": ", ".join(runs), "gas_kPa": most, "rated_kPa": rated},
    )
