"""How each number was made: the sum step by step, with the numbers of this experiment."""

from __future__ import annotations

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.derivation_lines import (
    MORE_ON_THE_WAY,
    Step,
    line_steps,
    shown_in,
    strength_of,
)
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results


def derivation(outcome: Outcome, style: NumberStyle) -> tuple[Step, ...]:
    """Return the steps from the readings to the content; fewer where the series has no result."""
    example = _example(outcome)
    steps: list[Step] = []
    if example is not None:
        steps += [_amount(outcome, example, style), _mass_lost(outcome, example, style)]
    if outcome.usual.series is not None:
        steps += line_steps(outcome, outcome.usual.series, style)
    if example is not None and example.gas_expected is not None:
        steps.append(_limiting(outcome, example, example.gas_expected, style))
    steps.append(_uncertainty(outcome))
    return tuple(steps)


def model_steps(outcome: Outcome, series: FullSeries, style: NumberStyle) -> tuple[Step, ...]:
    """Return the steps of the joint fit, with the numbers of this experiment."""
    made = _gas_made(outcome, style)
    read = sum(len(run.residuals) for run in outcome.full.runs)
    content = numbers.quantity(series.sample_mass_fraction, style)
    fit = Step(
        name="One fit for the row",
        rule="the content, the other parameters and the true volumes and masses are those that "
        "make the sum of ((read − expected) / u)² least, over all readings and all that was known "
        "beforehand",
        worked=f"{read} readings of {len(outcome.full.runs)} runs: least sum χ² = "
        f"{numbers.fixed(series.chi2, 1, style)}, content {content}",
    )
    chance = Step(
        name="Chance that one limits",
        rule="from the amounts that the fit finds and their u: how probable it is that the reagent "
        "and the acid of the sample together are less than what the sample takes",
        worked="the numbers stand under Run by run",
    )
    return (*([made] if made else []), fit, chance)


def _gas_made(outcome: Outcome, style: NumberStyle) -> Step | None:
    """Return the way from the mass lost to the gas made, for one run."""
    whole = [result for result in run_results(outcome) if result.rest is not None]
    rising = [result for result in whole if result.limiting == "reagent"] or whole
    if not rising:
        return None
    result = rising[len(rising) // 2]
    full, lost, rest = result.full, result.lost, result.rest
    if full is None or full.gas_full is None or lost is None or rest is None:
        return None
    decimals = numbers.places(full.gas_full.value, full.gas_full.u) + MORE_ON_THE_WAY
    minus = style.minus

    def shown(value: float) -> str:
        return numbers.fixed(value, decimals, style)

    last = f"+ {shown(rest)}" if rest >= 0 else f"{minus} {shown(-rest)}"
    return Step(
        name="Gas made",
        rule=f"mass lost + gas still dissolved + gas lying in the vessel {minus} vapour {minus} "
        "water evaporated + buoyancy of the air and error of the balance",
        worked=f"run {result.run}: ({shown(lost.value)} + {shown(full.dissolved)} + "
        f"{shown(full.head_gas)} {minus} {shown(full.vapour)} {minus} {shown(full.evaporated)} "
        f"{last}){style.gap}g = {numbers.quantity(full.gas_full, style)}",
    )


def _example(outcome: Outcome) -> RunAmounts | None:
    """Return the run that is worked out: used by the lines, reagent limiting, well poured."""
    whole = [run for run in outcome.usual.runs if run.yield_percent and not run.not_in_fit]
    whole = whole or [run for run in outcome.usual.runs if run.yield_percent]
    whole = whole or [run for run in outcome.usual.runs if run.limiting is None]
    rising = [run for run in whole if run.limiting == "reagent"] or whole
    return rising[len(rising) // 2] if rising else None


def _read(outcome: Outcome, run: RunAmounts, what: Quantity, style: NumberStyle) -> str:
    """Return a reading as it was written down, or the mean of its repeats, in bench units."""
    found = outcome.table.of(run.run, what)
    if len(found) == 1:
        return found[0].typed.replace(".", style.decimal)
    mean = sum(reading.value for reading in found) / len(found)
    return numbers.plain(mean if what.is_mass else millilitres(mean), 0.0, style)


def _amount(outcome: Outcome, run: RunAmounts, style: NumberStyle) -> Step:
    species = typeset.formula(outcome.experiment.reaction.reagent)
    strength = strength_of(outcome, style)
    poured = numbers.with_unit(_read(outcome, run, Quantity.REAGENT, style), "mL", style)
    return Step(
        name="Amount of reagent",
        rule=f"n({species}) = strength × volume poured",
        worked=f"run {run.run}: {strength} × {poured} = {numbers.quantity(run.reagent, style)}",
    )


def _mass_lost(outcome: Outcome, run: RunAmounts, style: NumberStyle) -> Step:
    filled, sample, final = (
        _read(outcome, run, what, style)
        for what in (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    )
    minus = style.minus
    found = numbers.quantity(run.gas_found, style)
    return Step(
        name="Gas found",
        rule=f"mass lost = vessel with liquid + sample {minus} vessel at the end",
        worked=f"run {run.run}: ({filled} + {sample} {minus} {final}){style.gap}g = {found}",
    )


def _limiting(outcome: Outcome, run: RunAmounts, expected: Estimate, style: NumberStyle) -> Step:
    reaction = outcome.experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    parts = []
    for name, amount, count in (
        (reagent, run.reagent, reaction.reagent_coefficient),
        (analyte, run.sample, reaction.analyte_coefficient),
    ):
        divided = f" / {count} = {shown_in(1000 * amount.value / count, 'mmol', style)}"
        value = numbers.quantity(amount, style)
        parts.append(f"{name} {value}{divided if count > 1 else ''}")
    smaller = reagent if run.limiting == "reagent" else analyte
    found = numbers.quantity(run.yield_percent, style) if run.yield_percent else "no yield"
    return Step(
        name="Limiting reactant and yield",
        rule=f"divide each amount by its number in the equation; the smaller one limits and says "
        f"how much {gas} to expect; yield = found / expected",
        worked=f"run {run.run}: {' and '.join(parts)}, so {smaller} limits; expected "
        f"{numbers.quantity(expected, style)}, yield {found}",
    )


def _uncertainty(outcome: Outcome) -> Step:
    return Step(
        name="Uncertainty",
        rule="every reading is shifted at random within its tolerance and everything is worked out "
        "again; the spread of the answers is u, their middle 95 % the interval",
        worked=f"{outcome.usual.draws} repetitions, started from seed {outcome.usual.seed}",
    )
