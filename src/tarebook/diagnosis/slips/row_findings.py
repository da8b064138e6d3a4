"""Findings of a row or of a whole cup: slips that runs share, cups that nothing explains."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from tarebook.core.phrase import Phrase
from tarebook.core.quantity import Estimate
from tarebook.diagnosis.slips.exchange import Exchange
from tarebook.diagnosis.slips.kinds import PREFIX, ROWS_NOT_TOLD_APART, STOP_FROM, SlipKind
from tarebook.diagnosis.slips.rows import OF_LAST, RowSlip
from tarebook.diagnosis.slips.values import kind_of, one_after_another
from tarebook.diagnosis.slips.weigh import RunWeights
from tarebook.findings.finding import Finding, Severity
from tarebook.reduction.joint.distributions import normal_estimate
from tarebook.reduction.joint.problem import READ

ALSO_FROM: Final = 0.1
"""Share of the first explanation from which a second one is named too."""

TELLS: Final = 20.0
"""Factor between the chances of the readings from which they tell two explanations apart."""

STATED: Final = (0.01, 0.99)
"""Least and greatest chance that is stated of what may be wrong with all runs alike."""

NOT_KNOWN: Final = 1.0
"""Standard uncertainty of a content from which it is not named, [g/g]."""


def exchange_finding(exchange: Exchange, severity: Severity) -> Finding:
    """Return readings in each other's row as a finding."""
    runs = tuple(exchange.source)
    evidence: dict[str, float | str] = {
        "probability": exchange.probability,
        "runs": ", ".join(runs),
        "columns": ", ".join(quantity.value for quantity in exchange.quantities),
        "own_readings_stand_in": ", ".join(f"{a}: {b}" for a, b in exchange.source.items()),
    }
    return Finding(
        code=PREFIX + exchange.kind.value,
        severity=severity,
        run=runs[0] if exchange.kind is SlipKind.RUNS_EXCHANGED else "",
        reading=exchange.quantities[0].value,
        runs=runs,
        readings=tuple((run, quantity) for run in runs for quantity in exchange.quantities),
        evidence=evidence,
        values={"what": exchange.quantities, "first": runs[0], "last": runs[-1]},
    )


def unexplained_finding(run: RunWeights, cannot_be_chance: float) -> Finding:
    """Return a cup whose readings do not agree, whatever single slip is tried, as a finding.

    Parameters
    ----------
    run : RunWeights
    cannot_be_chance : float
        Misfit from which the cup is left out until it is settled.
    """
    evidence: dict[str, float | str] = {}
    if math.isfinite(run.misfit):
        evidence["misfit_u"] = math.sqrt(run.misfit)
    stop = run.misfit > cannot_be_chance
    return Finding(
        code=PREFIX + SlipKind.UNKNOWN.value,
        severity=Severity.STOP if stop else Severity.LOOK,
        run=run.run,
        readings=tuple((run.run, quantity) for quantity in READ),
        evidence=evidence,
        values={"about": "cup"},
    )


def row_finding(rows: Sequence[RowSlip], diluent: str, surest: float) -> Finding:
    """Return what is probably wrong with all runs alike as a finding.

    Parameters
    ----------
    rows : sequence of RowSlip
        The most probable first.
    diluent : str
        Its name.
    surest : float, [1]
        Largest probability that is stated.
    """
    first, *others = rows
    equal = _as_likely(first, others)
    if equal is not None and equal.log_fits > first.log_fits:
        first, equal = equal, first
    probability = sum(slip.probability for slip in rows)
    content = normal_estimate(*first.fit.content(*first.fit.without([])), "g/g")
    also = [
        slip
        for slip in rows
        if slip.kind not in (first.kind, equal.kind if equal else first.kind)
        and (
            slip.probability >= ALSO_FROM * first.probability
            or any({slip.kind, first.kind} <= group for group in ROWS_NOT_TOLD_APART)
        )
    ]
    evidence: dict[str, float | str] = {
        "probability": min(probability, surest),
        "probability_of_this": min(first.probability, surest),
    }
    if equal is not None:
        # Of two that the row cannot tell apart neither has a chance of its own to speak of.
        evidence["probability_of_this"] = min(0.5 * (first.probability + equal.probability), surest)
        evidence["as_likely"] = PREFIX + equal.kind.value
    if not also and equal is None:
        evidence |= {"content": content.value, "content_u": content.u}
    sizes = {
        SlipKind.PORTIONS_OFF: "too_heavy_g",
        SlipKind.WEIGHINGS_OFF: "too_heavy_g",
        SlipKind.WEIGHED_EARLY_THROUGHOUT: "part_of_the_gas_to_come",
        SlipKind.BALANCE_SCALE_OFF: "factor",
        SlipKind.OTHER_STOCK_THROUGHOUT: "strength_mol_per_L",
    }
    if first.kind in sizes:
        evidence[sizes[first.kind]] = first.size
    if math.isfinite(first.how_many_u):
        evidence["how_many_u"] = first.how_many_u
    return Finding(
        code=PREFIX + first.kind.value,
        severity=Severity.STOP if probability >= STOP_FROM else Severity.LOOK,
        evidence=evidence,
        values={
            "tied": equal is not None,
            "first": _if(first, diluent),
            "second": _if(equal, diluent) if equal else "",
        },
        do=_to_do(first, equal, also, content, diluent),
    )


def _as_likely(first: RowSlip, others: Sequence[RowSlip]) -> RowSlip | None:
    """Return what the readings cannot tell from the first explanation, if there is such a thing.

    How often each happens is an assumption of ours and decides nothing between two causes that
    explain a row alike.
    """
    for slip in others:
        pair = {slip.kind, first.kind}
        alike = abs(slip.log_fits - first.log_fits) < math.log(TELLS)
        if alike and any(pair <= group for group in ROWS_NOT_TOLD_APART):
            return slip
    return None


def _to_do(
    first: RowSlip,
    equal: RowSlip | None,
    also: Sequence[RowSlip],
    content: Estimate,
    diluent: str,
) -> Phrase:
    """Return what to do about what is wrong with all runs alike."""
    others = tuple(
        Phrase.of(
            "slip-alternative-chance",
            kind=kind_of(slip.kind, diluent),
            chance=_chance(slip.probability),
        )
        for slip in also
    )
    if equal is not None:
        decide = Phrase.of(
            "slip-row-decide",
            measures=(_decide(first), _decide(equal)),
            first=_now(first),
            second=_now(equal),
        )
        more = [Phrase.of("slip-row-also", others=others)] if others else []
        return one_after_another(decide, *more)
    if others:
        # Their contents may lie far apart, so none is named.
        told = Phrase.of(
            "slip-row-not-told-apart",
            others=others,
            chance=_chance(first.probability),
            measures=tuple(_decide(slip) for slip in (first, *also)),
        )
        return one_after_another(_now(first), told)
    found = [Phrase.of("slip-row-content", content=content)] if content.u < NOT_KNOWN else []
    return one_after_another(_now(first), *found)


def _now(slip: RowSlip) -> Phrase:
    return Phrase(f"slip-now-{slip.kind.value}")


def _decide(slip: RowSlip) -> Phrase:
    return Phrase(f"slip-decide-{slip.kind.value}")


def _if(slip: RowSlip, diluent: str) -> Phrase:
    """Return what the whole row fits."""
    return Phrase.of(
        f"slip-if-{slip.kind.value}",
        size=abs(slip.size),
        side="heavier" if slip.size > 0 else "lighter",
        mass="last" if slip.by_place == OF_LAST else "empty",
        diluent=diluent,
    )


def _chance(probability: float) -> Phrase:
    """Return a probability, never surer than anyone can be."""
    least, most = STATED
    how = "under" if probability < least else "over" if probability > most else "about"
    return Phrase.of("slip-chance", how=how, percent=100.0 * min(max(probability, least), most))
