"""What each chart shows, in a sentence: for those who hear the report or cannot load a picture."""

from __future__ import annotations

from tarebook.diagnosis.liquid import compare_liquid
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.shares import budget_lines


def curve_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return what the curve shows."""
    series = outcome.usual.series
    if series is None:
        drawn = len(outcome.usual.runs)
        return f"Chart of the gas found in g against the reagent poured in mL, {drawn} runs."
    level = numbers.plain(series.fit.plateau * series.nominal_mass,
                          series.fit.plateau_u * series.nominal_mass, style)  # fmt: skip
    at = numbers.quantity(series.equivalence, style)
    return (
        f"Chart of the gas found in g against the reagent poured in mL, {len(series.curve)} runs. "
        f"The gas rises along a line while the reagent limits and stays level at {level} g where "
        f"the sample limits; the two lines meet at {at}."
    )


def limiting_alt(runs: tuple[RunAmounts, ...], style: NumberStyle) -> str:
    """Return the chance of each run."""
    each = "; ".join(
        f"run {run.run} {numbers.probability(run.p_reagent_limiting, style)}" for run in runs
    )
    return f"Chart of the chance that the reagent limits: {each}." if runs else ""


def budget_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return the bars of the budget."""
    lines = budget_lines(outcome, style)
    each = "; ".join(f"{line.source} {line.text}" for line in lines)
    return (
        f"Bars of the share of each source in the variance of the content: {each}." if lines else ""
    )


def liquid_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return the difference of each run."""
    check = compare_liquid(outcome.experiment, outcome.table)
    each = "; ".join(
        f"run {run} {numbers.plain(float(apart), float(u), style)} g"
        for run, apart, u in zip(check.runs, check.difference, check.u, strict=True)
    )
    return f"Chart of the liquid weighed less the liquid by volume: {each}." if each else ""
