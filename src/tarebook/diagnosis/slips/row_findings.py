"""Slips that runs share, as findings."""

from __future__ import annotations

from tarebook.diagnosis.findings import Finding, Severity
from tarebook.diagnosis.slips.exchange import Exchange, OtherStock
from tarebook.diagnosis.slips.kinds import PREFIX, STOP_FROM, SlipKind


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


def stock_finding(stock: OtherStock) -> Finding:
    """Return a stock that is not the one of the definition as a finding."""
    content, u = stock.fit.content(*stock.fit.without([]))
    return Finding(
        code=PREFIX + SlipKind.OTHER_STOCK_THROUGHOUT.value,
        severity=Severity.STOP if stock.probability >= STOP_FROM else Severity.LOOK,
        message=f"The whole row fits a reagent of about {stock.strength:.3f} mol/L, not the "
        f"{stock.defined:.3f} mol/L of the definition.",
        do="Look at the label of the stock and at its titration, and correct the strength in "
        "the definition if it is wrong. With that strength the content found is about "
        f"{100 * content:.1f} %.",
        evidence={
            "probability": stock.probability,
            "strength_mol_per_L": stock.strength,
            "defined_mol_per_L": stock.defined,
            "how_many_u": stock.how_many_u,
            "content": content,
            "content_u": u,
        },
    )
