"""Findings of a row or of a whole cup: slips that runs share, cups that nothing explains."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from tarebook.diagnosis.slips.exchange import Exchange
from tarebook.diagnosis.slips.kinds import PREFIX, ROWS_NOT_TOLD_APART, STOP_FROM, SlipKind
from tarebook.diagnosis.slips.rows import OF_LAST, RowSlip
from tarebook.diagnosis.slips.weigh import RunWeights
from tarebook.findings.finding import Finding, Severity
from tarebook.reduction.joint.problem import READ

ALSO_FROM: Final = 0.1
"""Share of the first explanation from which a second one is named too."""

TELLS: Final = 20.0
"""Factor between the chances of the readings from which they tell two explanations apart."""


def exchange_finding(exchange: Exchange, severity: Severity) -> Finding:
    """Return readings in each other's row as a finding."""
    runs = list(exchange.source)
    what = " and ".join(quantity.words for quantity in exchange.quantities)
    evidence: dict[str, float | str] = {
        "probability": exchange.probability,
        "runs": ", ".join(runs),
        "columns": ", ".join(quantity.value for quantity in exchange.quantities),
        "own_readings_stand_in": ", ".join(f"{a}: {b}" for a, b in exchange.source.items()),
    }
    if exchange.kind is SlipKind.RUNS_EXCHANGED:
        first, second = runs
        message = (
            f"Runs {first} and {second}: {what} would fit in each other's row, as if the two runs "
            "were exchanged."
        )
        do = (
            f"Compare the names on the two cups with the sheet; if {what} of run {first} stand in "
            f"the row of run {second}, enter both as corrections."
        )
    else:
        message = (
            f"The column of {what} fits if it stands one row off from run {runs[0]} to run "
            f"{runs[-1]}."
        )
        do = (
            "Go through the numbers from run to run where they were first written down; if the "
            "column slipped by one row, enter them again, each in its own row."
        )
    return Finding(
        code=PREFIX + exchange.kind.value,
        severity=severity,
        run=runs[0] if exchange.kind is SlipKind.RUNS_EXCHANGED else "",
        reading=exchange.quantities[0].value,
        runs=tuple(runs),
        readings=tuple((run, quantity) for run in runs for quantity in exchange.quantities),
        message=message,
        do=do,
        evidence=evidence,
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
        message=f"Run {run.run}: its readings do not go together with those of the other runs, and "
        "no single slip that is known here explains it.",
        do="Go through all numbers of this run where they were first written down, and weigh the "
        "cup again if it still stands there. Two numbers may be wrong, or two cups mixed up; if "
        "nothing is found, write a note.",
        evidence=evidence,
    )


def row_finding(rows: Sequence[RowSlip], surest: float) -> Finding:
    """Return what is probably wrong with all runs alike as a finding.

    Parameters
    ----------
    rows : sequence of RowSlip
        The most probable first.
    surest : float, [1]
        Largest probability that is stated.
    """
    first, *others = rows
    equal = _as_likely(first, others)
    if equal is not None and equal.log_fits > first.log_fits:
        first, equal = equal, first
    probability = sum(slip.probability for slip in rows)
    content, u = first.fit.content(*first.fit.without([]))
    message, do = _said_of_row(first)
    also = [
        slip
        for slip in rows
        if slip.kind not in (first.kind, equal.kind if equal else first.kind)
        and (
            slip.probability >= ALSO_FROM * first.probability
            or any({slip.kind, first.kind} <= group for group in ROWS_NOT_TOLD_APART)
        )
    ]
    if equal is not None:
        message, do = _said_of_equals(first, equal, also)
    elif also:
        # Their contents may lie far apart, so none is named.
        do += f" {_not_told_apart(first, also)}"
    else:
        do += f" With that the content found is about {100 * content:.1f} %."
    evidence: dict[str, float | str] = {
        "probability": min(probability, surest),
        "probability_of_this": min(first.probability, surest),
    }
    if equal is not None:
        # Of two that the row cannot tell apart neither has a chance of its own to speak of.
        evidence["probability_of_this"] = min(0.5 * (first.probability + equal.probability), surest)
        evidence["as_likely"] = PREFIX + equal.kind.value
    if not also and equal is None:
        evidence |= {"content": content, "content_u": u}
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
        message=message,
        do=do,
        evidence=evidence,
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


def _said_of_equals(first: RowSlip, equal: RowSlip, also: Sequence[RowSlip]) -> tuple[str, str]:
    """Return what is said of two causes that explain a row alike, and what decides between them."""
    (message, do), (other, other_do) = _said_of_row(first), _said_of_row(equal)
    whole = "The whole row fits "
    said = f"{message.rstrip('.')}, and as well {other.removeprefix(whole).rstrip('.')}."
    decides = f"{DECIDES[first.kind]}, and {DECIDES[equal.kind]}"
    more = "".join(f"; {slip.kind.words} ({_chance(slip.probability)})" for slip in also)
    more = f" Also possible{more.replace(';', ':', 1)}." if also else ""
    return (
        f"{said} It is one of these two, and the row cannot tell which.",
        f"To decide: {decides}. Do so before you go by any content. If it was the first: {do} If "
        f"it was the second: {other_do}{more}",
    )


DECIDES: Final = {
    SlipKind.OTHER_STOCK_THROUGHOUT: "titrate the stock",
    SlipKind.PORTIONS_OFF: "weigh an empty boat or paper as the portions were weighed",
    SlipKind.WEIGHINGS_OFF: "weigh one empty cup again, on both balances if there were two",
    SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT: "test the two bottles with indicator paper",
    SlipKind.WEIGHED_EARLY_THROUGHOUT: "swirl one cup, fan it out and weigh it again",
    SlipKind.BALANCE_SCALE_OFF: "put a weight of known mass on the balance",
}
"""The one measurement that shows whether it was this."""


def _not_told_apart(first: RowSlip, also: Sequence[RowSlip]) -> str:
    """Return what else the row fits, how likely each is, and what would decide."""
    words = "; ".join(f"{slip.kind.words} ({_chance(slip.probability)})" for slip in also)
    measures = ", or ".join(DECIDES[slip.kind] for slip in (first, *also))
    return (
        f"Also possible: {words}; the first has {_chance(first.probability)}. This row alone "
        f"cannot tell them apart. One measurement can: {measures}. Do so before you go by any "
        "content."
    )


def _chance(probability: float) -> str:
    """Return a probability in words, never surer than anyone can be."""
    if probability < 0.01:
        return "under 1 %"
    return "over 99 %" if probability > 0.99 else f"{100 * probability:.0f} %"


def _said_of_row(slip: RowSlip) -> tuple[str, str]:
    """Return what is wrong with all runs alike, and what to do now."""
    heavy = "heavier" if slip.size > 0 else "lighter"
    match slip.kind:
        case SlipKind.OTHER_STOCK_THROUGHOUT:
            return (
                f"The whole row fits a reagent of about {slip.size:.3f} mol/L, not the one of the "
                "definition.",
                "Look at the label of the stock and at its titration, and correct the strength in "
                "the definition if it is wrong.",
            )
        case SlipKind.PORTIONS_OFF:
            return (
                f"The whole row fits if every portion of the sample is written {abs(slip.size):.2f}"
                f" g {heavy} than it was.",
                "Was the weighing boat or the paper on the balance too, or was the balance set to "
                "zero with another one? Weigh it, and enter the portions alone as corrections.",
            )
        case SlipKind.WEIGHINGS_OFF:
            which = "last mass" if slip.by_place == OF_LAST else "empty vessel"
            return (
                f"The whole row fits if every {which} is written {abs(slip.size):.2f} g {heavy} "
                "than it was.",
                "Was it another balance, was a lid or a stirrer on the cup, or did the zero move? "
                "Put an empty cup on again and compare it with its first mass.",
            )
        case SlipKind.LIQUIDS_EXCHANGED_THROUGHOUT:
            return (
                "The whole row fits if reagent and diluent are exchanged in every run.",
                "Look whether the two columns stand in each other's place where they were first "
                "written down, and which bottle held which liquid.",
            )
        case SlipKind.WEIGHED_EARLY_THROUGHOUT:
            return (
                "The whole row fits if every cup was weighed while about "
                f"{100 * slip.size:.0f} % of its gas was still to come.",
                "If the cups still stand there, swirl them until no bubble rises, fan the gas "
                "out, weigh them again and enter that as corrections.",
            )
        case _:
            return (
                f"The whole row fits if the balance shows {slip.size:.2f} times the true mass.",
                "Put a weight of known mass on the balance, and adjust it as its manual says.",
            )
