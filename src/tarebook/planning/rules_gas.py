"""What must be said of the gas of a row before anything else."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from tarebook.core.phrase import Phrase, Value
from tarebook.findings.finding import Finding, Severity
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

FROM_PERCENT = 0.01
"""Share of the air from which on it is said in percent."""


def gas_findings(experiment: Experiment, groups: int = 1) -> tuple[Finding, ...]:
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


def is_about_gas(finding: Finding) -> bool:
    """Return whether a finding is one of those that stop a row because of its gas."""
    return finding.code in CODES.values()


def _stop(danger: GasDanger) -> Finding:
    """Return the finding that stops a row; after a decision it names that and stays a stop."""
    evidence: dict[str, float | str] = {
        "gas": danger.gas,
        "groups": float(danger.groups),
        "gas_L": danger.volume,
        "room_m3": danger.room / 1000.0,
        "share_ppm": 1e6 * danger.share,
    }
    if danger.limit is not None:
        evidence["limit_ppm"] = 1e6 * danger.limit
    return Finding(
        code=CODES[danger.danger],
        severity=Severity.STOP,
        evidence=evidence,
        values={
            "named": _named(danger.gas),
            "limit_known": danger.limit is not None,
            "limit": _part(danger.limit or 0.0),
            "made": Phrase.of(
                "gas-made",
                groups=danger.groups,
                volume_L=danger.volume,
                share=_part(danger.share),
                room_m3=danger.room / 1000.0,
            ),
        },
        do=_decided(danger),
    )


def _decided(danger: GasDanger) -> Phrase:
    """Return who decided what, or that somebody has to."""
    decision = danger.decision
    if decision is None:
        return Phrase.of("gas-undecided")
    return Phrase.of("gas-decided", by=decision.by, on=decision.on.isoformat(), why=decision.why)


def _named(gas: str) -> Value:
    """Return a gas by name and formula; by its formula where nothing is known of it."""
    limits = limits_of(gas)
    if limits is None:
        return gas
    name = Phrase(f"gas-{limits.name.replace(' ', '_')}")
    return Phrase.of("gas-named", name=name, formula=gas)


def _part(share: float) -> Phrase:
    """Return a share of gas in air, in ppm or from one per cent up in per cent."""
    if share >= FROM_PERCENT:
        return Phrase.of("part-percent", part=share)
    return Phrase.of("part-ppm", part_ppm=1e6 * share)


def _flame(experiment: Experiment) -> Iterator[Finding]:
    gas = experiment.reaction.gas
    limits = limits_of(gas)
    if limits is None or limits.flammable is None:
        return
    density = experiment.reaction.gas_molar_mass.value / AIR_MOLAR_MASS
    yield Finding(
        code="gas-burns",
        severity=Severity.LOOK,
        evidence={"gas": gas, "flammable_percent": 100.0 * limits.flammable},
        values={
            "named": _named(gas),
            "from": _part(limits.flammable),
            "light": density < 1 - ABOUT_AS_HEAVY,
        },
    )


def _closed(experiment: Experiment) -> Iterator[Finding]:
    sealed = experiment.weighing.sealed
    if sealed is None:
        return
    runs = tuple(run.run for run in experiment.planned if run.run in sealed.runs)
    if not runs:
        return
    most, rated = sealed.most / 1000.0, sealed.rated / 1000.0
    yield Finding(
        code="vessel-closed",
        severity=Severity.LOOK,
        evidence={"runs": ", ".join(runs), "gas_kPa": most, "rated_kPa": rated},
        values={"n": len(runs), "runs": runs},
    )
