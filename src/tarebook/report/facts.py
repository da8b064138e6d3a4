"""The few numbers that stand beside the main one."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import axis_words
from tarebook.report.languages.writing import Writing
from tarebook.report.outcome import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number beside the main one, with what it is and how it was come by."""

    label: str
    value: str
    interval: str
    note: str


def facts(outcome: Outcome, how: Writing) -> tuple[Fact, ...]:
    """Return them: three at most; none where the row has no result."""
    usual, full = outcome.usual.series, outcome.full.series
    if full is not None:
        beside = () if usual is None else (_usual(outcome, usual, how),)
        return (*beside, _changeover(outcome, usual, full, how), _held_back(outcome, how))
    return () if usual is None else _usual_alone(outcome, usual, how)


def _usual(outcome: Outcome, usual: UsualSeries, how: Writing) -> Fact:
    return Fact(
        label=how("report.fact_textbook"),
        value=how.quantity(usual.sample_mass_fraction),
        interval=how.interval(usual.sample_mass_fraction),
        note=how(
            "report.fact_textbook_note",
            gas=typeset.formula(outcome.experiment.reaction.gas),
            grows=usual.axis.grows,
            second=usual.content_from_equivalence,
        ),
    )


def _changeover(
    outcome: Outcome, usual: UsualSeries | None, full: FullSeries, how: Writing
) -> Fact:
    note = _used_up(outcome, how)
    if usual is not None:
        note = how("report.fact_equivalence_note", used_up=note, found=usual.meets_at)
    return Fact(
        label=how("report.fact_equivalence"),
        value=how.quantity(full.meets_at),
        interval=how.interval(full.meets_at),
        note=note,
    )


def _used_up(outcome: Outcome, how: Writing) -> str:
    """Return what the place of the equivalence point is."""
    along = axis_words(outcome.experiment, how)
    return how(
        "report.used_up",
        grows=along.axis.grows,
        name=outcome.experiment.reagent.name,
        portion=along.portion,
    )


def _held_back(outcome: Outcome, how: Writing) -> Fact:
    gas = typeset.formula(outcome.experiment.reaction.gas)
    below = all(run.retained.value < 0 for run in outcome.full.runs)
    return Fact(
        label=how("report.fact_held", gas=gas),
        value=held_back(outcome, how),
        interval="",
        note=how("report.fact_held_note", gas=gas, below=below),
    )


def held_back(outcome: Outcome, how: Writing) -> str:
    """Return how much gas the open runs held back, from the least to the most; no blank cups."""
    experiment, style = outcome.experiment, how.style
    blank = {planned.run for planned in experiment.planned if planned.is_blank}
    open_runs = [run for run in outcome.full.runs if not experiment.is_sealed(run.run)]
    runs = [run for run in open_runs if run.run not in blank] or open_runs
    typical = sorted(run.retained.u for run in runs)[len(runs) // 2]
    amounts = [run.retained.value for run in runs]
    low, high = (numbers.plain(value, typical, style) for value in (min(amounts), max(amounts)))
    both = how("handover.from_to", first=low, last=high) if low != high else low
    return numbers.with_unit(both, "g", style)


def _usual_alone(outcome: Outcome, series: UsualSeries, how: Writing) -> tuple[Fact, ...]:
    at, cross, grows = series.meets_at, series.content_from_equivalence, series.axis.grows
    scatter = numbers.fixed(series.birge, 1, how.style)
    return (
        Fact(
            label=how("report.fact_equivalence"),
            value=how.quantity(at),
            interval=how.interval(at),
            note=_used_up(outcome, how),
        ),
        Fact(
            label=how("report.fact_second"),
            value=how.quantity(cross),
            interval=how.interval(cross),
            note=how("report.fact_second_note", grows=grows),
        ),
        Fact(
            label=how("report.fact_scatter"),
            value=how("report.fact_scatter_value", scatter=scatter),
            interval="",
            note=how("report.fact_scatter_note", grows=grows, widened=series.birge > 1),
        ),
    )
