"""The few numbers that stand beside the main one."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import UsualSeries
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import axis_words
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number beside the main one, with what it is and how it was come by."""

    label: str
    value: str
    interval: str
    note: str


def facts(outcome: Outcome, style: NumberStyle) -> tuple[Fact, ...]:
    """Return them: three at most; none where the row has no result."""
    usual, full = outcome.usual.series, outcome.full.series
    if full is not None:
        beside = () if usual is None else (_usual(outcome, usual, style),)
        return (*beside, _changeover(outcome, usual, full, style), _held_back(outcome, style))
    return () if usual is None else _usual_alone(outcome, usual, style)


def _usual(outcome: Outcome, usual: UsualSeries, style: NumberStyle) -> Fact:
    gas = typeset.formula(outcome.experiment.reaction.gas)
    second = numbers.quantity(usual.content_from_equivalence, style)
    way = ", by the slope of the rising line" if usual.axis.grows == "sample" else ""
    return Fact(
        label="Textbook calculation",
        value=numbers.quantity(usual.sample_mass_fraction, style),
        interval=numbers.interval(usual.sample_mass_fraction, style),
        note=f"the mass lost taken for the {gas} made{way}; from where its two lines meet it would "
        f"be {second}",
    )


def _changeover(
    outcome: Outcome, usual: UsualSeries | None, full: FullSeries, style: NumberStyle
) -> Fact:
    beside = ""
    if usual is not None:
        beside = f"; the textbook calculation says {numbers.quantity(usual.meets_at, style)}"
    return Fact(
        label="Equivalence point",
        value=numbers.quantity(full.meets_at, style),
        interval=numbers.interval(full.meets_at, style),
        note=f"{_used_up(outcome, style)}{beside}",
    )


def _used_up(outcome: Outcome, style: NumberStyle) -> str:
    """Return what the place of the equivalence point is."""
    name, words = outcome.experiment.reagent.name, axis_words(outcome.experiment)
    if words.axis.grows == "sample":
        return f"of sample that uses up the {words.portion(style)} of {name} in each cup"
    return f"{name} that uses up {words.portion(style)} of sample"


def _held_back(outcome: Outcome, style: NumberStyle) -> Fact:
    gas = typeset.formula(outcome.experiment.reaction.gas)
    note = "made, but still dissolved or lying in the vessel at the last weighing"
    if all(run.retained.value < 0 for run in outcome.full.runs):
        note = (
            f"below zero: the {gas} that lies in the vessel is lighter than the air it displaced, "
            "and takes mass off the balance"
        )
    return Fact(
        label=f"{gas} held back",
        value=held_back(outcome, style),
        interval="",
        note=f"{note}: from the run with the least to the run with the most",
    )


def held_back(outcome: Outcome, style: NumberStyle) -> str:
    """Return how much gas the open runs held back, from the least to the most; no blank cups."""
    experiment = outcome.experiment
    blank = {planned.run for planned in experiment.planned if planned.is_blank}
    open_runs = [run for run in outcome.full.runs if not experiment.is_sealed(run.run)]
    runs = [run for run in open_runs if run.run not in blank] or open_runs
    typical = sorted(run.retained.u for run in runs)[len(runs) // 2]
    amounts = [run.retained.value for run in runs]
    low, high = (numbers.plain(value, typical, style) for value in (min(amounts), max(amounts)))
    return numbers.with_unit(f"{low} to {high}" if low != high else low, "g", style)


def _explained(series: UsualSeries) -> str:
    """Return what the scatter about the lines is held against."""
    if series.axis.grows == "reagent":
        return "the instruments"
    return "the instruments and the gas that one cup keeps more than another"


def _usual_alone(outcome: Outcome, series: UsualSeries, style: NumberStyle) -> tuple[Fact, ...]:
    at, cross = series.meets_at, series.content_from_equivalence
    there = "that volume" if series.axis.grows == "reagent" else "that mass, the volume"
    scatter = numbers.fixed(series.birge, 1, style)
    widened = "; the uncertainties of the lines are widened by it" if series.birge > 1 else ""
    return (
        Fact(
            label="Equivalence point",
            value=numbers.quantity(at, style),
            interval=numbers.interval(at, style),
            note=_used_up(outcome, style),
        ),
        Fact(
            label="Content from the equivalence point",
            value=numbers.quantity(cross, style),
            interval=numbers.interval(cross, style),
            note=f"a second way, from {there} and the strength of the reagent",
        ),
        Fact(
            label="Scatter about the two lines",
            value=f"{scatter} times",
            interval="",
            note=f"what {_explained(series)} explain; about 1 is expected{widened}",
        ),
    )
