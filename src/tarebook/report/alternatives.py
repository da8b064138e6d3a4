"""What each chart shows, in a sentence: for those who hear the report or cannot load a picture."""

from __future__ import annotations

from tarebook.diagnosis.liquid import compare_liquid
from tarebook.report import numbers
from tarebook.report.axis_words import AxisWords, axis_words
from tarebook.report.languages.writing import Writing
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results
from tarebook.report.shares import budget_lines


def curve_alt(outcome: Outcome, how: Writing) -> str:
    """Return what the curve shows."""
    series, full, style = outcome.usual.series, outcome.full.series, how.style
    along = axis_words(outcome.experiment, how)
    parts = [how("charts.curve_alt", along=along.along, n=len(outcome.usual.runs))]
    if full is not None:
        goes_on = how("charts.falls" if along.falls else "charts.levels")
        # Where the model does not reach along the row there is no curve to tell the height of.
        if full.band:
            top = numbers.fixed(max(point.lost for point in full.band), 2, style)
            goes_on = _goes_on("charts.levels_at", top, along)
        parts.append(_rise("charts.model_alt", goes_on, along.at(full.meets_at), along))
    if series is not None:
        level = numbers.plain(series.fit.plateau * series.axis.portion,
                              series.fit.plateau_u * series.axis.portion, style)  # fmt: skip
        goes_on = _goes_on("charts.stays", level, along)
        parts.append(_rise("charts.lines_alt", goes_on, along.at(series.meets_at), along))
    return " ".join(parts)


def _goes_on(level: str, top: str, along: AxisWords) -> str:
    """Return how a curve goes on beyond the equivalence point, from a height in g."""
    how = along.how
    shown = numbers.with_unit(top, "g", how.style)
    return how("charts.falls_from" if along.falls else level, top=shown)


def _rise(key: str, goes_on: str, at: str, along: AxisWords) -> str:
    rising, beyond = (along.how("charts.the", what=what) for what in (along.rising, along.beyond))
    return along.how(key, rising=rising, beyond=beyond, goes_on=goes_on, at=at)


def limiting_alt(outcome: Outcome, how: Writing) -> str:
    """Return the chance of each run."""
    each = "; ".join(
        f"{how('tables.run')} {result.run} "
        f"{numbers.probability(result.p_reagent_limiting, how.style)}"
        for result in run_results(outcome)
        if result.p_reagent_limiting is not None
    )
    acid = axis_words(outcome.experiment, how).acid
    return how("charts.limiting_alt", what=acid, each=each) if each else ""


def budget_alt(outcome: Outcome, how: Writing) -> str:
    """Return the bars of the budget."""
    each = "; ".join(f"{line.source} {line.text}" for line in budget_lines(outcome, how))
    return how("charts.budget_alt", each=each) if each else ""


def liquid_alt(outcome: Outcome, how: Writing) -> str:
    """Return the difference of each run."""
    check = compare_liquid(outcome.experiment, outcome.table)
    each = "; ".join(
        f"{how('tables.run')} {run} {numbers.plain(float(apart), float(u), how.style)} g"
        for run, apart, u in zip(check.runs, check.difference, check.u, strict=True)
    )
    return how("tables.liquid_alt", each=each) if each else ""
