"""What each chart shows, in a sentence: for those who hear the report or cannot load a picture."""

from __future__ import annotations

from tarebook.diagnosis.liquid import compare_liquid
from tarebook.report import numbers
from tarebook.report.axis_words import axis_words
from tarebook.report.languages.words import Words
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.report.shares import budget_lines


def curve_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return what the curve shows."""
    series, full = outcome.usual.series, outcome.full.series
    words = axis_words(outcome.experiment)
    what = f"Chart of the mass lost in g against {words.along}"
    parts = [f"{what}, {len(outcome.usual.runs)} runs."]
    if full is not None:
        at = words.at(full.meets_at, style)
        goes_on = "falls again" if words.falls else "bends into a level"
        # Where the model does not reach along the row there is no curve to tell the height of.
        if full.band:
            top = numbers.fixed(max(point.lost for point in full.band), 2, style)
            goes_on += f" from {top} g" if words.falls else f" of {top} g"
        parts.append(
            f"The model's curve rises while the {words.rising} limits and {goes_on} where the "
            f"{words.beyond} limits; by the model both are used up at {at}."
        )
    if series is not None:
        level = numbers.plain(series.fit.plateau * series.axis.portion,
                              series.fit.plateau_u * series.axis.portion, style)  # fmt: skip
        at = words.at(series.meets_at, style)
        goes_on = f"falls again from {level} g" if words.falls else f"stays level at {level} g"
        parts.append(
            f"The textbook calculation's line rises while the {words.rising} limits and {goes_on} "
            f"where the {words.beyond} limits; its two lines meet at {at}."
        )
    return " ".join(parts)


def limiting_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return the chance of each run."""
    each = "; ".join(
        f"run {result.run} {numbers.probability(result.p_reagent_limiting, style)}"
        for result in run_results(outcome)
        if result.p_reagent_limiting is not None
    )
    acid = axis_words(outcome.experiment).acid
    return f"Chart of the chance that the {acid} limits: {each}." if each else ""


def budget_alt(outcome: Outcome, style: NumberStyle) -> str:
    """Return the bars of the budget."""
    lines = budget_lines(outcome, style)
    each = "; ".join(f"{line.source} {line.text}" for line in lines)
    return (
        f"Bars of the share of each source in the variance of the content: {each}." if lines else ""
    )


def liquid_alt(outcome: Outcome, style: NumberStyle, words: Words) -> str:
    """Return the difference of each run."""
    check = compare_liquid(outcome.experiment, outcome.table)
    each = "; ".join(
        f"{words('tables.run')} {run} {numbers.plain(float(apart), float(u), style)} g"
        for run, apart, u in zip(check.runs, check.difference, check.u, strict=True)
    )
    return words("tables.liquid_alt", each=each) if each else ""
